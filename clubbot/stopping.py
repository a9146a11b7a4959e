"""How `serve` stops: told to, it finishes what it is doing; what cannot be finished in a few seconds is left, and done at the next start."""

import asyncio
import contextlib
import logging
import os
import signal
import threading
from collections.abc import Iterator
from types import FrameType

log = logging.getLogger(__name__)

# Nothing is lost by leaving at any moment, and whoever tells us to stop (a person, the machine going down) does not wait long.
STOPS_WITHIN = 6.0  # seconds


@contextlib.contextmanager
def stop_when_told(loop: asyncio.AbstractEventLoop, within: float = STOPS_WITHIN) -> Iterator[asyncio.Event]:
    """Gives the event that is set by SIGTERM or Ctrl-C. From then on the process has so many seconds, whatever it hangs at.

    The signals are taken by plain handlers, which run between two steps of the program even where the loop does not get its turn, as
    while the ways of asking are learnt at a start.
    """
    stop, watches = asyncio.Event(), list[threading.Timer]()

    def told(_number: int, _frame: FrameType | None) -> None:
        if not watches:
            watches.append(threading.Timer(within, _leave))
            watches[0].daemon = True
            watches[0].start()
        loop.call_soon_threadsafe(stop.set)

    before = {number: signal.signal(number, told) for number in (signal.SIGINT, signal.SIGTERM)}
    try:
        yield stop
    finally:
        for number, taken_by in before.items():
            signal.signal(number, taken_by)


def _leave() -> None:
    log.warning("not everything could be finished in time; the rest is done at the next start")
    os._exit(0)
