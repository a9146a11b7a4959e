"""When people are reminded: the evening before, some hours before, at an hour of their own, never in the quiet hours."""

from datetime import UTC, datetime, time, timedelta
from typing import Literal

import pytest

from clubbot.model.quiet import QuietHours
from clubbot.model.rsvps import ReminderKind
from clubbot.reminders.planning import Usual, asked_for, usual
from tests.conftest import HALIFAX

NIGHT = QuietHours(time(21), time(8), HALIFAX)
NO_NIGHT = QuietHours(time(8), time(8), HALIFAX)
SECOND = timedelta(seconds=1)


def june(day: int, hour: int, minute: int = 0) -> datetime:
    return datetime(2027, 6, day, hour, minute, tzinfo=HALIFAX)


def utc(month: int, day: int, hour: int, minute: int = 0) -> datetime:
    return datetime(2027, month, day, hour, minute, tzinfo=UTC)


LONG_BEFORE = june(1, 12)
LEAGUE = june(9, 18, 15)


def planned(
    starts: datetime,
    now: datetime = LONG_BEFORE,
    *,
    evening: time | Literal[False] = time(18),
    hours: float = 2,
    quiet: QuietHours = NIGHT,
    kinds: tuple[ReminderKind, ...] = ("evening", "hours"),
) -> dict[str, datetime]:
    """What is planned, by kind."""
    wish = Usual(evening_before=evening, hours_before=hours)
    found = usual(starts, wish, quiet, now, kinds=kinds)
    assert len({one.kind for one in found}) == len(found)
    return {one.kind: one.due for one in found}


def asked(due: datetime, starts: datetime = LEAGUE, now: datetime = LONG_BEFORE) -> datetime | None:
    """When the reminder comes that somebody asked for."""
    found = asked_for(due, starts, NIGHT, now)
    assert found is None or found.kind == "asked"
    return None if found is None else found.due


# The event's own


def test_an_event_reminds_at_six_the_evening_before_and_two_hours_before_it_begins() -> None:
    assert planned(LEAGUE) == {"evening": june(8, 18), "hours": june(9, 16, 15)}


def test_each_can_be_switched_off() -> None:
    assert planned(LEAGUE, evening=False) == {"hours": june(9, 16, 15)}
    assert planned(LEAGUE, hours=0) == {"evening": june(8, 18)}
    assert planned(LEAGUE, evening=False, hours=0) == {}


def test_an_event_may_have_hours_of_its_own() -> None:
    assert planned(LEAGUE, evening=time(19, 30), hours=1.5) == {"evening": june(8, 19, 30), "hours": june(9, 16, 45)}


def test_only_the_kinds_that_are_wanted_are_planned() -> None:
    assert planned(LEAGUE, kinds=("evening",)) == {"evening": june(8, 18)}
    assert planned(LEAGUE, kinds=("hours",)) == {"hours": june(9, 16, 15)}
    assert planned(LEAGUE, kinds=()) == {}


def test_what_is_over_is_not_planned() -> None:
    assert set(planned(LEAGUE, june(8, 18) - SECOND)) == {"evening", "hours"}
    assert set(planned(LEAGUE, june(8, 18))) == {"hours"}
    assert set(planned(LEAGUE, june(9, 16, 15) - SECOND)) == {"hours"}
    assert planned(LEAGUE, june(9, 16, 15)) == {}


# Into the quiet hours


def test_what_would_come_at_night_comes_half_an_hour_before_the_night() -> None:
    assert planned(june(12, 9, 30), evening=False) == {"hours": june(11, 20, 30)}
    assert planned(june(12, 9, 59), evening=False) == {"hours": june(11, 20, 30)}
    assert planned(LEAGUE, evening=time(22), hours=0) == {"evening": june(8, 20, 30)}
    assert planned(LEAGUE, evening=time(21), hours=0) == {"evening": june(8, 20, 30)}


def test_what_comes_when_the_night_is_just_over_or_not_yet_there_stays() -> None:
    assert planned(june(12, 10), evening=False) == {"hours": june(12, 8)}
    assert planned(LEAGUE, evening=time(20, 59), hours=0) == {"evening": june(8, 20, 59)}


def test_an_evening_that_has_a_reminder_gets_no_second_one() -> None:
    assert planned(june(12, 9, 30)) == {"evening": june(11, 18)}
    assert planned(june(12, 9, 30), evening=time(22)) == {"evening": june(11, 20, 30)}


def test_four_hours_apart_are_two_reminders() -> None:
    assert planned(june(12, 9, 30), evening=time(16, 30)) == {"evening": june(11, 16, 30), "hours": june(11, 20, 30)}
    assert planned(june(12, 9, 30), evening=time(16, 31)) == {"evening": june(11, 16, 31)}


def test_a_late_event_reminds_before_the_night_of_its_own_day() -> None:
    assert planned(june(9, 23, 30)) == {"evening": june(8, 18), "hours": june(9, 20, 30)}


