"""A sample conversation can be written by a club member: faults name file and line, and only replies are renewed."""

import re
from pathlib import Path

import pytest

from clubbot.cli import main
from clubbot.handbook.book import Handbook
from clubbot.model.errors import TranscriptFault
from clubbot.transcripts import Played, Transcript, play, read_transcript
from tests.conftest import ROOT

BEGINNING = """A visit

Somebody has read the sign at the first tee.

Clock: Monday 7 June 2027 12:00
Phone: +1 902 555 0142
"""
FIRST_LINE_AFTER = BEGINNING.count("\n") + 1
ANSWER_TO_STOP = "Tern Harbour DGC: done, you will get no more texts from us. Text START if you change your mind."


def written(folder: Path, text: str) -> Path:
    """A sample conversation in a file."""
    file = folder / "visit.txt"
    file.write_text(text, "utf-8")
    return file


def transcript(folder: Path, rest: str, *, beginning: str = BEGINNING) -> Transcript:
    """A sample conversation read."""
    return read_transcript(written(folder, beginning + rest))


def played(folder: Path, rest: str, handbook: Handbook) -> Played:
    """A sample conversation played."""
    return play(transcript(folder, rest), handbook)


def test_the_title_is_the_first_line_and_what_stands_before_the_first_setting_is_introduction(tmp_path: Path) -> None:
    read = transcript(tmp_path, "> STOP\n")
    assert read.title == "A visit"
    assert [line.kind for line in read.lines] == ["Clock", "Phone", ">"]


def test_a_line_that_begins_with_two_blanks_continues_the_one_before(tmp_path: Path) -> None:
    read = transcript(tmp_path, "> we came on sunday\n  and had fun,\n  is it open\n")
    said = read.lines[-1]
    assert said.text == "we came on sunday and had fun, is it open"
    assert (said.number, said.last) == (FIRST_LINE_AFTER, FIRST_LINE_AFTER + 2)


def test_a_continued_reply_is_one_reply(tmp_path: Path, handbook: Handbook) -> None:
    begins, _, goes_on = ANSWER_TO_STOP.partition(" no ")
    goes_on = f"no {goes_on}"
    assert not played(tmp_path, f"> STOP\n< {begins}\n  {goes_on}\n", handbook).differences


@pytest.mark.parametrize(
    "line",
    [
        pytest.param("somebody walks by", id="prose"),
        pytest.param("kim > is it open", id="a name without a capital"),
        pytest.param("Wait: 5 minutes", id="a setting there is none of"),
        pytest.param(">is it open", id="no blank after the mark"),
    ],
)
def test_a_line_that_is_none_is_a_fault_with_file_and_line(tmp_path: Path, line: str) -> None:
    with pytest.raises(TranscriptFault, match=rf"visit\.txt:{FIRST_LINE_AFTER + 1}: .*{re.escape(line)}"):
        transcript(tmp_path, f"> STOP\n{line}\n")


def test_two_blanks_continue_nothing_after_an_empty_line(tmp_path: Path) -> None:
    with pytest.raises(TranscriptFault, match=rf"visit\.txt:{FIRST_LINE_AFTER + 2}: "):
        transcript(tmp_path, "> is it\n\n  open\n")


def test_remarks_and_empty_lines_may_stand_anywhere(tmp_path: Path, handbook: Handbook) -> None:
    assert not played(tmp_path, f"# At noon.\n\n> STOP\n# Once.\n\n< {ANSWER_TO_STOP}\n", handbook).differences


@pytest.mark.parametrize("text", ["", BEGINNING], ids=["an empty file", "settings alone"])
def test_a_conversation_in_which_nobody_speaks_is_a_fault(tmp_path: Path, text: str) -> None:
    with pytest.raises(TranscriptFault, match=r"visit\.txt:1: nobody says anything"):
        read_transcript(written(tmp_path, text))


def test_a_text_before_any_clock_is_a_fault_that_asks_for_one(tmp_path: Path, handbook: Handbook) -> None:
    read = transcript(tmp_path, "> STOP\n", beginning="A visit\n\nPhone: +1 902 555 0142\n")
    with pytest.raises(TranscriptFault, match=r"visit\.txt:4: .*write Clock: above"):
        play(read, handbook)


