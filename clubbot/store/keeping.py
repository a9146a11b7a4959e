"""What is kept is bounded: words that are older than the club wants them are taken out, rows that only mattered for a while are swept.

The rows of texts stay, with their ids, times and states: by the ids a gateway's repeat is still known, by the rest the figures come out as
before. Whatever waits or is open keeps its words. Proof of consent and the record of deeds stay as they are.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from sqlalchemy import (
    ColumnElement,
    Connection,
    Table,
    and_,
    bindparam,
    delete,
    exists,
    literal_column,
    or_,
    select,
    update,
)

from clubbot.store.tables import (
    broadcasts,
    dialogues,
    drafts,
    duty_swaps,
    inbox,
    outbox,
    questions,
    relays,
    reminders,
    reports,
    taught,
)
from clubbot.texting.parts import count

Condition = Callable[[datetime], ColumnElement[bool]]


@dataclass(frozen=True, slots=True)
class _Step:
    """Rows of one table that are too old: these values take the place of their words; without values the rows themselves go."""

    table: Table
    old: Condition
    values: Mapping[str, object] | None = None


@dataclass(frozen=True, slots=True)
class Place:
    """How far a round has come: through which tables, and to which row of the next."""

    step: int = 0
    row: int = 0


@dataclass(frozen=True, slots=True)
class TooOld:
    """Some rows of one table, and where the round goes on after them."""

    step: int
    rows: tuple[int, ...]

    @property
    def after(self) -> Place:
        """The place after these."""
        return Place(self.step, self.rows[-1])


_IS_OPEN = exists().where(questions.c.inbox_id == inbox.c.id, questions.c.answered_at.is_(None))
_STEPS: Sequence[_Step] = (
    _Step(
        inbox,
        lambda before: and_(inbox.c.received_at < before, inbox.c.state == "answered", inbox.c.text != "", ~_IS_OPEN),
        {"text": ""},
    ),
    _Step(
        outbox,
        lambda before: and_(
            outbox.c.created_at < before, outbox.c.state.not_in(["waiting", "held"]), outbox.c.text != ""
        ),
        {"text": ""},
    ),
    _Step(
        questions,
        lambda before: and_(
            questions.c.answered_at < before, or_(questions.c.answer.is_not(None), questions.c.so_far != "")
        ),
        {"answer": None, "so_far": ""},
    ),
    _Step(
        reports,
        lambda before: and_(
            reports.c.at < before,
            reports.c.words != "",
            or_(reports.c.kind != "hazard", reports.c.done_at.is_not(None)),
        ),
        {"words": ""},
    ),
    _Step(
        broadcasts,
        lambda before: and_(
            broadcasts.c.begun_at < before,
            broadcasts.c.state == "ended",
            or_(broadcasts.c.words_en != "", broadcasts.c.words_fr != ""),
        ),
        {"words_en": "", "words_fr": ""},
    ),
    _Step(
        taught,
        lambda before: and_(taught.c.forgotten_at < before, taught.c.asked != ""),
        {"asked": "", "answer": None},
    ),
    _Step(drafts, lambda before: drafts.c.until < before),
    _Step(relays, lambda before: relays.c.until < before),
    _Step(dialogues, lambda before: dialogues.c.at < before),
    _Step(reminders, lambda before: and_(reminders.c.state != "waiting", reminders.c.ended_at < before)),
    _Step(duty_swaps, lambda before: duty_swaps.c.day < before.date()),
)


def find_old(connection: Connection, place: Place, before: datetime, most: int) -> TooOld | None:
    """The next rows of a round that are older than `before`; None at its end. Only reads."""
    row = place.row
    for number, step in enumerate(_STEPS[place.step :], start=place.step):
        of = _row(step.table)
        found = select(of).where(of > row, step.old(before)).order_by(of).limit(most)
        rows = connection.execute(found).scalars().all()
        if rows:
            return TooOld(number, tuple(rows))
        row = 0
    return None


def let_go(connection: Connection, found: TooOld, before: datetime) -> int:
    """Take the words out, or the rows; how many. One that is open again meanwhile is left."""
    step = _STEPS[found.step]
    these = and_(_row(step.table).in_(found.rows), step.old(before))
    if step.table is outbox:
        _count_parts(connection, these)
    if step.values is None:
        return connection.execute(delete(step.table).where(these)).rowcount
    return connection.execute(update(step.table).where(these).values(**step.values)).rowcount


def _count_parts(connection: Connection, these: ColumnElement[bool]) -> None:
    """What was paid for is a figure, and stays."""
    found = connection.execute(select(outbox.c.seq, outbox.c.text).where(these)).all()
    counted = [{"of": row.seq, "counted": count(row.text)} for row in found]
    if counted:
        connection.execute(
            update(outbox).where(outbox.c.seq == bindparam("of")).values(parts=bindparam("counted")), counted
        )


def _row(table: Table) -> ColumnElement[Any]:
    return literal_column(f"{table.name}.rowid")
