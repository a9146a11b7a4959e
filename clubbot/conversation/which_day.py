"""Which event day is meant: by what a text names, else by what was spoken of, else by what is next; or the question which."""

from datetime import date

from clubbot.conversation.ask import Ask, Served, ask_back
from clubbot.events.choosing import Chosen, DaysNamed, Hints, Meant, Nothing, choose, id_of
from clubbot.events.days import EventDay, find
from clubbot.model.choices import Choice
from clubbot.model.dialogue import SPOKEN_FOR
from clubbot.model.intents import Rsvp, When
from clubbot.model.rsvps import DayId
from clubbot.model.rsvps import Rsvp as Kept


def which_day(on: DayId | None, event: str | None, when: When | None, ask: Ask, *, only_mine: bool = False) -> Chosen:
    """The event day that an intent is about."""
    knowledge = ask.voice.knowledge
    zone = knowledge.club.zone
    if on is not None:
        one = find(knowledge.event(on.event), on.day, zone)
        return Meant(one) if one is not None else Nothing(knowledge.event(on.event))
    talk = ask.known.talk
    today = ask.now.astimezone(zone).date()
    maybes = [on for on, rsvp in ask.known.rsvps.items() if rsvp.state == "maybe" and on.day >= today]
    spoken = talk.on if talk is not None and ask.now - talk.at < SPOKEN_FOR else None
    hints = Hints(
        spoken=spoken or (maybes[0] if len(maybes) == 1 else None),  # "ok we're coming" makes a yes of a maybe
        mine=tuple(on for on, rsvp in ask.known.rsvps.items() if rsvp.state != "off"),
        only_mine=only_mine,
    )
    rule = knowledge.event(event) if event is not None else None
    days = days_named(when, ask)
    named = DaysNamed(*days, when.weekday, when.of_a_kind) if when is not None and days is not None else None
    return choose(rule, named, knowledge.events, hints, ask.now, zone)


def ask_which(kind: str, days: tuple[EventDay, ...], ask: Ask, party: int | None = None) -> Served:
    """The wish is understood, and served by asking the one thing that is missing."""
    asked = ask_back(tuple(Choice(kind, id_of(one)) for one in days), ask, key="rsvp.which")
    return Served(sentence=asked.sentence, effects=asked.effects, party=party)


def rsvp_meant(intent: Rsvp, ask: Ask) -> Kept | None:
    """The sender's own answer to the day that an intent is about; None where there is none, or it is not clear which day."""
    meant = which_day(intent.on, intent.event, intent.when, ask, only_mine=True)
    kept = ask.known.rsvps.get(id_of(meant.day)) if isinstance(meant, Meant) else None
    return kept if kept is not None and kept.state != "off" else None


def is_clear_which(intent: Rsvp, ask: Ask) -> bool:
    """Whether nothing has to be asked to know which day an answer is about."""
    return isinstance(which_day(intent.on, intent.event, intent.when, ask, only_mine=True), Meant)


def days_named(when: When | None, ask: Ask) -> tuple[date, date] | None:
    """The days named; an hour alone names none, nor does "and now my mum wants to come"."""
    if when is None or not when.dated:
        return None
    today = ask.now.astimezone(ask.voice.knowledge.club.zone).date()
    return None if when.first == when.last == today and ask.said.says("now is no day") else (when.first, when.last)
