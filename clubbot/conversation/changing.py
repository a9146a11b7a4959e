"""What becomes of a day of an event by text: called off, held after all, begun at another hour. Shown first, with a code; whoever is on the
list hears of it, and who is told when is said.
"""

from datetime import date, datetime, time, timedelta

from clubbot.conversation.ask import Ask, Served
from clubbot.conversation.closing import with_unused
from clubbot.conversation.codes import with_code
from clubbot.conversation.coming import which_day
from clubbot.conversation.occasions import count_of, headcount, named
from clubbot.conversation.phrasing import capital
from clubbot.conversation.telling import can_wait, worth_telling
from clubbot.course.reasons import understood
from clubbot.events.choosing import Meant, Several, id_of
from clubbot.events.days import EventDay, as_told, event_days, find, upcoming
from clubbot.model.club import Person
from clubbot.model.deeds import CallOffDeed, CallOnDeed, MoveDeed
from clubbot.model.effects import CallOffDay, CallOnDay, MoveDay, Record
from clubbot.model.orders import CallOff, CallOn, MoveHour
from clubbot.model.rsvps import DayId
from clubbot.understanding.orders.timing import nearer


def call_off(order: CallOff, ask: Ask) -> Served:
    """Show which day would be off, and how many would be told."""
    voice = ask.voice
    meant = which_day(None, order.event, order.when, ask)
    match meant:
        case Meant(day) if day.called_off:
            return Served(sentence=voice.say("order.off_already", event=capital(named(day, voice))))
        case Meant(day) if day.event.one_entry and order.when is not None and len(_days_of(day, ask)) > 1:
            example = (day.event.also_called or (day.event.name.to(voice.language),))[0].upper()
            return Served(sentence=voice.say("order.both_days", event=capital(named(day, voice)), example=example))
        case Meant(day):
            reason, _ = understood(order.reason)
            deed = CallOffDeed(event=day.event.id, day=day.day, reason=reason)
            shown = voice.say(
                "order.call_off",
                event=named(day, voice),
                reason=reason.to(voice.language),
                list=_on_its_list(day, ask),
            )
            return with_code(deed, with_unused(shown, order.unused, voice), ask)
        case Several(days):
            listed = "; ".join(named(one, voice) for one in days)
            return Served(sentence=voice.say("order.which_event", list=listed))
        case _:
            return Served(sentence=voice.say("order.no_event"))


def _days_of(day: EventDay, ask: Ask) -> list[EventDay]:
    return event_days(day.event, ask.voice.knowledge.club.zone)


def called_off(deed: CallOffDeed, ask: Ask, person: Person) -> Served:
    """The code has come: the day is off; of an event with one entry for all its days, all are."""
    voice, knowledge = ask.voice, ask.voice.knowledge
    record = Record(person=person.id, what=f"called off {deed.event} {deed.day}")
    rule = knowledge.event(deed.event)
    days = event_days(rule, knowledge.club.zone)
    one = next((day for day in days if day.day == deed.day), days[0])
    said = f"{voice.say('order.called_off', event=capital(named(one, voice)))} {_told(one, ask, off=True)}"
    off = [day.day for day in days] if rule.one_entry else [deed.day]
    effects = tuple(CallOffDay(on=DayId(deed.event, day), reason=deed.reason) for day in off)
    return Served(sentence=said, effects=(*effects, record))


def call_on(order: CallOn, ask: Ask) -> Served:
    """Show which day that was called off would be held after all."""
    voice, knowledge = ask.voice, ask.voice.knowledge
    events = [one for one in knowledge.events if order.event in {None, one.id}]
    off = [one for one in upcoming(events, ask.now, knowledge.club.zone) if one.called_off and one.starts > ask.now]
    if order.when is not None:
        zone = knowledge.club.zone
        off = [one for one in off if order.when.first <= one.starts.astimezone(zone).date() <= order.when.last]
    if not off:
        return Served(sentence=voice.say("order.not_off"))
    if len({one.event.id for one in off}) > 1 or (len(off) > 1 and not off[0].event.one_entry):
        return Served(sentence=voice.say("order.which_event", list="; ".join(named(one, voice) for one in off)))
    one = off[0]
    shown = voice.say("order.call_on", event=named(one, voice), list=_on_its_list(one, ask))
    return with_code(CallOnDeed(event=one.event.id, day=one.day), with_unused(shown, order.unused, voice), ask)


