"""On which days an event takes place: the examples of RFC 5545, clock changes, changes of single days, clashes."""

from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

import pytest

from clubbot.events.days import between, clashes, event_days, rule_days, upcoming
from clubbot.model.club import EventChange, EventRule
from clubbot.model.messages import Said

HALIFAX = ZoneInfo("America/Halifax")
NEW_YORK = ZoneInfo("America/New_York")
BOATHOUSE = Said(en="the boathouse", fr="le hangar à bateaux")


def an_event(
    repeats: str = "FREQ=WEEKLY",
    first: date = date(2027, 5, 5),
    last: date = date(2027, 9, 29),
    starts: time = time(18, 15),
    ends: time | None = None,
    id: str = "league",
    change: tuple[EventChange, ...] = (),
) -> EventRule:
    name = Said(en=id, fr=id)
    return EventRule(
        id=id,
        topic=id,
        name=name,
        repeats=repeats,
        first=first,
        last=last,
        starts=starts,
        ends=ends,
        meet=BOATHOUSE,
        change=change,
    )


def dates_of(year: int, *months_and_days: str) -> list[date]:
    """ "9-2 9 16" is 2, 9 and 16 September; a month below the one before it is of the next year."""
    found: list[date] = []
    for one in months_and_days:
        month, days = one.split("-")
        if found and int(month) < found[-1].month:
            year += 1
        found += [date(year, int(month), int(day)) for day in days.split()]
    return found


# Source: RFC 5545, 3.8.5.3, the examples of that section (READ), 9:00 in New York. Its rows with EXDATE are written without it where
# DTSTART is no day of the rule: dateutil leaves such a start out by itself.
@pytest.mark.parametrize(
    ("first", "repeats", "expected"),
    [
        (date(1997, 9, 2), "FREQ=WEEKLY;COUNT=10", dates_of(1997, "9-2 9 16 23 30", "10-7 14 21 28", "11-4")),
        (
            date(1997, 9, 5),
            "FREQ=MONTHLY;COUNT=10;BYDAY=1FR",
            dates_of(1997, "9-5", "10-3", "11-7", "12-5", "1-2", "2-6", "3-6", "4-3", "5-1", "6-5"),
        ),
        (
            date(1997, 9, 22),
            "FREQ=MONTHLY;COUNT=6;BYDAY=-2MO",
            dates_of(1997, "9-22", "10-20", "11-17", "12-22", "1-19", "2-16"),
        ),
        (
            date(1997, 9, 7),
            "FREQ=MONTHLY;INTERVAL=2;COUNT=10;BYDAY=1SU,-1SU",
            dates_of(1997, "9-7 28", "11-2 30", "1-4 25", "3-1 29", "5-3 31"),
        ),
        (
            date(1997, 9, 13),
            "FREQ=MONTHLY;COUNT=10;BYDAY=SA;BYMONTHDAY=7,8,9,10,11,12,13",
            dates_of(1997, "9-13", "10-11", "11-8", "12-13", "1-10", "2-7", "3-7", "4-11", "5-9", "6-13"),
        ),
        (
            date(1997, 9, 2),
            "FREQ=MONTHLY;COUNT=5;BYDAY=FR;BYMONTHDAY=13",
            [*dates_of(1998, "2-13", "3-13", "11-13"), date(1999, 8, 13), date(2000, 10, 13)],
        ),
        (date(1997, 8, 5), "FREQ=WEEKLY;INTERVAL=2;COUNT=4;BYDAY=TU,SU;WKST=MO", dates_of(1997, "8-5 10 19 24")),
        (date(1997, 8, 5), "FREQ=WEEKLY;INTERVAL=2;COUNT=4;BYDAY=TU,SU;WKST=SU", dates_of(1997, "8-5 17 19 31")),
        (date(2007, 1, 15), "FREQ=MONTHLY;BYMONTHDAY=15,30;COUNT=5", dates_of(2007, "1-15 30", "2-15", "3-15 30")),
    ],
)
def test_a_rule_gives_the_days_that_its_standard_names(first: date, repeats: str, expected: list[date]) -> None:
    event = an_event(repeats, first=first, last=date(2001, 1, 1) if first.year < 2000 else date(2007, 12, 31))

    assert rule_days(event) == expected


