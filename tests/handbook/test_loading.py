"""The knowledge folder read: the demo club as it should be, and every way of breaking its files told with file, line and remedy."""

from collections.abc import Callable
from datetime import date, datetime, time
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

from clubbot.handbook.loading import load, load_or_fault
from clubbot.model.errors import KnowledgeFault
from clubbot.model.messages import LANGUAGES
from tests.conftest import ROOT
from tests.handbook.broken import ClubFiles, a_club, told


def test_the_demo_clubs_files_can_be_used() -> None:
    loaded = load(ROOT / "knowledge")

    assert [str(one) for one in loaded.findings if one.severity == "error"] == []
    assert loaded.knowledge is not None


# Source: scenario/club.md.
def test_the_demo_clubs_facts_are_those_of_its_scenario() -> None:
    knowledge = load_or_fault(ROOT / "knowledge")
    course, league = knowledge.course, knowledge.event("dusk-league")

    assert (len(course.holes), sum(hole.par for hole in course.holes), len(course.loops)) == (18, 61, 3)
    assert [(hole.hole, hole.par, hole.long, hole.short) for hole in course.holes][4] == (5, 5, 204, 150)
    assert min(course.holes, key=lambda hole: hole.long).hole == 13
    assert (knowledge.club.number, knowledge.club.zone) == ("+19025550100", ZoneInfo("America/Halifax"))
    assert (league.starts, league.sign_up, league.rsvp_closes) == (time(18, 15), time(17, 45), time(17))
    assert (league.first, league.last, league.places) == (date(2027, 5, 5), date(2027, 9, 29), 72)
    assert (league.price, league.member_price) == (5, 3)
    assert knowledge.event("fog-horn-open").rsvp_opens == date(2027, 7, 1)
    assert {one.number for one in knowledge.people} == {f"+1902555010{last}" for last in range(1, 6)}
    assert [person.name for person in knowledge.people if "organiser" in person.roles] == ["Odile Marchand"]


def test_a_price_changed_once_changes_in_every_answer_that_names_it_in_both_languages(tmp_path: Path) -> None:
    club = a_club(tmp_path)
    before = load_or_fault(club.folder)
    club.change("club.toml", "membership = 25", "membership = 777")
    after = load_or_fault(club.folder)
    for topic, answer in after.answers.items():
        written = club.read(f"answers/{topic}.md")
        for language, french in (("en", False), ("fr", True)):
            section = written.split("## Français")[french]
            said = " ".join(answer.paragraphs["fr" if french else "en"])
            was = " ".join(before.answers[topic].paragraphs["fr" if french else "en"])

            assert ("777" in said) == ("{prices.membership}" in section), (topic, language)
            assert (said == was) == ("{prices.membership}" not in section), (topic, language)
    assert "CA$777" in " ".join(after.answers["membership"].paragraphs["en"])
    assert "777 $ CA" in " ".join(after.answers["membership"].paragraphs["fr"])


def test_no_answer_types_a_price_that_is_a_fact(tmp_path: Path) -> None:
    club = a_club(tmp_path)
    for old, new in (
        ("membership = 25", "membership = 771"),
        ("membership_reduced = 10", "membership_reduced = 772"),
        ("disc_set = 35", "disc_set = 773"),
        ("basket_sponsor = 250", "basket_sponsor = 774"),
    ):
        club.change("club.toml", old, new)
    for old, new in (
        ("price = 5", "price = 775"),
        ("member_price = 3", "member_price = 776"),
        ("price = 40", "price = 777"),
    ):
        club.change("events.toml", old, new)
    answers = load_or_fault(club.folder).answers
    still = {
        topic: text
        for topic, answer in answers.items()
        for language in LANGUAGES
        for text in answer.paragraphs[language]
        if any(
            old in text
            for old in ("CA$25", "CA$10", "CA$35", "CA$250", "CA$5", "CA$3", "CA$40", "25 $", "10 $", "35 $", "40 $")
        )
    }

    assert still == {}


# Breaking a file. Each gives the severity, the file and the line that must be told, with words of what is wrong and what to do.
Breaking = Callable[[ClubFiles], int]


def _whole_file(change: Callable[[ClubFiles], object]) -> Breaking:
    """A fault that belongs to the file as a whole: line 0."""

    def broken(club: ClubFiles) -> int:
        change(club)
        return 0

    return broken


def _cut_french(club: ClubFiles) -> None:
    club.write("answers/dogs.md", club.read("answers/dogs.md").split("## Français")[0])


def _cut_english(club: ClubFiles) -> None:
    text = club.read("answers/dogs.md")
    club.write("answers/dogs.md", "# dogs\n\n## Français" + text.split("## Français")[1])


def _without(file: str) -> Breaking:
    return _whole_file(lambda club: (club.folder / file).unlink())


