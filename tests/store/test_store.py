"""The database as it is opened, and its one writer."""

import asyncio
import sqlite3
import threading
from collections.abc import AsyncIterator, Callable, Iterator
from contextlib import closing, contextmanager
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Literal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as some
from sqlalchemy import Connection, Engine, create_engine, event, insert, select
from sqlalchemy.dialects import sqlite
from sqlalchemy.exc import DatabaseError, IntegrityError, StatementError

from clubbot.model.errors import DatabaseFault
from clubbot.store.store import Store, open_engine, read
from clubbot.store.tables import Moment, closures, consents, people
from tests.builders import KIM
from tests.conftest import NOON
from tests.fakes import DEADLINE
from tests.store.builders import LEE, rows

Mode = Literal["thread", "loop"]


@pytest.fixture(params=["thread", "loop"])
async def store(request: pytest.FixtureRequest, engine: Engine) -> AsyncIterator[Store]:
    """The writer, on a thread of its own and on the loop's."""
    store = Store(engine, own_thread=request.param == "thread")
    yield store
    await store.close()


def keep(number: str) -> Callable[[Connection], str]:
    """A unit that writes a person down and returns the number."""

    def unit(connection: Connection) -> str:
        row = {"number": number, "opted_out": 0, "introduced": 0, "first_seen_at": NOON}
        connection.execute(insert(people).values(row))
        return number

    return unit


def broken(number: str, fault: Exception) -> Callable[[Connection], str]:
    """A unit that fails after it wrote."""

    def unit(connection: Connection) -> str:
        keep(number)(connection)
        raise fault

    return unit


def numbers_on_disk(file: Path) -> set[str]:
    """What a connection of its own, without our settings, sees as committed."""
    with closing(sqlite3.connect(file)) as other:
        return {str(number) for (number,) in other.execute("SELECT number FROM people")}


@contextmanager
def commits_of(engine: Engine) -> Iterator[list[None]]:
    """Counts the transactions that are committed."""
    counted: list[None] = []

    def count(_: Connection) -> None:
        counted.append(None)

    event.listen(engine, "commit", count)
    yield counted
    event.remove(engine, "commit", count)


# As it is opened


@pytest.mark.parametrize(
    ("pragma", "value"),
    [
        # SQLite documentation, "PRAGMA synchronous": FULL is 2 (MEMORY). "Write-Ahead Logging": with FULL each commit is
        # synced and durable over power loss (READ-2).
        ("synchronous", 2),
        ("journal_mode", "wal"),
        ("foreign_keys", 1),
        ("busy_timeout", 10000),
    ],
)
def test_every_connection_is_durable_and_holds_foreign_keys(engine: Engine, pragma: str, value: object) -> None:
    with engine.connect() as one, engine.connect().execution_options(reading=True) as other:
        other_value = other.exec_driver_sql(f"PRAGMA {pragma}").scalar()
        assert (value, value) == (one.exec_driver_sql(f"PRAGMA {pragma}").scalar(), other_value)


def test_a_transaction_that_may_write_takes_the_lock_when_it_begins(engine: Engine, file: Path) -> None:
    """SQLite documentation, "BEGIN TRANSACTION": IMMEDIATE starts to write at once; a second one is busy (MEMORY)."""
    with closing(sqlite3.connect(file, timeout=0, isolation_level=None)) as other:
        with engine.begin() as connection:
            connection.exec_driver_sql("SELECT 1")
            with pytest.raises(sqlite3.OperationalError, match="locked"):
                other.execute("BEGIN IMMEDIATE")
        other.execute("BEGIN IMMEDIATE")


def test_who_only_reads_holds_up_no_writer_and_sees_one_state(engine: Engine) -> None:
    def unit(connection: Connection) -> list[list[str]]:
        seen = [list(connection.execute(select(people.c.number)).scalars())]
        with engine.begin() as writer:
            keep(KIM)(writer)
        return [*seen, list(connection.execute(select(people.c.number)).scalars())]

    assert read(engine, unit) == [[], []]
    assert [row["number"] for row in rows(engine, people)] == [KIM]


def test_a_row_may_not_point_to_a_message_that_is_not_there(engine: Engine) -> None:
    row = {"number": KIM, "at": NOON, "what": "stop", "channel": "test", "words": "stop", "inbox_id": 7}
    with pytest.raises(IntegrityError, match="FOREIGN KEY"), engine.begin() as connection:
        connection.execute(insert(consents).values(row))


def test_a_database_in_memory_is_one_for_all_its_connections() -> None:
    engine = open_engine("sqlite://")
    with engine.begin() as connection:
        connection.exec_driver_sql("CREATE TABLE discs (colour)")
        connection.exec_driver_sql("INSERT INTO discs VALUES ('orange')")
    with engine.connect() as connection:
        assert connection.exec_driver_sql("SELECT colour FROM discs").scalar() == "orange"
    engine.dispose()


