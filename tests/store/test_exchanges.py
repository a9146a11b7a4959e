"""What was last said is kept for half an hour, as it was; what was misread is kept for the digest without its writer."""

from datetime import datetime, timedelta

from sqlalchemy import Connection, Engine

from clubbot.model.digest import Doubt
from clubbot.model.effects import KeepExchange, NoteDoubt
from clubbot.model.exchange import LEANS_FOR, Exchange, Spoken
from clubbot.model.wants import When
from clubbot.store.exchanges import (
    any_too_old,
    keep_exchange,
    note_doubt,
    read_doubts,
    read_exchange,
    sweep_exchanges,
)
from clubbot.store.tables import doubts, exchanges
from tests.builders import KIM
from tests.conftest import NOON
from tests.store.builders import LEE, rows

SUNDAY = When(NOON.date(), NOON.date(), at=NOON, dated=True, weekday=True)
OPEN = Spoken(want="status", place="marsh", when=SUNDAY)
SAID = KeepExchange(text="is the marsh open", language="en", wants=(OPEN,), others=("hours", "busy"))


def kept(engine: Engine, said: KeepExchange = SAID, number: str = KIM, at: datetime = NOON) -> None:
    with engine.begin() as connection:
        keep_exchange(connection, number, said, at)


def read(engine: Engine, at: datetime) -> Exchange | None:
    with engine.connect() as connection:
        return read_exchange(connection, KIM, at)


def test_what_was_last_said_comes_back_as_it_was(engine: Engine) -> None:
    kept(engine)
    found = read(engine, NOON + timedelta(minutes=1))

    assert found is not None
    assert found == Exchange(text="is the marsh open", language="en", wants=(OPEN,), others=("hours", "busy"), at=NOON)


def test_only_the_last_is_kept(engine: Engine) -> None:
    kept(engine)
    kept(engine, KeepExchange(text="how much", language="en"), at=NOON + timedelta(minutes=1))

    assert [row["text"] for row in rows(engine, exchanges)] == ["how much"]


def test_nobody_sees_what_another_said(engine: Engine) -> None:
    kept(engine, number=LEE)

    assert read(engine, NOON) is None


def test_after_the_stated_time_it_is_not_read_any_more_and_swept(engine: Engine) -> None:
    kept(engine)
    kept(engine, number=LEE, at=NOON + timedelta(minutes=20))

    assert read(engine, NOON + LEANS_FOR - timedelta(seconds=1)) is not None
    assert read(engine, NOON + LEANS_FOR) is None
    with engine.begin() as connection:
        assert not any_too_old(connection, NOON + LEANS_FOR)
        assert any_too_old(connection, NOON + 2 * LEANS_FOR)
        sweep_exchanges(connection, NOON + LEANS_FOR)
    assert [row["number"] for row in rows(engine, exchanges)] == [LEE]


def test_doubts_are_read_for_their_time_and_forgotten_after_two_weeks(engine: Engine) -> None:
    def note(connection: Connection, text: str, at: datetime) -> None:
        note_doubt(connection, NoteDoubt(text=text, read_as="buy", meant=None), at)

    with engine.begin() as connection:
        note(connection, "old", NOON - timedelta(days=15))
        note(connection, "last week", NOON - timedelta(days=8))
        note(connection, "now", NOON)
        found = read_doubts(connection, NOON - timedelta(days=7), NOON)

    assert found == (Doubt("now", "buy", None),)
    assert [row["text"] for row in rows(engine, doubts)] == ["last week", "now"]
    assert "number" not in doubts.c
