"""What happens only once the code that was shown comes back; each is kept as data until then."""

from dataclasses import dataclass, field
from datetime import date, datetime, time
from typing import Literal

from clubbot.model.club import ClosureKind, Person, Role
from clubbot.model.messages import Language, Said
from clubbot.model.orders import Audience


@dataclass(frozen=True, slots=True, kw_only=True)
class CloseDeed:
    """Close the course, a loop or a hole, and the parts in `also`, each by itself. `at_once`: from when it is confirmed, whatever the clock says
    then; `since` is when it was ordered.
    """

    what: str
    since: datetime
    until: datetime | None
    reason: Said
    kind: ClosureKind
    also: tuple[str, ...] = ()
    at_once: bool = False
    deed: Literal["close"] = "close"


@dataclass(frozen=True, slots=True, kw_only=True)
class ReopenDeed:
    """End the closures with these numbers; `hold` where all of them are holds of play."""

    closures: tuple[int, ...]
    what: str
    hold: bool = False
    deed: Literal["reopen"] = "reopen"


@dataclass(frozen=True, slots=True, kw_only=True)
class CallOffDeed:
    """Call a day of an event off; of one with a single list for all its days all of them, unless it is `only` this one."""

    event: str
    day: date
    reason: Said
    only: bool = False
    deed: Literal["call off"] = "call off"


@dataclass(frozen=True, slots=True, kw_only=True)
class CallOnDeed:
    """A day of an event that was called off is held after all."""

    event: str
    day: date
    deed: Literal["call on"] = "call on"


@dataclass(frozen=True, slots=True, kw_only=True)
class MoveDeed:
    """A day of an event begins, and ends, at another hour; on another day where it is `moved_to` one, at another place where it has a `meet`."""

    event: str
    day: date
    starts: time
    ends: time | None
    moved_to: date | None = None
    meet: Said | None = None
    deed: Literal["move"] = "move"


@dataclass(frozen=True, slots=True, kw_only=True)
class AddEventDeed:
    """An event of one day is added to those of the files."""

    name: str
    day: date
    starts: time
    meet: Said
    places: int | None
    price: int
    deed: Literal["add event"] = "add event"


@dataclass(frozen=True, slots=True, kw_only=True)
class SuspendDeed:
    """Nothing but holding play is taken from somebody's phone any more."""

    person: str
    deed: Literal["suspend phone"] = "suspend phone"


@dataclass(frozen=True, slots=True, kw_only=True)
class RestoreDeed:
    """A phone that somebody suspended takes orders again."""

    person: str
    deed: Literal["restore phone"] = "restore phone"


@dataclass(frozen=True, slots=True, kw_only=True)
class RosterDeed:
    """Somebody of the club as they are from now on: with another number, or new where they `join`."""

    person: Person
    joins: bool
    deed: Literal["roster"] = "roster"


@dataclass(frozen=True, slots=True, kw_only=True)
class JoinDeed:
    """Somebody joins the club's people, once the phone with that number says yes; the organiser who `asked_by` has sent the code."""

    person: Person
    asked_by: str
    deed: Literal["join"] = "join"


@dataclass(frozen=True, slots=True, kw_only=True)
class RetireDeed:
    """Somebody is none of the club's people any more."""

    person: str
    deed: Literal["retire"] = "retire"


@dataclass(frozen=True, slots=True, kw_only=True)
class RolesDeed:
    """Roles change hands: each of these people (ids) has these roles from then on. `role` is the one that it is about, `person` whose order
    it concerns first.
    """

    person: str
    role: Role
    roles: tuple[tuple[str, tuple[Role, ...]], ...]
    deed: Literal["roles"] = "roles"


@dataclass(frozen=True, slots=True, kw_only=True)
class DutyDeed:
    """Somebody is on duty on these days, instead of whoever has the turns on the roster. `agree`: it is asked of that person, who says yes."""

    person: str
    days: tuple[date, ...]
    asked_by: str
    agree: bool
    deed: Literal["duty"] = "duty"


@dataclass(frozen=True, slots=True, kw_only=True)
class TellDeed:
    """Tell many people these words. `safety` may pass the quiet hours to those who come that day."""

    audience: Audience
    event: str | None
    day: date | None
    words: Said
    french_missing: bool
    safety: bool = False
    deed: Literal["tell"] = "tell"


