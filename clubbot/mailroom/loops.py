"""How the loops of the mailroom run: woken, they work until nothing is left, and outlive any fault."""

import asyncio
import logging
from collections.abc import Awaitable, Callable

log = logging.getLogger(__name__)

_AFTER_FAULT = 1.0  # seconds: time for whatever is wrong with the database to pass


async def work_when_woken(woken: asyncio.Event, some: Callable[[], Awaitable[int]], name: str) -> None:
    """Each time `woken` is set, call `some` until it has done nothing; until cancelled. A fault is logged and waited out."""
    while True:
        await woken.wait()
        woken.clear()
        try:
            while await some():
                pass
        except Exception:
            log.exception("%s stopped for a moment", name)
            await asyncio.sleep(_AFTER_FAULT)
            woken.set()
