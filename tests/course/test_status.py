"""Open, closed or partly: which closures count when, for the course, a loop or a hole."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from clubbot.course.status import holes_of, loop_of, standing
from clubbot.model.club import Closure, Course, Hole, Loop
from clubbot.model.messages import Said

HALIFAX = ZoneInfo("America/Halifax")
NOON = datetime(2027, 6, 7, 12, tzinfo=HALIFAX)


def a_loop(id: str, first: int, last: int) -> Loop:
    return Loop(id=id, name=Said(en=id, fr=id), first_hole=first, last_hole=last)


COURSE = Course(
    latitude=44.9,
    longitude=-62.5,
    largest_group=5,
    loops=(a_loop("shore", 1, 6), a_loop("marsh", 7, 12), a_loop("hill", 13, 18)),
    holes=tuple(Hole(hole=number, par=3, long=90, short=60) for number in range(1, 19)),
    rounds=(),
)


def a_closure(
    what: str = "course",
    since: datetime = NOON - timedelta(hours=1),
    until: datetime | None = NOON + timedelta(hours=1),
) -> Closure:
    return Closure(what=what, since=since, until=until, reason=Said(en="flooded", fr="inondé"))


def test_without_a_closure_all_is_open() -> None:
    found = standing("course", NOON, [], COURSE)

    assert (found.closed, found.partly) == (None, ())


# What is closed against what is asked about: shut, partly shut, or not touched.
@pytest.mark.parametrize(
    ("closed", "asked", "expected"),
    [
        ("course", "course", "shut"),
        ("course", "marsh", "shut"),
        ("course", "8", "shut"),
        ("marsh", "course", "partly"),
        ("marsh", "marsh", "shut"),
        ("marsh", "8", "shut"),
        ("marsh", "7", "shut"),
        ("marsh", "12", "shut"),
        ("marsh", "6", "open"),
        ("marsh", "13", "open"),
        ("marsh", "shore", "open"),
        ("8", "course", "partly"),
        ("8", "marsh", "partly"),
        ("8", "8", "shut"),
        ("8", "9", "open"),
        ("8", "hill", "open"),
    ],
)
def test_a_closure_shuts_what_lies_within_it_and_part_of_what_lies_around_it(
    closed: str, asked: str, expected: str
) -> None:
    found = standing(asked, NOON, [a_closure(closed)], COURSE)
    actual = "shut" if found.closed else "partly" if found.partly else "open"

    assert actual == expected


@pytest.mark.parametrize(
    ("at", "closed"),
    [
        (NOON - timedelta(seconds=1), False),
        (NOON, True),
        (NOON + timedelta(hours=2) - timedelta(seconds=1), True),
        (NOON + timedelta(hours=2), False),
        (NOON.astimezone(UTC), True),
        ((NOON + timedelta(hours=2)).astimezone(UTC), False),
    ],
)
def test_a_closure_counts_from_its_first_moment_and_no_longer_at_its_last(at: datetime, closed: bool) -> None:
    closure = a_closure(since=NOON, until=NOON + timedelta(hours=2))

    assert (standing("course", at, [closure], COURSE).closed is not None) is closed


def test_what_was_in_force_when_it_was_told_counts_on_a_clock_that_was_set_back() -> None:
    closure = replace(a_closure(since=NOON), begun=True)

    assert standing("course", NOON - timedelta(hours=3), [closure], COURSE).closed == closure


def test_a_closure_without_an_end_counts_for_ever() -> None:
    closure = a_closure(until=None)

    assert standing("course", NOON + timedelta(days=4000), [closure], COURSE).closed == closure


@pytest.mark.parametrize("order", [1, -1])
def test_of_several_closures_the_one_that_ends_last_is_told(order: int) -> None:
    shorter, longer = a_closure("marsh", until=NOON + timedelta(hours=1)), a_closure(until=NOON + timedelta(hours=5))

    assert standing("marsh", NOON, [shorter, longer][::order], COURSE).closed == longer


@pytest.mark.parametrize("order", [1, -1])
def test_a_closure_without_an_end_is_told_before_any_other(order: int) -> None:
    ending, endless = a_closure(until=NOON + timedelta(days=365)), a_closure("marsh", until=None)

    assert standing("9", NOON, [ending, endless][::order], COURSE).closed == endless


def test_all_closed_parts_are_told_in_their_order() -> None:
    parts = [a_closure("marsh"), a_closure("3"), a_closure("hill", since=NOON + timedelta(minutes=1))]

    assert standing("course", NOON, parts, COURSE).partly == (parts[0], parts[1])


def test_closing_each_loop_does_not_hide_that_parts_are_closed() -> None:
    loops = [a_closure("shore"), a_closure("marsh"), a_closure("hill")]

    assert standing("course", NOON, loops, COURSE).partly == tuple(loops)


# Source: tzdata for America/Halifax: on 2026-11-01 the hour from 1:00 to 2:00 comes twice, on 2026-03-08 that from 2:00 is left out.
@pytest.mark.parametrize(
    ("at", "closed"),
    [
        (datetime(2026, 11, 1, 1, 15, tzinfo=HALIFAX), True),
        (datetime(2026, 11, 1, 1, 30, tzinfo=HALIFAX), False),
        (datetime(2026, 11, 1, 1, 15, fold=1, tzinfo=HALIFAX), False),
        (datetime(2026, 11, 1, 4, 29, tzinfo=UTC), True),
        (datetime(2026, 11, 1, 5, 15, tzinfo=UTC), False),
    ],
)
def test_a_closure_until_a_repeated_hour_ends_when_that_hour_comes_first(at: datetime, closed: bool) -> None:
    closure = a_closure(
        since=datetime(2026, 10, 31, 20, tzinfo=HALIFAX), until=datetime(2026, 11, 1, 1, 30, tzinfo=HALIFAX)
    )

    assert (standing("course", at, [closure], COURSE).closed is not None) is closed


@pytest.mark.parametrize(
    ("at", "closed"),
    [
        (datetime(2026, 3, 8, 6, 29, tzinfo=UTC), False),
        (datetime(2026, 3, 8, 6, 30, tzinfo=UTC), True),
        (datetime(2026, 3, 8, 3, 30, tzinfo=HALIFAX), True),
    ],
)
def test_a_closure_from_an_hour_that_is_left_out_begins_as_if_the_clock_had_not_moved(
    at: datetime, closed: bool
) -> None:
    closure = a_closure(since=datetime(2026, 3, 8, 2, 30, tzinfo=HALIFAX), until=None)

    assert (standing("course", at, [closure], COURSE).closed is not None) is closed


def test_an_unknown_name_means_no_hole() -> None:
    assert (holes_of("swamp", COURSE), holes_of("", COURSE)) == (frozenset(), frozenset())


def test_a_loop_is_found_by_its_id() -> None:
    marsh = loop_of("marsh", COURSE)

    assert marsh is not None
    assert (marsh.first_hole, loop_of("swamp", COURSE)) == (7, None)
