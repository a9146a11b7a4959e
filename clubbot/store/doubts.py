"""The texts that were misread, kept two weeks for the digest; whose they are is not kept."""

from datetime import datetime, timedelta

from sqlalchemy import Connection, delete, literal, select
from sqlalchemy.dialects.sqlite import insert

from clubbot.model.digest import Doubt
from clubbot.model.effects import NoteDoubt
from clubbot.store.tables import doubts

# A week's digest may name them, and one that an outage held up.
_DOUBTS_FOR = timedelta(days=14)
_MOST = 200


def note_doubt(connection: Connection, doubt: NoteDoubt, now: datetime) -> None:
    """A text was misread; those that every digest has had are forgotten."""
    sweep_doubts(connection, now)
    row = {"text": doubt.text, "read_as": doubt.read_as, "meant": doubt.meant, "at": now}
    connection.execute(insert(doubts).values(row))


def any_old_doubts(connection: Connection, now: datetime) -> bool:
    """Whether one is kept that no digest will name."""
    old = select(literal(1)).where(doubts.c.at <= now - _DOUBTS_FOR).limit(1)
    return connection.execute(old).scalar() is not None


def sweep_doubts(connection: Connection, now: datetime) -> None:
    """Forget those that no digest will name."""
    connection.execute(delete(doubts).where(doubts.c.at <= now - _DOUBTS_FOR))


def read_doubts(connection: Connection, since: datetime, until: datetime) -> tuple[Doubt, ...]:
    """The texts that were misread between two times."""
    lately = select(doubts).where(doubts.c.at.between(since, until)).order_by(doubts.c.id).limit(_MOST)
    return tuple(Doubt(row.text, row.read_as, row.meant) for row in connection.execute(lately))
