"""Log lines for people, with every phone number masked, also in the traces of faults; bounded, so that no fault fills the disk.

A fault that is said over and over is said once a minute, with how often it was. A log that cannot be written stops nothing.
"""

import logging
import sys
import time
from collections import OrderedDict
from collections.abc import Callable
from logging.handlers import RotatingFileHandler
from pathlib import Path
from types import TracebackType

from clubbot.files import NotAFile, refuse_unless_file, why
from clubbot.texting.numbers import mask_all

_SHAPE = "%(asctime)s %(levelname)s %(name)s: %(message)s"
# The log file is begun anew at this size, and so many old ones are kept: 25 MB in all, months of a club's texts.
LARGEST = 5_000_000
KEPT = 4
# The same fault is said once in so many seconds.
SAID_AGAIN_AFTER = 60.0
# So many different faults are told apart; more would be no repeats.
_MOST_FAULTS = 256

_Fault = tuple[type[BaseException], BaseException, TracebackType | None] | tuple[None, None, None]


log = logging.getLogger(__name__)


class MaskingFormatter(logging.Formatter):
    """Formats as usual; what a message or a trace holds that looks like a phone number is masked."""

    def format(self, record: logging.LogRecord) -> str:
        """The whole entry; a trace that another log left at the record, with its numbers, is made anew."""
        record.exc_text = None
        return super().format(record)

    def formatMessage(self, record: logging.LogRecord) -> str:
        """The line, its message masked; the time before it is not."""
        record.message = mask_all(record.message)
        return super().formatMessage(record)

    def formatException(self, ei: _Fault) -> str:
        """The trace, masked."""
        return mask_all(super().formatException(ei))

    def formatStack(self, stack_info: str) -> str:
        """The place where it was said, masked."""
        return mask_all(super().formatStack(stack_info))


class OnceAMinute(logging.Filter):
    """Lets a warning or fault through once a minute; the next line that is the same says how often it was said meanwhile."""

    def __init__(self, seconds: Callable[[], float] = time.monotonic) -> None:
        super().__init__()
        self._seconds = seconds
        self._said: OrderedDict[tuple[object, ...], tuple[float, int]] = OrderedDict()

    def filter(self, record: logging.LogRecord) -> bool:
        """Whether the line is written."""
        if record.levelno < logging.WARNING:
            return True
        key, now = _what(record), self._seconds()
        at, unsaid = self._said.get(key, (None, 0))
        if at is not None and now - at < SAID_AGAIN_AFTER:
            self._said[key] = (at, unsaid + 1)
            return False
        self._said[key] = (now, 0)
        self._said.move_to_end(key)
        while len(self._said) > _MOST_FAULTS:
            self._said.popitem(last=False)
        if unsaid:
            record.msg, record.args = f"{record.getMessage()} (said again {unsaid} times meanwhile)", None
        return True


def _what(record: logging.LogRecord) -> tuple[object, ...]:
    """What makes two lines the same: their words; of a trace the place where it was said and the fault, whatever message it was about."""
    if record.exc_info and record.exc_info[0] is not None:
        return (record.name, record.msg, record.exc_info[0], str(record.exc_info[1]))
    return (record.name, record.getMessage())


class BoundedFile(RotatingFileHandler):
    """A log file of bounded size. What cannot be written to it, as on a full disk, goes to standard error instead."""

    def __init__(self, file: Path) -> None:
        super().__init__(file, maxBytes=LARGEST, backupCount=KEPT, encoding="utf-8", delay=True)
        self._instead = logging.StreamHandler(sys.stderr)

    def setFormatter(self, fmt: logging.Formatter | None) -> None:
        """The same for both."""
        super().setFormatter(fmt)
        self._instead.setFormatter(fmt)

    def handleError(self, record: logging.LogRecord) -> None:
        """Said elsewhere; the next line is tried in the file again."""
        self._instead.handle(record)


def log_to(file: Path | None, level: int = logging.INFO) -> None:
    """Log to a file that is bounded, or to standard error where none is named or it cannot be written; other packages from warnings up."""
    wrong = None if file is None else _unusable(file)
    lines = logging.StreamHandler(sys.stderr) if file is None or wrong else BoundedFile(file)
    lines.setFormatter(MaskingFormatter(_SHAPE))
    lines.addFilter(OnceAMinute())
    logging.raiseExceptions = False  # a log that cannot be written is no reason for a trace
    logging.basicConfig(level=logging.WARNING, handlers=[lines], force=True)
    logging.getLogger("clubbot").setLevel(level)
    if wrong:
        log.warning("%s cannot be written (%s): the log goes to standard error; see CLUBBOT_LOG_FILE", file, wrong)


def log_to_stderr(level: int = logging.INFO) -> None:
    """Log to standard error, other packages from warnings up."""
    log_to(None, level)


def _unusable(file: Path) -> str | None:
    """Why a file cannot be logged to; nothing else is opened, since a pipe without a reader would be waited at."""
    try:
        if file.exists():
            refuse_unless_file(file.stat())
        with file.open("ab"):
            return None
    except NotAFile as fault:
        return str(fault)
    except OSError as fault:
        return why(fault)
