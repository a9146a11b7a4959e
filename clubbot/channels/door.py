"""Who may stand at the door: how many connections at once, and how long each may take for a request or keep silent.

aiohttp ends a connection that is silent between two requests; how long a request's lines may take, and how many connections
there are, it leaves to others. The gateway must get in however many stand there who say nothing.
"""

import asyncio
from collections.abc import Callable
from dataclasses import dataclass, field

from aiohttp import web

from clubbot.channels.problems import Handler

MOST_CALLERS = 512
# From the first byte, or from the connection where none has come, until the whole head of a request is there.
LONGEST_REQUEST = 15.0
# Silent after an answer. A gateway keeps its connection for the next text.
LONGEST_SILENCE = 75.0
_LOOK_EVERY = 1.0


@dataclass(eq=False, slots=True)
class _Caller:
    transport: asyncio.Transport
    since: float  # when it was last heard of something that counts: the connection, a request's first byte, the last answer
    served: bool = False
    asking: bool = True
    busy: int = field(default=0)


class Door:
    """Wraps what `serve` makes for each connection. `note` is told of every connection that was ended."""

    def __init__(
        self,
        note: Callable[[str], None],
        most: int = MOST_CALLERS,
        longest_request: float = LONGEST_REQUEST,
        longest_silence: float = LONGEST_SILENCE,
    ) -> None:
        self._note, self._most = note, most
        self._longest_request, self._longest_silence = longest_request, longest_silence
        self._callers: dict[asyncio.BaseTransport, _Caller] = {}
        self._look: asyncio.TimerHandle | None = None

    def factory(self, serve: Callable[[], asyncio.Protocol]) -> Callable[[], asyncio.Protocol]:
        """What a listening socket makes its connections with."""
        return lambda: _AtTheDoor(self, serve)

    def open(self) -> None:
        """Begin to look, every second, for those who take too long."""
        loop = asyncio.get_running_loop()
        self._look = loop.call_later(min(_LOOK_EVERY, self._longest_request), self._look_round)

    def close(self) -> None:
        """Look no more."""
        if self._look is not None:
            self._look.cancel()

    @web.middleware
    async def middleware(self, request: web.Request, handler: Handler) -> web.StreamResponse:
        """A request is being served: while it is, nobody ends its connection."""
        caller = self._callers.get(request.transport) if request.transport is not None else None
        if caller is None:
            return await handler(request)
        caller.busy += 1
        try:
            return await handler(request)
        finally:
            caller.busy -= 1
            caller.served, caller.asking, caller.since = True, False, _now()

    def comes(self, transport: asyncio.Transport) -> bool:
        """Whether there is room for one more. Where there is none the oldest that nobody is serving goes, first of all who never asked
        for anything; only where all are being served the newest is turned away.
        """
        if len(self._callers) >= self._most:
            idle = [caller for caller in self._callers.values() if not caller.busy]
            if not idle:
                self._note("connection(s) turned away, all places taken")
                return False
            self._end(
                min(idle, key=lambda one: (one.served, one.since)), "idle connection(s) ended, to make room for others"
            )
        self._callers[transport] = _Caller(transport, _now())
        return True

    def hears(self, transport: asyncio.BaseTransport) -> None:
        """Some bytes came."""
        caller = self._callers.get(transport)
        if caller is not None and not caller.asking and not caller.busy:
            caller.asking, caller.since = True, _now()

    def goes(self, transport: asyncio.BaseTransport) -> None:
        """The connection is over."""
        self._callers.pop(transport, None)

    def _look_round(self) -> None:
        now = _now()
        for caller in list(self._callers.values()):
            if caller.busy:
                continue
            if caller.asking and now - caller.since >= self._longest_request:
                self._end(caller, f"connection(s) ended without a request within {self._longest_request:g} s")
            elif now - caller.since >= self._longest_silence:
                self._end(caller, f"connection(s) ended after {self._longest_silence:g} s of silence")
        self.open()

    def _end(self, caller: _Caller, why: str) -> None:
        self._note(why)
        self.goes(caller.transport)
        caller.transport.abort()  # a polite end would wait until the far side has read everything


class _AtTheDoor(asyncio.Protocol):
    """One connection: what comes is handed on to the server's own, unless there was no room."""

    def __init__(self, door: Door, serve: Callable[[], asyncio.Protocol]) -> None:
        self._door, self._serve = door, serve
        self._transport: asyncio.Transport | None = None
        self._inner: asyncio.Protocol | None = None

    def connection_made(self, transport: asyncio.BaseTransport) -> None:
        """In, or turned away."""
        assert isinstance(transport, asyncio.Transport)
        self._transport = transport
        if not self._door.comes(transport):
            transport.abort()
            return
        self._inner = self._serve()
        self._inner.connection_made(transport)

    def data_received(self, data: bytes) -> None:
        """Handed on."""
        if self._inner is not None and self._transport is not None:
            self._door.hears(self._transport)
            self._inner.data_received(data)

    def eof_received(self) -> bool | None:
        """Handed on."""
        return self._inner.eof_received() if self._inner is not None else None

    def pause_writing(self) -> None:
        """Handed on."""
        if self._inner is not None:
            self._inner.pause_writing()

    def resume_writing(self) -> None:
        """Handed on."""
        if self._inner is not None:
            self._inner.resume_writing()

    def connection_lost(self, exc: Exception | None) -> None:
        """Handed on, and its place is free."""
        if self._transport is not None:
            self._door.goes(self._transport)
        if self._inner is not None:
            self._inner.connection_lost(exc)


def _now() -> float:
    return asyncio.get_running_loop().time()
