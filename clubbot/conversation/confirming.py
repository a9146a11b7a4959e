"""The code of what was shown comes back: it is done, once, where the role allows it still. A deed that is forgotten here is a type error."""

from dataclasses import replace
from typing import assert_never

from clubbot.conversation import announcing
from clubbot.conversation.ask import Ask, Served
from clubbot.conversation.changing import called_off, called_on, moved
from clubbot.conversation.closing import (
    closed,
    reopened,
)
from clubbot.conversation.codes import closed as codes_closed
from clubbot.conversation.codes import earlier, let_go, nothing_waits, waiting, with_code, wrong
from clubbot.conversation.crowd import noted
from clubbot.conversation.elsewhere import event_added
from clubbot.conversation.helping import quoted, settled
from clubbot.conversation.misuse import still_suspended
from clubbot.conversation.obeying import (
    done_by_name,
    people_done,
    texts_stopped,
)
from clubbot.conversation.phones import number_kept, restored, suspended
from clubbot.conversation.phrasing import Voice
from clubbot.conversation.reporting import matched
from clubbot.conversation.swapping import swap_agreed
from clubbot.conversation.teaching import forgotten, learnt
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
from clubbot.model.effects import BringBack, Record, TellPerson
from clubbot.people.doings import permit_of
from clubbot.people.duty import organiser
from clubbot.people.roles import Permit, may
from clubbot.understanding.orders.dropping import ToADraft


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
