"""`clubbot check`: what a careful editor would look at, told with file, line, what is wrong and what to do."""

from collections.abc import Callable
from datetime import date
from functools import cache
from pathlib import Path

import pytest

from clubbot.handbook.checking import LARGEST_PARTS, check
from clubbot.handbook.findings import Finding, Severity
from clubbot.handbook.phrasebook import shipped_examples
from clubbot.understanding.plain import words_of
from tests.conftest import ROOT
from tests.handbook.broken import ClubFiles, a_club, told

TODAY = date(2027, 6, 7)
Breaking = Callable[[ClubFiles], int]


def test_the_demo_club_has_no_errors() -> None:
    _, findings = check(ROOT / "knowledge", TODAY)

    assert [str(one) for one in findings if one.severity == "error"] == []


@cache
def _findings_of_the_demo_club() -> list[Finding]:
    _, findings = check(ROOT / "knowledge", TODAY)
    return findings


def test_no_way_of_asking_that_ships_asks_for_two_things() -> None:
    asked_for: dict[tuple[str, ...], set[str]] = {}
    for one in shipped_examples():
        words = tuple(word for word in words_of(one.text) if word != "?")
        asked_for.setdefault(words, set()).add(one.intent)
    assert {words: intents for words, intents in asked_for.items() if len(intents) > 1} == {}


def new_findings(club: ClubFiles, today: date = TODAY) -> list[Finding]:
    """What is found now that is not found in the demo club as it is."""
    usual = {(one.file.name, one.wrong) for one in _findings_of_the_demo_club()}
    _, after = check(club.folder, today)
    return [one for one in after if (one.file.name, one.wrong) not in usual]


def an_answer(club: ClubFiles, english: str = "Yes.", french: str = "Oui.") -> None:
    """The answer about dogs: English on line 3, French on line 7, for a second paragraph two lines below."""
    club.write("answers/dogs.md", f"## English: dogs\n\n{english}\n\n## Français : chiens\n\n{french}\n")


LONG = "We all like dogs. " * 30  # 540 letters: four parts of 153
FAIRLY_LONG = "We all like dogs. " * 20  # 360 letters: three parts
HARD = (
    "Notwithstanding aforementioned considerations, canine participation necessitates comprehensive organisational "
    "documentation."
)
HARD_FRENCH = "Nonobstant les considérations susmentionnées, la participation canine nécessite une documentation organisationnelle."


def test_an_answer_over_three_parts_is_an_error(tmp_path: Path) -> None:
    club = a_club(tmp_path)
    an_answer(club, english=LONG)
    (found,) = new_findings(club)

    assert told([found], club) == [("error", "answers/dogs.md", 3)]
    assert found.wrong == "the answer takes 4 text parts"
    assert found.mend == f"shorten it to {LARGEST_PARTS} or fewer"


def test_an_answer_of_three_parts_is_only_a_warning(tmp_path: Path) -> None:
    club = a_club(tmp_path)
    an_answer(club, english=FAIRLY_LONG)
    (found,) = new_findings(club)

    assert told([found], club) == [("warning", "answers/dogs.md", 3)]
    assert "3 text parts" in found.wrong
    assert "two" in found.mend


def test_the_length_counts_with_the_facts_filled_in(tmp_path: Path) -> None:
    club = a_club(tmp_path)
    an_answer(club, english="See {club.name}.")
    club.change("club.toml", "Tern Harbour Disc Golf Club", "Tern Harbour, a club. " * 30)

    assert ("error", "answers/dogs.md", 3) in told(new_findings(club), club)


def test_both_paragraphs_count_together(tmp_path: Path) -> None:
    club = a_club(tmp_path)
    an_answer(club, english=f"{LONG[:290]}\n\n{LONG[:290]}")

    assert ("error", "answers/dogs.md", 3) in told(new_findings(club), club)


def test_a_third_paragraph_is_an_error_on_its_own_line(tmp_path: Path) -> None:
    club = a_club(tmp_path)
    an_answer(club, french="Un.\n\nDeux.\n\nTrois.")
    (found,) = new_findings(club)

    assert told([found], club) == [("error", "answers/dogs.md", 11)]
    assert "more than two paragraphs" in found.wrong


# Source: reference/standards.md section 1.1: these marks are not in the alphabet of text messages and leave 70 letters a part.
@pytest.mark.parametrize(("mark", "plain"), [("’", "'"), ("“", '"'), ("–", "-"), ("—", "-"), ("…", "..."), ("«", '"')])
def test_a_typographic_mark_is_told_with_its_plain_one(tmp_path: Path, mark: str, plain: str) -> None:
    club = a_club(tmp_path)
    an_answer(club, english=f"Yes{mark}yes.")
    (found,) = new_findings(club)

    assert told([found], club) == [("warning", "answers/dogs.md", 3)]
    assert "70-character alphabet" in found.wrong
    assert plain in found.mend


