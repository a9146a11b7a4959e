"""What everything that a person of the club may text needs before it is done: nothing, a code, or the other person's word. One table; an
order or a deed that is missing from it is a type error.

The rule behind it: a number can be forged, but the reply goes to the phone. So nothing that is kept, reaches more than one person, or
takes something from somebody happens on a text alone; what does happen at once is told to the phone that it is said to come from.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal, assert_never, get_args

from clubbot.model.deeds import (
    AddEventDeed,
    BringBackDeed,
    CallOffDeed,
    CallOnDeed,
    CloseDeed,
    Deed,
    DoneDeed,
    DutyDeed,
    ForgetDeed,
    GoOnSendingDeed,
    JoinDeed,
    MatchDeed,
    MoveDeed,
    ReopenDeed,
    RestoreDeed,
    RetireDeed,
    RolesDeed,
    RosterDeed,
    SignUpDeed,
    StopTextsDeed,
    SuspendDeed,
    SwapDeed,
    TakeOffDeed,
    TeachDeed,
    TellDeed,
    TellOneDeed,
    WhichDeed,
)
from clubbot.model.orders import (
    AddEvent,
    AddLanguage,
    CallOff,
    CallOn,
    Close,
    Confirm,
    Done,
    Forget,
    GiveRole,
    GoOnSending,
    HoldPlay,
    HoldSending,
    ListQuestions,
    Match,
    MoveElsewhere,
    MoveHour,
    NewNumber,
    NotByText,
    NoteOn,
    Order,
    PassOn,
    PutOnDuty,
    Reopen,
    RestorePhone,
    Retire,
    ShowDuty,
    ShowReach,
    ShowStatus,
    SuspendPhone,
    TakeDuty,
    TakeRole,
    Teach,
    Tell,
    Unclear,
)
from clubbot.model.orders_by_name import SignUpOthers, TakeOff, TellOne
from clubbot.model.seen import DoneReport, ListReports, ShowOrders, ShowSent, UndoneReport
from clubbot.people.roles import Permit

Need = Literal["nothing", "a code", "their yes"]
Doing = Literal[
    "close",
    "reopen",
    "note on the course",
    "hold play",
    "release play",
    "tell of the hold",
    "call off",
    "hold after all",
    "another hour",
    "another day or place",
    "new event",
    "tell people",
    "tell one person",
    "put people down",
    "take people off",
    "which of several",
    "add the other language",
    "hold sending",
    "go on sending",
    "answer an asker",
    "pass a question",
    "done with a question",
    "done with a report",
    "a report open again",
    "swap a turn",
    "teach",
    "forget",
    "match discs",
    "who is here, with names",
    "see what waits",
    "see how things stand",
    "not taken up",
    "drop what waits",
    "a code",
    "suspend a phone",
    "restore a phone",
    "new number or helper",
    "join the club's people",
    "retire somebody",
    "change a role",
    "go on duty",
    "put on duty",
    "NOT ME",
    "back after NOT ME",
    "STOP",
    "START",
]
DOINGS: tuple[Doing, ...] = get_args(Doing)


@dataclass(frozen=True, slots=True)
class Needed:
    """What something needs, what a role must allow for it (None where nobody is asked), and why it is so."""

    need: Need
    permit: Permit | None
    why: str


NEEDS: Mapping[Doing, Needed] = {
    "close": Needed("a code", "close and reopen", "everybody who asks is told"),
    "reopen": Needed("a code", "close and reopen", "sends people onto the course"),
    "note on the course": Needed("a code", "close and reopen", "everybody who asks is told"),
    "hold play": Needed("nothing", "hold play", "the safe direction, and it is urgent; telling people takes the code"),
    "release play": Needed("a code", "hold play", "sends people onto the course; who may hold may release"),
    "tell of the hold": Needed("a code", "hold play", "reaches everybody who is coming"),
    "call off": Needed("a code", "call off events", "everybody on the list is told"),
    "hold after all": Needed("a code", "call off events", "everybody on the list is told"),
    "another hour": Needed("a code", "call off events", "everybody on the list is told"),
    "another day or place": Needed("a code", "call off events", "everybody on the list is told"),
    "new event": Needed("a code", "call off events", "everybody who asks what is on is told"),
    "tell people": Needed("a code", "tell people", "reaches many"),
    "tell one person": Needed("a code", "tell people", "goes out in the club's name to whoever the phone chooses"),
    "put people down": Needed("a code", "sign people up", "is kept, and takes places"),
    "take people off": Needed("a code", "sign people up", "takes somebody's place; whose phone it was from is told"),
    "which of several": Needed("nothing", None, "nothing is done: the one that is picked is shown with its code"),
    "add the other language": Needed(
        "a code", "tell people", "only changes what waits, which is shown with a new code"
    ),
    "hold sending": Needed(
        "nothing", "tell people", "a wrong text to many is stopped in seconds; all who may tell people hear of it"
    ),
    "go on sending": Needed("a code", "tell people", "reaches many"),
    "answer an asker": Needed(
        "nothing", "answer questions", "one person; the phone is told the words, and NOT ME undoes it"
    ),
    "pass a question": Needed("nothing", "answer questions", "stays open with all who have it; the phone is told"),
    "done with a question": Needed("a code", "answer questions", "nobody would look at the question again"),
    "done with a report": Needed(
        "nothing",
        "close and reopen",
        "one person is thanked; the phone is told, and can undo it for a day, as NOT ME does",
    ),
    "a report open again": Needed("nothing", "close and reopen", "the safe direction"),
    "swap a turn": Needed("their yes", "swap duty", "somebody gets a duty, somebody is rid of one: both agree"),
    "teach": Needed("their yes", "answer questions", "is kept and told to many: the organiser agrees with a code"),
    "forget": Needed("a code", "answer questions", "an answer that was agreed to is gone"),
    "match discs": Needed("a code", "answer questions", "reaches two people and lets them write to each other"),
    "who is here, with names": Needed("nothing", "see names", "the reply goes to the phone alone"),
    "see what waits": Needed("nothing", "answer questions", "the reply goes to the phone alone"),
    "see how things stand": Needed("nothing", None, "the reply goes to the phone alone"),
    "not taken up": Needed("nothing", None, "nothing is done: what was not understood is said back"),
    "drop what waits": Needed("nothing", None, "the safe direction"),
    "a code": Needed("nothing", None, "is itself the proof; wrong ones are counted"),
    "suspend a phone": Needed("a code", "answer questions", "would silence somebody's orders"),
    "restore a phone": Needed(
        "a code", "answer questions", "gives a phone its orders back; who exactly may, see phones.py"
    ),
    "new number or helper": Needed("a code", "change people", "gives another phone what a role may do"),
    "join the club's people": Needed(
        "nothing", None, "a plain yes from the phone that the organiser's code has asked; what it may do takes codes"
    ),
    "retire somebody": Needed("a code", "change people", "takes a phone's orders away"),
    "change a role": Needed("a code", "change people", "changes what a phone may do"),
    "go on duty": Needed("their yes", "swap duty", "whoever gets the duty agrees; the organiser's code does it too"),
    "put on duty": Needed("a code", "change people", "somebody gets a duty, and everybody's questions"),
    "NOT ME": Needed("nothing", None, "the safe direction: it only takes away what the phone may do"),
    "back after NOT ME": Needed("a code", None, "gives the phone its orders back"),
    "STOP": Needed("a code", None, "would silence somebody's orders"),
    "START": Needed("nothing", None, "texts go to the phone alone"),
}


def doing(order: Order) -> Doing:
    """The line of the table that an order stands in."""
    match order:
        case Close() | Reopen() | NoteOn() | HoldPlay():
            return _to_the_course(order)
        case Tell():
            return "tell people"
        case TellOne() | SignUpOthers() | TakeOff():
            return _by_name(order)
        case AddLanguage():
            return "add the other language"
        case HoldSending():
            return "hold sending"
        case GoOnSending():
            return "go on sending"
        case PassOn():
            return "pass a question"
        case Done():
            return "done with a question"
        case TakeDuty():
            return "swap a turn"
        case Teach():
            return "teach"
        case Forget():
            return "forget"
        case Match():
            return "match discs"
        case ListQuestions() | ListReports():
            return "see what waits"
        case DoneReport():
            return "done with a report"
        case UndoneReport():
            return "a report open again"
        case ShowStatus() | ShowReach() | ShowDuty() | ShowOrders() | ShowSent():
            return "see how things stand"
        case CallOff() | CallOn() | MoveHour() | MoveElsewhere() | AddEvent():
            return _to_events(order)
        case SuspendPhone() | RestorePhone() | NewNumber():
            return _to_phones(order)
        case Retire() | GiveRole() | TakeRole() | PutOnDuty():
            return _to_people(order)
        case Unclear() | NotByText():
            return "not taken up"
        case Confirm():
            return "a code"
        case _:
            assert_never(order)


def _to_the_course(order: Close | Reopen | NoteOn | HoldPlay) -> Doing:
    match order:
        case Close():
            return "close"
        case Reopen(hold=True):
            return "release play"
        case Reopen():
            return "reopen"
        case NoteOn():
            return "note on the course"
        case HoldPlay():
            return "hold play"


def _by_name(order: TellOne | SignUpOthers | TakeOff) -> Doing:
    match order:
        case TellOne():
            return "tell one person"
        case SignUpOthers():
            return "put people down"
        case TakeOff():
            return "take people off"


def _to_events(order: CallOff | CallOn | MoveHour | MoveElsewhere | AddEvent) -> Doing:
    match order:
        case CallOff():
            return "call off"
        case CallOn():
            return "hold after all"
        case MoveHour():
            return "another hour"
        case MoveElsewhere():
            return "another day or place"
        case AddEvent():
            return "new event"


def _to_phones(order: SuspendPhone | RestorePhone | NewNumber) -> Doing:
    match order:
        case SuspendPhone():
            return "suspend a phone"
        case RestorePhone():
            return "restore a phone"
        case NewNumber():
            return "new number or helper"


def _to_people(order: Retire | GiveRole | TakeRole | PutOnDuty) -> Doing:
    match order:
        case Retire():
            return "retire somebody"
        case GiveRole() | TakeRole():
            return "change a role"
        case PutOnDuty():
            return "go on duty"


def permit_of(deed: Deed) -> Permit | None:
    """What a role must allow for a deed that its code has come for."""
    match deed:
        case TeachDeed():
            return "approve teaching"  # whoever is asked to agree, not who asks
        case CloseDeed(kind="note"):
            return NEEDS["note on the course"].permit
        case CloseDeed():
            return NEEDS["close"].permit
        case ReopenDeed(hold=True):
            return NEEDS["release play"].permit
        case ReopenDeed():
            return NEEDS["reopen"].permit
        case CallOffDeed():
            return NEEDS["call off"].permit
        case CallOnDeed():
            return NEEDS["hold after all"].permit
        case MoveDeed():
            return NEEDS["another hour"].permit
        case AddEventDeed():
            return NEEDS["new event"].permit
        case SuspendDeed():
            return NEEDS["suspend a phone"].permit
        case RestoreDeed():
            return NEEDS["restore a phone"].permit
        case RosterDeed() | RetireDeed() | RolesDeed() | JoinDeed() | DutyDeed():
            return _for_people(deed)
        case TellDeed(safety=True):
            return NEEDS["tell of the hold"].permit
        case TellDeed():
            return NEEDS["tell people"].permit
        case TellOneDeed():
            return NEEDS["tell one person"].permit
        case SignUpDeed() | TakeOffDeed():
            return NEEDS["put people down"].permit
        case ForgetDeed():
            return NEEDS["forget"].permit
        case MatchDeed():
            return NEEDS["match discs"].permit
        case DoneDeed():
            return NEEDS["done with a question"].permit
        case GoOnSendingDeed():
            return NEEDS["go on sending"].permit
        case SwapDeed() | WhichDeed():
            return None  # whoever is asked agrees for themselves; which of several is meant does nothing yet
        case StopTextsDeed():
            return NEEDS["STOP"].permit
        case BringBackDeed():
            return NEEDS["back after NOT ME"].permit
        case _:
            assert_never(deed)


def _for_people(deed: RosterDeed | RetireDeed | RolesDeed | JoinDeed | DutyDeed) -> Permit | None:
    match deed:
        case RosterDeed():
            return NEEDS["new number or helper"].permit
        case RetireDeed():
            return NEEDS["retire somebody"].permit
        case RolesDeed():
            return NEEDS["change a role"].permit
        case JoinDeed():
            return NEEDS["join the club's people"].permit
        case DutyDeed(agree=True):
            return None  # whoever is asked agrees for themselves
        case DutyDeed():
            return NEEDS["put on duty"].permit


def needs_as_table() -> str:
    """The table for reading: a line each."""
    widths = (
        max(map(len, DOINGS)) + 2,
        max(len(one) for one in get_args(Need)) + 2,
        max(len(one.permit or "-") for one in NEEDS.values()) + 2,
    )
    head = f"{'what is texted':<{widths[0]}}{'needs':<{widths[1]}}{'a role with':<{widths[2]}}because"
    lines = [
        f"{name:<{widths[0]}}{one.need:<{widths[1]}}{one.permit or '-':<{widths[2]}}{one.why}"
        for name, one in NEEDS.items()
    ]
    return "\n".join([head, *lines])
