"""Open, closed or partly, now or at a given time: the closures that count then, for the course, a loop or a hole."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import UTC, datetime

from clubbot.model.club import Closure, Course, Loop

WHOLE = "course"


@dataclass(frozen=True, slots=True)
class Standing:
    """How things stand with `what` at a moment: `closed` shuts all of it, `partly` are closures of parts of it."""

    what: str
    at: datetime
    closed: Closure | None
    partly: tuple[Closure, ...]


def standing(what: str, at: datetime, closures: Iterable[Closure], course: Course) -> Standing:
    """The standing of the course, a loop (its id) or a hole (its number) at the aware time `at`."""
    moment = at.astimezone(UTC)
    counting = [
        one
        for one in closures
        if one.kind != "note" and one.in_force(at) and (one.until is None or moment < one.until.astimezone(UTC))
    ]
    wanted = holes_of(what, course)
    shut = [one for one in counting if holes_of(one.what, course) >= wanted]
    partly = tuple(one for one in counting if one not in shut and holes_of(one.what, course) & wanted)
    return Standing(what, at, _longest(shut), partly)


def within(what: str, since: datetime, until: datetime, closures: Iterable[Closure], course: Course) -> list[Closure]:
    """The closures of `what`, all of it or a part, that count at any time from `since` up to `until`, in the order they begin."""
    first, last = since.astimezone(UTC), until.astimezone(UTC)
    wanted = holes_of(what, course)
    found = [
        one
        for one in closures
        if one.kind != "note"
        and one.since.astimezone(UTC) <= last
        and (one.until is None or one.until.astimezone(UTC) > first)
        and holes_of(one.what, course) & wanted
    ]
    return sorted(found, key=lambda one: one.since.astimezone(UTC))


def holes_of(what: str, course: Course) -> frozenset[int]:
    """The holes that "course", a loop's id or a hole's number means; none for a name that is not known."""
    if what == WHOLE:
        return frozenset(hole.hole for hole in course.holes)
    loop = loop_of(what, course)
    if loop is not None:
        return frozenset(range(loop.first_hole, loop.last_hole + 1))
    return frozenset({int(what)}) if what.isdigit() else frozenset()


def loop_of(what: str, course: Course) -> Loop | None:
    """The loop of that id."""
    return next((loop for loop in course.loops if loop.id == what), None)


def _longest(closures: list[Closure]) -> Closure | None:
    """The closure that ends last, so that nobody is told too early an end."""
    if not closures:
        return None
    return max(closures, key=lambda one: (one.until is None, one.until.timestamp() if one.until else 0.0))
