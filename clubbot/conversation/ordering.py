"""What the club's own people tell clubbot to do. What reaches others or changes the course is shown first, with a code, and done on the code.

A number can be forged, but the forger does not get the reply, and so not the code. Only holding play goes without one: it is the
safe direction.
"""

from dataclasses import replace
from typing import assert_never

from clubbot.conversation import announcing
from clubbot.conversation.amending import had_otherwise
from clubbot.conversation.ask import Ask, Served
from clubbot.conversation.closing import (
    close,
    hold_play,
    note_on,
    reopen,
)
from clubbot.conversation.codes import amended, let_go, waiting
from clubbot.conversation.confirming import allowed, confirm
from clubbot.conversation.held import listed
from clubbot.conversation.helping import done, open_with, or_tell, order_or_answer, pass_on
from clubbot.conversation.obeying import (
    by_their_name,
    shown,
    to_events,
    to_people,
    to_phones,
    to_reports,
)
from clubbot.conversation.people_changes import meant
from clubbot.conversation.reporting import match
from clubbot.conversation.swapping import ask_to_take, take_duty
from clubbot.conversation.taking_off import of_own_party
from clubbot.conversation.teaching import forget, teach
from clubbot.conversation.to_one import is_known
from clubbot.conversation.undone import not_by_text, unclear
from clubbot.conversation.whom import named_in, same_first_name
from clubbot.model.club import Person
from clubbot.model.deeds import (
    StopTextsDeed,
    TellDeed,
)
from clubbot.model.effects import OpenDraft
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
    RoleOrder,
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
from clubbot.people.doings import doing
from clubbot.people.needs import NEEDS
from clubbot.people.roles import may
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
    if isinstance(order, AskToTake):
        return ask_to_take(order, ask, person)
    order = _as_meant(order, ask, person)
    if isinstance(order, TakeOff) and of_own_party(order, ask):
        return None  # the sender's own change
    if isinstance(order, CallOff) and not order.sure and not may(person, "call off events"):
        return None  # told, as anybody may
    if isinstance(order, _OF_PEOPLE) and meant(order, ask, person) is None:
        return None  # a bare fact about somebody else
    waits = open_with(ask, person)
    to_nobody = isinstance(order, TellOne) and not is_known(order, ask)
    if waits and (to_nobody or isinstance(order, Unclear | NotByText)):
        return order_or_answer(ask, person)
    served = allowed(NEEDS[doing(order)].permit, ask, person) or _obey(order, ask, person, reading)
    may_be_told = isinstance(order, Close | Reopen | NoteOn | PutOnDuty) or (
        isinstance(order, CallOff) and not order.sure
    )
    if waits and served is not None and may_be_told:
        return replace(served, sentence=f"{served.sentence} {or_tell(ask, person)}")
    return served


def _as_meant(order: RoleOrder, ask: Ask, person: Person) -> RoleOrder:
    """What an order is about as things stand: the hold, where play is on hold; a list, where nobody of the club but somebody on it has the name."""
    if isinstance(order, Reopen) and order.what is None and any(one.kind == "held" for one in ask.known.closures):
        return replace(order, hold=True)  # what was asked about after the hold
    if isinstance(order, Retire) and ask.known.found:
        knowledge = ask.voice.knowledge
        if named_in(order.said, knowledge, person) is None and not same_first_name(order.said, knowledge):
            return TakeOff(order.said[:1], None, None)
    return order


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
        case TellOne() | SignUpOthers() | TakeOff() | SignInOthers():
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
        case ShowStatus() | ShowReach() | ShowDuty() | ShowOrders() | ShowSent() | ShowPeople():
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
