"""The database copied while the service runs, and put back.

A copy is made by SQLite's VACUUM INTO: one consistent state, in which a writer is not held up, and nothing of what was deleted is left. It is
written beside its place, checked, put on disk, and only then moved there. Put back, the old database is kept beside, never deleted.
"""

import contextlib
import os
import shutil
import sqlite3
from collections.abc import Callable, Iterator, Sequence
from contextlib import closing
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

from clubbot.files import NotAFile, refuse_unless_file
from clubbot.model.errors import ClubbotError, SchemaFault
from clubbot.store.faults import file_of, in_plain_words, plainly
from clubbot.store.lock import alone
from clubbot.store.migrating import HEAD, known_schemas
from clubbot.texting.keywords import keyword

RESTORED = "restored from a backup"
_WAIT_SECONDS = 10
# The kinds of fault that writing a copy brings up; all others are of what is read.
_OF_TARGET = frozenset({sqlite3.SQLITE_FULL, sqlite3.SQLITE_CANTOPEN, sqlite3.SQLITE_IOERR})
# SQLite finds these by the name of the database they belong to.
_BESIDE = ("-wal", "-shm")
# What else of ours lies beside a database and speaks of its rows: the number of the text that was being read when it was killed.
_OURS_BESIDE = ("-reading",)


@dataclass(frozen=True, slots=True, kw_only=True)
class Holds:
    """What a database holds: how many of each, when the last text came, and its schema."""

    people: int
    answers: int
    texts_in: int
    texts_out: int
    last_text: datetime | None
    schema: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Restored:
    """What is there now; where the database from before is kept; what is not done any more because it may have been done since."""

    holds: Holds
    kept_as: Path | None
    unsent: int
    unanswered: int
    unreminded: int
    opted_out_since: int | None  # None where the database from before could not be asked

    @property
    def must_migrate(self) -> bool:
        """Whether it is of an older version."""
        return self.holds.schema != HEAD


# Copying


def back_up(url: str, to: Path, *, overwrite: bool = False) -> Holds:
    """Copy the database to a file, also while it is in use; what the copy holds."""
    source = _file(url)
    if not source.exists():
        raise ClubbotError(f"there is no database {source}; see CLUBBOT_DATABASE_URL")
    if to.exists():
        _refuse_target(to, source, overwrite=overwrite)
    with _part(to) as part:
        _copy(source, part)
        holds = _checked(part, source)
        _move(part, to)
    return holds


def _refuse_target(to: Path, source: Path, *, overwrite: bool) -> None:
    if to.samefile(source):
        raise ClubbotError(f"{to} is the database itself; name another file")
    if not to.is_file():
        raise ClubbotError(f"{to} is no file; name one that is not there yet")
    if not overwrite:
        raise ClubbotError(f"{to} is there already; name another file, or say --overwrite")


def _copy(source: Path, to: Path) -> None:
    """One consistent state of `source`, written to the empty file `to`."""
    with plainly(source), closing(_opened(source)) as opened:
        _schema_of(opened, source)
        try:
            opened.execute("VACUUM INTO ?", (str(to),))
        except sqlite3.Error as fault:
            of_target = fault.sqlite_errorcode & 0xFF in _OF_TARGET
            raise in_plain_words(fault, to if of_target else source) or fault from fault


def _opened(file: Path) -> sqlite3.Connection:
    """Opened to be read. One that lies where nothing can be written, and has nothing beside it, is read as it is."""
    refuse_unless_file(file.stat())
    address = file.resolve().as_uri()
    opened = sqlite3.connect(f"{address}?mode=ro", uri=True, timeout=_WAIT_SECONDS, isolation_level=None)
    try:
        opened.execute("SELECT count(*) FROM sqlite_master")
    except sqlite3.OperationalError as fault:
        opened.close()
        if fault.sqlite_errorcode & 0xFF != sqlite3.SQLITE_CANTOPEN or any(_beside(file)):
            raise
        return sqlite3.connect(f"{address}?immutable=1", uri=True, isolation_level=None)
    except sqlite3.Error:
        opened.close()
        raise
    return opened


def _schema_of(opened: sqlite3.Connection, file: Path) -> str:
    """The schema; SchemaFault where it is not clubbot's or of a later version."""
    tables = {name for (name,) in opened.execute("SELECT name FROM sqlite_master WHERE type = 'table'")}
    if "alembic_version" not in tables or "inbox" not in tables:
        raise SchemaFault(
            f"{file} is no database of clubbot's; name one that `clubbot serve` or `clubbot backup` has made"
        )
    found = opened.execute("SELECT version_num FROM alembic_version").fetchone()
    schema = str(found[0]) if found else ""
    if schema not in known_schemas():
        raise SchemaFault(
            f"{file} has schema {schema}, this clubbot knows {HEAD}; use the clubbot version that made it"
        )
    return schema


