"""The event days that a closure covers: a closure calls nothing off by itself, so whoever may is told how."""

from collections.abc import Iterable, Sequence
from datetime import timedelta

from clubbot.conversation.ask import Ask
from clubbot.conversation.live import place
from clubbot.conversation.occasions import count_of, named
from clubbot.conversation.phrasing import Voice, capital
from clubbot.course.status import WHOLE, holes_of
from clubbot.events.choosing import id_of
from clubbot.events.days import EventDay, between
from clubbot.model.club import Person
from clubbot.model.deeds import CloseDeed
from clubbot.model.effects import Effect, TellPerson
from clubbot.people.roles import may

# Of a closure without an end the events of so many days are named.
_LOOK_AHEAD = timedelta(days=7)
_MOST_NAMED = 3


def places_of(parts: Iterable[str], voice: Voice) -> str:
    """Parts of the course as they are called, each once."""
    return voice.joined(list(dict.fromkeys(place(one, voice) for one in parts)))


def covered(deed: CloseDeed, ask: Ask, person: Person) -> tuple[str, tuple[Effect, ...]]:
    """The events that a closure covers, and how each is called off; whoever may do that is told where it is somebody else."""
    days = _days_covered(deed, ask)
    if not days:
        return "", ()
    if may(person, "call off events"):
        return _covered_words(days, ask, ask.voice), ()
    others = [one for one in ask.voice.knowledge.people if may(one, "call off events")]
    if not others:
        return ask.voice.say("order.covered_only", list=_listed(days, ask, ask.voice)), ()
    other = next((one for one in others if "league director" in one.roles), others[0])
    theirs = Voice(ask.voice.knowledge, other.language)
    closed = capital(theirs.say("order.closed", what=places_of((deed.what, *deed.also), theirs)))
    note = TellPerson(
        person=other.id, number=other.number, text=f"{closed} {_covered_words(days, ask, theirs)}", due=ask.duty.resumes
    )
    said = ask.voice.say("order.covered_told", list=_listed(days, ask, ask.voice), name=other.first_name)
    return said, (note,)


def _days_covered(deed: CloseDeed, ask: Ask) -> list[EventDay]:
    loops = [part for part in (deed.what, *deed.also) if not part.isdigit()]
    if deed.kind == "note" or not loops:
        return []
    knowledge, zone = ask.voice.knowledge, ask.voice.knowledge.club.zone
    until = deed.until or deed.since + _LOOK_AHEAD
    first, last = deed.since.astimezone(zone).date(), until.astimezone(zone).date()
    shut = frozenset[int]().union(*(holes_of(part, knowledge.course) for part in loops))
    return [
        one
        for one in between(knowledge.events, first, last, zone)
        if not one.called_off
        and one.starts < until
        and (one.ends or one.starts + timedelta(hours=2)) > deed.since
        and holes_of(one.event.loop or WHOLE, knowledge.course) & shut
    ]


def _listed(days: Sequence[EventDay], ask: Ask, voice: Voice) -> str:
    return "; ".join(
        voice.say("order.covered_one", event=named(one, voice), people=count_of(id_of(one), ask.known).coming)
        for one in days[:_MOST_NAMED]
    )


def _covered_words(days: Sequence[EventDay], ask: Ask, voice: Voice) -> str:
    event = days[0].event
    example = event.also_called[0] if event.also_called else event.name.to(voice.language)
    return voice.say("order.covered", list=_listed(days, ask, voice), example=example.upper())
