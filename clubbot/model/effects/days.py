"""Event days: who comes, who is told of them or reminded, that one is called off, and their calendar entries. None of it needs a message."""

from dataclasses import dataclass
from datetime import date, time

from clubbot.model.club import EventRule
from clubbot.model.messages import Said
from clubbot.model.rsvps import Awaits, DayId, Planned, ReminderKind, Rsvp


@dataclass(frozen=True, slots=True, kw_only=True)
class KeepRsvp:
    """A party's answer as it now is. `seen` is the version of the day's counts that it was decided on: where they have changed
    meanwhile, the message is decided again. `told` says what this person has been told of the day (`events.days.as_told`);
    None where it stays as it was. `heard` where the reply speaks of the day: a reminder within the hour is then spared.
    """

    on: DayId
    rsvp: Rsvp
    seen: int
    told: str | None = None
    heard: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class TellOf:
    """A text about an event day to somebody in its list. `key` is there once, so that nobody is told twice; `told` as in KeepRsvp."""

    on: DayId
    number: str
    text: str
    key: str
    told: str | None = None
    awaits: Awaits = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanReminders:
    """The reminders that this person gets of that day; those of the same `kinds` that still wait are dropped."""

    on: DayId
    number: str
    kinds: tuple[ReminderKind, ...]
    planned: tuple[Planned, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class SettleReminder:
    """A reminder is done with: told, or dropped for a reason."""

    id: int
    reason: str | None


@dataclass(frozen=True, slots=True, kw_only=True)
class CallOffDay:
    """A day of an event is called off."""

    on: DayId
    reason: Said


@dataclass(frozen=True, slots=True, kw_only=True)
class CallOnDay:
    """A day of an event that was called off by text is held after all."""

    on: DayId


@dataclass(frozen=True, slots=True, kw_only=True)
class MoveDay:
    """A day of an event begins, and ends, at another local hour, on another day or at another place where one is given."""

    on: DayId
    starts: time
    ends: time | None
    moved_to: date | None = None
    meet: Said | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class AddEventDay:
    """An event of one day that no file has."""

    event: EventRule


@dataclass(frozen=True, slots=True, kw_only=True)
class KeepRevision:
    """The calendar entry of an event, or of one changed day of it, has become another: its words, and how often it has."""

    event: str
    day: date | None
    words: str
    sequence: int


DayEffect = (
    KeepRsvp | TellOf | PlanReminders | SettleReminder | CallOffDay | CallOnDay | MoveDay | AddEventDay | KeepRevision
)
