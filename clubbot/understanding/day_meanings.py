"""What the forms of days mean: from the numbers in them and today to the days, by the calendar. The policy stands in `days`."""

import calendar
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, timedelta

from clubbot.understanding.time_forms import Worth

_WEEK = timedelta(days=7)
_LONGEST_LEAP = 8 * 12  # months from one 29 February to the next, at most
_LAST_HOUR_BESIDE = 12


@dataclass(frozen=True, slots=True)
class Span:
    """Days from `first` to `last`. `hour` is a bare number beside a weekday that must be one ("weds 6")."""

    first: date
    last: date
    hour: int | None = None
    weekday: bool = False


Meaning = Callable[[Worth, date], Span | None]


def one_day(day: date | None, hour: int | None = None) -> Span | None:
    """That day alone; None where there is none."""
    return Span(day, day, hour) if day is not None else None


def monday_of(day: date) -> date:
    """The Monday of its week."""
    return day - timedelta(days=day.weekday())


def exactly(year: int, month: int, day: int) -> date | None:
    """That day, where there is one."""
    fits = 1 <= month <= 12 and 1 <= day <= calendar.monthrange(year, month)[1]
    return date(year, month, day) if fits else None


def on_or_after(today: date, day: int, month: int | None = None) -> date | None:
    """The next such day; as far ahead as 29 February can be."""
    for ahead in range(_LONGEST_LEAP + 1):
        years, index = divmod(today.month - 1 + ahead, 12)
        if month is None or index + 1 == month:
            found = exactly(today.year + years, index + 1, day)
            if found is not None and found >= today:
                return found
    return None


def whole_month(today: date, month: int, year: int | None = None) -> Span:
    """What is left of the next such month, or of that year's."""
    year = year or (today.year if month >= today.month else today.year + 1)
    last = date(year, month, calendar.monthrange(year, month)[1])
    return Span(max(today, date(year, month, 1)) if last >= today else date(year, month, 1), last)


def _month_ahead(today: date, months: int) -> tuple[int, int]:
    years, index = divmod(today.month - 1 + months, 12)
    return today.year + years, index + 1


# Dates.


def of_month(worth: Worth, today: date) -> Span | None:
    """ "june 9", "9 juin 2028"."""
    day, month = int(worth["d"]), int(worth["month"])
    if "year" in worth:
        return one_day(exactly(int(worth["year"]), month, day))
    return one_day(on_or_after(today, day, month))


def days_of_month(worth: Worth, today: date) -> Span | None:
    """ "july 3 to 5"."""
    last = on_or_after(today, int(worth["d2"]), int(worth["month"]))
    first = exactly(last.year, last.month, int(worth["d"])) if last is not None else None
    fits = first is not None and last is not None and first < last
    joined = "and" in worth and fits and first is not None and last is not None and (last - first).days > 1
    return Span(max(first, today), last) if first is not None and last is not None and fits and not joined else None


def written_in_full(worth: Worth, _: date) -> Span | None:
    """ "2027-06-09"."""
    return one_day(exactly(int(worth["year"]), int(worth["two"]), int(worth["two2"])))


def of_near_month(worth: Worth, today: date) -> Span | None:
    """ "the 5th of next month"."""
    year, month = _month_ahead(today, 1 if "next_month" in worth else 0)
    return one_day(exactly(year, month, int(worth["d"])))


def day_alone(worth: Worth, today: date) -> Span | None:
    """ "the 12th"."""
    return one_day(on_or_after(today, int(worth["dth"] if "dth" in worth else worth["d"])))


def nth_weekday(worth: Worth, today: date) -> Span | None:
    """ "the first saturday of july"."""
    if "month" in worth:
        starts = whole_month(today, int(worth["month"])).last
    else:
        starts = date(*_month_ahead(today, 1 if "next_month" in worth else 0), 1)
    for year in (starts.year, starts.year + 1):
        of_month = [
            one
            for number in range(1, calendar.monthrange(year, starts.month)[1] + 1)
            if (one := date(year, starts.month, number)).weekday() == int(worth["weekday"])
        ]
        place = -1 if "last" in worth else int(worth["dth"]) - 1
        day = of_month[place] if place < len(of_month) else None
        if day is None or day >= today or "month" not in worth:
            return one_day(day)
    return None


# Weekdays.


def _coming(worth: Worth, today: date) -> date:
    return today + timedelta(days=(int(worth["weekday"]) - today.weekday()) % 7)


def weekday(weeks: int = 0) -> Meaning:
    """The next such weekday, so many weeks later."""

    def meaning(worth: Worth, today: date) -> Span:
        day = _coming(worth, today) + weeks * _WEEK
        return Span(day, day, weekday=True)

    return meaning