@dataclass(frozen=True, slots=True, kw_only=True)
class SignUpDeed:
    """Put people down for a day of an event by their names, a place each."""

    event: str
    day: date
    names: tuple[str, ...]
    deed: Literal["sign up others"] = "sign up others"


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """A line of the list of an event day: the `key` it is kept under, and who it is for."""

    key: str = field(repr=False)
    name: str = field(repr=False)
    people: int = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class TakeOffDeed:
    """Take these lines off the list of a day of an event."""

    event: str
    day: date
    lines: tuple[Line, ...]
    deed: Literal["take off"] = "take off"


@dataclass(frozen=True, slots=True, kw_only=True)
class TellOneDeed:
    """Tell one person these words."""

    number: str = field(repr=False)
    name: str = field(repr=False)
    language: Language
    words: str
    deed: Literal["tell one"] = "tell one"


@dataclass(frozen=True, slots=True, kw_only=True)
class WhichDeed:
    """One of these, which is asked: each with what it is called. Done by no code; the one that is picked is shown with its own."""

    name: str
    options: tuple[TakeOffDeed | TellOneDeed, ...]
    labels: tuple[str, ...]
    deed: Literal["which one"] = "which one"


@dataclass(frozen=True, slots=True, kw_only=True)
class TeachDeed:
    """From now on who asks so gets the answer of a known topic, or, where there is none, this answer."""

    topic: str | None
    asked: str
    language: Language
    answer: str | None
    taught_by: str
    deed: Literal["teach"] = "teach"


@dataclass(frozen=True, slots=True, kw_only=True)
class ForgetDeed:
    """What was taught under that number is taken back."""

    number: int
    deed: Literal["forget"] = "forget"


@dataclass(frozen=True, slots=True, kw_only=True)
class MatchDeed:
    """The disc of one report is that of the other: the two people are put in touch."""

    one: int
    other: int
    deed: Literal["match"] = "match"


@dataclass(frozen=True, slots=True, kw_only=True)
class DoneDeed:
    """A question is closed without a word to the asker."""

    number: int
    deed: Literal["done"] = "done"


@dataclass(frozen=True, slots=True, kw_only=True)
class GoOnSendingDeed:
    """What was held goes."""

    deed: Literal["go on sending"] = "go on sending"


@dataclass(frozen=True, slots=True, kw_only=True)
class SwapDeed:
    """Somebody takes a turn on duty: `giver` is who has it until now, `instead_of` whose it is on the roster, `agree` who must still say yes
    (ids of people), the one who is asked now first; `also` are further days with whose turns these are on the roster.
    """

    day: date
    instead_of: str
    giver: str
    taker: str
    asked_by: str
    agree: tuple[str, ...]
    also: tuple[tuple[date, str], ...] = ()
    deed: Literal["swap"] = "swap"


@dataclass(frozen=True, slots=True, kw_only=True)
class StopTextsDeed:
    """A person of the club wants no more texts; in these words."""

    words: str
    deed: Literal["stop texts"] = "stop texts"


@dataclass(frozen=True, slots=True, kw_only=True)
class BringBackDeed:
    """After NOT ME: what the phone may do is given back to it."""

    deed: Literal["bring back"] = "bring back"


Deed = (
    CloseDeed
    | ReopenDeed
    | CallOffDeed
    | CallOnDeed
    | MoveDeed
    | AddEventDeed
    | SuspendDeed
    | RestoreDeed
    | RosterDeed
    | JoinDeed
    | RetireDeed
    | RolesDeed
    | DutyDeed
    | TellDeed
    | SignUpDeed
    | TakeOffDeed
    | TellOneDeed
    | WhichDeed
    | TeachDeed
    | ForgetDeed
    | MatchDeed
    | DoneDeed
    | GoOnSendingDeed
    | SwapDeed
    | StopTextsDeed
    | BringBackDeed
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Draft:
    """A deed that waits for its code. `earlier` are the codes that were shown for what stood in its place before: they do nothing, and are no
    wrong tries.
    """

    code: str
    deed: Deed
    until: datetime
    earlier: tuple[str, ...] = ()