def test_a_fault_of_the_database_does_not_show_a_number(engine: Engine) -> None:
    with engine.begin() as connection:
        keep(KIM)(connection)
    with pytest.raises(IntegrityError) as fault, engine.begin() as connection:
        keep(KIM)(connection)

    assert KIM[-7:] not in str(fault.value)


# Times


def test_a_time_without_a_zone_is_refused(engine: Engine) -> None:
    row = {"what": "course", "since": NOON.replace(tzinfo=None), "reason_en": "", "reason_fr": ""}
    with pytest.raises(StatementError, match="without a zone"), engine.begin() as connection:
        connection.execute(insert(closures).values(row))

    assert rows(engine, closures) == []


def test_a_time_comes_back_as_the_same_instant_in_utc(engine: Engine) -> None:
    with engine.begin() as connection:
        row = {"what": "course", "since": NOON, "until": None, "reason_en": "", "reason_fr": ""}
        connection.execute(insert(closures).values(row))
    (closure,) = rows(engine, closures)

    assert closure["since"] == NOON
    assert closure["since"].tzinfo is UTC
    assert closure["until"] is None


_FIRST, _LAST = datetime(1970, 1, 2), datetime(2200, 1, 1)  # noqa: DTZ001  (the zone is drawn beside)


@settings(deadline=None)  # a busy machine is no fault
@given(some.datetimes(_FIRST, _LAST, timezones=some.timezones()))
def test_no_time_is_changed_by_a_microsecond(moment: datetime) -> None:
    dialect = sqlite.dialect()
    bound = Moment().process_bind_param(moment, dialect)

    assert moment.astimezone(UTC) == Moment().process_result_value(bound, dialect)


def test_times_sort_as_they_came_whatever_their_zone(engine: Engine) -> None:
    with engine.begin() as connection:
        for what, since in (("later", NOON + timedelta(hours=1)), ("earlier", NOON.astimezone(UTC))):
            row = {"what": what, "since": since, "reason_en": "", "reason_fr": ""}
            connection.execute(insert(closures).values(row))
    with engine.connect() as connection:
        found = connection.execute(select(closures.c.what).order_by(closures.c.since)).scalars().all()

    assert found == ["earlier", "later"]


# The writer


async def test_each_caller_gets_the_value_of_its_own_unit(store: Store) -> None:
    one, other = await asyncio.gather(store.write(keep(KIM)), store.write(keep(LEE)))

    assert (one, other) == (KIM, LEE)


async def test_who_is_answered_finds_the_row_committed(store: Store, file: Path) -> None:
    async def write(number: str) -> bool:
        await store.write(keep(number))
        return number in numbers_on_disk(file)

    assert all(await asyncio.gather(*(write(f"number {place}") for place in range(50))))


async def test_nobody_is_answered_before_the_commit(engine: Engine, file: Path) -> None:
    """The commit is held up: as long as it is, no other connection sees the rows and no caller is told."""
    loop, at_commit, go_on = asyncio.get_running_loop(), asyncio.Event(), threading.Event()

    def hold(_: Connection) -> None:
        loop.call_soon_threadsafe(at_commit.set)
        assert go_on.wait(DEADLINE)

    event.listen(engine, "commit", hold)
    store = Store(engine, own_thread=True)
    callers = [asyncio.create_task(store.write(keep(number))) for number in (KIM, LEE)]
    await asyncio.wait_for(at_commit.wait(), DEADLINE)
    for _ in range(50):  # an answer given too early would arrive now
        await asyncio.sleep(0)
    told_early, seen_early = [caller.done() for caller in callers], numbers_on_disk(file)
    go_on.set()
    await asyncio.gather(*callers)
    await store.close()

    assert told_early == [False, False]
    assert set() == seen_early
    assert {KIM, LEE} == numbers_on_disk(file)


async def test_on_the_loop_too_the_answer_comes_after_the_commit(engine: Engine) -> None:
    happened: list[str] = []
    event.listen(engine, "commit", lambda _: happened.append("commit"))
    store = Store(engine, own_thread=False)

    async def write(number: str) -> None:
        await store.write(keep(number))
        happened.append("answer")

    await asyncio.gather(write(KIM), write(LEE))

    assert happened == ["commit", "answer", "answer"]


async def test_all_that_wait_are_committed_together(store: Store, engine: Engine) -> None:
    with commits_of(engine) as commits:
        await asyncio.gather(*(store.write(keep(f"number {place}")) for place in range(50)))

    assert len(commits) == 1


async def test_a_crowd_is_committed_in_groups_so_that_the_first_do_not_wait_for_the_last(
    store: Store, engine: Engine
) -> None:
    with commits_of(engine) as commits:
        await asyncio.gather(*(store.write(keep(f"number {place}")) for place in range(300)))

    assert len(commits) == 2
    assert len(rows(engine, people)) == 300