@pytest.mark.parametrize(
    ("breaking", "file", "wrong", "mend"),
    [
        pytest.param(
            lambda club: club.change("club.toml", "keep_texts_days = 365", "keep_texts_days = 30"),
            "club.toml",
            "look back further",
            "write 90 or more",
            id="texts not kept long enough",
        ),
        pytest.param(
            lambda club: club.change("answers/membership.md", "{prices.membership}", "{prices.membership"),
            "answers/membership.md",
            "brace",
            "{table.key}",
            id="open brace",
        ),
        pytest.param(_whole_file(_cut_french), "answers/dogs.md", "no answer in fr", "## Français", id="no French"),
        pytest.param(_whole_file(_cut_english), "answers/dogs.md", "no answer in en", "## English", id="no English"),
        pytest.param(
            lambda club: club.change("events.toml", 'topic = "league"', 'topic = "leage"'),
            "events.toml",
            '"leage"',
            "answers/leage.md",
            id="event without an answer",
        ),
        pytest.param(
            _whole_file(lambda club: club.write("answers/status.md", club.read("answers/dogs.md"))),
            "answers/status.md",
            '"status"',
            "another name",
            id="answer to what is worked out",
        ),
        pytest.param(_without("course.toml"), "course.toml", "missing", "make it", id="missing file"),
        pytest.param(
            lambda club: club.change("club.toml", 'country = "CA"', 'country = "CA'),
            "club.toml",
            "TOML",
            "quotes",
            id="bad TOML",
        ),
        pytest.param(
            _whole_file(lambda club: (club.folder / "people.toml").write_bytes("# é".encode("latin-1"))),
            "people.toml",
            "UTF-8",
            "UTF-8",
            id="other encoding",
        ),
        pytest.param(
            lambda club: club.change("events.toml", "places = 72", "palces = 72"),
            "events.toml",
            "palces",
            "correct the key's name",
            id="misspelt key of an event",
        ),
        pytest.param(
            lambda club: club.change("club.toml", "plain_letters", "plain_leters"),
            "club.toml",
            "plain_leters",
            "correct the key's name",
            id="misspelt key of the club",
        ),
        pytest.param(
            lambda club: club.change("people.toml", "[[duty]]", "[[dutty]]"),
            "people.toml",
            "[dutty]",
            "[[duty]]",
            id="misspelt table",
        ),
        pytest.param(
            lambda club: club.add("events.toml", '\n[meeting]\nwhen = "March"\n') + 1,
            "events.toml",
            "[meeting]",
            "[[event]]",
            id="unknown table",
        ),
        pytest.param(
            lambda club: club.change("people.toml", 'person = "femi"', 'person = "femmi"'),
            "people.toml",
            '"femmi"',
            "femi",
            id="unknown duty person",
        ),
        pytest.param(
            lambda club: club.change("people.toml", "until = 21:00:00", "until = 07:00:00"),
            "people.toml",
            "ends before it begins",
            "midnight",
            id="duty that ends before it begins",
        ),
        pytest.param(
            lambda club: club.change("people.toml", 'days = ["tue"]', 'days = ["tuesday"]'),
            "people.toml",
            "days",
            "one of the words listed",
            id="unknown weekday",
        ),
        pytest.param(
            lambda club: club.change("people.toml", "+1 902 555 0103", "902 555"),
            "people.toml",
            "Jonas Lindqvist",
            "+1 902 555 0101",
            id="bad number of a person",
        ),
        pytest.param(
            lambda club: club.change("club.toml", "+1 902 555 0100", "call us"),
            "club.toml",
            '"call us"',
            "+1 902 555 0100",
            id="bad number of the club",
        ),
        pytest.param(
            lambda club: club.change("club.toml", "America/Halifax", "America/Halifacks"),
            "club.toml",
            "America/Halifacks",
            "America/Halifax",
            id="unknown time zone",
        ),
        pytest.param(
            lambda club: club.change("club.toml", 'languages = ["en", "fr"]', 'languages = ["en", "de"]'),
            "club.toml",
            "languages",
            "one of the words listed",
            id="unknown language",
        ),
        pytest.param(
            lambda club: club.change("club.toml", 'languages = ["en", "fr"]', "languages = []"),
            "club.toml",
            "no language",
            '["en", "fr"]',
            id="no language",
        ),
        pytest.param(
            _whole_file(lambda club: club.change("people.toml", 'roles = ["organiser"]', 'roles = ["helper"]')),
            "people.toml",
            "organiser",
            "organiser",
            id="no organiser",
        ),
        pytest.param(
            lambda club: club.change("events.toml", "FREQ=WEEKLY;BYDAY=WE", "every Wednesday"),
            "events.toml",
            "every Wednesday",
            "FREQ=WEEKLY;BYDAY=WE",
            id="bad rule",
        ),
        pytest.param(
            lambda club: club.change("events.toml", "FREQ=WEEKLY;BYDAY=WE", "FREQ=DAILY;INTERVAL=0"),
            "events.toml",
            "INTERVAL",
            "FREQ=WEEKLY;BYDAY=WE",
            id="rule without an end",
        ),
        pytest.param(
            lambda club: club.change("events.toml", "last = 2027-09-29", "last = 2027-05-01"),
            "events.toml",
            "never takes place",
            "first, last or repeats",
            id="event that never takes place",
        ),
        pytest.param(
            lambda club: club.change("events.toml", 'id = "starter-clinic"', 'id = "dusk-league"'),
            "events.toml",
            "two events",
            "rename one",
            id="same id twice",
        ),
        pytest.param(
            lambda club: club.change("events.toml", 'loop = "shore"', 'loop = "sure"'),
            "events.toml",
            '"sure"',
            "loop's id",
            id="unknown loop of an event",
        ),
        pytest.param(
            lambda club: club.change("events.toml", "starts = 10:30:00", 'starts = "half past ten"'),
            "events.toml",
            "starts",
            "18:15:00",
            id="hour in words",
        ),
        pytest.param(
            lambda club: club.change("events.toml", "first = 2027-04-10", 'first = "in April"'),
            "events.toml",
            "first",
            "2027-06-07",
            id="day in words",
        ),
        pytest.param(
            lambda club: club.change("events.toml", 'fr = "le hangar à bateaux"', 'de = "das Bootshaus"'),
            "events.toml",
            "meet.fr",
            "add the key",
            id="place without French",
        ),
        pytest.param(
            lambda club: club.change("course.toml", "hole = 7, par = 3", "hole = 7, par = true_"),
            "course.toml",
            "TOML",
            "quotes",
            id="hole that is no TOML",
        ),
        pytest.param(
            lambda club: club.change("course.toml", "hole = 7, par = 3", 'hole = 7, par = "three"'),
            "course.toml",
            "par",
            "whole number",
            id="hole with a par in words",
        ),
        pytest.param(
            lambda club: club.add(
                "course.toml",
                '\n[[closure]]\nwhat = "mash"\nsince = 2027-06-05T08:00:00\nreason = { en = "a", fr = "a" }\n'
                "until = 2027-06-06T08:00:00\n",
            )
            + 2,
            "course.toml",
            '"mash"',
            "hole's number",
            id="closure of nothing",
        ),
        pytest.param(
            lambda club: club.change("course.toml", "[course]", "[coarse]") * 0,
            "course.toml",
            "latitude",
            "add it",
            id="no course",
        ),
        pytest.param(
            lambda club: club.change("course.toml", "[[round]]", "[[rounds]]")
            and club.change("course.toml", "[[round]]", "[[rounds]]")
            and club.change("course.toml", "[[round]]", "[[rounds]]") * 0,
            "course.toml",
            "[[round]]",
            "how long a round takes",
            id="no lengths of rounds",
        ),
        pytest.param(
            lambda club: club.change("wording/en.toml", "money =", "monney ="),
            "wording/en.toml",
            "monney",
            "keys",
            id="unknown sentence",
        ),
        pytest.param(
            lambda club: club.add("wording/en.toml", '\n[thanks]\nreply = "Ask {club.nmae}."\n') + 2,
            "wording/en.toml",
            "{club.nmae}",
            "fact",
            id="unknown fact in a sentence",
        ),
    ],
)  # fmt: skip
def test_what_is_wrong_is_told_with_file_line_and_what_to_do(
    tmp_path: Path, breaking: Breaking, file: str, wrong: str, mend: str
) -> None:
    club = a_club(tmp_path)
    line = breaking(club)
    loaded = load(club.folder)

    assert ("error", file, line) in told(loaded.findings, club), [str(one) for one in loaded.findings]
    assert any(
        (str(one.file.relative_to(club.folder)), one.line) == (file, line) and wrong in one.wrong and mend in one.mend
        for one in loaded.findings
    ), [str(one) for one in loaded.findings]
    assert loaded.knowledge is None