@pytest.mark.parametrize(
    ("line", "what_to_do"),
    [
        ("Clock: half past noonish", "write the clock as"),
        ("Phone Kim: twelve", "twelve is no phone number"),
        ("Kim > is it open", "nobody is called Kim here; write Phone Kim: above"),
        ("Later: a while", 'write it as "Later: 20 minutes"'),
        ("Closed: marsh", 'write it as "Closed: marsh until'),
        ("Then: happy", '"happy" is no statement that can be checked; there are: introduced'),
        ("Then: introduced, , nobody waits", "is no statement that can be checked"),
    ],
)
def test_a_setting_that_cannot_be_understood_is_a_fault_that_says_what_to_write(
    tmp_path: Path, handbook: Handbook, line: str, what_to_do: str
) -> None:
    read = transcript(tmp_path, f"> STOP\n< {ANSWER_TO_STOP}\n{line}\n")
    with pytest.raises(TranscriptFault, match=rf"visit\.txt:{FIRST_LINE_AFTER + 2}: .*{re.escape(what_to_do)}"):
        play(read, handbook)


def test_a_bare_text_without_a_phone_is_a_fault(tmp_path: Path, handbook: Handbook) -> None:
    read = transcript(tmp_path, "> STOP\n", beginning="A visit\n\nClock: Monday 7 June 2027 12:00\n")
    with pytest.raises(TranscriptFault, match=r"visit\.txt:4: .*write Phone: above"):
        play(read, handbook)


@pytest.mark.parametrize(
    "under_stop",
    [
        pytest.param("< You are on every list now.", id="another reply"),
        pytest.param("", id="no reply written"),
        pytest.param("(no answer)", id="silence written"),
        pytest.param(f"< {ANSWER_TO_STOP}\n< {ANSWER_TO_STOP}", id="one reply too many"),
        pytest.param(f"Jonas < {ANSWER_TO_STOP}", id="somebody else's reply"),
    ],
)
def test_a_reply_that_is_not_the_written_one_is_found(tmp_path: Path, handbook: Handbook, under_stop: str) -> None:
    (difference,) = played(tmp_path, f"> STOP\n{under_stop}\n", handbook).differences
    assert re.search(r"visit\.txt:\d+: came: < Tern Harbour DGC: done", difference)


def test_a_reply_where_silence_is_due_is_found_at_its_line(tmp_path: Path, handbook: Handbook) -> None:
    rest = f"> STOP\n< {ANSWER_TO_STOP}\n> STOP\n< {ANSWER_TO_STOP}\n"
    (difference,) = played(tmp_path, rest, handbook).differences
    assert f"visit.txt:{FIRST_LINE_AFTER + 3}: came: (no answer)" in difference


@pytest.mark.parametrize(
    ("statement", "holds"),
    [
        ("opted out", True),
        ("not opted out", False),
        ("introduced", True),
        ("language fr", False),
        ("name Kim", False),
        ("0 questions open", True),
        ("1 question open", False),
        ("on the list course-news", False),
        ("off the list course-news", True),
        ("proof of stop: STOP", True),
        ("proof of stop: stop it", False),
        ("proof of start: START", False),
        ("no choice open", True),
        ("nobody waits", True),
    ],
)
def test_a_statement_about_how_things_stand_is_checked(
    tmp_path: Path, handbook: Handbook, statement: str, holds: bool
) -> None:
    differences = played(tmp_path, f"> STOP\n< {ANSWER_TO_STOP}\nThen: {statement}\n", handbook).differences
    assert bool(differences) != holds
    assert all(f'visit.txt:{FIRST_LINE_AFTER + 2}: "{statement}" does not hold' in one for one in differences)


