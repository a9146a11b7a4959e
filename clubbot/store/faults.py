"""Faults of the database and its disk in plain words: what is wrong, with which file, and what to do.

Codes: SQLite documentation, "Result and Error Codes".
"""

import contextlib
import errno
import os
import sqlite3
from collections.abc import Iterator
from pathlib import Path

from sqlalchemy.engine import URL, make_url
from sqlalchemy.exc import DBAPIError

from clubbot.files import NotAFile
from clubbot.model.errors import DatabaseFault

_RESTORE = "bring back a backup with `clubbot restore FILE`, or name another file in CLUBBOT_DATABASE_URL"
_FULL = "the disk is full; make room"
_NO_ROOM = frozenset({errno.ENOSPC, errno.EDQUOT, errno.EFBIG})
# The first byte of a result code is its kind.
_KIND = 0xFF


def file_of(url: str | URL) -> Path | None:
    """The file of a SQLite address; None for a database in memory."""
    name = make_url(url).database
    return Path(name) if name and name != ":memory:" else None


@contextlib.contextmanager
def plainly(where: Path | None) -> Iterator[None]:
    """Whatever the database or its disk brings up inside comes out as a DatabaseFault."""
    try:
        yield
    except (DBAPIError, sqlite3.Error, OSError) as fault:
        plain = in_plain_words(fault, where)
        if plain is None:
            raise
        raise plain from fault


def in_plain_words(fault: BaseException, where: Path | None) -> DatabaseFault | None:
    """The fault as a person is told it; None where it is none of the machine's but ours."""
    if isinstance(fault, DatabaseFault):
        return fault
    name = str(where) if where is not None else "the database"
    if isinstance(fault, OSError):
        return _of_system(fault, name, where)
    driver = fault.orig if isinstance(fault, DBAPIError) else fault
    code = getattr(driver, "sqlite_errorcode", None)
    if not isinstance(code, int):
        return None
    return _of_code(code, name, where, str(driver))


def _of_system(fault: OSError, name: str, where: Path | None) -> DatabaseFault | None:
    if isinstance(fault, NotAFile):
        return DatabaseFault(f"{name} cannot be used: {fault}; name another file in CLUBBOT_DATABASE_URL", passes=False)
    if fault.errno is None:
        return None
    if fault.errno in _NO_ROOM:
        return DatabaseFault(f"{name} cannot be written: {_FULL}", passes=True)
    if fault.errno in {errno.EROFS, errno.EACCES, errno.EPERM}:
        return _only_read(name)
    if fault.errno == errno.ENOENT:
        return DatabaseFault(f"{name} cannot be opened: {_unopened(where)}", passes=False)
    what = (fault.strerror or str(fault)).lower()
    return DatabaseFault(f"{name} cannot be used: {what}; {_RESTORE}", passes=False)


def _of_code(code: int, name: str, where: Path | None, said: str) -> DatabaseFault | None:
    match code & _KIND:
        case sqlite3.SQLITE_NOTADB:
            return DatabaseFault(f"{name} is not a database, or its beginning is damaged; {_RESTORE}", passes=False)
        case sqlite3.SQLITE_CORRUPT:
            return DatabaseFault(f"{name} is damaged ({said}); keep a copy of it, then {_RESTORE}", passes=False)
        case sqlite3.SQLITE_READONLY if code == sqlite3.SQLITE_READONLY_DBMOVED:
            return gone(name)
        case sqlite3.SQLITE_READONLY:
            return _only_read(name)
        case sqlite3.SQLITE_CANTOPEN if where is not None and where.is_file() and not os.access(where.parent, os.W_OK):
            return _only_read(name)
        case sqlite3.SQLITE_CANTOPEN:
            return DatabaseFault(f"{name} cannot be opened: {_unopened(where)}", passes=False)
        case sqlite3.SQLITE_BUSY | sqlite3.SQLITE_LOCKED | sqlite3.SQLITE_PROTOCOL:
            told = f"{name} is held by another program; end it, or wait until it is done"
            return DatabaseFault(told, passes=True)
        case sqlite3.SQLITE_FULL:
            return DatabaseFault(f"{name} cannot be written: {_FULL}", passes=True)
        case sqlite3.SQLITE_IOERR if _no_room(where):
            return DatabaseFault(f"{name} cannot be written: {_FULL}", passes=True)
        case sqlite3.SQLITE_IOERR:
            told = f"{name} cannot be read or written ({said}); see whether its disk is full, worn out or gone"
            return DatabaseFault(told, passes=True)
        case sqlite3.SQLITE_PERM | sqlite3.SQLITE_AUTH | sqlite3.SQLITE_NOLFS:
            return DatabaseFault(f"{name} cannot be used ({said}); see who may read and write it", passes=False)
        case _:
            return None


def gone(name: str) -> DatabaseFault:
    """The file was moved, deleted or replaced while it was in use."""
    told = f"{name} was moved, deleted or replaced while it was in use; put it back, or {_RESTORE}, and start again"
    return DatabaseFault(told, passes=False)


def _only_read(name: str) -> DatabaseFault:
    told = f"{name} may only be read; let clubbot's user write to the file and to its folder"
    return DatabaseFault(told, passes=False)


def _no_room(where: Path | None) -> bool:
    """Whether its disk is full: SQLite does not always tell that from a broken one."""
    try:
        return where is not None and os.statvfs(where.parent).f_bavail == 0
    except OSError:
        return False


def _unopened(where: Path | None) -> str:
    if where is None:
        return "name a file in CLUBBOT_DATABASE_URL"
    try:
        if not where.parent.is_dir():
            return f"there is no folder {where.parent}; make it, or name another file in CLUBBOT_DATABASE_URL"
        if where.exists() and not where.is_file():
            return "it is no file; name another one in CLUBBOT_DATABASE_URL"
    except OSError:
        pass
    return "it is there, but not for us; let clubbot's user read and write the file and its folder, and see that the disk has room"
