"""Sunrise and sunset against two almanacs, days without them, and rounds that fit before dark."""

from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

import ephem
import pytest

from clubbot.course.daylight import Endless, fit, minutes_for, sun_on
from clubbot.model.club import Course, RoundTime

HALIFAX = ZoneInfo("America/Halifax")
# What reference/standards.md section 8 demands of us; the almanacs agree among themselves to a second or two.
TOLERANCE = timedelta(seconds=60)
ROUNDS = (
    RoundTime(id="six", holes=6, people=5, minutes=40),
    RoundTime(id="full", holes=18, people=3, minutes=120),
    RoundTime(id="full-large", holes=18, people=5, minutes=150),
)


def a_course(latitude: float = 44.90, longitude: float = -62.50, rounds: tuple[RoundTime, ...] = ROUNDS) -> Course:
    return Course(latitude=latitude, longitude=longitude, largest_group=5, loops=(), holes=(), rounds=rounds)


def halifax(day: date, hour: int, minute: int = 0, second: int = 0) -> datetime:
    return datetime.combine(day, time(hour, minute, second), HALIFAX)


def an_observer(latitude: float, longitude: float) -> ephem.Observer:
    """PyEphem as the United States Naval Observatory counts: centre of the sun at -0:50, no refraction of its own."""
    observer = ephem.Observer()
    observer.lat, observer.lon = str(latitude), str(longitude)
    observer.elevation, observer.pressure, observer.horizon = 0, 0, "-0:50"
    return observer


def almanac(day: date, zone: ZoneInfo, observer: ephem.Observer) -> tuple[datetime, datetime]:
    """Sunrise and sunset of a local day by PyEphem."""
    observer.date = datetime.combine(day, time(), zone).astimezone(UTC).replace(tzinfo=None)
    rises = observer.next_rising(ephem.Sun(), use_center=True)
    sets = observer.next_setting(ephem.Sun(), use_center=True)
    return rises.datetime().replace(tzinfo=UTC), sets.datetime().replace(tzinfo=UTC)


# Source: PyEphem 4.2.1 (libastro, VSOP87), an implementation of its own beside the one clubbot uses.
@pytest.mark.parametrize("month", range(1, 13))
def test_sunrise_and_sunset_agree_with_another_almanac_on_every_day_of_a_year(month: int) -> None:
    observer, course = an_observer(44.90, -62.50), a_course()
    day = date(2027, month, 1)
    while day.month == month:
        rises, sets = almanac(day, HALIFAX, observer)
        sun = sun_on(day, course, HALIFAX)

        assert sun.rises is not None, day
        assert sun.sets is not None, day
        assert abs(sun.rises - rises) <= TOLERANCE, day
        assert abs(sun.sets - sets) <= TOLERANCE, day
        assert (sun.rises.date(), sun.sets.date()) == (day, day)
        day += timedelta(days=1)


# Source: reference/standards.md section 8, computed there with skyfield 1.55 on the JPL ephemeris DE421; local time, 2026.
@pytest.mark.parametrize(
    ("day", "rises", "sets"),
    [
        (date(2026, 1, 15), time(7, 44, 16), time(16, 54, 58)),
        (date(2026, 3, 8), time(7, 35, 12), time(19, 6, 54)),
        (date(2026, 3, 20), time(7, 13, 3), time(19, 22, 30)),
        (date(2026, 6, 21), time(5, 23, 41), time(21, 0, 0)),
        (date(2026, 9, 22), time(6, 57, 8), time(19, 7, 23)),
        (date(2026, 11, 1), time(6, 48, 20), time(16, 58, 13)),
        (date(2026, 12, 21), time(7, 44, 47), time(16, 31, 29)),
    ],
)
def test_sunrise_and_sunset_agree_with_the_published_table(day: date, rises: time, sets: time) -> None:
    sun = sun_on(day, a_course(), HALIFAX)

    assert sun.rises is not None
    assert sun.sets is not None
    assert abs(sun.rises - datetime.combine(day, rises, HALIFAX)) <= TOLERANCE
    assert abs(sun.sets - datetime.combine(day, sets, HALIFAX)) <= TOLERANCE


# Source: tzdata for America/Halifax: summer time from 2:00 on the second Sunday of March to 2:00 on the first of November.
# By how much the sun itself moves from one day to the next is a minute or two in March and November (section 8).
@pytest.mark.parametrize(
    ("before", "after", "moved"), [(date(2026, 3, 7), date(2026, 3, 8), 1), (date(2026, 10, 31), date(2026, 11, 1), -1)]
)
def test_the_clock_change_moves_sunset_by_an_hour(before: date, after: date, moved: int) -> None:
    first, second = sun_on(before, a_course(), HALIFAX).sets, sun_on(after, a_course(), HALIFAX).sets

    assert first is not None
    assert second is not None
    clock = datetime.combine(before, second.time()) - datetime.combine(before, first.time())
    assert abs(clock - timedelta(hours=moved)) <= timedelta(minutes=3)
    assert abs(second.astimezone(UTC) - first.astimezone(UTC) - timedelta(days=1)) <= timedelta(minutes=3)
    assert second.utcoffset() == timedelta(hours=-3 if moved == 1 else -4)


