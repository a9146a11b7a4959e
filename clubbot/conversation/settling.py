"""A change of an answer written down, and said with who comes now, where and when."""

from clubbot.conversation.ask import Ask, Served
from clubbot.conversation.occasions import (
    company,
    count_of,
    headcount,
    hold,
    named,
    reminders_for,
    standing,
)
from clubbot.conversation.phrasing import Voice
from clubbot.conversation.telling import offered
from clubbot.events.choosing import id_of
from clubbot.events.days import EventDay, as_told
from clubbot.model.effects import ClockEffect, Effect, KeepRsvp, SpeakOf
from clubbot.model.rsvps import Awaits
from clubbot.model.rsvps import Rsvp as Kept
from clubbot.rsvps.places import Change, Hold, free


def settle(
    change: Change, one: EventDay, ask: Ask, kind: str, wanted: int | None = None, *, by_name: bool = False
) -> Served:
    """A change written down and said, with the places that it frees offered on; with who comes now where it was told `by_name`."""
    knowledge, on = ask.voice.knowledge, id_of(one)
    state = standing(one, ask.known)
    before, mine = state.mine, change.mine
    effects: list[Effect] = []
    if change.outcome in {"no room for more", "more than offered"}:
        speak = SpeakOf(on=on, intent=kind, awaits="offer" if mine.offer else "", people=mine.people, before=before)
        return Served(sentence=_said(change, before, one, ask, wanted), effects=(speak,))
    seen = state.count.version
    # Whoever was down already may have been told another hour or place, and is told of that by itself.
    told_now = as_told(one) if before.state == "off" else None
    effects.append(KeepRsvp(on=on, rsvp=mine, seen=seen, told=told_now, heard=True))
    if (
        mine.state != before.state
    ):  # another number changes no reminder; another hour that is still to be told brings its own
        effects.append(reminders_for(one, mine, knowledge, ask.now))
    for party in change.offers:
        told: list[ClockEffect] = offered(one, party, seen, knowledge, ask.now)
        effects += told
    awaits: Awaits = "offer" if mine.offer is not None else ""
    effects.append(SpeakOf(on=on, intent=kind, awaits=awaits, people=wanted or mine.people, before=before))
    extras = _extras(change, one, ask)
    said = _said(change, before, one, ask, wanted)
    if by_name and change.outcome == "coming":
        said = voice_changed(change.mine, one, ask.voice)
        extras = ()
    return Served(sentence=said, extras=extras, effects=tuple(effects))


def holding(one: EventDay, ask: Ask) -> Hold:
    """How long a place is held that is offered now."""
    return hold(one, ask.voice.knowledge, ask.now)


def voice_changed(mine: Kept, one: EventDay, voice: Voice) -> str:
    """That the party has changed, and who it is now."""
    who = company(mine, voice)
    people = headcount(mine.people, voice)
    return voice.say("rsvp.changed", event=named(one, voice), people=f"{people} ({who})" if who else people)


def _said(change: Change, before: Kept, one: EventDay, ask: Ask, wanted: int | None) -> str:
    voice, mine = ask.voice, change.mine
    people = headcount(max(1, mine.people), voice)
    values = {"event": named(one, voice), "people": people}
    room = free(one.event.places, count_of(id_of(one), ask.known)) or 0
    until = voice.moment(mine.offer.until, ask.now) if mine.offer else ""
    match change.outcome:
        case "coming":
            key = "coming"
            if before.state == "coming":
                key = "same" if before.people == mine.people else "changed"
            if mine.stand_in is not None:
                return voice.say("rsvp.stand_in", name=mine.stand_in, **values)
            return voice.say(f"rsvp.{key}", **values)
        case "waiting" if before.state == "waiting":
            return voice.say("rsvp.still_waiting", **values)
        case "waiting":
            return voice.say("rsvp.waiting" if room == 0 else "rsvp.waiting_turn", **values, room=room)
        case "part offered":
            held = mine.offer.people if mine.offer else 0
            return voice.say("rsvp.part_offered", **values, free=held, until=until)
        case "no room for more":
            more = headcount(wanted or 0, voice)
            return voice.say("rsvp.no_room_for_more", **values, wanted=more, room=room)
        case "more than offered":
            held = mine.offer.people if mine.offer else 0
            return voice.say("rsvp.more_than_offered", **values, free=held, until=until)
        case "maybe":
            return voice.say("rsvp.maybe", **values)
        case "off":
            return voice.say("rsvp.left_line" if before.state == "waiting" else "rsvp.off", event=values["event"])
        case "kept in line":
            return voice.say("rsvp.kept_in_line", **values)


def _extras(change: Change, one: EventDay, ask: Ask) -> tuple[str, ...]:
    """Where and when to be there, and the one thing that the list still lacks: a name."""
    voice = ask.voice
    if change.outcome != "coming" or not ask.alone:
        return ()
    meet = one.meet.to(voice.language)
    said = [voice.say("rsvp.meet", meet=meet)]
    if one.event.sign_up is not None:
        said = [voice.say("rsvp.sign_up", time=voice.clock(one.event.sign_up), meet=meet)]
    if ask.known.sender.name is None and not any(rsvp.state != "off" for rsvp in ask.known.rsvps.values()):
        said.append(voice.say("rsvp.your_name"))
    return tuple(said)
