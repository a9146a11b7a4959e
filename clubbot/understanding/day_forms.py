"""The days that a text names: one table of forms, each with what it means. The policy stands in `days`."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from typing import Literal

from clubbot.understanding import day_meanings
from clubbot.understanding.day_meanings import Meaning, Span
from clubbot.understanding.time_forms import Form, Worth, first_roles, form
from clubbot.understanding.time_words import Marked

# How "3/4" is meant in the club's country; "either" where both are usual.
DayOrder = Literal["day first", "month first", "either"]

_WEEK = timedelta(days=7)
_HOLES = frozenset({6, 9, 12, 18})


@dataclass(frozen=True, slots=True)
class NamedDays:
    """Where a text names days; `span` is None where it cannot be understood which."""

    begin: int
    end: int
    rank: float
    span: Span | None
    plain_weekday: bool = False


_Guard = Callable[[Marked, int, int], bool]


@dataclass(frozen=True, slots=True)
class _DayForm:
    form: Form
    rank: float
    meaning: Meaning
    guard: _Guard


def named_days(marked: Marked, today: date, order: DayOrder) -> NamedDays | None:
    """The days that a text names: of several the most exact, then the first; None where it names none."""
    found = list(_all(marked, today, order))
    if not found:
        return None
    best = min(found, key=lambda one: (one.rank, one.begin))
    if any(marked.follows(one.begin, "doubtful") for one in found):
        return replace(best, span=None)  # "the closest monday to june 5"
    if best.span is not None and best.plain_weekday and marked.says("next_week"):
        day = day_meanings.monday_of(today) + _WEEK + timedelta(days=best.span.first.weekday())
        return replace(best, span=Span(day, day, best.span.hour, weekday=True))  # "is wednesday on next week"
    return replace(best, span=_shifted(best, marked))


def _all(marked: Marked, today: date, order: DayOrder) -> Iterator[NamedDays]:
    """All of them, none within another."""
    place = 0
    candidates = _FIRST.candidates(marked)
    slashed = "slashed" in marked.said
    while place < len(marked.at):
        one = _slashed(marked, place, today, order) if slashed else None
        if one is None and candidates[place]:
            one = _longest(marked, place, candidates[place], today)
        if one is not None:
            yield one
        place = one.end if one is not None and one.rank < _WITHIN else place + 1


def _longest(marked: Marked, place: int, candidates: Sequence[int], today: date) -> NamedDays | None:
    best: tuple[int, int, Worth] | None = None
    for number in candidates:
        one = _TABLE[number]
        for end, worth in one.form.ends(marked, place):
            if one.guard(marked, place, end):
                if best is None or (end, -number) > best[:2]:
                    best = (end, -number, worth)
                break
    if best is None:
        return None
    end, number, worth = best
    one = _TABLE[-number]
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
        monday = day_meanings.monday_of(span.first)
        return Span(monday, monday + timedelta(days=6))
    moved = {"day_after": 1, "day_before": -1, "week_after": 7, "week_before": -7}
    return day_meanings.one_day(span.first + timedelta(days=moved[next(iter(near))]))


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
    """ "the 3rd hole", "the 1st time", "le 8 est ouvert" are none; a number in letters is one behind "on" alone."""
    last = marked.words[end - 1].form
    written = last.isalpha() and not marked.begins(end - 2, "figures")
    said = not written or (marked.words[begin].form == "on" and end == len(marked.words))
    return said and _not_counting(marked, begin, end) and not marked.begins(end, "no_day_after", "hole_stands")


def _a_bare_day(marked: Marked, begin: int, end: int) -> bool:
    """ "the 24" alone, or before an hour or a part of the day: "the 18" may well be holes."""
    if "figures" not in marked.at[end - 1]:
        return False
    number = int(marked.at[end - 1]["figures"][0])
    beside = end == len(marked.words) or bool(marked.words[end - 1].pause) or bool(marked.at[end])
    beside = beside and not marked.begins(end, "hole_state")  # "is the 8 open"
    beside = beside and not (begin and marked.begins(begin - 1, "in"))  # "he was already in the 4"
    lead = marked.begins(begin, "lead")
    return beside and (lead or number not in _HOLES) and _a_day(marked, begin, end)


def _a_bare_french_day(marked: Marked, begin: int, end: int) -> bool:
    """ "le 14"."""
    return "figures" in marked.at[end - 1] and _a_day(marked, begin, end)


def _a_number_beside(marked: Marked, begin: int, end: int) -> bool:
    ranged = marked.begins(end, "range") and marked.begins(end + 1, "n", "noon")
    clock = ranged or marked.begins(end, "two", "clock", "month", "ish", "oclock", "half_past", "et_demie", "et_quart")
    return not clock and _not_counting(marked, begin, end)


def _at_the_end(marked: Marked, _: int, end: int) -> bool:
    """ "the day after" by itself leans on another day; "the day after league" does not."""
    return end == len(marked.words) or bool(marked.words[end - 1].pause)


def _not_weekend(marked: Marked, _: int, end: int) -> bool:
    """ "mon week end" is French for another thing."""
    return end == len(marked.words) or marked.words[end].form != "end"


def _not_named_so(marked: Marked, _: int, end: int) -> bool:
    """Neither "this is April" nor "sept heures" is a month."""
    return not marked.says("no_month") and not marked.begins(end, "h")


# Ranks: dates before weekdays, weekdays before weeks, "today" and months last.
_DATE, _SOON, _WEEKDAY, _WEEKS, _TODAY, _MONTHS = 0.0, 2.0, 4.0, 5.0, 7.0, 9.0
# What stands within "today" and a month may be more exact: "later in two weeks".
_WITHIN = _TODAY

_BARE_WEEKDAY = day_meanings.weekday()
_FORMS: Sequence[tuple[str, float, Meaning, _Guard]] = (
    ("year two two", _DATE, day_meanings.written_in_full, _always),
    ("weekday? the|le? d of? month year?", _DATE, day_meanings.of_month, _not_may_be),
    ("weekday? month the|le? d year?", _DATE, day_meanings.of_month, _in_figures),
    ("month d to|and d", _DATE, day_meanings.days_of_month, _in_figures),
    ("d to|and d of? month", _DATE, day_meanings.days_of_month, _not_may_be),
    ("the|le? d days of month", _DATE, day_meanings.of_month, _always),
    ("the|le? d of? this_month|next_month", _DATE, day_meanings.of_near_month, _always),
    ("lead|le|the dth", _DATE, day_meanings.day_alone, _a_day),
    ("lead the dth", _DATE, day_meanings.day_alone, _a_day),
    ("le d", _DATE, day_meanings.day_alone, _a_bare_french_day),
    ("lead? the d", _DATE, day_meanings.day_alone, _a_bare_day),
    ("lead? the no_dth", _DATE, day_meanings.unclear, _a_day),
    ("the|le? dth|last weekday of? this_month|next_month|month", _DATE, day_meanings.nth_weekday, _always),
    ("feast", 0.5, day_meanings.feast, _always),
    ("after_tomorrow", 1.0, day_meanings.ahead(2), _always),
    ("tomorrow", _SOON, day_meanings.ahead(1), _always),
    ("few|n? weeks|fortnights from? today|tomorrow", _SOON, day_meanings.weeks_from, _always),
    ("in fortnights", 3.0, day_meanings.in_so_many, _always),
    ("in few|n days|weeks|months|fortnights", 3.0, day_meanings.in_so_many, _always),
    ("few|n days|weeks|months from_now", 3.0, day_meanings.in_so_many, _always),
    ("in vague days|weeks|months", 3.0, day_meanings.unclear, _always),
    ("not this? weekday but? one_after", 3.5, day_meanings.weekday(1), _always),
    ("not this? weekday but? next weekday?", 3.5, day_meanings.weekday(1), _always),
    ("few|n? weeks|fortnights from weekday", 3.5, day_meanings.weeks_from, _always),
    ("weekday in few|n weeks|fortnights", _WEEKDAY, day_meanings.of_week(0), _always),
    ("weekday of? the? next_week|week_follows", _WEEKDAY, day_meanings.of_week(1), _always),
    ("next_week weekday", _WEEKDAY, day_meanings.of_week(1), _always),
    ("weekday of? the? week_after_next", _WEEKDAY, day_meanings.of_week(2), _always),
    ("weekday of? this_week", _WEEKDAY, day_meanings.of_week(0), _always),
    ("weekday week_later", _WEEKDAY, day_meanings.weekday(1), _not_weekend),
    ("weekday fortnight_later", _WEEKDAY, day_meanings.weekday(2), _always),
    ("weekday after_next", _WEEKDAY, day_meanings.unclear, _always),
    ("next weekday", _WEEKDAY, day_meanings.of_week(1), _always),
    ("next weekday d", _WEEKDAY, day_meanings.of_next_week_at, _a_number_beside),
    ("coming_next weekday", _WEEKDAY, day_meanings.strictly_after, _always),
    ("weekday part|morning|afternoon|evening|night? next_after", _WEEKDAY, day_meanings.strictly_after, _always),
    ("weekday last_after", _WEEKDAY, day_meanings.last_weekday, _always),
    ("last weekday", _WEEKDAY, day_meanings.last_weekday, _always),
    ("weekday through weekday", _WEEKDAY, day_meanings.through, _always),
    ("weekday the|le? dth", _WEEKDAY, day_meanings.with_number, _a_number_beside),
    ("weekday the|le? d", _WEEKDAY, day_meanings.with_number, _a_number_beside),
    ("weekday", _WEEKDAY, _BARE_WEEKDAY, _always),
    ("next weekend", _WEEKS, day_meanings.weekend(1), _always),
    ("last weekend", _WEEKS, day_meanings.weekend(-1), _always),
    ("weekend next_after", _WEEKS, day_meanings.weekend(1), _always),
    ("next? weekend after_next", _WEEKS, day_meanings.weekend(2), _always),
    ("weekend", _WEEKS, day_meanings.weekend(0), _always),
    ("week_after_next", 5.5, day_meanings.week(2), _always),
    ("next_week|week_follows", 5.5, day_meanings.week(1), _always),
    ("this_week", 6.0, day_meanings.week(0), _always),
    ("today", _TODAY, day_meanings.ahead(0), _always),
    ("yesterday", 8.0, day_meanings.ahead(-1), _always),
    ("next_month", _MONTHS, day_meanings.month, _always),
    ("month_end", _MONTHS, day_meanings.month, _always),
    ("this_month", _MONTHS, day_meanings.month, _always),
    ("month_lead month", _MONTHS, day_meanings.month, _not_named_so),
    ("month year", _MONTHS, day_meanings.month, _not_named_so),
    ("sure_month", _MONTHS, day_meanings.month, _not_named_so),
    ("relative_day", 9.5, day_meanings.unclear, _at_the_end),
)
_TABLE = tuple(_DayForm(form(written), rank, meaning, guard) for written, rank, meaning, guard in _FORMS)
_FIRST = first_roles([one.form for one in _TABLE])
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
    return NamedDays(place, place + 1, _DATE, day_meanings.one_day(day)) if day is not None or sure else None


def _ways(parts: Sequence[int], today: date) -> dict[DayOrder, date | None]:
    if len(parts) == 3 and parts[0] > 31:
        day = day_meanings.exactly(*parts) if parts[0] >= 2000 else None
        return {"day first": day, "month first": day}
    year = (parts[2] if parts[2] >= 100 else 2000 + parts[2]) if len(parts) == 3 else None

    def of(month: int, day: int) -> date | None:
        if not (1 <= month <= 12 and 1 <= day <= 31):
            return None
        return (
            day_meanings.exactly(year, month, day) if year is not None else day_meanings.on_or_after(today, day, month)
        )

    return {"day first": of(parts[1], parts[0]), "month first": of(parts[0], parts[1])}
