from collections.abc import Callable

import pytest

from clubbot.handbook.book import Handbook
from clubbot.handbook.language_files import shipped_people
from clubbot.understanding.deciding import Decision
from clubbot.understanding.negation import as_negated
from clubbot.understanding.people import only_others_out

people_coming = shipped_people()
Turned = Callable[[str, str], tuple[str, ...]]


@pytest.fixture
def turned(handbook: Handbook) -> Turned:
    def as_turned(intent: str, text: str) -> tuple[str, ...]:
        decision = Decision(served=(intent,))
        return as_negated(decision, handbook.reader.notice(text)).served

    return as_turned


@pytest.mark.parametrize(
    "text",
    ["forget my last message", "remove one", "cancel everything", "delete that", "please stop sending reminders"],
)
def test_what_is_not_said_of_our_texts_opts_nobody_out(text: str, turned: Turned) -> None:
    assert turned("stop", text) == ()


@pytest.mark.parametrize(
    "text", ["stop", "no more texts", "take my number off", "leave me alone", "arrêtez de m'écrire", "unsubscribe me"]
)
def test_a_wish_for_no_more_texts_stays_one(text: str, turned: Turned) -> None:
    assert turned("stop", text) == ("stop",)


@pytest.mark.parametrize("text", ["don't stop the texts", "dont stop", "arrêtez pas les textos"])
def test_whoever_wants_the_texts_to_go_on_is_kept(text: str, turned: Turned) -> None:
    assert turned("stop", text) == ("start-again",)


def test_you_never_stop_is_a_complaint(turned: Turned) -> None:
    assert turned("stop", "you guys never stop! leave me alone") == ("stop",)


@pytest.mark.parametrize("text", ["dont sign me up for league", "don't put us down", "inscrivez-moi pas"])
def test_nobody_is_signed_up_for_what_they_refuse(text: str, turned: Turned) -> None:
    assert turned("rsvp-yes", text) == ("rsvp-no",)


@pytest.mark.parametrize("text", ["dont remind me", "no reminder please", "stop the reminders", "pas besoin de rappel"])
def test_no_reminder_is_set_for_whoever_wants_none(text: str, turned: Turned) -> None:
    assert turned("remind", text) == ()


def test_a_reminder_is_still_set_for_whoever_wants_one(turned: Turned) -> None:
    assert turned("remind", "can you remind me of league") == ("remind",)


@pytest.mark.parametrize(
    "text",
    [
        "she cant come",
        "my son can't come after all",
        "one of us cant make it",
        "ma femme ne vient pas",
        "y'en a un qui peut pas",
    ],
)
def test_one_of_a_party_who_drops_out_is_somebody_else(text: str) -> None:
    assert only_others_out(people_coming(text))


@pytest.mark.parametrize(
    "text",
    [
        "i can't come",
        "we can't make it, my son is sick",
        "my wife and i can't come",
        "none of us can come",
        "je peux pas venir",
        "cancel me",
    ],
)
def test_whoever_speaks_of_himself_is_not(text: str) -> None:
    assert not only_others_out(people_coming(text))
