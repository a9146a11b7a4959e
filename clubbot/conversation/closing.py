"""Closing and opening again: what an order to the course would do is shown, named part by part; and which events a closure covers."""

from collections.abc import Iterable, Sequence
from datetime import timedelta

from clubbot.conversation.ask import Ask, Served
from clubbot.conversation.codes import with_code
from clubbot.conversation.live import place
from clubbot.conversation.occasions import count_of, named
from clubbot.conversation.phrasing import Voice, capital
from clubbot.course.reasons import understood
from clubbot.course.status import WHOLE, holes_of
from clubbot.events.choosing import id_of
from clubbot.events.days import EventDay, between
from clubbot.model.club import Closure, Knowledge, Person
from clubbot.model.deeds import CloseDeed, ReopenDeed
from clubbot.model.effects import Effect, TellPerson
from clubbot.model.orders import Close, Reopen
from clubbot.people.roles import may

# Of a closure without an end the events of so many days are named.
_LOOK_AHEAD = timedelta(days=7)
_MOST_NAMED = 3
# The usual advice where the club's facts say nothing: 30 minutes after the last thunder.
_THUNDER_WAIT = 30


def thunder_wait(knowledge: Knowledge) -> timedelta:
    """How long after the last thunder nobody plays, by the club's facts."""
    written = knowledge.facts.get("en", {}).get("weather.thunder_wait_minutes", str(_THUNDER_WAIT))
    return timedelta(minutes=int(written) if written.isdigit() else _THUNDER_WAIT)


def close(order: Close, ask: Ask) -> Served:
    """Shows what would be closed, from when until when and why, and what of the order was not used."""
    voice = ask.voice
    reason, kind = understood(order.reason)
    since = max(order.since or ask.now, ask.now)
    if order.until is not None and order.until <= since:
        return Served(sentence=voice.say("order.over", time=voice.moment(order.until, ask.now)))
    deed = CloseDeed(what=order.what, since=since, until=order.until, reason=reason, kind=kind, also=order.also)
    values = {
        "what": places_of((order.what, *order.also), voice),
        "since": voice.say("order.now") if since == ask.now else voice.moment(since, ask.now),
        "until": voice.moment(order.until, ask.now) if order.until else voice.say("order.further_notice"),
        "reason": reason.to(voice.language),
    }
    ends = f"order.close_{kind}" if order.until is not None else "order.close_open"
    shown = f"{voice.say('order.close', **values)} {voice.say(ends)}"
    return with_code(deed, with_unused(capital(shown), order.unused, voice), ask)


def places_of(parts: Iterable[str], voice: Voice) -> str:
    """Parts of the course as they are called, each once."""
    return voice.joined(list(dict.fromkeys(place(one, voice) for one in parts)))


def with_unused(shown: str, unused: str, voice: Voice) -> str:
    """What would be done, and what of the order is not."""
    return f"{shown} {voice.say('order.unused', words=unused)}" if unused else shown


def reopen(order: Reopen, ask: Ask) -> Served:
    """Names what would be opened again and ends only that. At an hour to come nothing is opened, least of all now."""
    voice = ask.voice
    if order.later:
        said = voice.say("order.reopen_later")
        return Served(sentence=with_unused(said, order.unused, voice))
    meant = _meant(order, ask)
    waits = too_soon([one for one in meant if one.kind == "held"], ask)
    if waits is not None:
        return waits
    if not meant:
        return Served(sentence=voice.say("order.not_held" if order.hold else "order.not_closed"))
    places = places_of((one.what for one in meant), voice)
    numbers = tuple(one.number for one in meant if one.number is not None)
    deed = ReopenDeed(closures=numbers, what=places)
    listed = "; ".join(_with_reason(one, ask) for one in meant)
    return with_code(deed, with_unused(voice.say("order.reopen", what=listed), order.unused, voice), ask)


def _meant(order: Reopen, ask: Ask) -> list[Closure]:
    """The closures that an order to reopen is about."""
    # A closure that is planned for later is none yet, and a note closes nothing: both only where they are named.
    ours = [one for one in ask.known.closures if one.number is not None]
    begun = [one for one in ours if one.since <= ask.now and one.kind != "note"]
    if order.hold:
        return [one for one in begun if one.kind == "held"]
    if order.what is None:
        return begun
    parts = (order.what, *order.also)
    meant = [one for one in ours if one.what in parts and (one.kind != "held" or order.what == WHOLE)]
    if meant:
        return meant
    course = ask.voice.knowledge.course
    asked = frozenset[int]().union(*(holes_of(part, course) for part in parts))
    around = [one for one in begun if asked and asked <= holes_of(one.what, course)]
    return around or (begun if order.what == WHOLE else [])


def _with_reason(closure: Closure, ask: Ask) -> str:
    """A closure as it is named before it is ended: what, why, until when."""
    voice = ask.voice
    values = {"what": place(closure.what, voice), "reason": closure.reason.to(voice.language)}
    if closure.until is None:
        return voice.say("order.reopen_one", **values)
    return voice.say("order.reopen_until", **values, until=voice.moment(closure.until, ask.now))


def too_soon(held: Sequence[Closure], ask: Ask) -> Served | None:
    """That the wait after the last thunder is not over; None where it is."""
    voice = ask.voice
    wait = thunder_wait(voice.knowledge)
    last = max((one.since for one in held), default=None)
    if last is None or ask.now >= last + wait:
        return None
    minutes = wait // timedelta(minutes=1)
    said = voice.say("order.too_soon", last=voice.hour(last), minutes=minutes, time=voice.hour(last + wait))
    return Served(sentence=said)


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
