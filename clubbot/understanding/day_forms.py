"""The days that a text names: one table of forms, each with what it means. The policy stands in `days`."""

import calendar
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from typing import Literal

from clubbot.understanding.time_forms import Form, Worth, form
from clubbot.understanding.time_words import Marked

# How "3/4" is meant in the club's country; "either" where both are usual.
DayOrder = Literal["day first", "month first", "either"]

_WEEK = timedelta(days=7)
_LONGEST_LEAP = 8 * 12  # months from one 29 February to the next, at most
_LAST_HOUR_BESIDE = 12
_HOLES = frozenset({6, 9, 12, 18})


@dataclass(frozen=True, slots=True)
class Span:
    """Days from `first` to `last`. `hour` is a bare number beside a weekday that must be one ("weds 6")."""

    first: date
    last: date
    hour: int | None = None
    weekday: bool = False


@dataclass(frozen=True, slots=True)
class NamedDays:
    """Where a text names days; `span` is None where it cannot be understood which."""

    begin: int
    end: int
    rank: float
    span: Span | None
    plain_weekday: bool = False


_Meaning = Callable[[Worth, date], Span | None]
_Guard = Callable[[Marked, int, int], bool]


@dataclass(frozen=True, slots=True)
class _DayForm:
    form: Form
    rank: float
    meaning: _Meaning
    guard: _Guard
    place: int


def named_days(marked: Marked, today: date, order: DayOrder) -> NamedDays | None:
    """The days that a text names: of several the most exact, then the first; None where it names none."""
    found = list(_all(marked, today, order))
    if not found:
        return None
    best = min(found, key=lambda one: (one.rank, one.begin))
    if any(marked.follows(one.begin, "doubtful") for one in found):
        return replace(best, span=None)  # "the closest monday to june 5"
    if best.span is not None and best.plain_weekday and marked.says("next_week"):
        day = _monday(today) + _WEEK + timedelta(days=best.span.first.weekday())
        return replace(best, span=Span(day, day, best.span.hour, weekday=True))  # "is wednesday on next week"
    return replace(best, span=_shifted(best, marked))


def _all(marked: Marked, today: date, order: DayOrder) -> Iterator[NamedDays]:
    """All of them, none within another."""
    place = 0
    while place < len(marked.at):
        one = _slashed(marked, place, today, order) or _longest(marked, place, today)
        if one is not None:
            yield one
        place = one.end if one is not None and one.rank < _WITHIN else place + 1


def _longest(marked: Marked, place: int, today: date) -> NamedDays | None:
    best: tuple[int, _DayForm, Worth] | None = None
    for one in {kept for role in marked.at[place] for kept in _BY_FIRST.get(role, ())}:
        for end, worth in one.form.ends(marked, place):
            if one.guard(marked, place, end):
                if best is None or (end, -one.place) > (best[0], -best[1].place):
                    best = (end, one, worth)
                break
    if best is None:
        return None
    end, one, worth = best
    return NamedDays(place, end, one.rank, one.meaning(worth, today), one.meaning is _BARE_WEEKDAY)


def _shifted(found: NamedDays, marked: Marked) -> Span | None:
    """ "the day after june 5", "the week of june 7", "the closest monday to ..."."""
    begin = found.begin - 1 if marked.begins(found.begin - 1, "the", "le") and found.begin else found.begin
    span = found.span
    near = {
        role
        for role in ("day_after", "day_before", "week_after", "week_before", "week_of")
        if marked.follows(begin, role) or marked.follows(found.begin, role)
    }
    if span is None or not near or span.first != span.last or found.rank > _WEEKDAY:
        return span
    if "week_of" in near:
        monday = _monday(span.first)
        return Span(monday, monday + timedelta(days=6))
    moved = {"day_after": 1, "day_before": -1, "week_after": 7, "week_before": -7}
    return _one(span.first + timedelta(days=moved[next(iter(near))]))


def _one(day: date | None, hour: int | None = None) -> Span | None:
    return Span(day, day, hour) if day is not None else None


def _monday(day: date) -> date:
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


def _month(today: date, month: int, year: int | None = None) -> Span:
    year = year or (today.year if month >= today.month else today.year + 1)
    last = date(year, month, calendar.monthrange(year, month)[1])
    return Span(max(today, date(year, month, 1)) if last >= today else date(year, month, 1), last)


