"""In which line of the table of `needs` an order or a deed stands; one that is forgotten is a type error."""

from typing import assert_never

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
    GoOnSending,
    HoldPlay,
    HoldSending,
    ListQuestions,
    Match,
    MoveElsewhere,
    MoveHour,
    NotByText,
    NoteOn,
    Order,
    PassOn,
    Reopen,
    ShowDuty,
    ShowReach,
    ShowStatus,
    Teach,
    Tell,
    Unclear,
)
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
from clubbot.people.needs import NEEDS, Doing
from clubbot.people.roles import Permit


def doing(order: Order) -> Doing:
    """The line of the table that an order stands in."""
    match order:
        case Close() | Reopen() | NoteOn() | HoldPlay():
            return _to_the_course(order)
        case Tell():
            return "tell people"
        case TellOne() | SignUpOthers() | TakeOff() | SignInOthers():
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
        case TakeDuty() | AskToTake():
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
        case ShowStatus() | ShowReach() | ShowDuty() | ShowOrders() | ShowSent() | ShowPeople():
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


def _by_name(order: TellOne | SignUpOthers | TakeOff | SignInOthers) -> Doing:
    match order:
        case TellOne():
            return "tell one person"
        case SignUpOthers():
            return "put people down"
        case TakeOff():
            return "take people off"
        case SignInOthers():
            return "sign people in"


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
