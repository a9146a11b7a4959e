from pathlib import Path
from time import process_time

import pytest
import regex

from clubbot.handbook.book import open_handbook
from clubbot.handbook.learning import usual_folder
from tests.texting import hard_texts
from tests.texting.every_pattern import Found, every_pattern

_SHORT, _LONG = 400, 1600
_ALLOWED = 0.05  # seconds, of the best of three
# A short hard text that takes longer than this is tried at its full length; what grows with the cube of it takes 64 times as long there.
_WORTH_A_LOOK = 0.0007
_GIVEN_UP = 1.0  # far beyond what is allowed, so that the time measured is the pattern's own


def _taken(compiled: "regex.Pattern[str]", text: str) -> float:
    before = process_time()
    try:
        for _ in compiled.finditer(text, timeout=_GIVEN_UP):
            pass
        compiled.fullmatch(text, timeout=_GIVEN_UP)
    except TimeoutError:
        return _GIVEN_UP
    return process_time() - before


def _slowest(found: Found) -> tuple[float, str]:
    """How long the pattern takes on the text that is hardest for it."""
    compiled = regex.compile(found.pattern, found.flags)
    slowest = (0.0, "")
    for text in hard_texts.common(_SHORT) + hard_texts.against(found.pattern, found.flags, _SHORT):
        if _taken(compiled, text) < _WORTH_A_LOOK:
            continue
        long = hard_texts.lengthened(text, _LONG)
        taken = _taken(compiled, long)
        if _ALLOWED < taken < _GIVEN_UP:
            taken = min(taken, _taken(compiled, long), _taken(compiled, long))
        slowest = max(slowest, (taken, long))
        if taken > _ALLOWED:
            break
    return slowest


def test_every_pattern_is_done_with_its_hardest_text_of_1600_letters_in_50_ms() -> None:
    reader = open_handbook(Path("knowledge"), usual_folder(), with_encoder=False)
    every = every_pattern(reader)
    slow = {(one.where, one.pattern[:80]): worst for one in every if (worst := _slowest(one))[0] > _ALLOWED}
    assert len(every) > 150
    assert {key: (round(1000 * taken), text[:60]) for key, (taken, text) in slow.items()} == {}


@pytest.mark.parametrize(
    "pattern",
    [
        r"[Dd]onne ma place (?:(?:du|de la|de|au) (?:\w+ ?){1,4}? )?à (?P<to>[A-Z]\w+)",
        r"^(?:and |what about )(?:[a-z]+ ?){1,3}$",
        r"^hi (?:(?:will|m|can|me|m) )*takes",
        r"[\"“]\s*([^\"”\n]{1,30}?)\s*[\"”]",
    ],
)
def test_the_kinds_of_pattern_that_ran_away_are_found(pattern: str) -> None:
    assert _slowest(Found("here", pattern, 0))[0] > _ALLOWED
