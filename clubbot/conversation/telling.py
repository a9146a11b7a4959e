"""Texts about an event day that nobody asked for just now: a place that came free, a change of the day, a reminder."""

from datetime import UTC, datetime, timedelta

from clubbot.conversation.occasions import day_named, headcount, named, quiet_hours, reminders_for
from clubbot.conversation.phrasing import Voice, capital
from clubbot.events.choosing import id_of
from clubbot.events.days import EventDay, as_told
from clubbot.model.club import Knowledge
from clubbot.model.effects import ClockEffect, KeepRsvp, TellOf
from clubbot.model.messages import Language
from clubbot.model.rsvps import DayId, InLine, ReminderKind, Rsvp

# A change that comes at night waits until morning where that leaves people at least this long.
TIME_ENOUGH = timedelta(hours=2)


def offered(one: EventDay, party: InLine, seen: int, knowledge: Knowledge, now: datetime) -> list[ClockEffect]:
    """A waiting party is offered places: kept with the day, and told."""
    rsvp = party.rsvp
    assert rsvp.offer is not None  # only offers come here
    voice = Voice(knowledge, party.language)
    whole = rsvp.offer.people == rsvp.people
    text = voice.say(
        "told.offer" if whole else "told.part_offer",
        event=named(one, voice),
        people=headcount(rsvp.offer.people, voice),
        free=rsvp.offer.people,
        party=rsvp.people,
        until=voice.moment(rsvp.offer.until, now),
    )
    on = id_of(one)
    key = f"offer:{on.event}:{on.day}:{rsvp.number}:{int(now.timestamp())}"
    return [
        KeepRsvp(on=on, rsvp=rsvp, seen=seen),
        TellOf(on=on, number=rsvp.number, text=text, key=key, told=as_told(one), awaits="offer"),
    ]


def lapsed(on: DayId, rsvp: Rsvp, seen: int) -> KeepRsvp:
    """A party whose offer's time is over: it stays in line."""
    return KeepRsvp(on=on, rsvp=rsvp, seen=seen)


def changed(
    one: EventDay, rsvp: Rsvp, language: Language, told: str, knowledge: Knowledge, now: datetime
) -> list[ClockEffect]:
    """Somebody in the day's list is told what has become of it since `told`; the reminders follow."""
    voice = Voice(knowledge, language)
    on = id_of(one)
    key = f"change:{on.event}:{on.day}:{rsvp.number}:{int(now.timestamp())}"
    return [
        TellOf(on=on, number=rsvp.number, text=_change(one, rsvp, told, voice), key=key, told=as_told(one)),
        reminders_for(one, rsvp, knowledge, now),
    ]


# Of an event day that has no hour to end.
USUAL_LENGTH = timedelta(hours=2)


def can_wait(one: EventDay, told: str, knowledge: Knowledge, now: datetime) -> bool:
    """Whether a change is told in the morning only: it is night, and the day is not too near."""
    quiet = quiet_hours(knowledge)
    return quiet.at(now) and min(one.starts, told_start(told)) - quiet.end_after(now) >= TIME_ENOUGH


def worth_telling(one: EventDay, told: str, now: datetime, *, off: bool = False) -> bool:
    """Whether a change still matters: not once the day has begun, as it was told and as it is; that it is off, until it is over."""
    if one.called_off or off:
        return max(one.ends or one.starts + USUAL_LENGTH, told_start(told)) > now
    return max(one.starts, told_start(told)) > now


def told_start(told: str) -> datetime:
    """When the day begins according to what somebody was told (`as_told`)."""
    stamp = told.removeprefix("off ").split(" ")[0]
    return datetime.strptime(stamp, "%Y-%m-%dT%H:%MZ").replace(tzinfo=UTC)


def _change(one: EventDay, rsvp: Rsvp, told: str, voice: Voice) -> str:
    zone = voice.knowledge.club.zone
    event = one.event.name.to(voice.language)
    before = told_start(told)
    old_day = voice.dated(before.astimezone(zone).date())
    values = {
        "event": capital(event),
        "day": old_day,
        "new": voice.dated(one.starts.astimezone(zone).date()),
        "time": voice.hour(one.starts),
        "meet": one.meet.to(voice.language),
        "reason": voice.say("events.reason", reason=one.reason.to(voice.language)) if one.reason else "",
    }
    if one.called_off:
        return voice.say("told.called_off", **values)
    if told.startswith("off "):
        return voice.say("told.on_again", **values)
    standing = voice.say(f"told.still_{rsvp.state}", people=headcount(rsvp.people, voice))
    if before != one.starts:
        key = "told.moved" if before.astimezone(zone).date() != one.starts.astimezone(zone).date() else "told.new_hour"
        return f"{voice.say(key, **values)} {standing}"
    return f"{voice.say('told.new_place', **values)} {standing}"


def reminder(kind: ReminderKind, one: EventDay, people: int, state: str | None, voice: Voice, now: datetime) -> str:
    """What a reminder says."""
    zone = voice.knowledge.club.zone
    days = (one.starts.astimezone(zone).date() - now.astimezone(zone).date()).days
    when = voice.dated(one.starts.astimezone(zone).date())
    if days in {0, 1}:
        when = voice.say("told.today" if days == 0 else "told.tomorrow")
    values = {
        "when": capital(when),
        "event": one.event.name.to(voice.language),
        "time": voice.hour(one.starts),
        "meet": one.meet.to(voice.language),
        "people": headcount(people, voice),
    }
    if kind == "asked":
        return voice.say("told.asked", **values)
    if state == "maybe":
        return voice.say("told.maybe", **values)
    if one.event.sign_up is not None:
        values["sign_up"] = voice.say("told.sign_up", time=voice.clock(one.event.sign_up))
    else:
        values["sign_up"] = ""
    return voice.say(f"told.{kind}", **values)


def off_day(one: EventDay, voice: Voice) -> str:
    """That a day is called off, and why."""
    reason = voice.say("events.reason", reason=one.reason.to(voice.language)) if one.reason else ""
    return voice.say("rsvp.called_off", event=capital(day_named(one, voice)), reason=reason)
