"""Answers the oldest waiting text of each sender: read what is known, decide, then write everything in one transaction."""

import asyncio
import contextlib
import logging
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import Executor
from dataclasses import dataclass, replace
from datetime import datetime
from functools import partial

from sqlalchemy import Connection, Engine

from clubbot.conversation.ask import Ask
from clubbot.conversation.crowd import bounded
from clubbot.conversation.handover import for_a_person
from clubbot.conversation.overlaid import as_changed
from clubbot.conversation.phrasing import Voice
from clubbot.conversation.replying import Turn
from clubbot.conversation.turn import readable
from clubbot.conversation.unread import set_aside
from clubbot.handbook.reading import Reads
from clubbot.mailroom.bookmark import Bookmark
from clubbot.mailroom.looked_up import with_looked_up
from clubbot.mailroom.loops import work_when_woken
from clubbot.model.club import Knowledge, Overlay
from clubbot.model.effects import Reply
from clubbot.model.errors import DatabaseFault, NotRead, ReadingDown
from clubbot.model.known import Crowd, Known
from clubbot.model.messages import Incoming
from clubbot.store.apply import Decided, Pen, apply
from clubbot.store.club import anything_changed, read_draft, read_people_changed
from clubbot.store.days import read_added, read_changes
from clubbot.store.floods import read_crowd
from clubbot.store.inbox import Waiting, waiting
from clubbot.store.known import read_known
from clubbot.store.store import Store, read
from clubbot.texting.keywords import Keyword
from clubbot.texting.numbers import masked, to_e164
from clubbot.texting.parts import LONGEST_TEXT

log = logging.getLogger(__name__)

Clock = Callable[[], datetime]
# Few enough that the first of them does not wait long for the last to be read.
_AT_ONCE = 32


def read_overlay(connection: Connection) -> Overlay:
    """What was changed by text and lies over the files."""
    if not anything_changed(connection):
        return Overlay()
    return replace(read_people_changed(connection), changes=read_changes(connection), added=read_added(connection))


def as_now(connection: Connection, knowledge: Knowledge) -> Knowledge:
    """The knowledge with what was changed by text laid over the files."""
    return as_changed(knowledge, read_overlay(connection))


@dataclass(frozen=True, slots=True, kw_only=True)
class Found:
    """A message to decide on, with what is known. `unread` where it is not to be read: its reading was begun once and never finished."""

    id: int
    message: Incoming
    known: Known
    overlay: Overlay
    unread: bool = False


def find(
    connection: Connection,
    one: Waiting,
    reads: Reads,
    overlay: Overlay,
    code: str = "",
    bookmark: Bookmark | None = None,
    crowd: Crowd | None = None,
) -> Found:
    """What is known about the sender of one message; `crowd` is what went through from all phones together."""
    message, knowledge, unread = one.message, reads.knowledge, one.begun
    changed = as_changed(knowledge, overlay)
    volunteer = any(person.number == message.sender for person in changed.people)
    asked = None
    if volunteer and not unread and len(message.text) <= LONGEST_TEXT:  # a longer one is no order
        draft = read_draft(connection, message.sender)
        with _begun(bookmark, one.id):
            try:
                asked = reads.audience(message, draft, overlay)
            except NotRead:
                unread = True
    known = read_known(
        connection,
        message,
        one.id,
        textable=to_e164(message.sender, knowledge.club.country) is not None
        and message.sender != knowledge.club.number,
        volunteer=volunteer,
        places={event.id: event.places for event in changed.events},
        code=code,
        crowd=crowd,
    )
    known = with_looked_up(connection, asked, known, changed, message.received_at)
    return Found(id=one.id, message=message, known=known, overlay=overlay, unread=unread)


def decide(found: Found, reads: Reads, now: datetime, bookmark: Bookmark | None = None) -> Decided:
    """The turn of one message; where it cannot be read, by a fault of ours or within its time, a person gets it instead of its being lost."""
    message, sender = found.message, masked(found.message.sender)
    try:
        turned = _read(found, reads, now, bookmark)
    except ReadingDown:
        raise
    except NotRead as fault:
        log.warning("message %d from %s is set aside for a person: %s", found.id, sender, fault)
        changed = as_changed(reads.knowledge, found.overlay)
        turned = set_aside(readable(message.text), found.known, changed, now, _opts_out(message, reads))
    except Exception:
        log.exception("message %d from %s could not be read; a person is asked", found.id, sender)
        turned = _faulty(message, found.known, as_changed(reads.knowledge, found.overlay), now)
    return Decided(
        inbox_id=found.id,
        message=message,
        effects=turned.effects,
        language=turned.language,
        outcome=turned.outcome,
        served=turned.served,
        kind=turned.kind,
        code=found.known.code,
    )


