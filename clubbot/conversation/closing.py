"""What is closed, held, noted, open again or called off: shown first, with a code, and done on the code. Only holding play goes without one:
it is the safe direction.
"""

from collections.abc import Sequence
from datetime import datetime, timedelta

from clubbot.conversation.ask import Ask, Served
from clubbot.conversation.codes import with_code
from clubbot.conversation.covering import covered, places_of
from clubbot.conversation.live import place
from clubbot.conversation.occasions import count_of, headcount, named
from clubbot.conversation.phrasing import Voice, capital
from clubbot.course.reasons import understood
from clubbot.course.status import WHOLE, holes_of
from clubbot.events.choosing import id_of
from clubbot.events.days import EventDay, between
from clubbot.model.club import Closure, Knowledge, Person
from clubbot.model.deeds import CloseDeed, ReopenDeed, TellDeed
from clubbot.model.effects import CloseCourse, Effect, Record, ReopenCourse, TellPerson
from clubbot.model.messages import Said
from clubbot.model.orders import Audience, Close, NoteOn, Reopen
from clubbot.people.roles import may

# The usual advice where the club's facts say nothing: 30 minutes after the last thunder.
_THUNDER_WAIT = 30


def thunder_wait(knowledge: Knowledge) -> timedelta:
    """How long after the last thunder nobody plays, by the club's facts."""
    written = knowledge.facts.get("en", {}).get("weather.thunder_wait_minutes", str(_THUNDER_WAIT))
    return timedelta(minutes=int(written) if written.isdigit() else _THUNDER_WAIT)


def close(order: Close, ask: Ask) -> Served:
    """Shows what would be closed, from when until when and why, and what of the order was not used."""
    reason, kind = understood(order.reason)
    since = max(order.since or ask.now, ask.now)
    at_once = since == ask.now
    deed = CloseDeed(
        what=order.what, since=since, until=order.until, reason=reason, kind=kind, also=order.also, at_once=at_once
    )
    return shown_closure(deed, ask, order.unused)


def shown_closure(deed: CloseDeed, ask: Ask, unused: str = "") -> Served:
    """What would be closed with its code; a plain no where its end is over."""
    voice = ask.voice
    if deed.until is not None and deed.until <= deed.since:
        return Served(sentence=voice.say("order.over", time=voice.moment(deed.until, ask.now)))
    values = {
        "what": places_of((deed.what, *deed.also), voice),
        "since": voice.say("order.now") if deed.since == ask.now else voice.moment(deed.since, ask.now),
        "until": voice.moment(deed.until, ask.now) if deed.until else voice.say("order.further_notice"),
        "reason": deed.reason.to(voice.language),
    }
    ends = f"order.close_{deed.kind}" if deed.until is not None else "order.close_open"
    shown = f"{voice.say('order.close', **values)} {voice.say(ends)}"
    return with_code(deed, with_unused(capital(shown), unused, voice), ask)


def with_unused(shown: str, unused: str, voice: Voice) -> str:
    """What would be done, and what of the order is not."""
    return f"{shown} {voice.say('order.unused', words=unused)}" if unused else shown


def closed(deed: CloseDeed, ask: Ask, person: Person) -> Served:
    """The code has come: it is closed, or has its note, and whoever may call off what it covers is told."""
    voice = ask.voice
    parts = (deed.what, *deed.also)
    effects: tuple[Effect, ...] = (
        *(CloseCourse(closure=_closure(part, deed, ask.now), person=person.id) for part in parts),
        Record(person=person.id, what=f"{deed.kind}: {', '.join(parts)}, {deed.reason.en}"),
    )
    key = "order.noted" if deed.kind == "note" else "order.closed"
    said = voice.say(key, what=capital(places_of(parts, voice)))
    off, told = covered(deed, ask, person)
    # Nobody is texted by the closure alone; whoever wrote "and tell everyone" has to see that.
    too = voice.say("order.tell_too") if deed.kind != "note" and may(person, "tell people") else ""
    return Served(sentence=" ".join(f"{said} {too} {off}".split()), effects=(*effects, *told))


def _closure(part: str, deed: CloseDeed, now: datetime) -> Closure:
    """What the deed closes; one from now on is in force when its code comes, also on a clock that was set back since it was ordered."""
    since = min(deed.since, now) if deed.at_once else deed.since
    return Closure(what=part, since=since, until=deed.until, reason=deed.reason, kind=deed.kind)


def note_on(order: NoteOn, ask: Ask) -> Served:
    """Show what would be noted on a part of the course that stays open."""
    return shown_note(order.what, order.words, ask)


def shown_note(what: str, words: str, ask: Ask) -> Served:
    """A note with its code."""
    said = Said(en=words, fr=words)
    deed = CloseDeed(what=what, since=ask.now, until=None, reason=said, kind="note", at_once=True)
    return with_code(deed, ask.voice.say("order.note", what=place(what, ask.voice), words=words), ask)


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
    deed = ReopenDeed(closures=numbers, what=places, hold=all(one.kind == "held" for one in meant))
    listed = "; ".join(_with_reason(one, ask) for one in meant)
    key = "order.release" if deed.hold else "order.reopen"
    shown = f"{voice.say(key, what=listed)} {_left(meant, ask)}".strip()
    return with_code(deed, with_unused(shown, order.unused, voice), ask)


