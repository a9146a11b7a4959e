"""What the club's own people tell clubbot to do. What reaches others or changes the course is shown first, with a code, and done on the code.

A number can be forged, but the forger does not get the reply, and so not the code. Only holding play goes without one: it is the
safe direction.
"""

from dataclasses import replace
from typing import assert_never

from clubbot.conversation import announcing
from clubbot.conversation.amending import had_otherwise
from clubbot.conversation.ask import Ask, Served
from clubbot.conversation.changing import called_off, called_on, moved
from clubbot.conversation.closing import (
    close,
    closed,
    hold_play,
    note_on,
    reopen,
    reopened,
)
from clubbot.conversation.codes import amended, earlier, let_go, nothing_waits, waiting, with_code, wrong
from clubbot.conversation.codes import closed as codes_closed
from clubbot.conversation.crowd import noted
from clubbot.conversation.elsewhere import event_added
from clubbot.conversation.held import listed
from clubbot.conversation.helping import (
    done,
    open_with,
    or_tell,
    order_or_answer,
    pass_on,
    quoted,
    settled,
    swap_agreed,
    take_duty,
)
from clubbot.conversation.misuse import still_suspended
from clubbot.conversation.obeying import (
    by_their_name,
    done_by_name,
    people_done,
    shown,
    texts_stopped,
    to_events,
    to_people,
    to_phones,
    to_reports,
)
from clubbot.conversation.people_changes import meant
from clubbot.conversation.phones import number_kept, restored, suspended
from clubbot.conversation.phrasing import Voice
from clubbot.conversation.reporting import match, matched
from clubbot.conversation.teaching import forget, forgotten, learnt, teach
from clubbot.conversation.to_one import is_known
from clubbot.conversation.undone import not_by_text, unclear
from clubbot.model.club import Person
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
from clubbot.model.effects import BringBack, OpenDraft, Record, TellPerson
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
    RoleOrder,
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
from clubbot.people.duty import organiser
from clubbot.people.needs import NEEDS, doing, permit_of
from clubbot.people.roles import Permit, may
from clubbot.texting.keywords import keyword
from clubbot.understanding.once import Reading
from clubbot.understanding.orders.dropping import ToADraft


def ordered(order: Order, ask: Ask, person: Person, reading: Reading) -> Served | None:
    """An order carried out or shown, where a role of the person allows it; the table in `people/needs` says what each takes. None where
    the text is no order after all.
    """
    if isinstance(order, Confirm):
        said = reading.to_a_draft
        if said.but and not said.refuses and waiting(ask):  # "yes 4821 but make it 7" is no yes to what was shown
            return had_otherwise(ask, reading.anew(said.but)) or amended(ask)
        return confirm(order.code, ask, person, said)
    if isinstance(order, AddLanguage) and not any(isinstance(draft.deed, TellDeed) for draft, _ in waiting(ask)):
        return None
    if isinstance(order, TakeDuty):
        return take_duty(order, ask, person)  # refused in words of its own
    if isinstance(order, Reopen) and order.what is None and any(one.kind == "held" for one in ask.known.closures):
        order = replace(order, hold=True)  # what was asked about after the hold
    if isinstance(order, _OF_PEOPLE) and meant(order, ask, person) is None:
        return None  # a bare fact about somebody else
    waits = open_with(ask, person)
    to_nobody = isinstance(order, TellOne) and not is_known(order, ask)
    if waits and (to_nobody or isinstance(order, Unclear | NotByText)):
        return order_or_answer(ask, person)
    served = allowed(NEEDS[doing(order)].permit, ask, person) or _obey(order, ask, person, reading)
    if waits and served is not None and isinstance(order, Close | Reopen | NoteOn | PutOnDuty):
        return replace(served, sentence=f"{served.sentence} {or_tell(ask, person)}")
    return served


