"""Texts out: what the gateway gets, and what is made of its answers."""

import asyncio
import json
from base64 import b64encode
from collections.abc import AsyncIterator, Callable, Mapping
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta

import aiohttp
import pytest
from aiohttp import web
from hypothesis import given, settings
from hypothesis import strategies as st
from pytest_aiohttp.plugin import AiohttpServer
from yarl import URL

from clubbot.channels.gateway import LONGEST_WAIT_SECONDS, USUAL_WAIT_SECONDS, HttpGateway, wait_of
from clubbot.channels.signatures import verified
from clubbot.model.messages import Outgoing, Refused, Taken
from clubbot.serving import wall_clock
from tests.builders import KIM, OUR_NUMBER
from tests.channels.test_signatures import by_hand
from tests.conftest import NOON

SECRET = "whsec_" + b64encode(b"the secret to the gateway").decode()
OTHER_SECRET = "whsec_" + b64encode(b"the secret from the phones").decode()
DEADLINE = 15  # seconds, less than the gateway waits for: only a fault takes as long


@dataclass(frozen=True)
class Posted:
    """A request as it reached the far side."""

    path: str
    headers: Mapping[str, str]
    body: bytes


@dataclass
class FarSide:
    """A gateway that answers as told, in turn, the last answer over and over; None breaks the connection off."""

    answers: list[web.Response | None] = field(default_factory=lambda: [web.Response(status=202)])
    posted: list[Posted] = field(default_factory=list)

    async def take(self, request: web.Request) -> web.Response:
        self.posted.append(Posted(request.path, request.headers.copy(), await request.read()))
        answer = self.answers.pop(0) if len(self.answers) > 1 else self.answers[0]
        if answer is None:
            assert request.transport is not None
            request.transport.abort()
            return web.Response()
        return answer


@pytest.fixture
def far_side() -> FarSide:
    return FarSide()


@pytest.fixture
async def address(far_side: FarSide, aiohttp_server: AiohttpServer) -> URL:
    app = web.Application()
    app.router.add_route("*", "/{any:.*}", far_side.take)
    return (await aiohttp_server(app)).make_url("/send")


@pytest.fixture
async def session() -> AsyncIterator[aiohttp.ClientSession]:
    async with aiohttp.ClientSession(auto_decompress=False) as session:
        yield session


Send = Callable[[Outgoing], "asyncio.Future[Taken | Refused]"]


def a_gateway(session: aiohttp.ClientSession, address: URL, clock: Callable[[], datetime] = wall_clock) -> Send:
    gateway = HttpGateway(session, str(address), SECRET, clock)
    return lambda text: asyncio.ensure_future(asyncio.wait_for(gateway.send(text), DEADLINE))


@pytest.fixture
def send(session: aiohttp.ClientSession, address: URL) -> Send:
    return a_gateway(session, address)


def an_answer(text: str = "Open, all 18 holes.", *, id: str = "msg_1", parts: tuple[str, ...] = ("one",)) -> Outgoing:
    return Outgoing(id=id, recipient=KIM, sender=OUR_NUMBER, text=text, parts=parts, attempts=0, created_at=NOON)


def answered(status: int, retry_after: str | None = None, **headers: str) -> web.Response:
    return web.Response(status=status, headers=headers | ({} if retry_after is None else {"Retry-After": retry_after}))


# What is sent


async def test_the_body_is_exactly_the_agreed_one(send: Send, far_side: FarSide) -> None:
    await send(an_answer("Ouvert à 18 h 🥏", id="msg_7", parts=("Ouvert ", "à 18 h 🥏")))
    (posted,) = far_side.posted

    assert json.loads(posted.body) == {
        "type": "message.send",
        "data": {"id": "msg_7", "to": KIM, "from": OUR_NUMBER, "text": "Ouvert à 18 h 🥏", "parts": 2},
    }
    assert posted.path == "/send"
    assert posted.headers["content-type"] == "application/json"


