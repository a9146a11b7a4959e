"""What is said to a draft to have it otherwise: another end, other parts, more words. Whatever is not taken up stays on it as `unused`; a text
that says more than that without a mark between is no change of a draft.
"""

from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime, time

from clubbot.model.amending import Amend, Parts, Words
from clubbot.model.club import Knowledge
from clubbot.model.intents import When
from clubbot.understanding.days import Days
from clubbot.understanding.orders.ground import Ground
from clubbot.understanding.orders.heard import Heard, Span, overlaps, sentence
from clubbot.understanding.orders.periods import Calendar, TimeWords, times_in
from clubbot.understanding.orders.timing import hour_said
from clubbot.understanding.rules import Match

_PARTS: tuple[Parts, ...] = ("only", "also", "without")
_WORDS: tuple[Words, ...] = ("reason", "add", "instead")
_BESIDE = ("order_lead", "order_amend_beside", "order_courtesy_after")
_MARKS = " .!,:;-–—\n"
_QUOTES = '"“”«» '


class Amending:
    """Reads what is said to a draft."""

    def __init__(self, knowledge: Knowledge, days: Days) -> None:
        self._days = days
        self._ground = Ground(knowledge, days)
        self._zone = knowledge.club.zone

    def read(self, heard: Heard, now: datetime, begins: datetime | None) -> Amend | None:
        """What is to be otherwise; None where the text says no such thing. `begins` is when what waits begins, where that is later."""
        if "?" in heard.noticed.text.written:
            return None
        return self._of_parts_and_times(heard, now, begins) or _of_words(heard)

    def _of_parts_and_times(self, heard: Heard, now: datetime, begins: datetime | None) -> Amend | None:
        named = [(how, one) for how in _PARTS for one in heard.all(f"amend {how}")]
        how, core = next(((how, one) for how, one in named if _stands(one.first, heard)), (None, None))
        parts = self._ground.parts(heard, core.first, core.end, []) if core is not None else ()
        spans = [(core.first, core.end)] if core is not None else []
        hour = next((one for one in heard.all("amend time") if _may_follow(one, spans, heard)), None)
        if not parts and hour is None:
            return None
        times = self._times(hour, heard, spans) if hour is not None else []
        if hour is not None and not times:
            return None
        taken = [*spans, *((one.begin, one.end) for one in times), *([(hour.first, hour.end)] if hour else [])]
        unused = _left(heard, taken)
        if unused is None:
            return None
        found = self._at(times, heard, now, begins) if times else Amend()
        if found is None:
            return None
        return replace(found, parts=parts or (), how=how if parts else None, unused=unused)

    def _times(self, core: Match, heard: Heard, but: Sequence[Span]) -> list[TimeWords]:
        """The times of the change; a moment alone is taken for an end."""
        inside = [one for one in times_in(heard, but) if overlaps(one.span, (core.first, core.end))]
        told = [one for one in inside if one.kind not in {"day", "hour", "now"}]
        if told:
            return told
        at = next((at for at in range(core.first, core.end) if heard.end("order_moment_or_bare", at) is not None), None)
        if at is None:
            return []
        end = heard.end("order_moment_or_bare", at) or core.end
        return [TimeWords("till", at, end, heard.plain(at, end))]

    def _at(self, times: Sequence[TimeWords], heard: Heard, now: datetime, begins: datetime | None) -> Amend | None:
        """The end, or the beginning, as a moment; the day and the hour by themselves, where they are said."""
        first = times[0]
        if first.kind == "length":
            now = begins or now
        calendar = Calendar(now, self._zone, self._days)
        period = calendar.period(times)
        day, starts, sure = self._day_and_hour(first, calendar, heard)
        if period is None and day is None and starts is None:
            return None
        until = period.until if period is not None else None
        if until is not None and begins is not None and until <= begins:
            later = Calendar(begins, self._zone, self._days).period(times)
            until = later.until if later is not None else until
        since = period.since if period is not None else None
        endless = any(one.kind == "endless" for one in times)
        return Amend(since=since, until=until, endless=endless, when=day, starts=starts, sure=sure)

    def _day_and_hour(
        self, first: TimeWords, calendar: Calendar, heard: Heard
    ) -> tuple[When | None, time | None, bool]:
        if first.kind in {"length", "endless", "day_end"}:
            return None, None, False
        when = calendar.moment(first.first) if first.first else None
        day = when if when is not None and when.dated else None
        hour = hour_said(first.begin, heard)
        if hour is not None and hour[2][1] <= first.end:
            return day, hour[0], hour[1]
        at = when.at if when is not None else None
        return day, (at.time() if at is not None else None), at is not None


def _of_words(heard: Heard) -> Amend | None:
    """ "add: bring boots", "reason: ice"."""
    for kind in _WORDS:
        for core in heard.all(f"amend {kind}"):
            words = heard.rest(core.end).strip(_MARKS).strip(_QUOTES)
            if _stands(core.first, heard) and any(letter.isalpha() for letter in words):
                said = sentence(words) if kind == "instead" else words
                return Amend(words=said, with_words=kind)
    return None


def _stands(first: int, heard: Heard) -> bool:
    """Whether nothing stands before it but greetings and second thoughts."""
    at = 0
    while at < first:
        ends = [end for group in _BESIDE if (end := heard.end(group, at)) is not None and end <= first]
        if not ends:
            return False
        at = max(ends)
    return True


def _may_follow(core: Match, spans: Sequence[Span], heard: Heard) -> bool:
    """Whether a time stands at the beginning, or right beside the parts."""
    span = (core.first, core.end)
    if any(overlaps(span, one) for one in spans):
        return False
    return _stands(core.first, heard) or any(core.first <= end + 1 and core.end >= first for first, end in spans)


def _left(heard: Heard, taken: Sequence[Span]) -> str | None:
    """What is left when that is taken out; None where it does not stand apart, so that the whole is something else."""
    left: list[str] = []
    for first, end in heard.free(taken):
        begin, last = heard.without(first, end, _BESIDE, "order_amend_beside")
        begin, last = heard.without(begin, last, _BESIDE, "order_courtesy_after")
        if begin == last:
            continue
        if not (heard.breaks(first) or heard.breaks(begin)):
            return None
        left.append(heard.said(begin, last))
    return ", ".join(left)
