"""Texts in: what POST /inbound takes, what it refuses, and when it says 200."""

import asyncio
import gzip
import json
import re
from base64 import b64encode
from collections.abc import AsyncIterator, Callable
from contextlib import AsyncExitStack
from dataclasses import dataclass, field, replace
from datetime import timedelta
from io import BytesIO
from typing import Any

import pytest
from aiohttp import ClientResponse, ClientSession, web
from aiohttp.test_utils import TestClient
from pytest_aiohttp.plugin import AiohttpClient

from clubbot.channels.problems import as_problems
from clubbot.channels.webhook import LARGEST_BODY, Webhook
from clubbot.model.errors import DatabaseFault
from clubbot.model.messages import DeliveryReport, Incoming
from clubbot.serving import listen, wall_clock
from clubbot.settings import read_settings
from tests.builders import KIM, OUR_NUMBER
from tests.channels.test_signatures import by_hand
from tests.conftest import NOON

Client = TestClient[web.Request, web.Application]

SECRET = "whsec_" + b64encode(b"the secret of this summer").decode()
NEXT_SECRET = "whsec_" + b64encode(b"the secret of next summer").decode()
OTHER_SECRET = "whsec_" + b64encode(b"a secret of somebody else").decode()
DEADLINE = 20  # seconds; only a fault takes as long


@dataclass
class Desk:
    """Keeps what the webhook hands on. `known` is what taking a text answers; `open` may be shut to keep it waiting."""

    new: bool = True
    taken: list[Incoming] = field(default_factory=list)
    reports: list[DeliveryReport] = field(default_factory=list)
    asked: asyncio.Event = field(default_factory=asyncio.Event)
    open: asyncio.Event = field(default_factory=asyncio.Event)
    fault: Exception | None = None

    async def take(self, text: Incoming) -> bool:
        self.asked.set()
        await self.open.wait()
        if self.fault:
            raise self.fault
        self.taken.append(text)
        return self.new

    async def report(self, report: DeliveryReport) -> None:
        self.asked.set()
        await self.open.wait()
        self.reports.append(report)

    @property
    def empty(self) -> bool:
        return not self.taken and not self.reports


@pytest.fixture
def desk() -> Desk:
    desk = Desk()
    desk.open.set()
    return desk


def an_app(desk: Desk, country: Callable[[], str] = lambda: "CA") -> web.Application:
    """The application as clubbot serves it, with a demo clock that stands at noon."""
    webhook = Webhook([SECRET, NEXT_SECRET], desk.take, desk.report, country, lambda: NOON)
    app = web.Application(middlewares=[as_problems])
    app.add_routes(webhook.routes())
    return app


@pytest.fixture
async def client(desk: Desk, aiohttp_client: AiohttpClient) -> Client:
    return await aiohttp_client(an_app(desk))


def a_body(**data: object) -> bytes:
    """A text as the gateway posts it; a field given as None is left out."""
    fields: dict[str, object] = {"id": "text-1", "from": KIM, "to": OUR_NUMBER, "text": "is it open"} | data
    kept = {name: value for name, value in fields.items() if value is not None}
    return json.dumps({"type": "message.received", "timestamp": "2027-06-07T15:00:00Z", "data": kept}).encode()


def sender(number: object) -> dict[str, object]:
    return {"from": number}


def a_report(kind: str, **data: object) -> bytes:
    return json.dumps({"type": kind, "data": {"id": "msg_1"} | data}).encode()


def headers_for(body: bytes, *, secret: str = SECRET, id: str = "delivery-1", off: float = 0) -> dict[str, str]:
    """The three headers, signed by hand at the real present or `off` seconds from it."""
    timestamp = str(int((wall_clock() + timedelta(seconds=off)).timestamp()))
    return {
        "webhook-id": id,
        "webhook-timestamp": timestamp,
        "webhook-signature": by_hand(secret, id, timestamp, body),
        "content-type": "application/json",
    }


async def post(client: Client, body: bytes, headers: dict[str, str] | None = None) -> ClientResponse:
    return await asyncio.wait_for(
        client.post("/inbound", data=body, headers=headers_for(body) if headers is None else headers), DEADLINE
    )


async def problem_of(response: ClientResponse, status: int) -> dict[str, Any]:
    """The problem told; RFC 9457, 3 and 3.1: media type and members, the status in the body equal to the real one. READ"""
    assert response.status == status
    assert response.content_type == "application/problem+json"
    told: dict[str, Any] = await response.json(content_type="application/problem+json")
    assert told["status"] == status
    assert isinstance(told["title"], str)
    assert isinstance(told["detail"], str)
    assert told.get("type", "about:blank") == "about:blank"
    return told