# Source: RFC 5545, 3.8.5.3, the first weekly example: "(1997 9:00 AM EDT) ... (1997 9:00 AM EST) October 28; November 4".
def test_an_hour_stays_the_local_hour_over_a_clock_change() -> None:
    event = an_event("FREQ=WEEKLY;COUNT=10", first=date(1997, 9, 2), last=date(1997, 12, 31), starts=time(9))
    offsets = {one.day: one.starts.utcoffset() for one in event_days(event, NEW_YORK)}
    summer, winter = timedelta(hours=-4), timedelta(hours=-5)

    assert [one.starts.time() for one in event_days(event, NEW_YORK)] == [time(9)] * 10
    assert list(offsets.values()) == [summer] * 8 + [winter] * 2
    assert offsets[date(1997, 10, 28)] == winter


# Source: reference/standards.md section 5, America/Halifax rows (CALC: dateutil and recurring-ical-events agree).
@pytest.mark.parametrize(
    ("first", "last", "repeats", "expected"),
    [
        (
            date(2026, 4, 11),
            date(2026, 12, 31),
            "FREQ=MONTHLY;BYDAY=2SA",
            dates_of(2026, "4-11", "5-9", "6-13", "7-11", "8-8", "9-12", "10-10", "11-14", "12-12"),
        ),
        (
            date(2026, 4, 25),
            date(2026, 12, 31),
            "FREQ=MONTHLY;BYDAY=-1SA",
            dates_of(2026, "4-25", "5-30", "6-27", "7-25", "8-29", "9-26", "10-31", "11-28", "12-26"),
        ),
        (date(2026, 10, 14), date(2026, 11, 15), "FREQ=WEEKLY;BYDAY=WE", dates_of(2026, "10-14 21 28", "11-4 11")),
        (
            date(2026, 1, 31),
            date(2027, 1, 31),
            "FREQ=MONTHLY;BYDAY=5SA",
            dates_of(2026, "1-31", "5-30", "8-29", "10-31", "1-30"),
        ),
    ],
)
def test_a_rule_gives_the_days_that_two_other_libraries_give(
    first: date, last: date, repeats: str, expected: list[date]
) -> None:
    assert rule_days(an_event(repeats, first=first, last=last)) == expected


# Source: the same rows: 10:00 on 10 October is -03:00, on 14 November -04:00; 18:00 is 21:00 UTC in October, 22:00 in November.
@pytest.mark.parametrize(
    ("day", "hour", "utc"),
    [
        (date(2026, 10, 10), time(10), datetime(2026, 10, 10, 13, tzinfo=UTC)),
        (date(2026, 11, 14), time(10), datetime(2026, 11, 14, 14, tzinfo=UTC)),
        (date(2026, 10, 28), time(18), datetime(2026, 10, 28, 21, tzinfo=UTC)),
        (date(2026, 11, 4), time(18), datetime(2026, 11, 4, 22, tzinfo=UTC)),
    ],
)
def test_an_evening_in_halifax_is_an_hour_later_in_utc_after_the_clocks_go_back(
    day: date, hour: time, utc: datetime
) -> None:
    (found,) = event_days(an_event("", first=day, last=day, starts=hour), HALIFAX)

    assert found.starts == utc


# Source: RFC 5545, 3.3.5: a local time that does not exist is read with the offset before the gap (2026-03-08 02:30 in Halifax is
# 06:30 UTC, 03:30 by the clock); one that comes twice is its first (2026-11-01 01:30 is 04:30 UTC).
@pytest.mark.parametrize(
    ("day", "hour", "utc", "by_the_clock"),
    [
        (date(2026, 3, 8), time(2, 30), datetime(2026, 3, 8, 6, 30, tzinfo=UTC), time(3, 30)),
        (date(2026, 11, 1), time(1, 30), datetime(2026, 11, 1, 4, 30, tzinfo=UTC), time(1, 30)),
    ],
)
def test_a_missing_hour_is_read_by_the_old_offset_and_a_repeated_one_is_its_first(
    day: date, hour: time, utc: datetime, by_the_clock: time
) -> None:
    (found,) = event_days(an_event("", first=day, last=day, starts=hour), HALIFAX)

    assert found.starts.astimezone(UTC) == utc
    assert found.starts.time() == by_the_clock


