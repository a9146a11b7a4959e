"""Once a day what is too old to be kept is let go, a few rows at a time, so that no text waits for it."""

import asyncio
import logging
from collections.abc import Callable
from concurrent.futures import Executor
from datetime import datetime, timedelta
from functools import partial

from sqlalchemy import Engine

from clubbot.mailroom.loops import work_when_woken
from clubbot.model.club import Knowledge
from clubbot.store.keeping import Place, TooOld, find_old, let_go
from clubbot.store.store import Store, read

log = logging.getLogger(__name__)

# Rows in one transaction: some milliseconds.
_AT_ONCE = 200
_EVERY = timedelta(days=1)


class Keeping:
    """The loop. It looks on a snapshot, beside the event loop, and takes the writer only for what it has found."""

    def __init__(
        self,
        engine: Engine,
        store: Store,
        knowledge: Callable[[], Knowledge],
        clock: Callable[[], datetime],
        beside: Executor | None,
    ) -> None:
        self._engine, self._store, self._knowledge, self._clock, self._beside = engine, store, knowledge, clock, beside
        self._place: Place | None = None
        self._rounds_from: datetime | None = None
        self._let_go = 0
        self._woken = asyncio.Event()
        self._woken.set()

    def wake(self) -> None:
        """Time has passed."""
        self._woken.set()

    async def run(self) -> None:
        """Let go until cancelled."""
        await work_when_woken(self._woken, self.do_some, "letting go of what is too old")

    async def do_some(self) -> int:
        """The next few rows of a round; how many were found. A round begins at the start and a day after the last."""
        now = self._clock()
        if self._place is None and not self._due(now):
            return 0
        before = now - timedelta(days=self._knowledge().club.keep_texts_days)
        found = await self._find(self._place or Place(), before)
        if found is None:
            if self._let_go:
                log.info("%d row(s) from before %s were blanked or swept", self._let_go, before.date())
            self._place, self._rounds_from, self._let_go = None, now, 0
            return 0
        self._let_go += await self._store.write(partial(let_go, found=found, before=before))
        self._place = found.after
        return len(found.rows)

    def _due(self, now: datetime) -> bool:
        """A clock that was set back does not put it off."""
        return self._rounds_from is None or not self._rounds_from <= now < self._rounds_from + _EVERY

    async def _find(self, place: Place, before: datetime) -> TooOld | None:
        unit = partial(find_old, place=place, before=before, most=_AT_ONCE)
        if self._beside is None:
            return read(self._engine, unit)
        return await asyncio.get_running_loop().run_in_executor(self._beside, read, self._engine, unit)
