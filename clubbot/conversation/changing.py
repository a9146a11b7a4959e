"""What becomes of a day of an event by text: called off, held after all, begun at another hour. Shown first, with a code; whoever is on the
list hears of it, and who is told when is said.
"""

from collections.abc import Callable
from dataclasses import replace
from datetime import date, datetime, time, timedelta

from clubbot.conversation.announcing import helpers_of, texts_of
from clubbot.conversation.ask import Ask, Served
from clubbot.conversation.asking import answered, listed, picked, picked_day
from clubbot.conversation.by_name import count_with_phones, without_phones
from clubbot.conversation.closing import with_unused
from clubbot.conversation.codes import with_code
from clubbot.conversation.occasions import count_of, day_named, headcount, named, quiet_hours
from clubbot.conversation.phrasing import Voice, capital
from clubbot.conversation.telling import can_wait, off_day, worth_telling
from clubbot.conversation.which_day import which_day
from clubbot.course.reasons import understood
from clubbot.events.choosing import Meant, Several, day_of, entry_of, id_of
from clubbot.events.days import EventDay, as_told, event_days, find, upcoming
from clubbot.model.choices import Choice
from clubbot.model.club import Person
from clubbot.model.deeds import CallOffDeed, CallOnDeed, MoveDeed, TellDeed
from clubbot.model.dialogue import OPEN_FOR
from clubbot.model.effects import (
    CallOffDay,
    CallOnDay,
    CloseChoice,
    Effect,
    MoveDay,
    OpenChoice,
    Record,
    StartBroadcast,
)
from clubbot.model.intents import When
from clubbot.model.messages import Said
from clubbot.model.orders import Audience, CallOff, CallOn, MoveHour
from clubbot.model.rsvps import DayId
from clubbot.understanding.once import Reading
from clubbot.understanding.orders.timing import nearer

# A day to be called off, as it is kept while we ask which.
_OFF = "call-off"


def call_off(order: CallOff, ask: Ask) -> Served:
    """Show which day would be off, and how many would be told."""
    voice = ask.voice
    meant = _under_way(order, ask) or _by_its_weekday(order, ask) or which_day(None, order.event, order.when, ask)
    match meant:
        case Meant(day) if day.called_off:
            return Served(sentence=voice.say("order.off_already", event=capital(named(day, voice))))
        case Meant(day) if day.event.one_entry and len(_days_of(day, ask)) > 1:
            return _which_of_its_days(day, ask)
        case Meant(day):
            return _shown_off(order, day, ask)
        case Several(days):
            listed = "; ".join(named(one, voice) for one in days)
            return Served(sentence=voice.say("order.which_event", list=listed))
        case _:
            return Served(sentence=voice.say("order.no_event"))


def _days_of(day: EventDay, ask: Ask) -> list[EventDay]:
    return event_days(day.event, ask.voice.knowledge.club.zone)


def _by_its_weekday(order: CallOff, ask: Ask) -> Meant | None:
    """The day of an event that is held once, where it is named by its weekday alone: "the sunday of the tournament" is not this Sunday."""
    when, knowledge = order.when, ask.voice.knowledge
    if order.event is None or when is None or not when.weekday or when.first != when.last:
        return None
    rule, zone = knowledge.event(order.event), knowledge.club.zone
    if not rule.one_entry:
        return None
    days = [one for one in event_days(rule, zone) if one.starts > ask.now]
    found = [one for one in days if one.starts.astimezone(zone).weekday() == when.first.weekday()]
    return Meant(found[0]) if len(found) == 1 else None


def _under_way(order: CallOff, ask: Ask) -> Meant | None:
    """The day that has begun and is not over: "call off league" is about it, and not about the next."""
    knowledge = ask.voice.knowledge
    today = ask.now.astimezone(knowledge.club.zone).date()
    if order.when is not None and not order.when.first <= today <= order.when.last:
        return None
    events = [one for one in knowledge.events if order.event in {None, one.id}]
    coming = upcoming(events, ask.now, knowledge.club.zone)
    begun = [one for one in coming if one.starts <= ask.now]
    if len(begun) == 1:
        return Meant(begun[0])
    # "Call off league" once more is not about the week after.
    again = order.when is None and order.event is not None and bool(coming) and coming[0].called_off
    return Meant(coming[0]) if again else None


