"""A campaign of faults: the real service is killed again and again, while its gateway fails and somebody attacks it."""

import asyncio
import contextlib
import itertools
import os
import random
import re
import shutil
import signal
import sys
from collections import Counter
from collections.abc import AsyncIterator, Sequence
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from pathlib import Path
from typing import Literal, get_args

import aiohttp

from clubbot.settings import PREFIX
from tests.conftest import NOON, ROOT
from tests.fakes import GATEWAY_SECRET, INBOUND_SECRET, Phone
from tests.faults.gateway import MoodyGateway
from tests.faults.people import Said, a_life_of_texts, numbers
from tests.test_kill import Life, look

# What a kill waits for, then up to so many seconds more.
Point = Literal[
    "starting",
    "listening",
    "a text acknowledged",
    "a text being read",
    "handed to the gateway",
    "the gateway answered",
    "the reader killed",
    "the keeper killed",
    "stopping",
    "knowledge changed",
    "a backup begun",
]
POINTS: tuple[Point, ...] = get_args(Point)
_LATER: dict[Point, float] = {"starting": 1.5, "listening": 0.3, "stopping": 0.2, "knowledge changed": 4.0}
_USUALLY_LATER = 0.05
_START_SECONDS = 120.0
_A_LIFE_SECONDS = 20.0
# The demo clock runs sixty times as fast, so that a second try comes soon; each life begins a little later than the one before.
_SPEED = 60
_LIFE_APART = timedelta(minutes=3)
_STEPS = (timedelta(days=1), timedelta(days=-1), timedelta(seconds=61), timedelta(seconds=-61))
_IDLE_CONNECTIONS = 40


@dataclass
class Campaign:
    """What was done and what came of it."""

    folder: Path
    chance: random.Random
    gateway: MoodyGateway
    said: list[Said] = field(default_factory=list)
    kills: Counter[str] = field(default_factory=Counter)
    statuses: Counter[str] = field(default_factory=Counter)
    log: list[str] = field(default_factory=list)
    slowest_start: float = 0.0

    @property
    def file(self) -> Path:
        return self.folder / "club.db"


@contextlib.asynccontextmanager
async def a_life(campaign: Campaign, clock: datetime) -> AsyncIterator[Life]:
    """`python -m clubbot serve`; it is dead and its log read when this ends."""
    settings = {
        "KNOWLEDGE": str(campaign.folder / "knowledge"),
        "DATABASE_URL": f"sqlite:///{campaign.file}",
        "PORT": "0",
        "INBOUND_SECRET": INBOUND_SECRET,
        "GATEWAY_URL": campaign.gateway.url,
        "GATEWAY_SECRET": GATEWAY_SECRET,
        "CLOCK": f"{clock.isoformat()}@{_SPEED}",
    }
    usual = {name: value for name, value in os.environ.items() if not name.startswith(PREFIX)}
    loop = asyncio.get_running_loop()
    process = await asyncio.create_subprocess_exec(
        *(sys.executable, "-m", "clubbot", "serve"),
        cwd=ROOT,
        env=usual | {PREFIX + name: value for name, value in settings.items()},
        stderr=asyncio.subprocess.PIPE,
    )
    life = Life(process, loop.create_future())
    reading = asyncio.create_task(life.read_log())
    try:
        yield life
    finally:
        life.kill()
        await process.wait()
        await reading
        campaign.log += life.log


async def run(campaign: Campaign, kills: int) -> None:
    """So many lives that are ended by SIGKILL, then a calm one until nothing waits."""
    shutil.copytree(ROOT / "knowledge", campaign.folder / "knowledge")
    phones, signs_up = numbers(campaign.chance), numbers(campaign.chance, to_sign_up=True)
    points = [point for _, point in zip(range(kills), itertools.cycle(POINTS), strict=False)]
    campaign.chance.shuffle(points)
    for number, point in enumerate(points):
        clock = NOON + number * _LIFE_APART
        if campaign.chance.random() < 0.1:
            clock += campaign.chance.choice(_STEPS)
        campaign.gateway.life = number
        campaign.said += a_life_of_texts(campaign.chance, phones, signs_up, f"text-{number}")
        async with a_life(campaign, clock) as life:
            with contextlib.suppress(TimeoutError):
                await asyncio.wait_for(live(campaign, life, point), _START_SECONDS + _A_LIFE_SECONDS)
            campaign.kills[point] += life.process.returncode in {None, -signal.SIGKILL}
    campaign.gateway.calm, campaign.gateway.life = True, kills
    async with a_life(campaign, NOON + timedelta(days=10)) as life:
        await live_to_the_end(campaign, life)


