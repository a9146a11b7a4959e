"""Questions that are about the sender's own event or round, however they are put: "what do I owe", "is there an end time", "6 first?"."""

from collections.abc import Mapping, Set

from clubbot.conversation.ask import Ask
from clubbot.conversation.following import tells
from clubbot.conversation.is_it_on import open_then, still_on
from clubbot.conversation.light import of_a_round
from clubbot.conversation.opening import topic_of_thing
from clubbot.events.choosing import day_of, entry_of
from clubbot.events.days import EventDay, answered_to, between, upcoming
from clubbot.model.dialogue import SPOKEN_FOR
from clubbot.model.exchange import LEANS_FOR
from clubbot.model.intents import AskTopic, ForAPerson, Intent, intent_id
from clubbot.model.rsvps import DayId
from clubbot.understanding.leaning import Side, bare_question
from clubbot.understanding.once import Reading

# What is asked of an event in a sentence that names more, by what the rules say.
_ASKED: Mapping[str, Side] = {
    "asks the amount": "cost",
    "asks the end": "until",
    "asks when to come": "arrive",
    "asks when sign-up is": "sign-up hour",
}
# How else such a sentence may sound; what sounds like anything more is read as it is.
_SOUNDS: Mapping[Side, Set[str]] = {
    "cost": {"cost", "events"},
    "until": {"duration", "hours", "events"},
    "arrive": {"hours", "duration", "events", "start"},
    "sign-up hour": {"hours", "events", "places", "cost"},
}
# Nothing of an event that was not named is asked by these, once something else was spoken of.
_OF_ONES_OWN: Set[Side] = frozenset({"cost", "until", "arrive", "sign-up hour"})


# Words of a text that is one question and nothing more.
_A_QUESTION = 11


def for_you(ask: Ask, reading: Reading) -> Intent | None:
    """What a text asks of the sender's own round or event; None where it is read as it stands."""
    again = of_a_round(ask)
    if again is not None:
        return again
    if reading.noticed.says("books the course") and _is_of_a_group(ask, reading):
        return AskTopic("groups")
    words = len(ask.text.split())
    if (still := still_on(ask, reading, _meant(ask, reading))) is not None:
        return still
    if words <= _A_QUESTION and (then := open_then(ask, reading)) is not None:
        return then
    unread = all(isinstance(one, ForAPerson) for one in reading.intents)
    if unread and words <= _A_QUESTION and (thing := topic_of_thing(ask)) is not None:
        return AskTopic(thing)
    bare = bare_question(reading.noticed)
    if bare is not None:
        return _bare(bare, ask) if bare in _OF_ONES_OWN else None
    return _of_an_event(ask, reading) if words <= _A_QUESTION else None


def _of_an_event(ask: Ask, reading: Reading) -> AskTopic | None:
    """One side of one event, asked in a sentence that is about nothing else; what is not for us stays so."""
    if any(isinstance(one, ForAPerson) for one in reading.intents):
        return None
    asked = [side for said, side in _ASKED.items() if reading.noticed.says(said)]
    if len(asked) != 1 or any(more.first > 0 for more in reading.noticed.all("asks one thing more")):
        return None
    on = _meant(ask, reading)
    if on is None:
        return None
    topic = ask.voice.knowledge.event(on.event).topic
    sounds = {intent_id(one) for one in reading.intents}
    if not sounds <= {topic, *_SOUNDS[asked[0]]} or topic not in ask.voice.knowledge.answers:
        return None
    ours = reading.noticed.says("speaks of all of us") or reading.people.party.total is not None
    if asked[0] == "cost" and not ours and _named(ask, reading) is None:
        return None  # "how much does it cost to play" is asked of the course
    return AskTopic(topic, asked[0], on=on)


def _is_of_a_group(ask: Ask, reading: Reading) -> bool:
    """Whether to have the course for oneself is all that a text asks for, so far as it is understood."""
    sounds = {intent_id(one) for one in reading.intents if not isinstance(one, ForAPerson)}
    return "groups" in ask.voice.knowledge.answers and sounds <= {"groups", "status", "cost", "land"}


