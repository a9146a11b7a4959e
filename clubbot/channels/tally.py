"""What anybody can cause from outside, without limit, is counted and told in one line a minute."""

import asyncio
import logging
from collections import Counter
from collections.abc import Callable

log = logging.getLogger(__name__)

A_MINUTE = 60.0


class Tally:
    """Counts by words such as "unsigned request(s)". The first of a quiet time is told at once, what follows once a minute."""

    def __init__(self, seconds: float = A_MINUTE) -> None:
        self._counts: Counter[str] = Counter()
        self._seconds = seconds
        self._next: asyncio.TimerHandle | None = None

    def note(self, what: str) -> None:
        """One more of these."""
        self._counts[what] += 1
        if self._next is None:
            self._tell()

    def close(self) -> None:
        """Tell what is left."""
        if self._next is not None:
            self._next.cancel()
            self._next = None
        if self._counts:
            log.warning("at the door: %s", self._told())

    def _tell(self) -> None:
        self._next = None
        if self._counts:
            log.warning("at the door: %s", self._told())
            self._next = asyncio.get_running_loop().call_later(self._seconds, self._tell)

    def _told(self) -> str:
        told = ", ".join(f"{count} {what}" for what, count in sorted(self._counts.items()))
        self._counts.clear()
        return told


class OnceAMinute(logging.Filter):
    """For the logs of packages that write a line, or a whole trace, for every broken request: the first of its kind a minute is let
    through, with how many there were since. `steady` counts seconds.
    """

    def __init__(self, steady: Callable[[], float], seconds: float = A_MINUTE) -> None:
        super().__init__()
        self._steady, self._seconds = steady, seconds
        self._kinds: dict[str, tuple[float, int]] = {}

    def filter(self, record: logging.LogRecord) -> bool:
        """Whether it is written; of debug lines, which nobody writes in service, nothing is counted."""
        if record.levelno < logging.WARNING:
            return True
        kind, now = str(record.msg).partition("\n")[0], self._steady()
        until, more = self._kinds.get(kind, (now, 0))
        if now < until:
            self._kinds[kind] = (until, more + 1)
            return False
        self._kinds = {one: kept for one, kept in self._kinds.items() if now < kept[0]} | {
            kind: (now + self._seconds, 0)
        }
        if more:
            record.msg, record.args = f"{record.getMessage()} (and {more} more since the last such line)", None
        return True