async def live(campaign: Campaign, life: Life, point: Point) -> None:
    """Take the texts that are not acknowledged yet, until death."""
    after = campaign.chance.uniform(0, _LATER.get(point, _USUALLY_LATER))
    killing = asyncio.create_task(kill_at(campaign, life, point, after))
    if point != "starting":
        began = asyncio.get_running_loop().time()
        try:
            port = await asyncio.wait_for(asyncio.shield(life.port), _START_SECONDS)
        except TimeoutError:
            raise AssertionError(f"it did not start: {life.log}") from None
        campaign.slowest_start = max(campaign.slowest_start, asyncio.get_running_loop().time() - began)
        async with aiohttp.ClientSession() as session, idle_connections(port, campaign.chance):
            waiting = [one for one in campaign.said if not one.acknowledged]
            again = campaign.chance.sample(campaign.said, min(3, len(campaign.said)))
            await asyncio.gather(
                *(post(campaign, session, port, one) for one in [*waiting, *again]), misuse(campaign, session, port)
            )
    await killing


async def post(campaign: Campaign, session: aiohttp.ClientSession, port: int, said: Said) -> None:
    """Post one text; no answer is none of our business, it is posted again in the next life."""
    phone = Phone(session=session, url=f"http://127.0.0.1:{port}/inbound")
    with contextlib.suppress(aiohttp.ClientError, OSError, TimeoutError):
        status = await phone.text(said.text, sender=said.sender, id=said.id)
        campaign.statuses[str(status)] += 1
        said.acknowledged = said.acknowledged or status == 200


async def misuse(campaign: Campaign, session: aiohttp.ClientSession, port: int) -> None:
    """Requests that nobody has signed, that somebody else has signed, and that are too large."""
    url = f"http://127.0.0.1:{port}/inbound"
    phone = Phone(session=session, url=url)
    with contextlib.suppress(aiohttp.ClientError, OSError, TimeoutError):
        forged = {"type": "message.received", "data": {"id": "x", "from": "+19025550101", "to": "x", "text": "close"}}
        campaign.statuses[f"forged: {await phone.post(forged, 'x', secret=GATEWAY_SECRET)}"] += 1
        async with session.post(url, data=b"x" * 100_000) as answer:
            campaign.statuses[f"large: {answer.status}"] += 1
        async with session.post(url, data=b"{}") as answer:
            campaign.statuses[f"unsigned: {answer.status}"] += 1


@contextlib.asynccontextmanager
async def idle_connections(port: int, chance: random.Random) -> AsyncIterator[None]:
    """Somebody who connects and says nothing, or half of something."""
    lines: list[asyncio.StreamWriter] = []
    for _ in range(chance.randint(0, _IDLE_CONNECTIONS)):
        with contextlib.suppress(OSError):
            _, line = await asyncio.open_connection("127.0.0.1", port)
            line.write(b"POST /inbound HTTP/1.1\r\nhost: x\r\n" if chance.random() < 0.5 else b"")
            lines.append(line)
    try:
        yield
    finally:
        for line in lines:
            line.close()


async def kill_at(campaign: Campaign, life: Life, point: Point, after: float) -> None:
    """Wait for the point, then a little, then kill."""
    if point != "starting":  # a life that is killed before it answers shows nothing, and the first one learns
        with contextlib.suppress(TimeoutError):
            await asyncio.wait_for(asyncio.shield(life.port), _START_SECONDS)
    with contextlib.suppress(TimeoutError):
        await asyncio.wait_for(_come_to(campaign, life, point), _A_LIFE_SECONDS)
    await asyncio.sleep(after)
    life.kill()
    await life.process.wait()


