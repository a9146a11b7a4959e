"""What somebody of the club sees on asking: how things stand, who is on duty, what they may text."""

from datetime import timedelta

from clubbot.conversation.ask import Ask, Served
from clubbot.conversation.codes import waiting
from clubbot.conversation.helping import quoted
from clubbot.conversation.live import place
from clubbot.conversation.named_deeds import named_deed
from clubbot.conversation.occasions import count_of, named
from clubbot.conversation.phrasing import capital
from clubbot.events.choosing import id_of
from clubbot.events.days import EventDay, between, upcoming
from clubbot.model.club import WEEKDAYS, Closure, Person
from clubbot.model.orders import ShowDuty
from clubbot.people.duty import on_duty
from clubbot.people.roles import Permit, may

_MOST_LISTED = 3
_QUOTED = 40
# In the order in which they are told.
_SHOWN: tuple[Permit, ...] = (
    "close and reopen",
    "call off events",
    "tell people",
    "sign people up",
    "answer questions",
    "swap duty",
)


def status(ask: Ask, person: Person) -> Served:
    """How things stand, in one text: the course with its holds, today's events or the next, what waits."""
    said = [*_course(ask), _events(ask)]
    if may(person, "answer questions"):
        said.append(_questions(ask))
    waits = waiting(ask)
    if waits:
        said.append(ask.voice.say("overview.draft", what=named_deed(waits[0][0].deed, ask.voice)))
    return Served(sentence=" ".join(one for one in said if one))


def _course(ask: Ask) -> list[str]:
    voice = ask.voice
    ours = (*voice.knowledge.course.closures, *ask.known.closures)
    begun = [one for one in ours if one.since.astimezone(voice.knowledge.club.zone) <= ask.now and one.kind != "note"]
    current = [one for one in begun if one.until is None or one.until.astimezone(voice.knowledge.club.zone) > ask.now]
    held = [one for one in current if one.kind == "held"]
    shut = [one for one in current if one.kind != "held"]
    planned = [one for one in ask.known.closures if one not in begun and one.kind != "note"]
    said = [voice.say("overview.held", time=voice.hour(held[0].since))] if held else []
    said.append(voice.say("overview.closed", list="; ".join(_closure(one, ask) for one in shut)) if shut else "")
    if planned:
        said.append(voice.say("overview.planned", list="; ".join(_closure(one, ask) for one in planned[:_MOST_LISTED])))
    return said if held or shut else [voice.say("overview.open"), *said]


def _closure(one: Closure, ask: Ask) -> str:
    voice = ask.voice
    values = {"what": place(one.what, voice), "reason": one.reason.to(voice.language)}
    if one.until is None:
        return voice.say("order.reopen_one", **values)
    return voice.say("order.reopen_until", **values, until=voice.moment(one.until, ask.now))


def _events(ask: Ask) -> str:
    voice, zone = ask.voice, ask.voice.knowledge.club.zone
    today = ask.now.astimezone(zone).date()
    days = between(voice.knowledge.events, today, today, zone)
    if days:
        return voice.say("overview.today", list="; ".join(_event(one, ask) for one in days[:_MOST_LISTED]))
    coming = upcoming(voice.knowledge.events, ask.now, zone)
    return voice.say("overview.next", list=_event(coming[0], ask)) if coming else ""


def _event(one: EventDay, ask: Ask) -> str:
    key = "overview.event_off" if one.called_off else "overview.event"
    return ask.voice.say(key, event=named(one, ask.voice), people=count_of(id_of(one), ask.known).coming)


def _questions(ask: Ask) -> str:
    left = [one for one in ask.known.questions.values() if one.answered_by is None]
    if not left:
        return ask.voice.say("overview.no_questions")
    listed = ", ".join(f'Q{one.number} "{quoted(one.words)[:_QUOTED]}"' for one in left[:_MOST_LISTED])
    return ask.voice.say("overview.questions", count=len(left), list=listed)


def duty(order: ShowDuty, ask: Ask) -> Served:
    """Who is on duty now, or on a day."""
    voice, knowledge = ask.voice, ask.voice.knowledge
    if order.when is None or order.when.first == ask.now.astimezone(knowledge.club.zone).date():
        found = on_duty(knowledge, ask.now)
        if found.resumes is None:
            return Served(sentence=voice.say("duty.now", name=found.person.first_name))
        resumes = voice.moment(found.resumes, ask.now)
        return Served(sentence=voice.say("duty.next", name=found.person.first_name, resumes=resumes))
    day = order.when.first
    swapped = {swap.instead_of: swap.taker for swap in knowledge.swaps if swap.day == day}
    turns = [one for one in knowledge.duty if WEEKDAYS[day.weekday()] in one.days]
    names = dict.fromkeys(knowledge.person(swapped.get(one.person, one.person)).first_name for one in turns)
    if not names:
        return Served(sentence=voice.say("duty.nobody_then", day=voice.dated(day)))
    return Served(sentence=voice.say("duty.then", day=capital(voice.dated(day)), names=voice.joined(list(names))))


def orders(ask: Ask, person: Person) -> Served:
    """What the person may text, by role."""
    voice = ask.voice
    soon = upcoming(voice.knowledge.events, ask.now - timedelta(0), voice.knowledge.club.zone)
    event = (soon[0].event.also_called or (soon[0].event.name.to(voice.language),))[0] if soon else ""
    said = [voice.say("overview.can_hold")]
    said += [
        voice.say(f"overview.can_{permit.replace(' ', '_')}", event=event.upper())
        for permit in _SHOWN
        if may(person, permit)
    ]
    return Served(sentence=" ".join(said))
