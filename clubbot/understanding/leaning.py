"""Texts that make sense only after something was said: "how much?", "and for kids", "what about sunday", "pis la boucle du haut?".

Words of courtesy and of joining on aside, a text leans where all of it is a bare question ("where is that") or a bare detail (a day, an
hour, an event, a part of the course), as rules/*/follow_ups.toml have them. Anything longer stands for itself.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Literal, get_args
from zoneinfo import ZoneInfo

from clubbot.model.intents import When
from clubbot.understanding import dates
from clubbot.understanding.days import Days
from clubbot.understanding.holes import Holes
from clubbot.understanding.mentions import Mentions
from clubbot.understanding.noticing import Noticed
from clubbot.understanding.people import People
from clubbot.understanding.text import Word

# What a bare question asks of the thing that was spoken of.
Side = Literal[
    "cost",
    "where",
    "time",
    "arrive",
    "sign-up hour",
    "until",
    "long",
    "children",
    "level",
    "reduced",
    "rain",
    "winter",
    "sign-up",
    "dogs",
    "parking",
    "best",
    "why",
    "how",
]


@dataclass(frozen=True, slots=True, kw_only=True)
class Leaning:
    """A text that leans: the side it asks about, or the details that it names, or (`open`) a few words of its own after "and for".

    `following` is the one after what was spoken of. `number` is a bare one, "and 7": a hole after a hole. `asks` tells a question from a wish: "what about thursday" is one, "and thursday" need not be. `joined` where it begins with "and",
    "for" and the like.
    """

    side: Side | None = None
    event: str | None = None
    when: When | None = None
    place: str | None = None
    people: int | None = None
    holes: int | None = None
    number: int | None = None
    asks: bool = False
    joined: bool = False
    open: bool = False
    following: bool = False


_LONGEST = 9
_MOST_OPEN = 3
_SIDE = "side "
_SIDES: Mapping[str, Side] = {f"{_SIDE}{side}": side for side in get_args(Side)}
_COURSE = frozenset({"course", "parcours"})


def leaning(
    said: Noticed, mentions: Mentions, days: Days, people: Callable[[str], People], now: datetime, zone: ZoneInfo
) -> Leaning | None:
    """How a text leans on what was said before it; None where it stands for itself."""
    core = _core(said)
    if not core or len(core) > _LONGEST:
        return None
    joined, asks = said.says("joins"), "?" in said.text.written or said.says("asks the same")
    side = bare_question(said)
    if side is not None:
        return Leaning(side=side, asks=True, joined=joined)
    if said.says("the one after"):
        return Leaning(following=True, asks=True, joined=joined)
    return _details(said, core, mentions, days, people, asks, joined, now, zone) or _open(said, core)


def bare_question(said: Noticed) -> Side | None:
    """The side that a text asks about where it is nothing but that question."""
    return next((_SIDES[match.says] for match in said.matches if match.says in _SIDES), None)


def _core(said: Noticed) -> tuple[Word, ...]:
    """What the text says without courtesy, in the language that takes most of it away."""
    return min((said.core(language) for language in said.cores), key=len, default=())


def _details(
    said: Noticed,
    core: tuple[Word, ...],
    mentions: Mentions,
    days: Days,
    people: Callable[[str], People],
    asks: bool,
    joined: bool,
    now: datetime,
    zone: ZoneInfo,
) -> Leaning | None:
    """A text of nothing but a day, an hour, an event, a part of the course, a number of people or of holes to play."""
    if any(said.words(match)[0].start >= core[0].start for match in said.all("coming by itself")):
        return None
    rest = dates.plain_for_dates(said.text.said(core))
    if joined and rest.isdigit() and 1 <= int(rest) <= mentions.holes:
        return Leaning(number=int(rest), asks=asks, joined=True)
    told = {(word.start, word.form) for match in said.all("a detail") for word in said.words(match)}
    if any((word.start, word.form) not in told and not word.form[:1].isdigit() for word in core):
        return None
    without_event = mentions.without_event(rest)
    place = mentions.place(without_event)
    found = Leaning(
        event=mentions.event(rest),
        when=days.when(mentions.without_place(without_event), now, zone),
        place=place if place != "course" or _COURSE & set(rest.split()) else None,
        people=people(without_event).party.total,
        holes=Holes(days.marked).to_play(without_event, mentions.holes),
        asks=asks,
    )
    return None if found == Leaning(asks=asks) else found


def _open(said: Noticed, core: tuple[Word, ...]) -> Leaning | None:
    """ "and for seniors", "what about toilets": a few words that name something new."""
    few = len(core) <= _MOST_OPEN and all(word.form.isalpha() for word in core)
    return Leaning(open=True, asks=True) if few and said.says("names something new") else None
