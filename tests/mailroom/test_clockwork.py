"""Wakes the loops once a tick: no tick is lost for good, a pile of them is one, and it stops."""

import asyncio
from datetime import timedelta

from clubbot.mailroom.clockwork import Clockwork
from clubbot.serving import wall_clock
from tests.fakes import DEADLINE


class Sleeper:
    """Counts how often it was woken, and says when it was woken so often."""

    def __init__(self, enough: int = 1) -> None:
        self.woken = 0
        self.awake = asyncio.Event()
        self._enough = enough

    def wake(self) -> None:
        self.woken += 1
        if self.woken >= self._enough:
            self.awake.set()


async def woken(sleeper: Sleeper) -> None:
    await asyncio.wait_for(sleeper.awake.wait(), DEADLINE)


async def test_everybody_is_woken_again_and_again() -> None:
    one, other = Sleeper(enough=3), Sleeper(enough=3)
    clockwork = Clockwork(one.wake, other.wake, seconds=0.01)
    clockwork.start()
    await woken(one)
    await woken(other)
    clockwork.stop()


async def test_before_the_start_nobody_is_woken() -> None:
    sleeper = Sleeper()
    clockwork = Clockwork(sleeper.wake, seconds=0.001)
    for _ in range(100):
        await asyncio.sleep(0)
    assert sleeper.woken == 0

    clockwork.start()
    await woken(sleeper)
    clockwork.stop()


async def test_once_stopped_nobody_is_woken() -> None:
    """A second clockwork, started later, shows that there was time for a tick."""
    sleeper, witness = Sleeper(), Sleeper(enough=20)
    clockwork, other = Clockwork(sleeper.wake, seconds=0.001), Clockwork(witness.wake, seconds=0.001)
    clockwork.start()
    await woken(sleeper)
    clockwork.stop()
    await asyncio.sleep(0)  # a call that was under way ends
    counted = sleeper.woken
    other.start()
    await woken(witness)
    other.stop()

    assert sleeper.woken == counted


async def test_one_who_cannot_be_woken_costs_the_others_nothing() -> None:
    def breaks() -> None:
        raise RuntimeError("fast asleep")

    sleeper = Sleeper(enough=3)
    clockwork = Clockwork(breaks, sleeper.wake, seconds=0.01)
    clockwork.start()
    await woken(sleeper)
    clockwork.stop()


async def test_a_day_of_missed_ticks_is_made_up_for_by_one() -> None:
    """As when the machine was asleep: the last 25 ticks are past, the latest of them by half an hour."""
    sleeper = Sleeper()
    clockwork = Clockwork(sleeper.wake, seconds=3600)
    clockwork.start()
    (job,) = clockwork._scheduler.get_jobs()  # its own clock cannot be handed in
    job.modify(next_run_time=wall_clock() - timedelta(hours=24, minutes=30))
    await woken(sleeper)
    for _ in range(100):  # a second call for the same pile would come right after the first
        await asyncio.sleep(0)
    clockwork.stop()

    assert sleeper.woken == 1


async def test_a_clock_set_back_by_a_day_stops_no_ticks() -> None:
    """As the scheduler finds itself then: its next tick is a day ahead of the clock."""
    one, other = Sleeper(enough=3), Sleeper(enough=3)
    clockwork = Clockwork(one.wake, other.wake, seconds=0.05)
    clockwork.start()
    for job in clockwork._scheduler.get_jobs():  # its own clock cannot be handed in
        job.modify(next_run_time=wall_clock() + timedelta(days=1))
    await woken(one)
    await woken(other)
    clockwork.stop()
