"""The event days that the sender is down for, and which of them a text is about."""

from dataclasses import dataclass

from clubbot.conversation.ask import Ask
from clubbot.conversation.which_day import which_day
from clubbot.events.choosing import Meant, entry_of
from clubbot.events.days import EventDay, upcoming
from clubbot.model.dialogue import SPOKEN_FOR
from clubbot.model.rsvps import DayId, Rsvp


@dataclass(frozen=True, slots=True, kw_only=True)
class Own:
    """A day that the sender has answered to and that is not over: of an event of several days with one entry the next of them."""

    on: DayId
    day: EventDay
    rsvp: Rsvp


def own_days(ask: Ask) -> list[Own]:
    """What the sender is down for, waits for or has said maybe to, and that is not over, the nearest first."""
    knowledge = ask.voice.knowledge
    held = {on: rsvp for on, rsvp in ask.known.rsvps.items() if rsvp.state != "off"}
    events = [one for one in knowledge.events if any(on.event == one.id for on in held)]
    found: dict[DayId, Own] = {}
    for day in upcoming(events, ask.now, knowledge.club.zone):
        on = entry_of(day)
        if on in held and on not in found and not day.called_off:
            found[on] = Own(on=on, day=day, rsvp=held[on])
    return list(found.values())


def own_day(ask: Ask) -> Own | None:
    """The one of them that a text is about: named by it, else last spoken of, else the nearest; None where it names another, or there is none."""
    mine = own_days(ask)
    if not mine or ask.reading is None:
        return None
    said = ask.reading.answer
    if said.event is not None or (said.when is not None and said.when.dated):
        meant = which_day(None, said.event, said.when, ask, only_mine=True)
        return next((one for one in mine if isinstance(meant, Meant) and one.on == entry_of(meant.day)), None)
    return spoken_of(mine, ask) or mine[0]


def spoken_of(mine: list[Own], ask: Ask) -> Own | None:
    """The one of them that was last spoken of."""
    talk = ask.known.talk
    spoken = talk.on if talk is not None and ask.now - talk.at < SPOKEN_FOR else None
    return next((one for one in mine if one.on == spoken), None)
