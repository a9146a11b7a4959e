"""Sends what is due: in order, once, with patience and with consent; what cannot be sent is given up for all to see."""

import asyncio
import logging
from collections.abc import AsyncIterator, Callable
from datetime import timedelta
from pathlib import Path
from typing import TypeVar

import pytest
from sqlalchemy import Connection, Engine

from clubbot.mailroom.sending import CLAIM_FOR, Sending
from clubbot.model.effects import OptIn, OptOut, Reply
from clubbot.model.messages import Refused
from clubbot.store.outbox import release_claims
from clubbot.store.store import Store
from clubbot.store.tables import outbox
from tests.builders import KIM
from tests.conftest import NOON
from tests.fakes import DEADLINE, HandClock, Line, until
from tests.store.builders import LEE, SAM, a_database, done, rows, state_of, the_row, to_go

T = TypeVar("T")

FAILED = Refused("the gateway answered 500")
SECOND = timedelta(seconds=1)
MINUTE = timedelta(minutes=1)


def later(seconds: float) -> Refused:
    """429 or 503: everybody is asked to wait."""
    return Refused("the gateway answered 429", wait=seconds, everyone=True)


@pytest.fixture
def clock() -> HandClock:
    return HandClock(NOON)


@pytest.fixture
def line() -> Line:
    return Line()


@pytest.fixture
async def store(engine: Engine) -> AsyncIterator[Store]:
    store = Store(engine, own_thread=False)
    yield store
    await store.close()


@pytest.fixture
def sending(store: Store, line: Line, clock: HandClock) -> Sending:
    return Sending(store, line.send, clock, clock.steady)


async def all_due(sending: Sending) -> None:
    """Everything that is due now has been tried."""

    async def drain() -> None:
        while await sending.send_due():
            pass

    await asyncio.wait_for(drain(), DEADLINE)


# What is due


async def test_what_is_due_is_sent_and_noted(sending: Sending, engine: Engine, line: Line) -> None:
    to_go(engine, "Yes, open.", id="msg_1")
    await all_due(sending)

    assert [(one.id, one.recipient, one.text) for one in line.handed] == [("msg_1", KIM, "Yes, open.")]
    assert (the_row(engine, outbox)["state"], the_row(engine, outbox)["sent_at"]) == ("sent", NOON)


async def test_what_is_sent_is_not_sent_again(sending: Sending, engine: Engine, line: Line, clock: HandClock) -> None:
    to_go(engine, "one")
    await all_due(sending)
    clock.forward(timedelta(days=1))
    await all_due(sending)

    assert line.texts == ["one"]


async def test_with_nothing_due_nothing_is_tried(sending: Sending, engine: Engine) -> None:
    to_go(engine, "later", due=NOON + SECOND)

    assert await sending.send_due() == 0


async def test_more_than_a_handful_go_out_too(sending: Sending, engine: Engine, line: Line) -> None:
    for number in range(70):
        to_go(engine, f"text {number}", to=f"+19025550{number:03}")
    await all_due(sending)

    assert sorted(line.texts) == sorted(f"text {number}" for number in range(70))


# Order


async def test_texts_to_one_recipient_go_in_the_order_they_were_written(
    sending: Sending, engine: Engine, line: Line
) -> None:
    for text in ("one", "two", "three"):
        to_go(engine, text)
    await all_due(sending)

    assert line.texts == ["one", "two", "three"]


async def test_while_one_is_on_its_way_the_next_to_the_same_recipient_waits(
    sending: Sending, engine: Engine, line: Line
) -> None:
    to_go(engine, "one")
    to_go(engine, "two")
    line.open.clear()
    on_its_way = asyncio.create_task(sending.send_due())
    await until(lambda: line.texts == ["one"])
    assert await sending.send_due() == 0

    line.open.set()
    await on_its_way
    await all_due(sending)
    assert line.texts == ["one", "two"]


