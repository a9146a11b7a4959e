"""The day and hour that a text speaks of, English and French, by a small closed grammar over plain words.

Policy. A weekday is the next one, today included. "next wednesday" is the Wednesday of next week (weeks begin on Monday).
"the 12th" is the next 12th. An hour without am or pm is 8-11 in the morning, 12 noon, 1-7 after noon. A local time that a
clock change leaves out is read with the offset before it, a repeated one is its first (RFC 5545, 3.3.5).
"""

import calendar
import re
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from clubbot.model.wants import When

_WEEKDAYS: dict[str, int] = {
    name: day
    for day, names in enumerate(
        (
            "monday mondays mon lundi lundis",
            "tuesday tuesdays tues tue mardi mardis",
            "wednesday wednesdays weds wed wensday wednsday mercredi mercredis",
            "thursday thursdays thurs thur thu jeudi jeudis",
            "friday fridays fri vendredi vendredis",
            "saturday saturdays sat samedi samedis",
            "sunday sundays sun dimanche dimanches",
        )
    )
    for name in names.split()
}
_MONTHS: dict[str, int] = {
    name: month
    for month, names in enumerate(
        (
            "january jan janvier",
            "february feb fevrier",
            "march mars",
            "april apr avril",
            "may mai",
            "june jun juin",
            "july jul juillet",
            "august aug aout",
            "september sept sep septembre",
            "october oct octobre",
            "november nov novembre",
            "december dec decembre",
        ),
        start=1,
    )
    for name in names.split()
}
_WEEKDAY = "|".join(sorted(_WEEKDAYS, key=len, reverse=True))
# "may", "march", "mars" and "mar" are also common words: as a month they need a day beside them or "in", "en" before.
_MONTH = "|".join(sorted(_MONTHS, key=len, reverse=True))
_SURE_MONTH = "|".join(
    sorted(set(_MONTHS) - {"may", "march", "mars", "mai", "jan", "sep", "dec"}, key=len, reverse=True)
)
_ORDINAL = r"(?P<day>[12]?\d|3[01])(?:st|nd|rd|th|er|e)?"

_AFTER_TOMORROW = re.compile(r"\b(?:day after tomorrow|apres demain)\b")
_TOMORROW = re.compile(r"\b(?:tomorrow|tomorow|tommorow|tommorrow|tmrw|tmr|tmw|tomoz|2morrow|demain|dem)\b")
_TODAY = re.compile(
    r"\b(?:today|tonight|tonite|2nite|2day|this (?:morning|afternoon|evening|arvo)|now|rn|aujourd hui|aujourdhui|ajd|auj|ce (?:soir|matin|midi)|cet (?:aprem|apres midi)|cet?t?e (?:apres midi|aprem)|maintenant|mtn|tantot|later)\b"
)
_WEEKEND = re.compile(
    r"\b(?P<next>next |coming )?(?:week ?end|wknd|wkend|fin de semaine|fds)(?P<after> prochaine?| suivante?)?\b"
)
_NEXT_WEEK = re.compile(r"\b(?:next week|la semaine prochaine|semaine prochaine|week after)\b")
_THIS_WEEK = re.compile(r"\b(?:this week|cette semaine|la semaine)\b")
_DAY_OF_WEEK = re.compile(rf"\b(?P<next>next )?(?P<weekday>{_WEEKDAY})(?P<after> prochaine?| d apres)?\b")
_DAY_MONTH = re.compile(
    rf"\b(?:{_ORDINAL} (?:of )?(?P<month>{_MONTH})|(?P<month2>{_MONTH}) (?:the )?(?P<day2>[12]?\d|3[01])(?:st|nd|rd|th)?)\b(?! ?h\b)"
)
_THE_DAY = re.compile(
    r"\b(?:the (?P<en>[12]?\d|3[01])(?:st|nd|rd|th)|le (?P<fr>[12]?\d|3[01])(?:er)?)\b(?! ?(?:h|trous?|heures?|paniers?)\b)"
)
_IN_MONTH = re.compile(
    rf"\b(?:in|en|during|this|au mois de|early|late|mid|debut|fin) (?P<month>{_MONTH})\b|\b(?P<sure>{_SURE_MONTH})\b"
)

