"""What was taught by text: it lies over the files until it is forgotten, and its row stays."""

from datetime import datetime
from typing import assert_never

from sqlalchemy import Connection, select, update
from sqlalchemy.dialects.sqlite import insert

from clubbot.model.deeds import TeachDeed
from clubbot.model.effects import ForgetTaught, KeepTaught, TaughtEffect
from clubbot.model.known import Taught
from clubbot.store.tables import taught

# Every text is answered through this, so it is put together once.
_TAUGHT = select(taught).where(taught.c.forgotten_at.is_(None)).order_by(taught.c.number)


def write_taught(connection: Connection, effect: TaughtEffect, now: datetime) -> None:
    """What is known from now on, or not any more."""
    match effect:
        case KeepTaught(deed=deed):
            _keep(connection, deed, now)
        case ForgetTaught(number=number):
            _forget(connection, number, now)
        case _:
            assert_never(effect)


def read_taught(connection: Connection) -> tuple[Taught, ...]:
    """What was taught and is not forgotten."""
    rows = connection.execute(_TAUGHT)
    return tuple(
        Taught(number=row.number, topic=row.topic, asked=row.asked, language=row.language, answer=row.answer)
        for row in rows
    )


def _keep(connection: Connection, deed: TeachDeed, now: datetime) -> None:
    """It is known from now on."""
    connection.execute(
        insert(taught).values(
            topic=deed.topic, asked=deed.asked, language=deed.language, answer=deed.answer, by=deed.taught_by, at=now
        )
    )


def _forget(connection: Connection, number: int, now: datetime) -> None:
    """It is not known any more; the row stays."""
    connection.execute(update(taught).where(taught.c.number == number).values(forgotten_at=now))