def test_a_statement_can_be_about_another_person_and_each_of_several_is_checked(
    tmp_path: Path, handbook: Handbook
) -> None:
    rest = (
        f"Phone Kim: +1 902 555 0143\nKim > STOP\nKim < {ANSWER_TO_STOP}\nThen Kim: not opted out, opted out, name Jo\n"
    )
    differences = played(tmp_path, rest, handbook).differences
    assert ['"not opted out"' in one or '"name Jo"' in one for one in differences] == [True, True]


def test_a_volunteer_is_known_by_first_name(tmp_path: Path, handbook: Handbook) -> None:
    rest = "Jonas > Q1 hello\nJonas < There is no open question Q1. Nothing was sent.\n"
    assert not played(tmp_path, rest, handbook).differences


def test_the_clock_moves_on(tmp_path: Path, handbook: Handbook) -> None:
    closed = "Closed: course until 7 June 2027 13:00, mowing / tonte\n"
    open_then = "Later: 2 hours\n> is the course open right now\n"
    said = played(tmp_path, f"{closed}> is the course open right now\n{open_then}", handbook).said
    assert ["mowing" in text for _, way, text in said if way == "<"] == [True, False]


def test_a_renewed_conversation_keeps_everything_but_the_replies(tmp_path: Path, handbook: Handbook) -> None:
    rest = (
        "# First of all.\n> STOP\n< Something\n  said long ago.\nJonas < Something else.\n\n"
        "> is it\n  open\n< Yes.\n# To the end.\nThen: opted out\n"
    )
    renewed = played(tmp_path, rest, handbook).renewed
    assert renewed == (
        f"{BEGINNING}# First of all.\n> STOP\n< {ANSWER_TO_STOP}\n\n"
        "> is it\n  open\n(no answer)\n# To the end.\nThen: opted out\n"
    )


def test_a_renewed_conversation_goes_as_it_is_written(tmp_path: Path, handbook: Handbook) -> None:
    renewed = played(tmp_path, "> is it open\n> can we hire a tent\nJonas > Q1 No.\n> STOP\n", handbook).renewed
    again = play(read_transcript(written(tmp_path, renewed)), handbook)
    assert not again.differences
    assert again.renewed == renewed


def test_rehearse_says_what_differs_and_leaves_the_file_alone_unless_told_to_write(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = written(tmp_path, f"{BEGINNING}> STOP\n< Never.\n")
    call = ["rehearse", str(file), "--knowledge", str(ROOT / "knowledge")]

    assert main(call) == 1
    assert f"differs: {file} (A visit)" in capsys.readouterr().out
    assert "< Never." in file.read_text("utf-8")

    assert main([*call, "--write"]) == 0
    assert f"as written: {file} (A visit)" in capsys.readouterr().out
    assert file.read_text("utf-8") == f"{BEGINNING}> STOP\n< {ANSWER_TO_STOP}\n"


def test_rehearse_names_file_and_line_of_a_fault(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = written(tmp_path, f"{BEGINNING}> STOP\nand so on\n")
    assert main(["rehearse", str(file), "--knowledge", str(ROOT / "knowledge")]) == 1
    assert f"{file}:{FIRST_LINE_AFTER + 1}: " in capsys.readouterr().err


@pytest.mark.parametrize(
    ("setting", "said"),
    [
        ("Closed: marsh until the cows come home, flooded / inondation", "no day and hour"),
        ("Closed: swamp, flooded / inondation", "no loop or hole"),
        ("Closed: 19, flooded / inondation", "no loop or hole"),
        ("Clock: 12:00", "no day and hour"),
    ],
)
def test_a_day_or_a_place_that_there_is_not_is_a_fault_with_file_and_line(
    tmp_path: Path, handbook: Handbook, setting: str, said: str
) -> None:
    with pytest.raises(TranscriptFault, match=rf"visit\.txt:{FIRST_LINE_AFTER}: .*{said}"):
        played(tmp_path, f"{setting}\n> STOP\n", handbook)


def test_rehearse_says_that_a_file_is_not_there(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["rehearse", "--knowledge", str(ROOT / "knowledge"), str(tmp_path / "none.txt")]) == 1
    assert "none.txt: cannot be read" in capsys.readouterr().err