# Our policy, against RFC 5545, 3.3.10, which would leave 8 March out (7, 9, 10): a club meets anyway. Both libraries do as we do.
def test_a_day_whose_hour_is_left_out_is_kept_and_counted() -> None:
    event = an_event("FREQ=DAILY;COUNT=3", first=date(2026, 3, 7), last=date(2026, 3, 31), starts=time(2, 30))
    days = [one.starts.astimezone(UTC) for one in event_days(event, HALIFAX)]

    assert days == [datetime(2026, 3, day, 6 if day < 9 else 5, 30, tzinfo=UTC) for day in (7, 8, 9)]


def test_an_event_without_a_rule_takes_place_once() -> None:
    assert rule_days(an_event("", first=date(2027, 6, 1), last=date(2027, 6, 30))) == [date(2027, 6, 1)]


def test_the_season_ends_with_its_last_day() -> None:
    days = rule_days(an_event("FREQ=WEEKLY;BYDAY=WE", first=date(2027, 5, 5), last=date(2027, 9, 29)))

    assert (days[0], days[-1], len(days)) == (date(2027, 5, 5), date(2027, 9, 29), 22)
    assert rule_days(an_event("FREQ=WEEKLY", first=date(2027, 5, 5), last=date(2027, 5, 4))) == []


def test_an_until_in_the_rule_ends_the_season_early() -> None:
    assert rule_days(an_event("FREQ=WEEKLY;UNTIL=20270512")) == [date(2027, 5, 5), date(2027, 5, 12)]


@pytest.mark.parametrize(
    "repeats",
    [
        "every Wednesday",
        "WEEKLY",
        "BYDAY=WE",
        "FREQ=SOMETIMES",
        "FREQ=WEEKLY;BYDAY=XX",
        "FREQ=WEEKLY;BYDAY=",
        "FREQ=MONTHLY;BYDAY=9SA",
        "FREQ=WEEKLY;COUNT=many",
        "FREQ=WEEKLY;INTERVAL=-1",
        "FREQ=DAILY;INTERVAL=0",
        "FREQ=HOURLY",
        "FREQ=SECONDLY",
        "FREQ=WEEKLY;BYHOUR=9,10",
        "FREQ=WEEKLY;PLACE=HERE",
    ],
)
def test_a_rule_that_cannot_be_read_is_refused(repeats: str) -> None:
    with pytest.raises(ValueError):
        rule_days(an_event(repeats))


JUNE_9 = date(2027, 6, 9)


def june_9(change: EventChange) -> list[tuple[date, datetime, datetime | None]]:
    """Day of the rule, start and end of what is on in the second week of June."""
    event = an_event("FREQ=WEEKLY;BYDAY=WE", ends=time(20, 30), change=(change,))
    found = between([event], date(2027, 6, 7), date(2027, 6, 13), HALIFAX)
    return [(one.day, one.starts, one.ends) for one in found]


def at(day: int, hour: int, minute: int = 0) -> datetime:
    return datetime(2027, 6, day, hour, minute, tzinfo=HALIFAX)


# What a club changes about one day: common practice, no source.
@pytest.mark.parametrize(
    ("change", "starts", "ends"),
    [
        (EventChange(day=JUNE_9, starts=time(19)), at(9, 19), at(9, 20, 30)),
        (EventChange(day=JUNE_9, starts=time(19), ends=time(21)), at(9, 19), at(9, 21)),
        (EventChange(day=JUNE_9, moved_to=date(2027, 6, 10)), at(10, 18, 15), at(10, 20, 30)),
        (EventChange(day=JUNE_9, moved_to=date(2027, 6, 12), starts=time(10), ends=time(12)), at(12, 10), at(12, 12)),
        (EventChange(day=date(2027, 6, 16), starts=time(19)), at(9, 18, 15), at(9, 20, 30)),
    ],
)
def test_one_day_may_have_another_hour_or_another_date(change: EventChange, starts: datetime, ends: datetime) -> None:
    assert june_9(change) == [(JUNE_9, starts, ends)]


def test_a_day_moved_to_another_week_is_on_there_and_not_here() -> None:
    assert june_9(EventChange(day=JUNE_9, moved_to=date(2027, 6, 17))) == []


def test_a_day_moved_behind_another_comes_behind_it() -> None:
    event = an_event("FREQ=WEEKLY;BYDAY=WE", change=(EventChange(day=JUNE_9, moved_to=date(2027, 6, 17)),))
    days = [one.starts.date() for one in event_days(event, HALIFAX)]

    assert days[4:7] == [date(2027, 6, 2), date(2027, 6, 16), date(2027, 6, 17)]