_HOUR = re.compile(
    r"\b(?:(?P<h24>[01]?\d|2[0-3]) ?h(?:eures?)? ?(?P<m24>[0-5]\d)?|(?P<hp>1[0-2]|0?\d)(?: (?P<mp>[0-5]\d))? ?(?P<half>am|pm|a m|p m)"
    r"|(?P<hc>[01]?\d|2[0-3]):(?P<mc>[0-5]\d)(?: ?(?P<half2>am|pm))?"
    r"|(?:at|by|around|about|after|before|from|till|til|until|since|vers|a|avant|apres|des|pour) (?P<hb>[01]?\d|2[0-3])(?P<of>(?: ish)?)(?! ?(?:holes?|trous?|people|personnes?|of us|paniers?|players?|st|nd|rd|th|bucks|dollars|minutes?|mins?|m\b|km|juin|juillet|am|pm|:)))\b"
)
_NOON = re.compile(r"\b(?:noon|midday|midi|lunch ?time)\b")
_MORNING = re.compile(r"\b(?:morning|matin|am)\b")
_AFTERNOON = re.compile(r"\b(?:afternoon|arvo|aprem|apres midi)\b")
_EVENING = re.compile(
    r"\b(?:tonight|tonite|2nite|evening|soir|soiree|after work|apres le travail|after supper|after dinner)\b"
)
_NOW = re.compile(r"\b(?:now|rn|right now|currently|at the moment|maintenant|mtn|en ce moment)\b")


@dataclass(frozen=True, slots=True)
class _Days:
    first: date
    last: date


def aware(day: date, hour: time, zone: ZoneInfo) -> datetime:
    """The instant of a local day and hour; a missing hour is read with the offset before the gap, a repeated one is the first."""
    return datetime.combine(day, hour, zone)


def when(text: str, now: datetime, zone: ZoneInfo) -> When | None:
    """The days, and the hour where one is named, that a plain text speaks of; None where it names none.

    `text` is lower case without accents, apostrophes as spaces (`plain_for_dates`); `now` is aware.
    """
    today = now.astimezone(zone).date()
    days = _days(text, today)
    hour = _hour(text)
    if hour is not None and _EVENING.search(text) and hour.hour < 12 and not re.search(r"\bam\b", text):
        hour = hour.replace(hour=hour.hour + 12) if hour.hour else hour
    if days is None and hour is None:
        return None
    if days is None:
        days = _Days(today, today)
    if hour is None:
        hour = _part_of_day(text)
    at = aware(days.first, hour, zone) if hour is not None and days.first == days.last else None
    return When(days.first, days.last, at, text)


def plain_for_dates(text: str) -> str:
    """Lower case, no accents, everything but letters, digits and ":" to single spaces."""
    import_free = text.casefold().replace("œ", "oe")
    folded = "".join(_ASCII.get(letter, letter) for letter in import_free)
    return re.sub(r"[^a-z0-9:]+", " ", re.sub(r"(\d)\.(\d\d)\b", r"\1:\2", folded)).strip()


_ASCII = dict(zip("àâäçéèêëîïôöùûüñ’", "aaaceeeeiioouuun ", strict=True))


def _days(text: str, today: date) -> _Days | None:
    named = _named_date(text, today)
    if named is not None:
        return _Days(named, named)
    if _AFTER_TOMORROW.search(text):
        return _one(today + timedelta(days=2))
    if _TOMORROW.search(text):
        return _one(today + timedelta(days=1))
    found = _DAY_OF_WEEK.search(text)
    if found and not (found["weekday"] in {"sun", "sat", "mon", "mar", "wed"} and _ambiguous(found["weekday"], text)):
        return _one(_weekday(found, today))
    if (weekend := _WEEKEND.search(text)) is not None:
        saturday = today + timedelta(days=(5 - today.weekday()) % 7 if today.weekday() != 6 else -1)
        later = 7 if (weekend["next"] == "next " or weekend["after"]) and today.weekday() < 5 else 0
        return _Days(max(today, saturday + timedelta(days=later)), saturday + timedelta(days=later + 1))
    monday = today - timedelta(days=today.weekday())
    if _NEXT_WEEK.search(text):
        return _Days(monday + timedelta(days=7), monday + timedelta(days=13))
    if _THIS_WEEK.search(text):
        return _Days(today, monday + timedelta(days=6))
    if _TODAY.search(text):
        return _one(today)
    return _month(text, today)


