"""Words of time in an order: from when until when. The policy stands in `reading`."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from clubbot.model.intents import When
from clubbot.understanding.days import Days, aware
from clubbot.understanding.orders.heard import Heard, Span, overlaps
from clubbot.understanding.rules import Match

# A night at most: "from 10pm till 6am" ends on the day after, "from 9 till 8" is a slip.
_LONGEST_NIGHT = timedelta(hours=12)
_TILL_HOUR = time(9)
# What a rule says of time, the surest first.
_KINDS = ("endless", "day_end", "length", "span", "figures", "till", "from", "now", "days", "day")
_MIDNIGHT = frozenset({"midnight", "minuit"})
_MORNING = frozenset({"morning", "matin"})
_SPOKEN = frozenset({"tomorrow", "demain", "today", "tonight", "morning", "afternoon"})
_DASHES = frozenset("-–—")
# "Through sunday" is over when Sunday is.
_INCLUSIVE = frozenset({"through"})


@dataclass(frozen=True, slots=True)
class TimeWords:
    """Words of time and where they stand; `first` and `second` are the moments that they name."""

    kind: str
    begin: int
    end: int
    first: str = ""
    second: str = ""
    inclusive: bool = False  # "through sunday"
    count: int = 0  # "for the next 2 hours"

    @property
    def span(self) -> Span:
        """Where they stand."""
        return self.begin, self.end


@dataclass(frozen=True, slots=True)
class Period:
    """From when until when; None where it has begun, or has no end."""

    since: datetime | None
    until: datetime | None


def times_in(heard: Heard, but: Iterable[Span] = ()) -> list[TimeWords]:
    """Where a text speaks of time, in order; not within what `but` names, as the "7" of a hole."""
    kept_out = list(but)
    found: list[TimeWords] = []
    for kind in _KINDS:
        for match in (_longest(kind, one, heard) for one in heard.all(f"time {kind}")):
            span = (match.first, match.end)
            if any(overlaps(span, one) for one in (*kept_out, *(one.span for one in found))):
                continue
            one = _time(kind, match, heard)
            if one is not None:
                found.append(one)
    return sorted(found, key=lambda one: one.begin)


def _longest(kind: str, match: Match, heard: Heard) -> Match:
    """The words of a time with all that belong to its last moment: "till tomorrow 6" goes on with "am"."""
    begins: list[int | None] = []
    match kind:
        case "day":
            begins = [match.first]
        case "till" | "from":
            begins = [heard.end(f"order_{kind}", match.first)]
        case "span":
            begins = [heard.end("order_span_to", at) for at in range(match.first + 1, match.end)]
        case _:
            return match
    group = "order_moment" if kind == "day" else "order_moment_or_bare"
    ends = [heard.end(group, at) for at in begins if at is not None]
    return replace(match, end=max([match.end, *(end for end in ends if end is not None)]))


def _time(kind: str, match: Match, heard: Heard) -> TimeWords | None:
    first, end = match.first, match.end
    match kind:
        case "span":
            return _span(first, end, heard)
        case "figures":
            return _figures(first, end, heard)
        case "till":
            named = heard.plain(heard.end("order_till", first) or first, end)
            return TimeWords(kind, first, end, named, inclusive=heard.words[first].form in _INCLUSIVE)
        case "from":
            return TimeWords(kind, first, end, heard.plain(heard.end("order_from", first) or first, end))
        case "days":
            return _two_days(first, end, heard)
        case "length":
            return TimeWords(kind, first, end, *_counted(first, end, heard), count=heard.words[end - 2].number or 0)
        case "day" if not heard.has("order_day", first, end):
            return TimeWords("hour", first, end, heard.plain(first, end))
        case _:
            return TimeWords(kind, first, end, heard.plain(first, end))


def _span(first: int, end: int, heard: Heard) -> TimeWords | None:
    """The two moments: the second is the longest that ends where the words do, behind a "to"."""
    begin = heard.end("order_span_from", first) or first
    if begin == first and heard.end("order_moment", first) == end:
        return None  # French "demain à 8h" is one moment
    for place in range(end - 1, begin, -1):
        after = heard.end("order_span_to", place)
        if after is not None and after < end and heard.end("order_moment_or_bare", after) == end and place > begin:
            return TimeWords("span", first, end, heard.plain(begin, place), heard.plain(after, end))
    return None


def _figures(first: int, end: int, heard: Heard) -> TimeWords | None:
    """Two hours with a dash between, "2-4pm"; with "to" between where both are figures."""
    for place in range(first + 1, end):
        after = heard.end("order_to", place)
        if after is not None and after < end:
            return TimeWords("span", first, end, heard.plain(first, place), heard.plain(after, end))
        if _DASHES & set(heard.gap(place)):
            return TimeWords("span", first, end, heard.plain(first, place), heard.plain(place, end))
    return None


def _two_days(first: int, end: int, heard: Heard) -> TimeWords:
    """ "sat and sun": the second is the longest that ends where the words do."""
    second = next((at for at in range(first + 1, end) if heard.end("order_day", at) == end), None)
    if second is None:
        return TimeWords("day", first, end, heard.plain(first, end))
    return TimeWords("days", first, end, heard.plain(first, second - 1), heard.plain(second, end))


def _counted(first: int, end: int, heard: Heard) -> tuple[str, str]:
    """How many of what: "for the next 2 hours"."""
    forms = heard.forms(first, end)
    return " ".join(forms[-3:-1]) if forms[-3:-1] in {("half", "an"), ("une", "demi")} else forms[-2], forms[-1]


class Calendar:
    """Turns words of time to moments, by the policy of this module."""

    def __init__(self, now: datetime, zone: ZoneInfo, days: Days) -> None:
        self._days = days
        self._now, self._zone = now.astimezone(zone), zone

    def period(self, times: Sequence[TimeWords]) -> Period | None:
        """From when until when; None where the words contradict each other."""
        named = {one.kind: one for one in reversed(times)}
        day = self._when(named["day"].first, "", None) if "day" in named else None
        begins = named.get("span") or named.get("from")
        since = self._since(begins.first, day.first if day else None) if begins else None
        if begins is None and day is not None and day.first > self._now.date():
            since = (None if _said(_MORNING, day.words) else day.at) or self._midnight(day.first)
        elif begins is None and day is not None and day.at and day.at > self._now and not _said(_MORNING, day.words):
            since = day.at
        elif begins is None and "hour" in named:
            since = self._since(named["hour"].first, None)
        if "days" in named:
            since = self._since(named["days"].first, None)
        ends = named.get("span") or named.get("till")
        if ends is not None:
            until = self._through(ends.first) if ends.inclusive else None
            until = until or self._until(ends.second or ends.first, since, day)
            return Period(since, until) if until is not None else None
        return Period(since, self._other_end(named, since, day))

    def event_day(self, words: Iterable[str]) -> When | None:
        """The day of an event that these words name."""
        return self.moment(" ".join(words))

    def _other_end(self, named: dict[str, TimeWords], since: datetime | None, day: When | None) -> datetime | None:
        if "length" in named:
            return (since or self._now) + _length(named["length"])
        if "endless" in named:
            return None
        if "day_end" in named:
            return self._midnight((day.first if day else (since or self._now).date()) + timedelta(days=1))
        if "days" in named:
            last = self.moment(named["days"].second)
            return self._midnight(last.last + timedelta(days=1)) if last is not None else None
        if day is None or "from" in named:
            return None
        if _said(_MORNING, day.words) and aware(day.first, time(12), self._zone) > self._now:
            return aware(day.first, time(12), self._zone)
        return self._midnight(day.last + timedelta(days=1))

    def _since(self, words: str, on: date | None) -> datetime | None:
        """None where it has begun."""
        found = self._when(words, "from", on)
        if found is None:
            return None
        at = found.at or self._midnight(found.first)
        return at if at > self._now else None

    def _through(self, words: str) -> datetime | None:
        """The end of the last day that is named, where no hour is."""
        found = self._when(words, "till", None)
        if found is None or found.at is not None or not found.dated:
            return None
        return self._midnight(found.last + timedelta(days=1))

    def _until(self, words: str, since: datetime | None, day: When | None) -> datetime | None:
        on = since.date() if since else day.first if day else None
        found = self._when(words, "till", on)
        if found is None:
            return None
        if _said(_MIDNIGHT, words):
            return self._midnight((found.first if found.dated else on or self._now.date()) + timedelta(days=1))
        start = since or self._now
        at = found.at or aware(found.first, _TILL_HOUR, self._zone)
        return at if at > start else self._next(found, at, start, since)

    def _next(self, found: When, at: datetime, start: datetime, since: datetime | None) -> datetime | None:
        """An hour or a weekday that is over is the next one; a day that is under way ends at midnight."""
        if found.weekday:
            return aware(at.date() + timedelta(days=7), at.time(), self._zone)
        if found.at is None and found.first == start.date():
            return self._midnight(found.first + timedelta(days=1))
        tomorrow = aware(start.date() + timedelta(days=1), at.time(), self._zone)
        if found.dated and since is None:
            return at  # over: whoever wrote it is told so
        return tomorrow if since is None or tomorrow - since <= _LONGEST_NIGHT else None

    def _when(self, words: str, lead: str, on: date | None) -> When | None:
        """The moment; an hour without a day is of the day `on`."""
        said = _hour_named(words.replace("midnight", "noon").replace("minuit", "noon"))
        if said.startswith("at ") or (said[:1].isdigit() and (day := self.moment(said)) is not None and day.dated):
            lead = ""  # "14 june": the figure is no hour
        found = self.moment(f"{lead} {said}".strip())
        if found is not None and found.dated and found.first > self._now.date():
            return self.moment(f"{lead} {_on_the_clock(said)}".strip())
        if found is None or found.dated or on is None:
            return found
        return self.moment(f"{on:%Y %m %d} {lead} {said}")

    def moment(self, words: str) -> When | None:
        """What day and hour plain words name: the only place where orders ask for it."""
        return self._days.when(words, self._now, self._zone)

    def _midnight(self, day: date) -> datetime:
        return aware(day, time(0), self._zone)


def _length(found: TimeWords) -> timedelta:
    half = found.first in {"half an", "une demi"}
    count = 0.5 if half else 1 if found.first in {"a", "an"} else found.count
    unit = found.second[0]
    if found.second.startswith("min"):
        return timedelta(minutes=count)
    return timedelta(days=count * (7 if unit in "ws" else 1)) if unit in "djws" else timedelta(hours=count)


def _said(words: frozenset[str], text: str) -> bool:
    return not words.isdisjoint(text.split())


def _on_the_clock(words: str) -> str:
    """The same with hours written with an "h" as they are on a clock of 24: "mercredi 7 h" is no evening."""
    said: list[str] = []
    for form in words.replace(" heures", "h").replace(" h", "h").split():
        hour, mark, minutes = form.partition("h")
        exact = mark and len(hour) == 1 and hour.isdigit() and (minutes.isdigit() or not minutes)
        said.append(f"0{hour}:{minutes or '00'}" if exact else form)
    return " ".join(said)


def _hour_named(words: str) -> str:
    """ "tomorrow 9" is tomorrow at nine."""
    *before, last = words.split()
    return f"{' '.join(before)} at {last}" if before and before[-1] in _SPOKEN and last.isdigit() else words
