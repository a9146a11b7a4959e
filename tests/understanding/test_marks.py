"""What the sentence model hears of what was said before."""

from datetime import timedelta

from clubbot.model.caution import WARNED_FOR, Warned
from clubbot.model.dialogue import DialogueState
from clubbot.model.exchange import Exchange
from clubbot.understanding.marks import marks_in, marks_of
from tests.conftest import NOON


def test_the_marks_tell_what_was_served_what_it_was_about_what_we_await_and_what_was_warned_of() -> None:
    assert marks_of(("rsvp-yes", "where", "cost"), "league", "number", 4, ("water",)) == (
        "after rsvp-yes",
        "after where",
        "about league",
        "awaits number",
        "down many",
        "warned water",
    )


def test_a_warning_is_a_mark_for_as_long_as_it_stays_in_mind() -> None:
    warned = DialogueState(warned=Warned(risks=("thunder",), at=NOON))

    assert marks_in(warned, lambda event: event, NOON + timedelta(minutes=1)) == ("warned thunder",)
    assert marks_in(warned, lambda event: event, NOON + WARNED_FOR) == ()


def test_a_warning_is_no_mark_any_more_when_something_else_was_said_since() -> None:
    at = NOON + timedelta(minutes=1)
    since = Exchange(text="what time is league", language="en", intents=(), others=(), at=at)
    warned = DialogueState(warned=Warned(risks=("thunder",), at=NOON), exchanges=(since,))

    assert "warned thunder" not in marks_in(warned, lambda event: event, NOON + timedelta(minutes=2))