def test_a_folder_that_is_not_there_is_told(tmp_path: Path) -> None:
    loaded = load(tmp_path / "nowhere")

    assert [(one.severity, one.file, one.line) for one in loaded.findings] == [("error", tmp_path / "nowhere", 0)]
    assert "no such folder" in loaded.findings[0].wrong
    assert "club.toml" in loaded.findings[0].mend
    assert loaded.knowledge is None


def test_all_faults_are_told_in_one_go(tmp_path: Path) -> None:
    club = a_club(tmp_path)
    club.change("events.toml", "places = 72", "palces = 72")
    club.change("people.toml", "+1 902 555 0103", "902 555")
    club.change("wording/fr.toml", "money =", "monnaie =")

    assert {one.file.name for one in load(club.folder).findings} == {"events.toml", "people.toml", "fr.toml"}


def test_a_topic_without_an_answer_is_a_warning_and_a_volunteer_is_asked_meanwhile(tmp_path: Path) -> None:
    club = a_club(tmp_path)
    (club.folder / "answers" / "dogs.md").unlink()
    loaded = load(club.folder)

    assert told(loaded.findings, club) == [("warning", "answers", 0)]
    assert "dogs" in loaded.findings[0].wrong
    assert "dogs.md" in loaded.findings[0].mend
    assert loaded.knowledge is not None
    assert "dogs" not in loaded.knowledge.answers


