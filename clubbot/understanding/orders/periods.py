"""Words of time in an order: from when until when. The policy stands in `reading`."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from clubbot.model.wants import When
from clubbot.texting import patterns
from clubbot.understanding import numbers
from clubbot.understanding.days import Days, aware
from clubbot.understanding.orders.marked import any_of

# A night at most: "from 10pm till 6am" ends on the day after, "from 9 till 8" is a slip.
_LONGEST_NIGHT = timedelta(hours=12)
_TILL_HOUR = time(9)
_WEEKDAY_NAMES = """
monday tuesday tues tue wednesday weds wed thursday thurs thur thu friday fri saturday sunday lundi mardi mercredi jeudi vendredi samedi
dimanche
"""
_MONTH_NAMES = """
january february march april may june july august september october november december janvier fevrier mars avril mai juin juillet aout
septembre octobre novembre decembre jan feb apr jun jul aug sept sep oct nov dec
"""
_SPOKEN_DAYS = """
day_after_tomorrow apres_demain tomorrow tmrw tmr tmw tomoz 2morrow demain today tonight tonite 2nite 2day aujourd_hui aujourdhui ajd
ce_soir ce_matin cet_apres_midi cet_aprem this_morning this_afternoon this_evening this_week_end this_weekend next_week_end next_weekend
the_weekend weekend fin_de_semaine next_week la_semaine_prochaine semaine_prochaine next_month
"""
_PARTS_OF_DAY = "morning matin afternoon aprem apres_midi evening soir night"
# Short forms that are common words stand only where their neighbours show a day: "the sun", "we sat", "mon jeudi", "le jeu".
_SHORT_DAY = (
    r"(?<!the )(?<!in )(?<!of )sun(?! (?:is|was|goes|sets|screen)\b)|(?<!i )(?<!we )sat(?! (?:on|down)\b)"
    r"|mon(?= \d| ,|$| (?:at|morning|noon|night|evening|afternoon|midday|till|until)\b)|(?:lun|mar|mer|jeu|ven|sam|dim)(?= \d{1,2} ?h| (?:matin|soir|midi|aprem)\b)"
)
_WEEKDAY = rf"(?:{any_of(_WEEKDAY_NAMES)}|{_SHORT_DAY})"
_MONTH = rf"(?:{any_of(_MONTH_NAMES)})"
_COUNTED = rf"(?! ?(?:{numbers.COUNTED}|{numbers.PERSONS})\b)"
_HOUR = r"(?:\d{1,2}(?::\d\d)? ?(?:am|pm|a m|p m)|\d{1,2} ?(?:h|heures?)(?: ?[0-5]\d)?|\d{1,2}:\d\d|\d{1,2} o ?clock|noon|midday|midi|midnight|minuit)(?![a-z0-9])"
_BARE = (
    rf"(?<!hole )(?<!trou )(?<!holes )(?<!trous )(?<!basket )(?<!panier )(?<!tee )(?<!#)\d{{1,2}}(?![\dh:])\b{_COUNTED}"
)
_DAY = (
    rf"(?:(?:next |this coming |the coming |this )?{_WEEKDAY}(?: s\b)?(?: prochain)?(?: (?:the |le )?\d{{1,2}}(?:st|nd|rd|th|er)?(?! ?(?:h|am|pm|:)\b)(?![\dh:]){_COUNTED})?(?: (?:of )?{_MONTH})?"
    rf"|\d{{1,2}}(?:st|nd|rd|th|er)? (?:of )?{_MONTH}|{_MONTH} \d{{1,2}}(?:st|nd|rd|th)?(?! ?(?:h|am|pm)\b)|(?:the )?\d{{1,2}}(?:st|nd|rd|th)(?! (?:hole|tee|basket|fairway)\b)|le \d{{1,2}}(?! ?h)"
    rf"|(?:{any_of(_SPOKEN_DAYS)})(?: s\b)?)(?![a-z0-9])"
)
_JOIN = r"(?:(?:at|on|the|a|le|la|l|au|vers|around|about|in|de|du|of) ){0,4}"
_LATER = rf"(?:(?: ,)? {_JOIN}{_HOUR}| {_JOIN}(?:{_DAY}|(?:{any_of(_PARTS_OF_DAY)})\b)){{0,9}}"
_MOMENT = rf"{_JOIN}(?:{_DAY}(?: {_JOIN}{_BARE})?|{_HOUR}|(?:{any_of(_PARTS_OF_DAY)})\b|{_MONTH}|{_BARE}){_LATER}"
_TILL = r"(?:till|til|till the|until|untill|thru|through|jusqu ?(?:au|aux|a|en)?|jusque|jusqua|(?:will )?(?:re ?opens?|re ?opening|rouvre|reouverture)(?: at| on| a)?)"
_FROM = r"(?:from|starting(?: at| from| on)?|beginning|as of|des|a partir (?:de|du|d)|a compter (?:de|du|d))"
_TO = r"(?:to|till?|until|and|a|au|et|jusqu (?:a|au))"
_LENGTH = r"(?P<count>\d{1,3}|an?|une?|one|two|three|four|five|six|deux|trois|quatre|cinq|half an|une demi) ?(?P<unit>hours?|hrs?|h|heures?|minutes?|mins?|days?|jours?|weeks?|semaines?)"

_TIMES = patterns.compile(
    rf"\b(?:(?P<endless>{_TILL} (?:further notice|nouvel (?:ordre|avis))|indefinitely|(?:for|pour) (?:now|the moment|the time being|le moment|l instant))"
    rf"|(?P<day_end>(?:{_TILL} )?(?:the |la )?(?:end of (?:the )?(?:day|today)|fin de (?:la )?journee)|for the (?:rest of the )?day|for today|(?:the )?rest of the day|all day|(?:pour )?(?:toute )?la journee)"
    rf"|(?P<length>(?:for|pour|pendant)(?: the)?(?: next| about| environ| les prochaine?s)? {_LENGTH})"
    rf"|(?P<span>(?:from|between|entre|de|du|des) (?P<since>{_MOMENT}) {_TO} (?P<until>{_MOMENT})"
    rf"|(?P<since2>(?:{_DAY} )?{_JOIN}(?:{_HOUR}|{_BARE})) {_TO} (?P<until2>{_HOUR}|{_BARE}))"
    rf"|{_TILL} (?P<till>{_MOMENT})|{_FROM} (?P<start>{_MOMENT})"
    rf"|(?P<now>(?:(?:effective|starting|as of|from|des) )?(?:right now|now|immediately|at once|asap|maintenant|tout de suite|immediatement))"
    rf"|(?P<day>{_JOIN}{_DAY}{_LATER}))(?![a-z0-9])"
)
_MIDNIGHT = patterns.compile(r"\b(?:midnight|minuit)\b")
_MORNING = patterns.compile(r"\b(?:morning|matin)\b")
_HOUR_AFTER_DAY = patterns.compile(
    r"\b(?P<day>tomorrow|tmrw|tmr|tmw|demain|today|tonight|morning|afternoon) (?P<n>\d{1,2})$"
)
_DAY_OF_MONTH = patterns.compile(rf"\d{{1,2}}(?:st|nd|rd|th|er)? (?:of )?{_MONTH}\b")


@dataclass(frozen=True, slots=True)
class TimeWords:
    """Words of time and where they stand; `first` and `second` are the moments that they name."""

    kind: str
    begin: int
    end: int
    first: str = ""
    second: str = ""


@dataclass(frozen=True, slots=True)
class _Period:
    since: datetime | None
    until: datetime | None


def times_in(plain: str) -> list[TimeWords]:
    """Where a plain text speaks of time, in order."""
    return [_time(found) for found in _TIMES.finditer(plain)]


def _time(found: patterns.Match) -> TimeWords:
    begin, end = found.span()
    if found["span"]:
        return TimeWords("span", begin, end, found["since"] or found["since2"], found["until"] or found["until2"])
    if found["length"]:
        return TimeWords("length", begin, end, found["count"], found["unit"])
    kinds = ("endless", "day_end", "till", "start", "now", "day")
    kind = next(one for one in kinds if found[one])
    return TimeWords(kind, begin, end, found[kind])


def blanked(plain: str, spans: Iterable[tuple[int, int]], mark: str) -> str:
    """The plain text with these stretches written over, so that patterns see that something stands there, and not what."""
    for begin, end in spans:
        plain = f"{plain[:begin]}{mark * (end - begin)}{plain[end:]}"
    return plain


class Calendar:
    """Turns words of time to moments, by the policy of this module."""

    def __init__(self, now: datetime, zone: ZoneInfo, days: Days) -> None:
        self._now, self._zone, self._days = now.astimezone(zone), zone, days

    def period(self, times: Sequence[TimeWords]) -> _Period | None:
        """From when until when; None where the words contradict each other."""
        named = {one.kind: one for one in reversed(times)}
        day = self._when(named["day"].first, "", None) if "day" in named else None
        begins = named.get("span") or named.get("start")
        since = self._since(begins.first, day.first if day else None) if begins else None
        if begins is None and day is not None and day.first > self._now.date():
            since = (None if _MORNING.search(day.words) else day.at) or self._midnight(day.first)
        elif begins is None and day is not None and day.at and day.at > self._now and not _MORNING.search(day.words):
            since = day.at
        ends = named.get("span") or named.get("till")
        if ends is not None:
            until = self._until(ends.second or ends.first, since, day)
            return _Period(since, until) if until is not None else None
        return _Period(since, self._other_end(named, since, day))

    def event_day(self, words: Iterable[str]) -> When | None:
        """The day of an event that these words name."""
        return self._days.when(" ".join(words), self._now, self._zone)

    def _other_end(self, named: dict[str, TimeWords], since: datetime | None, day: When | None) -> datetime | None:
        if "length" in named:
            return (since or self._now) + _length(named["length"])
        if "endless" in named:
            return None
        if "day_end" in named:
            return self._midnight((day.first if day else (since or self._now).date()) + timedelta(days=1))
        if day is None or "start" in named:
            return None
        if _MORNING.search(day.words) and aware(day.first, time(12), self._zone) > self._now:
            return aware(day.first, time(12), self._zone)
        return self._midnight(day.last + timedelta(days=1))

    def _since(self, words: str, on: date | None) -> datetime | None:
        """None where it has begun."""
        found = self._when(words, "from", on)
        if found is None:
            return None
        at = found.at or self._midnight(found.first)
        return at if at > self._now else None

    def _until(self, words: str, since: datetime | None, day: When | None) -> datetime | None:
        on = since.date() if since else day.first if day else None
        found = self._when(words, "till", on)
        if found is None:
            return None
        if _MIDNIGHT.search(words):
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
        said = _HOUR_AFTER_DAY.sub(r"\g<day> at \g<n>", _MIDNIGHT.sub("noon", words))
        lead = "" if said.startswith("at ") or _DAY_OF_MONTH.match(said) else lead
        found = self._days.when(f"{lead} {said}".strip(), self._now, self._zone)
        if found is None or found.dated or on is None:
            return found
        return self._days.when(f"{on:%Y %m %d} {lead} {said}", self._now, self._zone)

    def _midnight(self, day: date) -> datetime:
        return aware(day, time(0), self._zone)


def _length(found: TimeWords) -> timedelta:
    half = found.first in {"half an", "une demi"}
    count = 0.5 if half else 1 if found.first in {"a", "an"} else numbers.number(found.first)
    unit = found.second[0]
    if found.second.startswith("min"):
        return timedelta(minutes=count)
    return timedelta(days=count * (7 if unit in "ws" else 1)) if unit in "djws" else timedelta(hours=count)
