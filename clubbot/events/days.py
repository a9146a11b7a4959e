"""The days of an event, from its recurrence rule and the changes of single days.

Rules are RFC 5545 (dateutil expands them in local time). Where a clock change leaves a local time out, the event is not
dropped as 3.3.10 would have it but takes place at the time read with the offset before the gap (3.3.5): a club meets anyway.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, time, timedelta
from functools import lru_cache
from zoneinfo import ZoneInfo

from dateutil.rrule import rrulestr

from clubbot.model.club import EventChange, EventRule, Knowledge, Overlay
from clubbot.model.messages import Said


@dataclass(frozen=True, slots=True)
class EventDay:
    """One day of an event. `starts` and `ends` are aware; `day` is the day of the rule, which a move does not change."""

    event: EventRule
    day: date
    starts: datetime
    ends: datetime | None
    meet: Said
    called_off: bool = False
    reason: Said | None = None


def rule_days(event: EventRule) -> list[date]:
    """All days of the rule within the season, changes not looked at. ValueError where the rule cannot be read."""
    if not event.repeats:
        return [event.first]
    _refuse_endless(event.repeats)
    try:
        rule = rrulestr(event.repeats, dtstart=_midnight(event.first))
        return [found.date() for found in rule.between(_midnight(event.first), _midnight(event.last), inc=True)]
    except (IndexError, TypeError) as fault:  # dateutil's way of refusing the ninth Saturday of a month
        raise ValueError(f"it cannot be read: {fault}") from fault


def event_days(event: EventRule, zone: ZoneInfo) -> list[EventDay]:
    """All days of an event as they really are, in order of time."""
    return list(_event_days(event, zone))


# Every text and every tick of the clock asks for the same few seasons.
@lru_cache(maxsize=256)
def _event_days(event: EventRule, zone: ZoneInfo) -> tuple[EventDay, ...]:
    changes = {change.day: change for change in event.change}
    days = [_event_day(event, day, changes.get(day), zone) for day in rule_days(event)]
    return tuple(sorted(days, key=lambda one: one.starts))


def between(events: Iterable[EventRule], first: date, last: date, zone: ZoneInfo) -> list[EventDay]:
    """Event days from local day `first` to `last`, in order of time, those called off among them."""
    found = [
        one
        for event in events
        for one in event_days(event, zone)
        if first <= one.starts.astimezone(zone).date() <= last
    ]
    return sorted(found, key=lambda one: (one.starts, one.event.id))


def upcoming(events: Iterable[EventRule], now: datetime, zone: ZoneInfo) -> list[EventDay]:
    """Event days that have not ended, in order of time. One without an hour to end counts until two hours after its start."""
    found = [
        one
        for event in events
        for one in event_days(event, zone)
        if (one.ends or one.starts + timedelta(hours=2)) > now
    ]
    return sorted(found, key=lambda one: (one.starts, one.event.id))


def shown_last(one: EventDay, zone: ZoneInfo) -> date:
    """The last local day that one answer is for: the day itself, or the event's last where one entry is for all its days."""
    if not one.event.one_entry:
        return one.starts.astimezone(zone).date()
    return event_days(one.event, zone)[-1].starts.astimezone(zone).date()


def open_to_answers(events: Iterable[EventRule], now: datetime, zone: ZoneInfo) -> list[EventDay]:
    """The days that people answer to and that are not over, in order of time; an event with one entry for all its days is over with
    its last, and answered to by its first.
    """
    entries = {event.id: find(event, event.first, zone) for event in events if event.one_entry}
    found = [entries.get(one.event.id) or one for one in upcoming(events, now, zone)]
    return sorted({(one.event.id, one.day): one for one in found}.values(), key=lambda one: (one.starts, one.event.id))


def answered_to(days: Iterable[EventDay]) -> list[EventDay]:
    """The days that people answer to: where one entry is for all days of an event, only its first."""
    return [one for one in days if not one.event.one_entry or one.day == one.event.first]


def find(event: EventRule, day: date, zone: ZoneInfo) -> EventDay | None:
    """The day of an event that its rule has on `day`; None where the rule has none then, or no longer."""
    return next((one for one in event_days(event, zone) if one.day == day), None)


def changed(one: EventDay, zone: ZoneInfo) -> bool:
    """Whether a day is not as its rule has it: on another day, at another hour or place."""
    local = one.starts.astimezone(zone)
    return local.date() != one.day or local.time() != one.event.starts or one.meet != one.event.meet


def moved_from(events: Iterable[EventRule], first: date, last: date, zone: ZoneInfo) -> list[EventDay]:
    """Event days that would be on a local day from `first` to `last` and were moved to one outside of these."""
    return [
        one
        for event in events
        for one in event_days(event, zone)
        if first <= one.day <= last and not first <= one.starts.astimezone(zone).date() <= last
    ]