async def test_while_one_is_tried_again_the_next_waits_and_other_recipients_go_on(
    sending: Sending, engine: Engine, line: Line, clock: HandClock
) -> None:
    line.answers(KIM, FAILED, FAILED)
    for text, to in (("kim 1", KIM), ("kim 2", KIM), ("lee 1", LEE), ("lee 2", LEE)):
        to_go(engine, text, to=to)
    await all_due(sending)
    assert line.texts == ["kim 1", "lee 1", "lee 2"]

    clock.forward(5 * SECOND)
    to_go(engine, "lee 3", to=LEE, at=clock.now)
    await all_due(sending)
    assert line.texts[3:] == ["kim 1", "lee 3"]

    clock.forward(30 * SECOND)
    await all_due(sending)
    assert line.texts[5:] == ["kim 1", "kim 2"]


# Again


async def test_the_id_stays_the_same_however_often_it_is_tried(
    sending: Sending, engine: Engine, line: Line, clock: HandClock
) -> None:
    to_go(engine, "one", id="msg_1")
    line.answers(KIM, FAILED, later(60), FAILED)
    for _ in range(4):
        await all_due(sending)
        clock.forward(timedelta(hours=1))

    assert [one.id for one in line.handed] == ["msg_1"] * 4
    assert state_of(engine, "one") == "sent"


async def test_a_failure_counts_and_is_tried_again_when_the_table_says(
    sending: Sending, engine: Engine, line: Line, clock: HandClock
) -> None:
    to_go(engine, "one")
    line.answers(KIM, FAILED)
    await all_due(sending)
    row = the_row(engine, outbox)
    assert (row["state"], row["attempts"], row["due_at"]) == ("waiting", 1, NOON + 5 * SECOND)

    clock.forward(4 * SECOND)
    await all_due(sending)
    assert len(line.handed) == 1
    clock.forward(SECOND)
    await all_due(sending)
    assert len(line.handed) == 2


async def test_when_it_is_given_up_state_reason_and_log_say_so_and_no_number_shows(
    sending: Sending, engine: Engine, line: Line, clock: HandClock, caplog: pytest.LogCaptureFixture
) -> None:
    caplog.set_level(logging.DEBUG)
    to_go(engine, "one", id="msg_a")
    line.answers(KIM, *[FAILED] * 10)
    for _ in range(12):
        await all_due(sending)
        clock.forward(timedelta(hours=2))
    row = the_row(engine, outbox)

    assert (row["state"], row["reason"]) == ("given up", "not taken after 10 attempts: the gateway answered 500")
    (error,) = [record.getMessage() for record in caplog.records if record.levelno == logging.ERROR]
    assert all(told in error for told in ("gave up", "msg_a", "…42", "the gateway answered 500"))
    assert not any(KIM[-7:] in record.getMessage() for record in caplog.records)
    assert len(line.handed) == 10


async def test_after_one_was_given_up_the_next_to_the_same_recipient_goes(
    sending: Sending, engine: Engine, line: Line, clock: HandClock
) -> None:
    to_go(engine, "one", at=NOON - timedelta(hours=24))
    to_go(engine, "two")
    line.answers(KIM, FAILED)
    await all_due(sending)

    assert (state_of(engine, "one"), state_of(engine, "two")) == ("given up", "sent")


# Waits that the gateway asks for: RFC 9110, 10.2.3 (READ); Standard Webhooks: 429 and 503 slow down (READ)


async def test_a_gateway_that_asks_for_time_is_left_alone_by_everybody(
    sending: Sending, engine: Engine, line: Line, clock: HandClock
) -> None:
    to_go(engine, "kim 1", to=KIM)
    line.answers(KIM, later(60))
    await all_due(sending)
    to_go(engine, "lee 1", to=LEE)
    clock.forward(59 * SECOND)
    await all_due(sending)
    assert line.texts == ["kim 1"]

    clock.forward(SECOND)
    await all_due(sending)
    assert sorted(line.texts[1:]) == ["kim 1", "lee 1"]


