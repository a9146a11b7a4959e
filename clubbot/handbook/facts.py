"""Facts by name, as answers use them: {prices.membership}, {events.dusk_league.starts}. Worked out once a language."""

from collections.abc import Iterable, Mapping
from datetime import date, datetime, time
from string import Formatter
from typing import Any

from clubbot.events.days import rule_days
from clubbot.handbook.tables import Table
from clubbot.model.club import MONTHS, WEEKDAYS, Course, EventRule, Hours, Person
from clubbot.model.messages import Language, Said
from clubbot.people.changed import by_role
from clubbot.texting.wording import (
    days_span,
    joined,
    money,
    months_span,
    on_date,
    span,
    spoken_minutes,
    spoken_time,
    weekdays_span,
)

Words = Mapping[str, str]
# People's numbers are nobody's business; their names are facts by role.
_PRIVATE = frozenset({"person", "duty"})
_MONEY_KEYS = frozenset({"price", "member_price"})


class UnknownFact(KeyError):
    """A name in braces that no fact has."""


class Filler(Formatter):
    """Fills {names} from a flat table of facts; anything else in braces raises UnknownFact."""

    def __init__(self, facts: Mapping[str, object]) -> None:
        self._facts = facts

    def get_field(self, field_name: str, args: Any, kwargs: Any) -> tuple[Any, str]:
        """The fact or value of that name."""
        if field_name in kwargs:
            return kwargs[field_name], field_name
        if field_name in self._facts:
            return self._facts[field_name], field_name
        raise UnknownFact(field_name)


def names_in(text: str) -> list[str]:
    """The names in braces of a text. ValueError where a brace is left open."""
    return [name for _, name, _, _ in Formatter().parse(text) if name is not None]


def facts_of(
    tables: Iterable[Table],
    course: Course,
    events: Iterable[EventRule],
    people: Iterable[Person],
    words: Words,
    language: Language,
) -> dict[str, str]:
    """Every fact by name in `language`: the files' own tables and keys, and what is worked out from them."""
    facts: dict[str, str] = {}
    for table in tables:
        for name, value in table.items():
            if name in _PRIVATE:
                continue
            _add(facts, _plural(name), value, words, language)
    facts |= _course_facts(course, words, language)
    for event in events:
        facts |= _event_facts(event, words)
    facts |= _people_facts(people, words)
    return facts


def _plural(name: str) -> str:
    return {"event": "events", "loop": "loops", "round": "rounds", "list": "lists"}.get(name, name)


def _add(facts: dict[str, str], name: str, value: object, words: Words, language: Language) -> None:
    match value:
        case {"en": str(english), "fr": str(french)}:
            facts[name] = Said(en=english, fr=french).to(language)
        case dict():
            for key, below in value.items():
                _add(facts, f"{name}.{key}", below, words, language)
        case list() if value and all(isinstance(one, dict) and "id" in one for one in value):
            for one in value:
                _add(facts, f"{name}.{str(one['id']).replace('-', '_')}", one, words, language)
        case list():
            if value and not any(isinstance(one, dict) for one in value):
                facts[name] = joined([str(one) for one in value], words)
        case _:
            facts[name] = _spoken(name, value, words)


def _spoken(name: str, value: object, words: Words) -> str:
    if (name.startswith("prices.") and isinstance(value, int | float)) or name.rpartition(".")[2] in _MONEY_KEYS:
        return money(value, words)
    match value:
        case datetime():
            return f"{on_date(value.date(), words)} {spoken_time(value.time(), words)}"
        case time():
            return spoken_time(value, words)
        case date():
            return on_date(value, words)
        case _:
            return str(value)


def _course_facts(course: Course, words: Words, language: Language) -> dict[str, str]:
    longest = max(course.holes, key=lambda hole: hole.long)
    shortest = min(course.holes, key=lambda hole: hole.long)
    facts = {
        "course.holes": str(len(course.holes)),
        "course.par": str(sum(hole.par for hole in course.holes)),
        "course.loops": str(len(course.loops)),
        "course.length": str(sum(hole.long for hole in course.holes)),
        "course.length_short": str(sum(hole.short for hole in course.holes)),
    }
    for name, hole in (("longest", longest), ("shortest", shortest)):
        for key in ("hole", "par", "long", "short"):
            facts[f"course.{name}.{key}"] = str(getattr(hole, key))
    for loop in course.loops:
        holes = Said(en=f"holes {loop.first_hole}-{loop.last_hole}", fr=f"trous {loop.first_hole} à {loop.last_hole}")
        facts[f"loops.{_key(loop.id)}.holes"] = holes.to(language)
        played = [hole for hole in course.holes if loop.first_hole <= hole.hole <= loop.last_hole]
        facts[f"loops.{_key(loop.id)}.length"] = str(sum(hole.long for hole in played))
        facts[f"loops.{_key(loop.id)}.length_short"] = str(sum(hole.short for hole in played))
    for row in course.hours:
        facts |= _hours_facts(row, words)
    for one in course.rounds:
        facts[f"rounds.{_key(one.id)}.time"] = spoken_minutes(one.minutes, words)
    return facts


def _hours_facts(row: Hours, words: Words) -> dict[str, str]:
    """The days of the week and the months of something that is open then: "Friday-Sunday", "May-October"."""
    name = f"hours.{_key(row.id)}"
    facts = {}
    if row.days:
        facts[f"{name}.days"] = weekdays_span([WEEKDAYS.index(one) for one in row.days], words)
    if row.months is not None:
        first, last = (date(2000, MONTHS.index(one) + 1, 1) for one in row.months)
        facts[f"{name}.months"] = months_span(first, last, words)
    return facts


def _event_facts(event: EventRule, words: Words) -> dict[str, str]:
    name = f"events.{_key(event.id)}"
    days = rule_days(event)
    if not days:
        return {}
    return {
        f"{name}.days": days_span(event.repeats, days, words),
        f"{name}.season": span(days[0], days[-1], words),
        f"{name}.months": months_span(days[0], days[-1], words),
    }


def _people_facts(people: Iterable[Person], words: Words) -> dict[str, str]:
    return {fact: joined(names, words) for fact, names in by_role(people).items()}


def _key(one: str) -> str:
    return one.replace("-", "_")
