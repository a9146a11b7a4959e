"""Puts the parts together, starts them in order, stops them in reverse. The one place that reads the clock."""

import asyncio
import contextlib
import errno
import logging
import secrets
import time
import uuid
from collections.abc import AsyncIterator, Callable, Iterable, Mapping, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from functools import partial
from pathlib import Path

import aiohttp
from aiohttp import web

from clubbot.channels.door import LONGEST_SILENCE, MOST_CALLERS, Door
from clubbot.channels.gateway import HttpGateway
from clubbot.channels.problems import as_problems
from clubbot.channels.tally import OnceAMinute, Tally
from clubbot.channels.webhook import Webhook
from clubbot.conversation.occasions import quiet_hours
from clubbot.handbook.beside import KEEPER, HandbookBeside
from clubbot.mailroom.answering import Answering, as_now
from clubbot.mailroom.bookmark import Bookmark
from clubbot.mailroom.clockwork import TICK_SECONDS, Clockwork
from clubbot.mailroom.falling_due import FallingDue
from clubbot.mailroom.intake import Intake
from clubbot.mailroom.keeping import Keeping
from clubbot.mailroom.sending import Sending
from clubbot.model.calendar import Revision
from clubbot.model.club import Knowledge
from clubbot.model.errors import SettingsFault
from clubbot.people.codes import CODES, as_code
from clubbot.settings import DemoClock, Settings
from clubbot.site.calendar import CalendarFeed
from clubbot.store.apply import Pen
from clubbot.store.faults import file_of
from clubbot.store.inbox import note_begun
from clubbot.store.lock import alone
from clubbot.store.migrating import make_ready
from clubbot.store.outbox import release_claims
from clubbot.store.revisions import read_revisions
from clubbot.store.store import Store, open_engine, read

try:
    import resource
except ImportError:  # not every machine limits what a process may open
    resource = None  # type: ignore[assignment]

log = logging.getLogger(__name__)

# How often changed knowledge files are looked for, in real seconds. A file is taken up once it was still for one look.
_LOOK_SECONDS = 2.0
# However fast a demo's clock runs, the machine has other things to do.
_SHORTEST_TICK = 0.02
# Databases, logs, the gateway's connections, and those that the machine has taken and we have yet to turn away (128 at once).
_FILES_OF_OURS = 256
_DIGITS_AS_LETTERS = str.maketrans("0123456789", "ghijklmnop")


def wall_clock() -> datetime:
    """The real time, UTC."""
    return datetime.now(UTC)  # noqa: TID251  (the one place)


class Clock:
    """The time to work by: the real one, or one that begins elsewhere and runs faster."""

    def __init__(self, demo: DemoClock | None) -> None:
        self._demo = demo
        self._began = time.monotonic()
        self._steady_before = 0.0

    def __call__(self) -> datetime:
        """The time, UTC."""
        if self._demo is None:
            return wall_clock()
        return (self._demo.start + timedelta(seconds=self._since_begun())).astimezone(UTC)

    def steady(self) -> float:
        """Seconds that pass as on this clock, but are never set forward or back."""
        return self._steady_before + self._since_begun()

    def run_at(self, speed: float) -> None:
        """From now on run so many times as fast as the real clock, which itself cannot be hurried."""
        if self._demo is not None:
            passed, began = self._since_begun(), time.monotonic()
            start = self._demo.start + timedelta(seconds=passed)
            self._demo, self._began, self._steady_before = DemoClock(start, speed), began, self._steady_before + passed

    def _since_begun(self) -> float:
        return (time.monotonic() - self._began) * (self._demo.speed if self._demo is not None else 1)


@dataclass(frozen=True, slots=True)
class Serving:
    """The running service, as far as others need to see it. `wake` has it look at what is due."""

    host: str
    port: int
    clock: Clock
    handbook: HandbookBeside
    wake: Callable[[], None]
    failed: "asyncio.Future[BaseException]"  # why the service cannot go on, once it cannot


