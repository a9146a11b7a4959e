"""The day and hour that a text speaks of, English and French, by a small closed grammar over plain words.

Policy for days. A weekday is the next one, today included; "next wednesday" is the Wednesday of next week (weeks begin on
Monday), "mercredi prochain" the next one after today. "the 12th" is the next 12th, "5 may" the next 5 May, a month the next
one, this month included. "next weekend" is the one of next week. "wed 9" is the 9th where that is a Wednesday, else 9 o'clock.
Policy for hours. Without am or pm 8-11 is the morning, 12 noon, 1-7 after noon, also as "6 h"; an hour of today that is over is
meant for the evening. Morning is 9:00, afternoon 14:00, evening 18:00, and now
where that is over today. A local time that a clock change leaves out is read with
the offset before it, a repeated one is its first (RFC 5545, 3.3.5).
"""

import calendar
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, time, timedelta
from functools import lru_cache
from zoneinfo import ZoneInfo

from clubbot.model.wants import When
from clubbot.texting import patterns
from clubbot.understanding.numbers import COUNTED, PERSONS, number

_WEEKDAYS: dict[str, int] = {
    name: day
    for day, names in enumerate(
        (
            "monday mondays mon lundi lundis lun",
            "tuesday tuesdays tues tue mardi mardis mar",
            "wednesday wednesdays weds wed wensday wednsday mercredi mercredis mer",
            "thursday thursdays thurs thur thu jeudi jeudis jeu",
            "friday fridays fri vendredi vendredis ven",
            "saturday saturdays sat samedi samedis sam",
            "sunday sundays sun dimanche dimanches dim",
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
# "may", "march" and "mars" are also common words: as a month they need a day beside them or "in", "en" before.
_MONTH = "|".join(sorted(_MONTHS, key=len, reverse=True))
_SURE_MONTH = "|".join(
    sorted(set(_MONTHS) - {"may", "march", "mars", "mai", "jan", "sep", "dec"}, key=len, reverse=True)
)
_DAY = r"[12]?\d|3[01]"
_YEAR = r"(?: (?P<year>20\d\d))?"
_NO_THINGS = rf"(?! ?(?:{COUNTED}|of (?:us|them|the)|st|nd|rd|th)\b)"
_NOT_COUNTING = rf"(?! ?(?:{COUNTED}|{PERSONS}|st|nd|rd|th)\b)"
_FEW = {"a": 1, "an": 1, "une": 1, "un": 1, "one": 1, "couple of": 2, "a couple of": 2, "deux": 2}

_AFTER_TOMORROW = patterns.compile(r"\b(?:day after tomorrow|apres demain)\b")
_TOMORROW = patterns.compile(r"\b(?:tomorrow|tomorow|tommorow|tommorrow|tmrw|tmr|tmw|tomoz|2morrow|demain|dem)\b")
_TODAY = patterns.compile(
    r"\b(?:today|tonight|tonite|2nite|2day|this (?:morning|afternoon|evening|arvo)|now|rn|aujourd hui|aujourdhui|ajd|auj|ce (?:soir|matin|midi)|cet (?:aprem|apres midi)|cet?t?e (?:apres midi|aprem)|maintenant|mtn|tantot|(?<!you )(?<!ya )(?<!or )later)\b"
)
_YESTERDAY = patterns.compile(r"\b(?:yesterday|last night|hier)\b")
_IN_DAYS = patterns.compile(
    rf"\b(?:in|dans) (?P<n>\d{{1,2}}|{'|'.join(_FEW)}) (?P<unit>days?|jours?|weeks?|semaines?)\b"
)
_IN_HOURS = patterns.compile(
    rf"\b(?:there|here|over|start\w*|arriv\w*|come|coming|leav\w+|la|sera\w*|serons|commenc\w+|dark|noir) (?:off |just |about )?(?:in|dans) (?:about |around |environ )?"
    rf"(?P<n>half an|une demi|\d{{1,3}}|{'|'.join(_FEW)}) ?(?P<unit>h|hours?|hrs?|heures?|minutes?|mins?)\b"
)
_WEEKEND = patterns.compile(
    r"\b(?P<next>next |coming )?(?:week ?end|wknd|wkend|fin de semaine|fds)(?P<after> prochaine?| suivante?)?\b"
)
_NEXT_WEEK = patterns.compile(r"\b(?:next week|la semaine prochaine|semaine prochaine|week after)\b")
_THIS_WEEK = patterns.compile(r"\b(?:this week|cette semaine|la semaine)\b")
_DAY_OF_WEEK = patterns.compile(
    rf"\b(?P<before>next |last |dernier )?(?P<weekday>{_WEEKDAY})(?P<after> prochaine?| d apres| en huit| week\b(?! ?end)| derniere?)?\b"
)
_DAY_AND_NUMBER = patterns.compile(
    rf"\b(?:{_WEEKDAY})(?: le| the)? (?P<n>{_DAY})(?P<th>st|nd|rd|th|er)?\b(?! ?(?::|\d\d\b|h\b|am\b|pm\b|a m\b|p m\b|{_MONTH})){_NOT_COUNTING}"
)
_DAY_MONTH = patterns.compile(
    rf"\b(?:(?P<day>{_DAY})(?:st|nd|rd|th|er|e)? (?:of )?(?P<month>{_MONTH})|(?P<month2>{_MONTH}) (?:the )?(?P<day2>{_DAY})(?:st|nd|rd|th)?){_YEAR}\b(?! ?h\b){_NOT_COUNTING}(?P<next> \w+)?"
)
_ISO = patterns.compile(r"\b(?P<year>20\d\d) (?P<month>0\d|1[0-2]) (?P<day>[0-2]\d|3[01])\b")
_THE_DAY = patterns.compile(
    rf"\b(?:(?:the|on|for|by|till|until|from) (?P<en>{_DAY})(?:st|nd|rd|th)|le (?P<fr>{_DAY})(?:er)?)\b(?! ?(?:h\b|time|one|try|throw|shot|round|fairway|green|person|birthday|week|{_WEEKDAY}\b)){_NOT_COUNTING}"
)
_THIS_OR_NEXT_MONTH = patterns.compile(r"\b(?:(?P<next>next month|mois prochain)|this month|ce mois(?: ci)?)\b")
_IN_MONTH = patterns.compile(
    rf"\b(?:in|en|during|next|au mois de|early|late|mid|debut|fin) (?P<month>{_MONTH})\b|\b(?P<sure>{_SURE_MONTH})\b"
)
# People who are called after a month introduce themselves so.
_NAMED_AFTER_MONTH = patterns.compile(
    r"\b(?:(?:it s|its|i m|im|i am|this is|name is|name s|call me|c est|m appelle|je suis) (?:april|june|august|avril)|(?:april|june|august) here)\b"
)
# What a number may follow that is no hour: a round of two hours, ages, holes.
_NO_HOUR_BEFORE = patterns.compile(
    r"\b(?:en|in|dans|prends?|prendre|takes?|dure|durer|pendant|kids|children|ages?|aged|enfants|holes?|trous?|far|it)$"
)

_CLEAR_HOUR = patterns.compile(
    r"\b(?:(?P<h24>[01]?\d|2[0-3]) ?h(?:eures?)? ?(?P<m24>[0-5]\d)?|(?P<hp>1[0-2]|0?\d)(?: (?P<mp>[0-5]\d))? ?(?P<half>am|pm|a m|p m)"
    r"|(?P<hc>[01]?\d|2[0-3]):(?P<mc>[0-5]\d)(?: ?(?P<half2>am|pm))?)\b"
)
_PART_PAST = patterns.compile(
    r"\b(?P<part>half past|half|quarter past|quarter to) (?P<n>1[0-2]|\d|two|three|four|five|six|seven|eight|nine|ten|eleven|twelve)\b"
    r"|\b(?P<heure>1\d|2[0-3]|\d) ?(?:h|heures?)? (?P<demie>et demie|et quart)\b"
)
_HOUR_NUMBER = r"[01]?\d|2[0-3]|two|three|four|five|six|seven|eight|nine|ten|eleven|twelve"
_BARE_HOUR = patterns.compile(
    rf"\b(?:at|till|til|until|since|from|vers|avant|apres|(?:demain|soir|matin|midi|{_WEEKDAY}) a) (?P<n>{_HOUR_NUMBER})(?: ?ish)?\b(?! ?:){_NO_THINGS}"
    rf"|\b(?:by|around|about|after|before) (?P<n2>{_HOUR_NUMBER})(?: ?ish)?\b(?! ?:){_NOT_COUNTING}"
    r"|\b(?P<n3>[1-9]|1[0-2]) ?ish\b"
)
_NOON = patterns.compile(r"\b(?:noon|midday|(?<!apres )midi|lunch ?time)\b")
_MORNING = patterns.compile(r"\b(?:morning|matin)\b|\d ?(?:am|a m)\b")
_AFTERNOON = patterns.compile(r"\b(?:afternoon|arvo|aprem|apres midi)\b")
_EVENING = patterns.compile(
    rf"\b(?:tonight|tonite|2nite|evening|soir|soiree|(?:tomorrow|tmrw|{_WEEKDAY}) night|after work|apres le travail|after supper|after dinner)\b"
)
_NOW = patterns.compile(r"\b(?:now|rn|right now|currently|at the moment|maintenant|mtn|en ce moment)\b")

# Neighbours that show a short weekday to be another word: "the sun is out", "we sat down", "mon chien", "to be wed".
_OTHER_BEFORE: dict[str, frozenset[str]] = {
    "sun": frozenset(["the", "much", "any", "some", "full", "hot", "warm", "no", "more", "of", "in"]),
    "sat": frozenset(["i", "we", "he", "she", "it", "who", "they", "just", "have", "had", "been", "disc", "bird"]),
    "wed": frozenset(["get", "getting", "got", "be", "newly"]),
}
_OTHER_AFTER: dict[str, frozenset[str]] = {
    "sun": frozenset(
        [
            "go",
            "goes",
            "set",
            "sets",
            "come",
            "comes",
            "rise",
            "rises",
            "was",
            "down",
            "up",
            "out",
            "screen",
            "hat",
            "burn",
            "block",
            "protection",
            "cream",
        ]
    ),
    "sat": frozenset(["down", "on", "nav", "navs", "phone", "under"]),
}
_ENGLISH_MONDAY_BEFORE = frozenset(
    ["next", "last", "this", "every", "coming", "till", "until", "by", "or", "and", "from"]
)
_ENGLISH_MONDAY_AFTER = frozenset(
    [
        "at",
        "morning",
        "night",
        "evening",
        "afternoon",
        "or",
        "and",
        "to",
        "till",
        "until",
        "through",
        "thru",
        "the",
        "is",
        "are",
        "ok",
        "for",
        "with",
        "we",
        "i",
        "if",
        "please",
        "pls",
        "plz",
        "around",
        "about",
        "by",
        "after",
        "before",
        "noon",
        "thanks",
        "tue",
        "tues",
        "tuesday",
        "wed",
        "weds",
        "wednesday",
        "fri",
        "friday",
        "week",
    ]
)
# French shorthand that is a weekday beside an hour or a part of the day alone: "sam 10h", "mer soir", not "la mer", "le jeu", "Sam".
_FRENCH_SHORT = frozenset({"mar", "mer", "jeu", "sam", "dim"})
_FRENCH_SHORT_AFTER = patterns.compile(r" ?(?:\d{1,2} ?h|matin|soir|aprem|apres midi|midi)")


@dataclass(frozen=True, slots=True)
class _Days:
    first: date
    last: date
    hour: time | None = None
    weekday: bool = False


@dataclass(frozen=True, slots=True)
class _Hour:
    """`guessed` where the half of the day was not said."""

    at: time
    guessed: bool = False


def aware(day: date, hour: time, zone: ZoneInfo) -> datetime:
    """The instant of a local day and hour; a missing hour is read with the offset before the gap, a repeated one is the first."""
    return datetime.combine(day, hour, zone).astimezone(UTC).astimezone(zone)


def when(text: str, now: datetime, zone: ZoneInfo) -> When | None:
    """The days, and the hour where one is named, that a plain text speaks of; None where it names none.

    `text` is lower case without accents, apostrophes as spaces (`plain_for_dates`); `now` is aware.
    """
    local = now.astimezone(zone)
    soon = _in_hours(text, local)
    if soon is not None:
        return When(soon.date(), soon.date(), soon, text)
    days = _days(text, local.date())
    named = _hour(text)
    if days is None and named is None:
        return None
    dated, days = days is not None, days or _Days(local.date(), local.date())
    hour = _on_the_day(named, text, days, local) if named else days.hour or _part_of_day(text, days, local)
    at = aware(days.first, hour, zone) if hour is not None and days.first == days.last else None
    return When(days.first, days.last, at, text, dated, days.weekday)


@lru_cache(maxsize=4096)  # asked of the same text, and of the same letters, by everything that reads it
def plain_for_dates(text: str) -> str:
    """Lower case, no accents, everything but letters, digits, ":" and "#" to single spaces."""
    spelled = text.casefold().replace("œ", "oe")
    folded = "".join(_ASCII.get(letter, letter) for letter in spelled)
    return patterns.sub(r"[^a-z0-9:#]+", " ", patterns.sub(r"(\d)\.(\d\d)\b", r"\1:\2", folded)).strip()


def before(text: str) -> timedelta | None:
    """How long before something a plain text speaks of: "an hour before", "2 h avant"; None where it does not."""
    found = _BEFORE.search(text)
    if found is None:
        return None
    count = 0.5 if found["n"] in {"half an", "une demi"} else _few(found["n"])
    if found["unit"].startswith("min"):
        return timedelta(minutes=count)
    return timedelta(days=count) if found["unit"][0] in "dj" else timedelta(hours=count)


_BEFORE = patterns.compile(
    rf"\b(?P<n>half an|une demi|\d{{1,3}}|{'|'.join(_FEW)}) ?(?P<unit>h|hours?|hrs?|heures?|minutes?|mins?|days?|jours?) (?:before|ahead|prior|avant|d avance|a l avance|early)\b"
)
_ASCII = dict(zip("àâäçéèêëîïôöùûüñ’", "aaaceeeeiioouuun ", strict=True))


def _in_hours(text: str, local: datetime) -> datetime | None:
    found = _IN_HOURS.search(text)
    if not found:
        return None
    count = 0.5 if found["n"] in {"half an", "une demi"} else _few(found["n"])
    length = timedelta(minutes=count) if found["unit"].startswith("min") else timedelta(hours=count)
    return (local.astimezone(UTC) + length).astimezone(local.tzinfo).replace(second=0, microsecond=0)


def _few(words: str) -> int:
    return int(words) if words.isdigit() else _FEW[words]


def _days(text: str, today: date) -> _Days | None:
    named = _named_date(text, today)
    if named is not None:
        return _one(named)
    if _AFTER_TOMORROW.search(text):
        return _one(today + timedelta(days=2))
    if _TOMORROW.search(text):
        return _one(today + timedelta(days=1))
    found = _IN_DAYS.search(text)
    if found:
        return _one(today + timedelta(days=_few(found["n"]) * (1 if found["unit"][0] in "dj" else 7)))
    weekday = next((one for one in _DAY_OF_WEEK.finditer(text) if not _another_word(one, text)), None)
    if weekday is None:
        return _weeks_and_months(text, today)
    return replace(_weekday(weekday, text, today), weekday=True)


def _weeks_and_months(text: str, today: date) -> _Days | None:
    monday = today - timedelta(days=today.weekday())
    if (weekend := _WEEKEND.search(text)) is not None:
        saturday = monday + timedelta(days=5 + (7 if weekend["next"] == "next " or weekend["after"] else 0))
        return _Days(max(today, saturday), saturday + timedelta(days=1))
    if _NEXT_WEEK.search(text):
        return _Days(monday + timedelta(days=7), monday + timedelta(days=13))
    if _THIS_WEEK.search(text):
        return _Days(today, monday + timedelta(days=6))
    if _TODAY.search(text):
        return _one(today)
    if _YESTERDAY.search(text):
        return _one(today - timedelta(days=1))
    return _month(text, today)


def _another_word(found: patterns.Match, text: str) -> bool:
    """ "the sun is out", "we sat down", "mon chien": whether a short weekday is another word here, as its neighbours show."""
    word = found["weekday"]
    before = text[: found.start()].split()[-1:]
    after = text[found.end() :].split()[:1]
    if word in _FRENCH_SHORT:
        return _FRENCH_SHORT_AFTER.match(text, found.end("weekday")) is None or before == ["la"]
    if word == "mon" and (found["after"] or "").strip().startswith("dernier"):
        return True  # "mon dernier mot"
    if word == "mon":
        english = (
            found["before"] or found["after"] or not after or after[0][0].isdigit() or after[0] in _ENGLISH_MONDAY_AFTER
        )
        return not (english or (before and before[0] in _ENGLISH_MONDAY_BEFORE))
    other = before and before[0] in _OTHER_BEFORE.get(word, ())
    return bool(other or (after and after[0] in _OTHER_AFTER.get(word, ())))


def _one(day: date) -> _Days:
    return _Days(day, day)


def _weekday(found: patterns.Match, text: str, today: date) -> _Days:
    weekday = _WEEKDAYS[found["weekday"]]
    monday = today - timedelta(days=today.weekday())
    coming = today + timedelta(days=(weekday - today.weekday()) % 7)
    before, after = (found["before"] or "").strip(), (found["after"] or "").strip()
    if before == "next" or _NEXT_WEEK.search(text):
        return _with_number(monday + timedelta(days=7 + weekday), text)
    if (before == "last" and not text.startswith(" of", found.end())) or "dernier" in before + after:
        return _one(coming - timedelta(days=7))
    if after in {"week", "d apres", "en huit"} or "week from" in text[: found.start()]:
        return _one(coming + timedelta(days=7))
    if after.startswith("prochain"):  # not necessarily of next week
        return _one(coming if coming > today else coming + timedelta(days=7))
    return _with_number(coming, text, today)


def _with_number(day: date, text: str, today: date | None = None) -> _Days:
    """ "sat 19" is the 19th where that is a Saturday; else the number is the hour, "weds 6"."""
    found = _DAY_AND_NUMBER.search(text)
    if not found:
        return _one(day)
    named = _on_or_after(today, int(found["n"]), None) if today else None
    if named is not None and (found["th"] or named.weekday() == day.weekday()):
        return _one(named)
    hour = int(found["n"])
    return _Days(day, day, _guess(hour, 0, text)) if 1 <= hour <= 22 and not found["th"] else _one(day)


def _named_date(text: str, today: date) -> date | None:
    found = _ISO.search(text)
    if found:
        return _exactly(int(found["year"]), int(found["month"]), int(found["day"]))
    for found in _DAY_MONTH.finditer(text):
        if found["month"] in {"may", "march"} and (found["next"] or "").strip() in {
            "be",
            "we",
            "i",
            "not",
            "also",
            "have",
        }:
            continue  # "18 may be too many"
        month, day = _MONTHS[found["month"] or found["month2"]], int(found["day"] or found["day2"])
        return _exactly(int(found["year"]), month, day) if found["year"] else _on_or_after(today, day, month)
    found = _THE_DAY.search(text)
    return _on_or_after(today, int(found["en"] or found["fr"]), None) if found else None


def _exactly(year: int, month: int, day: int) -> date | None:
    return date(year, month, day) if 1 <= day <= calendar.monthrange(year, month)[1] else None


def _on_or_after(today: date, day: int, month: int | None) -> date | None:
    """The next such day; as far ahead as 29 February can be."""
    for ahead in range(8 * 12 + 1):
        years, index = divmod(today.month - 1 + ahead, 12)
        if month is not None and index + 1 != month:
            continue
        found = _exactly(today.year + years, index + 1, day)
        if found is not None and found >= today:
            return found
    return None


def _month(text: str, today: date) -> _Days | None:
    span = _THIS_OR_NEXT_MONTH.search(text)
    found = None if _NAMED_AFTER_MONTH.search(text) else _IN_MONTH.search(text)
    if span:
        month = (today.month % 12) + 1 if span["next"] else today.month
    elif found:
        month = _MONTHS[found["month"] or found["sure"]]
    else:
        return None
    year = today.year if month >= today.month else today.year + 1
    last = date(year, month, calendar.monthrange(year, month)[1])
    return _Days(max(today, date(year, month, 1)), last)


def _on_the_day(named: _Hour, text: str, days: _Days, local: datetime) -> time:
    """The hour in its half of the day: "tonight at 8" is 20:00, and so is "till 8" where 8 in the morning is over."""
    over = days.first == local.date() and named.guessed and named.at <= local.time() and not _MORNING.search(text)
    evening = _EVENING.search(text) is not None and patterns.search(r"\d ?(?:am|a m)\b", text) is None
    if 0 < named.at.hour < 12 and (evening or over):
        return named.at.replace(hour=named.at.hour + 12)
    return named.at


def _hour(text: str) -> _Hour | None:
    part = _PART_PAST.search(text)
    if part:
        return _part_past(part, text)
    for found in _CLEAR_HOUR.finditer(text):
        hour = _clear_hour(found, text)
        if hour is not None:
            return hour
    for found in _BARE_HOUR.finditer(text):
        if not _NO_HOUR_BEFORE.search(text[: found.start()].strip()):
            return _Hour(_guess(number(found["n"] or found["n2"] or found["n3"]), 0, text), guessed=True)
    return _Hour(time(12)) if _NOON.search(text) else None


def _part_past(found: patterns.Match, text: str) -> _Hour:
    if found["heure"]:
        return _Hour(_guess(int(found["heure"]), 30 if found["demie"] == "et demie" else 15, text), guessed=True)
    hour = number(found["n"])
    if found["part"] == "quarter to":
        before = hour - 1 or 12
        return _Hour(_guess(before, 45, text), guessed=True)
    return _Hour(_guess(hour, 15 if found["part"].startswith("quarter") else 30, text), guessed=True)


def _clear_hour(found: patterns.Match, text: str) -> _Hour | None:
    if found["h24"]:
        if _NO_HOUR_BEFORE.search(text[: found.start()].strip()):
            return None  # "18 trous en 2 h"
        hour, minute = int(found["h24"]), int(found["m24"] or 0)
        spelled = found["h24"].startswith("0")
        return _Hour(time(hour, minute) if spelled else _guess(hour, minute, text), guessed=not spelled and hour < 12)
    if found["hp"]:
        return _half(int(found["hp"]), int(found["mp"] or 0), found["half"])
    hour, minute = int(found["hc"]), int(found["mc"])
    if found["half2"]:
        return _half(hour, minute, found["half2"])
    return _Hour(_guess(hour, minute, text), guessed=not found["hc"].startswith("0"))


def _half(hour: int, minute: int, half: str) -> _Hour | None:
    if not 1 <= hour <= 12:
        return None
    return _Hour(time(hour % 12 + (12 if half[0] == "p" else 0), minute))


def _guess(hour: int, minute: int, text: str) -> time:
    if 1 <= hour <= 7 and not _MORNING.search(text):
        hour += 12
    return time(hour % 24, minute)


def _part_of_day(text: str, days: _Days, local: datetime) -> time | None:
    """When a part of the day begins; None where that is over, so that "tonight" at eight in the evening means now."""
    if _NOW.search(text):
        return None
    begins: time | None = None
    if _AFTERNOON.search(text):
        begins = time(14)
    elif _MORNING.search(text):
        begins = time(9)
    elif _EVENING.search(text):
        begins = time(18)
    return None if begins and days.first == local.date() and begins <= local.time() else begins
