"""A phone that is none of the club's says to be somebody of the club and gives an order: nothing is done, and whoever it says to be is told its
words, once an hour at most.
"""

from clubbot.conversation.ask import Ask, Served
from clubbot.conversation.helping import quoted
from clubbot.conversation.phrasing import Voice
from clubbot.conversation.rumour import rumour_told
from clubbot.conversation.texted import Texted
from clubbot.conversation.whom import named_in
from clubbot.model.club import Person
from clubbot.model.effects import LetThrough, TellPerson
from clubbot.model.orders import (
    CallOff,
    HoldPlay,
    ListQuestions,
    NotByText,
    NoteOn,
    Order,
    ShowDuty,
    ShowReach,
    ShowStatus,
)
from clubbot.model.seen import ShowOrders
from clubbot.people.duty import somebody_else
from clubbot.understanding.orders.claims import Claim

# What anybody may ask, tell or wish, whatever name they give.
_OF_ANYBODY = (ShowStatus, ShowReach, ShowDuty, ShowOrders, ListQuestions, NoteOn, NotByText)


def claimed(texted: Texted) -> Served | None:
    """The plain no to an order in somebody's name; None where the text gives no such order."""
    claim = texted.reading.claim
    if claim is None:
        return None
    whose = _whose(claim, texted)
    if whose is None or not _orders(claim, texted) or texted.reading.in_danger:
        return None
    ask = texted.ask(texted.reading.language)
    note = _noted(whose, ask)
    key = "order.claimed" if note else "order.claimed_only"
    told = (*note, *rumour_told(ask, texted.reading))  # thunder is told of whoever says so
    return Served(sentence=ask.voice.say(key, name=whose.first_name), effects=told, served=False)


def _whose(claim: Claim, texted: Texted) -> Person | None:
    """Whom the text says to come from."""
    people = texted.knowledge.people
    if claim.role is not None:
        return next((one for one in people if claim.role in one.roles), None)
    named = named_in(claim.words, texted.knowledge)
    return named.person if named is not None else None


def _orders(claim: Claim, texted: Texted) -> bool:
    """Whether there is an order in it that only the club's people may give."""
    for words in (texted.text, *claim.rests):
        order = texted.reading.anew(words).order(texted.at)
        if order is not None and _of_the_club(order, claim):
            return True
    return False


def _of_the_club(order: Order, claim: Claim) -> bool:
    """Whether an order is none that a newcomer who gives their own name may mean otherwise: "im Sam, cancel league" is a place given back."""
    return not isinstance(order, _OF_ANYBODY) and (claim.sure or not isinstance(order, CallOff | HoldPlay))


def _noted(whose: Person, ask: Ask) -> tuple[LetThrough | TellPerson, ...]:
    """The note, with the words, which may be true: to the one who was named, or, where no orders are taken from that phone, to the organiser."""
    kind = f"claim {whose.id}"
    knowledge = ask.voice.knowledge
    if ask.known.crowd.of(kind).texts:
        return ()
    lost = whose.id in knowledge.suspended
    told = somebody_else(knowledge, whose, ask.now) if lost else whose
    if told is None:
        return ()
    key = "order.claimed_note_of" if lost else "order.claimed_note"
    text = Voice(knowledge, told.language).say(key, name=whose.first_name, text=quoted(ask.text))
    return LetThrough(kind=kind, most=1), TellPerson(person=told.id, number=told.number, text=text)