async def test_a_wait_that_was_asked_for_counts_as_no_attempt(
    sending: Sending, engine: Engine, line: Line, clock: HandClock
) -> None:
    to_go(engine, "one")
    line.answers(KIM, *[later(60)] * 15)
    for _ in range(15):
        await all_due(sending)
        assert the_row(engine, outbox)["attempts"] == 0
        clock.forward(MINUTE)
    await all_due(sending)

    assert state_of(engine, "one") == "sent"
    assert len(line.handed) == 16


async def test_of_two_waits_the_longer_holds(sending: Sending, engine: Engine, line: Line, clock: HandClock) -> None:
    for to, wait in ((KIM, 120), (LEE, 10)):
        to_go(engine, f"to {to}", to=to)
        line.answers(to, later(wait))
    await all_due(sending)
    clock.forward(119 * SECOND)
    await all_due(sending)
    assert len(line.handed) == 2

    clock.forward(SECOND)
    await all_due(sending)
    assert len(line.handed) == 4


@pytest.mark.parametrize(("asked_for", "held"), [(0.0, SECOND), (1e300, timedelta(hours=1))])
async def test_a_wait_of_nothing_or_for_ever_is_kept_within_bounds(
    sending: Sending, engine: Engine, line: Line, clock: HandClock, asked_for: float, held: timedelta
) -> None:
    to_go(engine, "one")
    line.answers(KIM, later(asked_for))
    await all_due(sending)
    clock.forward(held - timedelta(milliseconds=1))
    await all_due(sending)
    assert len(line.handed) == 1

    clock.forward(timedelta(milliseconds=1))
    await all_due(sending)
    assert state_of(engine, "one") == "sent"


async def test_a_text_too_old_to_wait_is_given_up_but_the_others_wait(
    sending: Sending, engine: Engine, line: Line, clock: HandClock
) -> None:
    to_go(engine, "old", to=KIM, at=NOON - timedelta(hours=24))
    line.answers(KIM, later(60))
    await sending.send_due()
    to_go(engine, "new", to=LEE)
    clock.forward(59 * SECOND)
    await all_due(sending)

    assert (state_of(engine, "old"), state_of(engine, "new")) == ("given up", "waiting")


async def test_an_ordinary_failure_holds_up_nobody_else(sending: Sending, engine: Engine, line: Line) -> None:
    to_go(engine, "kim 1", to=KIM)
    line.answers(KIM, FAILED)
    await all_due(sending)
    to_go(engine, "lee 1", to=LEE)
    await all_due(sending)

    assert line.texts == ["kim 1", "lee 1"]


# Consent


async def test_an_opt_out_between_reply_and_sending_drops_the_reply_but_not_its_own_confirmation(
    sending: Sending, engine: Engine, line: Line
) -> None:
    done(engine, Reply(text="the reply"), id="text-1")
    done(engine, Reply(text="no more texts", asks_consent=False), OptOut(words="stop"), id="text-2")
    await all_due(sending)
    await all_due(sending)

    assert line.texts == ["no more texts"]
    assert [(row["state"], row["reason"]) for row in rows(engine, outbox)] == [("dropped", "opted out"), ("sent", None)]


async def test_an_opt_out_while_a_text_is_being_tried_again_is_heeded(
    sending: Sending, engine: Engine, line: Line, clock: HandClock
) -> None:
    done(engine, Reply(text="the reply"), id="text-1")
    line.answers(KIM, FAILED)
    await all_due(sending)
    done(engine, OptOut(words="stop"), id="text-2")
    clock.forward(MINUTE)
    await all_due(sending)

    assert line.texts == ["the reply"]
    assert state_of(engine, "the reply") == "dropped"


async def test_who_came_back_in_time_gets_what_waited(sending: Sending, engine: Engine, line: Line) -> None:
    done(engine, Reply(text="the reply"), id="text-1")
    done(engine, OptOut(words="stop"), id="text-2")
    done(engine, OptIn(words="start"), id="text-3")
    await all_due(sending)

    assert line.texts == ["the reply"]


# Claims


