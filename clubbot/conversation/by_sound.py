"""How many come by the words of a text and by its sound: where both say the same it is taken, where they differ it is asked."""

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass, replace

from clubbot.conversation.party import in_all, names_who
from clubbot.model.intents import Party, Rsvp
from clubbot.model.rsvps import Rsvp as Kept
from clubbot.rsvps.guests import Now, Unsure, changed
from clubbot.understanding import thresholds
from clubbot.understanding.encoder import MOST_COUNTED


@dataclass(frozen=True, slots=True)
class Sounds:
    """The probability of each number of all who come, and that there are more or fewer than nobody can tell. What is left is that a text says
    nothing of it.
    """

    totals: Mapping[int, float]
    open: float

    @property
    def best(self) -> tuple[int, float]:
        """The likeliest number, and its probability."""
        return max(self.totals.items(), key=lambda item: item[1], default=(0, 0.0))


def with_sound(intent: Rsvp, mine: Kept) -> tuple[Rsvp, int | None]:
    """The answer with the number that it sounds like where its words tell none; and the number to be asked about where its words tell
    another one, 0 where only how many in all can be asked.
    """
    if not intent.heard or intent.confirmed or intent.stand_in is not None:
        return intent, None
    sounds = _sounds(intent, mine)
    number, chance = sounds.best
    words = _by_words(intent, mine)
    if words is None:
        if intent.kind == "rsvp-no":
            return _a_part(intent, number, chance, mine), None
        if chance >= thresholds.COUNT_HEARD:
            return _so_many(intent, number), None
        unclear = sounds.open >= thresholds.COUNT_OPEN and not mine.is_down
        return (replace(intent, party=Party(unclear=True)) if unclear else intent), None
    if words > MOST_COUNTED or sounds.totals.get(words, 0.0) >= thresholds.COUNT_AGREES:
        return intent, None
    if chance >= thresholds.COUNT_TRUSTED:
        return intent, number
    return intent, 0 if sounds.open >= thresholds.COUNT_HEARD else None


def _so_many(intent: Rsvp, number: int) -> Rsvp:
    return replace(intent, party=Party(total=number))


def _a_part(intent: Rsvp, number: int, chance: float, mine: Kept) -> Rsvp:
    """A no that sounds like one of some of a party leaves the others in: "the two lads bailed"."""
    part = mine.is_down and 0 < number < mine.people and chance >= thresholds.COUNT_HEARD
    return replace(_so_many(intent, number), kind="rsvp-change") if part else intent


def _by_words(intent: Rsvp, mine: Kept) -> int | None:
    """The number in all that the words of a text make; None where they tell none."""
    if intent.party.unclear:
        return None
    if names_who(intent) and mine.is_down:
        found = changed(mine.who, mine.people, intent.said)
        return found.people if isinstance(found, Now | Unsure) else None
    if intent.kind == "rsvp-no" or intent.party == Party():
        return None
    return in_all(intent, mine)


def _sounds(intent: Rsvp, mine: Kept) -> Sounds:
    before = mine.people if mine.is_down else 0
    totals: dict[int, float] = defaultdict(float)
    unclear = 0.0
    for count, chance in intent.heard:
        sign, figure = count[0], count[1:]
        if sign == "?":
            unclear = chance
        elif sign == "=":
            totals[int(figure)] += chance
        elif before or sign == "+":
            totals[max(0, (before or 1) + int(sign + figure))] += chance
    return Sounds(totals, unclear)