def _shown_off(order: CallOff, day: EventDay, ask: Ask, *, only: bool = False) -> Served:
    reason, _ = understood(order.reason)
    return shown_off(CallOffDeed(event=day.event.id, day=day.day, reason=reason, only=only), day, ask, order.unused)


def shown_off(deed: CallOffDeed, day: EventDay, ask: Ask, unused: str = "") -> Served:
    """A day that would be off, with its code."""
    voice = ask.voice
    event = day_named(day, voice) if deed.only else named(day, voice)
    shown = voice.say("order.call_off", event=event, reason=deed.reason.to(voice.language), list=on_its_list(day, ask))
    return with_code(deed, with_unused(shown, unused, voice), ask)


def _which_of_its_days(day: EventDay, ask: Ask) -> Served:
    """One list for several days, and one of them named: all of them, or only that one?"""
    choices = tuple(Choice(_OFF, id_of(one)) for one in _days_of(day, ask))
    shown = ask.voice.say(
        "order.which_days", event=day.event.name.to(ask.voice.language), days=listed(choices, ask.voice)
    )
    left_open = OpenChoice(
        choices=choices, about=ask.text, language=ask.voice.language, until=ask.now + OPEN_FOR, again=True
    )
    return Served(sentence=shown, effects=(left_open,))


def days_chosen(ask: Ask, reading: Reading) -> Served | None:
    """Which of the days of an event is off, of those that we asked about; None where the text says something else."""
    asked = ask.known.asked
    if asked is None or asked.choices[0].intent != _OFF:
        return None
    order = reading.anew(asked.about).order(ask.now)
    if not isinstance(order, CallOff):
        return None
    when = reading.answer.when
    span = (when.first, when.last) if when is not None and when.dated else None
    both = answered(ask.said, asked, ask.now) == "both" or reading.all_days
    counted = reading.which_day_of_several
    choice = picked(ask.said, asked, ask.voice, ask.now) or picked_day(asked.choices, None, span)
    if choice is None and counted is not None and counted < len(asked.choices):
        choice = asked.choices[counted]
    choice = None if both else choice
    if choice is None and not both:
        return None
    on = (choice or asked.choices[0]).on
    if on is None:
        return None
    one = day_of(on, ask.voice.knowledge)
    if one is None:
        return None
    shown = _shown_off(order, one, ask, only=choice is not None)
    return replace(shown, effects=(CloseChoice(), *shown.effects))


def called_off(deed: CallOffDeed, ask: Ask, person: Person) -> Served:
    """The code has come: the day is off; of an event with one entry for all its days, all are."""
    voice, knowledge = ask.voice, ask.voice.knowledge
    record = Record(person=person.id, what=f"called off {deed.event} {deed.day}")
    rule = knowledge.event(deed.event)
    days = event_days(rule, knowledge.club.zone)
    one = next((day for day in days if day.day == deed.day), days[0])
    said = f"{voice.say('order.called_off', event=capital(named(one, voice)))} {_told(one, ask, off=True)}"
    off = [day.day for day in days] if rule.one_entry and not deed.only else [deed.day]
    effects: list[Effect] = [CallOffDay(on=DayId(deed.event, day), reason=deed.reason) for day in off]
    if deed.only and one.day != days[0].day:
        effects.append(_told_of_one_day(one, days[0], deed, ask, person))
    return Served(sentence=said, effects=(*effects, record))


