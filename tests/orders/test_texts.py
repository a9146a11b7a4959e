"""Order texts with slips, in both languages: each brings about what it says, or comes back; never another thing."""

import pytest

from clubbot.handbook.book import Handbook
from tests.orders.figures import judged, lines

LINES = lines()
# So many in a hundred are right or asked back.
_MUST = 98


@pytest.fixture(scope="session")
def verdicts(handbook: Handbook) -> dict[str, list[str]]:
    found: dict[str, list[str]] = {}
    for _, who, before, text, label in LINES:
        verdict, outcome = judged(handbook, who, before, text, label)
        found.setdefault(verdict, []).append(f"{who} [{before}] {text}: {label}, but {outcome.deeds} {outcome.said}")
    return found


def test_another_thing_is_never_done(verdicts: dict[str, list[str]]) -> None:
    assert verdicts.get("another thing done", []) == []


def test_nearly_all_are_right_or_asked_back(verdicts: dict[str, list[str]]) -> None:
    good = len(verdicts.get("right", [])) + len(verdicts.get("asked back", []))

    assert good >= _MUST / 100 * len(LINES), verdicts.get("missed")


def test_there_are_enough_of_them_and_a_third_is_french() -> None:
    assert len(LINES) >= 200
    assert sum(who == "odile" for _, who, *_ in LINES) >= len(LINES) / 3