async def _come_to(campaign: Campaign, life: Life, point: Point) -> None:
    happened = asyncio.Event()
    match point:
        case "a text acknowledged":
            before = sum(one.acknowledged for one in campaign.said)
            await _until(lambda: sum(one.acknowledged for one in campaign.said) > before)
        case "a text being read":
            bookmark = Path(f"{campaign.file}-reading")
            await _until(lambda: bookmark.exists() and int(bookmark.read_bytes() or b"0") > 0)
        case "handed to the gateway" | "the gateway answered":
            campaign.gateway.on_handed = happened.set
            await happened.wait()
            await asyncio.sleep(0.02 if point == "the gateway answered" else 0)
        case "the reader killed" | "the keeper killed":
            with contextlib.suppress(ValueError, OSError):
                keeper = _child(life.process.pid)
                os.kill(keeper if point == "the keeper killed" else _child(keeper), signal.SIGKILL)
            await asyncio.sleep(1.0)
        case "stopping":
            await asyncio.sleep(campaign.chance.uniform(0, 0.5))
            life.process.send_signal(signal.SIGTERM)
        case "knowledge changed":
            file = campaign.folder / "knowledge" / "club.toml"
            file.write_text(file.read_text("utf-8") + "\n# looked at\n", "utf-8")
        case "a backup begun":
            copy = campaign.folder / f"copy-{len(campaign.log)}.db"
            arguments = (sys.executable, "-m", "clubbot", "backup", str(copy))
            environment = {**os.environ, f"{PREFIX}DATABASE_URL": f"sqlite:///{campaign.file}"}
            backup = await asyncio.create_subprocess_exec(
                *arguments, cwd=ROOT, env=environment, stdout=asyncio.subprocess.PIPE, stderr=asyncio.subprocess.PIPE
            )
            with contextlib.suppress(TimeoutError):
                await asyncio.wait_for(backup.communicate(), campaign.chance.uniform(0.5, 2))
            with contextlib.suppress(ProcessLookupError):
                backup.kill()
            await backup.wait()
        case _:
            return


def _child(pid: int) -> int:
    (child,) = Path(f"/proc/{pid}/task/{pid}/children").read_text().split()
    return int(child)


async def _until(true: "object") -> None:
    assert callable(true)
    while not true():  # noqa: ASYNC110  (a file sets no event)
        await asyncio.sleep(0.001)


async def live_to_the_end(campaign: Campaign, life: Life) -> None:
    """Take what is left and send everything, then stop when told to."""
    port = await asyncio.wait_for(life.port, _START_SECONDS)
    async with aiohttp.ClientSession() as session:
        for one in [one for one in campaign.said if not one.acknowledged]:
            await post(campaign, session, port, one)
    await _until_calm(campaign.file)
    life.process.send_signal(signal.SIGTERM)
    await life.process.wait()


async def _until_calm(file: Path, seconds: int = 240) -> None:
    """Until nothing waits three looks in a row: an escalation may write one more text."""
    still = 0
    for _ in range(seconds):
        waits = (
            "SELECT (SELECT count(*) FROM inbox WHERE state IN ('waiting', 'begun')) "
            "+ (SELECT count(*) FROM outbox WHERE state = 'waiting')"
        )
        still = still + 1 if look(file, waits) == [(0,)] else 0
        if still == 3:
            return
        await asyncio.sleep(1)


def knows_no_number(log: Sequence[str], said: Sequence[Said]) -> list[str]:
    """The lines of the log in which seven digits in a row of one of the numbers stand."""
    pieces = {one.sender[start : start + 7] for one in said for start in range(1, len(one.sender) - 6)}
    found = []
    for line in log:
        packed = re.sub(r"[\s()-]", "", line)
        if any(packed[start : start + 7] in pieces for start in range(len(packed) - 6)):
            found.append(line)
    return found
