import re

import pytest

from clubbot.model.errors import RunsAway
from clubbot.texting import patterns
from tests.texting.every_pattern import modules

_PURE = ("texting", "understanding", "course", "events", "people", "rsvps", "reminders", "broadcasts", "conversation")
# The one place; and the letters as people see them, one after the other, which no text makes slow.
_MAY = {"clubbot.texting.patterns", "clubbot.texting.parts"}


def test_a_pattern_that_runs_away_is_ended_and_the_fault_tells_the_pattern_and_not_the_text() -> None:
    for_ever = patterns.compile(r"^(?:\w+ ?){1,12}?[^\w ]")
    with pytest.raises(RunsAway) as fault:
        for_ever.search("secret" * 250)
    assert r"(?:\w+ ?)" in str(fault.value)
    assert "secret" not in str(fault.value)


@pytest.mark.parametrize("text", ["", "a", "no 12 Ça va?\n12, 3", "  two  spaces "])
@pytest.mark.parametrize("pattern", [r"\d+", r"\b", r"(?P<word>\w+)(,)?", r"\s*", r"(?<=o) ", r"[^a-z0-9]+"])
def test_patterns_find_what_those_of_the_language_find(pattern: str, text: str) -> None:
    ours, theirs = patterns.compile(pattern, patterns.IGNORECASE), re.compile(pattern, re.IGNORECASE)
    assert [found.span() for found in ours.finditer(text)] == [found.span() for found in theirs.finditer(text)]
    assert ours.findall(text) == theirs.findall(text)
    assert ours.sub("-", text) == theirs.sub("-", text)
    assert ours.split(text) == theirs.split(text)
    assert (ours.fullmatch(text) is None) == (theirs.fullmatch(text) is None)


def test_no_other_module_of_the_pure_part_compiles_patterns() -> None:
    pure = [one for one in modules() if one.__name__.split(".")[1] in _PURE]
    holding = {one.__name__ for one in pure if {"re", "regex"} & vars(one).keys()}
    assert len(pure) > 50
    assert holding <= _MAY
