"""What we ask back with where a text may mean several things."""

from collections.abc import Iterable
from dataclasses import dataclass

from clubbot.model.rsvps import DayId


@dataclass(frozen=True, slots=True)
class Choice:
    """One thing that a text may mean: an intent by its id, or "here"; on one event day or of one list, where that is what was asked."""

    intent: str
    on: DayId | None = None
    list_id: str | None = None

    @property
    def of_a_kind(self) -> bool:
        """Whether it is an intent and nothing more, which somebody who says "the other one" may mean later."""
        return self.on is None and self.list_id is None


# The one choice of the question whether all that is kept of the sender is to be erased.
ERASE = Choice("erase")


def any_of(intents: Iterable[str]) -> tuple[Choice, ...]:
    """Wants to choose between, by their ids."""
    return tuple(Choice(intent) for intent in intents)
