"""The course as the club's people have told of it by text: closures, holds and notes, and whom we asked whether one is over."""

from datetime import datetime
from typing import assert_never

from sqlalchemy import Connection, or_, select, update
from sqlalchemy.dialects.sqlite import insert

from clubbot.model.club import Closure
from clubbot.model.effects import AskAboutClosure, CloseCourse, CourseEffect, ReopenCourse
from clubbot.model.messages import Said
from clubbot.store.pen import Pen, send
from clubbot.store.tables import closures


def write_course(connection: Connection, effect: CourseEffect, pen: Pen, now: datetime) -> None:
    """What is closed, open again, or asked about."""
    match effect:
        case CloseCourse(closure=closure, person=person):
            _close(connection, closure, person, now)
        case ReopenCourse(closures=numbers):
            _reopen(connection, numbers, now)
        case AskAboutClosure(closure=number):
            send(connection, effect.key, effect.number, effect.text, False, pen, now)
            _note_asked(connection, number, now)
        case _:
            assert_never(effect)


def read_to_ask(
    connection: Connection, now: datetime, last_thunder_before: datetime
) -> list[tuple[Closure, str | None]]:
    """Closures about which a person has to be asked now, with who made them: a danger whose time is over, a hold whose wait is."""
    rows = connection.execute(
        select(closures).where(
            closures.c.ended_at.is_(None),
            closures.c.asked_at.is_(None),
            or_(
                (closures.c.kind == "danger") & (closures.c.until <= now),
                (closures.c.kind == "held") & (closures.c.since <= last_thunder_before),
            ),
        )
    )
    return [
        (
            Closure(
                what=row.what,
                since=row.since,
                until=row.until,
                reason=Said(en=row.reason_en, fr=row.reason_fr),
                kind=row.kind,
                number=row.id,
            ),
            row.made_by,
        )
        for row in rows
    ]


def _close(connection: Connection, closure: Closure, person: str, now: datetime) -> None:
    """Closed, on hold or with a note. A hold that is on already begins again: the wait counts from the last thunder."""
    if closure.kind == "held":
        again = connection.execute(
            update(closures)
            .where(closures.c.kind == "held", closures.c.ended_at.is_(None))
            .values(since=closure.since, asked_at=None, made_by=person, begun=True)
        )
        if again.rowcount:
            return
    if closure.kind in {"danger", "planned"}:  # closed again with a new time: the old one is over
        connection.execute(
            update(closures)
            .where(
                closures.c.what == closure.what,
                closures.c.kind.in_(["danger", "planned"]),
                closures.c.since <= closure.since,
                closures.c.ended_at.is_(None),
                or_(closures.c.until.is_(None), closures.c.until >= closure.since, closures.c.kind == "danger"),
            )
            .values(ended_at=closure.since)
        )
    connection.execute(
        insert(closures).values(
            what=closure.what,
            since=closure.since,
            until=closure.until,
            reason_en=closure.reason.en,
            reason_fr=closure.reason.fr,
            kind=closure.kind,
            made_by=person,
            begun=closure.since <= now,
        )
    )


def _reopen(connection: Connection, numbers: tuple[int, ...], now: datetime) -> None:
    """These are over."""
    connection.execute(
        update(closures).where(closures.c.id.in_(numbers), closures.c.ended_at.is_(None)).values(ended_at=now)
    )


def _note_asked(connection: Connection, closure: int, now: datetime) -> None:
    """Somebody has been asked about it."""
    connection.execute(update(closures).where(closures.c.id == closure).values(asked_at=now))
