"""How the loops of the mailroom run: woken, they work until nothing is left, and outlive any fault."""

import asyncio
import logging
from collections.abc import Awaitable, Callable

from clubbot.model.errors import DatabaseFault

log = logging.getLogger(__name__)

_AFTER_FAULT = 1.0  # seconds: time for whatever is wrong with the database to pass


async def work_when_woken(woken: asyncio.Event, some: Callable[[], Awaitable[int]], name: str) -> None:
    """Each time `woken` is set, call `some` until it has done nothing; until cancelled. A fault is logged and waited out;
    only a database that waiting does not mend ends it.
    """
    while True:
        await woken.wait()
        woken.clear()
        try:
            while await some():
                pass
        except DatabaseFault as fault:
            if not fault.passes:
                raise
            log.warning("nothing can be kept just now, and nothing is lost; clubbot tries again: %s", fault)
            await asyncio.sleep(_AFTER_FAULT)
            woken.set()
        except Exception:
            log.exception("%s stopped for a moment", name)
            await asyncio.sleep(_AFTER_FAULT)
            woken.set()
