"""Wakes the loops. The work itself, with when it is due, lives in our tables: a wake-up too many or too late loses nothing."""

import asyncio
from collections.abc import Callable

from apscheduler.jobstores.memory import MemoryJobStore
from apscheduler.schedulers.asyncio import AsyncIOScheduler

TICK_SECONDS = 1.0
# The scheduler goes by the machine's clock: set back by a day, it would sleep for a day. After so many missed ticks it begins anew.
_MISSED = 3


class Clockwork:
    """Calls each of `wakes` once a tick, in real time."""

    def __init__(self, *wakes: Callable[[], object], seconds: float = TICK_SECONDS) -> None:
        # No misfire is dropped (the default grace is one second) and a pile of missed ticks is one.
        defaults = {"coalesce": True, "misfire_grace_time": None, "max_instances": 1}
        self._scheduler = AsyncIOScheduler(
            jobstores={"default": MemoryJobStore()}, job_defaults=defaults, timezone="UTC"
        )
        self._seconds = seconds
        self._ticks = self._seen = 0
        self._look: asyncio.TimerHandle | None = None
        for wake in wakes:
            self._scheduler.add_job(self._call, "interval", seconds=seconds, args=(wake,))

    def start(self) -> None:
        """Begin to tick on the running loop."""
        self._scheduler.start()
        self._look_later()

    def stop(self) -> None:
        """Tick no more."""
        if self._look is not None:
            self._look.cancel()
        self._scheduler.shutdown(wait=False)

    def _look_later(self) -> None:
        """The loop's own timers count seconds and are never set."""
        self._look = asyncio.get_running_loop().call_later(_MISSED * self._seconds, self._look_whether_it_ticks)

    def _look_whether_it_ticks(self) -> None:
        if self._ticks == self._seen:
            for job in self._scheduler.get_jobs():
                job.reschedule("interval", seconds=self._seconds)
        self._seen = self._ticks
        self._look_later()

    async def _call(self, wake: Callable[[], object]) -> None:
        """A coroutine, so that the scheduler runs it on the loop and not in a thread."""
        self._ticks += 1
        wake()
