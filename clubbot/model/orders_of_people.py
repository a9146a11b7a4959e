"""Orders about the club's own people: their phones, who joins and retires, their roles, who is on duty and who takes whose turn."""

from dataclasses import dataclass

from clubbot.model.club import Role
from clubbot.model.intents import When


@dataclass(frozen=True, slots=True)
class TakeDuty:
    """Somebody takes somebody's turn on a day: `taker` and `instead_of` are ids of people, None for the sender."""

    taker: str | None
    instead_of: str | None
    when: When | None


@dataclass(frozen=True, slots=True)
class SuspendPhone:
    """No orders are taken from somebody's phone (a person's id) any more; None for the sender's own."""

    person: str | None


@dataclass(frozen=True, slots=True)
class RestorePhone:
    """A phone that was suspended takes orders again."""

    person: str


@dataclass(frozen=True, slots=True)
class NewNumber:
    """Somebody of the club has another number, as it was written; or, where `person` is None, somebody of that name joins as a helper."""

    person: str | None
    name: str
    number: str
    roles: tuple[Role, ...] = ()
    unused: str = ""


@dataclass(frozen=True, slots=True)
class Retire:
    """Somebody is no longer one of the club's people. `said` are the words that the order did not use, in one of which the name stands: who
    joined by text is known to no rule. `sure` where it is said in the imperative, and not as a bare fact.
    """

    said: tuple[str, ...]
    sure: bool


@dataclass(frozen=True, slots=True)
class GiveRole:
    """Somebody has a role from now on: `moves` it from who had it, or has it beside them. `said` and `sure` as in Retire."""

    said: tuple[str, ...]
    role: Role
    moves: bool
    sure: bool


@dataclass(frozen=True, slots=True)
class TakeRole:
    """Somebody no longer has a role. `said` and `sure` as in Retire."""

    said: tuple[str, ...]
    role: Role
    sure: bool


@dataclass(frozen=True, slots=True)
class PutOnDuty:
    """Somebody is on duty on these days, None where no day is named. `said` and `sure` as in Retire."""

    said: tuple[str, ...]
    days: tuple[When, ...] | None
    sure: bool


@dataclass(frozen=True, slots=True)
class AskToTake:
    """The sender asks somebody by name to take the sender's own turns: "Sam, could you take my thursday?". `said` are the words in one of which
    the name stands, `days` None where no day is told.
    """

    said: tuple[str, ...]
    days: tuple[When, ...] | None
