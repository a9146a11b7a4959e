"""How many wrong codes a phone may send, and how long guessing takes: the club's own rule, no source."""

from datetime import datetime, timedelta

import pytest

from clubbot.people.codes import CODES, DIGITS, PHONES, as_code, closed_until, tries_left, years_to_guess
from tests.conftest import NOON


def after(*minutes: int) -> tuple[datetime, ...]:
    return tuple(NOON + timedelta(minutes=one) for one in minutes)


def at(minutes: int) -> datetime:
    return NOON + timedelta(minutes=minutes)


def test_guessing_takes_over_a_thousand_years_on_average() -> None:
    guesses_a_year = 6 * PHONES * 365.25
    assert years_to_guess() == pytest.approx(CODES / 2 / guesses_a_year)
    assert years_to_guess() > 1000


def test_a_code_keeps_its_zeros() -> None:
    assert as_code(42) == "00000042"
    assert len(as_code(CODES - 1)) == DIGITS


@pytest.mark.parametrize(
    ("wrong", "now", "until"),
    [
        ((), 0, None),
        ((0, 1), 2, None),
        ((0, 1, 2), 2, 62),
        ((0, 1, 2), 61, 62),
        ((0, 1, 2), 62, None),
        ((0, 30, 59), 59, 119),
        ((0, 30, 60), 60, None),
        ((0, 1, 2, 63), 63, None),
        ((0, 1, 2, 63, 64, 65), 65, 65 + 24 * 60),
        ((0, 200, 400, 600, 800, 1439), 1440, 1439 + 24 * 60),
        ((0, 200, 400, 600, 800, 1440), 1440, None),
    ],
)
def test_three_within_an_hour_close_for_an_hour_and_six_within_a_day_for_a_day(
    wrong: tuple[int, ...], now: int, until: int | None
) -> None:
    assert closed_until(after(*wrong), at(now)) == (None if until is None else at(until))


def test_nobody_gets_more_than_six_tries_in_any_day() -> None:
    """A guesser who sends one every minute, and one who keeps just below the hour's limit."""
    for step in (1, 21, 31):
        taken: list[datetime] = []
        for minute in range(0, 10 * 24 * 60, step):
            if closed_until(taken, at(minute)) is None:
                taken.append(at(minute))
        day = timedelta(days=1)
        assert max(sum(one <= other < one + day for other in taken) for one in taken) <= 6
        assert len(taken) > 6


def test_how_many_tries_are_left() -> None:
    assert [tries_left(after(*wrong), at(90)) for wrong in ((), (89,), (88, 89), (0, 1, 89), (0, 1, 2, 88, 89))] == [
        3,
        2,
        1,
        2,
        1,
    ]