def _month_ahead(today: date, months: int) -> tuple[int, int]:
    years, index = divmod(today.month - 1 + months, 12)
    return today.year + years, index + 1


# Dates.


def _date(worth: Worth, today: date) -> Span | None:
    day, month = int(worth["d"]), int(worth["month"])
    if "year" in worth:
        return _one(exactly(int(worth["year"]), month, day))
    return _one(on_or_after(today, day, month))


def _dates(worth: Worth, today: date) -> Span | None:
    """ "july 3 to 5"."""
    last = on_or_after(today, int(worth["d2"]), int(worth["month"]))
    first = exactly(last.year, last.month, int(worth["d"])) if last is not None else None
    fits = first is not None and last is not None and first < last
    joined = "and" in worth and fits and first is not None and last is not None and (last - first).days > 1
    return Span(max(first, today), last) if first is not None and last is not None and fits and not joined else None


def _iso(worth: Worth, _: date) -> Span | None:
    return _one(exactly(int(worth["year"]), int(worth["two"]), int(worth["two2"])))


def _of_near_month(worth: Worth, today: date) -> Span | None:
    year, month = _month_ahead(today, 1 if "next_month" in worth else 0)
    return _one(exactly(year, month, int(worth["d"])))


def _day_alone(worth: Worth, today: date) -> Span | None:
    return _one(on_or_after(today, int(worth["dth"] if "dth" in worth else worth["d"])))


def _nth_weekday(worth: Worth, today: date) -> Span | None:
    """ "the first saturday of july"."""
    if "month" in worth:
        starts = _month(today, int(worth["month"])).last
    else:
        starts = date(*_month_ahead(today, 1 if "next_month" in worth else 0), 1)
    for year in (starts.year, starts.year + 1):
        of_month = [
            day
            for number in range(1, calendar.monthrange(year, starts.month)[1] + 1)
            if (day := date(year, starts.month, number)).weekday() == int(worth["weekday"])
        ]
        place = -1 if "last" in worth else int(worth["dth"]) - 1
        day = of_month[place] if place < len(of_month) else None
        if day is None or day >= today or "month" not in worth:
            return _one(day)
    return None


# Weekdays.


def _coming(worth: Worth, today: date) -> date:
    return today + timedelta(days=(int(worth["weekday"]) - today.weekday()) % 7)


def _weekday(weeks: int = 0) -> _Meaning:
    def meaning(worth: Worth, today: date) -> Span:
        day = _coming(worth, today) + weeks * _WEEK
        return Span(day, day, weekday=True)

    return meaning


def _of_week(weeks: int) -> _Meaning:
    """The weekday of a week from this one on; weeks begin on Monday."""

    def meaning(worth: Worth, today: date) -> Span:
        ahead = weeks if "few" not in worth and "n" not in worth else int(worth.get("few", worth.get("n", 0)))
        ahead *= 2 if "fortnights" in worth else 1
        day = _monday(today) + ahead * _WEEK + timedelta(days=int(worth["weekday"]))
        return Span(day, day, weekday=True)

    return meaning


def _of_next_week_at(worth: Worth, today: date) -> Span | None:
    """ "next fri 6"; a number that is no hour must be its date."""
    day = _monday(today) + _WEEK + timedelta(days=int(worth["weekday"]))
    number = int(worth["d"])
    if number == day.day:
        return Span(day, day, weekday=True)
    return Span(day, day, number, weekday=True) if number <= _LAST_HOUR_BESIDE else None


def _strictly_after(worth: Worth, today: date) -> Span:
    day = _coming(worth, today)
    day = day if day > today else day + _WEEK
    return Span(day, day, weekday=True)


def _last_weekday(worth: Worth, today: date) -> Span:
    day = _coming(worth, today) - _WEEK
    return Span(day, day, weekday=True)


def _weeks_from(worth: Worth, today: date) -> Span | None:
    """ "two weeks from friday", "a week tomorrow", "a week today"."""
    count = worth.get("few", worth.get("n", 1.0)) * (2 if "fortnights" in worth else 1)
    begins = today + timedelta(days=1) if "tomorrow" in worth else today
    begins = _coming(worth, today) if "weekday" in worth else begins
    return _one(begins + int(count) * _WEEK)


