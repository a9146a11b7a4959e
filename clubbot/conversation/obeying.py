"""Orders of one kind carried out together: to event days, to phones, and what is to be seen."""

from clubbot.conversation import announcing, overview, report_list, went_out
from clubbot.conversation.ask import Ask, Served
from clubbot.conversation.changing import call_off, call_on, move_hour
from clubbot.conversation.elsewhere import add_event, move_elsewhere
from clubbot.conversation.phones import new_number, restore_phone, suspend_phone
from clubbot.model.club import Person
from clubbot.model.orders import (
    AddEvent,
    CallOff,
    CallOn,
    MoveElsewhere,
    MoveHour,
    NewNumber,
    RestorePhone,
    ShowDuty,
    ShowReach,
    ShowStatus,
    SuspendPhone,
)
from clubbot.model.seen import DoneReport, ListReports, ShowOrders, ShowSent, UndoneReport


def to_events(order: CallOff | CallOn | MoveHour | MoveElsewhere | AddEvent, ask: Ask) -> Served:
    """What becomes of an event day, or a new one, shown with its code."""
    match order:
        case CallOff():
            return call_off(order, ask)
        case CallOn():
            return call_on(order, ask)
        case MoveHour():
            return move_hour(order, ask)
        case MoveElsewhere():
            return move_elsewhere(order, ask)
        case AddEvent():
            return add_event(order, ask)


def to_phones(order: SuspendPhone | RestorePhone | NewNumber, ask: Ask, person: Person) -> Served:
    """What becomes of a phone of the club's people."""
    match order:
        case SuspendPhone():
            return suspend_phone(order, ask, person)
        case RestorePhone():
            return restore_phone(order, ask, person)
        case NewNumber():
            return new_number(order, ask)


def to_reports(order: ListReports | DoneReport | UndoneReport, ask: Ask, person: Person) -> Served:
    """The list of what was reported, and what becomes of it."""
    match order:
        case ListReports():
            return report_list.listed(order, ask)
        case DoneReport():
            return report_list.done(order, ask, person)
        case UndoneReport():
            return report_list.undone(order, ask, person)


def shown(order: ShowStatus | ShowReach | ShowDuty | ShowOrders | ShowSent, ask: Ask, person: Person) -> Served:
    """What somebody of the club wants to see."""
    match order:
        case ShowStatus():
            return overview.status(ask, person)
        case ShowReach():
            return announcing.reach(order, ask)
        case ShowDuty():
            return overview.duty(order, ask)
        case ShowOrders():
            return overview.orders(order, ask, person)
        case ShowSent():
            return went_out.sent(order, ask)
