"""Thunder that is told of by somebody who may not hold play: whoever is on duty hears of it at once, who may. Holding stays with them."""

from clubbot.conversation.ask import Ask
from clubbot.conversation.crowd import noted
from clubbot.conversation.helping import quoted
from clubbot.conversation.phrasing import Voice
from clubbot.model.effects import LetThrough, TellPerson
from clubbot.people.duty import organiser, who_takes_orders
from clubbot.understanding.caution import cautions
from clubbot.understanding.once import Reading


def rumour_told(ask: Ask, reading: Reading) -> tuple[LetThrough | TellPerson, ...]:
    """The note to whoever is on duty, of a text that tells of thunder now; a few an hour from all phones together, since what many text at
    once is one storm.
    """
    if "thunder" not in cautions(ask.said) or not reading.tells_of_thunder:
        return ()
    knowledge = ask.voice.knowledge
    # At night too: nobody's turn is waited for.
    person = ask.duty.person if ask.duty.resumes is None else who_takes_orders(knowledge, organiser(knowledge))
    held = any(one.kind == "held" for one in ask.known.closures)
    theirs = Voice(knowledge, person.language)
    text = theirs.say("order.rumour_again" if held else "order.rumour", text=quoted(ask.text))
    return noted("thunder", ask.known, TellPerson(person=person.id, number=person.number, text=text))
