"""One process at a time works on a database: a lock on a file beside it, which the kernel lets go when the process ends, however it ends.

The lock file is a companion of its own: SQLite keeps POSIX locks on the database itself, and those of a process are lost as soon as it
closes any handle of that file (SQLite documentation, "How To Corrupt An SQLite Database File", 2.2). It is never deleted, since whoever
deletes it may delete the one that somebody else has just locked.
"""

import contextlib
import fcntl
import os
from collections.abc import Iterator
from functools import partial
from pathlib import Path
from typing import BinaryIO

from clubbot.model.errors import ClubbotError
from clubbot.store.faults import plainly


def lock_file(database: Path) -> Path:
    """The companion of a database; the same whatever name or link the database is reached by."""
    real = database.resolve()
    return real.with_name(real.name + ".lock")


@contextlib.contextmanager
def alone(database: Path | None) -> Iterator[None]:
    """Hold the database while inside; ClubbotError where another process holds it. One in memory is nobody else's."""
    if database is None:
        yield
        return
    with plainly(database):
        # Read only, so that it can be held by the service's user where somebody else has made it.
        held = os.fdopen(os.open(lock_file(database), os.O_RDONLY | os.O_CREAT | os.O_CLOEXEC, 0o644), "rb")
    with held:
        _lock(held, database)
        # A child that is forked off has the lock too, and may live on when we are killed.
        os.register_at_fork(after_in_child=partial(held.close))
        try:
            yield
        finally:
            fcntl.flock(held, fcntl.LOCK_UN)


def _lock(held: BinaryIO, database: Path) -> None:
    try:
        fcntl.flock(held, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except BlockingIOError:
        raise ClubbotError(
            f"{database} is in use: another clubbot works on it; stop that one first, or name another file in "
            "CLUBBOT_DATABASE_URL"
        ) from None
    except OSError as fault:  # some file systems of networks know no locks
        raise ClubbotError(
            f"{database} cannot be locked ({fault.strerror}); keep it on a disk of this machine"
        ) from None
