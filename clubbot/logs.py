"""Log lines for people, with every phone number masked, also in the traces of faults."""

import logging
import sys
from types import TracebackType

from clubbot.texting.numbers import mask_all

_Fault = tuple[type[BaseException], BaseException, TracebackType | None] | tuple[None, None, None]


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


def log_to_stderr(level: int = logging.INFO) -> None:
    """Log to standard error, other packages from warnings up."""
    lines = logging.StreamHandler(sys.stderr)
    lines.setFormatter(MaskingFormatter("%(asctime)s %(levelname)s %(name)s: %(message)s"))
    logging.basicConfig(level=logging.WARNING, handlers=[lines], force=True)
    logging.getLogger("clubbot").setLevel(level)