async def test_the_far_side_can_verify_it_with_the_outgoing_secret(send: Send, far_side: FarSide) -> None:
    await send(an_answer("à demain 🥏"))
    (posted,) = far_side.posted
    timestamp = posted.headers["webhook-timestamp"]

    assert posted.headers["webhook-signature"] == by_hand(SECRET, "msg_1", timestamp, posted.body)
    assert verified(posted.body, posted.headers, [SECRET])
    assert not verified(posted.body, posted.headers, [OTHER_SECRET])


# Standard Webhooks: the id stays the same over retries, the timestamp is that of the attempt. READ
async def test_a_second_try_has_the_same_id_and_a_time_of_its_own(
    session: aiohttp.ClientSession, address: URL, far_side: FarSide
) -> None:
    far_side.answers = [answered(500), answered(202)]
    times = iter([NOON, NOON + timedelta(minutes=2)])
    send = a_gateway(session, address, lambda: next(times))
    outcomes = [await send(an_answer(id="msg_7")), await send(an_answer(id="msg_7"))]
    first, second = far_side.posted

    assert outcomes == [Refused("the gateway answered 500"), Taken()]
    assert [one.headers["webhook-id"] for one in far_side.posted] == ["msg_7", "msg_7"]
    assert first.body == second.body
    assert int(second.headers["webhook-timestamp"]) - int(first.headers["webhook-timestamp"]) == 120
    assert first.headers["webhook-signature"] != second.headers["webhook-signature"]


# Its answers


# Standard Webhooks: success is 2xx alone. READ
@pytest.mark.parametrize("status", [200, 201, 202, 204, 299])
async def test_any_2xx_means_taken(send: Send, far_side: FarSide, status: int) -> None:
    far_side.answers = [answered(status)]

    assert await send(an_answer()) == Taken()


@pytest.mark.parametrize("status", [301, 302, 303, 307, 308])
async def test_a_redirection_is_refused_and_not_followed(send: Send, far_side: FarSide, status: int) -> None:
    far_side.answers = [answered(status, Location="/elsewhere"), answered(200)]

    assert await send(an_answer()) == Refused(f"the gateway answered {status}")
    assert [posted.path for posted in far_side.posted] == ["/send"]


@pytest.mark.parametrize("status", [300, 304, 400, 401, 404, 410, 413, 500, 502, 504])
async def test_any_other_answer_is_a_refusal_that_asks_for_no_wait(send: Send, far_side: FarSide, status: int) -> None:
    far_side.answers = [answered(status)]

    assert await send(an_answer()) == Refused(f"the gateway answered {status}", wait=None, everyone=False)


@pytest.mark.parametrize("status", [429, 503])
async def test_a_wait_in_seconds_is_kept_for_everyone(send: Send, far_side: FarSide, status: int) -> None:
    far_side.answers = [answered(status, "120")]  # RFC 9110, 10.2.3: the sample. READ

    assert await send(an_answer()) == Refused(f"the gateway answered {status}", wait=120, everyone=True)


@pytest.mark.parametrize("status", [429, 503])
async def test_a_wait_until_a_date_is_counted_from_now(
    session: aiohttp.ClientSession, address: URL, far_side: FarSide, status: int
) -> None:
    far_side.answers = [answered(status, "Fri, 31 Dec 1999 23:59:59 GMT")]  # RFC 9110, 10.2.3: the sample. READ
    send = a_gateway(session, address, lambda: datetime(1999, 12, 31, 23, 58, 29, tzinfo=UTC))

    assert await send(an_answer()) == Refused(f"the gateway answered {status}", wait=90, everyone=True)


@pytest.mark.parametrize("status", [429, 503])
@pytest.mark.parametrize("retry_after", [None, "", "soon"])
async def test_later_without_a_time_is_the_usual_wait(
    send: Send, far_side: FarSide, status: int, retry_after: str | None
) -> None:
    far_side.answers = [answered(status, retry_after)]
    outcome = await send(an_answer())

    assert outcome == Refused(f"the gateway answered {status}", wait=USUAL_WAIT_SECONDS, everyone=True)


async def test_a_wait_is_asked_by_429_and_503_alone(send: Send, far_side: FarSide) -> None:
    far_side.answers = [answered(500, "120")]

    assert await send(an_answer()) == Refused("the gateway answered 500")


# No answer