def _obey(order: RoleOrder, ask: Ask, person: Person, reading: Reading) -> Served | None:
    """What an order that the role allows does, or shows with a code; None for words in another language where no text is being prepared.
    An order that is forgotten here is a type error.
    """
    match order:
        case Close():
            return close(order, ask)
        case Reopen():
            return reopen(order, ask)
        case NoteOn():
            return note_on(order, ask)
        case HoldPlay():
            return hold_play(ask, person)
        case Tell():
            return announcing.tell(order, ask)
        case TellOne() | SignUpOthers() | TakeOff():
            return by_their_name(order, ask, person)
        case AddLanguage():
            return announcing.add_language(order, ask)
        case HoldSending():
            return _stop_sending(ask, person)
        case GoOnSending():
            return announcing.ask_to_go_on(ask)
        case PassOn():
            return pass_on(order, ask, person)
        case Done():
            return done(order, ask, person)
        case ListQuestions():
            return listed(order, ask)
        case ListReports() | DoneReport() | UndoneReport():
            return to_reports(order, ask, person)
        case Match():
            return match(order, ask)
        case Teach():
            return teach(order, ask, person, reading)
        case Forget():
            return forget(order, ask)
        case CallOff() | CallOn() | MoveHour() | MoveElsewhere() | AddEvent():
            return to_events(order, ask)
        case SuspendPhone() | RestorePhone() | NewNumber():
            return to_phones(order, ask, person)
        case Retire() | GiveRole() | TakeRole() | PutOnDuty():
            return to_people(order, ask, person)
        case ShowStatus() | ShowReach() | ShowDuty() | ShowOrders() | ShowSent():
            return shown(order, ask, person)
        case Unclear():
            return unclear(order, ask)
        case NotByText():
            return not_by_text(order, ask)
        case _:
            assert_never(order)


def _stop_sending(ask: Ask, person: Person) -> Served:
    """What goes out is held, and a text to many that waits for its code is dropped: "stop sending" is a no to either."""
    draft, now = ask.known.draft, ask.now
    if draft is None or now >= draft.until or not isinstance(draft.deed, TellDeed):
        return announcing.hold(ask, person)
    gone = let_go(ask, person, stops=False)
    if not ask.known.sending:
        return gone
    held = announcing.hold(ask, person)
    return replace(held, sentence=f"{gone.sentence} {held.sentence}", effects=(*gone.effects, *held.effects))


def no_opt_out(order: Order | None, reading: Reading) -> bool:
    """Whether what sounds like an opt-out on a phone of the club's people is an order, or about other people's texts: "stop sending"."""
    if isinstance(order, HoldSending | NotByText | Tell):
        return True
    return keyword(reading.text) is None and not reading.of_own_texts


def refused(ask: Ask) -> Served:
    """An order from a phone that is none of the club's: refused plainly, and the organiser hears of it."""
    head = organiser(ask.voice.knowledge)
    note = Voice(ask.voice.knowledge, head.language).say("order.stranger_note", text=quoted(ask.text))
    told = noted("stranger's order", ask.known, TellPerson(person=head.id, number=head.number, text=note))
    key = "order.stranger" if told else "order.stranger_only"
    return Served(sentence=ask.voice.say(key, name=head.first_name), effects=told, served=False)


def allowed(permit: Permit | None, ask: Ask, person: Person) -> Served | None:
    """None where the person may; else the refusal, and the organiser is told."""
    if permit is None or may(person, permit):
        return None
    head = organiser(ask.voice.knowledge)
    theirs = Voice(ask.voice.knowledge, head.language)
    note = theirs.say("order.not_allowed_note", name=person.first_name, text=quoted(ask.text))
    tell = TellPerson(person=head.id, number=head.number, text=note)
    return Served(sentence=ask.voice.say("order.not_allowed", name=head.first_name), effects=(tell,))


def confirm(code: str, ask: Ask, person: Person, said: ToADraft) -> Served:
    """The code that was shown comes back: the deed is done, once. While codes are closed on the phone nothing is looked at or said: it has
    been told until when.
    """
    if codes_closed(ask, person.number) is not None:
        return Served(sentence="")
    waits = waiting(ask)
    if not waits:
        return nothing_waits(ask)
    found = next(((draft, drop) for draft, drop in waits if draft.code == code), None)
    if found is None:
        return earlier(code, ask) or wrong(ask, person)
    deed, drop = found[0].deed, found[1]
    if said.refuses and not (isinstance(deed, StopTextsDeed) and said.stops):
        return let_go(ask, person, stops=said.stops)
    if person.id in ask.voice.knowledge.suspended and not isinstance(deed, BringBackDeed | StopTextsDeed):
        return still_suspended(ask)
    served = allowed(permit_of(deed), ask, person) or _do(deed, ask, person)
    return replace(served, effects=(drop, *served.effects))


