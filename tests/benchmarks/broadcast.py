"""A text to very many people: `python -m tests.benchmarks.broadcast [PEOPLE]` (100,000 where none is named).

On a file: what the one transaction costs that writes them all down when the code comes back (seconds, rows, peak memory of the process),
and then how long a question waits until its reply is committed: with nothing else to do, while the many go out at the pace of the
club's files, and while all of them are due at once. The loops (store, answering, sending, what falls due) run as serving.py wires them;
the gateway is one that takes texts at once. Three measurements of one run, so read them as ratios to the first.
"""

import asyncio
import contextlib
import resource
import statistics
import sys
import tempfile
import time
from collections.abc import AsyncIterator
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path
from zoneinfo import ZoneInfo

from sqlalchemy import Connection, Engine, func, insert, select

from clubbot.handbook.book import Handbook, open_handbook
from clubbot.handbook.learning import usual_folder
from clubbot.mailroom.answering import Answering, decide_some, write_all
from clubbot.mailroom.clockwork import Clockwork
from clubbot.mailroom.falling_due import FallingDue
from clubbot.mailroom.intake import Intake
from clubbot.mailroom.sending import Sending
from clubbot.model.messages import Incoming, Outgoing, SendOutcome, Taken
from clubbot.serving import Clock, new_code, new_id
from clubbot.settings import DemoClock
from clubbot.store.apply import Pen
from clubbot.store.inbox import put_down
from clubbot.store.migrating import make_ready
from clubbot.store.store import Store, open_engine, read
from clubbot.store.tables import inbox, outbox, people, subscriptions

ROOT = Path(__file__).parents[2]
CALLUM, OURS = "+19025550105", "+19025550100"
QUESTIONS = ("can i bring my dog", "where do i park", "is it open", "when is league", "how much is membership")
ASKED_IN_A_ROW = 120
ALL_AT_ONCE = 60_000_000  # texts a minute
_CHUNK = 5_000


@dataclass
class Running:
    """The loops, and what the gateway took."""

    engine: Engine
    store: Store
    intake: Intake
    sending: Sending
    clock: Clock
    taken: int = 0


def subscribers(engine: Engine, many: int) -> None:
    """So many phones on the list for course news, each third French."""
    now = _start().start
    with engine.begin() as connection:
        for first in range(0, many, _CHUNK):
            numbers = [f"+1506{5_000_000 + place}" for place in range(first, min(many, first + _CHUNK))]
            connection.execute(
                insert(people),
                [
                    {
                        "number": number,
                        "language": "fr" if place % 3 == 0 else "en",
                        "opted_out": 0,
                        "introduced": 1,
                        "first_seen_at": now,
                    }
                    for place, number in enumerate(numbers)
                ],
            )
            connection.execute(
                insert(subscriptions),
                [{"number": number, "list_id": "course-news", "since": now} for number in numbers],
            )


def _start() -> DemoClock:
    return DemoClock(datetime(2027, 6, 7, 10, tzinfo=ZoneInfo("America/Halifax")), 1)


def incoming(sender: str, text: str, id: str, clock: Clock) -> Incoming:
    return Incoming(
        channel="benchmark",
        their_id=id,
        delivery_id=f"delivery of {id}",
        sender=sender,
        recipient=OURS,
        text=text,
        received_at=clock(),
    )


def told(engine: Engine, handbook: Handbook, text: str, id: str, clock: Clock, pen: Pen) -> tuple[float, float]:
    """Callum texts; the seconds that deciding took, and those that writing what comes of it took, committed."""
    with engine.begin() as connection:
        put_down(connection, incoming(CALLUM, text, id, clock))
    begun = time.perf_counter()
    decided = decide_some(engine, handbook, clock(), lambda: "48217730")
    decision = time.perf_counter() - begun
    begun = time.perf_counter()
    with engine.begin() as connection:
        assert write_all(connection, decided, handbook, pen, clock()) == 1
    return decision, time.perf_counter() - begun


def with_pace(handbook: Handbook, per_minute: int) -> Handbook:
    knowledge = handbook.knowledge
    return replace(handbook, knowledge=replace(knowledge, club=replace(knowledge.club, texts_a_minute=per_minute)))


def memory() -> float:
    """The most that this process has had resident, in MB."""
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024


