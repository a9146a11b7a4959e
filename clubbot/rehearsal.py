"""A club in memory that is texted without a phone: for `chat`, `ask`, sample conversations and tests."""

import itertools
import weakref
from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from functools import cache
from typing import Any

from sqlalchemy import Engine, insert

from clubbot.conversation.occasions import quiet_hours
from clubbot.handbook.book import Handbook
from clubbot.mailroom.answering import decide_some, write_all
from clubbot.mailroom.falling_due import let_fall_due
from clubbot.model.club import Closure, EventChange, EventRule
from clubbot.model.messages import Incoming
from clubbot.model.quiet import instant
from clubbot.people.codes import CODES, as_code
from clubbot.store.apply import Decided, Pen
from clubbot.store.floods import floods_due
from clubbot.store.inbox import put_down
from clubbot.store.migrating import make_ready
from clubbot.store.outbox import claim_due, mark_sent
from clubbot.store.reminders import due_between
from clubbot.store.store import open_engine
from clubbot.store.tables import closures

_CLAIM = timedelta(minutes=2)
# Odd and no multiple of 5, so that a hundred million codes go by before one comes again.
_CODE_STRIDE = 61_803_399


@dataclass(frozen=True, slots=True)
class Heard:
    """A text that reached somebody."""

    recipient: str
    text: str
    parts: int


class Rehearsal:
    """Every step of the real service on a database in memory, one text at a time, at the hour that is handed in."""

    def __init__(self, handbook: Handbook) -> None:
        self.handbook = handbook
        self.engine: Engine = _a_club_in_memory()
        weakref.finalize(self, _FREE.append, self.engine)
        self._count = itertools.count(1)
        self._codes = itertools.count(1)
        club = handbook.knowledge.club
        self._pen = Pen(our_number=club.number, new_id=_numbered(itertools.count(1)), plain_letters=club.plain_letters)
        self.decided: list[Decided] = []

    def text(self, sender: str, text: str, now: datetime) -> list[Heard]:
        """A text comes in at `now`; everything that is sent because of it, in order."""
        number = next(self._count)
        message = Incoming(
            channel="rehearsal",
            their_id=f"text-{number}",
            delivery_id=f"delivery-{number}",
            sender=sender,
            recipient=self.handbook.knowledge.club.number,
            text=text,
            received_at=now,
        )
        with self.engine.begin() as connection:
            put_down(connection, message)
        self.decided = decide_some(self.engine, self.handbook, now, self._new_code)
        with self.engine.begin() as connection:
            write_all(connection, self.decided, self.handbook, self._pen, now)
        return self.send(now)

    def _new_code(self) -> str:
        """Codes in a fixed order, so that a sample conversation can be written down."""
        return as_code(next(self._codes) * _CODE_STRIDE % CODES)

    def send(self, now: datetime) -> list[Heard]:
        """Do what has fallen due by `now`, then send all that is due."""
        with self.engine.begin() as connection:
            while let_fall_due(connection, self.handbook.knowledge, self._pen, now):
                pass
        heard: list[Heard] = []
        while True:
            with self.engine.begin() as connection:
                claimed = claim_due(connection, now, now + _CLAIM, 100)
                for one in claimed:
                    mark_sent(connection, one.id, now)
            if not claimed:
                return heard
            heard += [Heard(one.recipient, one.text, len(one.parts)) for one in claimed]

    def pass_time(self, since: datetime, until: datetime) -> list[Heard]:
        """Let the time from `since` to `until` go by, stopping wherever something falls due; everything that is sent, in order."""
        quiet = quiet_hours(self.handbook.knowledge)
        with self.engine.connect() as connection:
            stops = set(due_between(connection, since, until))
            stops |= set(floods_due(connection, since, until))
        day = since.astimezone(quiet.zone).date()
        while instant(day, quiet.until, quiet.zone) <= until:
            stops.add(instant(day, quiet.until, quiet.zone))
            day += timedelta(days=1)
        heard: list[Heard] = []
        for stop in sorted(stop for stop in stops if since < stop < until):
            heard += self.send(stop)
        return heard + self.send(until)

    def close_part(self, closure: Closure) -> None:
        """The course, a loop or a hole is closed, as somebody of the club would do."""
        row = {
            "what": closure.what,
            "since": closure.since,
            "until": closure.until,
            "reason_en": closure.reason.en,
            "reason_fr": closure.reason.fr,
        }
        with self.engine.begin() as connection:
            connection.execute(insert(closures).values(row))

    def change_day(self, event_id: str, change: EventChange) -> None:
        """One day of an event is moved or called off, as somebody of the club would write it into the files."""
        knowledge = self.handbook.knowledge
        events = tuple(_with(event, change) if event.id == event_id else event for event in knowledge.events)
        self.handbook = replace(self.handbook, knowledge=replace(knowledge, events=events))


# Engines whose rehearsal is over: what SQLAlchemy has compiled is kept with an engine, and takes longer to make than a text to answer.
_FREE: list[Engine] = []


def _a_club_in_memory() -> Engine:
    """A database in memory with the schema in it and nothing else. The steps of the schema are gone through once: each club is a copy of the first."""
    engine = _FREE.pop() if _FREE else open_engine("sqlite://")
    with engine.connect() as connection:
        kept: Any = connection.connection.driver_connection
        kept.deserialize(_with_the_schema())
    return engine


@cache
def _with_the_schema() -> bytes:
    engine = open_engine("sqlite://")
    make_ready(engine)
    with engine.connect() as connection:
        kept: Any = connection.connection.driver_connection
        written = bytes(kept.serialize())
    engine.dispose()
    return written


def _with(event: EventRule, change: EventChange) -> EventRule:
    return replace(event, change=(*(one for one in event.change if one.day != change.day), change))


def _numbered(count: "itertools.count[int]") -> Callable[[], str]:
    return lambda: f"msg_{next(count)}"
