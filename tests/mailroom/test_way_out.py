"""One text that hangs or is refused holds up nobody else's, urgent ones go first, and no step of the clock loses, doubles or swaps one."""

import asyncio
from collections.abc import AsyncIterator
from datetime import timedelta

import pytest
from sqlalchemy import Engine

from clubbot.mailroom.sending import AT_ONCE, FOR_URGENT, Sending
from clubbot.model.effects import HandOver, Reply
from clubbot.model.messages import Outgoing, Refused, SendOutcome, Taken
from clubbot.store.store import Store
from clubbot.store.tables import outbox
from tests.builders import KIM
from tests.fakes import DEADLINE, HandClock, Line, until
from tests.store.builders import JONAS, LEE, SAM, done, rows, state_of, to_go

SECOND, DAY = timedelta(seconds=1), timedelta(days=1)
STEPS = [SECOND, -SECOND, DAY, -DAY]
FAILED = Refused("the gateway answered 500")
LATER = Refused("the gateway answered 429", wait=60, everyone=True)
MOST_TICKS = 200  # seconds: the longest wait here is a minute


class Hanging(Line):
    """A line on which some phones never answer, and do not even end when told to."""

    def __init__(self, *phones: str) -> None:
        super().__init__()
        self.hangs = set(phones)
        self.let_go = asyncio.Event()

    async def send(self, text: Outgoing) -> SendOutcome:
        if text.recipient not in self.hangs:
            return await super().send(text)
        self.handed.append(text)
        while not self.let_go.is_set():
            try:
                await self.let_go.wait()
            except asyncio.CancelledError:
                continue
        return Taken()


@pytest.fixture
def clock() -> HandClock:
    return HandClock()


@pytest.fixture
async def store(engine: Engine) -> AsyncIterator[Store]:
    store = Store(engine, own_thread=False)
    yield store
    await store.close()


async def ended(loop: "asyncio.Task[None]") -> None:
    loop.cancel()
    await asyncio.wait_for(asyncio.wait([loop]), DEADLINE)


# One that hangs


async def test_one_that_hangs_holds_up_only_its_own_phone(store: Store, engine: Engine, clock: HandClock) -> None:
    line = Hanging(KIM)
    for number in range(3):
        to_go(engine, f"kim {number}", to=KIM)
    others = [f"+19025551{number:03}" for number in range(3 * AT_ONCE)]
    for one in others:
        to_go(engine, f"to {one}", to=one)
    loop = asyncio.create_task(Sending(store, line.send, clock, clock.steady).run())
    await until(lambda: all(state_of(engine, f"to {one}") == "sent" for one in others))
    assert [text for text in line.texts if text.startswith("kim")] == ["kim 0"]
    line.let_go.set()
    await until(lambda: state_of(engine, "kim 2") == "sent")
    await ended(loop)

    assert [text for text in line.texts if text.startswith("kim")] == ["kim 0", "kim 1", "kim 2"]


async def test_where_every_place_hangs_an_urgent_text_still_goes(
    store: Store, engine: Engine, clock: HandClock
) -> None:
    phones = [f"+19025551{number:03}" for number in range(AT_ONCE + 10)]
    line = Hanging(*phones)
    for one in phones:
        to_go(engine, f"to {one}", to=one)
    sending = Sending(store, line.send, clock, clock.steady)
    loop = asyncio.create_task(sending.run())
    await until(lambda: len(line.handed) == AT_ONCE - FOR_URGENT)
    to_go(engine, "usual", to=LEE)
    to_go(engine, "call 911", to=SAM, urgent=True)
    sending.wake()
    await until(lambda: state_of(engine, "call 911") == "sent")
    assert len(line.handed) == AT_ONCE - FOR_URGENT + 1
    line.let_go.set()
    await until(lambda: state_of(engine, "usual") == "sent")
    await ended(loop)


async def test_a_channel_that_never_returns_loses_its_place_after_a_time(
    store: Store, engine: Engine, clock: HandClock
) -> None:
    line = Hanging(KIM)
    to_go(engine, "kim 1", to=KIM)
    await Sending(store, line.send, clock, clock.steady, longest_attempt=0.01).send_due()
    (row,) = rows(engine, outbox)
    line.let_go.set()

    assert (row["state"], row["attempts"], row["claimed_until"]) == ("waiting", 1, None)
    assert row["reason"] == "no end to it within 0.01 seconds"


# What is urgent


async def test_an_urgent_text_waits_behind_none_that_is_refused(store: Store, engine: Engine, clock: HandClock) -> None:
    line = Line()
    sending = Sending(store, line.send, clock, clock.steady)
    to_go(engine, "usual")
    line.answers(KIM, FAILED)
    await sending.send_due()
    to_go(engine, "call 911", urgent=True)
    to_go(engine, "no more texts", urgent=True)
    while await sending.send_due():
        pass

    assert line.texts == ["usual", "call 911", "no more texts"]


