"""Plain statements of coming are read as what they are, and questions that look like them are not."""

from datetime import date

import pytest

from clubbot.handbook.book import Handbook
from clubbot.model.intents import AskTopic, Rsvp, When
from tests.conftest import NOON


def answers(handbook: Handbook, text: str) -> list[Rsvp]:
    return [intent for intent in handbook.reader.read(text, NOON, "en").intents if isinstance(intent, Rsvp)]


def first_day(when: When | None) -> date | None:
    return when.first if when is not None and when.dated else None


@pytest.mark.parametrize(
    ("text", "kind"),
    [
        ("in for wed, me + 2", "rsvp-yes"),
        ("ill be at the cleanup", "rsvp-yes"),
        ("put me down for the clinic", "rsvp-yes"),
        ("can you save us 2 spots for saturday", "rsvp-yes"),
        ("la soirée des filles, j'y serai", "rsvp-yes"),
        ("can't make it wednesday", "rsvp-no"),
        ("none of the 3 of us can make wed now", "rsvp-no"),
        ("je peux pas mercredi", "rsvp-no"),
        ("in for wed.. no wait, i can't come", "rsvp-no"),
        ("might come thursday", "rsvp-maybe"),
        ("samedi peut-être", "rsvp-maybe"),
        ("make it 4 for league", "rsvp-change"),
        ("one of the kids can't come saturday, so 4 of us", "rsvp-change"),
        ("Bjorn is going instead of me on wednesday", "rsvp-change"),
    ],
)
def test_an_answer_is_read_as_what_it_says(handbook: Handbook, text: str, kind: str) -> None:
    assert [one.kind for one in answers(handbook, text)] == [kind]


@pytest.mark.parametrize(
    "text",
    [
        "when is the next clinic",
        "how much is league",
        "is it open saturday? we'll be there at 9",
        "sign me up for course news",
        "take me off the event list",
        "can i bring my dog on saturday",
        "what do i bring to the work morning",
        "my disc is in the pond, can't get it",
    ],
)
def test_what_only_looks_like_an_answer_is_none(handbook: Handbook, text: str) -> None:
    assert answers(handbook, text) == []


def test_two_days_are_two_answers_with_the_same_number(handbook: Handbook) -> None:
    found = answers(handbook, "in for thursday and saturday, 3 of us")

    assert [(one.kind, first_day(one.when), one.party.total) for one in found] == [
        ("rsvp-yes", date(2027, 6, 10), 3),
        ("rsvp-yes", date(2027, 6, 12), 3),
    ]


def test_another_day_instead_is_a_no_and_a_yes(handbook: Handbook) -> None:
    found = answers(handbook, "cancel thursday and put me down for saturday instead")

    assert [(one.kind, first_day(one.when)) for one in found] == [
        ("rsvp-no", date(2027, 6, 10)),
        ("rsvp-yes", date(2027, 6, 12)),
    ]


def test_a_question_beside_an_answer_is_served_too(handbook: Handbook) -> None:
    intents = handbook.reader.read("in for wed, can i borrow discs?", NOON, "en").intents

    assert [type(intent) for intent in intents] == [Rsvp, AskTopic]
    assert intents[1] == AskTopic("borrow")


def test_the_sunday_in_family_sunday_is_no_day(handbook: Handbook) -> None:
    (found,) = answers(handbook, "put us down for family sunday, 4 of us")

    assert (found.event, first_day(found.when), found.party.total) == ("family-sunday", None, 4)


@pytest.mark.parametrize(
    ("text", "day"),
    [
        ("in for wed, no wait, thursday", date(2027, 6, 10)),
        ("thursday not wednesday, put me down", date(2027, 6, 10)),
        ("put me down for the 16th, will confirm on friday", date(2027, 6, 16)),
    ],
)
def test_the_day_that_holds_is_the_one_meant(handbook: Handbook, text: str, day: date) -> None:
    assert first_day(answers(handbook, text)[0].when) == day


@pytest.mark.parametrize(
    ("text", "events"),
    [
        ("sign me up for league and the clinic", ["dusk-league", "starter-clinic"]),
        ("in for league and family sunday, 3 of us", ["dusk-league", "family-sunday"]),
        ("inscris-moi à la ligue et à l'initiation", ["dusk-league", "starter-clinic"]),
        ("in for league not clinic", ["dusk-league"]),
        ("sign me up for league night", ["dusk-league"]),
    ],
)
def test_two_events_named_together_are_two_answers_and_a_refused_one_is_none(
    handbook: Handbook, text: str, events: list[str]
) -> None:
    assert [(one.kind, one.event) for one in answers(handbook, text)] == [("rsvp-yes", event) for event in events]
