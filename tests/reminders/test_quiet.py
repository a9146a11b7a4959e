"""The quiet hours: when they hold, when they began, when they are over, also in the nights in which the clocks change."""

from datetime import UTC, date, datetime, time, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as some

from clubbot.model.quiet import QuietHours, instant
from tests.conftest import HALIFAX

NIGHT = QuietHours(time(21), time(8), HALIFAX)
LUNCH = QuietHours(time(12), time(14), HALIFAX)
NEVER = QuietHours(time(8), time(8), HALIFAX)


def june(day: int, hour: int, minute: int = 0, second: int = 0) -> datetime:
    return datetime(2027, 6, day, hour, minute, second, tzinfo=HALIFAX)


def utc(month: int, day: int, hour: int, minute: int = 0) -> datetime:
    return datetime(2027, month, day, hour, minute, tzinfo=UTC)


@pytest.mark.parametrize(
    ("moment", "quiet"),
    [
        (june(7, 12), False),
        (june(7, 20, 59, 59), False),
        (june(7, 21), True),
        (june(7, 23, 59, 59), True),
        (june(8, 0), True),
        (june(8, 7, 59, 59), True),
        (june(8, 8), False),
    ],
)
def test_it_is_quiet_from_nine_in_the_evening_until_eight_in_the_morning(moment: datetime, quiet: bool) -> None:
    assert NIGHT.at(moment) is quiet
    assert NIGHT.at(moment.astimezone(UTC)) is quiet


@pytest.mark.parametrize(
    ("moment", "began", "over"),
    [
        (june(7, 21), june(7, 21), june(8, 8)),
        (june(7, 22, 30), june(7, 21), june(8, 8)),
        (june(8, 0), june(7, 21), june(8, 8)),
        (june(8, 7, 59, 59), june(7, 21), june(8, 8)),
    ],
)
def test_a_night_began_the_evening_before_and_is_over_in_the_morning(
    moment: datetime, began: datetime, over: datetime
) -> None:
    assert (NIGHT.began_before(moment), NIGHT.end_after(moment)) == (began, over)


@pytest.mark.parametrize("moment", [june(8, 8), june(8, 12), june(8, 20, 59, 59)])
def test_by_day_there_is_nothing_to_wait_for(moment: datetime) -> None:
    assert (NIGHT.began_before(moment), NIGHT.end_after(moment)) == (moment, moment)


@pytest.mark.parametrize("hour", range(24))
def test_the_same_hour_twice_is_no_quiet_at_all(hour: int) -> None:
    moment = june(8, hour)

    assert not NEVER.at(moment)
    assert (NEVER.began_before(moment), NEVER.end_after(moment)) == (moment, moment)


@pytest.mark.parametrize(
    ("moment", "quiet"),
    [(june(8, 11, 59, 59), False), (june(8, 12), True), (june(8, 13, 59, 59), True), (june(8, 14), False)],
)
def test_quiet_hours_may_be_within_one_day(moment: datetime, quiet: bool) -> None:
    assert LUNCH.at(moment) is quiet
    assert LUNCH.began_before(moment) == (june(8, 12) if quiet else moment)
    assert LUNCH.end_after(moment) == (june(8, 14) if quiet else moment)


# Source: IANA tzdata, rule "Canada" (Nova Scotia: Time Definition Act): clocks go on from 2:00 to 3:00 on the second Sunday of March,
# 14 March 2027 at 6:00 UTC, and back from 2:00 to 1:00 on the first of November, 7 November 2027 at 5:00 UTC; -04:00 else, -03:00 between.


@pytest.mark.parametrize(
    ("began", "over", "hours"),
    [
        (utc(3, 14, 1), utc(3, 14, 11), 10),  # 21:00 -04:00 to 8:00 -03:00
        (utc(11, 7, 0), utc(11, 7, 12), 12),  # 21:00 -03:00 to 8:00 -04:00
    ],
)
def test_the_night_of_a_clock_change_keeps_its_local_hours(began: datetime, over: datetime, hours: int) -> None:
    assert over - began == timedelta(hours=hours)
    assert not NIGHT.at(began - timedelta(seconds=1))
    assert not NIGHT.at(over)
    for minutes in range(0, hours * 60, 10):
        moment = began + timedelta(minutes=minutes)
        assert (NIGHT.at(moment), NIGHT.began_before(moment), NIGHT.end_after(moment)) == (True, began, over), moment


@given(some.datetimes(datetime(2027, 1, 1), datetime(2027, 12, 31), timezones=some.just(UTC)))  # noqa: DTZ001
def test_whatever_lies_in_the_quiet_lies_between_its_ends_and_nothing_else_does(moment: datetime) -> None:
    began, over = NIGHT.began_before(moment), NIGHT.end_after(moment)
    if NIGHT.at(moment):
        assert began <= moment < over
        assert NIGHT.at(began)
        assert not NIGHT.at(began - timedelta(microseconds=1))
        assert not NIGHT.at(over)
    else:
        assert (began, over) == (moment, moment)


def test_quiet_that_ends_within_the_repeated_hour_does_not_end_before_it_is_asked_about() -> None:
    quiet, moment = QuietHours(time(21), time(1, 30), HALIFAX), utc(11, 7, 5, 15)

    assert quiet.end_after(moment) >= moment


# Source: the same rule; RFC 5545, 3.3.5: a local time that is left out is read with the offset before the gap, one that comes twice
# is its first.
@pytest.mark.parametrize(
    ("day", "hour", "expected"),
    [
        (date(2027, 6, 8), time(18), utc(6, 8, 21)),
        (date(2027, 3, 14), time(1, 59), utc(3, 14, 5, 59)),
        (date(2027, 3, 14), time(2, 30), utc(3, 14, 6, 30)),
        (date(2027, 3, 14), time(3), utc(3, 14, 6)),
        (date(2027, 11, 7), time(1, 30), utc(11, 7, 4, 30)),
        (date(2027, 11, 7), time(2), utc(11, 7, 6)),
    ],
)
def test_a_local_hour_is_an_instant(day: date, hour: time, expected: datetime) -> None:
    assert instant(day, hour, HALIFAX) == expected
