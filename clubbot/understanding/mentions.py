"""The things of the club that a text names: an event, a loop or hole, a list."""

from collections.abc import Callable, Iterable, Mapping, Sequence, Set
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise

from clubbot.model.club import EventRule, Knowledge
from clubbot.model.messages import Language
from clubbot.texting import patterns
from clubbot.understanding.dates import plain_for_dates
from clubbot.understanding.phrases import Groups
from clubbot.understanding.plain import words_of

_EVERYTHING = "course"


# What an event is called where its own name says nothing.
KINDS: Mapping[Language, Mapping[str, str]] = {
    "en": {
        "league": "the league",
        "clinic": "the clinic",
        "family-day": "the family day",
        "women": "the women's evening",
        "tournament": "the tournament",
        "volunteer": "the cleanup",
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


# The word that stands for an event's name where only that it is one matters.
_MARK = "event"
# Names of events that are people as well: "2 for family" is the event, "my family" is not.
_PEOPLE_TOO_WORDS = """
family families famille familles women woman ladies girls boys kids men juniors seniors femmes filles garcons enfants dames hommes
"""
_PEOPLE_TOO = frozenset(_PEOPLE_TOO_WORDS.split())
# Words of which kinds of events are told anywhere; the sentence model knows an event by them.
_ANYWHERE_WORDS = """
league leagues night nights evening day morning clinic lesson lessons class session beginner beginners family women womens s ladies girls
work workday cleanup clean up party tournament tourney open big one thing the and of for
ligue cours clinique initiation seance soiree journee matinee debutants famille familles femmes filles corvee travaux tournoi la le les de
des d du en et pour
"""
_ANYWHERE = frozenset(_ANYWHERE_WORDS.split())
# Words by which people anywhere tell parts of a course; the sentence model knows a loop by them.
_LANDSCAPE_WORDS = """
loop boucle front back middle upper lower first second third last long short north south east west shore marsh hill woods wood river lake creek
meadow field forest pond beach premiere deuxieme troisieme derniere avant arriere milieu nord sud est ouest rivage marais colline bois riviere
lac ruisseau champ foret etang plage the la le les du de des
"""
_LANDSCAPE = frozenset(_LANDSCAPE_WORDS.split())
# What a loop is called where its own name says nothing, one after the other.
LOOPS: Mapping[Language, tuple[str, ...]] = {
    "en": ("front loop", "middle loop", "back loop"),
    "fr": ("première boucle", "deuxième boucle", "dernière boucle"),
}
_GOING_TO = r"(?<=\b(?:for|to|at|skip|skipping|pour|pr|a|au|aux) (?:the |this |next |la |le |les |l['’ ])?)"
_ARTICLE = patterns.compile(r"^(?:the|la|le|les) ")
_ANY_ARTICLE = r"(?:\b(?:the |la |le |les |l['’ ]))?"
_LETTERS = {"a": "aàâä", "c": "cç", "e": "eéèêë", "i": "iîï", "o": "oôö", "u": "uùûü"}


def as_event(text: str, events: tuple[EventRule, ...]) -> str:
    """The text, as it was written or in plain words, with "event" in the place of the names of events: "2 for chain gang" is "2 for event"."""
    return _as_event(text, _marker_of(events))


@lru_cache(maxsize=256)
def _as_event(text: str, names: patterns.Pattern) -> str:
    return names.sub(_MARK, text)


def _names_of(event: EventRule, events: Sequence[EventRule]) -> tuple[str, ...]:
    """All that an event is called, the only one of its kind by its kind too: to many "the league" will do."""
    own = (event.name.en, event.name.fr, *event.also_called)
    only = sum(one.topic == event.topic for one in events) == 1
    kinds = (_ARTICLE.sub("", table[event.topic]) for table in KINDS.values() if event.topic in table)
    return (*own, *kinds) if only else own


@lru_cache(maxsize=16)
def _marker_of(events: tuple[EventRule, ...]) -> patterns.Pattern:
    names = {plain_for_dates(name) for event in events for name in _names_of(event, events)} - {""}
    said = sorted(names, key=lambda name: (-len(name), name))
    clear = [_as_written(name) for name in said if name not in _PEOPLE_TOO]
    people = [_as_written(name) for name in said if name in _PEOPLE_TOO]
    either = [*clear, *(rf"{_GOING_TO}{name}(?! (?:of|de|d|and|et|members?)\b)" for name in people)]
    return patterns.compile(rf"\b(?:{'|'.join(either)})s?\b" if either else r"(?!)", patterns.IGNORECASE)


def _as_written(plain: str) -> str:
    """A pattern for a plain name with the accents, apostrophes and hyphens that people write or leave out."""
    words = ("".join(f"[{_LETTERS[one]}]" if one in _LETTERS else one for one in word) for word in plain.split())
    return r"[\s'’-]{0,3}".join(words)


def _any_of(spelled: Iterable[patterns.Pattern]) -> patterns.Pattern:
    """Finds whether one of these stands in a text: most texts have none."""
    return patterns.compile("|".join(one.pattern for one in spelled) or r"(?!)", patterns.IGNORECASE)


def _by_kind(text: str, names: Iterable[tuple[str, patterns.Pattern]], language: Language) -> str:
    kinds = KINDS.get(language)
    if kinds is not None:
        for topic, spelled in names:
            text = spelled.sub(kinds[topic], text)
    return text


class Mentions:
    """Finds the club's own names in a plain text (`plain_for_dates`); the longest name wins."""

    def __init__(self, knowledge: Knowledge, hole: Callable[[str], int | None], known: Set[str] = frozenset()) -> None:
        """`hole` tells the number of the hole that a text speaks of, `known` are the words of which a name is understood."""
        self.hole = hole
        self._events = _patterns((event.id, _names_of(event, knowledge.events)) for event in knowledge.events)
        self._marker = _marker_of(knowledge.events)
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
        spelled = [
            (
                topic,
                set(words_of(name)),
                patterns.compile(rf"{_ANY_ARTICLE}\b{_as_written(plain_for_dates(name))}\b", patterns.IGNORECASE),
            )
            for name, topic in sorted(names, key=lambda one: -len(one[0]))
            if topic in KINDS["en"]
        ]
        self._unlearnt = [(topic, pattern) for topic, words, pattern in spelled if not words <= known]
        self._unheard = [(topic, pattern) for topic, words, pattern in spelled if not words <= _ANYWHERE]
        self._unheard_loops = [
            (place, patterns.compile(rf"\b{_as_written(plain_for_dates(name))}\b", patterns.IGNORECASE))
            for place, loop in enumerate(knowledge.course.loops)
            for name in dict.fromkeys((loop.name.en, loop.name.fr, *loop.also_called))
            if not set(words_of(name)) <= _LANDSCAPE
        ]
        self._any_unlearnt = _any_of(pattern for _, pattern in self._unlearnt)
        self._any_unheard = _any_of(pattern for _, pattern in (*self._unheard, *self._unheard_loops))
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
        """The text without the name of the event: the Sunday in "sunday social" is no day."""
        longest = self._events.longest(plain)
        return plain if longest is None else f"{plain[: longest[1].start()]} {plain[longest[1].end() :]}"

    def in_learnt_words(self, text: str, language: Language) -> str:
        """The text with the names of events that have a word nobody has learnt told by what kind of event they are."""
        return _by_kind(text, self._unlearnt, language) if self._any_unlearnt.search(text) else text

    def in_common_words(self, text: str, language: Language) -> str:
        """The text with the names of events and loops that only this club has told by what kind of thing they are: "chain gang tuesdays" is "the
        league tuesdays" to whoever knows other clubs.
        """
        if not self._any_unheard.search(text):
            return text
        loops = LOOPS.get(language, ())
        for place, spelled in self._unheard_loops if loops else ():
            text = spelled.sub(loops[place % len(loops)], text)
        return _by_kind(text, self._unheard, language)

    def as_event(self, text: str) -> str:
        """The text, as it was written or in plain words, with "event" in the place of the names of events."""
        return _as_event(text, self._marker)

    def mailing_list(self, plain: str) -> str | None:
        """The id of the list that is named, or the only one there is."""
        return self._lists.named(plain) or self._only_list

    def place(self, plain: str) -> str:
        """A hole's number, a loop's id, or "course"."""
        hole = self.hole(plain)
        if hole is not None and 1 <= hole <= self.holes:
            return str(hole)
        return self._loops.named(plain) or _EVERYTHING

    def loop(self, plain: str) -> str | None:
        """The loop that is named, by its id."""
        return self._loops.named(plain)

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


def club_groups(knowledge: Knowledge, languages: Iterable[Language]) -> Mapping[Language, Groups]:
    """The club's own names, in plain words, as groups for the rules: its events, the parts of its course, its people and its lists.
    People say the names of one language in the other, so that both have all.
    """
    course = [name for loop in knowledge.course.loops for name in (loop.name.en, loop.name.fr, *loop.also_called)]
    groups = {
        "event": [name for event in knowledge.events for name in (event.name.en, event.name.fr, *event.also_called)],
        "loop": course,
        "list": [name for one in knowledge.lists for name in (one.name.en, one.name.fr, *one.also_called)],
        "meet": [
            place for event in knowledge.events for meet in (event.meet.en, event.meet.fr) for place in _told(meet)
        ],
        "person": [person.first_name for person in knowledge.people],
    }
    plain = {group: tuple(dict.fromkeys(" ".join(words_of(name)) for name in names)) for group, names in groups.items()}
    filled = {group: tuple(name for name in names if name) or (_NO_NAME,) for group, names in plain.items()}
    return dict.fromkeys(languages, filled)


def _told(meet: str) -> tuple[str, ...]:
    """A meeting place by its name without what stands before it, and by each of its words that tells it."""
    words = words_of(meet)
    telling = [place for place, word in enumerate(words) if len(word) >= _TELLING]
    return (" ".join(words[telling[0] :]), *(words[place] for place in telling)) if telling else ()


# Letters of a word that tells a place.
_TELLING = 4
# What nobody writes, for a club that has no such thing.
_NO_NAME = "0x0"