def test_once_half_an_hour_before_the_night_is_over_nothing_comes() -> None:
    assert planned(june(12, 9, 30), june(11, 20, 30) - SECOND, evening=False) == {"hours": june(11, 20, 30)}
    assert planned(june(12, 9, 30), june(11, 20, 30), evening=False) == {}
    assert planned(june(12, 9, 30), june(12, 7), evening=False) == {}


# Over a clock change. Source: IANA tzdata, rule "Canada" (Nova Scotia: Time Definition Act): Halifax is -03:00 from 14 March 2027,
# 2:00 (6:00 UTC), until 7 November 2027, 2:00 (5:00 UTC), else -04:00.


@pytest.mark.parametrize(
    ("starts", "evening", "hours"),
    [
        # Sunday 14 March, 10:00 of the new time: six in the evening before is still the old time.
        (utc(3, 14, 13), utc(3, 13, 22), utc(3, 14, 11)),
        # Monday 15 March, 18:15: all of it the new time.
        (utc(3, 15, 21, 15), utc(3, 14, 21), utc(3, 15, 19, 15)),
        # Sunday 7 November, 10:00 of the old time again: the evening before was summer time.
        (utc(11, 7, 14), utc(11, 6, 21), utc(11, 7, 12)),
        # Monday 8 November, 18:15.
        (utc(11, 8, 22, 15), utc(11, 7, 22), utc(11, 8, 20, 15)),
    ],
)
def test_the_evening_before_keeps_its_local_hour_over_a_clock_change(
    starts: datetime, evening: datetime, hours: datetime
) -> None:
    assert evening.astimezone(HALIFAX).time() == time(18)
    assert planned(starts, utc(1, 1, 0)) == {"evening": evening, "hours": hours}


NIGHTS = [
    (utc(3, 14, 7), utc(3, 14, 5), time(1)),  # 4:00, three hours later by the clock
    (utc(11, 7, 6, 30), utc(11, 7, 4, 30), time(1, 30)),  # 2:30, an hour later by the clock
]


@pytest.mark.parametrize(("starts", "due", "clock_shows"), NIGHTS)
def test_two_hours_before_are_two_real_hours_over_a_clock_change(
    starts: datetime, due: datetime, clock_shows: time
) -> None:
    assert due.astimezone(HALIFAX).time() == clock_shows
    assert planned(starts, utc(1, 1, 0), evening=False, quiet=NO_NIGHT) == {"hours": due}


@pytest.mark.parametrize(("starts", "due", "_"), NIGHTS)
def test_they_are_too_where_the_start_is_a_local_time(starts: datetime, due: datetime, _: time) -> None:
    local = starts.astimezone(HALIFAX)

    assert planned(local, utc(1, 1, 0), evening=False, quiet=NO_NIGHT) == {"hours": due}


@pytest.mark.parametrize(
    ("starts", "due"),
    [
        (utc(3, 14, 12, 30), utc(3, 14, 0, 30)),  # 9:30 -03:00; 20:30 -04:00 the evening before
        (utc(11, 7, 13, 30), utc(11, 6, 23, 30)),  # 9:30 -04:00; 20:30 -03:00
    ],
)
def test_half_an_hour_before_the_night_of_a_clock_change_is_half_past_eight(starts: datetime, due: datetime) -> None:
    assert due.astimezone(HALIFAX).time() == time(20, 30)
    assert planned(starts, utc(1, 1, 0), evening=False) == {"hours": due}


# Asked for


def test_a_reminder_that_was_asked_for_comes_at_its_hour() -> None:
    assert asked(june(8, 12)) == june(8, 12)
    assert asked(LEAGUE - SECOND) == LEAGUE - SECOND


@pytest.mark.parametrize("due", [june(8, 21), june(8, 23), june(9, 3), june(9, 7, 59)])
def test_asked_for_at_night_it_comes_half_an_hour_before_the_night(due: datetime) -> None:
    assert asked(due) == june(8, 20, 30)


def test_asked_for_at_night_when_the_evening_is_over_it_does_not_come() -> None:
    assert asked(june(9, 3), now=june(8, 20, 30)) is None
    assert asked(june(9, 3), now=june(8, 20, 30) - SECOND) == june(8, 20, 30)


@pytest.mark.parametrize("due", [LEAGUE, LEAGUE + SECOND, june(10, 12)])
def test_none_comes_once_the_event_has_begun(due: datetime) -> None:
    assert asked(due) is None


@pytest.mark.parametrize("due", [june(8, 12), june(8, 12) - SECOND, june(2, 12)])
def test_none_comes_in_the_past(due: datetime) -> None:
    assert asked(due, now=june(8, 12)) is None


def test_none_comes_for_an_hour_of_the_night_after_the_start() -> None:
    assert asked(june(9, 22), starts=june(9, 20, 45)) is None