@contextlib.asynccontextmanager
async def running(engine: Engine, handbook: Handbook, clock: Clock, pen: Pen) -> AsyncIterator[Running]:
    """Everything between webhook and gateway, as serving.py wires it."""
    async with contextlib.AsyncExitStack() as stack:
        store = Store(engine, own_thread=True)
        stack.push_async_callback(store.close)
        beside = ThreadPoolExecutor(1, thread_name_prefix="answering")
        stack.callback(beside.shutdown)
        beside_the_clock = ThreadPoolExecutor(1, thread_name_prefix="due")
        stack.callback(beside_the_clock.shutdown)

        async def take(_: Outgoing) -> SendOutcome:
            found.taken += 1
            return Taken()

        sending = Sending(store, take, clock, clock.steady)
        answering = Answering(engine, store, lambda: handbook, lambda: pen, clock, beside, sending.wake, new_code)
        due = FallingDue(engine, store, lambda: handbook.knowledge, lambda: pen, clock, beside_the_clock, sending.wake)
        found = Running(engine, store, Intake(store, answering.wake), sending, clock)
        for loop in (sending.run(), answering.run(), due.run()):
            stack.push_async_callback(_stop, asyncio.create_task(loop))
        clockwork = Clockwork(answering.wake, sending.wake, due.wake)
        clockwork.start()
        stack.callback(clockwork.stop)
        yield found


async def _stop(task: "asyncio.Task[None]") -> None:
    task.cancel()
    with contextlib.suppress(asyncio.CancelledError):
        await task


def _answered(connection: Connection, id: str) -> bool:
    return connection.execute(select(inbox.c.state).where(inbox.c.their_id == id)).scalar() == "answered"


async def asked(service: Running, name: str) -> list[float]:
    """Questions one after the other, each of another phone; milliseconds from the text's coming in until its reply is committed."""
    took: list[float] = []
    watching = service.engine.connect().execution_options(reading=True)
    for number in range(ASKED_IN_A_ROW):
        known_as = f"{name} {number}"
        message = incoming(f"+1902{5_560_000 + number}", QUESTIONS[number % len(QUESTIONS)], known_as, service.clock)
        begun = time.perf_counter()
        await service.intake.take(message)
        while True:
            with watching.begin():
                if _answered(watching, known_as):
                    break
            await asyncio.sleep(0.0005)
        took.append((time.perf_counter() - begun) * 1000)
    watching.close()
    return took


def show(name: str, took: list[float], first: list[float], taken: int, seconds: float) -> None:
    ordered = sorted(took)
    print(
        f"  {name:<44} median {statistics.median(took):6.1f} ms ({statistics.median(took) / statistics.median(first):4.1f})"
        f"  nine of ten {ordered[len(ordered) * 9 // 10]:6.1f}  worst {ordered[-1]:7.1f} ms ({ordered[-1] / max(first):4.1f})"
        f"  {taken / seconds:6.0f} texts a second meanwhile"
    )


def waiting(connection: Connection) -> int:
    return connection.execute(
        select(func.count()).where(outbox.c.state == "waiting", outbox.c.broadcast.is_not(None))
    ).scalar_one()


async def run(many: int) -> None:
    handbook = open_handbook(ROOT / "knowledge", usual_folder())
    clock, pen = Clock(_start()), Pen(our_number=OURS, new_id=new_id, plain_letters=True)
    with tempfile.TemporaryDirectory() as folder:
        engine = open_engine(f"sqlite:///{folder}/club.db")
        make_ready(engine)
        subscribers(engine, many)
        first: list[float] = []
        paces = {"nothing to send": 0, "at the pace of the files": handbook.knowledge.club.texts_a_minute}
        for name, per_minute in (paces | {"all due at once": ALL_AT_ONCE}).items():
            if per_minute:
                book = with_pace(handbook, per_minute)
                shown, _ = told(
                    engine, book, "course news: new baskets on the hill loop", f"tell {per_minute}", clock, pen
                )
                before = memory()
                _, wrote = told(engine, book, "yes 48217730", f"yes {per_minute}", clock, pen)
                print(
                    f"  one transaction: {wrote:.2f} s, {read(engine, waiting):,} rows wait,"
                    f" {wrote / many * 1e6:.0f} µs a row; peak memory {before:.0f} MB before it, {memory():.0f} MB after;"
                    f" its draft, with everybody counted, in {shown * 1000:.0f} ms"
                )
            async with running(engine, handbook, clock, pen) as service:
                await asyncio.sleep(2)  # until the loops have looked once
                begun, taken = time.perf_counter(), service.taken
                took = await asked(service, name)
                first = first or took
                show(name, took, first, service.taken - taken, time.perf_counter() - begun)
                if per_minute == ALL_AT_ONCE:
                    begun, taken = time.perf_counter(), service.taken
                    await asyncio.sleep(10)
                    rate = (service.taken - taken) / (time.perf_counter() - begun)
                    print(f"  with no question between: {rate:.0f} texts a second")
        engine.dispose()


if __name__ == "__main__":
    people_told = int(sys.argv[1]) if len(sys.argv) > 1 else 100_000
    print(f"{people_told:,} people")
    asyncio.run(run(people_told))