async def test_two_sendings_on_one_database_send_each_text_once(engine: Engine, file: Path, clock: HandClock) -> None:
    other_engine = a_database(file)
    stores = [Store(engine, own_thread=True), Store(other_engine, own_thread=True)]
    lines = [Line(), Line()]
    for number in range(60):
        to_go(engine, f"text {number}", to=f"+19025550{number % 40:03}")
    await asyncio.gather(
        *(all_due(Sending(store, line.send, clock, clock.steady)) for store, line in zip(stores, lines, strict=True))
    )
    for store in stores:
        await store.close()
    other_engine.dispose()

    assert sorted([*lines[0].texts, *lines[1].texts]) == sorted(f"text {number}" for number in range(60))
    assert {row["state"] for row in rows(engine, outbox)} == {"sent"}


async def test_a_text_on_its_way_in_a_process_that_was_killed_goes_out_again_after_its_time(
    sending: Sending, store: Store, engine: Engine, line: Line, clock: HandClock
) -> None:
    await killed_on_the_way(Sending(store, line.send, clock, clock.steady), engine, line)
    clock.forward(CLAIM_FOR - SECOND)
    await all_due(sending)
    assert line.texts == ["one"]

    clock.forward(SECOND)
    await all_due(sending)
    assert [one.id for one in line.handed] == ["msg_1", "msg_1"]


async def test_it_goes_out_again_at_once_at_a_start(
    sending: Sending, store: Store, engine: Engine, line: Line, clock: HandClock
) -> None:
    await killed_on_the_way(Sending(store, line.send, clock, clock.steady), engine, line)
    await store.write(release_claims)
    await all_due(sending)

    assert [one.id for one in line.handed] == ["msg_1", "msg_1"]


async def killed_on_the_way(sending: Sending, engine: Engine, line: Line) -> None:
    """The gateway has the text; nobody is left to note it."""
    to_go(engine, "one", id="msg_1")
    line.open.clear()
    on_its_way = asyncio.create_task(sending.send_due())
    await until(lambda: line.texts == ["one"])
    on_its_way.cancel()
    await asyncio.wait([on_its_way])
    line.open.set()


# The loop


async def running(sending: Sending) -> "asyncio.Task[None]":
    return asyncio.create_task(sending.run())


async def ended(loop: "asyncio.Task[None]") -> None:
    loop.cancel()
    await asyncio.wait_for(asyncio.wait([loop]), DEADLINE)
    assert loop.cancelled()


async def test_the_loop_sends_what_waited_from_before_and_then_whenever_it_is_woken(
    sending: Sending, engine: Engine, line: Line
) -> None:
    to_go(engine, "from before")
    loop = await running(sending)
    await until(lambda: line.texts == ["from before"])
    to_go(engine, "and now")
    sending.wake()
    await until(lambda: line.texts == ["from before", "and now"])
    await ended(loop)


class Faltering(Store):
    """A store that cannot write the first time."""

    failed = False

    async def write(self, unit: Callable[[Connection], T]) -> T:
        if not self.failed:
            self.failed = True
            raise OSError("no space left")
        return await super().write(unit)


async def test_a_fault_of_the_database_is_said_and_waited_out(
    engine: Engine, line: Line, clock: HandClock, caplog: pytest.LogCaptureFixture
) -> None:
    to_go(engine, "one")
    loop = await running(Sending(Faltering(engine, own_thread=False), line.send, clock, clock.steady))
    await until(lambda: state_of(engine, "one") == "sent")
    await ended(loop)

    assert "sending stopped for a moment" in caplog.text


async def test_a_text_that_breaks_the_line_costs_the_others_nothing_and_is_tried_again(
    sending: Sending, engine: Engine, line: Line, clock: HandClock
) -> None:
    line.answers(LEE, RuntimeError("cannot be written as JSON"))
    for to in (KIM, LEE, SAM):
        to_go(engine, f"to {to}", to=to)
    loop = await running(sending)
    await until(lambda: state_of(engine, f"to {KIM}") == state_of(engine, f"to {SAM}") == "sent")
    assert state_of(engine, f"to {LEE}") == "waiting"

    clock.forward(CLAIM_FOR)
    sending.wake()
    await until(lambda: state_of(engine, f"to {LEE}") == "sent")
    await ended(loop)
