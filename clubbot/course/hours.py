"""When things at the course are open: the lending desk, the kitchen, the gate. Hours are local and within one day."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, time, timedelta

from clubbot.model.club import MONTHS, WEEKDAYS, Hours

# Something that is open at all is open again within a year.
_YEAR = 366


@dataclass(frozen=True, slots=True)
class Open:
    """The hours of a day on which it is open; `opens` is None where only the hour is known at which it closes."""

    day: date
    opens: time | None
    closes: time


def thing_of(row: Hours) -> str:
    """The name by which rows of the same thing belong together."""
    return row.thing or row.id


def on_day(rows: Sequence[Hours], day: date) -> Open | None:
    """The hours of a day; None where it is closed then. The first row that is for that day holds."""
    return next((Open(day, row.opens, row.closes) for row in rows if _is_for(row, day)), None)


def locked_on(hours: Sequence[Hours], topic: str, day: date) -> tuple[Hours, time] | None:
    """What of a topic is locked that day and when, as the gate of the car park: its hours have a close and no opening. None where nothing is."""
    found = next((row for row in hours if row.topic == topic and row.opens is None and _is_for(row, day)), None)
    return None if found is None else (found, found.closes)


def next_open(rows: Sequence[Hours], since: date) -> Open | None:
    """The first day from `since` on that it is open; None where it never is."""
    days = (since + timedelta(days=number) for number in range(_YEAR))
    return next((found for day in days if (found := on_day(rows, day)) is not None), None)


def _is_for(row: Hours, day: date) -> bool:
    if row.days and WEEKDAYS[day.weekday()] not in row.days:
        return False
    if row.months is None:
        return True
    first, last = (MONTHS.index(one) + 1 for one in row.months)
    return first <= day.month <= last if first <= last else not last < day.month < first
