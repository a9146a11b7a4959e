"""The things of the club that a text names: an event, a loop or hole, a list."""

from collections.abc import Iterable, Mapping, Set
from dataclasses import dataclass
from itertools import pairwise

from clubbot.model.club import Knowledge
from clubbot.model.messages import LANGUAGES, Language
from clubbot.texting import patterns
from clubbot.understanding import numbers
from clubbot.understanding.dates import plain_for_dates
from clubbot.understanding.phrases import Groups
from clubbot.understanding.plain import words_of

_EVERYTHING = "course"


# What an event is called where its own name says nothing.
_KINDS: Mapping[Language, Mapping[str, str]] = {
    "en": {
        "league": "the league",
        "clinic": "the clinic",
        "family-day": "the family day",
        "women": "the women's evening",
        "tournament": "the tournament",
        "volunteer": "the work morning",
    },
    "fr": {
        "league": "la ligue",
        "clinic": "le cours pour débutants",
        "family-day": "la journée des familles",
        "women": "la soirée des femmes",
        "tournament": "le tournoi",
        "volunteer": "la corvée",
    },
}


class Mentions:
    """Finds the club's own names in a plain text (`plain_for_dates`); the longest name wins."""

    def __init__(self, knowledge: Knowledge, known: Set[str] = frozenset()) -> None:
        self._events = _patterns(
            (event.id, (event.name.en, event.name.fr, *event.also_called)) for event in knowledge.events
        )
        self._refused = patterns.compile(
            rf"\b(?:not|pas) (?:for |the |pour |a |la |le |l )*(?:{self._events.any_of.pattern})"
        )
        self._loops = _patterns(
            (loop.id, (loop.name.en, loop.name.fr, *loop.also_called)) for loop in knowledge.course.loops
        )
        self._lists = _patterns((one.id, (one.name.en, one.name.fr, *one.also_called)) for one in knowledge.lists)
        names = [
            (name, event.topic)
            for event in knowledge.events
            for name in dict.fromkeys((event.name.en, event.name.fr, *event.also_called))
        ]
        self._unheard = [
            (topic, patterns.compile(rf"(?i)\b{patterns.escape(name)}\b"))
            for name, topic in sorted(names, key=lambda one: -len(one[0]))
            if topic in _KINDS["en"] and not set(words_of(name)) <= known
        ]
        self._only_list = knowledge.lists[0].id if len(knowledge.lists) == 1 else None
        self.holes = len(knowledge.course.holes)

    def event(self, plain: str) -> str | None:
        """The id of the event that is named."""
        return self._events.named(plain)

    def joined_events(self, plain: str) -> tuple[str, ...]:
        """The ids of the events that are named one after the other with "and" between: "league and the clinic"; empty for fewer than two."""
        found: list[tuple[int, int, str]] = []
        for one, pattern in self._events.each:
            found += [(match.start(), match.end(), one) for match in pattern.finditer(plain)]
        longest = [
            spot
            for spot in sorted(set(found))
            if not any(spot != other and other[0] <= spot[0] and spot[1] <= other[1] for other in found)
        ]
        joined = all(_AND.fullmatch(plain[one[1] : other[0]]) for one, other in pairwise(longest))
        events = tuple(dict.fromkeys(one for _, _, one in longest))
        return events if joined and len(events) > 1 else ()

    def without_refused(self, plain: str) -> str:
        """The text without an event that is refused beside another one: "in for league not clinic"."""
        left = self._refused.sub(" ", plain)
        return left if self._events.any_of.search(left) else plain

    def without_event(self, plain: str) -> str:
        """The text without the name of the event: the Sunday in "family sunday" is no day."""
        longest = self._events.longest(plain)
        return plain if longest is None else f"{plain[: longest[1].start()]} {plain[longest[1].end() :]}"

    def in_common_words(self, text: str, language: Language) -> str:
        """The text with the names of events that have a word nobody has learnt told by what kind of event they are: "chain gang tuesdays" is "the
        league" to whoever knows other clubs.
        """
        for topic, spelled in self._unheard:
            text = spelled.sub(_KINDS[language].get(topic, "the event"), text)
        return text

    def mailing_list(self, plain: str) -> str | None:
        """The id of the list that is named, or the only one there is."""
        return self._lists.named(plain) or self._only_list

    def place(self, plain: str) -> str:
        """A hole's number, a loop's id, or "course"."""
        hole = numbers.hole(plain)
        if hole is not None and 1 <= hole <= self.holes:
            return str(hole)
        return self._loops.named(plain) or _EVERYTHING

    def without_place(self, plain: str) -> str:
        """The text without the hole or the loop that it names."""
        for pattern in (_HOLE, *(pattern for _, pattern in self._loops.each)):
            plain = pattern.sub(" ", plain)
        return " ".join(plain.split())


_AND = patterns.compile(
    r" (?:night |nights |night comma |comma )?(?:and|et|plus|pis|n) (?:also |aussi )?(?:for |to |pour |a )?(?:the |la |le |l |a la |au )?"
)
_HOLE = patterns.compile(
    r"\b(?:holes?|trous?|baskets?|paniers?|tees?) #?\d{1,2}\b|#\d{1,2}\b|\b\d{1,2}(?:st|nd|rd|th|e) (?:hole|tee|basket|trou)\b"
)


@dataclass(frozen=True, slots=True)
class _Names:
    """The names of some things of the club, each with its id; `any_of` finds whether a text names one at all."""

    each: tuple[tuple[str, patterns.Pattern], ...]
    any_of: patterns.Pattern

    def longest(self, plain: str) -> tuple[str, patterns.Match] | None:
        """The longest name in the text, and whose it is."""
        if not self.any_of.search(plain):
            return None
        found = [(one, match) for one, pattern in self.each if (match := pattern.search(plain))]
        return max(found, key=lambda one: (len(one[1].group()), one[0]))

    def named(self, plain: str) -> str | None:
        """Whose name the longest one is."""
        found = self.longest(plain)
        return found[0] if found else None


def _patterns(named: Iterable[tuple[str, Iterable[str]]]) -> _Names:
    spelled = [
        (one, rf"\b{patterns.escape(plain_for_dates(name))}s?\b")
        for one, names in named
        for name in dict.fromkeys(names)
    ]
    any_of = "|".join(pattern for _, pattern in spelled) or r"(?!)"
    return _Names(tuple((one, patterns.compile(pattern)) for one, pattern in spelled), patterns.compile(any_of))


def club_groups(knowledge: Knowledge) -> Mapping[Language, Groups]:
    """The club's own names, in plain words, as groups for the rules: its events, the parts of its course, its people and its lists.
    People say the names of one language in the other, so that both have all.
    """
    course = [name for loop in knowledge.course.loops for name in (loop.name.en, loop.name.fr, *loop.also_called)]
    groups = {
        "event": [name for event in knowledge.events for name in (event.name.en, event.name.fr, *event.also_called)],
        "loop": course,
        "list": [name for one in knowledge.lists for name in (one.name.en, one.name.fr, *one.also_called)],
        "person": [person.first_name for person in knowledge.people],
    }
    plain = {group: tuple(dict.fromkeys(" ".join(words_of(name)) for name in names)) for group, names in groups.items()}
    filled = {group: tuple(name for name in names if name) or (_NO_NAME,) for group, names in plain.items()}
    return dict.fromkeys(LANGUAGES, filled)


# What nobody writes, for a club that has no such thing.
_NO_NAME = "0x0"
