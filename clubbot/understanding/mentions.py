"""The things of the club that a text names: an event, a loop or hole, a list."""

import re
from collections.abc import Iterable

from clubbot.model.club import Knowledge
from clubbot.understanding import numbers
from clubbot.understanding.dates import plain_for_dates

_EVERYTHING = "course"


class Mentions:
    """Finds the club's own names in a plain text (`plain_for_dates`); the longest name wins."""

    def __init__(self, knowledge: Knowledge) -> None:
        self._events = _patterns(
            (event.id, (event.name.en, event.name.fr, *event.also_called)) for event in knowledge.events
        )
        self._loops = _patterns(
            (loop.id, (loop.name.en, loop.name.fr, *loop.also_called)) for loop in knowledge.course.loops
        )
        self._lists = _patterns((one.id, (one.name.en, one.name.fr, *one.also_called)) for one in knowledge.lists)
        self._only_list = knowledge.lists[0].id if len(knowledge.lists) == 1 else None
        self.holes = len(knowledge.course.holes)

    def event(self, plain: str) -> str | None:
        """The id of the event that is named."""
        return _longest(self._events, plain)

    def without_event(self, plain: str) -> str:
        """The text without the name of the event: the Sunday in "family sunday" is no day."""
        found = [match for _, pattern in self._events if (match := pattern.search(plain))]
        if not found:
            return plain
        longest = max(found, key=lambda match: len(match.group()))
        return f"{plain[: longest.start()]} {plain[longest.end() :]}"

    def mailing_list(self, plain: str) -> str | None:
        """The id of the list that is named, or the only one there is."""
        return _longest(self._lists, plain) or self._only_list

    def place(self, plain: str) -> str:
        """A hole's number, a loop's id, or "course"."""
        hole = numbers.hole(plain)
        if hole is not None and 1 <= hole <= self.holes:
            return str(hole)
        return _longest(self._loops, plain) or _EVERYTHING

    def without_place(self, plain: str) -> str:
        """The text without the hole or the loop that it names."""
        for pattern in (_HOLE, *(pattern for _, pattern in self._loops)):
            plain = pattern.sub(" ", plain)
        return " ".join(plain.split())


_HOLE = re.compile(
    r"\b(?:holes?|trous?|baskets?|paniers?|tees?) #?\d{1,2}\b|#\d{1,2}\b|\b\d{1,2}(?:st|nd|rd|th|e) (?:hole|tee|basket|trou)\b"
)


def _patterns(named: Iterable[tuple[str, Iterable[str]]]) -> list[tuple[str, re.Pattern[str]]]:
    return [
        (one, re.compile(rf"\b{re.escape(plain_for_dates(name))}s?\b"))
        for one, names in named
        for name in dict.fromkeys(names)
    ]


def _longest(patterns: list[tuple[str, re.Pattern[str]]], plain: str) -> str | None:
    found = [(len(match.group()), one) for one, pattern in patterns if (match := pattern.search(plain))]
    return max(found)[1] if found else None
