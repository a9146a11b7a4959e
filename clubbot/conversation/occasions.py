"""Event days in words, and the rules of a day that several parts of a conversation need."""

from datetime import date, datetime, timedelta

from clubbot.conversation.phrasing import Voice
from clubbot.events.choosing import id_of
from clubbot.events.days import EventDay, shown_last, sign_up_closes
from clubbot.model.club import EventRule, Knowledge
from clubbot.model.effects import PlanReminders
from clubbot.model.known import Known
from clubbot.model.quiet import QuietHours
from clubbot.model.rsvps import DayCount, DayId, Guest, ReminderKind, Rsvp
from clubbot.reminders.planning import Usual, usual
from clubbot.rsvps.places import Hold, Standing

OWN_KINDS: tuple[ReminderKind, ...] = ("evening", "hours")
ALL_KINDS: tuple[ReminderKind, ...] = ("evening", "hours", "asked")


def quiet_hours(knowledge: Knowledge) -> QuietHours:
    """The club's quiet hours."""
    return QuietHours(knowledge.club.quiet_from, knowledge.club.quiet_until, knowledge.club.zone)


def named(one: EventDay, voice: Voice) -> str:
    """An event day with its date and hour: "Tuesday League, Wed 9 June 18:15"; with its last day where one entry is for several."""
    zone = voice.knowledge.club.zone
    first, last = one.starts.astimezone(zone).date(), shown_last(one, zone)
    day = voice.dated(first)
    if last > first:
        day = voice.say("occasion.days", first=day, last=voice.dated(last))
    return voice.say("occasion.named", event=one.event.name.to(voice.language), day=day, time=voice.hour(one.starts))


def day_named(one: EventDay, voice: Voice) -> str:
    """An event day with its date only: "Tuesday League on Wed 9 June"."""
    day = voice.dated(one.starts.astimezone(voice.knowledge.club.zone).date())
    return voice.say("occasion.day_named", event=one.event.name.to(voice.language), day=day)


_MOST_NAMED = 4  # more would not fit into a text part


def headcount(people: int, voice: Voice) -> str:
    """ "1 person", "3 people"."""
    return voice.say("occasion.person") if people == 1 else voice.say("occasion.people", people=people)


def company(party: Rsvp, voice: Voice) -> str:
    """Who a party is, in the sender's own words and said to the sender alone: "you and your daughter"; empty where it is not all known."""
    if sum(guest.people for guest in party.who) != party.people or len(party.who) > _MOST_NAMED:
        return ""
    said = [_one_of_the_party(guest, voice) for guest in party.who]
    if "" in said:
        return ""
    if len(said) < 2:
        return said[0] if said and party.who[0].kind != "sender" else ""
    return voice.say("rsvp.and", first=", ".join(said[:-1]), last=said[-1])


def _one_of_the_party(guest: Guest, voice: Voice) -> str:
    if guest.kind == "sender":
        return voice.say("rsvp.you")
    if guest.people > 1:
        return ""
    if guest.name is not None:
        return guest.name
    return voice.say("rsvp.your", who=guest.label) if guest.label else ""


def none_then(day: date, event: EventRule | None, voice: Voice) -> str:
    """That on this day there is no event, or none of this one."""
    what = voice.say("rsvp.no_event")
    if event is not None:
        what = voice.say("rsvp.none_of", event=event.name.to(voice.language))
    return voice.say("rsvp.not_then", what=what, day=voice.dated(day))


def hold(one: EventDay, knowledge: Knowledge, now: datetime) -> Hold:
    """How long a place is held that is offered now: the event's time, less where sign-up closes sooner; at night none is offered."""
    closes = sign_up_closes(one, knowledge.club.zone)
    if closes <= now or one.called_off or quiet_hours(knowledge).at(now):
        return Hold(until=None)
    return Hold(until=min(now + timedelta(minutes=one.event.offer_minutes), closes))


def standing(one: EventDay, known: Known, *, at_the_tee: bool = False) -> Standing:
    """How the day stands for the sender. At the tee nobody who is not there is waited for."""
    on = id_of(one)
    mine = known.rsvps.get(on) or Rsvp(number=known.sender.number, state="off", people=0)
    line = () if at_the_tee else known.lines.get(on, ())
    return Standing(places=one.event.places, count=count_of(on, known), mine=mine, line=line)


def count_of(on: DayId, known: Known) -> DayCount:
    """The counts of a day; all 0 where nobody has answered yet."""
    return known.days.get(on) or DayCount()


def reminders_for(one: EventDay, rsvp: Rsvp, knowledge: Knowledge, now: datetime) -> PlanReminders:
    """The reminders that an answer brings: both for who is coming, the evening's for a maybe, none for who waits; none at all for a no."""
    on = id_of(one)
    if rsvp.state == "off" or one.called_off or rsvp.unreminded:
        return PlanReminders(on=on, number=rsvp.number, kinds=ALL_KINDS)
    kinds: tuple[ReminderKind, ...] = {"coming": OWN_KINDS, "maybe": ("evening",)}.get(rsvp.state, ())
    wish = Usual(evening_before=one.event.remind_evening_before, hours_before=one.event.remind_hours_before)
    planned = usual(one.starts, wish, quiet_hours(knowledge), now, kinds=kinds)
    return PlanReminders(on=on, number=rsvp.number, kinds=OWN_KINDS, planned=planned)
