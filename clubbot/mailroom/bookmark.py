"""Where reading stands, kept so that a process that is killed in the middle of a text leaves the text's number behind.

It is a small file beside the database and not a row in it, since it is written for every text and needs to outlive a process, not a power
cut: a text during which the power failed may be read again.
"""

import contextlib
import os
from pathlib import Path

_WIDTH = 20


class Bookmark:
    """The number of the text that is being read. With no file, as for a database in memory, nothing is kept."""

    def __init__(self, file: Path | None) -> None:
        self._open = None if file is None else os.open(file, os.O_RDWR | os.O_CREAT | os.O_CLOEXEC, 0o600)

    def left(self) -> int | None:
        """The text that a process before this one was reading when it was killed; None where there is none."""
        written = b"" if self._open is None else os.pread(self._open, _WIDTH, 0)
        return int(written) or None if written.isdigit() else None

    def put(self, inbox_id: int) -> None:
        """A text is begun."""
        self._write(inbox_id)

    def take_out(self) -> None:
        """It is finished, however it ended."""
        self._write(0)

    def close(self) -> None:
        """Leave the file as it is."""
        if self._open is not None:
            os.close(self._open)
            self._open = None

    def _write(self, number: int) -> None:
        if self._open is None:
            return
        with contextlib.suppress(OSError):  # a full disk: texts are read all the same
            os.pwrite(self._open, b"%0*d" % (_WIDTH, number), 0)
