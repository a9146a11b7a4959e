"""Which day of which event a text means.

Policy. An event named with a day is the event on that day; named without one it is the day last spoken of, else its next. A day
alone is the event on it. Without either it is what was last spoken of, else what the sender is down for where it must be one
of those, else the only thing coming up; otherwise the sender is asked. Days that are over are said to be over, never shifted.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

from clubbot.events.days import EventDay, event_days, find, open_to_answers
from clubbot.model.club import EventRule, Knowledge
from clubbot.model.rsvps import DayId

# Without any hint an answer is for something soon, or it is asked about.
SOON = timedelta(days=14)
MOST_CHOICES = 3


@dataclass(frozen=True, slots=True)
class Meant:
    """It is this one."""

    day: EventDay


@dataclass(frozen=True, slots=True)
class Several:
    """It may be any of these."""

    days: tuple[EventDay, ...]


@dataclass(frozen=True, slots=True)
class NotThen:
    """There is no such event on the day named; `nearest` is the one that comes next to it, if any."""

    day: date
    event: EventRule | None
    nearest: EventDay | None


@dataclass(frozen=True, slots=True)
class Over:
    """It was on this day, or on the day named there was nothing and it is past; `nearest` is the next."""

    day: date
    event: EventRule | None
    nearest: EventDay | None


@dataclass(frozen=True, slots=True)
class Nothing:
    """Nothing is coming up, or nothing more of this event."""

    event: EventRule | None


Chosen = Meant | Several | NotThen | Over | Nothing


@dataclass(frozen=True, slots=True)
class DaysNamed:
    """The local days that a text names, from `first` to `last`; `weekday` where the day was named as one of the week, so that today's being
    over means next week's; `of_a_kind` where it may be the weekday on which something is always held.
    """

    first: date
    last: date
    weekday: bool = False
    of_a_kind: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Hints:
    """What else tells which is meant: the day last spoken of, and the days that the sender has answered to."""

    spoken: DayId | None = None
    mine: Sequence[DayId] = ()
    only_mine: bool = False  # a change or a "no" is about something one is down for


def choose(
    event: EventRule | None,
    named: DaysNamed | None,
    events: Sequence[EventRule],
    hints: Hints,
    now: datetime,
    zone: ZoneInfo,
) -> Chosen:
    """The event day meant by a text that names `event` and the local days of `named`, or one of them, or neither."""
    offered = [event] if event is not None else list(events)
    coming = open_to_answers(offered, now, zone)
    if named is not None:
        found = _on_days(event, (named.first, named.last), offered, coming, hints, now, zone)
        if isinstance(found, Over) and named.weekday and named.first == named.last == _today(now, zone):
            following = named.first + timedelta(days=7)
            return _on_days(event, (following, following), offered, coming, hints, now, zone)
        if isinstance(found, NotThen) and named.of_a_kind:
            return _of_that_weekday(named.first, coming, now, zone) or found
        return found
    if not coming:
        return Nothing(event)
    spoken = [one for one in coming if id_of(one) == hints.spoken]
    if spoken:
        return Meant(spoken[0])
    mine = [one for one in coming if id_of(one) in hints.mine]
    if hints.only_mine and mine:
        return _one_of(mine)
    if event is not None:
        return Meant(_next(coming, now))
    soon = _first_of_each(
        [one for one in coming if one.starts > now and one.starts <= now + SOON and not one.called_off]
    )
    return _one_of(soon or _first_of_each(coming))


def id_of(one: EventDay) -> DayId:
    """The name under which answers to it are kept."""
    return DayId(one.event.id, one.day)


def day_of(on: DayId, knowledge: Knowledge) -> EventDay | None:
    """The day that answers are kept under; None where the club's files no longer have it."""
    rule = next((one for one in knowledge.events if one.id == on.event), None)
    return find(rule, on.day, knowledge.club.zone) if rule is not None else None


def entry_of(one: EventDay) -> DayId:
    """The same, of any of its days where one entry is for all: their first."""
    return DayId(one.event.id, one.event.first) if one.event.one_entry else id_of(one)


def _on_days(
    event: EventRule | None,
    span: tuple[date, date],
    offered: Sequence[EventRule],
    coming: Sequence[EventDay],
    hints: Hints,
    now: datetime,
    zone: ZoneInfo,
) -> Chosen:
    first, last = span
    found = [one for one in coming if _touches(one, first, last, zone)]
    mine = [one for one in found if id_of(one) in hints.mine]
    if hints.only_mine and mine:
        return _one_of(mine)
    if event is not None and found:
        return Meant(found[0])  # "league this month" is its next day in that span
    again = [one for one in found if hints.spoken is not None and one.event.id == hints.spoken.event]
    if len(found) > 1 and again:
        return Meant(again[0])
    if found:
        return _one_of(found)
    nearest = _nearest(coming, first, now, zone)
    before = [one for one in all_days(offered, zone) if first <= one.starts.astimezone(zone).date() <= last]
    if before:  # on that day there was one, and it is over
        return Over(first, before[0].event, nearest)
    if last < now.astimezone(zone).date():
        return Over(first, event, nearest)
    return NotThen(first, event, nearest)


def _of_that_weekday(day: date, coming: Sequence[EventDay], now: datetime, zone: ZoneInfo) -> Meant | None:
    """The next day of the only event that is always held on that weekday: "that sunday one" is not about this Sunday."""
    weekdays: dict[str, set[int]] = {}
    for one in coming:
        weekdays.setdefault(one.event.id, set()).add(one.starts.astimezone(zone).weekday())
    always = [event for event, found in weekdays.items() if found == {day.weekday()}]
    return Meant(_next([one for one in coming if one.event.id == always[0]], now)) if len(always) == 1 else None


def _today(now: datetime, zone: ZoneInfo) -> date:
    return now.astimezone(zone).date()


def all_days(events: Sequence[EventRule], zone: ZoneInfo) -> list[EventDay]:
    """Every day of these events, event by event."""
    return [one for event in events for one in event_days(event, zone)]


def _touches(one: EventDay, first: date, last: date, zone: ZoneInfo) -> bool:
    """Whether the event, with all its days where one entry is for all, falls into the span. A moved day is also found by its old date."""
    if first <= one.starts.astimezone(zone).date() <= last or first <= one.day <= last:
        return True
    if not one.event.one_entry:
        return False
    return any(first <= other.starts.astimezone(zone).date() <= last for other in event_days(one.event, zone))


def _nearest(coming: Sequence[EventDay], day: date, now: datetime, zone: ZoneInfo) -> EventDay | None:
    """The one held closest to a day; of two equally close ones the later."""
    held = [one for one in coming if not one.called_off and one.starts > now]
    return min(
        held,
        key=lambda one: (abs((one.starts.astimezone(zone).date() - day).days), -one.starts.timestamp()),
        default=None,
    )


def _next(coming: Sequence[EventDay], now: datetime) -> EventDay:
    """The next that takes place; what has begun counts only where nothing follows."""
    ahead = [one for one in coming if one.starts > now]
    return next((one for one in ahead if not one.called_off), (ahead or list(coming))[0])


def _first_of_each(days: Sequence[EventDay]) -> list[EventDay]:
    firsts: dict[str, EventDay] = {}
    for one in days:
        firsts.setdefault(one.event.id, one)
    return list(firsts.values())


def _one_of(days: Sequence[EventDay]) -> Chosen:
    return Meant(days[0]) if len(days) == 1 else Several(tuple(days[:MOST_CHOICES]))