def test_a_typographic_mark_in_the_second_paragraph_is_told_by_that_line(tmp_path: Path) -> None:
    club = a_club(tmp_path)
    an_answer(club, french="Oui.\n\nC’est bon.")

    assert told(new_findings(club), club) == [("warning", "answers/dogs.md", 9)]


def test_a_letter_that_no_plain_one_stands_for_is_told(tmp_path: Path) -> None:
    club = a_club(tmp_path)
    an_answer(club, english="Yes, dogs \N{DOG FACE}.")
    (found,) = new_findings(club)

    assert told([found], club) == [("warning", "answers/dogs.md", 3)]
    assert "\N{DOG FACE}" in found.wrong
    assert "leave it out" in found.mend


# French circumflexes are no fault by themselves: they are written plainly where that saves a part, if the club wants it so.
@pytest.mark.parametrize(("plain_letters", "expected"), [("true", []), ("false", [("warning", "answers/dogs.md", 7)])])
def test_accents_that_cost_a_part_are_told_where_the_club_keeps_them(
    tmp_path: Path, plain_letters: str, expected: list[tuple[Severity, str, int]]
) -> None:
    club = a_club(tmp_path)
    club.change("club.toml", "plain_letters = true", f"plain_letters = {plain_letters}")
    an_answer(club, french="Oui, la fête est à nous. Les chiens sont là. On joue le soir au parc. C'est bon.")
    found = [one for one in new_findings(club) if one.file.name == "dogs.md"]

    assert told(found, club) == expected
    assert all("plain_letters" in one.mend for one in found)


@pytest.mark.parametrize(
    ("english", "french", "line", "formula"),
    [(HARD, "Oui.", 3, "Flesch-Kincaid"), ("Yes.", HARD_FRENCH, 7, "Kandel-Moles")],
)
def test_an_answer_that_is_hard_to_read_is_told_with_its_formula(
    tmp_path: Path, english: str, french: str, line: int, formula: str
) -> None:
    club = a_club(tmp_path)
    an_answer(club, english, french)
    (found,) = new_findings(club)

    assert told([found], club) == [("warning", "answers/dogs.md", line)]
    assert formula in found.wrong
    assert "shorter" in found.mend


def test_two_topics_asked_for_in_the_same_words_collide(tmp_path: Path) -> None:
    club = a_club(tmp_path)
    line = club.add("answers/dogs.md", "\n## Ways of asking\n\n- en: can I bring Rex\n") + 3
    club.add("answers/children.md", "\n## Ways of asking\n\n- en: Can i bring REX?\n")
    (found,) = new_findings(club)

    assert found.severity == "error"
    assert found.line == line
    assert "asks for" in found.wrong
    assert "leave it with" in found.mend


def test_a_clubs_way_of_asking_may_not_be_one_that_ships_for_another_topic(tmp_path: Path) -> None:
    club = a_club(tmp_path)
    line = club.add("answers/dogs.md", "\n## Ways of asking\n\n- en: Is it open today?!\n- en: is it open today\n") + 3
    found = [one for one in new_findings(club) if "status" in one.wrong]

    assert told(found, club) == [("error", "answers/dogs.md", line), ("error", "answers/dogs.md", line + 1)]


def test_a_way_of_asking_may_ship_for_the_same_topic_too(tmp_path: Path) -> None:
    club = a_club(tmp_path)
    club.add("answers/dogs.md", "\n## Ways of asking\n\n- en: can i bring my dog\n- en: can I bring my dog?\n")

    assert new_findings(club) == []


# The demo club's [prices] say check_by = 2028-03-31; its [rules] 2027-12-31.
@pytest.mark.parametrize(("today", "old"), [(date(2027, 12, 31), set()), (date(2028, 1, 1), {"[rules]"}), (date(2028, 4, 1), {"[rules]", "[prices]", "[course]"})])  # fmt: skip
def test_facts_past_the_day_by_which_somebody_should_look_are_told(tmp_path: Path, today: date, old: set[str]) -> None:
    found = [one for one in new_findings(a_club(tmp_path), today) if "looked at by" in one.wrong]

    assert {one.wrong.split()[0] for one in found} == old
    assert {one.severity for one in found} <= {"warning"}
    assert all("check_by" in one.mend for one in found)