def _checked(part: Path, source: Path) -> Holds:
    """What a copy holds; ClubbotError where it is not whole."""
    with plainly(source), closing(sqlite3.connect(part)) as opened:
        (verdict,) = opened.execute("PRAGMA integrity_check(1)").fetchone()
        if verdict != "ok" or opened.execute("PRAGMA foreign_key_check").fetchone():
            raise ClubbotError(f"{source} is damaged ({verdict}); the copy was not kept; use an earlier backup")
        return _holds(opened, source)


def _holds(opened: sqlite3.Connection, file: Path) -> Holds:
    schema = _schema_of(opened, file)
    last = opened.execute("SELECT max(received_at) FROM inbox").fetchone()[0]
    return Holds(
        people=_count(opened, "people"),
        answers=_count(opened, "rsvps"),
        texts_in=_count(opened, "inbox"),
        texts_out=_count(opened, "outbox"),
        last_text=None if last is None else datetime.fromtimestamp(last, UTC),
        schema=schema,
    )


def _count(opened: sqlite3.Connection, table: str) -> int:
    if not _has(opened, table):
        return 0
    return int(opened.execute(f"SELECT count(*) FROM {table}").fetchone()[0])  # noqa: S608  (our own names)


def _has(opened: sqlite3.Connection, table: str) -> bool:
    found = opened.execute("SELECT 1 FROM sqlite_master WHERE type = 'table' AND name = ?", (table,))
    return found.fetchone() is not None


# Putting back


def _ends_texts(text: str) -> bool:
    word = keyword(text)
    return word is not None and word.kind == "stop"


def restore(
    url: str,
    backup: Path,
    now: datetime,
    *,
    send_waiting: bool = False,
    ends_texts: Callable[[str], bool] = _ends_texts,
) -> Restored:
    """Put a copy in the place of the database, which is kept beside. Not while a service runs on it.

    What waited when the copy was made may have gone since: nobody is texted it a second time, unless `send_waiting`. Opt-outs made since are
    taken over from the database as it was, where that can still be read. `ends_texts` tells a waiting text that asks for no more texts,
    which is heard in any case; by itself the key words alone are.
    """
    database = _file(url)
    if not backup.exists():
        raise ClubbotError(f"there is no file {backup}")
    with alone(database):
        if database.exists():
            _refuse_place(database, backup)
        real = database.resolve()
        with _part(real) as part:
            _copy(backup, part)
            holds = _checked(part, backup)
            with plainly(part), closing(sqlite3.connect(part, isolation_level=None)) as opened:
                opened.execute("BEGIN IMMEDIATE")
                unsent, unanswered, unreminded = (0, 0, 0) if send_waiting else _set_aside(opened, now, ends_texts)
                opted_out = _take_over_opt_outs(opened, real, now) if real.exists() else 0
                opened.execute("COMMIT")
            with plainly(real):
                _own_as(part, real)
                kept_as = _keep_old(real, now)
                _move(part, real)
    return Restored(
        holds=holds,
        kept_as=kept_as,
        unsent=unsent,
        unanswered=unanswered,
        unreminded=unreminded,
        opted_out_since=opted_out,
    )


def _refuse_place(database: Path, backup: Path) -> None:
    if backup.samefile(database):
        raise ClubbotError(f"{backup} is the database itself; name a backup")
    if not database.is_file():
        raise ClubbotError(f"{database} is no file; name another one in CLUBBOT_DATABASE_URL")


def _set_aside(opened: sqlite3.Connection, now: datetime, ends_texts: Callable[[str], bool]) -> tuple[int, int, int]:
    """What waited is not done any more: texts to go out, texts to be answered, reminders that were due since. A wish to get no more texts
    is still to be heard: hearing it twice harms nobody.
    """
    unsent = opened.execute(
        "UPDATE outbox SET state = 'dropped', claimed_until = NULL, reason = ? WHERE state IN ('waiting', 'held')",
        (RESTORED,),
    ).rowcount
    if _has(opened, "broadcasts"):
        opened.execute("UPDATE broadcasts SET state = 'ended' WHERE state != 'ended'")
    waiting = opened.execute("SELECT id, text FROM inbox WHERE state != 'answered'").fetchall()
    others = [(now.timestamp(), RESTORED, number) for number, text in waiting if not ends_texts(text)]
    opened.executemany("UPDATE inbox SET state = 'answered', answered_at = ?, outcome = ? WHERE id = ?", others)
    unreminded = 0
    if _has(opened, "reminders"):
        unreminded = opened.execute(
            "UPDATE reminders SET state = 'dropped', reason = ?, ended_at = ? WHERE state = 'waiting' AND due_at <= ?",
            (RESTORED, now.timestamp(), now.timestamp()),
        ).rowcount
    return unsent, len(others), unreminded


