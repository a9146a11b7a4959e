"""Event days as effects change them: who comes, who is told or reminded, what is called off, and their calendar entries."""

from collections.abc import Mapping
from datetime import datetime
from typing import assert_never

from pydantic import TypeAdapter
from sqlalchemy import Connection, select
from sqlalchemy.dialects.sqlite import insert

from clubbot.model.club import EventChange, EventRule
from clubbot.model.effects import (
    AddEventDay,
    CallOffDay,
    CallOnDay,
    DayEffect,
    KeepRevision,
    KeepRsvp,
    MoveDay,
    PlanReminders,
    SettleReminder,
    SpeakOf,
    TellOf,
)
from clubbot.model.messages import Said
from clubbot.model.rsvps import DayId
from clubbot.store.dialogues import write_dialogue
from clubbot.store.pen import Pen, send
from clubbot.store.reminders import plan, settle
from clubbot.store.revisions import keep_revision
from clubbot.store.rsvps import keep_rsvp, note_told
from clubbot.store.tables import added_events, event_changes

# Every text is answered through this, so it is put together once.
_CHANGES = select(event_changes).order_by(event_changes.c.event, event_changes.c.day)
_ADDED = select(added_events).order_by(added_events.c.at, added_events.c.id)
_RULE: TypeAdapter[EventRule] = TypeAdapter(EventRule)


def write_day(connection: Connection, effect: DayEffect, pen: Pen, now: datetime) -> None:
    """What becomes of an event day, or is told of it."""
    match effect:
        case KeepRsvp():
            keep_rsvp(connection, effect.on, effect.rsvp, effect.told, now, heard=effect.heard)
        case TellOf(on=on, number=number):
            send(connection, effect.key, number, effect.text, True, pen, now)
            note_told(connection, on, number, effect.told, now)
            write_dialogue(connection, number, (SpeakOf(on=on, intent="told", awaits=effect.awaits),), now)
        case PlanReminders():
            plan(connection, effect, now)
        case SettleReminder():
            settle(connection, effect.id, effect.reason, now)
        case CallOffDay(on=on, reason=said):
            _call_off(connection, on, said, now)
        case CallOnDay(on=on):
            _change(connection, on, {"called_off": 0, "reason_en": "", "reason_fr": ""}, now)
        case MoveDay(on=on):
            _move(connection, effect, on, now)
        case AddEventDay(event=event):
            row = insert(added_events).values(id=event.id, event=_RULE.dump_json(event).decode(), at=now)
            connection.execute(row.on_conflict_do_nothing())
        case KeepRevision():
            keep_revision(connection, effect, now)
        case _:
            assert_never(effect)


def read_changes(connection: Connection) -> Mapping[str, tuple[EventChange, ...]]:
    """The days that were changed by text, by event."""
    found: dict[str, tuple[EventChange, ...]] = {}
    for row in connection.execute(_CHANGES):
        why = Said(en=row.reason_en, fr=row.reason_fr) if row.reason_en or row.reason_fr else None
        meet = Said(en=row.meet_en, fr=row.meet_fr) if row.meet_en else None
        change = EventChange(
            day=row.day,
            called_off=bool(row.called_off),
            reason=why,
            starts=row.starts,
            ends=row.ends,
            moved_to=row.moved_to,
            meet=meet,
        )
        found[row.event] = (*found.get(row.event, ()), change)
    return found


def read_added(connection: Connection) -> tuple[EventRule, ...]:
    """The events that were added by text, the oldest first."""
    return tuple(_RULE.validate_json(row.event) for row in connection.execute(_ADDED))


def _move(connection: Connection, effect: MoveDay, on: DayId, now: datetime) -> None:
    """A day begins at another hour; where it was moved before by day or place it stays so unless another one is given."""
    values: dict[str, object] = {"starts": effect.starts, "ends": effect.ends}
    if effect.moved_to is not None:
        values["moved_to"] = effect.moved_to
    if effect.meet is not None:
        values |= {"meet_en": effect.meet.en, "meet_fr": effect.meet.fr}
    _change(connection, on, values, now)


def _call_off(connection: Connection, on: DayId, reason: Said, now: datetime) -> None:
    """A day of an event is called off."""
    _change(connection, on, {"called_off": 1, "reason_en": reason.en, "reason_fr": reason.fr}, now)


def _change(connection: Connection, on: DayId, values: Mapping[str, object], now: datetime) -> None:
    """A day of an event becomes another; what was changed before stays as it is."""
    nothing = {"called_off": 0, "reason_en": "", "reason_fr": ""}
    row = insert(event_changes).values({"event": on.event, "day": on.day, **nothing, **values, "at": now})
    connection.execute(row.on_conflict_do_update(index_elements=["event", "day"], set_={**values, "at": now}))
