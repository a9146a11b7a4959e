"""Rules of whole texts and of how a text begins: courtesy and joining words around what is said change nothing."""

import pytest

from clubbot.understanding.noticing import Noticed, Noticing
from clubbot.understanding.phrases import Groups
from clubbot.understanding.rules import Rules, WrittenRule
from clubbot.understanding.text import Spelling

GROUPS: Groups = {"opening": ("ok", "thanks", "and", "what about"), "closing": ("please", "thanks", "then")}
WHOLE = WrittenRule(id="cost", says="cost", when=("how much [is it]", "[the] price"), whole=True)
BEGINS = WrittenRule(id="no", says="no", when=("no [sorry]",), begins=True, not_before=("can do",))
NO_ORDERS = Rules({"en": []}, {"en": GROUPS})
NUMBER = WrittenRule(id="number", says="number", when=("# [of us]",), whole=True, unless=("hole",))


def noticed(written: str) -> Noticed:
    plain = Spelling({}, {}, lambda word: word)
    return Noticing(Rules({"en": [WHOLE, BEGINS, NUMBER]}, {"en": GROUPS}), NO_ORDERS, {"en": plain}).notice(written)


@pytest.mark.parametrize(
    "text", ["how much", "how much is it?", "ok thanks, and how much then", "what about the price please", "Ok. Price?"]
)
def test_a_rule_of_the_whole_holds_with_courtesy_around(text: str) -> None:
    assert noticed(text).says("cost")


@pytest.mark.parametrize(
    "text", ["how much is it for kids", "tell me how much", "the price is high", "", "ok", "thanks then"]
)
def test_a_rule_of_the_whole_holds_for_no_part(text: str) -> None:
    assert not noticed(text).says("cost")


def test_a_rule_that_begins_a_text_takes_its_longest_phrase() -> None:
    said = noticed("ok no sorry, hole 8")
    found = said.first("no")

    assert found is not None
    assert said.after(found) == "hole 8"
    assert not noticed("the no").says("no")
    assert not noticed("no can do").says("no")


def test_a_whole_text_may_be_a_number_and_unless_keeps_it_out() -> None:
    assert noticed("3").says("number")
    assert noticed("ok 3 of us then").says("number")
    assert not noticed("3 hole").says("number")


def test_the_core_is_what_is_left_without_courtesy() -> None:
    said = noticed("ok thanks, and the toilets please")

    assert [word.form for word in said.core("en")] == ["the", "toilets"]


def test_a_text_is_looked_at_once() -> None:
    once = Noticing(Rules({"en": [WHOLE]}, {"en": GROUPS}), NO_ORDERS, {"en": Spelling({}, {}, lambda word: word)})

    assert once.notice("how much") is once.notice("how much")