def test_a_fact_past_its_day_is_told_by_the_line_of_that_day(tmp_path: Path) -> None:
    club = a_club(tmp_path)
    line = club.change("club.toml", "check_by = 2028-03-31", "check_by = 2027-01-01")
    (found,) = new_findings(club)

    assert told([found], club) == [("warning", "club.toml", line)]
    assert "2027-01-01" in found.wrong


def test_an_event_has_its_own_day_to_look_at_it(tmp_path: Path) -> None:
    club = a_club(tmp_path)
    line = club.change("events.toml", "places = 16", "check_by = 2027-01-01\nplaces = 16")

    assert told(new_findings(club), club) == [("warning", "events.toml", line)]


def test_events_that_run_at_the_same_time_are_told_once(tmp_path: Path) -> None:
    club = a_club(tmp_path)
    club.change("events.toml", "FREQ=WEEKLY;BYDAY=TH", "FREQ=WEEKLY;BYDAY=WE")
    club.change("events.toml", "first = 2027-06-03", "first = 2027-06-02")
    (found,) = new_findings(club)

    assert (found.severity, found.file.name) == ("warning", "events.toml")
    assert found.line in {
        number
        for number, line in enumerate(club.read("events.toml").splitlines(), start=1)
        if line in {"starts = 18:15:00", "starts = 18:00:00"}
    }
    assert "dusk-league" in found.wrong
    assert "women-girls" in found.wrong
    assert "2027-06-02" in found.wrong
    assert "[[event.change]]" in found.mend


def test_an_event_called_off_for_the_day_runs_at_the_same_time_as_nothing(tmp_path: Path) -> None:
    club = a_club(tmp_path)
    club.change(
        "events.toml",
        '\n[[event]]\nid = "family-sunday"',
        '\n[[event.change]]\nday = 2027-09-11\ncalled_off = true\n\n[[event]]\nid = "family-sunday"',
    )
    _, findings = check(club.folder, TODAY)

    assert not any("run at the same time" in one.wrong for one in findings)


# Every way in which an event cannot be. `old` becomes `new`; the finding stands on the line of `key`, that of `new` where they agree.
@pytest.mark.parametrize(
    ("old", "new", "wrong", "mend"),
    [
        ("ends = 20:30:00", "ends = 18:15:00", "ends before it starts", "starts or ends"),
        ("ends = 20:30:00", "ends = 17:00:00", "ends before it starts", "starts or ends"),
        ("sign_up = 17:45:00", "sign_up = 18:30:00", "sign-up after the start", "sign_up"),
        ("rsvp_closes = 17:00:00", "rsvp_closes = 19:00:00", "sign-ups after the start", "rsvp_closes"),
        ("places = 72", "places = 0", "no places", "number of places"),
        ("price = 5", "price = -5", "price that cannot be", "member"),
        ("rsvp_opens = 2027-07-01", "rsvp_opens = 2027-10-01", "after its last day", "rsvp_opens"),
        ("first = 2027-05-05", "first = 2027-05-06", "own first day", "first"),
    ],
)
def test_an_impossible_event_is_told(tmp_path: Path, old: str, new: str, wrong: str, mend: str) -> None:
    club = a_club(tmp_path)
    line = club.change("events.toml", old, new)
    found = [one for one in new_findings(club) if wrong in one.wrong]

    assert told(found, club) == [("error", "events.toml", line)]
    assert mend in found[0].mend


def test_a_member_pays_no_more_than_others(tmp_path: Path) -> None:
    club = a_club(tmp_path)
    club.change("events.toml", "member_price = 3", "member_price = 8")
    (found,) = new_findings(club)

    assert found.severity == "error"
    assert "member pays at most the price" in found.mend


def test_a_change_of_a_day_that_is_none_of_the_event_is_told(tmp_path: Path) -> None:
    club = a_club(tmp_path)
    line = club.change(
        "events.toml",
        '\n[[event]]\nid = "starter-clinic"',
        '\n[[event.change]]\nday = 2027-06-10\ncalled_off = true\n\n[[event]]\nid = "starter-clinic"',
    )
    (found,) = new_findings(club)

    assert (found.severity, found.file.name) == ("error", "events.toml")
    assert line + 1 <= found.line <= line + 2
    assert "2027-06-10" in found.wrong


def test_what_cannot_be_read_is_told_as_well(tmp_path: Path) -> None:
    club = a_club(tmp_path)
    line = club.change("answers/membership.md", "{prices.membership}", "{prices.membership")
    loaded, findings = check(club.folder, TODAY)

    assert loaded.knowledge is None
    assert ("error", "answers/membership.md", line) in told(findings, club)


