"""A reminder asked for: of which event day, and when."""

from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, datetime, time, timedelta

from clubbot.conversation.ask import Ask, Served
from clubbot.conversation.occasions import count_of, named, none_then, quiet_hours, reminders_for
from clubbot.conversation.own_days import Own, own_day, own_days, spoken_of
from clubbot.conversation.phrasing import capital
from clubbot.conversation.telling import off_day
from clubbot.conversation.which_day import ask_which, which_day
from clubbot.events.choosing import Meant, NotThen, Over, Several, id_of
from clubbot.events.days import EventDay
from clubbot.model.effects import Effect, KeepRsvp, PlanReminders, SpeakOf
from clubbot.model.intents import AskReminder, When
from clubbot.model.quiet import instant
from clubbot.reminders.planning import asked_for

# "remind me tuesday" without an hour; and of an event whose own evening reminder is switched off.
USUAL_HOUR = time(18)
# "On the morning".
MORNING = time(8)


def remind(intent: AskReminder, ask: Ask) -> Served:
    """Plan the reminder, and say when it will come."""
    voice = ask.voice
    meant = which_day(intent.on, intent.event, _day_of_event(intent, ask), ask)
    match meant:
        case Meant(day):
            return _planned(intent, day, ask)
        case Several(days):
            return ask_which("remind", days, ask)
        case NotThen(day, event, nearest) | Over(day, event, nearest):
            said = none_then(day, event, voice)
            if nearest is None:
                return Served(sentence=said, event=event.id if event else None)
            speak = SpeakOf(on=id_of(nearest), intent="remind", awaits="this")
            nearest_said = voice.say("rsvp.nearest", nearest=named(nearest, voice))
            return Served(sentence=f"{said} {nearest_said}", effects=(speak,), event=event.id if event else None)
        case _:
            return Served(sentence=voice.say("events.nothing_at_all"), event=intent.event)


def reminded_or_not(ask: Ask) -> Served | None:
    """No reminder of what the sender is down for, or one after all; None where the text says neither, or they are down for nothing."""
    if ask.said.says("wants no reminder"):
        return _dropped(ask)
    own = own_day(ask) if ask.said.says("wants the reminder again") else None
    return _again(own, ask) if own is not None and own.rsvp.unreminded else None


def _dropped(ask: Ask) -> Served | None:
    """Of the day that is meant, else of all."""
    own, reading = own_day(ask), ask.reading
    if own is None or reading is None:
        return None
    mine = own_days(ask)
    names_one = reading.answer.event is not None or (reading.answer.when is not None and reading.answer.when.dated)
    of = [own] if names_one or spoken_of(mine, ask) is not None else mine
    effects: list[Effect] = []
    for one in of:
        unreminded = replace(one.rsvp, unreminded=True)
        effects.append(KeepRsvp(on=one.on, rsvp=unreminded, seen=count_of(one.on, ask.known).version))
        effects.append(reminders_for(one.day, unreminded, ask.voice.knowledge, ask.now))
    said = ask.voice.say("remind.dropped", event=ask.voice.joined([named(one.day, ask.voice) for one in of]))
    return Served(sentence=said, effects=(*effects, SpeakOf(on=own.on, intent="remind")), intent=AskReminder(on=own.on))


def _again(own: Own, ask: Ask) -> Served | None:
    """What was to come comes again; None where nothing would."""
    kept = replace(own.rsvp, unreminded=False)
    plan = reminders_for(own.day, kept, ask.voice.knowledge, ask.now)
    if not plan.planned:
        return None
    keep = KeepRsvp(on=own.on, rsvp=kept, seen=count_of(own.on, ask.known).version)
    first = min(one.due for one in plan.planned)
    said = ask.voice.say("remind.again", event=named(own.day, ask.voice), moment=_moment(first, ask))
    return Served(sentence=said, effects=(keep, plan, SpeakOf(on=own.on, intent="remind")))


def _day_of_event(intent: AskReminder, ask: Ask) -> When | None:
    """The day in the text where it is the event's; None where it can only be that of the reminder, as in "remind me tuesday at noon"."""
    when = intent.when
    if when is None or not when.dated:
        return None
    found = which_day(None, intent.event, when, ask)
    if isinstance(found, NotThen | Over) and (
        intent.event is not None or when.at is not None or ask.known.talk is not None
    ):
        return None
    return when


def _planned(intent: AskReminder, one: EventDay, ask: Ask) -> Served:
    voice, knowledge, on = ask.voice, ask.voice.knowledge, id_of(one)
    if one.called_off:
        return Served(sentence=off_day(one, voice), event=one.event.id)
    wishes = [*_wishes(intent, one, ask)]
    if intent.before is None and (intent.when is None or intent.when.at is None):  # its usual hour is over: soon before
        wishes.append(one.starts.astimezone(UTC) - timedelta(hours=one.event.remind_hours_before or 2))
    plans = (asked_for(wish, one.starts, quiet_hours(knowledge), ask.now) for wish in wishes)
    planned = next((plan for plan in plans if plan is not None), None)
    if planned is None:
        return Served(sentence=voice.say("remind.too_late", event=capital(named(one, voice))), event=one.event.id)
    said = voice.say("remind.planned", event=named(one, voice), moment=_moment(planned.due, ask))
    plan = PlanReminders(on=on, number=ask.known.sender.number, kinds=("asked",), planned=(planned,))
    return Served(sentence=said, effects=(plan, SpeakOf(on=on, intent="remind")), event=one.event.id)


def _moment(due: datetime, ask: Ask) -> str:
    """The day is always said, today's too: a reminder is about days."""
    voice = ask.voice
    local = due.astimezone(voice.knowledge.club.zone).date()
    today = ask.now.astimezone(voice.knowledge.club.zone).date()
    return f"{voice.day(local, today)} {voice.hour(due)}"


def _wishes(intent: AskReminder, one: EventDay, ask: Ask) -> Iterator[datetime]:
    """When the reminder is wished for, the likeliest first: an hour without a day is meant on the day of the event, and of the afternoon
    where it is an hour of the night.
    """
    zone, when = ask.voice.knowledge.club.zone, intent.when
    day = one.starts.astimezone(zone).date()
    if intent.before is None and when is not None and when.at is not None:
        hour = when.at.astimezone(zone).time()
        if not when.dated and ask.said.says("a reminder the day before"):
            yield instant(day - timedelta(days=1), hour, zone)
        then = [instant(day, hour, zone), instant(day, hour, zone) + timedelta(hours=12)]
        then = [at for at in then if at < one.starts and not quiet_hours(ask.voice.knowledge).at(at)]
        wished = _wished(intent, one, ask)
        yield from (*then, wished) if not when.dated else (wished, *then)
    elif intent.before is None and ask.said.says("a reminder that morning"):
        yield instant(day, MORNING, zone)
    else:
        yield _wished(intent, one, ask)


def _wished(intent: AskReminder, one: EventDay, ask: Ask) -> datetime:
    """When the reminder is wished for: so long before, at the hour named, or the evening before."""
    zone, when = ask.voice.knowledge.club.zone, intent.when
    if intent.before is not None and intent.before < timedelta(days=1):
        return one.starts.astimezone(UTC) - intent.before
    evening = one.event.remind_evening_before or USUAL_HOUR
    day = one.starts.astimezone(zone).date() - timedelta(days=1)
    if intent.before is not None:
        day = one.starts.astimezone(zone).date() - intent.before
    elif when is not None and when.at is not None and when.at < one.starts:
        return when.at
    elif when is not None and when.dated and when.first < one.starts.astimezone(zone).date():
        day = when.first
    return instant(day, evening, zone)
