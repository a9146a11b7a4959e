"""A gateway that delays, drops, refuses, hangs, closes the line, and takes a text without saying so."""

import asyncio
import contextlib
import json
import random
from collections import Counter
from collections.abc import AsyncIterator, Callable
from dataclasses import dataclass, field
from typing import Literal

from aiohttp import web

Mood = Literal["takes", "delays", "500", "429", "503 for a day", "drops", "takes and drops", "hangs"]
# Of a hundred texts; the rest is taken.
HOW_OFTEN: dict[Mood, int] = {
    "delays": 6,
    "500": 5,
    "429": 3,
    "503 for a day": 2,
    "drops": 5,
    "takes and drops": 4,
    "hangs": 2,
}
HANGS_FOR = 12.0  # seconds: longer than a post may take


@dataclass(frozen=True, slots=True)
class Handed:
    """One post as it came: what for, and whether it was taken. `life` is the process that posted it."""

    id: str
    to: str
    text: str
    taken: bool
    life: int


@dataclass
class MoodyGateway:
    """Keeps all that it was handed. Calm, it takes everything at once."""

    chance: random.Random
    url: str = ""
    calm: bool = False
    life: int = 0
    handed: list[Handed] = field(default_factory=list)
    moods: Counter[Mood] = field(default_factory=Counter)
    on_handed: Callable[[], None] = lambda: None

    def _mood(self) -> Mood:
        if self.calm:
            return "takes"
        drawn = self.chance.randrange(100)
        for mood, share in HOW_OFTEN.items():
            if drawn < share:
                return mood
            drawn -= share
        return "takes"

    async def send(self, request: web.Request) -> web.StreamResponse:
        data = json.loads(await request.read())["data"]
        mood, life = self._mood(), self.life
        self.moods[mood] += 1
        taken = mood in {"takes", "delays", "takes and drops"}
        self.handed.append(Handed(data["id"], data["to"], data["text"], taken, life))
        self.on_handed()
        match mood:
            case "delays":
                await asyncio.sleep(self.chance.uniform(0.05, 0.8))
            case "hangs":
                await asyncio.sleep(HANGS_FOR)
            case "500":
                return web.Response(status=500)
            case "429":
                return web.Response(status=429, headers={"Retry-After": "1"})
            case "503 for a day":
                return web.Response(status=503, headers={"Retry-After": "86400"})
            case "drops" | "takes and drops":
                assert request.transport
                request.transport.abort()
            case "takes":
                pass
        return web.Response(status=204 if taken else 500)


@contextlib.asynccontextmanager
async def a_moody_gateway(chance: random.Random) -> AsyncIterator[MoodyGateway]:
    """On a free port of this machine."""
    gateway = MoodyGateway(chance)
    app = web.Application()
    app.router.add_post("/send", gateway.send)
    runner = web.AppRunner(app, access_log=None, shutdown_timeout=0.1)
    await runner.setup()
    await web.TCPSite(runner, "127.0.0.1", 0).start()
    gateway.url = f"http://127.0.0.1:{runner.addresses[0][1]}/send"
    try:
        yield gateway
    finally:
        await runner.cleanup()