def dropped(ask: Ask, person: Person, said: ToADraft, reading: Reading) -> Served | None:
    """What waits is let go where the text is a no to it, whatever it says besides; None where it is something else, or nothing waits."""
    waits = waiting(ask)
    if not waits or not (said.drops or said.rest):
        return None
    if said.stops and any(
        isinstance(draft.deed, StopTextsDeed) and draft.code in _digits(ask.text) for draft, _ in waits
    ):
        return None  # STOP and its code
    if said.drops:
        return let_go(ask, person, stops=said.stops)
    if said.slip and isinstance(reading.anew(said.rest).order(ask.now), Confirm):
        return None  # "oops, yes 48217730" puts a wrong code right
    return _no_and_more(ask, person, said.rest, reading)


def _no_and_more(ask: Ask, person: Person, rest: str, reading: Reading) -> Served | None:
    """ "No, close the hill instead": what waited is dropped; what else is ordered is shown, and what is not understood is said back."""
    if isinstance(reading.order(ask.now), SURE):
        return None  # "no league tonight"
    instead = reading.anew(rest)
    order = instead.order(ask.now)
    if not isinstance(order, (*SURE, Confirm)):
        otherwise = had_otherwise(replace(ask, text=rest, reading=instead), instead)
        if otherwise is not None:
            return otherwise
    gone = let_go(ask, person, stops=False)
    other = (
        ordered(order, replace(ask, text=rest, reading=instead), person, instead) if isinstance(order, SURE) else None
    )
    if other is None:
        return replace(gone, sentence=f"{gone.sentence} {ask.voice.say('order.unused', words=rest)}")
    if any(isinstance(effect, OpenDraft) for effect in other.effects):
        return other  # says itself what was dropped for it
    return replace(other, sentence=f"{gone.sentence} {other.sentence}", effects=(*gone.effects, *other.effects))


_OF_PEOPLE = (Retire, GiveRole, TakeRole, PutOnDuty)
SURE = (Close, Reopen, HoldPlay, CallOff, CallOn, MoveHour, MoveElsewhere, AddEvent, Tell, HoldSending)


def _digits(text: str) -> str:
    return "".join(letter for letter in text if letter.isascii() and letter.isdigit())


def ask_to_stop(ask: Ask) -> Served:
    """A person of the club texts STOP: somebody else could have, and it would silence their orders, so it takes one code."""
    return with_code(StopTextsDeed(words=ask.text), "", ask, key="order.stop")


def _do(deed: Deed, ask: Ask, person: Person) -> Served:
    """What waited is done. A deed that is forgotten here is a type error."""
    match deed:
        case CloseDeed():
            return closed(deed, ask, person)
        case ReopenDeed():
            return reopened(deed, ask, person)
        case CallOffDeed():
            return called_off(deed, ask, person)
        case CallOnDeed():
            return called_on(deed, ask, person)
        case MoveDeed():
            return moved(deed, ask, person)
        case AddEventDeed():
            return event_added(deed, ask, person)
        case SuspendDeed():
            return suspended(deed, ask, person)
        case RestoreDeed():
            return restored(deed, ask, person)
        case RosterDeed():
            return number_kept(deed, ask, person)
        case RetireDeed() | RolesDeed() | DutyDeed():
            return people_done(deed, ask, person)
        case JoinDeed():
            return Served(
                sentence=ask.voice.say("phones.number_taken")
            )  # it was asked of a phone that is the club's by now
        case TellDeed():
            return announcing.start(deed, ask, person)
        case SignUpDeed() | TakeOffDeed() | TellOneDeed() | WhichDeed():
            return done_by_name(deed, ask, person)
        case GoOnSendingDeed():
            return announcing.go_on(ask, person)
        case TeachDeed():
            return learnt(deed, ask, person)
        case ForgetDeed():
            return forgotten(deed, ask, person)
        case MatchDeed():
            return matched(deed, ask, person)
        case DoneDeed():
            return settled(deed, ask, person)
        case SwapDeed():
            return swap_agreed(deed, ask, person)
        case StopTextsDeed(words=words):
            return texts_stopped(words, ask, person)
        case BringBackDeed() if person.id in ask.voice.knowledge.locked:
            return still_suspended(ask)
        case BringBackDeed():
            record = Record(person=person.id, what="back after NOT ME")
            return Served(sentence=ask.voice.say("misuse.back"), effects=(BringBack(), record))
        case _:
            assert_never(deed)
