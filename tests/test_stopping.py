"""The service as a process of its own: told to stop it ends within seconds whatever it is doing; where it cannot go on it ends with 1."""

import asyncio
import contextlib
import os
import re
import signal
import sqlite3
import sys
import time
from collections.abc import AsyncIterator
from contextlib import closing
from dataclasses import dataclass, field
from pathlib import Path

import aiohttp
import pytest

from clubbot.settings import PREFIX
from clubbot.stopping import STOPS_WITHIN
from clubbot.store.lock import lock_file
from tests.conftest import ROOT
from tests.fakes import GATEWAY_SECRET, INBOUND_SECRET, FakeGateway, Phone, a_gateway, until

pytestmark = pytest.mark.usefixtures("handbook")
# What the machine itself takes to end a process, on a busy day.
SPARE = 3.0


@dataclass
class Process:
    """`python -m clubbot serve`, with what it has logged."""

    process: asyncio.subprocess.Process
    log: list[str] = field(default_factory=list)

    async def read_log(self) -> None:
        assert self.process.stderr
        async for line in self.process.stderr:
            self.log.append(line.decode().rstrip())

    @property
    def port(self) -> int | None:
        found = re.search(r"listening on 127\.0\.0\.1:(\d+)", "\n".join(self.log))
        return int(found[1]) if found else None

    async def stopped(self) -> tuple[int, float]:
        """Told to stop: how it ended and after how many seconds."""
        begun = time.monotonic()
        self.process.send_signal(signal.SIGTERM)
        ended = await asyncio.wait_for(self.process.wait(), 60)
        return ended, time.monotonic() - begun


@contextlib.asynccontextmanager
async def a_process(file: Path, gateway: FakeGateway, **environment: str) -> AsyncIterator[Process]:
    settings = {
        "KNOWLEDGE": str(ROOT / "knowledge"),
        "DATABASE_URL": f"sqlite:///{file}",
        "PORT": "0",
        "INBOUND_SECRET": INBOUND_SECRET,
        "GATEWAY_URL": gateway.url,
        "GATEWAY_SECRET": GATEWAY_SECRET,
    }
    usual = {name: value for name, value in os.environ.items() if not name.startswith(PREFIX)}
    one = Process(
        await asyncio.create_subprocess_exec(
            *(sys.executable, "-m", "clubbot", "serve"),
            cwd=ROOT,
            env=usual | {PREFIX + name: value for name, value in settings.items()} | environment,
            stderr=asyncio.subprocess.PIPE,
        )
    )
    reading = asyncio.create_task(one.read_log())
    try:
        yield one
    finally:
        with contextlib.suppress(ProcessLookupError):
            one.process.kill()
        await one.process.wait()
        await reading


@pytest.fixture
async def gateway() -> AsyncIterator[FakeGateway]:
    async with a_gateway() as gateway:
        yield gateway


@pytest.fixture
async def session() -> AsyncIterator[aiohttp.ClientSession]:
    async with aiohttp.ClientSession() as session:
        yield session


@pytest.fixture
def file(tmp_path: Path) -> Path:
    return tmp_path / "club.db"


async def a_phone(one: Process, session: aiohttp.ClientSession) -> Phone:
    await until(lambda: one.port is not None, 40)
    return Phone(session=session, url=f"http://127.0.0.1:{one.port}/inbound")


async def test_it_stops_while_the_gateway_hangs_and_the_text_goes_out_at_the_next_start(
    file: Path, gateway: FakeGateway, session: aiohttp.ClientSession
) -> None:
    gateway.open.clear()
    async with a_process(file, gateway) as one:
        assert await (await a_phone(one, session)).text("is it open", id="text-1") == 200
        await until(lambda: len(gateway.asked) == 1)
        ended, seconds = await one.stopped()
    gateway.open.set()
    async with a_process(file, gateway) as one:
        await until(lambda: len(gateway.asked) == 2, 40)
        again, _ = await one.stopped()

    assert (ended, again) == (0, 0)
    assert seconds < STOPS_WITHIN + SPARE
    assert gateway.asked[0].id == gateway.asked[1].id


async def test_it_stops_while_it_learns_the_ways_of_asking_at_its_first_start(
    file: Path, gateway: FakeGateway, tmp_path: Path
) -> None:
    async with a_process(file, gateway, XDG_CACHE_HOME=str(tmp_path / "nothing learnt")) as one:
        await until(lock_file(file).exists, 40)
        ended, seconds = await one.stopped()

    assert one.port is None
    assert ended == 0
    assert seconds < STOPS_WITHIN + SPARE


async def test_it_stops_while_another_program_holds_the_database(
    file: Path, gateway: FakeGateway, session: aiohttp.ClientSession
) -> None:
    async with a_process(file, gateway) as one:
        phone = await a_phone(one, session)
        with closing(sqlite3.connect(file, isolation_level=None)) as other:
            other.execute("BEGIN IMMEDIATE")
            posting = asyncio.create_task(phone.text("is it open", id="text-1"))
            await asyncio.sleep(0)
            ended, seconds = await one.stopped()
            (told,) = await asyncio.gather(posting, return_exceptions=True)

    assert ended == 0
    assert seconds < STOPS_WITHIN + SPARE
    assert told != 200


async def test_two_requests_to_stop_are_one(file: Path, gateway: FakeGateway, session: aiohttp.ClientSession) -> None:
    async with a_process(file, gateway) as one:
        await a_phone(one, session)
        one.process.send_signal(signal.SIGINT)
        ended, seconds = await one.stopped()

    assert ended == 0
    assert seconds < STOPS_WITHIN + SPARE


async def test_where_it_cannot_go_on_it_says_so_in_one_line_and_ends_with_1(
    file: Path, gateway: FakeGateway, session: aiohttp.ClientSession
) -> None:
    async with a_process(file, gateway) as one:
        phone = await a_phone(one, session)
        await asyncio.to_thread(file.unlink)
        # Its own look, each second, may come before the text.
        with contextlib.suppress(aiohttp.ClientError):
            assert await phone.text("is it open", id="text-1") == 503
        ended = await asyncio.wait_for(one.process.wait(), 20)

    assert ended == 1
    assert "was moved, deleted or replaced while it was in use" in one.log[-1] or "is damaged" in one.log[-1]
    assert not [line for line in one.log if "Traceback" in line]


async def test_a_second_one_is_refused_and_after_a_kill_the_next_may_start(
    file: Path, gateway: FakeGateway, session: aiohttp.ClientSession
) -> None:
    async with a_process(file, gateway) as one:
        phone = await a_phone(one, session)
        async with a_process(file, gateway) as second:
            ended = await asyncio.wait_for(second.process.wait(), 40)
        assert await phone.text("is it open", id="text-1") == 200
        one.process.kill()
        await one.process.wait()
        async with a_process(file, gateway) as third:
            assert await (await a_phone(third, session)).text("is it open", id="text-1") == 200

    assert ended == 1
    assert "another clubbot works on it" in second.log[-1]
    assert len(second.log) == 1