def test_old_facts_are_told_even_where_a_file_cannot_be_used(tmp_path: Path) -> None:
    club = a_club(tmp_path)
    club.change("people.toml", 'person = "femi"', 'person = "femmi"')
    _, findings = check(club.folder, date(2029, 1, 1))

    assert {one.severity for one in findings} == {"error", "warning"}
    assert any("looked at by" in one.wrong for one in findings)


def test_errors_come_first_then_by_file_and_line(tmp_path: Path) -> None:
    club = a_club(tmp_path)
    club.change("events.toml", "places = 72", "places = 0")
    an_answer(club, english=LONG, french="C’est bon.")
    _, findings = check(club.folder, TODAY)
    order = [(one.severity != "error", str(one.file), one.line) for one in findings]

    assert order == sorted(order)
    assert {one.severity for one in findings} == {"error", "warning"}


@pytest.mark.parametrize("folder", ["nowhere", "empty"])
def test_a_folder_without_files_is_told_and_nothing_breaks(tmp_path: Path, folder: str) -> None:
    (tmp_path / "empty").mkdir()
    loaded, findings = check(tmp_path / folder, TODAY)

    assert loaded.knowledge is None
    assert findings
    assert all(one.severity == "error" and one.mend for one in findings)


def test_a_fact_that_is_missing_in_an_answer_is_told_and_the_rest_is_looked_at(tmp_path: Path) -> None:
    club = a_club(tmp_path)
    line = club.change("answers/membership.md", "{prices.membership}", "{prices.membershp}")
    loaded, findings = check(club.folder, TODAY)

    assert loaded.knowledge is not None
    assert ("warning", "answers/membership.md", line) in told(findings, club)


@pytest.mark.parametrize(
    ("file", "fact", "line"),
    [
        ("club.toml", "leave", 'leave = { en = "the box'),
        ("club.toml", "days_kept", "days_kept = 60"),
        ("course.toml", "call", "call = { en ="),
    ],
)
def test_a_fact_that_an_answer_could_use_is_told_with_a_line_to_paste(
    tmp_path: Path, file: str, fact: str, line: str
) -> None:
    club = a_club(tmp_path)
    written = next(one for one in (club.folder / file).read_text("utf-8").splitlines() if one.startswith(f"{fact} ="))
    club.change(file, written, f"# {fact} is left out")
    _, findings = check(club.folder, TODAY)

    assert any(one.file.name == file and line in one.mend for one in findings)


def test_topics_without_an_answer_are_told_with_how_to_write_one(tmp_path: Path) -> None:
    club = a_club(tmp_path)
    (club.folder / "answers" / "dogs.md").unlink()
    _, findings = check(club.folder, TODAY)

    assert any("no answer is written for: dogs" in one.wrong and "answers/dogs.md" in one.mend for one in findings)


def details_of_dogs(club: ClubFiles, english: str, french: str = "") -> list[str]:
    """What is found wrong with these details of the answer about dogs: English ones begin on line 5."""
    text = f"## English: dogs\n\nYes.\n\n{english}\n\n## Français : chiens\n\nOui.\n\n{french}\n"
    club.write("answers/dogs.md", text)
    return [f"{one.line} {one.wrong}" for one in new_findings(club) if one.file.name == "dogs.md"]


PUPPY = "### Puppies too?\n\n- is a puppy welcome\n\nYes, puppies too."
CHIOT = "### Les chiots aussi?\n\n- un chiot est-il admis\n\nOui, les chiots aussi."


@pytest.mark.parametrize(
    ("english", "french", "wrong"),
    [
        (PUPPY, CHIOT, ""),
        (PUPPY, "", '5 "Puppies too?" stands nowhere in French'),
        (PUPPY, CHIOT.rpartition("\n\n")[0], "has no passage: a volunteer is asked in French only"),
        (f"{PUPPY}\n\n### Twice?\n\n- is a puppy welcome\n\nYes.", CHIOT, "stands under two details"),
        ("### Puppies too?\n\nYes.", CHIOT, '5 "Puppies too?" has no other wording'),
        (PUPPY.replace("Yes,", "Yes, yes, " * 30), CHIOT, "9 the passage has 3"),
        (PUPPY.replace("Yes,", "Yes, {no.fact}"), CHIOT, "9 there is no fact {no.fact}"),
        (PUPPY.replace("Yes,", "Yes\u2019,"), CHIOT, "takes the text to the 70-character alphabet"),
    ],
)
def test_what_is_wrong_with_details_is_told(english: str, french: str, wrong: str, tmp_path: Path) -> None:
    found = details_of_dogs(a_club(tmp_path), english, french)

    assert any(wrong in one for one in found) if wrong else found == []
