"""A service that is killed again and again loses no text and answers none twice."""

import asyncio
import contextlib
import os
import random
import re
import shutil
import signal
import sqlite3
import sys
from collections import Counter
from collections.abc import AsyncIterator, Callable, Sequence
from contextlib import closing
from dataclasses import dataclass, field
from pathlib import Path
from typing import Literal

import aiohttp
import pytest

from clubbot.settings import PREFIX
from tests.builders import rewrite
from tests.conftest import ROOT
from tests.fakes import GATEWAY_SECRET, INBOUND_SECRET, FakeGateway, Phone, Sent, a_gateway, numbers_in, until

# Key words, since each gets one reply and goes to no volunteer, however well other texts are understood.
ASKED = ("HELP", "START", "AIDE", "STOP", "INFO")
TEXTS_A_ROUND = 7
ROUNDS = 12  # one first start and all of LIVES
START_DEADLINE = 30.0  # seconds; it takes about two
# What the killing waits for, then up to so many seconds more: in the middle of starting, of taking, of sending.
Moment = Literal["start", "acknowledged", "handed to the gateway"]
LIVES: dict[Moment, int] = {"start": 2, "acknowledged": 4, "handed to the gateway": 5}
LONGEST_AFTER: dict[Moment, float] = {"start": 1.8, "acknowledged": 0.01, "handed to the gateway": 0.004}


@dataclass
class Text:
    """A text as the gateway posts it: under the same ids until somebody says 200."""

    id: str
    sender: str
    text: str
    acknowledged: bool = False


@dataclass
class Life:
    """One process of the service, from its start to its end."""

    process: asyncio.subprocess.Process
    port: "asyncio.Future[int]"
    log: list[str] = field(default_factory=list)

    def kill(self) -> None:
        with contextlib.suppress(ProcessLookupError):
            self.process.kill()

    async def read_log(self) -> None:
        assert self.process.stderr
        async for line in self.process.stderr:
            self.log.append(line.decode().rstrip())
            found = re.search(r"listening on 127\.0\.0\.1:(\d+)", self.log[-1])
            if found and not self.port.done():
                self.port.set_result(int(found[1]))


def without_digest(folder: Path) -> Path:
    """The demo's knowledge in this folder, with the digest off: these lives have the real clock, and it may be eight in the evening."""
    knowledge = folder / "knowledge"
    if not knowledge.exists():
        shutil.copytree(ROOT / "knowledge", knowledge)
        rewrite(knowledge / "club.toml", 'digest = "daily"', 'digest = "off"')
    return knowledge


@contextlib.asynccontextmanager
async def a_life(file: Path, gateway: FakeGateway) -> AsyncIterator[Life]:
    """Start `python -m clubbot serve`; it is dead and its log read when this ends."""
    settings = {
        "KNOWLEDGE": str(without_digest(file.parent)),
        "DATABASE_URL": f"sqlite:///{file}",
        "PORT": "0",
        "INBOUND_SECRET": INBOUND_SECRET,
        "GATEWAY_URL": gateway.url,
        "GATEWAY_SECRET": GATEWAY_SECRET,
    }
    usual = {name: value for name, value in os.environ.items() if not name.startswith(PREFIX)}
    process = await asyncio.create_subprocess_exec(
        *(sys.executable, "-m", "clubbot", "serve"),
        cwd=ROOT,
        env=usual | {PREFIX + name: value for name, value in settings.items()},
        stderr=asyncio.subprocess.PIPE,
    )
    life = Life(process, asyncio.get_running_loop().create_future())
    reading = asyncio.create_task(life.read_log())
    try:
        yield life
    finally:
        life.kill()
        await process.wait()
        await reading


class Killing:
    """Kills a process a short random time after the n-th of something has happened."""

    def __init__(self, life: Life, nth: int, after: float) -> None:
        self._life, self._left, self._after = life, nth, after

    def happened(self) -> None:
        self._left -= 1
        if self._left == 0:
            if self._after == 0:
                self._life.kill()
            else:
                asyncio.get_running_loop().call_later(self._after, self._life.kill)


async def post(session: aiohttp.ClientSession, port: int, text: Text, then: Callable[[], None]) -> None:
    """Post one text; no answer is none of our business, it is posted again in the next life."""
    phone = Phone(session=session, url=f"http://127.0.0.1:{port}/inbound")
    with contextlib.suppress(aiohttp.ClientError, OSError):
        status = await phone.text(text.text, sender=text.sender, id=text.id)
        assert status == 200, status
        text.acknowledged = True
        then()


