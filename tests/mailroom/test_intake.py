"""A text is put down, committed, and only then acknowledged; answering is woken once."""

import asyncio
from collections.abc import AsyncIterator
from dataclasses import dataclass

import pytest
from sqlalchemy import Engine

from clubbot.mailroom.intake import Intake
from clubbot.model.messages import DeliveryReport
from clubbot.store.store import Store
from clubbot.store.tables import inbox, outbox
from tests.builders import a_text
from tests.store.builders import rows, state_of, to_go


@dataclass
class Bell:
    """Counts how often answering was woken."""

    rung: int = 0

    def ring(self) -> None:
        self.rung += 1


@pytest.fixture
def bell() -> Bell:
    return Bell()


@pytest.fixture(params=["thread", "loop"])
async def intake(request: pytest.FixtureRequest, engine: Engine, bell: Bell) -> AsyncIterator[Intake]:
    store = Store(engine, own_thread=request.param == "thread")
    yield Intake(store, bell.ring)
    await store.close()


async def test_a_text_is_there_for_others_to_see_when_it_is_acknowledged(intake: Intake, engine: Engine) -> None:
    assert await intake.take(a_text())

    assert len(rows(engine, inbox)) == 1


@pytest.mark.parametrize("same", ["message", "delivery", "both"])
async def test_fifty_at_the_same_instant_are_one_and_wake_once(
    intake: Intake, engine: Engine, bell: Bell, same: str
) -> None:
    """The same message id in deliveries of its own, the same delivery of messages of their own, or both the same."""
    texts = [
        a_text(
            id="text-1" if same != "delivery" else f"text-{number}",
            delivery="delivery-1" if same != "message" else f"delivery-{number}",
        )
        for number in range(50)
    ]
    told = await asyncio.gather(*(intake.take(text) for text in texts))

    assert sum(told) == 1
    assert len(rows(engine, inbox)) == 1
    assert bell.rung == 1


async def test_a_text_known_from_before_is_told_so_and_wakes_nobody(intake: Intake, bell: Bell) -> None:
    await intake.take(a_text())

    assert not await intake.take(a_text())
    assert bell.rung == 1


async def test_a_report_is_kept(intake: Intake, engine: Engine) -> None:
    about = to_go(engine, "one")
    await intake.report(DeliveryReport(outbox_id=about, outcome="failed", reason="phone is off"))

    assert state_of(engine, "one") == "failed"
    assert rows(engine, outbox)[0]["reason"] == "phone is off"