async def test_a_connection_broken_off_is_a_refusal(send: Send, far_side: FarSide) -> None:
    far_side.answers = [None]
    outcome = await send(an_answer())

    assert isinstance(outcome, Refused)
    assert outcome.reason.startswith("no answer from the gateway")
    assert (outcome.wait, outcome.everyone) == (None, False)
    assert far_side.posted


async def test_a_closed_port_is_a_refusal_that_does_not_show_the_address(
    session: aiohttp.ClientSession, aiohttp_server: AiohttpServer
) -> None:
    server = await aiohttp_server(web.Application())
    address = server.make_url("/send?key=of-the-club")
    await server.close()
    outcome = await a_gateway(session, address)(an_answer())

    assert isinstance(outcome, Refused)
    assert outcome.reason.startswith("no answer from the gateway")
    assert "of-the-club" not in outcome.reason


@pytest.mark.parametrize("spoken", [b"220 mail.example.org ESMTP\r\n", b"HTTP/1.1 abc\r\n\r\n", b"\x00" * 40, b""])
async def test_a_far_side_that_speaks_no_http_is_a_refusal(session: aiohttp.ClientSession, spoken: bytes) -> None:
    async def speak(reader: asyncio.StreamReader, writer: asyncio.StreamWriter) -> None:
        await reader.readuntil(b"\r\n\r\n")
        writer.write(spoken)
        writer.close()
        await writer.wait_closed()

    async with await asyncio.start_server(speak, "127.0.0.1", 0) as server:
        port = server.sockets[0].getsockname()[1]
        outcome = await a_gateway(session, URL(f"http://127.0.0.1:{port}/send"))(an_answer())

    assert isinstance(outcome, Refused)
    assert outcome.reason.startswith("no answer from the gateway")


# Retry-After


@pytest.mark.parametrize(
    ("header", "seconds"),
    [
        ("120", 120),  # RFC 9110, 10.2.3: the sample. READ
        (" 120 ", 120),
        ("0", 0),
        ("Fri, 31 Dec 1999 23:59:59 GMT", 60),  # RFC 9110, 10.2.3: the sample. READ
        ("Friday, 31-Dec-99 23:59:59 GMT", 60),  # RFC 9110, 5.6.7: the two old forms are read as well. MEMORY
        ("Fri Dec 31 23:59:59 1999", 60),
        ("Fri, 31 Dec 1999 19:59:59 -0400", 60),
        ("Fri, 31 Dec 1999 23:58:59 GMT", 0),
        ("Fri, 31 Dec 1999 23:00:00 GMT", 0),
    ],
)
def test_a_wait_is_read_in_every_form(header: str, seconds: float) -> None:
    assert wait_of(header, datetime(1999, 12, 31, 23, 58, 59, tzinfo=UTC)) == seconds


@pytest.mark.parametrize("header", [None, "", "soon", "-5", "1.5", "+5", "²", "Fri, 99 Dec 1999 23:59:59 GMT", "1,2"])
def test_a_wait_that_says_nothing_usable_is_none(header: str | None) -> None:
    assert wait_of(header, NOON) is None


@pytest.mark.parametrize("header", ["86401", "9" * 30, "9" * 400, "Fri, 31 Dec 9999 23:59:59 GMT"])
def test_a_wait_of_ages_is_a_day(header: str) -> None:
    assert wait_of(header, NOON) == LONGEST_WAIT_SECONDS == timedelta(days=1).total_seconds()


HUGE = st.integers(min_value=0).map(str)
DATES = st.tuples(HUGE, st.sampled_from(["Jan", "Dec"]), HUGE, HUGE, HUGE, st.integers()).map(
    lambda made: f"Fri, {made[0]} {made[1]} {made[2]} {made[3]}:{made[4]}:00 {made[5]:+05}"
)


@settings(deadline=None)
@given(st.text() | DATES | HUGE)
def test_no_header_breaks_the_sums(header: str) -> None:
    wait = wait_of(header, NOON)

    assert wait is None or 0 <= wait <= LONGEST_WAIT_SECONDS


def test_a_date_too_large_for_any_calendar_says_nothing() -> None:
    assert wait_of("Sun, 06 Nov 99999999999999999999 08:49:37 GMT", NOON) is None