def of_week(weeks: int) -> Meaning:
    """The weekday of a week from this one on; weeks begin on Monday."""

    def meaning(worth: Worth, today: date) -> Span:
        ahead = weeks if "few" not in worth and "n" not in worth else int(worth.get("few", worth.get("n", 0)))
        ahead *= 2 if "fortnights" in worth else 1
        day = monday_of(today) + ahead * _WEEK + timedelta(days=int(worth["weekday"]))
        return Span(day, day, weekday=True)

    return meaning


def of_next_week_at(worth: Worth, today: date) -> Span | None:
    """ "next fri 6"; a number that is no hour must be its date."""
    day = monday_of(today) + _WEEK + timedelta(days=int(worth["weekday"]))
    number = int(worth["d"])
    if number == day.day:
        return Span(day, day, weekday=True)
    return Span(day, day, number, weekday=True) if number <= _LAST_HOUR_BESIDE else None


def strictly_after(worth: Worth, today: date) -> Span:
    """The next such weekday after today."""
    day = _coming(worth, today)
    day = day if day > today else day + _WEEK
    return Span(day, day, weekday=True)


def last_weekday(worth: Worth, today: date) -> Span:
    """The last such weekday before today."""
    day = _coming(worth, today) - _WEEK
    return Span(day, day, weekday=True)


def weeks_from(worth: Worth, today: date) -> Span | None:
    """ "two weeks from friday", "a week tomorrow", "a week today"."""
    count = worth.get("few", worth.get("n", 1.0)) * (2 if "fortnights" in worth else 1)
    begins = today + timedelta(days=1) if "tomorrow" in worth else today
    begins = _coming(worth, today) if "weekday" in worth else begins
    return one_day(begins + int(count) * _WEEK)


def with_number(worth: Worth, today: date) -> Span | None:
    """ "sat 19" is the 19th where that is a Saturday; else the number is the hour, "weds 6", where it can be one."""
    number = int(worth["dth"] if "dth" in worth else worth["d"])
    named, coming = on_or_after(today, number), _coming(worth, today)
    if named is not None and ("dth" in worth or named.weekday() == int(worth["weekday"])):
        return Span(named, named, weekday=True)
    if number > _LAST_HOUR_BESIDE:
        return None
    return Span(coming, coming, number, weekday=True)


def through(worth: Worth, today: date) -> Span:
    """ "friday through sunday"."""
    first = _coming(worth, today)
    return Span(first, first + timedelta(days=(int(worth["weekday2"]) - int(worth["weekday"])) % 7), weekday=True)


# Days, weeks and months from now.


def ahead(days: int) -> Meaning:
    """So many days from today."""
    return lambda _, today: one_day(today + timedelta(days=days))


def in_so_many(worth: Worth, today: date) -> Span | None:
    """ "in two weeks", "three days from now"."""
    count = worth.get("few", worth.get("n", 1.0))
    if count < 1:
        return None
    if "months" in worth:
        year, month = _month_ahead(today, int(count))
        return one_day(date(year, month, min(today.day, calendar.monthrange(year, month)[1])))
    days = 1 if "days" in worth else 14 if "fortnights" in worth else 7
    return one_day(today + timedelta(days=int(count) * days))


def weekend(weeks: int) -> Meaning:
    """The weekend so many weeks from this one."""

    def meaning(_: Worth, today: date) -> Span:
        saturday = monday_of(today) + timedelta(days=5) + weeks * _WEEK
        first = max(today, saturday) if weeks >= 0 else saturday
        return Span(first, saturday + timedelta(days=1))

    return meaning


def week(weeks: int) -> Meaning:
    """The week so many weeks from this one, from today on."""

    def meaning(_: Worth, today: date) -> Span:
        monday = monday_of(today) + weeks * _WEEK
        return Span(max(today, monday), monday + timedelta(days=6))

    return meaning


def month(worth: Worth, today: date) -> Span | None:
    """ "in may", "next month", "june 2028"."""
    if "next_month" in worth:
        return whole_month(today, *reversed(_month_ahead(today, 1)))
    month = worth.get("month", worth.get("sure_month", today.month))
    return whole_month(today, int(month), int(worth["year"]) if "year" in worth else None)


def feast(worth: Worth, today: date) -> Span | None:
    """The next such feast; None where it moves."""
    month, day = divmod(int(worth["feast"]), 100)
    return one_day(on_or_after(today, day, month)) if month else None


def unclear(_: Worth, __: date) -> None:
    """A day that cannot be told."""
    return
