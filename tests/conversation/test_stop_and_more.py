"""Opting out and in again, beside other wishes and in words that only look like it."""

import pytest

from clubbot.handbook.book import Handbook
from clubbot.trying import try_one
from tests.builders import KIM
from tests.conftest import NOON


def _served(handbook: Handbook, text: str) -> tuple[str, ...]:
    return try_one(text, handbook, KIM, NOON).turned.served


@pytest.mark.parametrize(
    "text",
    [
        "I told you to stop texting me last month, please turn it all back on",
        "vous aviez arrêté vos messages, je voudrais recommencer à les avoir",
        "don't stop the texts",
        "arrêtez pas les textos svp",
    ],
)
def test_whoever_speaks_of_stopping_but_wants_the_texts_is_kept(handbook: Handbook, text: str) -> None:
    assert _served(handbook, text) == ("start-again",)


@pytest.mark.parametrize(
    "text", ["please stop texting me", "arrêtez de m'écrire", "stop sending me these, never again", "STOP"]
)
def test_a_wish_to_stop_stays_one(handbook: Handbook, text: str) -> None:
    assert _served(handbook, text) == ("stop",)


def test_what_else_is_asked_beside_an_opt_in_is_answered_with_it(handbook: Handbook) -> None:
    tried = try_one("turn the texts back on please. what am i signed up for", handbook, KIM, NOON)
    assert tried.turned.served == ("start-again", "my-rsvps")
    assert "STOP ends them" in tried.reply
    assert "not down for anything" in tried.reply


def test_not_coming_is_done_beside_an_opt_out(handbook: Handbook) -> None:
    assert _served(handbook, "take me off for wednesday and then stop all the messages") == ("stop", "rsvp-no")
