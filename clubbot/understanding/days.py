"""The day and hour that a text speaks of: one grammar over its words, whatever the language (`day_forms`, `hour_forms`), with the words
of each in its lexicon. A text may also name a day that cannot be understood: then it is told so, and never taken for today.

Policy for days. A weekday is the next one, today included; "next wednesday" is the Wednesday of next week (weeks begin on
Monday), "mercredi prochain" the next one after today. "the 12th" is the next 12th, "5 may" the next 5 May, a month the next
one, this month included; its beginning, middle or end is the month. "next weekend" is the one of next week. "wed 9" is the 9th where that
is a Wednesday, else 9 o'clock. "3/4" is read in the order of the club's country; where both are usual there it is not understood,
unless a weekday, "le" or a number over 12 tells.
Policy for hours. Without am or pm 8-11 is the morning, 12 noon, 1-7 after noon, also as "6 h"; an hour of today that is over is
meant for the evening. Morning is 9:00, afternoon 14:00, evening 18:00, and now
where that is over today. A range is its beginning. A local time that a clock change leaves out is read with
the offset before it, a repeated one is its first (RFC 5545, 3.3.5).
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, time, timedelta
from functools import lru_cache
from zoneinfo import ZoneInfo

from clubbot.model.intents import When
from clubbot.understanding import day_forms, hour_forms
from clubbot.understanding.day_forms import DayOrder, NamedDays, named_days
from clubbot.understanding.day_meanings import Span
from clubbot.understanding.hour_forms import (
    Hour,
    guessed,
    hour_at,
    named_hour,
    named_part,
    says_am,
    says_evening,
    says_morning,
)
from clubbot.understanding.mixed import MixedWords
from clubbot.understanding.text import Word
from clubbot.understanding.time_forms import Worth, form
from clubbot.understanding.time_words import Marked, TimeWords

# Countries that write the month first, and those that write both; all others write the day first.
_MONTH_FIRST, _EITHER = frozenset({"US"}), frozenset({"CA", "PH"})
_IN_A_WHILE = tuple(
    form(f"{lead} {count} hours|h|minutes et_demie?")
    for lead in ("coming off_or_about? in off_or_about?", "today in", "in off_or_about?")
    for count in ("few|n",)
)
_LENGTHS = frozenset({"hours", "h", "minutes"})
_BEFORE = form("few|n hours|h|minutes|days ahead")
# The roles that are asked for by name and not in a form.
_ASKED = (
    "counted persons no_hour_after no_month no_month_after no_day_after no_date part night morning afternoon evening now week_of "
    "day_before day_after week_before week_after doubtful th few feast of_persons other_zone ten_and tens_and next_day kind_lead"
)
ROLES = frozenset(
    {
        *day_forms.ROLES,
        *hour_forms.ROLES,
        *_BEFORE.roles(),
        *(role for one in _IN_A_WHILE for role in one.roles()),
        *_ASKED.split(),
    }
)
_KEPT, _LATELY = 256, 64


@dataclass(frozen=True, slots=True)
class Spoken:
    """What a text says of time. `unclear` are the words that name a day of which it cannot be understood which; then `when` is None."""

    when: When | None = None
    unclear: str | None = None


def aware(day: date, hour: time, zone: ZoneInfo) -> datetime:
    """The instant of a local day and hour; a missing hour is read with the offset before the gap, a repeated one is the first."""
    return datetime.combine(day, hour, zone).astimezone(UTC).astimezone(zone)


class Days:
    """Finds the day and the hour in the words of a text, for a club in `country`."""

    def __init__(self, mixed: MixedWords, country: str | None = None) -> None:
        self._words = TimeWords(mixed.lexicons)
        self._marked = lru_cache(maxsize=_KEPT)(lambda text: self._words.marked(mixed.words(text)))
        # Asked several times while one text is read.
        self._spoken_of = lru_cache(maxsize=_LATELY)(
            lambda plain, now, zone: self._spoken(self._marked(plain), now, zone, plain)
        )
        self._order: DayOrder = (
            "month first" if country in _MONTH_FIRST else "either" if country in {None, *_EITHER} else "day first"
        )

    def marked(self, text: str) -> Marked:
        """The words of a text with the roles that they may have: of days, hours, numbers, holes."""
        return self._marked(text)

    def spoken(self, words: tuple[Word, ...], now: datetime, zone: ZoneInfo, said: str = "") -> Spoken:
        """The days, and the hour where one is named, that these words speak of; `now` is aware, `said` what they were."""
        return self._spoken(self._words.marked(words), now, zone, said)

    def _spoken(self, marked: Marked, now: datetime, zone: ZoneInfo, said: str) -> Spoken:
        if not any(marked.at):
            return Spoken()
        local = now.astimezone(zone)
        soon = _in_a_while(marked, local)
        if soon is not None:
            return Spoken(When(soon.date(), soon.date(), soon, said))
        named = named_days(marked, local.date(), self._order)
        hour = named_hour(marked.without_numbers(named.begin, named.end) if named is not None else marked)
        if named is not None and named.span is None:
            words = marked.words[named.begin : named.end]
            plain = said[words[0].start : words[-1].end] if said else " ".join(word.form for word in words)
            return Spoken(unclear=plain)
        if named is None and hour is None:
            return Spoken()
        return Spoken(_when(marked, named, hour, local, zone, said))

    def said(self, plain: str, now: datetime, zone: ZoneInfo) -> Spoken:
        """The same of a plain text."""
        return self._spoken_of(plain, now, zone)

    def hour_at(self, words: tuple[Word, ...], place: int) -> tuple[Hour, int] | None:
        """The hour that begins at one of these words, where only an hour can stand, and the word behind it."""
        return hour_at(self._words.marked(words), place)

    def when(self, plain: str, now: datetime, zone: ZoneInfo) -> When | None:
        """The same of a plain text; None where it names no day or none that can be understood."""
        return self.said(plain, now, zone).when

    def unclear(self, plain: str, now: datetime, zone: ZoneInfo) -> str | None:
        """The words of a plain text that name a day of which it cannot be understood which."""
        return self.said(plain, now, zone).unclear

    def before(self, plain: str) -> timedelta | None:
        """How long before something a plain text speaks of: "an hour before", "2 h avant"; None where it does not."""
        marked = self._marked(plain)
        for place in range(len(marked.at)):
            for _, worth in _BEFORE.ends(marked, place):
                return _length(worth)
        return None


def _when(
    marked: Marked, named: NamedDays | None, hour: Hour | None, local: datetime, zone: ZoneInfo, said: str
) -> When:
    today = local.date()
    span = named.span if named is not None and named.span is not None else Span(today, today)
    at: time | None
    if hour is not None:
        at = _on_the_day(hour, marked, span, local)
    elif span.hour is not None:
        at = guessed(span.hour * 60, morning=says_morning(marked))
    else:
        at = _part_of_day(marked, span, local)
    days = When(span.first, span.last, None, said, named is not None, span.weekday, of_a_kind=_of_a_kind(marked, named))
    if at is None or span.first != span.last:
        return days
    day = span.first + timedelta(days=1) if hour is not None and hour.next_day else span.first
    until = aware(day, hour.until, zone) if hour is not None and hour.until is not None else None
    return replace(
        days,
        at=aware(day, at, zone),
        until=_after(until, at, day, zone),
        part_of_day=hour is None and span.hour is None,
    )


def _of_a_kind(marked: Marked, named: NamedDays | None) -> bool:
    """Whether a weekday stands as the name of something: "that sunday one", "au dimanche des familles"; not "this sunday"."""
    return named is not None and named.plain_weekday and marked.follows(named.begin, "kind_lead")


def _after(until: datetime | None, at: time, day: date, zone: ZoneInfo) -> datetime | None:
    """The end of a range, where it is after its beginning."""
    return until if until is not None and until > aware(day, at, zone) else None


def _on_the_day(hour: Hour, marked: Marked, span: Span, local: datetime) -> time:
    """The hour in its half of the day: "tonight at 8" is 20:00, and so is "till 8" where 8 in the morning is over."""
    over = span.first == local.date() and hour.guessed and hour.at <= local.time() and not says_morning(marked)
    evening = says_evening(marked) and not marked.says("n_am", "clock_am") and not says_am(marked)
    if 0 < hour.at.hour < 12 and (evening or over):
        return hour.at.replace(hour=hour.at.hour + 12)
    return hour.at


def _part_of_day(marked: Marked, span: Span, local: datetime) -> time | None:
    """When a part of the day begins; None where that is over, so that "tonight" at eight in the evening means now."""
    begins = None if marked.says("now") else named_part(marked)
    return None if begins and span.first == local.date() and begins <= local.time() else begins


def _in_a_while(marked: Marked, local: datetime) -> datetime | None:
    """ "we'll be there in 2 hours", "in an hour" alone or at the beginning; "18 holes in 2 hours" is no hour of the day."""
    for place, worth in _whiles(marked):
        if marked.follows(place, "no_hour_after"):
            continue
        then = local.astimezone(UTC) + _length(worth)
        return then.astimezone(local.tzinfo).replace(second=0, microsecond=0)
    return None


def _whiles(marked: Marked) -> Iterator[tuple[int, Worth]]:
    if marked.said.isdisjoint(_LENGTHS):
        return
    for number, one in enumerate(_IN_A_WHILE):
        alone = number == len(_IN_A_WHILE) - 1
        for place in range(1 if alone else len(marked.at)):
            for _, worth in one.ends(marked, place):
                yield place, worth
                break


def _length(worth: Worth) -> timedelta:
    count = worth.get("few", worth.get("n", 1.0)) + (0.5 if "et_demie" in worth else 0)
    if "minutes" in worth:
        return timedelta(minutes=count)
    return timedelta(days=count) if "days" in worth else timedelta(hours=count)