def _opts_out(message: Incoming, reads: Reads) -> Keyword | None:
    """The way out is looked for by itself in a text that could not be read: nobody is texted on who asked for an end of it."""
    try:
        return reads.opts_out(message.text)
    except ReadingDown:
        raise
    except Exception:
        log.exception("nor could it be seen whether message %s asks for no more texts", message.their_id)
        return None


def _read(found: Found, reads: Reads, now: datetime, bookmark: Bookmark | None) -> Turn:
    if found.unread:
        raise NotRead("its reading was begun before and never finished")
    with _begun(bookmark, found.id):
        return reads.decide(found.message, found.known, found.overlay, now)


@contextlib.contextmanager
def _begun(bookmark: Bookmark | None, inbox_id: int) -> Iterator[None]:
    """While a text is being read, its number stands where a process that is killed leaves it."""
    if bookmark is None:
        yield
        return
    bookmark.put(inbox_id)
    try:
        yield
    finally:
        bookmark.take_out()


def _faulty(message: Incoming, known: Known, knowledge: Knowledge, now: datetime) -> Turn:
    language = known.sender.language or knowledge.club.languages[0]
    ask = Ask(text=message.text, known=known, voice=Voice(knowledge, language), now=now, alone=True)
    handed = bounded(for_a_person(ask, reason="fault"), ask)
    return Turn(
        effects=(Reply(text=handed.sentence), *handed.effects), language=language, outcome="fault", kind="question"
    )


def decide_some(
    engine: Engine,
    reads: Reads,
    now: datetime,
    new_code: Callable[[], str] = lambda: "",
    bookmark: Bookmark | None = None,
) -> list[Decided]:
    """The next messages to answer, decided but not yet written. `new_code` makes a code that nobody can guess."""

    def unit(connection: Connection) -> list[Found]:
        overlay = read_overlay(connection)
        # Read once for all of them: what is decided on it is looked at again when it is written.
        crowd = read_crowd(connection, now)
        return [
            find(connection, one, reads, overlay, new_code(), bookmark, crowd) for one in waiting(connection, _AT_ONCE)
        ]

    return [decide(one, reads, now, bookmark) for one in read(engine, unit)]


def write_one(
    connection: Connection, decided: Decided, reads: Reads, pen: Pen, now: datetime, bookmark: Bookmark | None = None
) -> bool:
    """Apply a decision. Where the places it was made on have changed meanwhile, it is made again, on what holds in this transaction."""
    applied = apply(connection, decided, pen, now)
    if applied == "stale":
        one = Waiting(decided.inbox_id, decided.message)
        crowd = read_crowd(connection, now)
        found = find(connection, one, reads, read_overlay(connection), decided.code, bookmark, crowd)
        again = decide(found, reads, now, bookmark)
        applied = apply(connection, again, pen, now)
    return applied == "written"


def write_all(connection: Connection, decided: Sequence[Decided], reads: Reads, pen: Pen, now: datetime) -> int:
    """Apply decisions; how many were ours to apply."""
    return sum(write_one(connection, one, reads, pen, now) for one in decided)


class Answering:
    """The loop. Reading and deciding run beside the event loop, writing goes through the store's one writer."""

    def __init__(
        self,
        engine: Engine,
        store: Store,
        reads: Callable[[], Reads],
        pen: Callable[[], Pen],
        clock: Clock,
        beside: Executor | None,
        wake_sending: Callable[[], None],
        new_code: Callable[[], str] = lambda: "",
        bookmark: Bookmark | None = None,
    ) -> None:
        self._engine, self._store, self._reads, self._pen = engine, store, reads, pen
        self._new_code, self._bookmark = new_code, bookmark
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
        now, reads, pen = self._clock(), self._reads(), self._pen()
        deciding = partial(decide_some, self._engine, reads, now, self._new_code, self._bookmark)
        if self._beside is None:
            decided = deciding()
        else:
            decided = await asyncio.get_running_loop().run_in_executor(self._beside, deciding)
        if not decided:
            return 0
        # Each is a unit of its own: they share the commit, and one that cannot be written holds up no other.
        units = [
            partial(write_one, decided=one, reads=reads, pen=pen, now=now, bookmark=self._bookmark) for one in decided
        ]
        written = await asyncio.gather(*(self._store.write(unit) for unit in units), return_exceptions=True)
        for result in written:
            if isinstance(result, DatabaseFault):
                raise result
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
