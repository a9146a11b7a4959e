"""The hours that a text names: one table of forms, each with what it means. The policy stands in `days`."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import time

from clubbot.understanding.time_forms import Form, Worth, first_roles, form
from clubbot.understanding.time_words import Marked

_NUMBERS = ("n", "figures", "clock", "military", "oclock", "h", "two")
_NOON, _DAY = 12 * 60, 24 * 60
_LATEST_AFTERNOON = 7
# "5 to 7" are hours, "20 to 7" is an hour.
_LAST_HOUR_SAID = 12
_LEAST_PLAIN_HOUR = 5


@dataclass(frozen=True, slots=True)
class Hour:
    """`guessed` where the half of the day was not said; `until` where a range ends; `next_day` where midnight ends the day."""

    at: time
    guessed: bool = False
    until: time | None = None
    next_day: bool = False


_Meaning = Callable[[Worth, bool], Hour | None]
_Guard = Callable[[Marked, int, int], bool]


@dataclass(frozen=True, slots=True)
class _HourForm:
    form: Form
    rank: int
    meaning: _Meaning
    guard: _Guard


def named_hour(marked: Marked) -> Hour | None:
    """The hour that a text names: of several the one said most clearly, then the first; None where it names none."""
    best: tuple[int, int, int, int, Hour] | None = None
    morning = says_morning(marked)
    for place, candidates in enumerate(_FIRST.candidates(marked)):
        for number in candidates:
            one = _TABLE[number]
            for end, worth in one.form.ends(marked, place):
                if marked.begins(end, "other_zone"):
                    return None  # "6pm eastern": the club's clocks show another hour
                found = one.meaning(worth, morning) if one.guard(marked, place, end) else None
                if found is not None:
                    kept = (one.rank, place, -end, number, found)
                    best = kept if best is None or kept[:4] < best[:4] else best
                    break
    return best[4] if best else None


def hour_at(marked: Marked, place: int) -> tuple[Hour, int] | None:
    """The hour that begins at this word, and the word behind it: said most clearly, then the longest; None where none begins there. Here a
    number by itself is one: "7", "615".
    """
    best: tuple[int, int, Hour] | None = None
    morning = says_morning(marked)
    for one in (*(_TABLE[number] for number in _FIRST.candidates(marked)[place]), *_BY_ITSELF):
        for end, worth in one.form.ends(marked, place):
            found = one.meaning(worth, morning) if one.guard(marked, place, end) else None
            if found is not None:
                kept = (one.rank, -end, found)
                best = kept if best is None or kept[:2] < best[:2] else best
                break
    return (best[2], -best[1]) if best else None


def says_morning(marked: Marked) -> bool:
    """Whether an hour is one of the morning."""
    return marked.says("morning", "n_am", "clock_am") or says_am(marked)


def says_am(marked: Marked) -> bool:
    """ "8 am", not "what am i down for"."""
    return any("am" in marks and marked.begins(place - 1, *_NUMBERS) for place, marks in enumerate(marked.at) if place)


def named_part(marked: Marked) -> time | None:
    """When the part of the day that a text names begins."""
    if marked.says("afternoon"):
        return time(14)
    if marked.says("morning"):
        return time(9)
    return time(18) if says_evening(marked) else None


def says_evening(marked: Marked) -> bool:
    """ "tonight", "after work", "friday night"."""
    nights = (place for place, marks in enumerate(marked.at) if "night" in marks)
    return marked.says("evening") or any(marked.follows(place, "tomorrow", "weekday") for place in nights)


def guessed(minutes: int, *, morning: bool) -> time:
    """Without am or pm 1 to 7 is after noon, where no morning is spoken of."""
    hour, minute = divmod(minutes % _DAY, 60)
    if 1 <= hour <= _LATEST_AFTERNOON and not morning:
        hour += 12
    return time(hour, minute)


def _half(worth: Worth) -> str | None:
    if worth.keys() & {"am", "n_am", "clock_am"}:
        return "am"
    return "pm" if worth.keys() & {"pm", "n_pm", "clock_pm"} else None


def _at(minutes: float, worth: Worth, *, morning: bool, past: int = 0) -> Hour | None:
    """The hour `past` so many minutes, in the half that was said or is guessed."""
    of_clock, half = int(minutes), _half(worth)
    if half is None:
        return Hour(guessed(of_clock, morning=morning), guessed=True) if past == 0 else _past(of_clock, past, morning)
    if not 60 <= of_clock < 13 * 60:
        if half == "pm" and of_clock < _DAY:  # "20h du soir"
            return Hour(_clock(of_clock + past))
        return None
    return Hour(_clock(of_clock % _NOON + (_NOON if half == "pm" else 0) + past))


def _past(minutes: int, past: int, morning: bool) -> Hour:
    """The half of the day is guessed of the hour as a clock shows it: a quarter to 8 is 7:45."""
    shown = minutes + past
    if shown < 60:
        shown += _NOON
    return Hour(guessed(shown, morning=morning), guessed=True)


def _clock(minutes: int) -> time:
    hour, minute = divmod(minutes % _DAY, 60)
    return time(hour, minute)


def _hour_of(worth: Worth) -> float | None:
    number = next((worth[role] for role in ("n", "n1", "n_am", "n_pm") if role in worth), None)
    return number * 60 if number is not None and number <= 24 else None


def _number(past: int = 0) -> _Meaning:
    """An hour as a number, so many minutes past it."""

    def meaning(worth: Worth, morning: bool) -> Hour | None:
        hour = _hour_of(worth)
        if hour is None or (past and not _half(worth) and hour > 23 * 60):
            return None
        return _at(hour, worth, morning=morning, past=past)

    return meaning


def _twelve(past: int = 0) -> _Meaning:
    return lambda _, __: Hour(_clock(_NOON + past))


def _minutes(sign: int) -> _Meaning:
    """ "20 past 3", "20 minutes to 2pm", "8 h moins 20"."""

    def meaning(worth: Worth, morning: bool) -> Hour | None:
        pieces = [worth[name] for name in ("n", "n2", "n_am", "n_pm") if name in worth]
        minute, hour = (
            (pieces[1], pieces[0]) if "moins" in worth else (pieces[0], pieces[-1] if len(pieces) > 1 else 12)
        )
        if not 0 < minute < 60 or not 0 < hour <= 24:
            return None
        if "noon" in worth:
            return Hour(_clock(_NOON + sign * int(minute)))
        return _at(hour * 60, worth, morning=morning, past=sign * int(minute))

    return meaning


def _with_minutes(worth: Worth, morning: bool) -> Hour | None:
    """ "18 h 30", "ten thirty", "twelve oh three"."""
    hour = worth["n"]
    minute = worth.get("two", worth.get("n2", 0))
    if hour > 24 or not 0 <= minute < 60:
        return None
    return _at(hour * 60 + minute, worth, morning=morning)


def _of_clock(worth: Worth, morning: bool) -> Hour | None:
    minutes = next(worth[role] for role in ("clock", "clock_0", "clock_am", "clock_pm", "military") if role in worth)
    if _half(worth) is None and "clock_0" in worth:
        return Hour(_clock(int(minutes)))
    return _at(minutes, worth, morning=morning)


def _bare_figures(worth: Worth, morning: bool) -> Hour | None:
    """ "7", "615", where only an hour can stand."""
    return _of_clock(worth, morning) if "military" in worth else _number()(worth, morning)


def _range(worth: Worth, morning: bool) -> Hour | None:
    """ "5 to 7pm" begins after noon; "from 9 till noon" does not."""
    ends = [int(worth[name] * 60) for name in ("n", "n2") if name in worth]
    if "noon" in worth:
        ends = [*ends, _NOON]
    first, last = ends[0], ends[-1] if len(ends) > 1 else 0
    if "n_pm" in worth or "n_am" in worth:
        last = int(_hour_of({key: one for key, one in worth.items() if key != "n"}) or 0)
    if not 0 < first <= _DAY or not 0 < last <= _DAY:
        return None
    until = _at(last, worth, morning=False)
    begin = _at(first, worth if first < last else {}, morning=morning)
    if begin is None or until is None:
        return None
    if "noon" in worth:
        begin, until = Hour(guessed(first, morning=True), guessed=True), Hour(time(12))
    return Hour(begin.at, guessed=begin.guessed, until=until.at)


def _midnight(_: Worth, __: bool) -> Hour:
    return Hour(time(0), next_day=True)


# What may not stand beside a form.


def _always(_: Marked, __: int, ___: int) -> bool:
    return True


def _no_thing(marked: Marked, _: int, end: int) -> bool:
    return bool(marked.words[end - 1].pause) or not marked.begins(end, "counted", "of_persons", "th")


def _is_hour(marked: Marked, begin: int, end: int) -> bool:
    """ "kids from 8 to 12", "18 holes in 2 h" and "holes 7 to 12" are none."""
    return not marked.follows(begin, "no_hour_after") and _no_thing(marked, begin, end)


def _small(marked: Marked, begin: int, end: int) -> bool:
    """ "half six" is said of the twelve hours alone."""
    number = next((marks[role][0] for marks in marked.at[begin:end] for role in ("n", "n1") if role in marks), 0)
    return 1 <= number <= _LAST_HOUR_SAID and _no_thing(marked, begin, end)


def _more_than_hours(marked: Marked, begin: int, end: int) -> bool:
    return marked.at[begin]["n"][0] > _LAST_HOUR_SAID and _is_hour(marked, begin, end)


def _bare(marked: Marked, begin: int, end: int) -> bool:
    """A number behind "at" is an hour, but in "at 5 metres", "from hole 7 to 12", "from 25"."""
    number = next((marked.at[place]["n"][0] for place in range(begin, end) if "n" in marked.at[place]), 0)
    dated = marked.begins(end, "month") or marked.begins(end - 1, "dth") or marked.begins(end, "th")
    return 1 <= number <= 23 and not dated and _is_hour(marked, begin, end)


def _spoken(marked: Marked, begin: int, end: int) -> bool:
    """ "ten thirty": words, no figures; "at 12 15" with "at"."""
    figures = any(marked.words[place].form.isdigit() for place in range(begin, end))
    return _is_hour(marked, begin, end) and (not figures or marked.follows(begin, "at", "a"))


def _spelled_short(marked: Marked, begin: int, end: int) -> bool:
    """ "18 h 30" has two figures of minutes."""
    return _is_hour(marked, begin, end)


def _beside_the_day(marked: Marked, begin: int, end: int) -> bool:
    """ "8 tonight", "9 tomorrow" at the beginning; "2 tomorrow" may be people."""
    return begin == 0 and marked.at[begin]["n"][0] >= _LEAST_PLAIN_HOUR and _bare(marked, begin, begin + 1)


def _bare_by(marked: Marked, begin: int, end: int) -> bool:
    """ "by 6 people" is none either."""
    return _bare(marked, begin, end) and not marked.begins(end, "persons")


def _a_range(marked: Marked, begin: int, end: int) -> bool:
    """ "5 to 7" by itself, behind a day or "from"; "we are 5 to 7" are people."""
    placed = begin == 0 or marked.follows(begin, "weekday", "tomorrow", "today", "part")
    return placed and _bare_by(marked, begin, end) and not marked.begins(end, "month", "h")


def _a_french_range(marked: Marked, begin: int, end: int) -> bool:
    """ "de 5 à 7" at the end of a text; elsewhere it may be holes or ages."""
    return end == len(marked.words) and _bare_by(marked, begin, end)


def _whole_noon(marked: Marked, begin: int, _: int) -> bool:
    """The midi of "après-midi" and "avant-midi" is none."""
    before = marked.at[max(0, begin - 1) : begin]
    return not any(marks[role][1] > begin for marks in before for role in ("afternoon", "morning") if role in marks)


_FORMS: Sequence[tuple[str, int, _Meaning, _Guard]] = (
    ("half_past n|n1 oclock|h? am|pm?", 0, _number(30), _small),
    ("half_past n_am|n_pm", 0, _number(30), _always),
    ("quarter_past n|n1 oclock|h? am|pm?", 0, _number(15), _is_hour),
    ("quarter_past n_am|n_pm", 0, _number(15), _always),
    ("quarter_to n|n1 oclock|h? am|pm?", 0, _number(-15), _is_hour),
    ("quarter_to n_am|n_pm", 0, _number(-15), _always),
    ("half_past noon", 0, _twelve(30), _always),
    ("quarter_past noon", 0, _twelve(15), _always),
    ("quarter_to noon", 0, _twelve(-15), _always),
    ("n minutes? past n|n_am|n_pm h|oclock? am|pm?", 0, _minutes(1), _is_hour),
    ("n minutes? past noon", 0, _minutes(1), _always),
    ("n minutes to_hour n|n_am|n_pm h|oclock? am|pm?", 0, _minutes(-1), _is_hour),
    ("n minutes to_hour noon", 0, _minutes(-1), _always),
    ("n to_hour noon", 0, _minutes(-1), _more_than_hours),
    ("n to_hour n|n_am|n_pm h|oclock? am|pm?", 0, _minutes(-1), _more_than_hours),
    ("n h? et_demie am|pm?", 0, _number(30), _is_hour),
    ("n h? et_quart am|pm?", 0, _number(15), _is_hour),
    ("n h? moins_quart am|pm?", 0, _number(-15), _is_hour),
    ("n h moins n am|pm?", 0, _minutes(-1), _is_hour),
    ("noon et_demie", 0, _twelve(30), _whole_noon),
    ("noon et_quart", 0, _twelve(15), _whole_noon),
    ("noon moins_quart", 0, _twelve(-15), _whole_noon),
    ("at|by n range n oclock|h|am|pm", 1, _range, _is_hour),
    ("from_a n h? range|range_a n h", 1, _range, _is_hour),
    ("n h range|range_a n h", 1, _range, _is_hour),
    ("n range n oclock|h|am|pm", 1, _range, _is_hour),
    ("n range n_am|n_pm", 1, _range, _is_hour),
    ("at|by|from_a n h? range|range_a noon", 1, _range, _is_hour),
    ("n h h? two am|pm?", 1, _with_minutes, _spelled_short),
    ("clock_0 am|pm?", 1, _of_clock, _always),
    ("clock am|pm?", 1, _of_clock, _always),
    ("n am|pm", 1, _number(), _always),
    ("n_am|n_pm", 1, _number(), _always),
    ("n|n1 oclock am|pm?", 1, _number(), _no_thing),
    ("n h am|pm?", 1, _number(), _is_hour),
    ("n two am|pm", 1, _with_minutes, _always),
    ("military am|pm", 1, _of_clock, _always),
    ("at|by military ish?", 1, _of_clock, _is_hour),
    ("clock_am|clock_pm", 1, _of_clock, _always),
    ("n two", 1, _with_minutes, _spoken),
    ("n o n am|pm?", 1, _with_minutes, _spoken),
    ("at|by n range n", 2, _range, _bare_by),
    ("from_a n range_a n", 2, _range, _a_french_range),
    ("at n ish?", 2, _number(), _bare),
    ("tomorrow|part|weekday a n ish?", 2, _number(), _bare),
    ("by n ish?", 2, _number(), _bare_by),
    ("n ish", 2, _number(), _bare),
    ("n in_part", 2, _number(), _bare),
    ("n tonight|tomorrow", 2, _number(), _beside_the_day),
    ("n range n", 2, _range, _a_range),
    ("noon", 3, _twelve(), _whole_noon),
    ("midnight", 3, _midnight, _always),
)
_TABLE = tuple(_HourForm(form(written), rank, meaning, guard) for written, rank, meaning, guard in _FORMS)
_BY_ITSELF = (_HourForm(form("n|military"), 9, _bare_figures, _always),)
_FIRST = first_roles([one.form for one in _TABLE])
ROLES = frozenset(role for one in _TABLE for role in one.form.roles())
