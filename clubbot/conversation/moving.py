"""A sign-up that goes to another day: off the one and on the other in one go, with the same people. Where the other is full nothing is given up."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from typing import TypeGuard

from clubbot.conversation.ask import Ask, Served
from clubbot.conversation.coming import answer
from clubbot.conversation.occasions import (
    count_of,
    day_named,
    headcount,
    hold,
    named,
    none_then,
    reminders_for,
    standing,
)
from clubbot.conversation.own_days import Own, own_days, spoken_of
from clubbot.conversation.phrasing import capital
from clubbot.conversation.settling import settle
from clubbot.conversation.which_day import which_day
from clubbot.events.choosing import Chosen, Meant, NotThen, Over, Several, day_of, entry_of, id_of
from clubbot.events.days import EventDay, between, open_to_answers
from clubbot.model.effects import Effect, KeepRsvp, PlanReminders, SpeakOf
from clubbot.model.intents import Party, Rsvp, RsvpKind, When
from clubbot.model.rsvps import NOTHING_SAID, Said
from clubbot.rsvps.places import free, say_no
from clubbot.understanding.once import Reading

# How a sign-up that was just moved is spoken of: "no, thursday" moves it on, "never mind" does not take it off.
MOVED = "rsvp-move"
_LONGEST = 18  # words
_MONTH = 62  # days in which every number of a month comes up


@dataclass(frozen=True, slots=True)
class _Move:
    """To where, and from where as far as the text says it."""

    to: Reading
    away: Reading | None = None


def moved(ask: Ask, reading: Reading) -> Served | None:
    """The sign-up moved, or what stands in the way of it; None where the text moves none, or nobody is down."""
    move = _said(reading)
    mine = [one for one in own_days(ask) if one.day.starts > ask.now]
    if move is None or not mine or reading.answer.stand_in is not None or len(reading.text.split()) > _LONGEST:
        return None
    chosen = _target(move.to, _of(move, mine, ask), ask)
    if chosen is None:
        return None
    source = _source(move, mine, chosen, ask)
    if isinstance(source, str):
        return Served(sentence=source)
    if source is None:
        return None
    match chosen:
        case Meant(day):
            return None if entry_of(day) == source.on else _moved(source, day, reading.answer.party.total, ask)
        case Several(days):
            listed = ask.voice.joined([named(one, ask.voice) for one in days])
            return _stays("move.which", source, ask, list=listed)
        case NotThen(day, event, nearest) | Over(day, event, nearest):
            said = none_then(day, event, ask.voice)
            near = ask.voice.say("move.nearest", nearest=named(nearest, ask.voice)) if nearest is not None else ""
            return _stays("move.none", source, ask, said=f"{said} {near}".strip())
        case _:
            return None


def _said(reading: Reading) -> _Move | None:
    """What the rules say of a move: "to" behind it, "instead of" between the two, "not this one, the one after"."""
    said = reading.noticed
    to, instead = said.first("moves to"), said.first("comes instead of")
    if instead is not None and (before := reading.text[: said.start(instead)].strip()):
        return _Move(reading.anew(before), reading.anew(said.after(instead)))
    if to is not None and said.after(to):
        return _Move(reading.anew(reading.text[said.words(to)[-1].start :]), _between(reading))
    if said.says("skips one") or said.says("comes then instead"):
        return _Move(reading)
    return None


def _between(reading: Reading) -> Reading | None:
    """The day that is named behind "from", before "to"."""
    said = reading.noticed
    away, to = said.first("moves away from"), said.first("moves to")
    if away is None or to is None:
        return None
    words = said.after(away)
    return reading.anew(words[: len(words) - len(said.after(to))])


def _of(move: _Move, mine: list[Own], ask: Ask) -> Own | None:
    """The sign-up that is moved, as far as that is clear without where it goes: named, spoken of, the only one."""
    if move.away is not None:
        said = move.away.answer
        chosen = which_day(None, said.event, said.when, _afresh(ask), only_mine=True)
        named_one = next((one for one in mine if isinstance(chosen, Meant) and one.on == entry_of(chosen.day)), None)
        if named_one is not None or said.event is not None or (said.when is not None and said.when.dated):
            return named_one
    return spoken_of(mine, ask) or (mine[0] if len(mine) == 1 else None)


def _source(move: _Move, mine: list[Own], chosen: Chosen, ask: Ask) -> Own | str | None:
    """The sign-up that is moved; the question which where several could be meant."""
    found = _of(move, mine, ask)
    if move.away is not None:
        return found
    of_event = [one for one in mine if isinstance(chosen, Meant) and one.on.event == chosen.day.event.id]
    if len(of_event) == 1:  # "move me to the 16th" is a league night, of who is down for the league and a clinic
        return of_event[0]
    if found is not None:
        return found
    return ask.voice.say("move.which_of", list=ask.voice.joined([named(one.day, ask.voice) for one in mine]))


def _target(to: Reading, source: Own | None, ask: Ask) -> Chosen | None:
    """Where it goes: another day of the same event where there is one then, else what is on then. None where no day or event is named."""
    said, zone = to.answer, ask.voice.knowledge.club.zone
    day = _day_of_the_month(ask)
    said = said if day is None else replace(said, when=When(day, day))
    dated = said.when is not None and said.when.dated
    if not dated and source is not None and (to.noticed.says("the one after it") or said.event == source.on.event):
        following = _following(source, ask)
        return None if following is None else Meant(following)
    if not dated and said.event is None:
        return None
    event = said.event
    if event is None and source is not None and said.when is not None:
        same = between([source.day.event], said.when.first, said.when.last, zone)
        event = source.on.event if any(entry_of(one) != source.on for one in same) else None
    return which_day(None, event, said.when, _afresh(ask))


def _day_of_the_month(ask: Ask) -> date | None:
    """ "Au 16": the next day of that number."""
    found = ask.said.first("moves to that day of the month")
    if found is None:
        return None
    number, today = ask.said.words(found)[-1].number, ask.now.astimezone(ask.voice.knowledge.club.zone).date()
    ahead = (today + timedelta(days=more) for more in range(_MONTH))
    return next((day for day in ahead if day.day == number), None)


def _following(source: Own, ask: Ask) -> EventDay | None:
    days = open_to_answers([source.day.event], ask.now, ask.voice.knowledge.club.zone)
    return next((one for one in days if one.starts > source.day.starts and not one.called_off), None)


def _afresh(ask: Ask) -> Ask:
    """Without what was spoken of, which the text is to leave."""
    return replace(ask, known=replace(ask.known, dialogue=replace(ask.known.dialogue, talk=None)))


def _moved(source: Own, day: EventDay, number: int | None, ask: Ask) -> Served:
    """With the same people, or the `number` that the text tells."""
    voice, on = ask.voice, id_of(day)
    already = standing(day, ask.known).mine
    people = number or max(source.rsvp.people, already.people if already.is_down else 0)
    who = Said(comes=source.rsvp.who) if source.rsvp.who else NOTHING_SAID
    kind: RsvpKind = "rsvp-maybe" if source.rsvp.state == "maybe" else "rsvp-yes"
    served = answer(Rsvp(kind, on=on, party=Party(total=people), said=who), _afresh(ask))
    kept = next((one.rsvp for one in served.effects if isinstance(one, KeepRsvp) and one.on == on), None)
    if kept is None:
        left = voice.say("move.stays", event=named(source.day, voice))
        return replace(served, sentence=f"{served.sentence} {left}", extras=())
    if kept.state == "waiting" and source.rsvp.state != "waiting":
        return _full(source, day, people, ask)
    left_day = day_of(source.on, voice.knowledge) or source.day
    change = say_no(standing(left_day, ask.known), hold(left_day, voice.knowledge, ask.now))
    off = [one for one in settle(change, left_day, ask, "rsvp-no").effects if not isinstance(one, SpeakOf)]
    said = voice.say(
        f"move.{kept.state}",
        to=named(day, voice),
        people=headcount(kept.people, voice),
        left=day_named(source.day, voice),
    )
    speak = SpeakOf(on=on, intent=MOVED, people=kept.people)
    there: list[Effect] = [one for one in served.effects if not isinstance(one, SpeakOf)]
    if source.rsvp.unreminded:
        there = _unreminded(there, day, ask)
    extras = served.extras if kept.state == "coming" else ()
    return Served(
        sentence=said,
        extras=extras,
        effects=(*off, *there, speak),
        event=on.event,
        party=kept.people,
        intent=Rsvp("rsvp-change", on=on),
    )


def _unreminded(effects: Sequence[Effect], day: EventDay, ask: Ask) -> list[Effect]:
    """The wish for no reminder goes along."""
    kept = [
        replace(one, rsvp=replace(one.rsvp, unreminded=True)) if _of_sender(one, day, ask) else one for one in effects
    ]
    rsvps = [one.rsvp for one in kept if isinstance(one, KeepRsvp) and _of_sender(one, day, ask)]
    left: list[Effect] = [one for one in kept if not isinstance(one, PlanReminders)]
    return [*left, *(reminders_for(day, rsvp, ask.voice.knowledge, ask.now) for rsvp in rsvps)]


def _of_sender(effect: Effect, day: EventDay, ask: Ask) -> TypeGuard[KeepRsvp]:
    return isinstance(effect, KeepRsvp) and effect.on == id_of(day) and effect.rsvp.number == ask.known.sender.number


def _full(source: Own, day: EventDay, people: int, ask: Ask) -> Served:
    """The other day has no room: asked whether to wait there, and the place here is kept."""
    voice, on = ask.voice, id_of(day)
    room = free(day.event.places, count_of(on, ask.known)) or 0
    said = voice.say(
        "move.full" if room == 0 else "move.little_room",
        to=capital(named(day, voice)),
        room=room,
        people=headcount(people, voice),
        left=day_named(source.day, voice),
    )
    speak = SpeakOf(on=on, intent="rsvp-yes", awaits="this", people=people)
    return Served(sentence=said, effects=(speak,), event=on.event)


def _stays(key: str, source: Own, ask: Ask, **values: object) -> Served:
    said = ask.voice.say(key, **values)
    left = ask.voice.say("move.stays", event=named(source.day, ask.voice))
    speak = SpeakOf(on=source.on, intent="late")
    return Served(sentence=f"{said} {left}", effects=(speak,))
