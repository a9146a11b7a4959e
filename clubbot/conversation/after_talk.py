"""A bare question about the event day that was spoken of before, where what was said last does not tell it: "what time was it again"."""

from clubbot.conversation.ask import Ask
from clubbot.conversation.following import Followed, followed, tells
from clubbot.model.exchange import LEANS_FOR, Exchange, Spoken
from clubbot.model.intents import When
from clubbot.understanding.leaning import Leaning, Side

# What is asked of an event, and seldom of the course.
_OF_AN_EVENT: frozenset[Side] = frozenset({"cost", "where", "time", "arrive", "sign-up hour", "long", "until"})


def of_the_event(lean: Leaning, exchange: Exchange | None, ask: Ask) -> Followed | None:
    """What the text wants to know of the event day last spoken of; None where it asks nothing of that kind, or something nearer tells it."""
    talk, knowledge = ask.known.talk, ask.voice.knowledge
    if talk is None or (lean.side not in _OF_AN_EVENT and not lean.following):
        return None
    mine = ask.known.rsvps.get(talk.on)
    today = ask.now.astimezone(knowledge.club.zone).date()
    down = mine is not None and mine.state != "off" and talk.on.day >= today
    if ask.now - talk.at > LEANS_FOR and not (exchange is None and down):  # what somebody is down for stays "it"
        return None
    if exchange is not None and (not exchange.intents or lean.following or _nearer(lean, exchange)):
        return None
    if all(event.id != talk.on.event for event in knowledge.events):
        return None
    spoken = Spoken(intent="events", event=talk.on.event, when=When(talk.on.day, talk.on.day))
    return followed(lean, (spoken,), knowledge, ask.now)


def _nearer(lean: Leaning, exchange: Exchange) -> bool:
    """Whether what was said last is of an event, or tells itself what is asked."""
    return any(one.event is not None or (lean.side is not None and tells(lean.side, one)) for one in exchange.intents)
