"""A service is copied while it is texted, runs on, is killed and put back: nobody gets a text twice, and it goes on from there."""

import asyncio
import sqlite3
from collections.abc import AsyncIterator
from contextlib import closing
from pathlib import Path

import aiohttp
import pytest

from clubbot.serving import wall_clock
from clubbot.store.backup import back_up, restore
from tests.fakes import FakeGateway, a_gateway, until
from tests.test_stopping import a_phone, a_process

pytestmark = pytest.mark.usefixtures("handbook")
TEXTS = 60


@pytest.fixture
async def gateway() -> AsyncIterator[FakeGateway]:
    async with a_gateway() as gateway:
        yield gateway


def sender(number: int) -> str:
    return f"+1902555{2000 + number}"


def ids_in(file: Path) -> set[str]:
    with closing(sqlite3.connect(file)) as opened:
        return {str(found) for (found,) in opened.execute("SELECT their_id FROM inbox")}


def waits(file: Path) -> int:
    with closing(sqlite3.connect(file)) as opened:
        ((found,),) = opened.execute(
            "SELECT (SELECT count(*) FROM inbox WHERE state = 'waiting') "
            "+ (SELECT count(*) FROM outbox WHERE state = 'waiting')"
        )
    return int(found)


async def test_copied_under_load_killed_and_put_back_nobody_gets_a_text_twice(
    tmp_path: Path, gateway: FakeGateway
) -> None:
    file, copy = tmp_path / "club.db", tmp_path / "copy.db"
    url = f"sqlite:///{file}"
    async with aiohttp.ClientSession() as session:
        async with a_process(file, gateway) as one:
            phone = await a_phone(one, session)
            told = []
            copying: asyncio.Task[object] | None = None
            for number in range(
                TEXTS
            ):  # each after the one before, so that there is something before and after the copy
                told.append(await phone.text("HELP", sender=sender(number), id=f"text-{number}"))
                if number == TEXTS // 3:
                    copying = asyncio.create_task(asyncio.to_thread(back_up, url, copy))
            assert copying
            await copying
            await until(lambda: waits(file) == 0)
            one.process.kill()
            await one.process.wait()
        before = {text.to for text in gateway.taken}
        await asyncio.to_thread(restore, url, copy, wall_clock())
        kept = ids_in(file)
        async with a_process(file, gateway) as one:
            phone = await a_phone(one, session)
            again = [
                await phone.text("HELP", sender=sender(number), id=f"text-{number}")
                for number in range(TEXTS)
                if f"text-{number}" in kept
            ]
            assert await phone.text("HELP", sender=sender(TEXTS), id="new") == 200
            await until(lambda: waits(file) == 0)

    assert set(told) == set(again) == {200}
    assert TEXTS // 3 <= len(kept) < TEXTS
    assert before == {sender(number) for number in range(TEXTS)}
    assert [len(gateway.to(sender(number))) for number in range(TEXTS + 1)] == [1] * (TEXTS + 1)
