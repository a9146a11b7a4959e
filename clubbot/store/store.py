"""The database opened, and its one writer: all units of work that wait are committed together.

A unit is a plain function of a Connection and may run twice: if one of a group fails, the group is rolled back and each unit
runs again in a savepoint of its own, so that a fault of one costs the others nothing. Nobody is answered before the commit.
"""

import asyncio
import logging
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Generic, TypeVar

from sqlalchemy import Connection, Engine, create_engine, event
from sqlalchemy.engine import make_url
from sqlalchemy.pool import StaticPool

from clubbot.model.errors import DatabaseFault
from clubbot.store.faults import file_of, gone, in_plain_words, plainly

T = TypeVar("T")
Unit = Callable[[Connection], T]
log = logging.getLogger(__name__)

# More than this in one transaction makes the last of them wait for too many others.
_LARGEST_GROUP = 256


def open_engine(url: str) -> Engine:
    """An engine for a SQLite address: WAL, synchronous=FULL, transactions that begin IMMEDIATE, foreign keys held.

    BEGIN IMMEDIATE because a deferred transaction that reads and then writes fails at once on a stale snapshot. A
    database in memory has a single connection, shared.
    """
    memory = make_url(url).database in {None, "", ":memory:"}
    # Parameters hold phone numbers and texts: a fault of the database must not print them.
    options: dict[str, Any] = {"connect_args": {"check_same_thread": False}, "hide_parameters": True}
    if memory:
        options["poolclass"] = StaticPool
    engine = create_engine(url, **options)

    @event.listens_for(engine, "connect")
    def _prepare(raw: Any, _record: object) -> None:
        raw.isolation_level = None  # the driver must not open transactions of its own
        for pragma in ("journal_mode=WAL", "synchronous=FULL", "busy_timeout=10000", "foreign_keys=ON"):
            raw.execute(f"PRAGMA {pragma}")

    @event.listens_for(engine, "begin")
    def _begin(connection: Connection) -> None:
        reading = connection.get_execution_options().get("reading", False)
        connection.exec_driver_sql("BEGIN" if reading else "BEGIN IMMEDIATE")

    return engine


def read(engine: Engine, unit: Unit[T]) -> T:
    """Run a unit that only reads, on a snapshot of its own; it holds up no writer. DatabaseFault where the database cannot be read."""
    with (
        plainly(file_of(engine.url)),
        engine.connect().execution_options(reading=True) as connection,
        connection.begin(),
    ):
        return unit(connection)


@dataclass(slots=True)
class _Waiting(Generic[T]):
    unit: Unit[T]
    done: "asyncio.Future[T]"


class Store:
    """Owns every write. With `own_thread` the writer works beside the loop, so that a slow disk does not stall it; else on the loop.

    The writer keeps one connection open. A database in memory must be used on the loop's thread alone. Where the machine fails everybody who
    waits gets a DatabaseFault, and nothing of theirs is written.
    """

    def __init__(self, engine: Engine, *, own_thread: bool) -> None:
        self._engine = engine
        self._thread = ThreadPoolExecutor(1, thread_name_prefix="store") if own_thread else None
        self._waiting: list[_Waiting[Any]] = []
        self._work: asyncio.Task[None] | None = None
        self._file = file_of(engine.url)
        self._written = _identity(self._file)
        self._failing = False

    async def write(self, unit: Unit[T]) -> T:
        """Run a unit of work and return its value once it is committed; its exception where it raised."""
        done: asyncio.Future[T] = asyncio.get_running_loop().create_future()
        self._waiting.append(_Waiting(unit, done))
        if self._work is None or self._work.done():
            self._work = asyncio.create_task(self._write_all())
        return await done

    async def close(self) -> None:
        """Finish what waits, then let the thread go."""
        if self._work is not None:
            await self._work
        if self._thread is not None:
            self._thread.shutdown(wait=True)

    async def _write_all(self) -> None:
        if self._thread is None:
            await asyncio.sleep(0)  # lets everything that is ready now join the group
        while self._waiting:
            group, self._waiting = self._waiting[:_LARGEST_GROUP], self._waiting[_LARGEST_GROUP:]
            units = [one.unit for one in group]
            try:
                if self._thread is None:
                    results = self._run(units)
                    await asyncio.sleep(0)
                else:
                    results = await asyncio.get_running_loop().run_in_executor(self._thread, self._run, units)
            except Exception as fault:  # the database itself failed: everybody who waits must hear of it
                results = [in_plain_words(fault, self._file) or fault] * len(group)
            self._note(any(isinstance(result, DatabaseFault) for result in results))
            for one, result in zip(group, results, strict=True):
                _settle(one.done, result)

    def _run(self, units: list[Unit[Any]]) -> list[Any]:
        """What is written to a file that was deleted is committed, and gone with the process: nobody must be told that it is kept."""
        results = run_group(self._engine, units)
        found = _identity(self._file)
        if self._file is not None and (found is None or found != (self._written or found)):
            raise gone(str(self._file))
        self._written = found
        return results

    def _note(self, failing: bool) -> None:
        """Whoever waits says what is wrong; that it is over is said here."""
        if self._failing and not failing:
            log.info("%s can be written again", self._file or "the database")
        self._failing = failing


def _settle(done: "asyncio.Future[Any]", result: object) -> None:
    if done.cancelled():
        return
    if isinstance(result, StopIteration):  # a future takes any exception but this one
        result = RuntimeError(f"a unit of work ended in {result!r}")
    if isinstance(result, Exception):
        done.set_exception(result)
    else:
        done.set_result(result)


def run_group(engine: Engine, units: list[Unit[Any]]) -> list[Any]:
    """Run the units in one transaction; the value of each, or the exception that it raised."""
    file = file_of(engine.url)
    try:
        with engine.begin() as connection:
            return [unit(connection) for unit in units]
    except Exception as fault:
        # A full disk or a lock is no fault of a unit: trying each by itself would only wait as often.
        if in_plain_words(fault, file) is not None:
            raise
        if len(units) > 1:
            log.debug("a unit of %d failed; each runs by itself", len(units))
    with engine.begin() as connection:
        return [_alone(connection, unit, file) for unit in units]


def _identity(file: Path | None) -> tuple[int, int] | None:
    try:
        found = file.stat() if file is not None else None
    except OSError:
        return None
    return (found.st_dev, found.st_ino) if found is not None else None


def _alone(connection: Connection, unit: Unit[Any], file: Path | None) -> Any:
    savepoint = connection.begin_nested()
    try:
        value = unit(connection)
        savepoint.commit()
    except Exception as fault:
        if in_plain_words(fault, file) is not None:
            raise
        savepoint.rollback()
        return fault
    return value
