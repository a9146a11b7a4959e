"""Sunset, and whether a round still fits before it."""

from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Literal
from zoneinfo import ZoneInfo

import astral
import astral.sun

from clubbot.model.club import Course, RoundTime

# Where the sun neither rises nor sets that day.
Endless = Literal["light all day", "dark all day"]
# The sun's centre at sunset: 34' of refraction and 16' of its own radius below the horizon (common almanac convention).
_HORIZON = -0.833
# People play on a little after sunset, and see a disc land for less: no round is said to fit past sunset itself.
_USUAL_PEOPLE = 2


@dataclass(frozen=True, slots=True)
class Sun:
    """Sunrise and sunset of a local day, or why there are none."""

    rises: datetime | None
    sets: datetime | None
    endless: Endless | None = None


@dataclass(frozen=True, slots=True)
class Fit:
    """Whether a round fits: how long it takes, when it would end, by when it must begin. `fits` is None without a sunset."""

    holes: int
    people: int
    minutes: int
    starts: datetime
    ends: datetime
    begin_by: datetime | None
    fits: bool


def sun_on(day: date, course: Course, zone: ZoneInfo) -> Sun:
    """Sunrise and sunset of a local day at the course, or whether the sun stays up or down all day."""
    observer = astral.Observer(course.latitude, course.longitude)
    try:
        return Sun(astral.sun.sunrise(observer, day, tzinfo=zone), astral.sun.sunset(observer, day, tzinfo=zone))
    except ValueError:  # astral's way of saying that the sun does not cross the horizon
        noon = astral.sun.noon(observer, day, tzinfo=zone)
        up = astral.sun.elevation(observer, noon) > _HORIZON
        return Sun(None, None, "light all day" if up else "dark all day")


def minutes_for(holes: int, people: int, rounds: tuple[RoundTime, ...]) -> int:
    """About how long so many holes take so many people: the club's own figure where it has one, else between its figures or in proportion to
    the nearest. More people than any figure is for take at least as long as the most that one is for.
    """
    counted = min(people, max(one.people for one in rounds))
    told: dict[int, int] = {}  # the figure for the smallest group that they are
    for one in sorted(rounds, key=lambda one: one.people):
        if one.people >= counted:
            told.setdefault(one.holes, one.minutes)
    if holes in told:
        return told[holes]
    fewer, more = (max((n for n in told if n < holes), default=None), min((n for n in told if n > holes), default=None))
    if fewer is None or more is None:
        nearest = more if fewer is None else fewer
        assert nearest is not None  # a course has a figure for a round
        minutes = told[nearest] * holes / nearest
    else:
        minutes = told[fewer] + (told[more] - told[fewer]) * (holes - fewer) / (more - fewer)
    return max(5, 5 * round(minutes / 5))  # to five minutes: the figure is a guess and should look like one


def depends_on_people(holes: int, rounds: tuple[RoundTime, ...]) -> bool:
    """Whether so many holes take more people longer."""
    return len({minutes_for(holes, one.people, rounds) for one in rounds}) > 1


def sizes(course: Course) -> list[int]:
    """The numbers of holes that make a round at this course: its loops one, two or more together, and those with a figure of their own."""
    found = {0}
    for loop in course.loops:
        length = loop.last_hole - loop.first_hole + 1
        found |= {one + length for one in found}
    found |= {one.holes for one in course.rounds}
    return sorted(one for one in found if 0 < one <= len(course.holes))


def fit(holes: int, people: int | None, starts: datetime, course: Course, zone: ZoneInfo) -> Fit:
    """Whether a round begun at `starts` ends before sunset of that day."""
    party = people or _USUAL_PEOPLE
    minutes = minutes_for(holes, party, course.rounds)
    sun = sun_on(starts.astimezone(zone).date(), course, zone)
    ends = starts + timedelta(minutes=minutes)
    if sun.sets is None:
        return Fit(holes, party, minutes, starts, ends, None, sun.endless == "light all day")
    begin_by = sun.sets - timedelta(minutes=minutes)
    return Fit(holes, party, minutes, starts, ends, begin_by, ends <= sun.sets)
