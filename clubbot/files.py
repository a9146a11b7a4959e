"""Opens files that people have written, and only regular ones: a pipe, a socket or a device in their place would be waited on for ever."""

import os
import stat
from pathlib import Path

# A club's largest file has some ten thousand letters; nobody writes a hundred times that by hand.
LARGEST = 2_000_000
_KINDS = {
    stat.S_IFIFO: "a pipe between programs (FIFO)",
    stat.S_IFSOCK: "a socket of a program",
    stat.S_IFCHR: "a device",
    stat.S_IFBLK: "a device",
    stat.S_IFDIR: "a folder",
}


class NotAFile(OSError):
    """What stands there is no file that can be read; the text says what it is."""


def read_written(file: Path, largest: int = LARGEST) -> str:
    """The text of a file. OSError where it is missing or may not be read, NotAFile where it is none or too large, UnicodeDecodeError where
    it is no UTF-8.
    """
    refuse_unless_file(file.stat())
    # Something else may take its place between the look and the opening; a pipe opened so does not wait.
    handle = os.open(file, os.O_RDONLY | os.O_NONBLOCK | os.O_CLOEXEC)
    with os.fdopen(handle, "rb") as opened:
        refuse_unless_file(os.fstat(handle))
        written = opened.read(largest + 1)
    if len(written) > largest:
        raise NotAFile(f"this is larger than {largest:,} bytes")
    return written.decode().replace("\r\n", "\n").replace("\r", "\n")


def why_not_listed(folder: Path) -> str | None:
    """Why the names in a folder cannot be read; None where they can, or where there is no such folder."""
    try:
        with os.scandir(folder):
            return None
    except FileNotFoundError:
        return None
    except OSError as fault:
        return why(fault)


def refuse_unless_file(found: os.stat_result) -> None:
    """NotAFile for whatever is not a regular file."""
    kind = stat.S_IFMT(found.st_mode)
    if kind != stat.S_IFREG:
        raise NotAFile(f"this is {_KINDS.get(kind, 'no file')}, not a file")


def why(fault: OSError) -> str:
    """What is wrong with a file, in a few words, without its name."""
    return str(fault) if isinstance(fault, NotAFile) else (fault.strerror or type(fault).__name__).lower()