def fields_of(told: dict[str, Any]) -> list[str]:
    return [one["field"] for one in told["errors"]]


async def test_a_signed_text_is_handed_on_as_it_was_sent(client: Client, desk: Desk) -> None:
    response = await post(client, a_body())

    expected = Incoming(
        channel="webhook",
        their_id="text-1",
        delivery_id="delivery-1",
        sender=KIM,
        recipient=OUR_NUMBER,
        text="is it open",
        received_at=NOON,
    )
    assert response.status == 200
    assert desk.taken == [expected]


@pytest.mark.parametrize("secret", [SECRET, NEXT_SECRET])
async def test_either_of_two_secrets_may_sign(client: Client, desk: Desk, secret: str) -> None:
    response = await post(client, a_body(), headers_for(a_body(), secret=secret))

    assert response.status == 200
    assert len(desk.taken) == 1


async def test_a_text_that_was_known_before_is_acknowledged_again(client: Client, desk: Desk) -> None:
    desk.new = False

    assert (await post(client, a_body())).status == 200


async def test_the_200_comes_only_after_the_text_was_taken(client: Client, desk: Desk) -> None:
    desk.open.clear()
    posting = asyncio.create_task(post(client, a_body()))
    await asyncio.wait_for(desk.asked.wait(), DEADLINE)
    for _ in range(5):  # an answer given too early would be here after some other requests were answered
        assert (await client.get("/nothing")).status == 404
    assert not posting.done()

    desk.open.set()
    response = await asyncio.wait_for(posting, DEADLINE)

    assert response.status == 200
    assert len(desk.taken) == 1


async def test_the_200_comes_only_after_a_report_was_kept(client: Client, desk: Desk) -> None:
    desk.open.clear()
    posting = asyncio.create_task(post(client, a_report("message.delivered")))
    await asyncio.wait_for(desk.asked.wait(), DEADLINE)
    for _ in range(5):
        assert (await client.get("/nothing")).status == 404
    assert not posting.done()

    desk.open.set()

    assert (await asyncio.wait_for(posting, DEADLINE)).status == 200


async def test_a_text_that_could_not_be_kept_is_not_acknowledged(client: Client, desk: Desk) -> None:
    desk.fault = OSError("no space left on /srv/club")

    told = await problem_of(await post(client, a_body()), 500)

    assert "/srv/club" not in json.dumps(told)


@pytest.mark.parametrize("passes", [True, False])
async def test_whoever_posts_what_cannot_be_kept_just_now_is_told_when_to_post_it_again(
    client: Client, desk: Desk, passes: bool
) -> None:
    """RFC 9110, 15.6.4 and 10.2.3: 503 and Retry-After in seconds."""
    desk.fault = DatabaseFault("/srv/club cannot be written: the disk is full; make room", passes=passes)

    answer = await post(client, a_body())
    told = await problem_of(answer, 503)

    assert answer.headers["Retry-After"] == "30"
    assert "/srv/club" not in json.dumps(told)


# Signatures


@pytest.mark.parametrize("name", ["webhook-id", "webhook-timestamp", "webhook-signature"])
@pytest.mark.parametrize("left", ["", None])
async def test_a_missing_header_is_named(client: Client, desk: Desk, name: str, left: str | None) -> None:
    headers = headers_for(a_body())
    del headers[name]
    if left is not None:
        headers[name] = left
    told = await problem_of(await post(client, a_body(), headers), 401)

    assert fields_of(told) == [name]
    assert desk.empty


async def test_every_missing_header_is_named_at_once(client: Client) -> None:
    told = await problem_of(await post(client, a_body(), {}), 401)

    assert fields_of(told) == ["webhook-id", "webhook-timestamp", "webhook-signature"]


@pytest.mark.parametrize(
    ("name", "malformed"),
    [
        ("webhook-id", "x" * 256),
        ("webhook-timestamp", "hello"),
        ("webhook-timestamp", "2027-06-07T12:00:00Z"),
        ("webhook-timestamp", "-5"),
        ("webhook-timestamp", "9" * 400),
        ("webhook-signature", "hello"),
        ("webhook-signature", "v1,"),
        ("webhook-signature", "v1,AAAA"),
        ("webhook-signature", "v1,é"),
        ("webhook-signature", ","),
    ],
)
async def test_a_malformed_header_is_refused(client: Client, desk: Desk, name: str, malformed: str) -> None:
    signed_id = malformed if name == "webhook-id" else "delivery-1"
    headers = headers_for(a_body(), id=signed_id) | {name: malformed}
    told = await problem_of(await post(client, a_body(), headers), 401)

    assert told["errors"]
    assert desk.empty