def _take_over_opt_outs(opened: sqlite3.Connection, old: Path, now: datetime) -> int | None:
    """Who had opted out since stays opted out; how many. None where the old database cannot be read."""
    try:
        with closing(_opened(old)) as before:
            out = before.execute("SELECT number, language FROM people WHERE opted_out = 1").fetchall()
            since = opened.execute("SELECT coalesce(max(at), 0) FROM consents").fetchone()
            left = before.execute(
                "SELECT DISTINCT number, list_id FROM consents WHERE what = 'list off' AND at > ?", since
            ).fetchall()
    except (sqlite3.Error, NotAFile):
        return None
    known = {number for (number,) in opened.execute("SELECT number FROM people WHERE opted_out = 1")}
    new = [(number, language, now.timestamp()) for number, language in out if number not in known]
    opened.executemany(
        "INSERT INTO people (number, language, opted_out, introduced, first_seen_at) VALUES (?, ?, 1, 0, ?) "
        "ON CONFLICT (number) DO UPDATE SET opted_out = 1",
        new,
    )
    opened.executemany("DELETE FROM subscriptions WHERE number = ? AND list_id = ?", left)
    return len(new)


def _keep_old(database: Path, now: datetime) -> Path | None:
    """Keep the database under a name with the time. There is one at its own name at every moment: a kill in between loses none."""
    if not database.exists():
        return None
    kept = _free_name(database.with_name(f"{database.name}.before-{now.astimezone(UTC):%Y%m%dT%H%M%SZ}"))
    _fold(database)
    for found in _beside(
        database, (*_BESIDE, *_OURS_BESIDE)
    ):  # it could not be folded in, and must not meet the new one
        found.rename(kept.with_name(kept.name + found.name.removeprefix(database.name)))
    try:
        kept.hardlink_to(database)
    except OSError:  # a disk that knows no links
        shutil.copy2(database, kept)
        _sync(kept)
    return kept


def _own_as(part: Path, database: Path) -> None:
    """Whoever could use the database can use the new one, also where somebody else puts it back."""
    if not database.exists():
        return
    found = database.stat()
    part.chmod(found.st_mode & 0o777)
    with contextlib.suppress(PermissionError):
        os.chown(part, found.st_uid, found.st_gid)


def _fold(database: Path) -> None:
    """What was written last lies beside the database until the last who has it open closes it."""
    with contextlib.suppress(sqlite3.DatabaseError), closing(sqlite3.connect(database, isolation_level=None)) as opened:
        busy, *_ = opened.execute("PRAGMA wal_checkpoint(TRUNCATE)").fetchone()
        if busy:
            raise ClubbotError(f"{database} is held by another program; end it, then restore again")


def _beside(database: Path, ends: Sequence[str] = _BESIDE) -> list[Path]:
    found = (database.with_name(database.name + end) for end in ends)
    return [one for one in found if one.exists()]


def _free_name(wanted: Path) -> Path:
    name, number = wanted, 1
    while name.exists():
        number += 1
        name = wanted.with_name(f"{wanted.name}-{number}")
    return name


# Files


def _file(url: str) -> Path:
    file = file_of(url)
    if file is None:
        raise ClubbotError(
            "a database in memory can be neither copied nor put back; name a file in CLUBBOT_DATABASE_URL"
        )
    return file


@contextlib.contextmanager
def _part(to: Path) -> Iterator[Path]:
    """An empty file beside `to`, for its owner alone, since texts and numbers will be in it; it is gone at the end."""
    part = to.with_name(f"{to.name}.{os.getpid()}.part")
    with plainly(to):
        os.close(os.open(part, os.O_CREAT | os.O_EXCL | os.O_WRONLY | os.O_CLOEXEC, 0o600))
    try:
        yield part
    finally:
        for one in (part, *_beside(part), part.with_name(part.name + "-journal")):
            one.unlink(missing_ok=True)


def _move(part: Path, to: Path) -> None:
    """Put on disk, then in place, then the name on disk."""
    with plainly(to):
        _sync(part)
        part.replace(to)
        _sync(to.parent)


def _sync(path: Path) -> None:
    handle = os.open(path, os.O_RDONLY | os.O_CLOEXEC)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)
