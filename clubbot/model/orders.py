"""What somebody of the club may tell clubbot to do by text: to the course, to events, to many people at once, to the questions that wait."""

from dataclasses import dataclass
from datetime import datetime, time
from typing import Literal

from clubbot.model.intents import When
from clubbot.model.messages import Language
from clubbot.model.orders_by_name import SignInOthers, SignUpOthers, TakeOff, TellOne
from clubbot.model.orders_of_people import (
    AskToTake,
    GiveRole,
    NewNumber,
    PutOnDuty,
    RestorePhone,
    Retire,
    SuspendPhone,
    TakeDuty,
    TakeRole,
)
from clubbot.model.seen import DoneReport, ListReports, ShowOrders, ShowPeople, ShowSent, UndoneReport

AudienceKind = Literal[
    "everyone", "list", "event", "helpers", "lately", "came", "missed", "called", "by name", "on lists", "sent", "month"
]


@dataclass(frozen=True, slots=True)
class Close:
    """The course, a loop (its id) or a hole (its number) is closed, from `since` (None: now) until `until` (None: until further notice).
    `also` are further parts, `unused` what the text says besides and was not taken up, as it was written.
    """

    what: str
    since: datetime | None
    until: datetime | None
    reason: str
    also: tuple[str, ...] = ()
    unused: str = ""


@dataclass(frozen=True, slots=True)
class Reopen:
    """It is open again; None where the text does not say what, so that it is whatever is closed. `also` are further parts, `hold` is play
    that was on hold and nothing else; `later` where it was to be opened at an hour, which stands in `unused` with all that was not taken up.
    """

    what: str | None
    also: tuple[str, ...] = ()
    hold: bool = False
    later: bool = False
    unused: str = ""


@dataclass(frozen=True, slots=True)
class HoldPlay:
    """Thunder: everybody off the course at once."""


@dataclass(frozen=True, slots=True)
class NoteOn:
    """Something to know about a part of the course that stays open: "hole 11 has a temporary basket"."""

    what: str
    words: str


@dataclass(frozen=True, slots=True)
class CallOff:
    """A day of an event is called off: as the text names it."""

    event: str | None
    when: When | None
    reason: str
    unused: str = ""
    sure: bool = True


@dataclass(frozen=True, slots=True)
class Audience:
    """Who is told: everyone on any list, a list (its id), who is in for an event day, the club's own people, who wrote lately about today,
    or who came to the last event day, or was in for it and did not come. Beside these, whoever is `called` by one of the `names`, the
    lines "by name" of an event day, those called so that are "on lists" of coming days, what was "sent" to many, and what went out this "month":
    looked up, and told nothing.
    """

    kind: AudienceKind
    list_id: str | None = None
    event: str | None = None
    when: When | None = None
    names: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Tell:
    """Many people are told these words."""

    audience: Audience
    words: str


@dataclass(frozen=True, slots=True)
class AddLanguage:
    """The same words in another language, for the text that is being prepared: "fr: ..."."""

    language: Language
    words: str


@dataclass(frozen=True, slots=True)
class Confirm:
    """Yes, with the code that was shown. `alone` where the text is hardly more than that, so that it can be nothing else."""

    code: str
    alone: bool = True


@dataclass(frozen=True, slots=True)
class HoldSending:
    """What has not gone yet stays."""


@dataclass(frozen=True, slots=True)
class GoOnSending:
    """What was held goes."""


@dataclass(frozen=True, slots=True)
class PassOn:
    """A question goes to somebody else: the one named (a person's id), else the next; None for the only one that is open."""

    number: int | None
    to: str | None


@dataclass(frozen=True, slots=True)
class Done:
    """A question is settled without a further word; None for the only one."""

    number: int | None


@dataclass(frozen=True, slots=True)
class Teach:
    """What was answered to a question is to be known from now on; None for the last one answered."""

    number: int | None


@dataclass(frozen=True, slots=True)
class Forget:
    """What was taught under that number is taken back."""

    number: int


@dataclass(frozen=True, slots=True)
class Match:
    """The disc of one report is that of the other: D7 and D3."""

    one: int
    other: int


@dataclass(frozen=True, slots=True)
class ListQuestions:
    """The questions that wait are to be shown, a few at a time: those of this page."""

    page: int = 1


@dataclass(frozen=True, slots=True)
class CallOn:
    """A day of an event that was called off is held after all; None where the text does not say which."""

    event: str | None
    when: When | None
    unused: str = ""


@dataclass(frozen=True, slots=True)
class MoveHour:
    """A day of an event begins at another hour. `sure` where morning or evening was said; else it is the one nearer to the usual hour."""

    event: str | None
    when: When | None
    starts: time
    sure: bool = False
    unused: str = ""


@dataclass(frozen=True, slots=True)
class MoveElsewhere:
    """A day of an event (`when`) is held on the day `to`, or at another `place` as it was written, or both; with the hour where one is said."""

    event: str | None
    when: When | None
    to: When | None = None
    place: str = ""
    starts: time | None = None
    sure: bool = False


@dataclass(frozen=True, slots=True)
class AddEvent:
    """An event of one day that no file has: its name, day, hour, place, places and price as they were written; None where they were not."""

    name: str
    when: When
    starts: time | None
    sure: bool
    place: str = ""
    places: int | None = None
    price: int | None = None


@dataclass(frozen=True, slots=True)
class ShowStatus:
    """How things stand, in one text: the course, holds, today's events, open questions."""


@dataclass(frozen=True, slots=True)
class ShowReach:
    """How many phones a text to these people would reach."""

    audience: Audience


@dataclass(frozen=True, slots=True)
class ShowDuty:
    """Who is on duty, now or on a day."""

    when: When | None = None
    all: bool = False  # "duty roster": a week of it


# Why an order that was heard is not taken up.
Doubt = Literal[
    "condition",
    "exception",
    "two times",
    "a time",
    "unknown part",
    "holes or hours",
    "which part",
    "which hour",
    "which day",
    "which event",
    "new event",
    "otherwise",
    "audience",
    "message",
    "names",
    "not all",
    "new helper",
]


@dataclass(frozen=True, slots=True)
class Unclear:
    """An order that was heard and not wholly understood: nothing of it is done. `words` are those that it hangs on."""

    why: Doubt
    words: str = ""


Beyond = Literal[
    "no-shows",
    "their texts",
    "new event",
    "other place",
    "roster",
    "nothing to cancel",
]


@dataclass(frozen=True, slots=True)
class NotByText:
    """Something to be done that is not done by text: it is said how it is done instead."""

    what: Beyond


# What one of the roles of the sender must allow.
RoleOrder = (
    Close
    | Reopen
    | HoldPlay
    | NoteOn
    | CallOff
    | Tell
    | TellOne
    | SignUpOthers
    | TakeOff
    | SignInOthers
    | AddLanguage
    | HoldSending
    | GoOnSending
    | PassOn
    | Done
    | Teach
    | Forget
    | Match
    | ListQuestions
    | ListReports
    | DoneReport
    | UndoneReport
    | CallOn
    | MoveHour
    | MoveElsewhere
    | AddEvent
    | SuspendPhone
    | RestorePhone
    | NewNumber
    | Retire
    | GiveRole
    | TakeRole
    | PutOnDuty
    | ShowStatus
    | ShowReach
    | ShowDuty
    | ShowOrders
    | ShowSent
    | ShowPeople
    | Unclear
    | NotByText
)

# A code is its own proof, and a turn is swapped by the word of those whose it is.
Order = RoleOrder | TakeDuty | AskToTake | Confirm