def _bare(side: Side, ask: Ask) -> AskTopic | None:
    """A bare question after nothing that could tell what it is about, from somebody who is down for one event."""
    exchange = ask.known.exchange
    lately = exchange is not None and ask.now - exchange.at <= LEANS_FOR
    before = exchange.intents if lately and exchange is not None else ()
    if any(one.event is not None or tells(side, one) for one in before):
        return None  # what was said last tells it
    on = _own(ask)
    if on is None:
        return None
    topic = ask.voice.knowledge.event(on.event).topic
    return AskTopic(topic, side, on=on) if topic in ask.voice.knowledge.answers else None


def _meant(ask: Ask, reading: Reading) -> DayId | None:
    """The event day that a text names; else, where it names no other, the one that the conversation is about."""
    named = _named(ask, reading)
    return named if named is not None or _names_another(reading) else _spoken_of(ask)


def _named(ask: Ask, reading: Reading) -> DayId | None:
    """The event day that the text names, by its event, its day or both."""
    knowledge, said = ask.voice.knowledge, reading.answer
    zone, when = knowledge.club.zone, said.when
    dated = when if when is not None and when.dated else None
    if dated is not None and dated.first == dated.last:
        then = between(knowledge.events, dated.first, dated.last, zone)
        found = [one for one in then if said.event in {None, one.event.id}]
        if len({one.event.id for one in found}) == 1:
            return entry_of(found[0])
    if said.event is None:
        return None
    own = next((on for on in _down_for(ask) if on.event == said.event), None)
    return own or _next(said.event, ask)


def _names_another(reading: Reading) -> bool:
    """Whether the text names an event or a day, though it cannot be told which is meant."""
    said = reading.answer
    return said.event is not None or (said.when is not None and said.when.dated)


def _spoken_of(ask: Ask) -> DayId | None:
    """The event day that the conversation is about, else the only one that the sender is down for."""
    knowledge, talk, exchange = ask.voice.knowledge, ask.known.talk, ask.known.exchange
    there = {one.id for one in knowledge.events}
    if exchange is not None and ask.now - exchange.at <= LEANS_FOR and exchange.intents:
        event = next((one.event for one in reversed(exchange.intents) if one.event in there), None)
        if event is None:
            return None
        if talk is not None and talk.on.event == event:
            return talk.on
        return next((on for on in _down_for(ask) if on.event == event), None) or _next(event, ask)
    return _own(ask)


def _own(ask: Ask) -> DayId | None:
    """The event day last spoken of, where the sender is down for it, else the only one that they are down for."""
    talk, down = ask.known.talk, _down_for(ask)
    if talk is not None and talk.on in down and ask.now - talk.at < SPOKEN_FOR:
        return talk.on
    return down[0] if len(down) == 1 else None


def _down_for(ask: Ask) -> list[DayId]:
    """The days that the sender is down for and that are not over, the nearest first."""
    held = [(on, day_of(on, ask.voice.knowledge)) for on, rsvp in ask.known.rsvps.items() if rsvp.state != "off"]
    coming = [(on, one) for on, one in held if one is not None and _not_over(one, ask)]
    return [on for on, _ in sorted(coming, key=lambda pair: pair[1].starts)]


def _not_over(one: EventDay, ask: Ask) -> bool:
    return bool(
        [day for day in upcoming([one.event], ask.now, ask.voice.knowledge.club.zone) if entry_of(day) == entry_of(one)]
    )


def _next(event: str, ask: Ask) -> DayId | None:
    """The next day of an event, or the one that is under way."""
    knowledge = ask.voice.knowledge
    days = answered_to(upcoming([knowledge.event(event)], ask.now, knowledge.club.zone))
    held = next((one for one in days if not one.called_off), None) or next(iter(days), None)
    return entry_of(held) if held is not None else None
