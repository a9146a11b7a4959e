"""Sends what is due, in order for each recipient, many recipients at once: a text that hangs or is refused holds up nobody else's.

What is not taken is tried again or given up for all to see.
"""

import asyncio
import logging
import math
from collections.abc import Awaitable, Callable, Sequence
from datetime import UTC, datetime, timedelta

from sqlalchemy import Connection

from clubbot.mailroom.loops import work_when_woken
from clubbot.mailroom.retries import URGENT_WAIT, Again, GiveUp, after_refusal, asked_to_wait
from clubbot.model.messages import Outgoing, Refused, SendOutcome, Taken
from clubbot.model.quiet import QuietHours
from clubbot.store.outbox import claim_due, mark_again, mark_ended, mark_sent
from clubbot.store.set_back import set_right
from clubbot.store.store import Store
from clubbot.texting.numbers import masked

log = logging.getLogger(__name__)

Send = Callable[[Outgoing], Awaitable[SendOutcome]]
Clock = Callable[[], datetime]

# On their way at once, each to another phone; the last few places are kept for what is urgent.
AT_ONCE = 32
FOR_URGENT = 4
# Whatever a channel does: longer than the gateway's own limit, which gives the better reason.
LONGEST_ATTEMPT = 15.0
# Longer than any attempt may take, so that a second process does not send a text that is on its way.
CLAIM_FOR = timedelta(minutes=2)
# Less than this is no step of the clock, only two readings that were not quite at once.
_A_STEP = timedelta(milliseconds=50)


class Sending:
    """The loop. `steady` counts seconds and is never set: waits go by it, since `clock` may jump."""

    def __init__(
        self,
        store: Store,
        send: Send,
        clock: Clock,
        steady: Callable[[], float],
        claim_for: timedelta = CLAIM_FOR,
        quiet: Callable[[], QuietHours] | None = None,
        longest_attempt: float = LONGEST_ATTEMPT,
    ) -> None:
        self._store, self._send, self._clock, self._steady = store, send, clock, steady
        self._claim_for, self._quiet, self._longest_attempt = claim_for, quiet, longest_attempt
        self._woken = asyncio.Event()
        self._woken.set()
        self._in_the_air: dict[asyncio.Task[None], Outgoing] = {}
        self._left_behind: set[asyncio.Future[SendOutcome]] = set()
        self._held_until = self._urgent_from = -math.inf
        self._first_lead = self._lead()
        self._last_lead: timedelta | None = None

    def wake(self) -> None:
        """There is, or may be, something to send."""
        self._woken.set()

    async def run(self) -> None:
        """Send until cancelled; then what is on its way is let go, and goes out again at the next start under its id."""
        try:
            await work_when_woken(self._woken, self._begin_due, "sending")
        finally:
            begun = list(self._in_the_air)
            for task in begun:
                task.cancel()
            await asyncio.gather(*begun, return_exceptions=True)

    async def send_due(self) -> int:
        """Send what is due, as far as there are places, and wait for what becomes of it; how many were tried."""
        before = set(self._in_the_air)
        await self._begin_due()
        begun = [task for task in self._in_the_air if task not in before]
        await asyncio.gather(*begun)
        return len(begun)

    async def _begin_due(self) -> int:
        """Fill the free places with what is due; how many that were. Each that ends wakes the loop again."""
        now, lead = self._clock(), self._lead()
        set_back = self._set_back(lead)
        flying = list(self._in_the_air.values())
        most, usual = AT_ONCE - len(flying), AT_ONCE - FOR_URGENT - sum(not one.urgent for one in flying)
        if self._steady() < self._held_until:
            usual = 0
            if self._steady() < self._urgent_from:
                most = 0
        if most <= 0 and set_back is None:
            return 0
        quiet = self._quiet() if self._quiet is not None else None

        def unit(connection: Connection) -> Sequence[Outgoing]:
            if set_back is not None:
                set_right(connection, now, self._claim_for, set_back)
            until = now + self._claim_for
            return claim_due(connection, now, until, max(0, most), quiet, usual=max(0, usual), in_the_air=flying)

        claimed = await self._store.write(unit)
        self._last_lead = lead
        if any(text.urgent for text in claimed):
            self._urgent_from = self._steady() + URGENT_WAIT.total_seconds()
        for text in claimed:
            task = asyncio.create_task(self._try(text))
            self._in_the_air[task] = text
            task.add_done_callback(self._landed)
        return len(claimed)

    def _landed(self, task: "asyncio.Task[None]") -> None:
        del self._in_the_air[task]
        if not task.cancelled() and (fault := task.exception()) is not None:
            # It stays claimed and is tried again when the claim is over.
            log.error("what became of a text could not be written down", exc_info=fault)
        self._woken.set()

    def _lead(self) -> timedelta:
        """How far the clock is ahead of the steady one: always the same while nobody sets it."""
        return self._clock() - datetime.fromtimestamp(self._steady(), UTC)

    def _set_back(self, lead: timedelta) -> timedelta | None:
        """By how much the clock was set back since the last look; nothing where it was not. At the first look nobody knows."""
        if self._last_lead is None:
            return timedelta()
        by = self._last_lead - lead
        return by if by > _A_STEP else None

    def _age(self, text: Outgoing, now: datetime) -> timedelta:
        """By the clock, and by how it would stand had it not been set: the lesser, so that a step makes no text too old."""
        return now - text.created_at - max(timedelta(), self._lead() - self._first_lead)

    async def _try(self, text: Outgoing) -> None:
        outcome = await self._handed_over(text)
        now = self._clock()
        if isinstance(outcome, Taken):
            await self._store.write(lambda connection: mark_sent(connection, text.id, now))
            log.info("sent %s to %s, %d part(s)", text.id, masked(text.recipient), len(text.parts))
            return
        await self._not_taken(text, outcome, now)

    async def _handed_over(self, text: Outgoing) -> SendOutcome:
        """What the channel makes of it, within a time. One that does not even end when told to is left behind."""
        attempt = asyncio.ensure_future(self._send(text))
        try:
            done, _ = await asyncio.wait({attempt}, timeout=self._longest_attempt)
        except asyncio.CancelledError:
            attempt.cancel()
            raise
        if not done:
            attempt.cancel()
            self._left_behind.add(attempt)
            attempt.add_done_callback(self._left_behind.discard)
            return Refused(f"no end to it within {self._longest_attempt:g} seconds")
        fault = attempt.exception()
        if fault is not None:
            log.error("%s could not be handed over", text.id, exc_info=fault)
            return Refused(f"a fault of ours ({type(fault).__name__})")
        return attempt.result()

    async def _not_taken(self, text: Outgoing, refused: Refused, now: datetime) -> None:
        decision = after_refusal(text, refused, now, self._age(text, now))
        wait = asked_to_wait(refused)
        if refused.everyone and wait is not None:  # also where this text itself is too old to wait
            self._held_until = max(self._steady() + wait.total_seconds(), self._held_until)

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
