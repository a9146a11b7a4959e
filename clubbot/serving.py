"""Puts the parts together, starts them in order, stops them in reverse. The one place that reads the clock."""

import asyncio
import contextlib
import logging
import secrets
import uuid
from collections.abc import AsyncIterator, Callable, Iterable, Mapping
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from datetime import UTC, date, datetime
from functools import partial

import aiohttp
from aiohttp import web

from clubbot.channels.gateway import HttpGateway
from clubbot.channels.problems import as_problems
from clubbot.channels.webhook import Webhook
from clubbot.conversation.occasions import quiet_hours
from clubbot.handbook.book import HandbookShelf
from clubbot.handbook.learning import usual_folder
from clubbot.mailroom.answering import Answering, as_now
from clubbot.mailroom.clockwork import TICK_SECONDS, Clockwork
from clubbot.mailroom.falling_due import FallingDue
from clubbot.mailroom.intake import Intake
from clubbot.mailroom.sending import Sending
from clubbot.model.calendar import Revision
from clubbot.model.club import Knowledge
from clubbot.model.errors import SettingsFault
from clubbot.people.codes import CODES, as_code
from clubbot.settings import DemoClock, Settings
from clubbot.site.calendar import CalendarFeed
from clubbot.store.apply import Pen
from clubbot.store.migrating import make_ready
from clubbot.store.outbox import release_claims
from clubbot.store.revisions import read_revisions
from clubbot.store.store import Store, open_engine, read

log = logging.getLogger(__name__)

# How often changed knowledge files are looked for, in real seconds. A file is taken up once it was still for one look.
_LOOK_SECONDS = 2.0
# However fast a demo's clock runs, the machine has other things to do.
_SHORTEST_TICK = 0.02
_DIGITS_AS_LETTERS = str.maketrans("0123456789", "ghijklmnop")


def wall_clock() -> datetime:
    """The real time, UTC."""
    return datetime.now(UTC)  # noqa: TID251  (the one place)


class Clock:
    """The time to work by: the real one, or one that begins elsewhere and runs faster."""

    def __init__(self, demo: DemoClock | None) -> None:
        self._demo = demo
        self._began = wall_clock()

    def __call__(self) -> datetime:
        """The time, UTC."""
        if self._demo is None:
            return wall_clock()
        return (self._demo.start + (wall_clock() - self._began) * self._demo.speed).astimezone(UTC)

    def run_at(self, speed: float) -> None:
        """From now on run so many times as fast as the real clock, which itself cannot be hurried."""
        if self._demo is not None:
            self._demo, self._began = DemoClock(self(), speed), wall_clock()


@dataclass(frozen=True, slots=True)
class Serving:
    """The running service, as far as others need to see it. `wake` has it look at what is due."""

    host: str
    port: int
    clock: Clock
    shelf: HandbookShelf
    wake: Callable[[], None]


@contextlib.asynccontextmanager
async def serving(settings: Settings) -> AsyncIterator[Serving]:
    """The whole service, from the first file read to the last text sent. Faults of settings, files and schema come at once."""
    async with contextlib.AsyncExitStack() as stack:
        clock = Clock(settings.demo_clock)
        engine = open_engine(settings.database_url)
        stack.callback(engine.dispose)
        make_ready(engine)
        shelf = HandbookShelf(settings.knowledge, usual_folder(), with_encoder=settings.sentence_model)
        store = Store(engine, own_thread=settings.writer == "thread")
        stack.push_async_callback(store.close)
        await store.write(release_claims)

        session = await stack.enter_async_context(aiohttp.ClientSession(auto_decompress=False))
        gateway = HttpGateway(session, settings.gateway_url, settings.gateway_secret.get_secret_value(), wall_clock)
        sending = Sending(store, gateway.send, clock, quiet=lambda: quiet_hours(shelf.current.knowledge))
        beside = ThreadPoolExecutor(1, thread_name_prefix="answering")
        stack.callback(beside.shutdown)
        # A thread of its own: what falls due must not wait behind answers, nor they behind it.
        beside_the_clock = ThreadPoolExecutor(1, thread_name_prefix="due")
        stack.callback(beside_the_clock.shutdown)

        def pen() -> Pen:
            club = shelf.current.knowledge.club
            return Pen(our_number=club.number, new_id=new_id, plain_letters=club.plain_letters)

        answering = Answering(engine, store, lambda: shelf.current, pen, clock, beside, sending.wake, new_code)
        due = FallingDue(engine, store, lambda: shelf.current.knowledge, pen, clock, beside_the_clock, sending.wake)
        intake = Intake(store, answering.wake)
        loops = {"sending": sending.run(), "answering": answering.run(), "due": due.run(), "handbook": _look(shelf)}
        for name, loop in loops.items():
            stack.push_async_callback(_stop, asyncio.create_task(loop, name=name))
        clockwork = Clockwork(answering.wake, sending.wake, due.wake, seconds=_tick(settings.demo_clock))
        clockwork.start()
        stack.callback(clockwork.stop)

        webhook = Webhook(
            settings.inbound_secrets, intake.take, intake.report, lambda: shelf.current.knowledge.club.country, clock
        )

        async def revisions() -> Mapping[tuple[str, date | None], Revision]:
            return await asyncio.get_running_loop().run_in_executor(beside_the_clock, read, engine, read_revisions)

        def knowledge_now() -> Knowledge:
            return read(engine, partial(as_now, knowledge=shelf.current.knowledge))

        calendar = CalendarFeed(knowledge_now, revisions, clock)
        port = await listen(stack, settings, [*webhook.routes(), *calendar.routes()])
        log.info("listening on %s:%d", settings.host, port)
        yield Serving(settings.host, port, clock, shelf, due.wake)


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


async def listen(stack: contextlib.AsyncExitStack, settings: Settings, routes: Iterable[web.AbstractRouteDef]) -> int:
    """Serve the routes until the stack unwinds; the port, which the machine chooses where the settings say 0."""
    app = web.Application(middlewares=[as_problems])
    app.add_routes(routes)
    # What is signed and measured is the bytes that travel; a packed body is none of ours.
    runner = web.AppRunner(app, access_log=None, shutdown_timeout=5, auto_decompress=False)
    await runner.setup()
    stack.push_async_callback(runner.cleanup)
    site = web.TCPSite(runner, settings.host, settings.port)
    try:
        await site.start()
    except OSError as fault:
        where = f"{settings.host}:{settings.port}"
        raise SettingsFault(f"cannot listen on {where} ({fault.strerror}); set CLUBBOT_HOST or CLUBBOT_PORT") from fault
    return int(runner.addresses[0][1])


async def _look(shelf: HandbookShelf) -> None:
    while True:
        await asyncio.sleep(_LOOK_SECONDS)
        try:
            await asyncio.to_thread(shelf.look)
        except Exception:
            log.exception("the knowledge files could not be looked at; the old ones stay")


async def _stop(task: "asyncio.Task[None]") -> None:
    task.cancel()
    with contextlib.suppress(asyncio.CancelledError):
        await task
