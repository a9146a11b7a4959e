"""The names that ways of asking are filled with: "{league}" is what this club calls its league, "{loop.2}" its second loop, "{meet}" the
place where people meet. A club without such a thing has it told by what kind of thing it is.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import partial

from clubbot.model.club import EventRule, Loop
from clubbot.model.messages import LANGUAGES, Language
from clubbot.texting import patterns
from clubbot.understanding.mentions import KINDS, LOOPS

# What stands in a way of asking: a kind of event, "loop" or "meet", and which of its names or of the loops, counted from 1.
_PLACEHOLDER = patterns.compile(r"\{(?P<what>[a-z-]+)(?:\.(?P<which>\d))?\}")
_ARTICLE = patterns.compile(r"^(?:the |le |la |les |l['’])", patterns.IGNORECASE)

_LOOPS_AND_PLACE: Mapping[Language, Mapping[str, tuple[str, ...]]] = {
    "en": {"loop": LOOPS["en"], "meet": ("clubhouse",)},
    "fr": {"loop": LOOPS["fr"], "meet": ("chalet",)},
}
_IN_GENERAL: Mapping[Language, Mapping[str, tuple[str, ...]]] = {
    language: {**{topic: (_ARTICLE.sub("", kind),) for topic, kind in KINDS[language].items()}, **others}
    for language, others in _LOOPS_AND_PLACE.items()
}


@dataclass(frozen=True, slots=True)
class NamesSaid:
    """For each placeholder and language what it is filled with, one name after the other; nothing where it is told in general."""

    names: tuple[tuple[Language, str, tuple[str, ...]], ...] = ()

    def of(self, language: Language) -> Mapping[str, tuple[str, ...]]:
        """The names in one language, those in general where the club has none of its own."""
        own = {what: names for spoken, what, names in self.names if spoken == language}
        return {**_IN_GENERAL[language], **own}


def names_said(events: Sequence[EventRule], loops: Sequence[Loop]) -> NamesSaid:
    """What this club's people call its events, its loops, and the place where they meet."""
    found: list[tuple[Language, str, tuple[str, ...]]] = []
    for language in LANGUAGES:
        told: dict[str, tuple[str, ...]] = {}
        for event in events:
            if event.topic in _IN_GENERAL[language]:
                names = dict.fromkeys(name.casefold() for name in (event.name.to(language), *event.also_called))
                told.setdefault(event.topic, tuple(names))
            told.setdefault("meet", (_ARTICLE.sub("", event.meet.to(language)),))
        if loops:
            told["loop"] = tuple(loop.name.to(language).casefold() for loop in loops)
        found += [(language, what, names) for what, names in told.items()]
    return NamesSaid(tuple(found))


def filled(text: str, names: Mapping[str, tuple[str, ...]]) -> str:
    """A way of asking with names put in; of fewer names than it counts to, they are counted through again."""
    return _PLACEHOLDER.sub(partial(_name, names=names), text) if "{" in text else text


def _name(found: patterns.Match, names: Mapping[str, tuple[str, ...]]) -> str:
    meant = names[found["what"]]
    return meant[(int(found["which"] or 1) - 1) % len(meant)]