async def test_a_timestamp_with_a_fraction_is_refused_and_named(client: Client) -> None:
    headers = headers_for(a_body())
    headers["webhook-timestamp"] += ".0"
    told = await problem_of(await post(client, a_body(), headers), 401)

    assert fields_of(told) == ["webhook-timestamp"]


async def test_a_signature_by_another_secret_is_refused(client: Client, desk: Desk) -> None:
    told = await problem_of(await post(client, a_body(), headers_for(a_body(), secret=OTHER_SECRET)), 401)

    assert fields_of(told) == ["webhook-signature"]
    assert desk.empty


async def test_a_signature_of_another_body_is_refused(client: Client, desk: Desk) -> None:
    await problem_of(await post(client, a_body(text="in 2"), headers_for(a_body())), 401)

    assert desk.empty


# Reference libraries of Standard Webhooks: five minutes both ways. READ
# Ahead, the whole second that a timestamp is cut to and a slow machine are made up for.
@pytest.mark.parametrize("off", [-301, 310])
async def test_a_timestamp_more_than_five_minutes_off_is_refused(client: Client, desk: Desk, off: float) -> None:
    await problem_of(await post(client, a_body(), headers_for(a_body(), off=off)), 401)

    assert desk.empty


async def test_the_age_is_measured_on_the_real_clock_and_not_on_the_demo_clock(client: Client, desk: Desk) -> None:
    off = (NOON - wall_clock()).total_seconds()

    await problem_of(await post(client, a_body(), headers_for(a_body(), off=off)), 401)

    assert desk.empty


async def test_whether_a_body_can_be_read_is_told_to_none_but_who_signs(client: Client) -> None:
    await problem_of(await post(client, b"{", headers_for(b"{", secret=OTHER_SECRET)), 401)


# Size


def a_body_of(size: int) -> bytes:
    return a_body(text="a" * (size - len(a_body(text=""))))


async def test_a_body_of_20_kilobytes_is_taken(client: Client, desk: Desk) -> None:
    assert (await post(client, a_body_of(20_000))).status == 200
    assert len(desk.taken) == 1


async def test_a_body_over_20_kilobytes_is_too_large(client: Client, desk: Desk) -> None:
    await problem_of(await post(client, a_body_of(20_001)), 413)

    assert desk.empty


async def in_pieces(body: bytes, size: int = 1000) -> AsyncIterator[bytes]:
    for start in range(0, len(body), size):
        yield body[start : start + size]


@pytest.mark.parametrize(("size", "status"), [(20_000, 200), (20_001, 413)])
async def test_a_body_without_its_length_is_measured_as_it_comes(client: Client, size: int, status: int) -> None:
    body = a_body_of(size)
    response = await client.post("/inbound", data=in_pieces(body), headers=headers_for(body))

    assert response.status == status
    if status != 200:
        await problem_of(response, status)


async def test_a_body_that_does_not_end_is_cut_off(client: Client, desk: Desk) -> None:
    pieces = 0

    async def for_ever() -> AsyncIterator[bytes]:
        nonlocal pieces
        while True:
            pieces += 1
            yield b" " * 1000
            await asyncio.sleep(0)

    posting = client.post("/inbound", data=for_ever(), headers=headers_for(b" "))
    response = await asyncio.wait_for(posting, DEADLINE)

    await problem_of(response, 413)
    assert pieces > LARGEST_BODY // 1000
    assert desk.empty


# Form


