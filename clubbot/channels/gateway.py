"""Texts out: a signed POST to the gateway's address."""

import json
from collections.abc import Callable
from datetime import UTC, datetime
from email.utils import parsedate_to_datetime

import aiohttp

from clubbot.channels.signatures import signed_headers
from clubbot.model.messages import Outgoing, Refused, SendOutcome, Taken

# In all, from looking for a connection to the answer's first line. Taking a text is one row on the far side: what is not done in ten
# seconds is tried again under the same id, and meanwhile the place is somebody else's. Standard Webhooks suggests 15 to 30 seconds
# for hooks whose receiver works before it answers.
TIMEOUT_SECONDS = 10
CONNECT_SECONDS = 5
# How long to leave the gateway alone when it says "later" but not how much later.
USUAL_WAIT_SECONDS = 30.0
# No wait is longer, whatever the gateway asks for: a day covers them all, and larger numbers break the sums.
LONGEST_WAIT_SECONDS = 86_400.0
_LATER = frozenset({429, 503})


class HttpGateway:
    """Hands one text at a time to the gateway. `wall_clock` is the real one: the far side measures the signature's age."""

    def __init__(
        self, session: aiohttp.ClientSession, url: str, secret: str, wall_clock: Callable[[], datetime]
    ) -> None:
        self._session, self._url, self._secret, self._wall_clock = session, url, secret, wall_clock

    async def send(self, text: Outgoing) -> SendOutcome:
        """Whether it was taken; every fault of the net is a refusal."""
        body = json.dumps(
            {
                "type": "message.send",
                "data": {
                    "id": text.id,
                    "to": text.recipient,
                    "from": text.sender,
                    "text": text.text,
                    "parts": len(text.parts),
                },
            },
            ensure_ascii=False,
        )
        headers = signed_headers(text.id, self._wall_clock(), body, self._secret)
        headers["content-type"] = "application/json"
        timeout = aiohttp.ClientTimeout(total=TIMEOUT_SECONDS, connect=CONNECT_SECONDS)
        try:
            async with self._session.post(
                self._url, data=body.encode(), headers=headers, timeout=timeout, allow_redirects=False
            ) as answer:
                return self._outcome(answer)
        except (aiohttp.ClientError, TimeoutError, OSError) as fault:
            return Refused(f"no answer from the gateway ({type(fault).__name__})")

    def _outcome(self, answer: aiohttp.ClientResponse) -> SendOutcome:
        if 200 <= answer.status < 300:
            return Taken()
        reason = f"the gateway answered {answer.status}"
        if answer.status in _LATER:
            wait = wait_of(answer.headers.get("Retry-After"), self._wall_clock())
            return Refused(reason, wait=USUAL_WAIT_SECONDS if wait is None else wait, everyone=True)
        return Refused(reason)


def wait_of(header: str | None, now: datetime) -> float | None:
    """Seconds to wait by a Retry-After header (RFC 9110, 10.2.3), a day at most; None where it says nothing usable."""
    if header is None:
        return None
    header = header.strip()  # whole seconds, or an HTTP date
    if header.isascii() and header.isdigit():
        return min(float(header), LONGEST_WAIT_SECONDS)
    try:
        until = parsedate_to_datetime(header)
    except (ValueError, OverflowError):
        return None
    if until.tzinfo is None:
        until = until.replace(tzinfo=UTC)
    return min(max(0.0, (until - now).total_seconds()), LONGEST_WAIT_SECONDS)
