"""When somebody is reminded of an event day: the evening before, some hours before, or when they asked for it.

What would fall into the quiet hours goes half an hour before they begin, the same evening; and not at all where that evening has a
reminder of the same day already, or is over.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, time, timedelta
from typing import Literal

from clubbot.model.quiet import QuietHours, instant
from clubbot.model.rsvps import Planned, ReminderKind

# How long before the quiet hours a text goes that would fall into them.
BEFORE_QUIET = timedelta(minutes=30)
# Two reminders closer to each other than this are one.
ONE_IS_ENOUGH = timedelta(hours=4)


@dataclass(frozen=True, slots=True, kw_only=True)
class Usual:
    """What an event reminds of by itself: `evening_before` at that local hour, `hours_before` it begins; False and 0 for none."""

    evening_before: time | Literal[False]
    hours_before: float


def usual(
    starts: datetime, wish: Usual, quiet: QuietHours, now: datetime, *, kinds: tuple[ReminderKind, ...]
) -> tuple[Planned, ...]:
    """The event's own reminders of `kinds` that still lie ahead of `now`."""
    planned: list[Planned] = []
    had: list[datetime] = []
    if wish.evening_before is not False and "evening" in kinds:
        evening = starts.astimezone(quiet.zone).date() - timedelta(days=1)
        due = instant(evening, wish.evening_before, quiet.zone)
        had.append(
            due
        )  # also where it is over: that evening has had its reminder, or the person has only just answered
        planned += _kept("evening", due, starts, quiet, now, ())
    if wish.hours_before > 0 and "hours" in kinds:
        # In UTC, since hours taken off a local time are those of the clock on the wall.
        due = starts.astimezone(UTC) - timedelta(hours=wish.hours_before)
        planned += _kept("hours", due, starts, quiet, now, had)
    return tuple(planned)


def asked_for(due: datetime, starts: datetime, quiet: QuietHours, now: datetime) -> Planned | None:
    """The reminder that somebody asked for; None where its time, or what is left of it outside the quiet hours, is over."""
    kept = _kept("asked", due, starts, quiet, now, ())
    return kept[0] if kept else None


def _kept(
    kind: ReminderKind, due: datetime, starts: datetime, quiet: QuietHours, now: datetime, others: Sequence[datetime]
) -> list[Planned]:
    moved = quiet.began_before(due) - BEFORE_QUIET if quiet.at(due) else due
    if moved <= now or max(moved, due) >= starts:
        return []
    if moved != due and any(abs(moved - other) < ONE_IS_ENOUGH for other in others):
        return []
    return [Planned(kind=kind, due=moved)]
