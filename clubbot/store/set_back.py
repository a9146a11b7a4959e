"""The clock was set back: what was written while it ran ahead is brought into the present, so that nothing waits for a day that was never there.

Of what is past nothing is changed: texts that came in, what was sent, consents and deeds keep the time that was shown then.
"""

from datetime import datetime, timedelta

from sqlalchemy import ColumnElement, Connection, Float, Table, func, select, type_coerce, update

from clubbot.conversation.codes import LONGEST_GOOD
from clubbot.store.dialogues import set_dialogues_back
from clubbot.store.tables import broadcasts, drafts, outbox, questions

_DAY = timedelta(days=1).total_seconds()
# Longer than any wait for a text that was tried and not taken (mailroom/retries).
LONGEST_RETRY = timedelta(hours=4)


def set_right(connection: Connection, now: datetime, longest_claim: timedelta, by: timedelta | None = None) -> None:
    """All that lies further ahead than anybody plans. `by` is how far the clock was set back, where that is known; at a start it is not."""
    moved = (by or timedelta()).total_seconds()
    _texts_to_go(connection, now, longest_claim, moved)
    _texts_to_many(connection, now)
    late = _seconds(questions.c.asked_at) - now.timestamp()
    connection.execute(
        update(questions)
        .where(questions.c.answered_at.is_(None), questions.c.asked_at > now)
        .values(next_at=_seconds(questions.c.next_at) - late, asked_at=now)
    )
    _good_until(connection, drafts, now, LONGEST_GOOD, moved)
    set_dialogues_back(connection, now, by)


def _texts_to_go(connection: Connection, now: datetime, longest_claim: timedelta, moved: float) -> None:
    waiting = outbox.c.state == "waiting"
    connection.execute(
        update(outbox).where(waiting, outbox.c.claimed_until > now + 2 * longest_claim).values(claimed_until=None)
    )
    # Tried before: as long as it was to wait still, where we know by how much the clock moved, else not at all.
    again = func.max(_seconds(outbox.c.due_at) - moved, now.timestamp()) if moved else now.timestamp()
    ahead = outbox.c.due_at > (now if moved else now + LONGEST_RETRY)
    connection.execute(
        update(outbox).where(waiting, outbox.c.reason.is_not(None), ahead).values(due_at=type_coerce(again, Float))
    )
    written_ahead = (waiting, outbox.c.reason.is_(None), outbox.c.after < 1, outbox.c.created_at > now)
    # Planned for an hour of the day, such as the morning: the hour stays.
    days = func.round((_seconds(outbox.c.created_at) - now.timestamp()) / _DAY) * _DAY
    connection.execute(
        update(outbox)
        .where(*written_ahead, outbox.c.due_at > outbox.c.created_at)
        .values(due_at=_seconds(outbox.c.due_at) - days, created_at=now)
    )
    connection.execute(
        update(outbox).where(*written_ahead, outbox.c.due_at <= outbox.c.created_at).values(due_at=now, created_at=now)
    )


def _texts_to_many(connection: Connection, now: datetime) -> None:
    """A whole broadcast moves, so that its pace stays; what then falls into the quiet hours waits as everything does."""
    for row in connection.execute(select(broadcasts).where(broadcasts.c.begun_at > now)).all():
        ahead = (row.begun_at - now).total_seconds()
        connection.execute(
            update(outbox)
            .where(
                outbox.c.broadcast == row.id,
                outbox.c.state.in_(["waiting", "held"]),
                outbox.c.reason.is_(None),
            )
            .values(due_at=_seconds(outbox.c.due_at) - ahead, created_at=_seconds(outbox.c.created_at) - ahead)
        )
        connection.execute(update(broadcasts).where(broadcasts.c.id == row.id).values(begun_at=now))


def _good_until(connection: Connection, table: Table, now: datetime, longest: timedelta, moved: float) -> None:
    """A question or a code that would be good for longer than any is good for as long as it was; where nobody knows how long, it is over."""
    until = _seconds(table.c.until) - moved if moved else now.timestamp()
    connection.execute(update(table).where(table.c.until > now + longest).values(until=type_coerce(until, Float)))


def _seconds(column: ColumnElement[datetime]) -> ColumnElement[float]:
    return type_coerce(column, Float)