def _with_number(worth: Worth, today: date) -> Span | None:
    """ "sat 19" is the 19th where that is a Saturday; else the number is the hour, "weds 6", where it can be one."""
    number = int(worth["dth"] if "dth" in worth else worth["d"])
    named, coming = on_or_after(today, number), _coming(worth, today)
    if named is not None and ("dth" in worth or named.weekday() == int(worth["weekday"])):
        return Span(named, named, weekday=True)
    if number > _LAST_HOUR_BESIDE:
        return None
    return Span(coming, coming, number, weekday=True)


def _through(worth: Worth, today: date) -> Span:
    first = _coming(worth, today)
    return Span(first, first + timedelta(days=(int(worth["weekday2"]) - int(worth["weekday"])) % 7), weekday=True)


# Days, weeks and months from now.


def _ahead(days: int) -> _Meaning:
    return lambda _, today: _one(today + timedelta(days=days))


def _in(worth: Worth, today: date) -> Span | None:
    count = worth.get("few", worth.get("n", 1.0))
    if count < 1:
        return None
    if "months" in worth:
        year, month = _month_ahead(today, int(count))
        return _one(date(year, month, min(today.day, calendar.monthrange(year, month)[1])))
    days = 1 if "days" in worth else 14 if "fortnights" in worth else 7
    return _one(today + timedelta(days=int(count) * days))


def _weekend(weeks: int) -> _Meaning:
    def meaning(_: Worth, today: date) -> Span:
        saturday = _monday(today) + timedelta(days=5) + weeks * _WEEK
        first = max(today, saturday) if weeks >= 0 else saturday
        return Span(first, saturday + timedelta(days=1))

    return meaning


def _week(weeks: int) -> _Meaning:
    def meaning(_: Worth, today: date) -> Span:
        monday = _monday(today) + weeks * _WEEK
        return Span(max(today, monday), monday + timedelta(days=6))

    return meaning


def _of_month(worth: Worth, today: date) -> Span | None:
    if "next_month" in worth:
        return _month(today, *reversed(_month_ahead(today, 1)))
    month = worth.get("month", worth.get("sure_month", today.month))
    return _month(today, int(month), int(worth["year"]) if "year" in worth else None)


def _feast(worth: Worth, today: date) -> Span | None:
    month, day = divmod(int(worth["feast"]), 100)
    return _one(on_or_after(today, day, month)) if month else None


def _unclear(_: Worth, __: date) -> None:
    return None


# What may not stand beside a form.


def _always(_: Marked, __: int, ___: int) -> bool:
    return True


def _not_counting(marked: Marked, _: int, end: int) -> bool:
    """The last number is no hour and counts nothing: "may 3 of us", "june 6pm"."""
    return not marked.begins(end, "counted", "persons", "h", "am", "pm", "th")


def _in_figures(marked: Marked, begin: int, end: int) -> bool:
    """ "july 2", "july second"; not "in july two of us"."""
    last = end - 1
    while last > begin and not marked.at[last].keys() & {"d", "dth"}:
        last -= 1
    written = "n" in marked.at[last] and "figures" not in marked.at[last]
    return (not written or "dth" in marked.at[last]) and _not_counting(marked, begin, end)


def _not_may_be(marked: Marked, begin: int, end: int) -> bool:
    """ "18 may be too many" is no date."""
    last = marked.at[end - 1]
    common = "month" in last and "sure_month" not in last and marked.begins(end, "no_month_after")
    return not common and _not_counting(marked, begin, end)


def _a_day(marked: Marked, begin: int, end: int) -> bool:
    """ "the 3rd hole", "the 1st time" are none; a number in letters is one behind "on" alone."""
    last = marked.words[end - 1].form
    written = last.isalpha() and not marked.begins(end - 2, "figures")
    said = not written or (marked.words[begin].form == "on" and end == len(marked.words))
    return said and _not_counting(marked, begin, end) and not marked.begins(end, "no_day_after")


