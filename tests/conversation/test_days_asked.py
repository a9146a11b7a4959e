"""A day that is named and cannot be understood is asked for, and none is taken for it. The clock is Monday 7 June 2027, noon."""

from datetime import date
from typing import Any

import pytest

from clubbot.conversation.replying import Turn
from clubbot.conversation.turn import turn
from clubbot.handbook.book import Handbook
from clubbot.model.effects import Effect, KeepRsvp, OpenChoice, SpeakOf
from clubbot.model.known import Known, Sender
from clubbot.model.rsvps import DayId
from tests.builders import KIM, a_text
from tests.conftest import NOON


def told(handbook: Handbook, text: str) -> Turn:
    """The turn of one text by somebody who is introduced."""
    message = a_text(text, sender=KIM, at=NOON)
    return turn(message, Known(sender=Sender(number=KIM, introduced=True)), handbook.knowledge, handbook.reader, NOON)


def effects_of(turned: Turn, kind: type[Effect]) -> list[Any]:
    return [effect for effect in turned.effects if isinstance(effect, kind)]


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("in for june 31", '"june 31"'),
        ("count me in for the league on 3/4", '"3/4"'),
        ("je serai là le 31 juin", '"le 31 juin"'),
    ],
)
def test_a_sign_up_for_no_day_that_there_is_signs_nobody_up_and_offers_days(
    text: str, words: str, handbook: Handbook
) -> None:
    turned = told(handbook, text)

    assert not effects_of(turned, KeepRsvp)
    assert words in (turned.reply or "")
    assert len(effects_of(turned, OpenChoice)[0].choices) >= 2


@pytest.mark.parametrize(
    ("text", "words"), [("is the course open labour day?", '"labour day"'), ("what's on june 31?", '"june 31"')]
)
def test_a_question_about_such_a_day_is_not_answered_for_today(text: str, words: str, handbook: Handbook) -> None:
    reply = told(handbook, text).reply or ""

    assert words in reply
    assert "date" in reply


@pytest.mark.parametrize("text", ["in for thrusday", "je serai là jeuid"])
def test_a_slip_of_a_day_signs_up_for_that_day(text: str, handbook: Handbook) -> None:
    kept = effects_of(told(handbook, text), KeepRsvp)

    assert [one.on.day.isoformat() for one in kept] == ["2027-06-10"]


@pytest.mark.parametrize(
    "text", ["what's on september 12?", "what is on sunday september 12", "y a quoi le 12 septembre?"]
)
def test_the_second_day_of_an_event_with_one_entry_is_told_and_its_entry_spoken_of(
    text: str, handbook: Handbook
) -> None:
    turned = told(handbook, text)

    assert "Fog Horn Open" in (turned.reply or "")
    assert [effect.on for effect in effects_of(turned, SpeakOf)] == [DayId("fog-horn-open", date(2027, 9, 11))]
