"""Histories in few words: texts that came in, decisions about them, texts that wait to go out."""

import itertools
from collections.abc import Callable, Mapping, Sequence
from datetime import datetime
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from sqlalchemy import Connection, Engine, Table, select

from clubbot.model.effects import Effect
from clubbot.model.messages import Incoming
from clubbot.store.apply import Decided, Pen, apply
from clubbot.store.inbox import put_down
from clubbot.store.migrating import make_ready
from clubbot.store.outbox import put_out
from clubbot.store.store import open_engine
from clubbot.store.tables import inbox, outbox
from tests.builders import KIM, OUR_NUMBER, a_text
from tests.conftest import NOON

LEE = "+19025550143"
SAM = "+19025550144"
PRIYA = "+19025550104"
JONAS = "+19025550103"

Row = Mapping[str, Any]


def a_database(file: Path) -> Engine:
    """A database file with the schema in it; the steps of the schema are gone through once, and `tests.store.test_migrating` tests them."""
    if not file.exists():
        file.write_bytes(_with_the_schema())
    engine = open_engine(f"sqlite:///{file}")
    make_ready(engine)
    return engine


@cache
def _with_the_schema() -> bytes:
    with TemporaryDirectory() as folder:
        file = Path(folder) / "club.db"
        engine = open_engine(f"sqlite:///{file}")
        make_ready(engine)
        engine.dispose()  # the last one out takes what is in the write-ahead log into the file
        return file.read_bytes()


def rows(engine: Engine, table: Table) -> Sequence[Row]:
    """All rows as another connection sees them."""
    with engine.connect().execution_options(reading=True) as connection:
        return [row._asdict() for row in connection.execute(select(table).order_by(*table.primary_key.columns))]


def the_row(engine: Engine, table: Table) -> Row:
    """The only row."""
    (row,) = rows(engine, table)
    return row


def numbered(prefix: str = "msg_") -> Callable[[], str]:
    """New ids, counted."""
    count = itertools.count(1)
    return lambda: f"{prefix}{next(count)}"


def a_pen(new_id: Callable[[], str] | None = None, *, plain_letters: bool = True) -> Pen:
    return Pen(our_number=OUR_NUMBER, new_id=new_id or numbered(), plain_letters=plain_letters)


def kept(connection: Connection, message: Incoming) -> int:
    """A text that was put down; its number in the inbox."""
    assert put_down(connection, message)
    found = select(inbox.c.id).where(inbox.c.their_id == message.their_id)
    return int(connection.execute(found).scalar_one())


def decided(inbox_id: int, message: Incoming, *effects: Effect, served: tuple[str, ...] = ()) -> Decided:
    return Decided(
        inbox_id=inbox_id, message=message, effects=effects, language="en", outcome="answered", served=served
    )


def done(engine: Engine, *effects: Effect, pen: Pen | None = None, at: datetime = NOON, **text: Any) -> int:
    """A text that came in and was answered with these effects; its number in the inbox."""
    message = a_text(at=at, **text)
    with engine.begin() as connection:
        inbox_id = kept(connection, message)
        assert apply(
            connection, decided(inbox_id, message, *effects), pen or a_pen(numbered(f"{message.their_id}_")), at
        )
    return inbox_id


def to_go(
    engine: Engine,
    text: str,
    *,
    to: str = KIM,
    id: str = "",
    asks_consent: bool = True,
    at: datetime = NOON,
    due: datetime | None = None,
    urgent: bool = False,
) -> str:
    """A text that waits to go out, written `at` and due then or planned for later; its id."""
    known_as = id or f"msg of {text}"
    with engine.begin() as connection:
        put_out(
            connection,
            id=known_as,
            key=f"key of {known_as}",
            recipient=to,
            sender=OUR_NUMBER,
            text=text,
            asks_consent=asks_consent,
            now=at,
            due=due,
            urgent=urgent,
        )
    return known_as


def state_of(engine: Engine, text: str) -> str:
    """What became of a text that goes out."""
    (found,) = [row["state"] for row in rows(engine, outbox) if row["text"] == text]
    return str(found)