@contextlib.asynccontextmanager
async def serving(settings: Settings, keeper: Sequence[str] = KEEPER) -> AsyncIterator[Serving]:
    """The whole service, from the first file read to the last text sent. Faults of settings, files and schema come at once. `keeper` is the
    command of the process that reads texts.
    """
    async with contextlib.AsyncExitStack() as stack:
        clock = Clock(settings.demo_clock)
        stack.enter_context(alone(file_of(settings.database_url)))
        engine = open_engine(settings.database_url)
        stack.callback(engine.dispose)
        make_ready(engine)
        handbook = HandbookBeside(settings.knowledge, with_encoder=settings.sentence_model, command=keeper)
        stack.callback(handbook.close)
        store = Store(engine, own_thread=settings.writer == "thread")
        stack.push_async_callback(store.close)
        await store.write(release_claims)
        bookmark = Bookmark(_beside(file_of(settings.database_url)))
        stack.callback(bookmark.close)
        await _note_left(bookmark, store)

        session = await stack.enter_async_context(aiohttp.ClientSession(auto_decompress=False))
        gateway = HttpGateway(session, settings.gateway_url, settings.gateway_secret.get_secret_value(), wall_clock)
        sending = Sending(store, gateway.send, clock, clock.steady, quiet=lambda: quiet_hours(handbook.knowledge))
        beside = ThreadPoolExecutor(1, thread_name_prefix="answering")
        stack.callback(beside.shutdown)
        # A thread of its own: what falls due must not wait behind answers, nor they behind it.
        beside_the_clock = ThreadPoolExecutor(1, thread_name_prefix="due")
        stack.callback(beside_the_clock.shutdown)

        def pen() -> Pen:
            club = handbook.knowledge.club
            return Pen(our_number=club.number, new_id=new_id, plain_letters=club.plain_letters)

        answering = Answering(engine, store, lambda: handbook, pen, clock, beside, sending.wake, new_code, bookmark)
        due = FallingDue(engine, store, lambda: handbook.knowledge, pen, clock, beside_the_clock, sending.wake)
        intake = Intake(store, answering.wake)
        keeping = Keeping(engine, store, lambda: handbook.knowledge, clock, beside_the_clock)
        loops = {
            "sending": sending.run(),
            "answering": answering.run(),
            "due": due.run(),
            "keeping": keeping.run(),
            "handbook": _look(handbook),
        }
        failed: asyncio.Future[BaseException] = asyncio.get_running_loop().create_future()
        for name, loop in loops.items():
            task = asyncio.create_task(loop, name=name)
            task.add_done_callback(partial(_note_failure, failed))
            stack.push_async_callback(_stop, task)
        clockwork = Clockwork(answering.wake, sending.wake, due.wake, keeping.wake, seconds=_tick(settings.demo_clock))
        clockwork.start()
        stack.callback(clockwork.stop)

        tally = Tally()
        stack.callback(tally.close)
        webhook = Webhook(
            settings.inbound_secrets,
            intake.take,
            intake.report,
            lambda: handbook.knowledge.club.country,
            clock,
            tally.note,
        )

        async def revisions() -> Mapping[tuple[str, date | None], Revision]:
            return await asyncio.get_running_loop().run_in_executor(beside_the_clock, read, engine, read_revisions)

        def knowledge_now() -> Knowledge:
            return read(engine, partial(as_now, knowledge=handbook.knowledge))

        calendar = CalendarFeed(knowledge_now, revisions, clock)
        port = await listen(stack, settings, [*webhook.routes(), *calendar.routes()], tally)
        log.info("listening on %s:%d", settings.host, port)
        yield Serving(settings.host, port, clock, handbook, due.wake, failed)


def new_code() -> str:
    """Digits that nobody can guess."""
    return as_code(secrets.randbelow(CODES))


def new_id() -> str:
    """A name for a text on its way out, never used before; letters only, so that no log takes it for a phone number."""
    return "msg_" + uuid.uuid4().hex.translate(_DIGITS_AS_LETTERS)


