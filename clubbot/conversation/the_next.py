"""What comes after what was spoken of: the next hole, the next day of an event, what is on next."""

from collections.abc import Sequence
from datetime import date, datetime
from zoneinfo import ZoneInfo

from clubbot.events.days import EventDay, upcoming
from clubbot.model.club import Knowledge
from clubbot.model.exchange import Spoken
from clubbot.model.intents import AskEvents, AskTopic, When


def the_next_hole(spoken: Sequence[Spoken], knowledge: Knowledge) -> AskTopic | None:
    """The hole after the one that was told of."""
    last = spoken[-1] if spoken else None
    if last is None or last.intent != "holes" or not last.place or not last.place.isdigit():
        return None
    following = int(last.place) + 1
    return AskTopic("holes", hole=following) if any(one.hole == following for one in knowledge.course.holes) else None


def the_one_after(spoken: Sequence[Spoken], knowledge: Knowledge, now: datetime) -> AskEvents | None:
    """What comes after the event day that was told of: of an event that was asked about by name its next day, else whatever is on next."""
    one = next((one for one in reversed(spoken) if one.intent == "events" or one.event is not None), None)
    if one is None:
        return None
    zone = knowledge.club.zone
    dated = one.when is not None and one.when.dated
    by_name = [knowledge.event(one.event)] if one.event is not None and not dated else knowledge.events
    ahead = [day for day in upcoming(by_name, now, zone) if day.starts > now and not day.called_off]
    told = one.when.last if one.when is not None and dated else _first_day(ahead, zone)
    later = next((day for day in ahead if told is not None and day.starts.astimezone(zone).date() > told), None)
    return None if later is None else asks_of(later, zone)


def asks_of(day: EventDay, zone: ZoneInfo) -> AskEvents:
    """The question what is on, of that one day."""
    held = day.starts.astimezone(zone).date()
    return AskEvents(day.event.id, When(held, held))


def _first_day(days: Sequence[EventDay], zone: ZoneInfo) -> date | None:
    return days[0].starts.astimezone(zone).date() if days else None
