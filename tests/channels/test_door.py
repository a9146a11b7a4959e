"""Who may stand at the door: idle and slow connections end, their number is bounded, and a signed text gets in all the same."""

import asyncio
import contextlib
import logging
from collections.abc import AsyncIterator

import aiohttp
import pytest
from aiohttp import web

from clubbot.channels.door import Door
from clubbot.channels.tally import OnceAMinute, Tally
from clubbot.channels.webhook import Webhook
from clubbot.serving import wall_clock
from tests.fakes import DEADLINE, INBOUND_SECRET, Phone, until

Ends = tuple[asyncio.StreamReader, asyncio.StreamWriter]


@contextlib.asynccontextmanager
async def a_door(*, most: int = 512, longest_request: float = 60.0, longest_body: float = 60.0) -> AsyncIterator[int]:
    """The webhook behind a door; its port."""

    async def take(_: object) -> bool:
        return True

    async def report(_: object) -> None:
        return None

    tally = Tally()
    webhook = Webhook([INBOUND_SECRET], take, report, lambda: "CA", wall_clock, tally.note, longest_body)
    door = Door(tally.note, most=most, longest_request=longest_request)
    app = web.Application(middlewares=[door.middleware])
    app.add_routes(webhook.routes())
    runner = web.AppRunner(app, access_log=None, shutdown_timeout=1, lingering_time=0.1)
    await runner.setup()
    assert runner.server is not None
    listening = await asyncio.get_running_loop().create_server(door.factory(runner.server), "127.0.0.1", 0)
    door.open()
    try:
        yield int(listening.sockets[0].getsockname()[1])
    finally:
        listening.close()
        door.close()
        await runner.cleanup()
        tally.close()


async def callers(port: int, number: int) -> list[Ends]:
    return [await asyncio.open_connection("127.0.0.1", port) for _ in range(number)]


async def ended(one: Ends) -> None:
    """The far side has ended it."""
    with contextlib.suppress(ConnectionError):
        await asyncio.wait_for(one[0].read(), DEADLINE)
    one[1].transport.abort()


async def test_a_signed_text_gets_its_200_however_many_stand_there_silent(caplog: pytest.LogCaptureFixture) -> None:
    async with a_door(most=512) as port, aiohttp.ClientSession() as session:
        silent = await callers(port, 700)
        phone = Phone(session=session, url=f"http://127.0.0.1:{port}/inbound")
        status = await asyncio.wait_for(phone.text("is it open", id="text-1"), 2)
        await asyncio.gather(*(ended(one) for one in silent[:188]))
        for _, writer in silent:
            writer.transport.abort()
    told = [record.getMessage() for record in caplog.records if "at the door" in record.getMessage()]

    assert status == 200
    assert len(told) <= 2
    assert sum(int(line.split(": ")[1].split(" ")[0]) for line in told) == 700 + 1 - 512


async def test_who_sends_no_whole_request_in_time_is_ended() -> None:
    async with a_door(longest_request=0.1) as port:
        silent, slow = await callers(port, 2)
        slow[1].write(b"POST /inbound HTTP/1.1\r\nHost: club\r\nX-Never-")
        await ended(silent)
        await ended(slow)


async def test_a_body_that_comes_drop_by_drop_ends() -> None:
    async with a_door(longest_body=0.1) as port:
        ((reader, writer),) = await callers(port, 1)
        writer.write(b"POST /inbound HTTP/1.1\r\nHost: club\r\nContent-Length: 1000\r\n\r\n{")
        answer = await asyncio.wait_for(reader.read(), DEADLINE)
        writer.transport.abort()

    assert answer.startswith(b"HTTP/1.1 408 ")


async def test_of_requests_that_anybody_can_make_the_log_has_a_line_a_minute(caplog: pytest.LogCaptureFixture) -> None:
    caplog.set_level(logging.INFO)
    async with a_door() as port, aiohttp.ClientSession() as session:
        for _ in range(50):
            async with session.post(f"http://127.0.0.1:{port}/inbound", data=b"{}") as answer:
                assert answer.status == 401
    told = [record.getMessage() for record in caplog.records if record.name.startswith("clubbot")]

    assert told == ["at the door: 1 unsigned request(s)", "at the door: 49 unsigned request(s)"]


async def test_what_is_counted_is_told_again_after_the_time(caplog: pytest.LogCaptureFixture) -> None:
    tally = Tally(seconds=0.01)
    for _ in range(3):
        tally.note("thing(s)")
    await until(lambda: "2 thing(s)" in caplog.text)
    tally.close()

    assert [record.getMessage() for record in caplog.records] == ["at the door: 1 thing(s)", "at the door: 2 thing(s)"]


def test_a_line_of_others_comes_once_a_minute_with_how_many_there_were() -> None:
    now = [0.0]
    seldom = OnceAMinute(lambda: now[0])

    def said(about: str) -> str | None:
        record = logging.LogRecord("aiohttp.server", logging.ERROR, "", 0, "broken request from %s", (about,), None)
        return record.getMessage() if seldom.filter(record) else None

    assert [said("a"), said("b"), said("c")] == ["broken request from a", None, None]
    now[0] = 60.0
    assert said("d") == "broken request from d (and 2 more since the last such line)"