def _tick(demo: DemoClock | None) -> float:
    """Real seconds between two looks at what is due: a second, and where a demo's clock runs fast about a minute of its time."""
    if demo is None:
        return TICK_SECONDS
    return max(_SHORTEST_TICK, min(TICK_SECONDS, 60 / demo.speed))


async def listen(
    stack: contextlib.AsyncExitStack,
    settings: Settings,
    routes: Iterable[web.AbstractRouteDef],
    tally: Tally | None = None,
) -> int:
    """Serve the routes until the stack unwinds; the port, which the machine chooses where the settings say 0."""
    _once_a_minute(stack)
    if tally is None:
        tally = Tally()
        stack.callback(tally.close)
    door = Door(tally.note, most=_most_callers())
    app = web.Application(middlewares=[door.middleware, as_problems])
    app.add_routes(routes)
    # What is signed and measured is the bytes that travel; a packed body is none of ours.
    runner = web.AppRunner(
        app,
        access_log=None,
        shutdown_timeout=5,
        auto_decompress=False,
        keepalive_timeout=LONGEST_SILENCE,
        lingering_time=2,
    )
    await runner.setup()
    stack.push_async_callback(runner.cleanup)
    assert runner.server is not None
    try:
        listening = await asyncio.get_running_loop().create_server(
            door.factory(runner.server), settings.host, settings.port
        )
    except OSError as fault:
        where = f"{settings.host}:{settings.port}"
        said = "the address is in use" if fault.errno == errno.EADDRINUSE else fault.strerror
        raise SettingsFault(f"cannot listen on {where} ({said}); set CLUBBOT_HOST or CLUBBOT_PORT") from fault
    door.open()
    stack.callback(door.close)
    stack.callback(listening.close)
    return int(listening.sockets[0].getsockname()[1])


def _most_callers() -> int:
    """As many connections as we want, or as the machine has room for beside the files that we open ourselves."""
    if resource is None:
        return MOST_CALLERS
    soft, hard = resource.getrlimit(resource.RLIMIT_NOFILE)
    wanted = MOST_CALLERS + _FILES_OF_OURS
    if soft != resource.RLIM_INFINITY and soft < wanted:
        if hard != resource.RLIM_INFINITY:
            wanted = min(wanted, hard)
        with contextlib.suppress(OSError, ValueError):
            resource.setrlimit(resource.RLIMIT_NOFILE, (wanted, hard))
            soft = wanted
        return max(16, min(MOST_CALLERS, soft - _FILES_OF_OURS))
    return MOST_CALLERS


def _once_a_minute(stack: contextlib.AsyncExitStack) -> None:
    """What others log of every request that they cannot read, or connection that they cannot take, must not fill a disk."""
    for name in ("aiohttp.server", "asyncio", "clubbot.channels.problems"):
        logger, seldom = logging.getLogger(name), OnceAMinute(time.monotonic)
        logger.addFilter(seldom)
        stack.callback(logger.removeFilter, seldom)


def _beside(file: Path | None) -> Path | None:
    """The bookmark's file; None for a database in memory."""
    return None if file is None else file.with_name(f"{file.name}-reading")


async def _note_left(bookmark: Bookmark, store: Store) -> None:
    """A text that was being read when the service was killed is not read again."""
    left = bookmark.left()
    if left is not None:
        log.error("message %d was being read when the service ended; a person gets it", left)
        await store.write(partial(note_begun, inbox_id=left))
        bookmark.take_out()


async def _look(handbook: HandbookBeside) -> None:
    while True:
        await asyncio.sleep(_LOOK_SECONDS)
        try:
            await asyncio.to_thread(handbook.look)
        except Exception:
            log.exception("the knowledge files could not be looked at; the old ones stay")


async def _stop(task: "asyncio.Task[None]") -> None:
    task.cancel()
    await asyncio.wait({task})


def _note_failure(failed: "asyncio.Future[BaseException]", task: "asyncio.Task[None]") -> None:
    """A loop ends by itself only where waiting does not help."""
    fault = None if task.cancelled() else task.exception()
    if fault is not None and not failed.done():
        failed.set_result(fault)