def sign_up_closes(one: EventDay, zone: ZoneInfo) -> datetime:
    """When answers by text are no longer taken: `rsvp_closes` of the day it is held, else its start."""
    closes = one.event.rsvp_closes
    if closes is None:
        return one.starts
    return min(one.starts, _instant(one.starts.astimezone(zone).date(), closes, zone))


def sign_up_opens(one: EventDay, zone: ZoneInfo) -> datetime | None:
    """When answers are first taken; None where they always are."""
    opens = one.event.rsvp_opens
    return None if opens is None else _instant(opens, time(), zone)


def as_told(one: EventDay) -> str:
    """What people are told of a day, in one line that is the same as long as that is: when it begins, where, whether it is off."""
    if one.called_off:
        return f"off {one.starts.astimezone(UTC):%Y-%m-%dT%H:%MZ}"
    return f"{one.starts.astimezone(UTC):%Y-%m-%dT%H:%MZ} {one.meet.en}"


def with_changed_days(knowledge: Knowledge, overlay: Overlay) -> Knowledge:
    """The knowledge with the event days that were changed by text, and the events that were added."""
    if not overlay.changes and not overlay.added:
        return knowledge
    here = {one.id for one in knowledge.events}
    added = tuple(one for one in overlay.added if one.id not in here)
    return replace(knowledge, events=overlaid((*knowledge.events, *added), overlay.changes))


def overlaid(events: Sequence[EventRule], changes: Mapping[str, tuple[EventChange, ...]]) -> tuple[EventRule, ...]:
    """The events with the days that were changed by text laid over their own; the newer change of a day holds."""
    return tuple(_overlaid(event, changes.get(event.id, ())) for event in events)


def _overlaid(event: EventRule, changes: tuple[EventChange, ...]) -> EventRule:
    if not changes:
        return event
    changed = {change.day for change in changes}
    own = {change.day: change for change in event.change}
    laid = [_laid(change, own.get(change.day, change)) for change in changes]
    return replace(event, change=(*(one for one in event.change if one.day not in changed), *laid))


def _laid(change: EventChange, own: EventChange) -> EventChange:
    """A day that was moved in the files and is then called off by text stays moved; an hour that was told by text holds."""
    laid = replace(own, called_off=change.called_off, reason=change.reason)
    if change.starts is not None:
        laid = replace(laid, starts=change.starts, ends=change.ends)
    return replace(laid, moved_to=change.moved_to or own.moved_to, meet=change.meet or own.meet)


def clashes(days: Sequence[EventDay]) -> list[tuple[EventDay, EventDay]]:
    """Pairs of days of different events that run at the same time; `days` in order of time."""
    found: list[tuple[EventDay, EventDay]] = []
    for place, one in enumerate(days):
        end = one.ends or one.starts + timedelta(hours=2)
        for other in days[place + 1 :]:
            if other.starts >= end:
                break
            if other.event.id != one.event.id and not (one.called_off or other.called_off):
                found.append((one, other))
    return found


def _refuse_endless(repeats: str) -> None:
    """ValueError for rules that dateutil would expand for ever, or by the hour: an event is once a day, at its `starts`."""
    parts = dict(part.split("=", 1) for part in repeats.upper().removeprefix("RRULE:").split(";") if "=" in part)
    if parts.get("FREQ") not in {"DAILY", "WEEKLY", "MONTHLY", "YEARLY"}:
        raise ValueError("FREQ must be DAILY, WEEKLY, MONTHLY or YEARLY")
    if not parts.get("INTERVAL", "1").isdigit() or int(parts.get("INTERVAL", "1")) < 1:
        raise ValueError("INTERVAL must be 1 or more")
    if parts.keys() & {"BYHOUR", "BYMINUTE", "BYSECOND"}:
        raise ValueError("the hour is written as starts, not in the rule")


def _event_day(event: EventRule, day: date, change: EventChange | None, zone: ZoneInfo) -> EventDay:
    held = change.moved_to if change and change.moved_to else day
    starts = change.starts if change and change.starts else event.starts
    ends = change.ends if change and change.ends else event.ends
    return EventDay(
        event=event,
        day=day,
        starts=_instant(held, starts, zone),
        # A changed day may begin after its usual end; then nobody knows when it ends.
        ends=_instant(held, ends, zone) if ends and ends > starts else None,
        meet=change.meet if change and change.meet else event.meet,
        called_off=bool(change and change.called_off),
        reason=change.reason if change else None,
    )


def _instant(day: date, hour: time, zone: ZoneInfo) -> datetime:
    """The instant of a local hour, shown as the clock then shows it: 2:30 in the hour that is left out is 3:30."""
    return datetime.combine(day, hour, zone).astimezone(UTC).astimezone(zone)


def _midnight(day: date) -> datetime:
    return datetime.combine(day, time())
