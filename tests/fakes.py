"""Stand-ins for what is outside: a gateway that fails when told to, a line without a gateway, a clock moved by hand."""

import asyncio
import contextlib
import json
import re
from base64 import b64encode
from collections import Counter
from collections.abc import AsyncIterator, Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from aiohttp import ClientSession, web

from clubbot.channels.signatures import signed_headers, verified
from clubbot.model.messages import Outgoing, SendOutcome, Taken
from clubbot.serving import wall_clock
from tests.builders import KIM, OUR_NUMBER
from tests.conftest import NOON

INBOUND_SECRET = "whsec_" + b64encode(b"texts that come in, this summer").decode()
GATEWAY_SECRET = "whsec_" + b64encode(b"texts that go out, this summer").decode()
DEADLINE = 20.0  # seconds; only a fault takes as long


async def until(true: Callable[[], bool], deadline: float = DEADLINE) -> None:
    """Wait for what nobody tells us of, such as a row in a file."""

    async def look() -> None:
        while not true():  # noqa: ASYNC110  (a file sets no event)
            await asyncio.sleep(0.01)

    await asyncio.wait_for(look(), deadline)


def numbers_in(lines: Iterable[str], numbers: Sequence[str]) -> list[str]:
    """The lines that hold seven digits in a row of one of the numbers, also with blanks, hyphens or brackets in it."""
    pieces = {number[start : start + 7] for number in numbers for start in range(1, len(number) - 6)}
    return [line for line in lines if any(piece in re.sub(r"[\s()-]", "", line) for piece in pieces)]


class HandClock:
    """A clock that stands still until it is moved; `steady` is the one beside it that nobody can set."""

    def __init__(self, now: datetime = NOON) -> None:
        self.now = now
        self._set_by = timedelta()

    def steady(self) -> float:
        return (self.now - self._set_by).timestamp()

    def __call__(self) -> datetime:
        return self.now

    def forward(self, time: timedelta) -> None:
        self.now += time

    def step(self, by: timedelta) -> None:
        """Somebody sets the clock; no time passes."""
        self.now += by
        self._set_by += by


class Line:
    """Instead of a gateway: keeps what it was handed and answers what was laid ready for the recipient, else takes it."""

    def __init__(self) -> None:
        self.handed: list[Outgoing] = []
        self.open = asyncio.Event()
        self.open.set()
        self._ready: dict[str, list[SendOutcome | Exception]] = {}

    def answers(self, recipient: str, *outcomes: SendOutcome | Exception) -> None:
        self._ready.setdefault(recipient, []).extend(outcomes)

    async def send(self, text: Outgoing) -> SendOutcome:
        self.handed.append(text)
        await self.open.wait()
        ready = self._ready.get(text.recipient)
        outcome = ready.pop(0) if ready else Taken()
        if isinstance(outcome, Exception):
            raise outcome
        return outcome

    @property
    def texts(self) -> list[str]:
        return [one.text for one in self.handed]


@dataclass(frozen=True, slots=True)
class Sent:
    """One request as it reached the gateway, with the status that it got."""

    id: str
    to: str
    sender: str
    text: str
    parts: int
    signed: bool
    status: int


class FakeGateway:
    """Keeps every text that it was handed. Told to, it fails the next requests, or keeps everybody waiting for an answer."""

    def __init__(self) -> None:
        self.url = ""
        self.asked: list[Sent] = []
        self.open = asyncio.Event()
        self.open.set()
        self.on_asked: Callable[[Sent], None] = lambda _: None
        self._failures: list[tuple[int, Mapping[str, str]]] = []

    def fail_next(self, times: int, status: int, headers: Mapping[str, str] | None = None) -> None:
        self._failures += [(status, headers or {})] * times

    @property
    def taken(self) -> list[Sent]:
        return [one for one in self.asked if one.status < 300]

    def to(self, recipient: str) -> list[Sent]:
        return [one for one in self.taken if one.to == recipient]

    @property
    def times_taken(self) -> Counter[str]:
        """How often each id was taken."""
        return Counter(one.id for one in self.taken)

    async def send(self, request: web.Request) -> web.Response:
        body = await request.read()
        status, headers = self._failures.pop(0) if self._failures else (204, {})
        data = json.loads(body)["data"]
        sent = Sent(
            id=data["id"],
            to=data["to"],
            sender=data["from"],
            text=data["text"],
            parts=data["parts"],
            signed=verified(body, request.headers, [GATEWAY_SECRET]),
            status=status,
        )
        self.asked.append(sent)
        self.on_asked(sent)
        await self.open.wait()
        return web.Response(status=status, headers=headers)


@contextlib.asynccontextmanager
async def a_gateway() -> AsyncIterator[FakeGateway]:
    """A gateway on a free port."""
    gateway = FakeGateway()
    app = web.Application()
    app.router.add_post("/send", gateway.send)
    runner = web.AppRunner(app, access_log=None, shutdown_timeout=1)
    await runner.setup()
    await web.TCPSite(runner, "127.0.0.1", 0).start()
    gateway.url = f"http://127.0.0.1:{runner.addresses[0][1]}/send"
    try:
        yield gateway
    finally:
        gateway.open.set()
        await runner.cleanup()


@dataclass(frozen=True, slots=True, kw_only=True)
class Phone:
    """Posts signed texts to a running service, as a gateway does for whoever texts the club."""

    session: ClientSession
    url: str

    async def text(self, text: str, *, sender: str = KIM, id: str, delivery: str = "") -> int:
        """Post one text; the status."""
        data = {"id": id, "from": sender, "to": OUR_NUMBER, "text": text}
        return await self.post({"type": "message.received", "data": data}, delivery or f"delivery of {id}")

    async def report(self, kind: str, *, about: str) -> int:
        """Post what became of a text of the club's."""
        return await self.post({"type": kind, "data": {"id": about}}, f"{kind} of {about}")

    async def post(self, body: Mapping[str, object], delivery: str, secret: str = INBOUND_SECRET) -> int:
        written = json.dumps(dict(body) | {"timestamp": "2027-06-07T15:00:00Z"})
        headers = signed_headers(delivery, wall_clock(), written, secret)
        async with self.session.post(self.url, data=written.encode(), headers=headers) as answer:
            await answer.read()
            return answer.status