# Source: PyEphem says AlwaysUpError and NeverUpError for the same place and days (standards.md section 8, "Polar").
@pytest.mark.parametrize(
    ("day", "expected", "theirs"),
    [
        (date(2027, 6, 21), "light all day", ephem.AlwaysUpError),
        (date(2027, 5, 1), "light all day", ephem.AlwaysUpError),
        (date(2027, 12, 21), "dark all day", ephem.NeverUpError),
        (date(2027, 1, 20), "dark all day", ephem.NeverUpError),
    ],
)
def test_far_in_the_north_the_sun_stays_up_in_june_and_down_in_december(
    day: date, expected: Endless, theirs: type[Exception]
) -> None:
    with pytest.raises(theirs):
        almanac(day, ZoneInfo("UTC"), an_observer(82.5, -62.3))
    sun = sun_on(day, a_course(82.5, -62.3), ZoneInfo("UTC"))

    assert (sun.rises, sun.sets, sun.endless) == (None, None, expected)


@pytest.mark.parametrize("day", [date(2027, 6, 21), date(2027, 12, 21)])
def test_where_the_sun_sets_the_day_is_not_endless(day: date) -> None:
    assert sun_on(day, a_course(), HALIFAX).endless is None


# Source: the skyfield table: 2026-06-21 sunset 21:00:00, 2026-11-01 sunset 16:58:13. Lengths of rounds: scenario/club.md.
@pytest.mark.parametrize(
    ("starts", "holes", "people", "fits"),
    [
        (halifax(date(2026, 6, 21), 18, 45), 18, 2, True),
        (halifax(date(2026, 6, 21), 19, 5), 18, 2, False),
        (halifax(date(2026, 6, 21), 18, 45), 18, 4, False),
        (halifax(date(2026, 6, 21), 18, 25), 18, 4, True),
        (halifax(date(2026, 6, 21), 20, 15), 6, 2, True),
        (halifax(date(2026, 6, 21), 20, 25), 6, 2, False),
        (halifax(date(2026, 11, 1), 14, 55), 18, 2, True),
        (halifax(date(2026, 11, 1), 15, 0), 18, 2, False),
        (halifax(date(2026, 11, 1), 17, 30), 6, 1, False),
    ],
)
def test_a_round_fits_when_it_ends_before_sunset(starts: datetime, holes: int, people: int, fits: bool) -> None:
    assert fit(holes, people, starts, a_course(), HALIFAX).fits is fits


def test_a_fit_says_how_long_the_round_takes_when_it_ends_and_by_when_it_must_begin() -> None:
    starts = halifax(date(2026, 6, 21), 18, 0)
    found = fit(18, 4, starts, a_course(), HALIFAX)

    assert (found.holes, found.people, found.minutes) == (18, 4, 150)
    assert found.ends == halifax(date(2026, 6, 21), 20, 30)
    assert found.begin_by is not None
    assert abs(found.begin_by - halifax(date(2026, 6, 21), 18, 30)) <= TOLERANCE


def test_two_people_are_meant_where_nobody_says_how_many() -> None:
    found = fit(18, None, halifax(date(2026, 6, 21), 12), a_course(), HALIFAX)

    assert (found.people, found.minutes) == (2, 120)


def test_a_time_of_another_zone_is_held_against_the_local_day() -> None:
    late = datetime(2026, 6, 22, 1, 0, tzinfo=UTC)  # 22:00 on the 21st in Halifax
    found = fit(6, 2, late, a_course(), HALIFAX)

    assert not found.fits
    assert found.begin_by is not None
    assert found.begin_by.astimezone(HALIFAX).date() == date(2026, 6, 21)


@pytest.mark.parametrize(("day", "fits"), [(date(2027, 6, 21), True), (date(2027, 12, 21), False)])
def test_without_a_sunset_a_round_fits_in_endless_light_and_never_in_endless_dark(day: date, fits: bool) -> None:
    zone = ZoneInfo("UTC")
    found = fit(18, 2, datetime.combine(day, time(12), zone), a_course(82.5, -62.3), zone)

    assert (found.fits, found.begin_by) == (fits, None)


# The club's own figures: scenario/club.md, "Playing". In proportion between them: common practice, no source.
@pytest.mark.parametrize(
    ("holes", "people", "minutes"),
    [
        (6, 1, 40),
        (6, 5, 40),
        (18, 1, 120),
        (18, 3, 120),
        (18, 4, 150),
        (18, 5, 150),
        (18, 9, 150),
        (12, 2, 80),
        (9, 2, 60),
        (1, 2, 5),
    ],
)
def test_a_round_takes_as_long_as_the_club_says_or_in_proportion_to_it(holes: int, people: int, minutes: int) -> None:
    assert minutes_for(holes, people, ROUNDS) == minutes
