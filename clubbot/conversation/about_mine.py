"""What is said or asked about one's own sign-up after an event was spoken of: "so that's how many", "put me on that", "and mia too"."""

from dataclasses import replace
from datetime import timedelta

from clubbot.conversation.ask import Ask, Served
from clubbot.conversation.coming import answer
from clubbot.conversation.down_for import mine
from clubbot.conversation.serve import serve
from clubbot.conversation.sureness import would_do
from clubbot.conversation.the_next import asks_of
from clubbot.events.days import upcoming
from clubbot.model.dialogue import ANSWERED_WITHIN, MENDED_WITHIN
from clubbot.model.intent_kinds import ACTS
from clubbot.model.intents import (
    RSVPS,
    AskEvents,
    AskMyRsvps,
    AskTopic,
    ForAPerson,
    Party,
    Rsvp,
    intent_id,
)
from clubbot.model.rsvps import NOTHING_SAID, Talk
from clubbot.understanding.once import Reading

# The event that somebody missed is still "it" some days later.
_KEPT_IN_MIND = timedelta(days=7)


def about_mine(ask: Ask, reading: Reading) -> Served | None:
    """What a text about the sender's own sign-up brings; None where it is none, or nothing has been spoken of that it could be about."""
    if ask.said.says("the same again"):
        return _the_same_again(ask, reading)
    if not any(intent_id(intent) in ACTS for intent in reading.intents) and (later := another_day(ask)) is not None:
        return serve(later, ask)
    talk = _lately(ask)
    if (then := _where_then(ask, reading)) is not None:
        return then
    if (held := _still_holds(talk, ask, reading)) is not None:
        return held
    if talk is None:
        return None
    if ask.said.says("asks to be told again") or (ask.said.says("asks our number") and _is_down(ask)):
        return mine(_which(reading), ask)
    if ask.said.says("puts me on it"):
        return answer(Rsvp("rsvp-yes", party=reading.answer.party, on=talk.on), ask)
    return None


def another_day(ask: Ask) -> AskEvents | None:
    """The next day of the event spoken of, after the one that was: "is there another"; None where that is not asked, or there is none."""
    talk, knowledge = ask.known.talk, ask.voice.knowledge
    if talk is None or not ask.said.says("asks for another day") or ask.now - talk.at > _KEPT_IN_MIND:
        return None
    rule = next((one for one in knowledge.events if one.id == talk.on.event), None)
    days = upcoming([rule], ask.now, knowledge.club.zone) if rule is not None else []
    later = next((one for one in days if one.day > talk.on.day and one.starts > ask.now and not one.called_off), None)
    return None if later is None else asks_of(later, knowledge.club.zone)


def _still_holds(talk: Talk | None, ask: Ask, reading: Reading) -> Served | None:
    """ "Still 10:30 for me?": what the sender is down for then, with its hour; else when the event is."""
    said = reading.answer
    if not ask.said.says("asks whether it still holds") or said.when is None or said.when.at is None:
        return None
    event = said.event or (talk.on.event if talk is not None and not said.when.dated else None)
    if event is None:
        return serve(AskEvents(None, said.when), ask) if said.when.dated else None
    if any(on.event == event and rsvp.state != "off" for on, rsvp in ask.known.rsvps.items()):
        return mine(AskMyRsvps(event), ask)
    return serve(AskEvents(event, said.when if said.when.dated else None), ask)


def _the_same_again(ask: Ask, reading: Reading) -> Served | None:
    """As many people as last time, for the day that is named or the next of the same event."""
    last = max((on for on, rsvp in ask.known.rsvps.items() if rsvp.state != "off"), key=lambda on: on.day, default=None)
    if last is None:
        return None
    said = reading.answer
    party = said.party if said.party != Party() else Party(total=ask.known.rsvps[last].people)
    return answer(Rsvp("rsvp-yes", event=said.event or last.event, when=said.when, party=party), ask)


def _where_then(ask: Ask, reading: Reading) -> Served | None:
    """ "Where do we go tomorrow", from somebody who is down for an event that day: where and when that is."""
    if not _is_down(ask) or reading.intents != (AskTopic("where"),):
        return None
    when = reading.answer.when
    if when is None or not when.dated:
        return None
    held = [on for on, rsvp in ask.known.rsvps.items() if rsvp.state != "off" and when.first <= on.day <= when.last]
    return serve(AskEvents(held[0].event, when), ask) if len(held) == 1 else None


def _which(reading: Reading) -> AskMyRsvps:
    """Of the event or the day that is named, else of all."""
    said = reading.answer
    return AskMyRsvps(said.event, said.when if said.when is not None and said.when.dated else None)


def _lately(ask: Ask) -> Talk | None:
    talk = ask.known.talk
    return talk if talk is not None and ask.now - talk.at <= ANSWERED_WITHIN else None


def _is_down(ask: Ask) -> bool:
    return any(rsvp.state != "off" for rsvp in ask.known.rsvps.values())


def of_the_party(ask: Ask, reading: Reading) -> Served | None:
    """A text that nobody understands by itself, right after an answer to an event, and that tells of people: what it would change is asked."""
    talk = _lately(ask)
    if talk is None or talk.intent not in RSVPS or ask.now - talk.at > MENDED_WITHIN:
        return None
    held = ask.known.rsvps.get(talk.on)
    if held is None or held.state == "off" or any(not isinstance(intent, ForAPerson) for intent in reading.intents):
        return None
    said = reading.answer
    if said.event is not None or (said.when is not None and said.when.dated):
        return None
    party = Party(more=1) if said.party == Party() and ask.said.says("brings somebody") else said.party
    if party == Party() and said.said == NOTHING_SAID:
        return None
    changed = replace(said, kind="rsvp-change", on=talk.on, when=None, unclear=None, party=party)
    return would_do(changed, ask) or (answer(changed, ask) if party.unclear else None)