def _a_bare_day(marked: Marked, begin: int, end: int) -> bool:
    """ "the 24" alone, or before an hour or a part of the day: "the 18" may well be holes."""
    if "figures" not in marked.at[end - 1]:
        return False
    number = int(marked.at[end - 1]["figures"][0])
    beside = end == len(marked.words) or bool(marked.words[end - 1].pause) or bool(marked.at[end])
    lead = marked.begins(begin, "lead")
    return beside and (lead or number not in _HOLES) and _a_day(marked, begin, end)


def _a_bare_french_day(marked: Marked, begin: int, end: int) -> bool:
    """ "le 14"."""
    return "figures" in marked.at[end - 1] and _a_day(marked, begin, end)


def _a_number_beside(marked: Marked, begin: int, end: int) -> bool:
    ranged = marked.begins(end, "range") and marked.begins(end + 1, "n", "noon")
    clock = ranged or marked.begins(end, "two", "clock", "month", "ish", "oclock", "half_past", "et_demie", "et_quart")
    return not clock and _not_counting(marked, begin, end)


def _not_weekend(marked: Marked, _: int, end: int) -> bool:
    """ "mon week end" is French for another thing."""
    return end == len(marked.words) or marked.words[end].form != "end"


def _not_named_so(marked: Marked, _: int, end: int) -> bool:
    """ "this is April" and "sept heures" are no months."""
    return not marked.says("no_month") and not marked.begins(end, "h")


# Ranks: dates before weekdays, weekdays before weeks, "today" and months last.
_DATE, _SOON, _WEEKDAY, _WEEKS, _TODAY, _MONTHS = 0.0, 2.0, 4.0, 5.0, 7.0, 9.0
# What stands within "today" and a month may be more exact: "later in two weeks".
_WITHIN = _TODAY

_BARE_WEEKDAY = _weekday()
_FORMS: Sequence[tuple[str, float, _Meaning, _Guard]] = (
    ("year two two", _DATE, _iso, _always),
    ("weekday? the|le? d of? month year?", _DATE, _date, _not_may_be),
    ("weekday? month the|le? d year?", _DATE, _date, _in_figures),
    ("month d to|and d", _DATE, _dates, _in_figures),
    ("d to|and d of? month", _DATE, _dates, _not_may_be),
    ("the|le? d days of month", _DATE, _date, _always),
    ("the|le? d of? this_month|next_month", _DATE, _of_near_month, _always),
    ("lead|le|the dth", _DATE, _day_alone, _a_day),
    ("lead the dth", _DATE, _day_alone, _a_day),
    ("le d", _DATE, _day_alone, _a_bare_french_day),
    ("lead? the d", _DATE, _day_alone, _a_bare_day),
    ("lead? the no_dth", _DATE, _unclear, _a_day),
    ("the|le? dth|last weekday of? this_month|next_month|month", _DATE, _nth_weekday, _always),
    ("feast", 0.5, _feast, _always),
    ("after_tomorrow", 1.0, _ahead(2), _always),
    ("tomorrow", _SOON, _ahead(1), _always),
    ("few|n? weeks|fortnights from? today|tomorrow", _SOON, _weeks_from, _always),
    ("in fortnights", 3.0, _in, _always),
    ("in few|n days|weeks|months|fortnights", 3.0, _in, _always),
    ("few|n days|weeks|months from_now", 3.0, _in, _always),
    ("in vague days|weeks|months", 3.0, _unclear, _always),
    ("not this? weekday but? one_after", 3.5, _weekday(1), _always),
    ("not this? weekday but? next weekday?", 3.5, _weekday(1), _always),
    ("few|n? weeks|fortnights from weekday", 3.5, _weeks_from, _always),
    ("weekday in few|n weeks|fortnights", _WEEKDAY, _of_week(0), _always),
    ("weekday of? the? next_week|week_follows", _WEEKDAY, _of_week(1), _always),
    ("next_week weekday", _WEEKDAY, _of_week(1), _always),
    ("weekday of? the? week_after_next", _WEEKDAY, _of_week(2), _always),
    ("weekday of? this_week", _WEEKDAY, _of_week(0), _always),
    ("weekday week_later", _WEEKDAY, _weekday(1), _not_weekend),
    ("weekday fortnight_later", _WEEKDAY, _weekday(2), _always),
    ("weekday after_next", _WEEKDAY, _unclear, _always),
    ("next weekday", _WEEKDAY, _of_week(1), _always),
    ("next weekday d", _WEEKDAY, _of_next_week_at, _a_number_beside),
    ("coming_next weekday", _WEEKDAY, _strictly_after, _always),
    ("weekday next_after", _WEEKDAY, _strictly_after, _always),
    ("weekday last_after", _WEEKDAY, _last_weekday, _always),
    ("last weekday", _WEEKDAY, _last_weekday, _always),
    ("weekday through weekday", _WEEKDAY, _through, _always),
    ("weekday the|le? dth", _WEEKDAY, _with_number, _a_number_beside),
    ("weekday the|le? d", _WEEKDAY, _with_number, _a_number_beside),
    ("weekday", _WEEKDAY, _BARE_WEEKDAY, _always),
    ("next weekend", _WEEKS, _weekend(1), _always),
    ("last weekend", _WEEKS, _weekend(-1), _always),
    ("weekend next_after", _WEEKS, _weekend(1), _always),
    ("next? weekend after_next", _WEEKS, _weekend(2), _always),
    ("weekend", _WEEKS, _weekend(0), _always),
    ("week_after_next", 5.5, _week(2), _always),
    ("next_week|week_follows", 5.5, _week(1), _always),
    ("this_week", 6.0, _week(0), _always),
    ("today", _TODAY, _ahead(0), _always),
    ("yesterday", 8.0, _ahead(-1), _always),
    ("next_month", _MONTHS, _of_month, _always),
    ("month_end", _MONTHS, _of_month, _always),
    ("this_month", _MONTHS, _of_month, _always),
    ("month_lead month", _MONTHS, _of_month, _not_named_so),
    ("month year", _MONTHS, _of_month, _not_named_so),
    ("sure_month", _MONTHS, _of_month, _not_named_so),
    ("relative_day", 9.5, _unclear, _always),
)
_TABLE = tuple(
    _DayForm(form(written), rank, meaning, guard, place) for place, (written, rank, meaning, guard) in enumerate(_FORMS)
)
_BY_FIRST: dict[str, list[_DayForm]] = {}
for _kept in _TABLE:
    for _role in _kept.form.first_roles():
        _BY_FIRST.setdefault(_role, []).append(_kept)
