"""Sends what is due, in order for each recipient; what is not taken is tried again or given up for all to see."""

import asyncio
import logging
from collections.abc import Awaitable, Callable
from datetime import datetime, timedelta

from sqlalchemy import Connection

from clubbot.mailroom.loops import work_when_woken
from clubbot.mailroom.retries import Again, GiveUp, after_refusal, asked_to_wait
from clubbot.model.messages import Outgoing, Refused, SendOutcome, Taken
from clubbot.model.quiet import QuietHours
from clubbot.store.outbox import claim_due, mark_again, mark_ended, mark_sent
from clubbot.store.store import Store
from clubbot.texting.numbers import masked

log = logging.getLogger(__name__)

Send = Callable[[Outgoing], Awaitable[SendOutcome]]
Clock = Callable[[], datetime]

_AT_ONCE = 32
# Longer than any attempt may take, so that a second process does not send a text that is on its way.
CLAIM_FOR = timedelta(minutes=2)


class Sending:
    """The loop."""

    def __init__(
        self,
        store: Store,
        send: Send,
        clock: Clock,
        claim_for: timedelta = CLAIM_FOR,
        quiet: Callable[[], QuietHours] | None = None,
    ) -> None:
        self._store, self._send, self._clock, self._claim_for = store, send, clock, claim_for
        self._quiet = quiet
        self._woken = asyncio.Event()
        self._woken.set()
        self._hold_until: datetime | None = None

    def wake(self) -> None:
        """There is, or may be, something to send."""
        self._woken.set()

    async def run(self) -> None:
        """Send until cancelled."""
        await work_when_woken(self._woken, self.send_due, "sending")

    async def send_due(self) -> int:
        """Send up to a handful of due texts at once, each to another recipient; how many were tried."""
        now = self._clock()
        if self._hold_until is not None and now < self._hold_until:
            return 0
        until = now + self._claim_for
        quiet = self._quiet() if self._quiet is not None else None
        claimed = await self._store.write(lambda connection: claim_due(connection, now, until, _AT_ONCE, quiet))
        await asyncio.gather(*(self._send_one(text) for text in claimed))
        return len(claimed)

    async def _send_one(self, text: Outgoing) -> None:
        outcome = await self._send(text)
        now = self._clock()
        if isinstance(outcome, Taken):
            await self._store.write(lambda connection: mark_sent(connection, text.id, now))
            log.info("sent %s to %s, %d part(s)", text.id, masked(text.recipient), len(text.parts))
            return
        await self._not_taken(text, outcome, now)

    async def _not_taken(self, text: Outgoing, refused: Refused, now: datetime) -> None:
        decision = after_refusal(text, refused, now)
        wait = asked_to_wait(refused)
        if refused.everyone and wait is not None:  # also where this text itself is too old to wait
            self._hold_until = max(now + wait, self._hold_until or now)

        def write(connection: Connection) -> None:
            match decision:
                case Again(at, counts):
                    mark_again(connection, text.id, at, refused.reason, counts=counts)
                case GiveUp(reason):
                    mark_ended(connection, text.id, "given up", reason)

        await self._store.write(write)
        if isinstance(decision, GiveUp):
            log.error("gave up %s to %s: %s", text.id, masked(text.recipient), decision.reason)
        else:
            log.warning(
                "%s to %s not taken (%s), again at %s", text.id, masked(text.recipient), refused.reason, decision.at
            )