@pytest.mark.parametrize(
    ("body", "field"),
    [
        pytest.param(b"", "body", id="nothing"),
        pytest.param(b"STOP", "body", id="not JSON"),
        pytest.param(a_body()[:-1], "body", id="JSON cut short"),
        pytest.param(a_body() + b"\x00", "body", id="more after the end"),
        pytest.param(b"[" * 10_000, "body", id="nested too deep"),
        pytest.param(b'{"type": "message.read", "n": %s}' % (b"1" * 10_000), "body", id="a number without end"),
        pytest.param(a_body().replace(b"open", b"op\xe9n"), "body", id="not UTF-8"),
        pytest.param(a_body().replace(b"open", b"op\xed\xa0\xben"), "body", id="half surrogate as UTF-8"),
        pytest.param(a_body().replace(b"open", b"op\x00en"), "body", id="bare NUL"),
        pytest.param(b'["message.received"]', "body", id="a list"),
        pytest.param(b'"message.received"', "body", id="a string"),
        pytest.param(b"null", "body", id="null"),
        pytest.param(b"{}", "type", id="no type"),
        pytest.param(b'{"type": 5}', "type", id="a number as type"),
        pytest.param(b'{"type": null}', "type", id="null as type"),
        pytest.param(b'{"type": "message.received"}', "data", id="no data"),
        pytest.param(b'{"type": "message.received", "data": []}', "data", id="a list as data"),
        pytest.param(b'{"type": "message.received", "data": "STOP"}', "data", id="a string as data"),
        pytest.param(a_body(id=None), "data.id", id="no id"),
        pytest.param(a_body(id=""), "data.id", id="empty id"),
        pytest.param(a_body(id=7), "data.id", id="a number as id"),
        pytest.param(a_body(id="\x00"), "data.id", id="an id of NUL alone"),
        pytest.param(a_body(id="x" * 256), "data.id", id="an id too long"),
        pytest.param(a_body(**sender(None)), "data.from", id="no sender"),
        pytest.param(a_body(**sender(9025550142)), "data.from", id="a number as sender"),
        pytest.param(a_body(**sender("5" * 256)), "data.from", id="a sender too long"),
        pytest.param(a_body(to=None), "data.to", id="no recipient"),
        pytest.param(a_body(to=9025550100), "data.to", id="a number as recipient"),
        pytest.param(a_body(text=None), "data.text", id="no text"),
        pytest.param(a_body(text=2), "data.text", id="a number as text"),
        pytest.param(a_body(text=["in", "2"]), "data.text", id="a list as text"),
        pytest.param(a_report("message.delivered", id=7), "data.id", id="a report on a number"),
        pytest.param(a_report("message.failed", reason=30003), "data.reason", id="a number as reason"),
        pytest.param(b'{"type": "message.failed", "data": {}}', "data.id", id="a report on nothing"),
    ],
)
async def test_a_body_of_another_form_is_refused_and_the_field_named(
    client: Client, desk: Desk, body: bytes, field: str
) -> None:
    told = await problem_of(await post(client, body), 400)

    assert fields_of(told) == [field]
    assert desk.empty


async def test_every_wrong_field_is_named_at_once(client: Client) -> None:
    told = await problem_of(await post(client, a_body(id=7, to=8, text=None)), 400)

    assert fields_of(told) == ["data.id", "data.to", "data.text"]


async def test_what_was_sent_is_not_repeated_in_the_problem(client: Client) -> None:
    told = await problem_of(await post(client, a_body(**sender(9025550142))), 400)

    assert "9025550142" not in json.dumps(told)


async def test_fields_that_we_do_not_know_are_passed_over(client: Client, desk: Desk) -> None:
    assert (await post(client, a_body(carrier="harbour", media=[1, 2]))).status == 200
    assert len(desk.taken) == 1


@pytest.mark.parametrize(
    "body",
    [
        b'{"type": "message.read", "data": {"id": "text-1"}}',
        b'{"type": "number.ported"}',
        b'{"type": "", "data": null}',
        b'{"type": "Message.Received", "data": 5}',
    ],
)
async def test_a_kind_that_we_do_not_know_is_accepted_and_ignored(client: Client, desk: Desk, body: bytes) -> None:
    assert (await post(client, body)).status == 200
    assert desk.empty


# Delivery reports


async def test_a_delivered_report_is_handed_on(client: Client, desk: Desk) -> None:
    assert (await post(client, a_report("message.delivered"))).status == 200
    assert desk.reports == [DeliveryReport(outbox_id="msg_1", outcome="delivered", reason="")]


async def test_a_failed_report_is_handed_on_with_its_reason(client: Client, desk: Desk) -> None:
    assert (await post(client, a_report("message.failed", reason="phone is off"))).status == 200
    assert desk.reports == [DeliveryReport(outbox_id="msg_1", outcome="failed", reason="phone is off")]


async def test_a_long_reason_is_cut(client: Client, desk: Desk) -> None:
    assert (await post(client, a_report("message.failed", reason="x" * 5000))).status == 200
    assert [len(one.reason) for one in desk.reports] == [500]


# Odd texts: all of them are kept, in a form that every database takes


