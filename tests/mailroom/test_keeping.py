"""Once a day what is too old is let go, in steps between which every other text goes first."""

from collections.abc import AsyncIterator
from dataclasses import replace
from datetime import datetime, timedelta

import pytest
from sqlalchemy import Engine

from clubbot.handbook.book import Handbook
from clubbot.mailroom.keeping import Keeping
from clubbot.model.effects import Reply
from clubbot.store.store import Store
from clubbot.store.tables import inbox
from tests.conftest import NOON
from tests.fakes import HandClock
from tests.store.builders import done, rows

DAY = timedelta(days=1)


@pytest.fixture
async def store(engine: Engine) -> AsyncIterator[Store]:
    store = Store(engine, own_thread=True)
    yield store
    await store.close()


def keeping(engine: Engine, store: Store, handbook: Handbook, clock: HandClock, days: int = 365) -> Keeping:
    knowledge = replace(handbook.knowledge, club=replace(handbook.knowledge.club, keep_texts_days=days))
    return Keeping(engine, store, lambda: knowledge, clock, None)


def words(engine: Engine) -> list[str]:
    return [row["text"] for row in rows(engine, inbox)]


async def a_round(loop: Keeping) -> list[int]:
    steps = []
    while found := await loop.do_some():
        steps.append(found)
    return steps


async def test_it_goes_by_the_age_that_the_club_states(engine: Engine, store: Store, handbook: Handbook) -> None:
    for days in (89, 91, 364, 366):
        done(engine, id=f"{days}", text=f"{days} days ago", at=NOON - days * DAY)
    await a_round(keeping(engine, store, handbook, HandClock()))
    first = words(engine)
    await a_round(keeping(engine, store, handbook, HandClock(), days=90))

    assert first == ["89 days ago", "91 days ago", "364 days ago", ""]
    assert words(engine) == ["89 days ago", "", "", ""]


async def test_many_go_in_small_transactions(engine: Engine, store: Store, handbook: Handbook) -> None:
    for number in range(450):
        done(engine, Reply(text="a reply"), id=f"text {number}", at=NOON - 400 * DAY)
    steps = await a_round(keeping(engine, store, handbook, HandClock()))

    assert max(steps) <= 200
    assert sum(steps) == 450  # what waits to go out has not gone
    assert words(engine) == [""] * 450


@pytest.mark.parametrize(
    ("later", "looks"), [(timedelta(hours=23), False), (DAY, True), (-DAY, True)], ids=["soon", "a day", "set back"]
)
async def test_a_round_begins_once_a_day_and_a_clock_that_was_set_back_does_not_put_it_off(
    engine: Engine, store: Store, handbook: Handbook, later: timedelta, looks: bool
) -> None:
    clock = HandClock(NOON)
    loop = keeping(engine, store, handbook, clock)
    await a_round(loop)
    done(engine, text="old", at=long_before(NOON))
    clock.forward(later)
    await a_round(loop)

    assert words(engine) == ([""] if looks else ["old"])


def long_before(now: datetime) -> datetime:
    return now - 500 * DAY