async def test_an_urgent_text_waits_behind_none_that_is_in_the_air(
    store: Store, engine: Engine, clock: HandClock
) -> None:
    line = Hanging(KIM)
    to_go(engine, "usual", to=KIM)
    sending = Sending(store, line.send, clock, clock.steady)
    loop = asyncio.create_task(sending.run())
    await until(lambda: line.texts == ["usual"])
    line.hangs.clear()
    to_go(engine, "call 911", to=KIM, urgent=True)
    sending.wake()
    await until(lambda: state_of(engine, "call 911") == "sent")
    assert state_of(engine, "usual") == "waiting"
    line.let_go.set()
    await until(lambda: state_of(engine, "usual") == "sent")
    await ended(loop)


async def test_while_everybody_is_asked_to_wait_an_urgent_text_is_tried_every_few_seconds(
    store: Store, engine: Engine, clock: HandClock
) -> None:
    line = Line()
    sending = Sending(store, line.send, clock, clock.steady)
    to_go(engine, "usual", to=LEE)
    line.answers(LEE, LATER)
    line.answers(KIM, LATER, LATER)
    await sending.send_due()
    to_go(engine, "call 911", urgent=True)
    for _ in range(20):
        await sending.send_due()
        clock.forward(SECOND)

    assert line.texts == ["usual", "call 911", "call 911", "call 911"]
    assert state_of(engine, "call 911") == "sent"


async def test_danger_to_asker_and_helper_and_the_confirmation_are_urgent_and_an_answer_is_not(engine: Engine) -> None:
    note = HandOver(reason="danger", person="jonas", number=JONAS, note="URGENT", due=None, next_at=None)
    done(engine, Reply(text="call 911", asks_consent=False), note, id="text-1")
    done(engine, Reply(text="open"), id="text-2")

    assert [(row["text"], row["after"]) for row in rows(engine, outbox)] == [
        ("call 911", -1),
        ("URGENT", -1),
        ("open", 0),
    ]


# Steps of the clock


@pytest.mark.parametrize("step", STEPS)
@pytest.mark.parametrize("stage", ["before", "in the air", "after a 429", "after a failure"])
async def test_over_a_step_of_the_clock_everybody_gets_each_text_once_and_in_order(
    store: Store, engine: Engine, clock: HandClock, step: timedelta, stage: str
) -> None:
    line = Line()
    sending = Sending(store, line.send, clock, clock.steady)
    phones = (KIM, LEE)
    for one in phones:
        to_go(engine, f"1 to {one}", to=one, at=clock.now)
    if stage != "before":
        line.answers(KIM, *{"after a 429": [LATER], "after a failure": [FAILED, FAILED]}.get(stage, []))
        line.open.clear()
        begun = asyncio.create_task(sending.send_due())
        await until(lambda: len(line.handed) == 2)
        if stage == "in the air":
            clock.step(step)
            assert await sending.send_due() == 0
        line.open.set()
        await begun
    if stage != "in the air":
        clock.step(step)
    for one in phones:
        to_go(engine, f"2 to {one}", to=one, at=clock.now)
    for _ in range(MOST_TICKS):
        await sending.send_due()
        clock.forward(SECOND)

    assert {row["state"] for row in rows(engine, outbox)} == {"sent"}
    for one in phones:
        handed = [text.text for text in line.handed if text.recipient == one]
        assert list(dict.fromkeys(handed)) == [f"1 to {one}", f"2 to {one}"]
        refused = {"after a 429": 1, "after a failure": 2}.get(stage, 0) if one == KIM else 0
        assert len(handed) == 2 + refused


@pytest.mark.parametrize("step", STEPS)
async def test_a_wait_for_everybody_is_as_long_as_asked_whatever_the_clock_does(
    store: Store, engine: Engine, clock: HandClock, step: timedelta
) -> None:
    line = Line()
    sending = Sending(store, line.send, clock, clock.steady)
    to_go(engine, "kim 1")
    line.answers(KIM, LATER)
    await sending.send_due()
    clock.step(step)
    to_go(engine, "lee 1", to=LEE, at=clock.now)
    for _ in range(60):
        assert line.texts == ["kim 1"]
        await sending.send_due()
        clock.forward(SECOND)
    await sending.send_due()

    assert sorted(line.texts[1:]) == ["kim 1", "lee 1"]


async def test_what_a_clock_a_day_ahead_has_written_goes_at_the_next_start(
    store: Store, engine: Engine, clock: HandClock
) -> None:
    to_go(engine, "one", at=clock.now + DAY)
    to_go(engine, "two", at=clock.now)
    line = Line()
    sending = Sending(store, line.send, clock, clock.steady)
    while await sending.send_due():
        pass

    assert line.texts == ["one", "two"]
