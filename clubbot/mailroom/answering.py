"""Answers the oldest waiting text of each sender: read what is known, decide, then write everything in one transaction."""

import asyncio
import logging
from collections.abc import Callable, Sequence
from concurrent.futures import Executor
from dataclasses import replace
from datetime import datetime
from functools import partial

from sqlalchemy import Connection, Engine

from clubbot.conversation.announcing import helpers_of, told_audience
from clubbot.conversation.ask import Ask
from clubbot.conversation.handover import for_a_person
from clubbot.conversation.phrasing import Voice
from clubbot.conversation.turn import Turn, turn
from clubbot.events.days import overlaid
from clubbot.handbook.book import Handbook
from clubbot.mailroom.loops import work_when_woken
from clubbot.model.club import Knowledge
from clubbot.model.effects import Reply
from clubbot.model.known import Known
from clubbot.model.messages import Incoming
from clubbot.store.apply import Decided, Pen, apply
from clubbot.store.broadcasts import read_reach
from clubbot.store.club import read_changes, read_draft, read_swaps
from clubbot.store.inbox import waiting
from clubbot.store.known import read_known
from clubbot.store.store import Store, read
from clubbot.texting.numbers import masked, to_e164
from clubbot.texting.parts import LONGEST_TEXT

log = logging.getLogger(__name__)

Clock = Callable[[], datetime]
# Few enough that the first of them does not wait long for the last to be read.
_AT_ONCE = 32


def as_now(connection: Connection, knowledge: Knowledge) -> Knowledge:
    """The knowledge with what was changed by text laid over the files."""
    changes, swaps = read_changes(connection), read_swaps(connection)
    if not changes and not swaps:
        return knowledge
    return replace(knowledge, events=overlaid(knowledge.events, changes), swaps=swaps)


def current(connection: Connection, handbook: Handbook) -> Handbook:
    """The handbook with what was changed by text laid over the files."""
    knowledge = as_now(connection, handbook.knowledge)
    return handbook if knowledge is handbook.knowledge else replace(handbook, knowledge=knowledge)


def known_of(connection: Connection, inbox_id: int, message: Incoming, handbook: Handbook, code: str = "") -> Known:
    """What is known about the sender of one message."""
    knowledge = handbook.knowledge
    volunteer = any(person.number == message.sender for person in knowledge.people)
    draft = read_draft(connection, message.sender) if volunteer else None
    asked = (
        told_audience(handbook.reader.order(message.text, message.received_at), draft, knowledge, message.received_at)
        if volunteer and len(message.text) <= LONGEST_TEXT  # a longer one is no order
        else None
    )
    return read_known(
        connection,
        message,
        inbox_id,
        textable=to_e164(message.sender, knowledge.club.country) is not None
        and message.sender != knowledge.club.number,
        volunteer=volunteer,
        places={event.id: event.places for event in knowledge.events},
        code=code,
        reach=read_reach(connection, asked[0], asked[1], helpers_of(knowledge), message.received_at) if asked else None,
    )


def decide(inbox_id: int, message: Incoming, known: Known, handbook: Handbook, now: datetime) -> Decided:
    """The turn of one message; a fault of ours hands the message to a person instead of losing it."""
    try:
        turned = turn(message, known, handbook.knowledge, handbook.reader, now)
    except Exception:
        log.exception("message %d from %s could not be read; a person is asked", inbox_id, masked(message.sender))
        turned = _faulty(message, known, handbook, now)
    return Decided(
        inbox_id=inbox_id,
        message=message,
        effects=turned.effects,
        language=turned.language,
        outcome=turned.outcome,
        served=turned.served,
    )


def _faulty(message: Incoming, known: Known, handbook: Handbook, now: datetime) -> Turn:
    language = known.sender.language or handbook.knowledge.club.languages[0]
    ask = Ask(text=message.text, known=known, voice=Voice(handbook.knowledge, language), now=now, alone=True)
    handed = for_a_person(ask, reason="fault")
    return Turn(effects=(Reply(text=handed.sentence), *handed.effects), language=language, outcome="fault")


def decide_some(
    engine: Engine, handbook: Handbook, now: datetime, new_code: Callable[[], str] = lambda: ""
) -> list[Decided]:
    """The next messages to answer, decided but not yet written. `new_code` makes a code that nobody can guess."""

    def unit(connection: Connection) -> tuple[Handbook, list[tuple[int, Incoming, Known]]]:
        book = current(connection, handbook)
        return book, [
            (one.id, one.message, known_of(connection, one.id, one.message, book, new_code()))
            for one in waiting(connection, _AT_ONCE)
        ]

    book, found = read(engine, unit)
    return [decide(inbox_id, message, known, book, now) for inbox_id, message, known in found]


def write_one(connection: Connection, decided: Decided, handbook: Handbook, pen: Pen, now: datetime) -> bool:
    """Apply a decision. Where the places it was made on have changed meanwhile, it is made again, on what holds in this transaction."""
    applied = apply(connection, decided, pen, now)
    if applied == "stale":
        book = current(connection, handbook)
        known = known_of(connection, decided.inbox_id, decided.message, book)
        again = decide(decided.inbox_id, decided.message, known, book, now)
        applied = apply(connection, again, pen, now)
    return applied == "written"


def write_all(connection: Connection, decided: Sequence[Decided], handbook: Handbook, pen: Pen, now: datetime) -> int:
    """Apply decisions; how many were ours to apply."""
    return sum(write_one(connection, one, handbook, pen, now) for one in decided)


class Answering:
    """The loop. Reading and deciding run beside the event loop, writing goes through the store's one writer."""

    def __init__(
        self,
        engine: Engine,
        store: Store,
        handbook: Callable[[], Handbook],
        pen: Callable[[], Pen],
        clock: Clock,
        beside: Executor | None,
        wake_sending: Callable[[], None],
        new_code: Callable[[], str] = lambda: "",
    ) -> None:
        self._engine, self._store, self._handbook, self._pen = engine, store, handbook, pen
        self._new_code = new_code
        self._clock, self._beside, self._wake_sending = clock, beside, wake_sending
        self._woken = asyncio.Event()
        self._woken.set()  # there may be texts from before the start

    def wake(self) -> None:
        """There is, or may be, something to answer."""
        self._woken.set()

    async def run(self) -> None:
        """Answer until cancelled. A fault of the database is waited out: nothing is lost by it."""
        await work_when_woken(self._woken, self.answer_some, "answering")

    async def answer_some(self) -> int:
        """Answer up to a handful of messages; how many. One that cannot be written down is logged, waits, and is tried at the next wake."""
        now, handbook, pen = self._clock(), self._handbook(), self._pen()
        if self._beside is None:
            decided = decide_some(self._engine, handbook, now, self._new_code)
        else:
            decided = await asyncio.get_running_loop().run_in_executor(
                self._beside, decide_some, self._engine, handbook, now, self._new_code
            )
        if not decided:
            return 0
        # Each is a unit of its own: they share the commit, and one that cannot be written holds up no other.
        units = [partial(write_one, decided=one, handbook=handbook, pen=pen, now=now) for one in decided]
        written = await asyncio.gather(*(self._store.write(unit) for unit in units), return_exceptions=True)
        for one, result in zip(decided, written, strict=True):
            sender = masked(one.message.sender)
            if isinstance(result, BaseException):
                log.error(
                    "message %d from %s could not be written down and waits", one.inbox_id, sender, exc_info=result
                )
            else:
                log.info("answered %d from %s: %s", one.inbox_id, sender, one.outcome)
        self._wake_sending()
        return sum(result is True for result in written)
