"""The club's own people: what waits for their codes, whose phone takes no orders, whose turn it is, and the record of what they did."""

from dataclasses import dataclass

from clubbot.model.club import DutyDay, Person, Retired, Role, Swap
from clubbot.model.deeds import Draft


@dataclass(frozen=True, slots=True, kw_only=True)
class OpenDraft:
    """A deed of the sender waits for its code; one that waited before is dropped."""

    draft: Draft


@dataclass(frozen=True, slots=True, kw_only=True)
class Propose:
    """Somebody else is shown what they are asked to agree to, with the code. `asks_consent` where the phone is none of the club's yet: one
    that has opted out is not texted.
    """

    number: str
    draft: Draft
    text: str
    asks_consent: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class TryCode:
    """A wrong code came from the sender's phone."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CloseDraft:
    """The deed that waited is done, or dropped; with `proposal` the one that somebody else has put to the sender."""

    proposal: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Suspend:
    """NOT ME: nothing but holding play is taken from the sender's phone until a code brings it back; from the phone with that `number` until
    the organiser does, where it is suspended `by` somebody else. What `person` was written down to have answered is not looked at again.
    """

    person: str
    number: str | None = None
    by: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class BringBack:
    """The sender's phone, or the one with that number, may do again what its roles allow."""

    number: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class KeepPerson:
    """Somebody of the club as they are from now on, whatever the files say."""

    person: Person


@dataclass(frozen=True, slots=True, kw_only=True)
class KeepRoles:
    """Somebody of the club has these roles from now on, whatever the files say."""

    person: str
    roles: tuple[Role, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class RetirePerson:
    """Somebody is none of the club's people any more; what waits for a code on their phone is dropped."""

    retired: Retired


@dataclass(frozen=True, slots=True, kw_only=True)
class KeepDuty:
    """Somebody has all turns of duty on this day; what was swapped of it before no longer holds."""

    on: DutyDay


@dataclass(frozen=True, slots=True, kw_only=True)
class SwapDuty:
    """Somebody takes somebody's turn."""

    swap: Swap


@dataclass(frozen=True, slots=True, kw_only=True)
class Record:
    """What somebody of the club did, kept for good."""

    person: str
    what: str


ClubEffect = (
    OpenDraft
    | Propose
    | TryCode
    | CloseDraft
    | Suspend
    | BringBack
    | KeepPerson
    | KeepRoles
    | RetirePerson
    | KeepDuty
    | SwapDuty
    | Record
)
