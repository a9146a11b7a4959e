"""Scripted conversations stay as well answered as they were when `figures.toml` was written; how they are played and counted."""

import tomllib
from dataclasses import dataclass
from datetime import date
from pathlib import Path

import pytest

from clubbot.handbook.book import Handbook
from tests.conftest import ROOT
from tests.talks.playing import Talk, Turn, counted, play, read_talks, wrong
from tests.understanding.figures import LEEWAY

_HERE = Path(__file__).parent


@dataclass(frozen=True, slots=True)
class Written:
    """How many turns in a hundred of a file were right, and when that was measured."""

    file: str
    right: float
    measured: date

    @property
    def path(self) -> Path:
        return ROOT / self.file


def _written() -> list[Written]:
    rows = tomllib.loads((_HERE / "figures.toml").read_text("utf-8"))["talks"]
    return [Written(row["file"], row["right"], row["measured"]) for row in rows]


@pytest.mark.parametrize("kept", [pytest.param(one, id=one.file) for one in _written()])
def test_no_fewer_turns_are_right_than_were_written_down(handbook: Handbook, kept: Written) -> None:
    if kept.file.startswith("../") and not kept.path.exists():
        pytest.skip(f"{kept.file} is not beside this checkout")
    count = counted([(talk, play(talk, handbook)) for talk in read_talks(kept.path)])
    assert count.share >= kept.right - LEEWAY, (
        f"{kept.file}: {count.right} of {count.turns} turns right, {count.share} %; "
        f"{kept.right} % on {kept.measured}. See: python -m tests.talks {kept.file} --show"
    )


def test_every_file_of_conversations_here_has_its_figure() -> None:
    assert {one.path for one in _written() if one.path.parent == _HERE} == set(_HERE.glob("*.jsonl"))


def _talk(*turns: Turn) -> Talk:
    return Talk(1, "en", turns)


def test_a_turn_is_right_where_all_that_must_and_nothing_that_must_not_is_found() -> None:
    turn = Turn("dogs?", must=("dog", r"on a lead"), mustnt=("volunteer",))
    assert wrong(turn, ["Dogs are fine", "On a\u00a0lead, please"]) == []
    assert wrong(turn, ["Dogs are fine. A volunteer has to answer the rest."]) == [
        "not found: on a lead",
        "found 'volunteer': volunteer",
    ]


def test_a_turn_that_nobody_checks_is_played_and_not_counted(handbook: Handbook) -> None:
    talk = _talk(
        Turn("in for wednesday", now="2027-06-07T12:00"),
        Turn("what am i down for", now="2027-06-07T12:00", must=("Dusk League",)),
        Turn("STOP", now="2027-06-07T12:00", must=("welcome to the moon",)),
    )
    count = counted([(talk, play(talk, handbook))])
    assert (count.turns, count.right, count.talks, count.whole) == (2, 1, 1, 0)


def test_what_comes_while_the_clock_runs_on_is_no_answer(handbook: Handbook) -> None:
    talk = _talk(
        Turn("in for wednesday", now="2027-06-07T12:00"),
        Turn("can i bring my dog", now="2027-06-09T17:59", must=("dog",), mustnt=("reminder|starts|tonight",)),
    )
    assert [one.wrong for one in play(talk, handbook)] == [(), ()]


def test_each_writer_has_a_phone_and_is_answered_alone(handbook: Handbook) -> None:
    talk = _talk(
        Turn("STOP", who="Pat", now="2027-06-07T12:00", must=("no more texts",)),
        Turn("can i bring my dog", who="Sam", now="2027-06-07T12:00", must=("dog",)),
        Turn("who's on duty", who="Jonas", now="2027-06-07T12:00", mustnt=("volunteer has to",)),
    )
    assert [one.wrong for one in play(talk, handbook)] == [(), (), ()]


def test_a_clock_that_goes_back_is_refused(handbook: Handbook) -> None:
    talk = _talk(Turn("hi", now="2027-06-07T12:00"), Turn("hi", now="2027-06-07T11:00"))
    with pytest.raises(ValueError, match="line 1: the clock goes back"):
        play(talk, handbook)


@pytest.mark.parametrize(
    "line",
    [
        '{"lang": "en", "turns": []}',
        '{"lang": "en", "now": "2027-06-07T12:00", "turns": [{"text": "hi", "must": ["("]}]}',
        '{"lang": "en", "now": "at noon", "turns": [{"text": "hi"}]}',
        "not JSON",
    ],
)
def test_a_conversation_that_cannot_be_read_is_told_with_its_line(tmp_path: Path, line: str) -> None:
    file = tmp_path / "talks.jsonl"
    file.write_text("\n" + line + "\n", "utf-8")
    with pytest.raises(ValueError, match=r"talks\.jsonl:2: "):
        read_talks(file)


def test_a_turn_with_something_that_is_not_looked_at_is_refused(tmp_path: Path) -> None:
    file = tmp_path / "talks.jsonl"
    file.write_text(
        '{"lang": "en", "now": "2027-06-07T12:00", "turns": [{"text": "hi", "later": "2027-06-08T12:00"}]}', "utf-8"
    )
    with pytest.raises(ValueError, match=r"talks.jsonl:1: .*a turn has no later"):
        read_talks(file)
