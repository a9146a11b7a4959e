"""Where reading stands outlives the process that reads."""

from pathlib import Path

import pytest

from clubbot.mailroom.bookmark import Bookmark


@pytest.fixture
def file(tmp_path: Path) -> Path:
    return tmp_path / "club.db-reading"


def test_a_text_that_was_being_read_is_found_by_the_next_process(file: Path) -> None:
    Bookmark(file).put(4711)
    assert Bookmark(file).left() == 4711


def test_of_a_text_that_was_finished_nothing_is_left(file: Path) -> None:
    first = Bookmark(file)
    first.put(4711)
    first.put(9)
    first.take_out()
    assert Bookmark(file).left() is None


def test_a_new_file_or_one_of_somebody_else_marks_nothing(file: Path, tmp_path: Path) -> None:
    other = tmp_path / "other"
    other.write_text("a shopping list")
    assert [Bookmark(file).left(), Bookmark(other).left()] == [None, None]


def test_for_a_database_in_memory_nothing_is_kept() -> None:
    bookmark = Bookmark(None)
    bookmark.put(4711)
    assert bookmark.left() is None
