"""What the club's people text as such: orders, codes, answers to questions, NOT ME. Of anybody else that no order is taken."""

from dataclasses import replace

from clubbot.conversation.amending import had_otherwise
from clubbot.conversation.ask import Ask, Served
from clubbot.conversation.changing import days_chosen
from clubbot.conversation.claims import claimed
from clubbot.conversation.codes import amended, waiting, without_its_code
from clubbot.conversation.confirming import refused
from clubbot.conversation.flood import is_ours, too_many
from clubbot.conversation.helping import is_numbered, numbered, open_with, order_or_answer, plain_reply, taken_on
from clubbot.conversation.joining import answered
from clubbot.conversation.key_words import with_cry
from clubbot.conversation.limits import LEFT_ALONE
from clubbot.conversation.misuse import not_me, says_not_me, still_suspended
from clubbot.conversation.ordering import SURE, dropped, ordered
from clubbot.conversation.replying import Turn, to_its_own, told
from clubbot.conversation.signing_in import about_the_day
from clubbot.conversation.texted import Texted
from clubbot.conversation.to_one import asked_again, one_picked
from clubbot.conversation.undone import not_understood
from clubbot.model.club import Person
from clubbot.model.effects import AnswerQuestion
from clubbot.model.intents import AskPerson, ForAPerson, Greet, Rsvp, TellName, Thank
from clubbot.model.orders import Confirm, HoldPlay, Order
from clubbot.understanding.danger import sounds_like_danger
from clubbot.understanding.once import Reading


def to_what_was_shown(texted: Texted) -> Turn | None:
    """What goes before STOP where one of the club's people texts it: NOT ME, and a no or a bare yes to what they were just shown."""
    person = texted.person
    if person is None:
        joins = answered(texted)
        return None if joins is None else to_its_own(told([joins], texted.ask(texted.usual), None))
    ask = _ask_of(person, texted)
    if says_not_me(ask.said):
        return to_its_own(told([not_me(ask, person)], ask, None))
    to_draft = texted.reading.to_a_draft
    served = (
        dropped(ask, person, to_draft, texted.reading) or days_chosen(ask, texted.reading) or one_picked(ask, person)
    )
    if served is None and to_draft.only_yes and texted.known.asked is None:
        served = asked_again(ask) or without_its_code(ask)
    return None if served is None else to_its_own(told([served], ask, None))


def from_the_club(texted: Texted) -> Turn | None:
    """An answer by number, an order, a plain reply to the only open question; None where it is a text as anybody's."""
    person = texted.person
    if person is None:
        return _of_a_stranger(texted)
    if too_many("club's", texted.known) is not None:
        return None
    ask = _ask_of(person, texted)
    order = _order(texted, ask)
    in_danger = sounds_like_danger(ask.said) and not is_ours(texted.text, texted.known)
    if in_danger and order is None:
        return None  # a cry for help is no answer to anybody
    if person.id in texted.knowledge.suspended and not isinstance(order, Confirm | HoldPlay):
        served = _of_suspended(order, texted.reading, ask, person)
    else:
        served = numbered(ask, person)
        if served is None and not isinstance(order, (*SURE, Confirm)):
            served = had_otherwise(ask, texted.reading)
        if served is None and order is not None:
            served = ordered(order, ask, person, texted.reading)
        if served is None and order is None:
            served = _to_what_waits(texted.reading, ask, person)
        if served is None:
            served = _as_answer(order, texted.reading, ask, person)
        if served is None and order is None:
            served = not_understood(ask, texted.reading)
    if served is None:
        return None
    turned = _as_turn(served, ask)
    return with_cry(turned, texted) if in_danger else turned


def _ask_of(person: Person, texted: Texted) -> Ask:
    """A text of one of the club's people, who know who we are."""
    ask = texted.ask(texted.reading.language or texted.known.sender.language or person.language)
    return replace(ask, known=replace(ask.known, sender=replace(ask.known.sender, introduced=True)))


def _order(texted: Texted, ask: Ask) -> Order | None:
    """The order that the text is. "Till six" is said at the hour when it was texted, which is also when it was asked whom the order tells."""
    order = texted.reading.order(texted.at)
    if isinstance(order, Confirm) and not order.alone and not waiting(ask):
        return None  # eight digits that nobody has asked for
    if (
        order is None
        and texted.reading.among_orders("once more")
        and any(one.kind == "held" for one in ask.known.closures)
    ):
        return HoldPlay()  # "another one", while play is on hold for thunder
    return order


def _to_what_waits(reading: Reading, ask: Ask, person: Person) -> Served | None:
    """What is said to a draft beside yes and no, or to a question beside its answer: "until 5pm", "what was that again", "i've got it"."""
    if waiting(ask) and reading.among_orders("amends"):
        return amended(ask)
    if waiting(ask) and reading.among_orders("says again"):
        return without_its_code(ask)
    return taken_on(ask, person) if reading.among_orders("got it") else None


def _as_answer(order: Order | None, reading: Reading, ask: Ask, person: Person) -> Served | None:
    """A plain reply to who asked; what looks like something to do goes to nobody. None where no question waits for one, or it is none."""
    if not open_with(ask, person) or about_the_day(ask) or not _reads_as_answer(reading):
        return None
    looks_like_one = order is not None or reading.both_ends.like_an_order
    return order_or_answer(ask, person) if looks_like_one else plain_reply(ask, person)


def _of_suspended(order: Order | None, reading: Reading, ask: Ask, person: Person) -> Served | None:
    """Since NOT ME orders and answers are not taken from the phone; what anybody may ask is answered."""
    answers = bool(open_with(ask, person)) and _reads_as_answer(reading)
    return still_suspended(ask) if order is not None or answers or is_numbered(ask.text) else None


def _as_turn(served: Served, ask: Ask) -> Turn:
    if not served.sentence and not served.effects:
        return Turn(language=ask.voice.language, outcome=LEFT_ALONE, kind="order")
    answers = any(isinstance(effect, AnswerQuestion) for effect in served.effects)
    return replace(to_its_own(told([served], ask, None)), kind="answer" if answers else "order")


def _of_a_stranger(texted: Texted) -> Turn | None:
    """Orders from a phone that is none of the club's are not read: only what cannot be a question or a wish of one's own is refused."""
    claim = claimed(texted)
    if claim is not None:
        return told([claim], texted.ask(texted.reading.language), None)
    tries = texted.reading.of_a_stranger
    if tries is None:
        return None
    if tries == "a code":  # "Yes 48217730" from a phone that never got one
        ask = texted.ask(texted.known.sender.language or "en")
        return told([Served(sentence=ask.voice.say("order.no_draft"), served=False)], ask, None)
    ask = texted.ask(texted.reading.language)
    return told([refused(ask)], ask, None)


def _reads_as_answer(reading: Reading) -> bool:
    """Whether a volunteer's plain text is meant for the asker: not one that is read as a question or an answer of the volunteer's own."""
    intents = [
        intent
        for intent in reading.both_ends.intents
        if not isinstance(intent, ForAPerson | Thank | Greet | TellName | AskPerson)
    ]
    # "Not sure" and "ok for me" are answers to an event only where one is named.
    plain = [
        intent
        for intent in intents
        if not isinstance(intent, Rsvp) or intent.event or (intent.when and intent.when.dated)
    ]
    return not plain or ("?" not in reading.text and not any(isinstance(intent, Rsvp) for intent in plain))