def test_a_day_called_off_is_still_told_with_its_reason() -> None:
    reason = Said(en="thunder", fr="orage")
    event = an_event("FREQ=WEEKLY;BYDAY=WE", change=(EventChange(day=JUNE_9, called_off=True, reason=reason),))
    (found,) = between([event], JUNE_9, JUNE_9, HALIFAX)

    assert (found.called_off, found.reason) == (True, reason)
    assert not any(one.called_off for one in event_days(event, HALIFAX) if one.day != JUNE_9)


def test_one_day_may_meet_elsewhere() -> None:
    gate = Said(en="the gate", fr="l'entrée")
    event = an_event("FREQ=WEEKLY;BYDAY=WE", change=(EventChange(day=JUNE_9, meet=gate),))
    places = [one.meet for one in between([event], date(2027, 6, 2), date(2027, 6, 16), HALIFAX)]

    assert places == [BOATHOUSE, gate, BOATHOUSE]


def test_days_between_two_dates_are_local_days_both_ends_included() -> None:
    late = an_event("FREQ=DAILY", starts=time(23, 30))  # 2:30 UTC of the next day
    found = between([late], date(2027, 6, 8), date(2027, 6, 9), HALIFAX)

    assert [one.day.day for one in found] == [8, 9]


def test_days_of_several_events_come_in_order_of_time_then_of_name() -> None:
    events = [
        an_event("", first=JUNE_9, starts=time(18), id="women"),
        an_event("", first=JUNE_9, starts=time(9), id="work"),
        an_event("", first=JUNE_9, starts=time(18), id="league"),
    ]

    assert [one.event.id for one in between(events, JUNE_9, JUNE_9, HALIFAX)] == ["work", "league", "women"]


@pytest.mark.parametrize(
    ("ends", "now", "first"),
    [
        (time(20, 30), at(9, 18, 15), 9),
        (time(20, 30), at(9, 20, 29), 9),
        (time(20, 30), at(9, 20, 30), 16),
        (None, at(9, 20, 14), 9),
        (None, at(9, 20, 15), 16),
        (time(20, 30), at(9, 20, 29).astimezone(UTC), 9),
    ],
)
def test_an_event_is_coming_until_it_has_ended_or_two_hours_after_its_start(
    ends: time | None, now: datetime, first: int
) -> None:
    event = an_event("FREQ=WEEKLY;BYDAY=WE", ends=ends)

    assert upcoming([event], now, HALIFAX)[0].day == date(2027, 6, first)


def test_nothing_is_coming_after_the_season() -> None:
    assert upcoming([an_event()], datetime(2027, 10, 1, tzinfo=HALIFAX), HALIFAX) == []


def clashing(first: EventRule, second: EventRule) -> list[tuple[str, str]]:
    days = between([first, second], date(2027, 5, 1), date(2027, 10, 31), HALIFAX)
    return [(one.event.id, other.event.id) for one, other in clashes(days)]


@pytest.mark.parametrize(
    ("starts", "ends", "clash"),
    [
        (time(12), time(13), False),
        (time(11, 59), time(13), True),
        (time(9), time(10, 30), False),
        (time(9), time(10, 31), True),
        (time(11), time(11, 30), True),
        (time(8), None, False),
        (time(9), None, True),
        (time(10, 30), time(12), True),
    ],
)
def test_two_events_clash_when_one_begins_before_the_other_ends(starts: time, ends: time | None, clash: bool) -> None:
    clinic = an_event("", first=JUNE_9, starts=time(10, 30), ends=time(12), id="clinic")
    other = an_event("", first=JUNE_9, starts=starts, ends=ends, id="other")

    assert bool(clashing(clinic, other)) is clash


@pytest.mark.parametrize(
    "change", [EventChange(day=JUNE_9, called_off=True), EventChange(day=JUNE_9, moved_to=date(2027, 6, 10))]
)
def test_a_day_called_off_or_moved_away_clashes_with_nothing(change: EventChange) -> None:
    clinic = an_event("", first=JUNE_9, starts=time(10), ends=time(12), id="clinic")
    other = an_event("", first=JUNE_9, starts=time(11), ends=time(12), id="other", change=(change,))

    assert clashing(clinic, other) == []


def test_two_days_of_the_same_event_do_not_clash() -> None:
    event = an_event("FREQ=DAILY;COUNT=2", change=(EventChange(day=date(2027, 5, 6), moved_to=date(2027, 5, 5)),))

    assert clashes(event_days(event, HALIFAX)) == []