def _told_of_one_day(off: EventDay, first: EventDay, deed: CallOffDeed, ask: Ask, person: Person) -> StartBroadcast:
    """Whoever is in for all the days is known by the first of them, so that another one is told by a text to its list."""
    knowledge = ask.voice.knowledge
    one = replace(off, reason=deed.reason)
    words = Said(en=off_day(one, Voice(knowledge, "en")), fr=off_day(one, Voice(knowledge, "fr")))
    audience = Audience("event", event=first.event.id)
    told = TellDeed(audience=audience, event=first.event.id, day=first.day, words=words, french_missing=False)
    return StartBroadcast(
        person=person.id,
        audience=audience,
        on=id_of(first),
        texts=texts_of(told, knowledge),
        quiet=quiet_hours(knowledge),
        per_minute=knowledge.club.texts_a_minute,
        helpers=helpers_of(knowledge),
    )


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
    shown = voice.say("order.call_on", event=named(one, voice), list=on_its_list(one, ask))
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
    return on_one_day(order.event, order.when, ask, lambda day: _shown_hour(order, day, ask))


def on_one_day(event: str | None, when: When | None, ask: Ask, shown: Callable[[EventDay], Served]) -> Served:
    """What is `shown` of the one day of an event that is held and meant; else which there are, or that there is none."""
    voice = ask.voice
    match which_day(None, event, when, ask):
        case Meant(day) if day.called_off:
            return Served(sentence=voice.say("order.off_already", event=capital(named(day, voice))))
        case Meant(day):
            return shown(day)
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
    ends = shifted(day.ends.astimezone(zone).time(), at - day.starts, usual.date()) if day.ends is not None else None
    deed = MoveDeed(event=day.event.id, day=day.day, starts=starts, ends=ends)
    shown = voice.say("order.move", event=named(day, voice), time=voice.clock(starts), list=on_its_list(day, ask))
    return with_code(deed, with_unused(shown, order.unused, voice), ask)


def shifted(hour: time, by: timedelta, day: date) -> time:
    """An hour of that day so much later."""
    return (datetime.combine(day, hour) + by).time()


def moved(deed: MoveDeed, ask: Ask, person: Person) -> Served:
    """The code has come: the day begins at the new hour, on the new day, at the new place."""
    voice, knowledge = ask.voice, ask.voice.knowledge
    one = find(knowledge.event(deed.event), deed.day, knowledge.club.zone)
    if one is None or one.called_off or one.starts <= ask.now:
        return Served(sentence=voice.say("order.no_event"))
    on = DayId(deed.event, deed.day)
    effect = MoveDay(on=on, starts=deed.starts, ends=deed.ends, moved_to=deed.moved_to, meet=deed.meet)
    held = deed.moved_to or one.starts.astimezone(knowledge.club.zone).date()
    meet = (deed.meet or one.meet).to(voice.language)
    record = Record(person=person.id, what=f"moved {deed.event} {deed.day} to {held} {deed.starts:%H:%M}, {meet}")
    said = voice.say("order.moved", event=capital(named(one, voice)), time=voice.clock(deed.starts))
    if deed.moved_to is not None or deed.meet is not None:
        where = voice.say("order.at_place", place=meet) if deed.meet is not None else ""
        new = voice.say("order.move_to", day=voice.dated(held), time=voice.clock(deed.starts), place=where)
        said = voice.say("order.moved_elsewhere", event=capital(named(one, voice)), new=new)
    return Served(sentence=f"{said} {_told(one, ask)}", effects=(effect, record))


def on_its_list(day: EventDay, ask: Ask) -> str:
    """Who is on the list of a day, and so gets a text."""
    people, others = _people_on_its_list(day, ask), without_phones(entry_of(day), ask)
    if not people:
        return others or ask.voice.say("order.nobody_on_list")
    return f"{ask.voice.say('order.on_list', people=headcount(people, ask.voice))} {others}".strip()


def _people_on_its_list(day: EventDay, ask: Ask) -> int:
    """Everybody who is in, waits or is undecided and has a phone; of an event with one list for all its days that list."""
    return count_with_phones(entry_of(day), count_of(entry_of(day), ask.known), ask)


def _told(day: EventDay, ask: Ask, *, off: bool = False) -> str:
    """Who is told of the change and when: nobody where nobody is on the list, or where it is over."""
    voice, reach = ask.voice, ask.known.reach
    people, others = _people_on_its_list(day, ask), without_phones(entry_of(day), ask)
    if not people:
        return others or voice.say("order.nobody_told")
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
    return f"{said} {others}".strip()