def test_a_clubs_own_topic_is_answered_and_its_ways_of_asking_are_learnt(tmp_path: Path) -> None:
    club = a_club(tmp_path)
    club.write(
        "answers/sauna.md",
        "## English: the sauna\n\nFree.\n\n## Français : le sauna\n\nGratuit.\n\n## Ways of asking\n\n- en: is there a sauna\n",
    )
    knowledge = load_or_fault(club.folder)

    assert knowledge.answers["sauna"].paragraphs == {"en": ("Free.",), "fr": ("Gratuit.",)}
    assert [(one.text, one.intent) for one in knowledge.examples][-1] == ("is there a sauna", "sauna")


def test_a_fault_carries_every_error_and_no_warning(tmp_path: Path) -> None:
    club = a_club(tmp_path)
    (club.folder / "answers" / "dogs.md").unlink()
    club.change("answers/membership.md", "{prices.membership}", "{prices.membership")
    with pytest.raises(KnowledgeFault) as caught:
        load_or_fault(club.folder)

    assert "brace" in str(caught.value)
    assert "answers/dogs.md" not in str(caught.value)


def test_a_closure_in_the_file_is_meant_in_local_time(tmp_path: Path) -> None:
    club = a_club(tmp_path)
    club.add(
        "course.toml",
        '\n[[closure]]\nwhat = "marsh"\nsince = 2027-06-05T08:00:00\nuntil = 2027-06-08T12:00:00\nreason = { en = "flooded", fr = "inondation" }\n',
    )
    (closure,) = load_or_fault(club.folder).course.closures

    assert closure.since == datetime(2027, 6, 5, 8, tzinfo=ZoneInfo("America/Halifax"))
    assert closure.until == datetime(2027, 6, 8, 12, tzinfo=ZoneInfo("America/Halifax"))


def test_a_closure_may_be_without_an_end(tmp_path: Path) -> None:
    club = a_club(tmp_path)
    club.add("course.toml", '\n[[closure]]\nwhat = "3"\nsince = 2027-06-05T08:00:00\nreason = { en = "a", fr = "b" }\n')
    (closure,) = load_or_fault(club.folder).course.closures

    assert closure.until is None


# A fact that an answer names and that has gone


def test_a_missing_fact_stops_nothing_and_is_told_with_its_line_and_the_nearest_name(tmp_path: Path) -> None:
    club = a_club(tmp_path)
    line = club.change("answers/membership.md", "{prices.membership}", "{prices.membershp}")
    loaded = load(club.folder)

    assert loaded.knowledge is not None
    (found,) = [one for one in loaded.findings if "{prices.membershp}" in one.wrong]
    assert (found.severity, found.line) == ("warning", line)
    assert "{prices.membership}" in found.mend


def test_an_answer_that_begins_with_a_missing_fact_is_not_given_in_part(tmp_path: Path) -> None:
    club = a_club(tmp_path)
    club.change("answers/dogs.md", "On the course dogs", "{zebra.xylophone} On the course dogs")
    loaded = load(club.folder)

    assert loaded.knowledge is not None
    assert loaded.knowledge.answers["dogs"].paragraphs["en"] == ()
    assert loaded.knowledge.answers["dogs"].paragraphs["fr"]
    assert any("a volunteer is asked" in one.wrong for one in loaded.findings)


def test_a_sentence_with_a_missing_fact_is_left_out_of_its_answer(tmp_path: Path) -> None:
    club = a_club(tmp_path)
    club.change("people.toml", 'roles = ["treasurer"]', 'roles = ["helper"]')
    loaded = load(club.folder)

    assert loaded.knowledge is not None
    said = " ".join(loaded.knowledge.answers["pay"].paragraphs["en"])
    assert said.startswith("Pay in cash")
    assert "treasurer" not in said
    assert any("{people.treasurer}" in one.wrong for one in loaded.findings)


def test_an_event_that_is_gone_from_the_files_does_not_stop_the_club(tmp_path: Path) -> None:
    club = a_club(tmp_path)
    club.change("answers/cost.md", "{events.dusk", "{events.gone")

    assert load(club.folder).knowledge is not None
