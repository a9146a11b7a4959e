"""5,000 answers to one event day, one after the other: `python -m tests.benchmarks.rsvps [ANSWERS]`.

Prints what an answer costs (reading what is known, deciding, writing, committed to a file) in each tenth of them, as a ratio to the first
tenth of the same run. A cost that grew with the number already there would show as a rising curve.
"""

import statistics
import sys
import tempfile
import time
from datetime import datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

from clubbot.handbook.book import open_handbook
from clubbot.handbook.learning import usual_folder
from clubbot.mailroom.answering import decide_some, write_all
from clubbot.model.messages import Incoming
from clubbot.serving import new_id
from clubbot.store.apply import Pen
from clubbot.store.inbox import put_down
from clubbot.store.migrating import make_ready
from clubbot.store.store import open_engine

ROOT = Path(__file__).parents[2]
START = datetime(2027, 6, 7, 12, tzinfo=ZoneInfo("America/Halifax"))
TEXT = {"work-morning": "put me down for the work morning, 2 of us", "starter-clinic": "put me down for the clinic"}


def run(event: str, answers: int) -> list[float]:
    """Milliseconds that each answer took."""
    handbook = open_handbook(ROOT / "knowledge", usual_folder())
    took: list[float] = []
    pen = Pen(our_number="+19025550100", new_id=new_id, plain_letters=True)
    with tempfile.TemporaryDirectory() as folder:
        engine = open_engine(f"sqlite:///{folder}/club.db")
        make_ready(engine)
        for number in range(answers):
            now = START + timedelta(seconds=number)
            sender = f"+1506{5550000 + number}"
            message = Incoming(
                channel="benchmark",
                their_id=f"t{number}",
                delivery_id=f"d{number}",
                sender=sender,
                recipient="+19025550100",
                text=TEXT[event],
                received_at=now,
            )
            with engine.begin() as connection:
                put_down(connection, message)
            begun = time.perf_counter()
            decided = decide_some(engine, handbook, now)
            with engine.begin() as connection:
                assert write_all(connection, decided, handbook, pen, now) == 1
            took.append((time.perf_counter() - begun) * 1000)
        engine.dispose()
    return took


def show(event: str, took: list[float]) -> None:
    """The curve, by tenths."""
    size = len(took) // 10
    tenths = [statistics.median(took[place * size : (place + 1) * size]) for place in range(10)]
    print(f"{event}: median milliseconds an answer, and as a ratio to the first tenth")
    for place, value in enumerate(tenths, start=1):
        print(
            f"  up to {place * size:>6}  {value:6.2f} ms  {value / tenths[0]:5.2f}  {'#' * round(20 * value / tenths[0])}"
        )


if __name__ == "__main__":
    many = int(sys.argv[1]) if len(sys.argv) > 1 else 5000
    for name in TEXT:
        show(name, run(name, many))
