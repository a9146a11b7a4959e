"""When each text of many is due: evenly, outside the quiet hours, in order."""

from datetime import UTC, datetime, time, timedelta
from itertools import islice, pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as some

from clubbot.broadcasts.pace import due_times, takes
from clubbot.model.quiet import QuietHours
from tests.conftest import HALIFAX, NOON

SECOND, MINUTE = timedelta(seconds=1), timedelta(minutes=1)
NIGHT = QuietHours(since=time(21), until=time(8), zone=HALIFAX)


def at_any_hour(moment: datetime) -> datetime:
    return moment


def june(day: int, hour: int, minute: int = 0, second: int = 0) -> datetime:
    return datetime(2027, 6, day, hour, minute, second, tzinfo=HALIFAX)


def first(count: int, begins: datetime, per_minute: int, *, quiet: QuietHours | None = NIGHT) -> list[datetime]:
    return list(islice(due_times(begins, per_minute, quiet.end_after if quiet else at_any_hour), count))


def test_the_first_is_due_at_once_and_the_others_evenly_after_it() -> None:
    assert first(4, NOON, 60) == [NOON, NOON + SECOND, NOON + 2 * SECOND, NOON + 3 * SECOND]
    assert first(3, NOON, 1) == [NOON, NOON + MINUTE, NOON + 2 * MINUTE]
    assert first(3, NOON, 120)[2] == NOON + SECOND


def test_what_would_fall_into_the_night_goes_on_in_the_morning_at_the_same_pace() -> None:
    assert first(5, june(7, 20, 59, 58), 60) == [
        june(7, 20, 59, 58),
        june(7, 20, 59, 59),
        june(8, 8),
        june(8, 8, 0, 1),
        june(8, 8, 0, 2),
    ]


@pytest.mark.parametrize("begins", [june(7, 21), june(7, 23), june(8, 0), june(8, 7, 59, 59)])
def test_what_is_begun_at_night_begins_in_the_morning(begins: datetime) -> None:
    assert first(2, begins, 60) == [june(8, 8), june(8, 8, 0, 1)]


def test_what_takes_longer_than_a_day_skips_each_night() -> None:
    """One a minute, thirteen hours a day."""
    found = first(2 * 13 * 60 + 1, june(7, 8), 1)

    assert found[13 * 60 - 1 : 13 * 60 + 1] == [june(7, 20, 59), june(8, 8)]
    assert found[-2:] == [june(8, 20, 59), june(9, 8)]


def test_what_may_not_wait_keeps_no_quiet_hours() -> None:
    assert first(3, june(7, 23), 60, quiet=None) == [june(7, 23, 0, second) for second in (0, 1, 2)]


@pytest.mark.parametrize("per_minute", [0, -5])
def test_a_pace_of_nothing_is_one_a_minute(per_minute: int) -> None:
    assert first(2, NOON, per_minute) == [NOON, NOON + MINUTE]


# Source: tzdata for America/Halifax: clocks go forward 2027-03-14 2:00, back 2027-11-07 2:00.
@pytest.mark.parametrize(
    ("begins", "morning"),
    [
        (datetime(2027, 3, 14, 4, tzinfo=UTC), datetime(2027, 3, 14, 11, tzinfo=UTC)),
        (datetime(2027, 11, 7, 3, tzinfo=UTC), datetime(2027, 11, 7, 12, tzinfo=UTC)),
    ],
)
def test_the_morning_is_the_one_on_the_wall_when_clocks_change(begins: datetime, morning: datetime) -> None:
    assert first(2, begins, 60) == [morning, morning + SECOND]


@settings(max_examples=60, deadline=None)
@given(
    begins=some.integers(0, 365 * 24 * 3600).map(lambda seconds: datetime(2027, 1, 1, tzinfo=UTC) + seconds * SECOND),
    per_minute=some.integers(1, 600),
    night=some.sampled_from([NIGHT, QuietHours(since=time(1), until=time(2), zone=HALIFAX)]),
)
def test_they_are_in_order_never_faster_than_the_pace_and_never_at_night(
    begins: datetime, per_minute: int, night: QuietHours
) -> None:
    found = first(150, begins, per_minute, quiet=night)

    assert found[0] >= begins
    assert not any(night.at(one) for one in found)
    for one, next_one in pairwise(found):
        assert next_one - one >= MINUTE / per_minute
        assert next_one - one == MINUTE / per_minute or night.end_after(one + MINUTE / per_minute) == next_one


def test_how_long_so_many_take() -> None:
    assert takes(90, 60) == timedelta(seconds=90)
    assert takes(0, 60) == timedelta()
    assert takes(3, 0) == 3 * MINUTE