async def test_a_faulty_unit_costs_the_others_of_its_group_nothing(store: Store, file: Path, engine: Engine) -> None:
    units = [keep("one"), broken("two", ValueError("ours")), keep("three"), keep("one"), keep("four")]
    with commits_of(engine) as commits:
        told = await asyncio.gather(*(store.write(unit) for unit in units), return_exceptions=True)

    assert ["one", ValueError, "three", IntegrityError, "four"] == [
        type(one) if isinstance(one, Exception) else one for one in told
    ]
    assert {"one", "three", "four"} == numbers_on_disk(file)
    assert len(commits) == 1


async def test_a_unit_alone_that_fails_leaves_nothing(store: Store, file: Path) -> None:
    with pytest.raises(ValueError, match="ours"):
        await store.write(broken(KIM, ValueError("ours")))

    assert set() == numbers_on_disk(file)


async def test_after_a_fault_the_writer_goes_on(store: Store) -> None:
    with pytest.raises(ValueError, match="ours"):
        await store.write(broken(KIM, ValueError("ours")))

    assert await store.write(keep(KIM)) == KIM


async def test_a_database_that_cannot_commit_tells_everybody_who_waits(
    store: Store, engine: Engine, file: Path
) -> None:
    def full(_: Connection) -> None:
        raise OSError("no space left")

    event.listen(engine, "commit", full)
    told = await asyncio.gather(store.write(keep(KIM)), store.write(keep(LEE)), return_exceptions=True)
    event.remove(engine, "commit", full)

    assert [str(one) for one in told] == ["no space left", "no space left"]
    assert set() == numbers_on_disk(file)
    assert await store.write(keep(LEE)) == LEE


async def test_a_caller_who_goes_away_holds_up_nobody(store: Store) -> None:
    gone = asyncio.create_task(store.write(keep(KIM)))
    stays = asyncio.create_task(store.write(keep(LEE)))
    await asyncio.sleep(0)
    gone.cancel()

    assert await asyncio.wait_for(stays, DEADLINE) == LEE


@pytest.mark.parametrize("mode", ["thread", "loop"])
async def test_closing_finishes_what_waits(engine: Engine, file: Path, mode: Mode) -> None:
    store = Store(engine, own_thread=mode == "thread")
    writes = [asyncio.create_task(store.write(keep(number))) for number in (KIM, LEE)]
    await asyncio.sleep(0)
    await store.close()

    assert {KIM, LEE} == numbers_on_disk(file)
    assert await asyncio.gather(*writes) == [KIM, LEE]


async def test_what_was_committed_is_there_after_a_restart(store: Store, engine: Engine, file: Path) -> None:
    await store.write(keep(KIM))
    engine.dispose()
    again = create_engine(f"sqlite:///{file}")

    assert [row["number"] for row in rows(again, people)] == [KIM]
    again.dispose()


# The machine fails


async def test_a_full_disk_is_told_plainly_to_all_who_wait_and_tried_once(
    store: Store, engine: Engine, file: Path
) -> None:
    """PRAGMA max_page_count stands for the disk's end. SQLite documentation: SQLITE_FULL."""
    full = True

    def bound(raw: sqlite3.Connection, *_: object) -> None:
        pages = raw.execute("PRAGMA page_count").fetchone()[0]
        raw.execute(f"PRAGMA max_page_count={pages if full else 1_000_000}")

    event.listen(engine, "checkout", bound)
    begun: list[None] = []
    event.listen(engine, "begin", lambda _: begun.append(None))
    long = "x" * 20_000
    told = await asyncio.gather(store.write(keep(KIM + long)), store.write(keep(LEE)), return_exceptions=True)
    tried, full = len(begun), False
    again = await store.write(keep(LEE))

    assert [type(one) for one in told] == [DatabaseFault, DatabaseFault]
    assert str(told[0]) == f"{file} cannot be written: the disk is full; make room"
    assert [one.passes for one in told if isinstance(one, DatabaseFault)] == [True, True]
    assert tried == 1
    assert again == LEE
    assert numbers_on_disk(file) == {LEE}


async def test_what_was_written_to_a_file_that_is_gone_is_told_to_nobody_as_kept(store: Store, file: Path) -> None:
    await store.write(keep(KIM))
    await asyncio.to_thread(file.unlink)
    with pytest.raises(DatabaseFault, match="was moved, deleted or replaced") as fault:
        await store.write(keep(LEE))

    assert not fault.value.passes


def test_whoever_reads_a_damaged_database_is_told_plainly(engine: Engine, file: Path) -> None:
    with engine.begin() as connection:
        keep(KIM)(connection)
    engine.dispose()
    with file.open("r+b") as opened:
        opened.seek(4_096)
        opened.write(b"\xff" * (file.stat().st_size - 4_096))
    with pytest.raises(DatabaseFault, match=r"is damaged \(database disk image is malformed\)") as fault:
        read(engine, lambda connection: connection.execute(select(people)).all())

    assert not fault.value.passes
    assert isinstance(fault.value.__cause__, DatabaseError)