def _meant(order: Reopen, ask: Ask) -> list[Closure]:
    """The closures, or the hold, that an order to reopen is about: a hold and a closure are two things, and only one of them is ended."""
    # A closure that is planned for later is none yet, and a note closes nothing: both only where they are named.
    ours = [one for one in ask.known.closures if one.number is not None]
    begun = [one for one in ours if one.in_force(ask.now) and one.kind != "note"]
    held = [one for one in begun if one.kind == "held"]
    if order.hold:
        return held
    if order.what is None:  # what was asked about after a hold
        return held or begun
    parts = (order.what, *order.also)
    meant = [one for one in ours if one.what in parts and one.kind != "held"]
    if meant:
        return meant
    course = ask.voice.knowledge.course
    asked = frozenset[int]().union(*(holes_of(part, course) for part in parts))
    shut = [one for one in begun if one.kind != "held"]
    around = [one for one in shut if asked and asked <= holes_of(one.what, course)]
    return around or (held or shut if order.what == WHOLE else [])


def _left(meant: Sequence[Closure], ask: Ask) -> str:
    """What stays closed or on hold all the same."""
    others = [
        one
        for one in ask.known.closures
        if one.number is not None and one.since <= ask.now and one.kind != "note" and one not in meant
    ]
    listed = "; ".join(_with_reason(one, ask) for one in others)
    return ask.voice.say("order.left_closed", list=listed) if others else ""


def _with_reason(closure: Closure, ask: Ask) -> str:
    """A closure as it is named before it is ended: what, why, by whom, until when."""
    voice = ask.voice
    by = next((one.first_name for one in voice.knowledge.people if one.id == closure.by), None)
    reason = closure.reason.to(voice.language)
    if by is not None and closure.by != _sender(ask):
        reason = voice.say("order.closed_by", reason=reason, name=by)
    values = {
        "what": voice.say("order.the_hold") if closure.kind == "held" else place(closure.what, voice),
        "reason": reason,
    }
    if closure.until is None:
        return voice.say("order.reopen_one", **values)
    return voice.say("order.reopen_until", **values, until=voice.moment(closure.until, ask.now))


def _sender(ask: Ask) -> str | None:
    return next((one.id for one in ask.voice.knowledge.people if one.number == ask.known.sender.number), None)


def reopened(deed: ReopenDeed, ask: Ask, person: Person) -> Served:
    """The code has come: open again, unless there was thunder since."""
    held = [one for one in ask.known.closures if one.kind == "held" and one.number in deed.closures]
    waits = too_soon(held, ask)
    if waits is not None:
        return waits
    ended = [one for one in ask.known.closures if one.number in deed.closures]
    if not ended:
        return Served(sentence=ask.voice.say("order.not_closed"))
    record = Record(person=person.id, what=f"reopened {deed.what}")
    key = "order.released" if held and len(held) == len(ended) else "order.reopened"
    left = _left(ended, ask) or (ask.voice.say("order.all_open") if key == "order.released" else "")
    said = f"{ask.voice.say(key, what=capital(deed.what))} {left}".strip()
    return Served(
        sentence=said, effects=(ReopenCourse(closures=deed.closures), record, *_told_their_makers(ended, ask, person))
    )


def _told_their_makers(ended: Sequence[Closure], ask: Ask, person: Person) -> list[TellPerson]:
    """Whoever made a closure that somebody else ends hears of it."""
    told: list[TellPerson] = []
    for other in ask.voice.knowledge.people:
        theirs = Voice(ask.voice.knowledge, other.language)
        made = [one for one in ended if one.by == other.id and other.id != person.id]
        if made:
            what = places_of((one.what for one in made), theirs)
            key = "order.released_note" if all(one.kind == "held" for one in made) else "order.reopened_note"
            note = theirs.say(key, name=person.first_name, what=what)
            told.append(TellPerson(person=other.id, number=other.number, text=note))
    return told


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


def hold_play(ask: Ask, person: Person) -> Served:
    """Held at once; telling people takes the code. Each thunder starts the wait again."""
    voice, knowledge = ask.voice, ask.voice.knowledge
    held = Closure(what=WHOLE, since=ask.now, reason=Said(en="thunder", fr="orage"), kind="held")
    effects: list[Effect] = [CloseCourse(closure=held, person=person.id), Record(person=person.id, what="held play")]
    minutes = thunder_wait(knowledge) // timedelta(minutes=1)
    said = voice.say("order.held", minutes=minutes)
    today = _today(ask)
    if today is None or person.id in knowledge.suspended:
        return Served(sentence=said, effects=tuple(effects))
    on = id_of(today)
    words = Said(en=Voice(knowledge, "en").say("status.held"), fr=Voice(knowledge, "fr").say("status.held"))
    audience = Audience("event", event=on.event)
    deed = TellDeed(audience=audience, event=on.event, day=on.day, words=words, french_missing=False, safety=True)
    count = count_of(on, ask.known)
    shown = voice.say("order.held_tell", event=named(today, voice), people=headcount(count.coming, voice))
    coded = with_code(deed, shown, ask)
    return Served(sentence=f"{said} {coded.sentence}", effects=(*effects, *coded.effects))


def _today(ask: Ask) -> EventDay | None:
    """The event day of today that somebody is coming to."""
    knowledge, zone = ask.voice.knowledge, ask.voice.knowledge.club.zone
    today = ask.now.astimezone(zone).date()
    days = [one for one in between(knowledge.events, today, today, zone) if not one.called_off]
    return next((one for one in days if count_of(id_of(one), ask.known).coming), None)


def asked_reopening(closure: Closure, person: Person, knowledge: Knowledge, now: datetime) -> str:
    """What the keeper is asked when a closure's time is over, or whoever held play when the wait is."""
    voice = Voice(knowledge, person.language)
    if closure.kind == "held":
        minutes = thunder_wait(knowledge) // timedelta(minutes=1)
        return voice.say("order.ask_held", minutes=minutes, last=voice.hour(closure.since))
    return capital(
        voice.say("order.ask_closed", what=place(closure.what, voice), reason=closure.reason.to(voice.language))
    )
