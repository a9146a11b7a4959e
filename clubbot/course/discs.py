"""Lost discs and found ones: how well two reports speak of the same one."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from itertools import combinations

from clubbot.course.disc_texts import plain
from clubbot.course.disc_words import DiscWords

# The weights are chosen by hand and by sense, not fitted to anything. What speaks for a pair is added up as chances
# of being wrong are multiplied: 1 - (1 - a)(1 - b)... ; what speaks against it is a factor below 1.
SAME_COLOUR = 0.5  # many discs are red: alone it must not be enough
OTHER_SHADE = 0.3  # dark blue against light blue: light and memory change a shade, so less, not nothing
NEAR_COLOUR = 0.3  # turquoise against blue: two people name a colour in between differently
SAME_LOOK = 0.35  # glow, swirled, neon: rarer than a colour, but said by few
SAME_KIND = 0.3  # there are only three kinds
SAME_NAME = 0.9  # nearly proof; not quite, since a mould's name is read as a name too
SAME_INITIALS = 0.6  # "JB" against "Jean Boucher": likely, but initials are shared by many
SAME_NAME_OF_SEVERAL = 0.3  # a word in common while each names others: the mould is the same, the owner perhaps not
SAME_HOLE = 0.35  # where the loser looked is where it lies, more often than not
NEXT_HOLE = 0.2  # a stray throw lies on the neighbour's fairway, and one disc is left behind a hole early
OTHER_KIND = 0.3  # a factor: strong, since two red discs are told apart by little else
OTHER_KIND_SAME_NAME = 0.7  # a factor: who finds a disc may not know a putter from a driver, but can read a name
OTHER_NAMES = 0.5  # a factor: names that differ; not less, because one may give the mould and one the owner
FAR_HOLE = 0.8  # a factor, mild: people are wrong about holes, and carry discs along
# A colour and one thing more, or a name. A colour alone stays below, and so do kind and hole without a colour.
ENOUGH = 0.6
# The club keeps what is found that long ("Lost and found" of the demo club); older reports are over.
KEPT = timedelta(days=60)


@dataclass(frozen=True, slots=True)
class DiscReport:
    """A disc lost or found: its number, the hole if one was named, its words, and when it was told."""

    number: int
    hole: int | None
    words: DiscWords
    at: datetime


# Only the colours in between, which one calls this and another that. Anything else that differs is a conflict.
_NEAR = frozenset(
    frozenset(pair.split("-"))
    for pair in (
        *("turquoise-blue", "turquoise-green", "lime-green", "lime-yellow", "coral-orange", "coral-pink"),
        *("magenta-pink", "magenta-purple", "gold-yellow", "clear-white", "beige-white", "beige-brown", "grey-white"),
    )
)


def likeness(lost: DiscReport, found: DiscReport) -> float:
    """How well two reports speak of one disc, 0 to 1; 0 where the lost one was told later, or more than 60 days before.

    Only the times have a direction: the first report is the earlier one. For somebody who reports a loss after the disc
    was handed in, pass the found report as `lost` and the new one as `found`.
    """
    waited = found.at.astimezone(UTC) - lost.at.astimezone(UTC)
    if not timedelta(0) <= waited <= KEPT or _empty(lost.words) or _empty(found.words):
        return 0.0
    colour = _colour_support(lost.words.colours, found.words.colours)
    if colour is None:
        return 0.0
    name, against = _name_support(lost.words.names, found.words.names)
    wrong = (1 - colour) * (1 - name)
    if lost.words.kind and found.words.kind:
        if lost.words.kind == found.words.kind:
            wrong *= 1 - SAME_KIND
        else:
            against *= OTHER_KIND_SAME_NAME if name >= SAME_NAME else OTHER_KIND
    if lost.hole is not None and found.hole is not None:
        apart = abs(lost.hole - found.hole)
        wrong *= 1 - (SAME_HOLE if apart == 0 else NEXT_HOLE if apart == 1 else 0)
        against *= FAR_HOLE if apart > 1 else 1
    return (1 - wrong) * against


def fitting(found: DiscReport, lost: Sequence[DiscReport], at_least: float = ENOUGH) -> list[DiscReport]:
    """The lost discs that the found one may be, best first, and of equals the one lost last.

    The other way round it takes a new loss as `found` and the discs that were handed in before it as `lost`.
    """
    scored = [(likeness(one, found), one) for one in lost]
    good = [(score, one) for score, one in scored if score > 0 and score >= at_least]
    return [one for _, one in sorted(good, key=lambda pair: (-pair[0], -pair[1].at.timestamp(), pair[1].number))]


def _empty(words: DiscWords) -> bool:
    return not (words.colours or words.kind or words.names)


def _colour_support(ours: frozenset[str], theirs: frozenset[str]) -> float | None:
    """What the colours say for the pair; None where they conflict. A look ("glow") conflicts with nothing."""
    looks = {_look(one) for one in ours} & {_look(one) for one in theirs} - {None}
    look = SAME_LOOK if looks else 0.0
    pairs = [(one, other) for one in ours for other in theirs if _hue(one) and _hue(other)]
    if not pairs:
        return look
    hue = max(_pair_support(one, other) for one, other in pairs)
    return 1 - (1 - hue) * (1 - look) if hue else None


def _pair_support(one: str, other: str) -> float:
    hues = {_hue(one), _hue(other)}
    if len(hues) == 1:
        shades = {one.split()[0], other.split()[0]} & {"dark", "light", "neon"}
        return OTHER_SHADE if "dark" in shades and len(shades) > 1 else SAME_COLOUR
    return NEAR_COLOUR if hues in _NEAR else 0.0


def _hue(colour: str) -> str | None:
    last = colour.split()[-1]
    return None if last in {"glow", "swirled", "neon"} else last


def _look(colour: str) -> str | None:
    first = colour.split()[0]
    return first if first in {"glow", "swirled", "neon"} else None


def _name_support(ours: frozenset[str], theirs: frozenset[str]) -> tuple[float, float]:
    """What the names say for the pair, and the factor against it."""
    one, other = {plain(name) for name in ours}, {plain(name) for name in theirs}
    if not one or not other:
        return 0.0, 1.0
    shared = one & other
    if shared and (shared in (one, other)):
        return SAME_NAME, 1.0
    if _initials_fit(one - shared, other - shared) or _initials_fit(other - shared, one - shared):
        return SAME_INITIALS, 1.0
    return (SAME_NAME_OF_SEVERAL if shared else 0.0), OTHER_NAMES


def _initials_fit(short: set[str], full: set[str]) -> bool:
    """Whether "jb" stands for two of the full names; in any order, since a set has none."""
    return any(
        sorted(name) == sorted(word[0] for word in words)
        for name in short
        if 2 <= len(name) <= 3 and name.isalpha()
        for words in combinations([word for word in full if len(word) > 1], len(name))
    )
