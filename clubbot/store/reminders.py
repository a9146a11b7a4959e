"""Reminders as rows, unique by person, event day and kind: planned, taken when due, and kept with what became of them."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from sqlalchemy import Connection, and_, bindparam, func, select, update
from sqlalchemy.dialects.sqlite import insert

from clubbot.model.effects import PlanReminders
from clubbot.model.messages import LANGUAGES, Language
from clubbot.model.rsvps import DayId, ReminderKind, State
from clubbot.store.tables import people, reminders, rsvps

_ANY_DUE = select(func.count()).select_from(
    select(reminders.c.id)
    .where(reminders.c.state == "waiting", reminders.c.due_at <= bindparam("now"))
    .limit(1)
    .subquery()
)
# Every text is answered through this, so it is put together once.
_ASKED = select(reminders).where(
    reminders.c.number == bindparam("of_number"),
    reminders.c.day >= bindparam("since"),
    reminders.c.kind == "asked",
    reminders.c.state == "waiting",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class DueReminder:
    """A reminder whose time has come, with how things stand now: the person's answer, consent, and when they were last told of the day."""

    id: int
    number: str
    on: DayId
    kind: ReminderKind
    due: datetime
    state: State | None
    people: int
    opted_out: bool
    language: Language
    told_at: datetime | None


def plan(connection: Connection, plan: PlanReminders, now: datetime) -> None:
    """Write down what is planned; of the plan's kinds, what waits and is no longer planned is dropped."""
    ours = and_(reminders.c.number == plan.number, reminders.c.event == plan.on.event, reminders.c.day == plan.on.day)
    kept = [one.kind for one in plan.planned]
    connection.execute(
        update(reminders)
        .where(
            ours,
            reminders.c.kind.in_([kind for kind in plan.kinds if kind not in kept]),
            reminders.c.state == "waiting",
        )
        .values(state="dropped", reason="no longer wanted", ended_at=now)
    )
    for one in plan.planned:
        values = {"due_at": one.due, "state": "waiting", "reason": None, "ended_at": None}
        key = {"number": plan.number, "event": plan.on.event, "day": plan.on.day, "kind": one.kind}
        row = insert(reminders).values(key | values)
        connection.execute(row.on_conflict_do_update(index_elements=["number", "event", "day", "kind"], set_=values))


def any_due(connection: Connection, now: datetime) -> bool:
    """Whether a reminder's time has come."""
    return bool(connection.execute(_ANY_DUE, {"now": now}).scalar_one())


def due_between(connection: Connection, since: datetime, until: datetime) -> list[datetime]:
    """When reminders fall due, and offers of places end, between two times."""
    waits = select(reminders.c.due_at).where(reminders.c.state == "waiting", reminders.c.due_at.between(since, until))
    held = select(rsvps.c.offered_until).where(rsvps.c.offered > 0, rsvps.c.offered_until.between(since, until))
    return [*connection.execute(waits).scalars(), *connection.execute(held).scalars()]


def read_due(connection: Connection, now: datetime, most: int) -> Sequence[DueReminder]:
    """Up to so many reminders whose time has come, oldest first."""
    other = reminders.alias("other")
    last_reminded = (
        select(func.max(other.c.ended_at))
        .where(
            other.c.number == reminders.c.number,
            other.c.event == reminders.c.event,
            other.c.day == reminders.c.day,
            other.c.state == "told",
        )
        .scalar_subquery()
    )
    statement = (
        select(
            reminders,
            rsvps.c.state.label("rsvp_state"),
            rsvps.c.people,
            rsvps.c.told_at,
            people.c.opted_out,
            people.c.language,
            last_reminded.label("reminded_at"),
        )
        .outerjoin(
            rsvps,
            and_(
                rsvps.c.event == reminders.c.event,
                rsvps.c.day == reminders.c.day,
                rsvps.c.number == reminders.c.number,
            ),
        )
        .outerjoin(people, people.c.number == reminders.c.number)
        .where(reminders.c.state == "waiting", reminders.c.due_at <= now)
        .order_by(reminders.c.due_at, reminders.c.id)
        .limit(most)
    )
    return [_due(row) for row in connection.execute(statement)]


def _due(row: Any) -> DueReminder:
    # What somebody asked to hear again is not spared because they have just heard of it from us in answer.
    told_at = row.reminded_at if row.kind == "asked" else row.told_at
    return DueReminder(
        id=row.id,
        number=row.number,
        on=DayId(row.event, row.day),
        kind=row.kind,
        due=row.due_at,
        state=row.rsvp_state,
        people=row.people or 0,
        opted_out=bool(row.opted_out),
        language=next((one for one in LANGUAGES if one == row.language), LANGUAGES[0]),
        told_at=told_at,
    )


def settle(connection: Connection, reminder: int, reason: str | None, now: datetime) -> None:
    """Told where there is no reason, else dropped for it."""
    connection.execute(
        update(reminders)
        .where(reminders.c.id == reminder, reminders.c.state == "waiting")
        .values(state="dropped" if reason else "told", reason=reason, ended_at=now)
    )


def read_asked(connection: Connection, number: str, since: date) -> dict[DayId, datetime]:
    """The reminders that somebody asked for and that are still to come, by event day."""
    rows = connection.execute(_ASKED, {"of_number": number, "since": since})
    return {DayId(row.event, row.day): row.due_at for row in rows}
