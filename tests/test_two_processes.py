"""The tests run in two processes: those that start and kill others stay together, and what they are named by is there."""

from tests.conftest import LONG, ROOT, STARTS_PROCESSES


def test_every_file_that_is_kept_together_or_begun_first_is_there() -> None:
    assert [file for file in STARTS_PROCESSES | LONG if not (ROOT / file).is_file()] == []