def called_on(deed: CallOnDeed, ask: Ask, person: Person) -> Served:
    """The code has come: the day is held; whoever was told that it is off is told that it is on."""
    voice, knowledge = ask.voice, ask.voice.knowledge
    rule = knowledge.event(deed.event)
    one = find(rule, deed.day, knowledge.club.zone)
    if one is None or not one.called_off:
        return Served(sentence=voice.say("order.not_off"))
    days = [day.day for day in event_days(rule, knowledge.club.zone)] if rule.one_entry else [deed.day]
    record = Record(person=person.id, what=f"held after all {deed.event} {deed.day}")
    said = f"{voice.say('order.called_on', event=capital(named(one, voice)))} {_told(one, ask)}"
    return Served(sentence=said, effects=(*(CallOnDay(on=DayId(deed.event, day)) for day in days), record))


def move_hour(order: MoveHour, ask: Ask) -> Served:
    """Show the new hour of a day."""
    voice = ask.voice
    meant = which_day(None, order.event, order.when, ask)
    match meant:
        case Meant(day) if day.called_off:
            return Served(sentence=voice.say("order.off_already", event=capital(named(day, voice))))
        case Meant(day):
            return _shown_hour(order, day, ask)
        case Several(days):
            return Served(sentence=voice.say("order.which_event", list="; ".join(named(one, voice) for one in days)))
        case _:
            return Served(sentence=voice.say("order.no_event"))


def _shown_hour(order: MoveHour, day: EventDay, ask: Ask) -> Served:
    voice, zone = ask.voice, ask.voice.knowledge.club.zone
    usual = day.starts.astimezone(zone)
    starts = order.starts if order.sure else nearer(order.starts, usual.time())
    at = datetime.combine(usual.date(), starts, zone)
    if at <= ask.now or day.starts <= ask.now:
        return Served(sentence=voice.say("order.over", time=voice.moment(min(at, day.starts), ask.now)))
    if at == day.starts:
        return Served(sentence=voice.say("order.same_hour", event=capital(named(day, voice))))
    ends = _shifted(day.ends.astimezone(zone).time(), at - day.starts, usual.date()) if day.ends is not None else None
    deed = MoveDeed(event=day.event.id, day=day.day, starts=starts, ends=ends)
    shown = voice.say("order.move", event=named(day, voice), time=voice.clock(starts), list=_on_its_list(day, ask))
    return with_code(deed, with_unused(shown, order.unused, voice), ask)


def _shifted(hour: time, by: timedelta, day: date) -> time:
    return (datetime.combine(day, hour) + by).time()


def moved(deed: MoveDeed, ask: Ask, person: Person) -> Served:
    """The code has come: the day begins at the new hour."""
    voice, knowledge = ask.voice, ask.voice.knowledge
    one = find(knowledge.event(deed.event), deed.day, knowledge.club.zone)
    if one is None or one.called_off or one.starts <= ask.now:
        return Served(sentence=voice.say("order.no_event"))
    effect = MoveDay(on=DayId(deed.event, deed.day), starts=deed.starts, ends=deed.ends)
    record = Record(person=person.id, what=f"moved {deed.event} {deed.day} to {deed.starts:%H:%M}")
    said = voice.say("order.moved", event=capital(named(one, voice)), time=voice.clock(deed.starts))
    return Served(sentence=f"{said} {_told(one, ask)}", effects=(effect, record))


def _on_its_list(day: EventDay, ask: Ask) -> str:
    count = count_of(id_of(day), ask.known)
    people = count.coming + count.waiting + count.maybe
    if not people:
        return ask.voice.say("order.nobody_on_list")
    return ask.voice.say("order.on_list", people=headcount(people, ask.voice))


def _told(day: EventDay, ask: Ask, *, off: bool = False) -> str:
    """Who is told of the change and when: nobody where nobody is on the list, or where it is over."""
    voice, reach = ask.voice, ask.known.reach
    count = count_of(id_of(day), ask.known)
    people = count.coming + count.waiting + count.maybe
    if not people:
        return voice.say("order.nobody_told")
    if not worth_telling(day, as_told(day), ask.now, off=off):
        return voice.say("order.too_late_to_tell")
    values: dict[str, object] = {"people": headcount(people, voice)}
    if can_wait(day, as_told(day), voice.knowledge, ask.now):
        hours = voice.knowledge.club.quiet_until
        said = voice.say("order.told_later", time=voice.clock(hours), **values)
    else:
        said = voice.say("order.told_now", **values)
    if reach is not None and reach.opted_out + reach.unreachable:
        said += " " + voice.say("order.not_reached", phones=reach.opted_out + reach.unreachable)
    return said
