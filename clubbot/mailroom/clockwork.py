"""Wakes the loops. The work itself, with when it is due, lives in our tables: a wake-up too many or too late loses nothing."""

from collections.abc import Callable

from apscheduler.jobstores.memory import MemoryJobStore
from apscheduler.schedulers.asyncio import AsyncIOScheduler

TICK_SECONDS = 1.0


class Clockwork:
    """Calls each of `wakes` once a tick, in real time."""

    def __init__(self, *wakes: Callable[[], object], seconds: float = TICK_SECONDS) -> None:
        # No misfire is dropped (the default grace is one second) and a pile of missed ticks is one.
        defaults = {"coalesce": True, "misfire_grace_time": None, "max_instances": 1}
        self._scheduler = AsyncIOScheduler(
            jobstores={"default": MemoryJobStore()}, job_defaults=defaults, timezone="UTC"
        )
        for wake in wakes:
            self._scheduler.add_job(_call, "interval", seconds=seconds, args=(wake,))

    def start(self) -> None:
        """Begin to tick on the running loop."""
        self._scheduler.start()

    def stop(self) -> None:
        """Tick no more."""
        self._scheduler.shutdown(wait=False)


async def _call(wake: Callable[[], object]) -> None:
    """A coroutine, so that the scheduler runs it on the loop and not in a thread."""
    wake()
