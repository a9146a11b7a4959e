"""What somebody of the club sees on asking: how things stand, who is on duty, what they may text."""

from collections.abc import Mapping
from datetime import date, timedelta

from clubbot.conversation.ask import Ask, Served
from clubbot.conversation.codes import waiting
from clubbot.conversation.helping import cut
from clubbot.conversation.live import place
from clubbot.conversation.named_deeds import named_deed
from clubbot.conversation.occasions import count_of, named
from clubbot.conversation.phrasing import capital
from clubbot.conversation.report_list import open_reports
from clubbot.conversation.visits import VISIT
from clubbot.conversation.went_out import line_faults
from clubbot.events.choosing import id_of
from clubbot.events.days import EventDay, between, upcoming
from clubbot.model.club import Closure, Person
from clubbot.model.known import Question
from clubbot.model.orders import ShowDuty
from clubbot.model.seen import Matter, ShowOrders
from clubbot.people.duty import on_duty, turns_on
from clubbot.people.roles import Permit, may

_MOST_LISTED = 3
_QUOTED = 40
_WEEK = 7
# What each matter takes, and by which key it is told: in few words, and with examples.
_MATTERS: Mapping[Matter, Permit] = {
    "course": "close and reopen",
    "events": "call off events",
    "news": "tell people",
    "signups": "sign people up",
    "questions": "answer questions",
    "reports": "answer questions",
    "duty": "swap duty",
    "phones": "change people",
}


def status(ask: Ask, person: Person) -> Served:
    """How things stand: the course with its holds, the events of today and tomorrow or the next, what waits, what is wrong with the line."""
    said = [*_course(ask), _events(ask)]
    if may(person, "answer questions"):
        said += [_questions(ask), _reports(ask)]
    said += [_money(ask, person), line_faults(ask)]
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
    said = []
    for key, day in (("overview.today", today), ("overview.tomorrow", today + timedelta(days=1))):
        days = between(voice.knowledge.events, day, day, zone)
        if days:
            said.append(voice.say(key, list="; ".join(_event(one, ask) for one in days[:_MOST_LISTED])))
    if said:
        return " ".join(said)
    coming = upcoming(voice.knowledge.events, ask.now, zone)
    return voice.say("overview.next", list=_event(coming[0], ask)) if coming else ""


def _event(one: EventDay, ask: Ask) -> str:
    key = "overview.event_off" if one.called_off else "overview.event"
    return ask.voice.say(key, event=named(one, ask.voice), people=count_of(id_of(one), ask.known).coming)


def _money(ask: Ask, person: Person) -> str:
    """What texts have cost since the month began, for whoever gets the digest, where that stands too."""
    parts = ask.known.month_parts
    if parts is None or not may(person, "get the digest"):
        return ""
    voice, club = ask.voice, ask.voice.knowledge.club
    month = voice.say(f"calendar.months.{ask.now.astimezone(club.zone).month - 1}")
    cost = voice.money(f"{parts * club.text_part_price:.2f}")
    return voice.say("overview.money", month=month, parts=parts, cost=cost)


def people(ask: Ask) -> Served:
    """Who belongs to the club's people now, with what they do; whose phone takes no orders is marked."""
    voice = ask.voice
    said = [
        voice.say(
            "overview.person_suspended" if one.id in voice.knowledge.suspended else "overview.person",
            name=one.name,
            roles=voice.roles(one.roles),
        )
        for one in voice.knowledge.people
        if one.roles
    ]
    return Served(sentence=voice.say("overview.people", list=", ".join(said)))


def _questions(ask: Ask) -> str:
    left = [one for one in ask.known.questions.values() if one.answered_by is None]
    if not left:
        return ask.voice.say("overview.no_questions")
    listed = ", ".join(_question(one, ask) for one in left[:_MOST_LISTED])
    return ask.voice.say("overview.questions", count=len(left), list=listed)


def _question(one: Question, ask: Ask) -> str:
    key = "crowd.visit" if one.reason == VISIT else "crowd.one"
    return ask.voice.say(key, number=one.number, text=cut(one.words, _QUOTED))


def _reports(ask: Ask) -> str:
    """How many reports are open."""
    count = len(open_reports(ask))
    return ask.voice.say("overview.reports", count=count) if count else ""


def duty(order: ShowDuty, ask: Ask) -> Served:
    """Who is on duty now, on a day, or on each day of a week."""
    voice, knowledge = ask.voice, ask.voice.knowledge
    today = ask.now.astimezone(knowledge.club.zone).date()
    if order.all:
        return _duty_on(today, today + timedelta(days=_WEEK - 1), ask)
    if order.when is not None and order.when.last > max(order.when.first, today):
        return _duty_on(max(order.when.first, today), order.when.last, ask)
    if order.when is None or order.when.first == today:
        found = on_duty(knowledge, ask.now)
        if found.resumes is None:
            return Served(sentence=voice.say("duty.now", name=found.person.first_name))
        resumes = voice.moment(found.resumes, ask.now)
        return Served(sentence=voice.say("duty.next", name=found.person.first_name, resumes=resumes))
    day = order.when.first
    names = _names_on(day, ask)
    if not names:
        return Served(sentence=voice.say("duty.nobody_then", day=voice.dated(day)))
    return Served(sentence=voice.say("duty.then", day=capital(voice.dated(day)), names=voice.joined(names)))


def _names_on(day: date, ask: Ask) -> list[str]:
    knowledge = ask.voice.knowledge
    return list(dict.fromkeys(knowledge.person(one.person).first_name for one in turns_on(knowledge, day)))


def _duty_on(first: date, last: date, ask: Ask) -> Served:
    """Each day with its date and who has it."""
    voice = ask.voice
    days = [first + timedelta(days=ahead) for ahead in range(min((last - first).days + 1, _WEEK))]
    said = [
        voice.say(
            "duty.of_day", day=voice.dated(day), names=voice.joined(_names_on(day, ask)) or voice.say("duty.nobody")
        )
        for day in days
    ]
    return Served(sentence=voice.say("duty.list", list=", ".join(said)))


def orders(order: ShowOrders, ask: Ask, person: Person) -> Served:
    """What the person may text, by role, in few words; the orders of one matter with their examples."""
    voice = ask.voice
    mine = [matter for matter, permit in _MATTERS.items() if may(person, permit)]
    if order.about is None:
        said = [voice.say("overview.can"), *(voice.say(f"overview.short_{matter}") for matter in mine)]
        topics = [voice.say(f"overview.matter_{matter}") for matter in mine]
        return Served(sentence=f"{' '.join(said)} {voice.say('overview.ask_about', list=', '.join(topics))}")
    if order.about not in mine:
        return Served(sentence=voice.say("overview.not_yours", matter=voice.say(f"overview.matter_{order.about}")))
    soon = upcoming(voice.knowledge.events, ask.now, voice.knowledge.club.zone)
    event = (soon[0].event.also_called or (soon[0].event.name.to(voice.language),))[0] if soon else ""
    examples = voice.say(f"overview.can_{order.about}", event=event.upper())
    hold = voice.say("overview.can_hold") if order.about == "course" else ""
    return Served(sentence=f"{examples} {hold}".strip())
