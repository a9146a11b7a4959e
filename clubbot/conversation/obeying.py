"""Orders of one kind carried out together: to event days, to phones, and what is to be seen."""

from clubbot.conversation import announcing, overview, report_list, went_out
from clubbot.conversation.ask import Ask, Served
from clubbot.conversation.by_name import sign_up, signed_up
from clubbot.conversation.changing import call_off, call_on, move_hour
from clubbot.conversation.elsewhere import add_event, move_elsewhere
from clubbot.conversation.on_duty import duty_kept, put_on_duty
from clubbot.conversation.people_changes import change_role, retire, retired, roles_changed
from clubbot.conversation.phones import new_number, restore_phone, suspend_phone
from clubbot.conversation.phrasing import Voice
from clubbot.conversation.signing_others_in import sign_others_in
from clubbot.conversation.taking_off import take_off, taken_off
from clubbot.conversation.to_one import tell_one, told_one
from clubbot.conversation.which_one import which_again
from clubbot.model.club import Person
from clubbot.model.deeds import DutyDeed, RetireDeed, RolesDeed, SignUpDeed, TakeOffDeed, TellOneDeed, WhichDeed
from clubbot.model.effects import CloseChoice, Effect, OptOut, Record, TellPerson
from clubbot.model.orders import AddEvent, CallOff, CallOn, MoveElsewhere, MoveHour, ShowDuty, ShowReach, ShowStatus
from clubbot.model.orders_by_name import SignInOthers, SignUpOthers, TakeOff, TellOne
from clubbot.model.orders_of_people import GiveRole, NewNumber, PutOnDuty, RestorePhone, Retire, SuspendPhone, TakeRole
from clubbot.model.seen import DoneReport, ListReports, ShowOrders, ShowPeople, ShowSent, UndoneReport
from clubbot.people.duty import organiser


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


def to_people(order: Retire | GiveRole | TakeRole | PutOnDuty, ask: Ask, person: Person) -> Served | None:
    """What becomes of the club's people; None where a bare fact is about somebody else."""
    match order:
        case Retire():
            return retire(order, ask, person)
        case GiveRole() | TakeRole():
            return change_role(order, ask, person)
        case PutOnDuty():
            return put_on_duty(order, ask, person)


def to_reports(order: ListReports | DoneReport | UndoneReport, ask: Ask, person: Person) -> Served:
    """The list of what was reported, and what becomes of it."""
    match order:
        case ListReports():
            return report_list.listed(order, ask)
        case DoneReport():
            return report_list.done(order, ask, person)
        case UndoneReport():
            return report_list.undone(order, ask, person)


def shown(
    order: ShowStatus | ShowReach | ShowDuty | ShowOrders | ShowSent | ShowPeople, ask: Ask, person: Person
) -> Served:
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
        case ShowPeople():
            return overview.people(ask)


def people_done(deed: RetireDeed | RolesDeed | DutyDeed, ask: Ask, person: Person) -> Served:
    """The code for a change of the club's people has come."""
    match deed:
        case RetireDeed():
            return retired(deed, ask, person)
        case RolesDeed():
            return roles_changed(deed, ask, person)
        case DutyDeed():
            return duty_kept(deed, ask, person)


def texts_stopped(words: str, ask: Ask, person: Person) -> Served:
    """No more texts but what the role brings; the organiser hears of it, who can take the person off the roster."""
    effects: list[Effect] = [OptOut(words=words), CloseChoice(), Record(person=person.id, what="stopped texts")]
    head = organiser(ask.voice.knowledge)
    if head.id == person.id:
        return Served(sentence=ask.voice.say("consent.stopped_head"), effects=tuple(effects))
    note = Voice(ask.voice.knowledge, head.language).say("consent.stopped_note", name=person.first_name)
    effects.append(TellPerson(person=head.id, number=head.number, text=note))
    return Served(sentence=ask.voice.say("consent.stopped_role", name=head.first_name), effects=tuple(effects))


def by_their_name(order: TellOne | SignUpOthers | TakeOff | SignInOthers, ask: Ask, person: Person) -> Served | None:
    """What is to be done for or to single people by their names."""
    match order:
        case TellOne():
            return tell_one(order, ask, person)
        case SignUpOthers():
            return sign_up(order, ask)
        case TakeOff():
            return take_off(order, ask)
        case SignInOthers():
            return sign_others_in(order, ask, person)


def done_by_name(deed: SignUpDeed | TakeOffDeed | TellOneDeed | WhichDeed, ask: Ask, person: Person) -> Served:
    """The code for it has come; where it is not told yet which of several is meant, no code does."""
    match deed:
        case SignUpDeed():
            return signed_up(deed, ask, person)
        case TakeOffDeed():
            return taken_off(deed, ask, person)
        case TellOneDeed():
            return told_one(deed, ask, person)
        case WhichDeed():
            return which_again(deed, ask)