async def live_and_be_killed(
    life: Life, moment: Moment, texts: Sequence[Text], gateway: FakeGateway, chance: random.Random
) -> None:
    """Take these texts until death."""
    after = chance.choice([0.0, chance.uniform(0, LONGEST_AFTER[moment])])
    if moment == "start":
        Killing(life, 1, LONGEST_AFTER["start"] / 2 + after / 2).happened()
        await life.process.wait()
        return
    killing = Killing(life, chance.randint(1, TEXTS_A_ROUND), after)
    if moment == "handed to the gateway":
        gateway.on_asked = lambda _: killing.happened()
    acknowledged = killing.happened if moment == "acknowledged" else lambda: None
    port = await asyncio.wait_for(life.port, START_DEADLINE)
    async with aiohttp.ClientSession() as session:
        await asyncio.gather(*(post(session, port, text, acknowledged) for text in texts))
        await asyncio.wait_for(life.process.wait(), START_DEADLINE)


async def live_to_the_end(life: Life, texts: Sequence[Text], done: Callable[[], bool]) -> None:
    """Take what is left, send everything, stop when told to."""
    port = await asyncio.wait_for(life.port, START_DEADLINE)
    async with aiohttp.ClientSession() as session:
        await asyncio.gather(*(post(session, port, text, lambda: None) for text in texts))
    await until(done)
    life.process.send_signal(signal.SIGTERM)
    assert await life.process.wait() == 0


def look(file: Path, sql: str) -> list[tuple[object, ...]]:
    with closing(sqlite3.connect(file)) as other:
        return list(other.execute(sql))


@pytest.mark.usefixtures("handbook")  # learns the ways of asking where nobody has yet
async def test_every_text_has_one_reply_id_however_often_the_service_is_killed(tmp_path: Path) -> None:
    """Twelve lives, ended by SIGKILL at random moments; the gateway posts what was not acknowledged again, under its ids."""
    chance = random.Random(20270607)
    moments = [moment for moment, count in LIVES.items() for _ in range(count)]
    chance.shuffle(moments)
    moments.insert(0, "start")  # the very first too, when the file is made
    assert len(moments) == ROUNDS
    file, logs = tmp_path / "club.db", list[str]()
    texts = [
        Text(f"text-{place}", f"+1902555{110 + place:04}", ASKED[place % len(ASKED)])
        for place in range(ROUNDS * TEXTS_A_ROUND)
    ]
    handed: list[tuple[int, Sent]] = []  # with the life it happened in

    async with a_gateway() as gateway:
        for life_number, moment in enumerate(moments):
            fresh = texts[life_number * TEXTS_A_ROUND :][:TEXTS_A_ROUND]
            before = texts[: life_number * TEXTS_A_ROUND]
            again = [text for text in before if not text.acknowledged]
            known = [text for text in before if text.acknowledged][-2:]
            async with a_life(file, gateway) as life:
                await live_and_be_killed(life, moment, [*again, *known, *fresh], gateway, chance)
            logs += life.log
            gateway.on_asked = lambda _: None
            handed += [(life_number, sent) for sent in gateway.asked[len(handed) :]]
            assert life.process.returncode == -signal.SIGKILL, (moment, life.log)

        def done() -> bool:
            waiting = "SELECT (SELECT count(*) FROM {} WHERE state = 'waiting')"
            return all(look(file, waiting.format(table)) == [(0,)] for table in ("inbox", "outbox"))

        left = [text for text in texts if not text.acknowledged]
        async with a_life(file, gateway) as life:
            await live_to_the_end(life, left, done)
        logs += life.log
        handed += [(ROUNDS, sent) for sent in gateway.asked[len(handed) :]]

    replies = {text.sender: {sent.id for _, sent in handed if sent.to == text.sender} for text in texts}
    assert {sender: len(ids) for sender, ids in replies.items()} == {text.sender: 1 for text in texts}
    assert len(set.union(*replies.values())) == len(texts)
    assert {sent.to for _, sent in handed} == set(replies)
    assert len({(sent.id, sent.text) for _, sent in handed}) == len(texts)

    # Handed over again only where a kill came between the gateway's taking it and our noting it: once a life.
    times_a_life = Counter((life_number, sent.id) for life_number, sent in handed)
    assert set(times_a_life.values()) == {1}
    assert len(handed) > len(texts), "no kill came between: the test has lost its point"

    assert look(file, "SELECT state, count(*) FROM inbox GROUP BY 1") == [("answered", len(texts))]
    assert look(file, "SELECT state, attempts, count(*) FROM outbox GROUP BY 1, 2") == [("sent", 1, len(texts))]
    assert look(file, "PRAGMA integrity_check") == [("ok",)]
    assert logs
    assert numbers_in(logs, [text.sender for text in texts]) == []