def _ambiguous(weekday: str, text: str) -> bool:
    """ "the sun is out", "we sat down", "mon chien": a short weekday that may be another word counts only beside "on", "this", an hour or alone."""
    if weekday == "sun":
        return re.search(r"\bthe sun\b|\bsun (?:go|set|come|rise|is)", text) is not None
    if weekday == "mon":
        return re.search(r"\bmon (?!at\b|morning\b|night\b|evening\b|afternoon\b|\d)[a-z]", text) is not None
    if weekday == "sat":
        return re.search(r"\b(?:i|we|he|she|it|who) sat\b", text) is not None
    return weekday == "wed" and re.search(r"\b(?:get|getting|to) wed\b", text) is not None


def _one(day: date) -> _Days:
    return _Days(day, day)


def _weekday(found: re.Match[str], today: date) -> date:
    weekday = _WEEKDAYS[found["weekday"]]
    if found["next"]:
        return today - timedelta(days=today.weekday()) + timedelta(days=7 + weekday)
    coming = today + timedelta(days=(weekday - today.weekday()) % 7)
    if found["after"] and found["after"].startswith(" prochain"):
        # French "mercredi prochain" is the next one after today, not necessarily of next week.
        return coming if coming > today else coming + timedelta(days=7)
    return coming


def _named_date(text: str, today: date) -> date | None:
    found = _DAY_MONTH.search(text)
    if found:
        month = _MONTHS[found["month"] or found["month2"]]
        return _on_or_after(today, int(found["day"] or found["day2"]), month)
    found = _THE_DAY.search(text)
    if found:
        return _on_or_after(today, int(found["en"] or found["fr"]), None)
    return None


def _on_or_after(today: date, day: int, month: int | None) -> date | None:
    """The next such day; one of up to two months ago keeps its year, so that "5 may" said in June is the past one."""
    for ahead in range(13):
        year, index = divmod(today.month - 1 + ahead, 12)
        year += today.year
        if month is not None and index + 1 != month:
            continue
        if not 1 <= day <= calendar.monthrange(year, index + 1)[1]:
            continue
        found = date(year, index + 1, day)
        if found >= today:
            return found
    if month is None or not 1 <= day <= calendar.monthrange(today.year, month)[1]:
        return None
    return date(today.year, month, day)


def _month(text: str, today: date) -> _Days | None:
    found = _IN_MONTH.search(text)
    if not found:
        return None
    month = _MONTHS[found["month"] or found["sure"]]
    year = today.year if month >= today.month else today.year + 1
    last = date(year, month, calendar.monthrange(year, month)[1])
    return _Days(max(today, date(year, month, 1)) if month == today.month else date(year, month, 1), last)


def _hour(text: str) -> time | None:
    found = _HOUR.search(text)
    if not found:
        return time(12) if _NOON.search(text) else None
    if found["h24"]:
        return time(int(found["h24"]), int(found["m24"] or 0))
    if found["hp"]:
        return _half(int(found["hp"]), int(found["mp"] or 0), found["half"])
    if found["hc"]:
        hour, minute = int(found["hc"]), int(found["mc"])
        return _half(hour, minute, found["half2"]) if found["half2"] else _guess(hour, minute, text)
    return _guess(int(found["hb"]), 0, text)


def _half(hour: int, minute: int, half: str) -> time | None:
    if not 1 <= hour <= 12:
        return None
    return time(hour % 12 + (12 if half[0] == "p" else 0), minute)


def _guess(hour: int, minute: int, text: str) -> time:
    if 1 <= hour <= 7 and not _MORNING.search(text):
        hour += 12
    return time(hour, minute)


def _part_of_day(text: str) -> time | None:
    if _NOW.search(text):
        return None
    if _MORNING.search(text) and not _AFTERNOON.search(text):
        return time(9)
    if _AFTERNOON.search(text):
        return time(14)
    if _EVENING.search(text):
        return time(18)
    return None