@pytest.mark.parametrize(
    ("escaped", "kept"),
    [
        pytest.param("", "", id="empty"),
        pytest.param("   ", "   ", id="blanks"),
        pytest.param("a" * 5000, "a" * 5000, id="5,000 characters"),
        pytest.param("🥏" * 20, "🥏" * 20, id="emoji only"),
        pytest.param(r"\ud83e\udd4f", "🥏", id="an emoji in escapes"),
        pytest.param(r"\u0007in\u001b\u0008 2\r\n\t", "\x07in\x1b\x08 2\r\n\t", id="control characters"),
        pytest.param("هل الملعب مفتوح", "هل الملعب مفتوح", id="right to left"),
        pytest.param(r"\u202eopen it is\u202c", "\u202eopen it is\u202c", id="turned round"),
        pytest.param(r"open \ud83e", "open \N{REPLACEMENT CHARACTER}", id="the first half of an emoji"),
        pytest.param(r"open \uDD4F?", "open \N{REPLACEMENT CHARACTER}?", id="the second half of an emoji"),
        pytest.param(
            r"\udd4f\ud83e", "\N{REPLACEMENT CHARACTER}\N{REPLACEMENT CHARACTER}", id="both halves, the wrong way round"
        ),
        pytest.param(r"\ud83e\ud83e\udd4f", "\N{REPLACEMENT CHARACTER}🥏", id="a half before a whole"),
        pytest.param(r"\ud83e\n", "\N{REPLACEMENT CHARACTER}\n", id="a half before another escape"),
        pytest.param(r"\\ud83e", r"\ud83e", id="a backslash that begins no escape"),
        pytest.param(r"\\\ud83e", "\\\N{REPLACEMENT CHARACTER}", id="a backslash, then a half"),
        pytest.param(r"is\u0000 it open", "is it open", id="NUL"),
        pytest.param(r"\\u0000", r"\u0000", id="the letters of NUL"),
        pytest.param(
            r"\ud83e\u0000\udd4f", "\N{REPLACEMENT CHARACTER}\N{REPLACEMENT CHARACTER}", id="NUL between halves"
        ),
    ],
)
async def test_an_odd_text_is_kept_in_a_storable_form(client: Client, desk: Desk, escaped: str, kept: str) -> None:
    body = a_body(text="HERE").replace(b"HERE", escaped.encode())

    assert (await post(client, body)).status == 200
    assert [text.text for text in desk.taken] == [kept]


async def test_every_field_is_kept_in_a_storable_form(client: Client, desk: Desk) -> None:
    body = a_body(id="a?b", to="c?d", **sender("e?f")).replace(b"?", rb"\u0000\ud83e")

    assert (await post(client, body)).status == 200
    assert [(text.their_id, text.recipient, text.sender) for text in desk.taken] == [
        ("a\N{REPLACEMENT CHARACTER}b", "c\N{REPLACEMENT CHARACTER}d", "e\N{REPLACEMENT CHARACTER}f")
    ]


# Numbers


@pytest.mark.parametrize(
    "written", ["HARBOUR", "4821", "", "   ", "+1", "+999 5550142", "5" * 255, "🥏", "a@example.org"]
)
async def test_a_sender_that_is_no_number_is_handed_on_as_written(client: Client, desk: Desk, written: str) -> None:
    assert (await post(client, a_body(**sender(written)))).status == 200
    assert [text.sender for text in desk.taken] == [written]


@pytest.mark.parametrize("written", ["9025550142", "902-555-0142", "(902) 555-0142", "+1 902 555 0142"])
async def test_a_number_is_read_with_the_country_of_the_club(client: Client, desk: Desk, written: str) -> None:
    assert (await post(client, a_body(**sender(written)))).status == 200
    assert [text.sender for text in desk.taken] == [KIM]


async def test_the_country_is_asked_for_at_each_text(desk: Desk, aiohttp_client: AiohttpClient) -> None:
    countries = iter(["FR", "CA"])  # the club's file was changed between two texts
    client = await aiohttp_client(an_app(desk, lambda: next(countries)))
    await post(client, a_body(**sender("902 555 0142")))
    await post(client, a_body(**sender("902 555 0142")))

    assert [text.sender for text in desk.taken] == ["902 555 0142", KIM]


# Other pages and ways


async def test_an_unknown_page_is_told_as_a_problem(client: Client) -> None:
    await problem_of(await client.post("/elsewhere", data=a_body()), 404)


