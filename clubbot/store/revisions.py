"""How often each entry of the calendar feed has changed, kept over restarts, so that subscribers see every change."""

from collections.abc import Mapping
from datetime import date, datetime

from sqlalchemy import Connection, select
from sqlalchemy.dialects.sqlite import insert

from clubbot.model.calendar import Revision
from clubbot.model.effects import KeepRevision
from clubbot.store.tables import revisions

# The rule itself, beside its changed days: a primary key has no empty part.
_RULE = date.min


def read_revisions(connection: Connection) -> Mapping[tuple[str, date | None], Revision]:
    """Every entry's revision, by event and day; None for the rule itself."""
    return {
        (row.event, _day(row.day)): Revision(sequence=row.sequence, changed_at=row.changed_at)
        for row in connection.execute(select(revisions))
    }


def read_words(connection: Connection) -> Mapping[tuple[str, date | None], tuple[str, int]]:
    """What each entry said when it was last looked at, and its sequence."""
    return {(row.event, _day(row.day)): (row.words, row.sequence) for row in connection.execute(select(revisions))}


def keep_revision(connection: Connection, revision: KeepRevision, now: datetime) -> None:
    """The entry says something else now."""
    values = {"words": revision.words, "sequence": revision.sequence, "changed_at": now}
    row = insert(revisions).values({"event": revision.event, "day": revision.day or _RULE, **values})
    connection.execute(row.on_conflict_do_update(index_elements=["event", "day"], set_=values))


def _day(day: date) -> date | None:
    return None if day == _RULE else day
