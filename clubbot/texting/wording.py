"""How days, hours, money and lists are said in a text, with the words of the club's wording."""

from collections.abc import Mapping, Sequence
from datetime import date, time
from itertools import pairwise

Words = Mapping[str, str]


def money(amount: object, words: Words) -> str:
    """An amount with the currency as the club writes it: "$25"."""
    return words["money"].format(amount=amount)


def spoken_time(hour: time, words: Words) -> str:
    """An hour of the day, 24 hours: "18:15", "18 h 15"."""
    pattern = words["calendar.time"] if hour.minute else words["calendar.full_hour"]
    return pattern.format(hour=hour.hour, minute=hour.minute)


def on_date(day: date, words: Words) -> str:
    """A day of the month: "1 July", "1er juillet"."""
    return words["calendar.date"].format(number=_number(day, words), month=_month(day, words))


def on_day(day: date, words: Words) -> str:
    """A day with its weekday: "Sat 12 June", "samedi 12 juin"."""
    weekday = words[f"calendar.weekdays.{day.weekday()}"]
    return words["calendar.day"].format(weekday=weekday, number=_number(day, words), month=_month(day, words))


def spoken_minutes(minutes: int, words: Words) -> str:
    """A length of time: "40 minutes", "2 hours", "2.5 hours", "2 h 30"."""
    if minutes == 1:
        return words["calendar.minute"]
    if minutes < 90 and minutes != 60:
        return words["calendar.minutes"].format(minutes=minutes)
    if minutes == 60:
        return words["calendar.hour"]
    if minutes % 60 and "h " in words["calendar.time"]:  # where hours are written "18 h 15", lengths are too
        return spoken_time(time(minutes // 60, minutes % 60), words)
    hours = f"{minutes / 60:g}" if minutes % 30 == 0 else f"{minutes // 60}:{minutes % 60:02}"
    return words["calendar.hours"].format(hours=hours)


def joined(items: Sequence[str], words: Words) -> str:
    """ "a", "a and b", "a, b and c"."""
    if len(items) < 2:
        return "".join(items)
    return f"{', '.join(items[:-1])} {words['and']} {items[-1]}"


def span(first: date, last: date, words: Words) -> str:
    """A span of days: "5 May-29 September"."""
    return words["calendar.span"].format(first=on_date(first, words), last=on_date(last, words))


def months_span(first: date, last: date, words: Words) -> str:
    """A span of months: "April-October"; "d'avril" where the language joins the words so."""
    said = words["calendar.months_span"].format(first=_month(first, words), last=_month(last, words))
    for vowel in "aeiouàéè":
        said = said.replace(f"de {vowel}", f"d'{vowel}")
    return said


def weekdays_span(days: Sequence[int], words: Words) -> str:
    """Days of the week, 0 for Monday: "Friday-Sunday", "weekends", "Monday and Thursday"."""
    if set(days) == {5, 6}:
        return words["calendar.weekends"]
    names = [words[f"calendar.full_weekdays.{day}"] for day in days]
    if len(days) > 2 and all((later - day) % 7 == 1 for day, later in pairwise(days)):
        return words["calendar.weekdays_span"].format(first=names[0], last=names[-1])
    return joined(names, words)


def days_span(repeats: str, days: Sequence[date], words: Words) -> str:
    """The days of a rule in words: "Wednesdays", "the second Saturday of the month", "11-12 September"; single dates otherwise."""
    rule = dict(part.split("=", 1) for part in repeats.upper().split(";") if "=" in part)
    by_day = rule.get("BYDAY", "")
    if rule.get("FREQ") == "WEEKLY" and "," not in by_day and "INTERVAL" not in rule:
        return words[f"calendar.weekly.{days[0].weekday()}"]
    if rule.get("FREQ") == "MONTHLY" and by_day[:-2].lstrip("+-").isdigit():
        which = int(by_day[:-2])
        ordinal = words["calendar.ordinals.5" if which == -1 else f"calendar.ordinals.{which - 1}"]
        weekday = words[f"calendar.full_weekdays.{days[0].weekday()}"]
        return words["calendar.monthly"].format(ordinal=ordinal, weekday=weekday)
    if len(days) == 2 and (days[1] - days[0]).days == 1 and days[0].month == days[1].month:
        return words["calendar.two_days"].format(first=days[0].day, last=days[1].day, month=_month(days[0], words))
    return joined([on_date(day, words) for day in days], words)


def _number(day: date, words: Words) -> str:
    return words["calendar.first_of_month"] if day.day == 1 else str(day.day)


def _month(day: date, words: Words) -> str:
    return words[f"calendar.months.{day.month - 1}"]
