"""A season of reminders on the running service, its clock fast: `python -m tests.benchmarks.season [SPEED] [PEOPLE] [DAYS]`.

People answer to every event day of the next DAYS; the clock runs SPEED times as fast (600 as CLUBBOT_CLOCK ...@600). At the end: how
many reminders were planned, told and dropped with which reasons, how many texts reached the gateway, and whether any did twice.
"""

import asyncio
import sqlite3
import sys
import tempfile
import time
from collections import Counter
from contextlib import closing
from datetime import date, datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

import aiohttp

from clubbot.events.days import answered_to, event_days
from clubbot.handbook.book import open_handbook
from clubbot.handbook.learning import usual_folder
from clubbot.serving import serving
from clubbot.settings import read_settings
from tests.fakes import GATEWAY_SECRET, INBOUND_SECRET, Phone, a_gateway

ROOT = Path(__file__).parents[2]
START = datetime(2027, 5, 3, 9, tzinfo=ZoneInfo("America/Halifax"))


async def season(speed: float, people: int, days: int) -> None:
    """Run it and print the counts."""
    knowledge = open_handbook(ROOT / "knowledge", usual_folder()).knowledge
    zone, until = knowledge.club.zone, START + timedelta(days=days)
    held = [
        one
        for event in knowledge.events
        for one in answered_to(event_days(event, zone))
        if event.rsvp_opens is None and START + timedelta(days=1) < one.starts < until
    ]
    with tempfile.TemporaryDirectory() as folder:
        async with a_gateway() as gateway:
            settings = read_settings(
                {
                    "CLUBBOT_KNOWLEDGE": str(ROOT / "knowledge"),
                    "CLUBBOT_DATABASE_URL": f"sqlite:///{folder}/club.db",
                    "CLUBBOT_PORT": "0",
                    "CLUBBOT_INBOUND_SECRET": INBOUND_SECRET,
                    "CLUBBOT_GATEWAY_URL": gateway.url,
                    "CLUBBOT_GATEWAY_SECRET": GATEWAY_SECRET,
                    "CLUBBOT_CLOCK": f"{START.isoformat()}@{speed:g}",
                }
            )
            begun = time.monotonic()
            async with serving(settings) as service, aiohttp.ClientSession() as session:
                phone = Phone(session=session, url=f"http://{service.host}:{service.port}/inbound")
                for number, one in enumerate(held):
                    for who in range(people):
                        text = f"in for the {one.event.name.en} on {_said(one.starts.astimezone(zone).date())}, 2 of us"
                        await phone.text(text, id=f"t-{number}-{who}", sender=f"+1506555{1000 + who}")
                while service.clock() < until:
                    await asyncio.sleep(0.2)
            print(
                f"{days} days at {speed:g} times: {time.monotonic() - begun:.0f} s, {len(held)} event days, {people} people"
            )
            _show(Path(folder) / "club.db", gateway.times_taken)


def _said(day: date) -> str:
    return f"{day.day} {day:%B}"


def _show(file: Path, times: "Counter[str]") -> None:
    with closing(sqlite3.connect(file)) as database:
        answers = database.execute("SELECT state, count(*) FROM rsvps GROUP BY 1").fetchall()
        found = database.execute("SELECT kind, state, reason, count(*) FROM reminders GROUP BY 1, 2, 3").fetchall()
        sent = database.execute(
            "SELECT count(*), count(DISTINCT key) FROM outbox WHERE key LIKE 'reminder:%'"
        ).fetchone()
    print("answers:", dict(answers))
    for kind, state, reason, count in found:
        print(f"reminders {kind:8} {state:8} {reason or '':20} {count}")
    print(f"reminder texts written {sent[0]}, keys {sent[1]}")
    print(f"texts that reached the gateway {sum(times.values())}, more than once: {sum(n > 1 for n in times.values())}")


if __name__ == "__main__":
    given = [float(one) for one in sys.argv[1:]]
    speed_of, people_of, days_of = (*given, *(600.0, 5.0, 3.0)[len(given) :])
    asyncio.run(season(speed_of, int(people_of), int(days_of)))