ROLES = frozenset(role for one in _TABLE for role in one.form.roles())


def _slashed(marked: Marked, place: int, today: date, order: DayOrder) -> NamedDays | None:
    """ "4/25", "25/4", "15/02/2027": in the order of the country; where both can be and neither is usual, not understood."""
    if not marked.begins(place, "slashed") or marked.begins(place, "no_date"):
        return None
    parts = [int(part) for part in marked.words[place].form.split("/")]
    if not _not_counting(marked, place, place + 1) or marked.follows(place, "no_hour_after"):
        return None
    ways = _ways(parts, today)
    beside = {
        mark[0] for marks in marked.at[max(0, place - 1) : place] for role, mark in marks.items() if role == "weekday"
    }
    fitting = [day for day in ways.values() if day is not None and day.weekday() in beside]
    sure = len(parts) == 3 or beside or marked.follows(place, "lead", "le", "at") or len(marked.words) == 1
    if marked.follows(place, "le"):
        order = "day first"
    day = fitting[0] if len(fitting) == 1 else ways["day first"] if ways["day first"] == ways["month first"] else None
    if day is None and order != "either":
        day = ways[order] or next((one for one in ways.values() if one is not None), None)
    elif day is None and None in ways.values():
        day = next((one for one in ways.values() if one is not None), None)
    return NamedDays(place, place + 1, _DATE, _one(day)) if day is not None or sure else None


def _ways(parts: Sequence[int], today: date) -> dict[DayOrder, date | None]:
    if len(parts) == 3 and parts[0] > 31:
        day = exactly(*parts) if parts[0] >= 2000 else None
        return {"day first": day, "month first": day}
    year = (parts[2] if parts[2] >= 100 else 2000 + parts[2]) if len(parts) == 3 else None

    def of(month: int, day: int) -> date | None:
        if not (1 <= month <= 12 and 1 <= day <= 31):
            return None
        return exactly(year, month, day) if year is not None else on_or_after(today, day, month)

    return {"day first": of(parts[1], parts[0]), "month first": of(parts[0], parts[1])}