@pytest.mark.parametrize("method", ["GET", "PUT", "DELETE", "PATCH", "OPTIONS"])
async def test_another_method_is_told_as_a_problem_that_names_the_right_one(client: Client, method: str) -> None:
    response = await client.request(method, "/inbound")

    await problem_of(response, 405)
    assert response.headers["Allow"] == "POST"  # RFC 9110, 15.5.6: Allow is a must with 405. MEMORY


# The server that clubbot runs


@pytest.fixture
async def address(desk: Desk) -> AsyncIterator[str]:
    """Where the server of `clubbot serve` listens, on a port that the machine chose."""
    settings = read_settings(
        {
            "CLUBBOT_PORT": "0",
            "CLUBBOT_INBOUND_SECRET": SECRET,
            "CLUBBOT_GATEWAY_URL": "http://127.0.0.1:1/",
            "CLUBBOT_GATEWAY_SECRET": SECRET,
        }
    )
    webhook = Webhook(settings.inbound_secrets, desk.take, desk.report, lambda: "CA", lambda: NOON)
    async with AsyncExitStack() as stack:
        port = await listen(stack, settings, webhook.routes())
        yield f"http://127.0.0.1:{port}"


async def test_the_running_server_takes_a_signed_text(address: str, desk: Desk) -> None:
    async with ClientSession() as session:
        response = await session.post(f"{address}/inbound", data=a_body(), headers=headers_for(a_body()))

        assert response.status == 200
        assert [text.text for text in desk.taken] == ["is it open"]


async def test_the_running_server_tells_faults_as_problems(address: str) -> None:
    async with ClientSession() as session:
        await problem_of(await session.post(f"{address}/inbound", data=a_body()), 401)
        await problem_of(await session.get(f"{address}/inbound"), 405)
        await problem_of(await session.get(address), 404)


@pytest.mark.parametrize("packed", [gzip.compress(a_body()), gzip.compress(b" " * 10_000_000), a_body()])
async def test_a_packed_body_is_not_unpacked(address: str, desk: Desk, packed: bytes) -> None:
    headers = headers_for(packed) | {"content-encoding": "gzip"}
    async with ClientSession() as session:
        response = await session.post(f"{address}/inbound", data=BytesIO(packed), headers=headers)

        if packed == a_body():  # said to be packed, but is as signed
            assert response.status == 200
            return
        await problem_of(response, 400)
    assert desk.empty


async def test_a_body_said_to_be_too_large_is_refused_before_it_comes(address: str) -> None:
    reader, writer = await asyncio.open_connection("127.0.0.1", int(address.rpartition(":")[2]))
    writer.write(b"POST /inbound HTTP/1.1\r\nHost: x\r\nContent-Length: 20001\r\n\r\n")
    first_line = await asyncio.wait_for(reader.readline(), DEADLINE)
    writer.transport.abort()

    assert first_line.startswith(b"HTTP/1.1 413 ")


async def test_a_caller_who_leaves_in_the_middle_is_forgotten_quietly(
    address: str, desk: Desk, caplog: pytest.LogCaptureFixture
) -> None:
    _, writer = await asyncio.open_connection("127.0.0.1", int(address.rpartition(":")[2]))
    writer.write(b"POST /inbound HTTP/1.1\r\nHost: x\r\nContent-Length: 500\r\n\r\n{")
    await writer.drain()
    writer.transport.abort()
    async with ClientSession() as session:
        response = await session.post(f"{address}/inbound", data=a_body(), headers=headers_for(a_body()))

        assert response.status == 200
    assert [text.their_id for text in desk.taken] == ["text-1"]
    assert [line for line in caplog.records if line.levelname == "ERROR"] == []


# What the log shows


@pytest.mark.parametrize("written", [KIM, "902 555 0142", "call 9025550142", "5" * 255])
async def test_no_number_comes_into_the_log(client: Client, written: str, caplog: pytest.LogCaptureFixture) -> None:
    caplog.set_level("INFO", "clubbot")
    await post(client, a_body(id="9025550142", **sender(written)))
    await post(client, b'{"type": "read by +19025550142\\nand more"}')

    assert len(caplog.messages) == 2
    for line in caplog.messages:
        assert not re.search(r"\d{5}", line)
        assert "\n" not in line


async def test_one_text_posted_twice_differs_in_nothing_but_its_delivery(client: Client, desk: Desk) -> None:
    await post(client, a_body(), headers_for(a_body(), id="delivery-1"))
    await post(client, a_body(), headers_for(a_body(), id="delivery-2"))
    first, second = desk.taken

    assert replace(first, delivery_id="delivery-2") == second
