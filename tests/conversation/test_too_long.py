"""A text of more than anybody types is not read whole: the way out and danger are looked for at its two ends."""

from time import process_time

import pytest

from clubbot.handbook.book import Handbook
from clubbot.model.effects import HandOver, OptOut, Reply
from clubbot.texting.parts import LONGEST_TEXT
from clubbot.trying import try_one
from tests.builders import KIM
from tests.conftest import NOON

_TALK = "and then we walked all the way back to the car park with the dog "


def _long(before: str = "", after: str = "") -> str:
    return before + _TALK * (1 + LONGEST_TEXT * 2 // len(_TALK)) + after


@pytest.mark.parametrize(
    "text",
    [
        _long("STOP. "),
        _long("please stop texting me. "),
        _long(after=". stop"),
        _long(after=". arrêtez de m'écrire"),
    ],
)
def test_an_opt_out_at_either_end_of_a_long_text_is_done(handbook: Handbook, text: str) -> None:
    turned = try_one(text, handbook, KIM, NOON).turned
    assert turned.outcome == "opted out"
    assert any(isinstance(effect, OptOut) for effect in turned.effects)


def test_danger_at_the_end_of_a_long_text_is_danger(handbook: Handbook) -> None:
    turned = try_one(_long(after=". someone is hurt, he is bleeding badly on hole 7, help"), handbook, KIM, NOON).turned
    assert turned.outcome == "danger"
    assert any(isinstance(effect, HandOver) for effect in turned.effects)


def test_any_other_long_text_is_asked_for_in_a_few_words_and_nothing_is_done_by_it(handbook: Handbook) -> None:
    turned = try_one(_long("is the course open? "), handbook, KIM, NOON).turned
    (reply,) = turned.effects
    assert isinstance(reply, Reply)
    assert "too long" in reply.text
    assert turned.outcome == "too long"


def test_a_text_of_just_the_longest_length_is_read(handbook: Handbook) -> None:
    text = ("is the course open today? " + _TALK * 40)[:LONGEST_TEXT].strip()
    assert try_one(text, handbook, KIM, NOON).turned.outcome != "too long"


def test_20000_letters_are_turned_away_quickly(handbook: Handbook) -> None:
    def taken() -> float:
        before = process_time()
        try_one("a " * 10_000, handbook, KIM, NOON)
        return process_time() - before

    assert min(taken() for _ in range(3)) < 0.1
