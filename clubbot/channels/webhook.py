"""Texts in: POST /inbound, signed as the Standard Webhooks specification says."""

import asyncio
import logging
import re
from collections.abc import Awaitable, Callable, Sequence
from datetime import datetime
from typing import Annotated, Literal

from aiohttp import web
from pydantic import BaseModel, ConfigDict, Field, ValidationError

from clubbot.channels.problems import Fault, problem
from clubbot.channels.signatures import verified
from clubbot.model.messages import DeliveryReport, Incoming
from clubbot.texting.numbers import masked, to_e164

log = logging.getLogger(__name__)

CHANNEL = "webhook"
LARGEST_BODY = 20_000  # bytes: the specification asks for bodies under 20 kB
# A body of 20 kB comes in one breath; one that comes drop by drop only holds a place.
LONGEST_BODY_SECONDS = 15.0
_HEADERS = ("webhook-id", "webhook-timestamp", "webhook-signature")
_LONGEST_ID = 255
# In JSON: a whole surrogate pair, half of one, NUL, or any other escape (so that a backslash of the text begins none).
_ESCAPE = re.compile(
    rb"\\u[dD][89abAB][0-9a-fA-F]{2}\\u[dD][c-fC-F][0-9a-fA-F]{2}"
    rb"|(?P<half>\\u[dD][89a-fA-F][0-9a-fA-F]{2})|(?P<nul>\\u0000)|\\."
)

Take = Callable[[Incoming], Awaitable[bool]]
Report = Callable[[DeliveryReport], Awaitable[None]]
Id = Annotated[str, Field(min_length=1, max_length=_LONGEST_ID)]


class _Received(BaseModel):
    model_config = ConfigDict(strict=True)
    id: Id
    sender: Annotated[str, Field(alias="from", max_length=_LONGEST_ID)]
    recipient: Annotated[str, Field(alias="to", max_length=_LONGEST_ID)]
    text: str


class _Reported(BaseModel):
    model_config = ConfigDict(strict=True)
    id: Id
    reason: str = ""


class _Envelope(BaseModel):
    type: str


class _ReceivedBody(BaseModel):
    type: Literal["message.received"]
    data: _Received


class _ReportedBody(BaseModel):
    type: Literal["message.delivered", "message.failed"]
    data: _Reported


class Webhook:
    """Verifies, understands and hands on. `country` is how a number without a country code is read."""

    def __init__(
        self,
        secrets: Sequence[str],
        take: Take,
        report: Report,
        country: Callable[[], str],
        clock: Callable[[], datetime],
        note: Callable[[str], None] = lambda _: None,
        longest_body: float = LONGEST_BODY_SECONDS,
    ) -> None:
        """`note` is told of every request that anybody could have made, for a count; none has a line of its own in the log."""
        self._note, self._longest_body = note, longest_body
        self._secrets = tuple(secrets)
        self._take, self._report, self._country, self._clock = take, report, country, clock

    def routes(self) -> list[web.RouteDef]:
        """What to add to the application."""
        return [web.post("/inbound", self.inbound)]

    async def inbound(self, request: web.Request) -> web.StreamResponse:
        """200 once the message is on disk, or where it was before; else what is wrong with it."""
        try:
            async with asyncio.timeout(self._longest_body):
                body = await _body(request)
        except TimeoutError:
            self._note("request(s) whose body took too long")
            return problem(408, f"the body took longer than {self._longest_body:g} seconds")
        if body is None:
            return problem(413, f"the body is larger than {LARGEST_BODY} bytes")
        unsigned = _header_faults(request)
        if unsigned:
            self._note("unsigned request(s)")
            return problem(401, "the request is not signed", unsigned)
        if not _is_text(body):  # nothing but text can be signed
            return problem(400, "the body is not text in UTF-8", [Fault("body", "is not UTF-8")])
        if not verified(body, request.headers, self._secrets):
            self._note("request(s) whose signature does not verify")
            detail = "no signature fits this body, or the timestamp is more than five minutes off"
            return problem(401, detail, [Fault("webhook-signature", "does not verify")])
        body = _storable(body)
        try:
            kind = _Envelope.model_validate_json(body).type
            if kind == "message.received":
                received = _ReceivedBody.model_validate_json(body).data
                return await self._received(received, request.headers["webhook-id"])
            if kind in {"message.delivered", "message.failed"}:
                reported = _ReportedBody.model_validate_json(body)
                return await self._reported(reported)
        except ValidationError as fault:
            return problem(400, "the body is not a message of the expected form", _faults(fault))
        log.info("a webhook of type %s is of no use to us and was ignored", _harmless(kind))
        return web.json_response({"accepted": False})

    async def _received(self, data: _Received, delivery_id: str) -> web.StreamResponse:
        message = Incoming(
            channel=CHANNEL,
            their_id=data.id,
            delivery_id=delivery_id,
            sender=to_e164(data.sender, self._country()) or data.sender,
            recipient=data.recipient,
            text=data.text,
            received_at=self._clock(),
        )
        new = await self._take(message)
        log.info("text %s from %s %s", _harmless(data.id), masked(message.sender), "taken" if new else "was known")
        return web.json_response({"accepted": True})

    async def _reported(self, body: _ReportedBody) -> web.StreamResponse:
        outcome: Literal["delivered", "failed"] = "delivered" if body.type == "message.delivered" else "failed"
        await self._report(DeliveryReport(outbox_id=body.data.id, outcome=outcome, reason=body.data.reason[:500]))
        return web.json_response({"accepted": True})


def _header_faults(request: web.Request) -> list[Fault]:
    faults = [Fault(name, "is missing") for name in _HEADERS if not request.headers.get(name)]
    if not faults and not request.headers["webhook-timestamp"].strip().isdecimal():
        faults.append(Fault("webhook-timestamp", "is not a whole number of seconds"))
    if len(request.headers.get("webhook-id", "")) > _LONGEST_ID:
        faults.append(Fault("webhook-id", f"is longer than {_LONGEST_ID} characters"))
    return faults


async def _body(request: web.Request) -> bytes | None:
    """The body, or None as soon as it is known to be too large."""
    if request.content_length is not None and request.content_length > LARGEST_BODY:
        return None
    body = bytearray()
    try:
        async for chunk in request.content.iter_any():
            body += chunk
            if len(body) > LARGEST_BODY:
                return None
    except ConnectionError:  # no fault of ours, so none for the log
        raise web.RequestPayloadError("the caller left in the middle of the body") from None
    return bytes(body)


def _faults(fault: ValidationError) -> list[Fault]:
    found = fault.errors(include_url=False, include_input=False, include_context=False)
    return [Fault(".".join(str(step) for step in one["loc"]) or "body", one["msg"]) for one in found]


def _is_text(body: bytes) -> bool:
    try:
        body.decode()
    except UnicodeDecodeError:
        return False
    return True


def _storable(body: bytes) -> bytes:
    """The JSON as a database takes it: without NULs, and a mark for half of an emoji, which must not cost us the text."""
    return _ESCAPE.sub(_storable_escape, body)


def _storable_escape(found: re.Match[bytes]) -> bytes:
    if found["nul"]:
        return b""
    return rb"\ufffd" if found["half"] else found[0]


def _harmless(word: str) -> str:
    """A caller's word as it may stand in a log: one line, short, no phone number in it."""
    return re.sub(r"[^\w.-]|\d{5,}", "_", word)[:60]
