"""Answers the oldest waiting text of each sender; a fault costs one text its quick answer and nobody else anything."""

import asyncio
import logging
import re
from collections.abc import AsyncIterator, Callable
from concurrent.futures import ThreadPoolExecutor
from contextlib import asynccontextmanager
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path
from typing import TypeVar

import pytest
from sqlalchemy import Connection, Engine, event

from clubbot.handbook.book import Handbook
from clubbot.mailroom.answering import Answering, decide_some, find, write_all
from clubbot.model.club import Overlay
from clubbot.model.dialogue import DialogueState
from clubbot.model.messages import Language
from clubbot.store.club import anything_changed, read_people_changed
from clubbot.store.days import read_added, read_changes
from clubbot.store.inbox import Waiting, put_down
from clubbot.store.store import Store, read
from clubbot.store.tables import inbox, outbox, questions
from clubbot.understanding.once import NOTHING_SAID, Reading
from clubbot.understanding.reading import Reader
from tests.builders import KIM, a_text
from tests.conftest import NOON
from tests.fakes import DEADLINE, HandClock, until
from tests.store.builders import JONAS, LEE, PRIYA, SAM, a_database, a_pen, rows, the_row

T = TypeVar("T")


@dataclass
class Bell:
    """Counts how often sending was woken."""

    rung: int = 0

    def ring(self) -> None:
        self.rung += 1


@pytest.fixture
def bell() -> Bell:
    return Bell()


@pytest.fixture
async def store(engine: Engine) -> AsyncIterator[Store]:
    store = Store(engine, own_thread=False)
    yield store
    await store.close()


@pytest.fixture
def answering(engine: Engine, store: Store, handbook: Handbook, bell: Bell) -> Answering:
    return an_answering(engine, store, handbook, bell)


def an_answering(engine: Engine, store: Store, handbook: Handbook, bell: Bell) -> Answering:
    pen = a_pen()
    return Answering(engine, store, lambda: handbook, lambda: pen, HandClock(), None, bell.ring)


def came(engine: Engine, text: str = "is it open", *, sender: str = KIM) -> None:
    """A text came in and waits."""
    with engine.begin() as connection:
        count = connection.exec_driver_sql("SELECT count(*) FROM inbox").scalar()
        assert put_down(connection, a_text(text, sender=sender, id=f"text-{count}"))


def recipients(engine: Engine) -> list[str]:
    return [row["recipient"] for row in rows(engine, outbox)]


def states(engine: Engine) -> list[str]:
    return [row["state"] for row in rows(engine, inbox)]


# What is answered


async def test_a_waiting_text_is_answered_and_sending_is_woken(
    answering: Answering, engine: Engine, bell: Bell
) -> None:
    came(engine, "can i bring my dog")
    assert await answering.answer_some() == 1

    assert "lead" in the_row(engine, outbox)["text"]
    assert (the_row(engine, inbox)["state"], the_row(engine, inbox)["served"]) == ("answered", "dogs")
    assert bell.rung == 1


async def test_with_nothing_waiting_nobody_is_woken(answering: Answering, bell: Bell) -> None:
    assert await answering.answer_some() == 0
    assert bell.rung == 0


async def test_texts_of_one_sender_are_answered_in_the_order_they_came(answering: Answering, engine: Engine) -> None:
    for text in ("my name is Bjorn", "can i bring my dog", "stop"):
        came(engine, text)
    answered = [await answering.answer_some() for _ in range(4)]

    assert answered == [1, 1, 1, 0]
    assert [row["served"] for row in rows(engine, inbox)] == ["name", "dogs", "stop"]
    assert [row["key"][:7] for row in rows(engine, outbox)] == ["reply:1", "reply:2", "reply:3"]


async def test_what_one_text_changed_is_known_when_the_next_is_answered(answering: Answering, engine: Engine) -> None:
    for text in ("stop", "is it open"):
        came(engine, text)
    while await answering.answer_some():
        pass

    assert [row["outcome"] for row in rows(engine, inbox)] == ["opted out", "opted out"]
    assert len(rows(engine, outbox)) == 1


async def test_of_a_crowd_a_handful_is_answered_at_a_time_and_everybody_in_the_end(
    answering: Answering, engine: Engine
) -> None:
    for number in range(40):
        came(engine, sender=f"+190255501{number + 10}")
    first = await answering.answer_some()
    while await answering.answer_some():
        pass

    assert 1 < first < 40
    assert set(states(engine)) == {"answered"}
    assert len(rows(engine, outbox)) == 40


async def test_a_text_is_answered_once_however_many_decide_about_it(
    engine: Engine, file: Path, handbook: Handbook
) -> None:
    other = a_database(file)
    came(engine)
    decisions = [decide_some(one, handbook, NOON) for one in (engine, other)]
    written = []
    for one, decided in zip((engine, other), decisions, strict=True):
        with one.begin() as connection:
            written.append(write_all(connection, decided, handbook, a_pen(), NOON))
    other.dispose()

    assert written == [1, 0]
    assert len(rows(engine, outbox)) == 1


async def test_reading_and_deciding_can_run_beside_the_loop(
    engine: Engine, store: Store, handbook: Handbook, bell: Bell
) -> None:
    came(engine)
    with ThreadPoolExecutor(1) as beside:
        answering = Answering(engine, store, lambda: handbook, a_pen, HandClock(), beside, bell.ring)
        assert await answering.answer_some() == 1

    assert states(engine) == ["answered"]


async def test_each_handful_is_answered_by_the_handbook_of_its_time(
    engine: Engine, store: Store, handbook: Handbook, bell: Bell
) -> None:
    answers = {topic: answer for topic, answer in handbook.knowledge.answers.items() if topic != "dogs"}
    thinner = Handbook(replace(handbook.knowledge, answers=answers), handbook.reader)
    books, pen = iter([handbook, thinner]), a_pen()
    answering = Answering(engine, store, lambda: next(books), lambda: pen, HandClock(), None, bell.ring)
    for sender in (KIM, LEE):
        came(engine, "can i bring my dog", sender=sender)
        assert await answering.answer_some() == 1

    assert [row["outcome"] for row in rows(engine, inbox)] == ["answered", "passed on"]


@pytest.mark.parametrize(
    ("sender", "textable", "volunteer"),
    [(KIM, True, False), (PRIYA, True, True), ("+19025550100", False, False), ("BANK", False, False)],
    ids=["a newcomer", "a volunteer", "our own number", "a word for a number"],
)
def test_whether_a_sender_can_be_texted_and_is_a_volunteer_comes_from_the_handbook(
    engine: Engine, handbook: Handbook, sender: str, textable: bool, volunteer: bool
) -> None:
    came(engine, "i want a refund, your volunteer was rude to my husband", sender=LEE)
    waiting = decide_some(engine, handbook, NOON)
    with engine.begin() as connection:
        write_all(connection, waiting, handbook, a_pen(), NOON)
        another = Waiting(2, a_text(sender=sender, id="another"))
        known = find(connection, another, handbook, Overlay()).known

    assert (known.sender.textable, bool(known.questions)) == (textable, volunteer)


# Faults


class BlindReader(Reader):
    """Cannot read one sort of text."""

    def read(self, text: str, now: datetime, fallback: Language, dialogue: DialogueState = NOTHING_SAID) -> Reading:
        if "dog" in text:
            raise ZeroDivisionError("no words at all")
        return super().read(text, now, fallback, dialogue)


def a_blind_handbook(handbook: Handbook) -> Handbook:
    reader = BlindReader.__new__(BlindReader)
    reader.__dict__.update(handbook.reader.__dict__)
    return Handbook(handbook.knowledge, reader)


async def test_a_text_that_we_fail_to_read_goes_to_a_person_and_the_sender_is_told(
    engine: Engine, store: Store, handbook: Handbook, bell: Bell, caplog: pytest.LogCaptureFixture
) -> None:
    came(engine, "can i bring my dog", sender=KIM)
    came(engine, "is it open", sender=LEE)
    await an_answering(engine, store, a_blind_handbook(handbook), bell).answer_some()
    texts = {row["recipient"]: row["text"] for row in rows(engine, outbox)}

    assert [row["outcome"] for row in rows(engine, inbox)] == ["fault", "answered"]
    assert set(texts) == {KIM, LEE, JONAS}
    assert "Jonas" in texts[KIM]
    assert "can i bring my dog" in texts[JONAS]
    assert the_row(engine, questions)["reason"] == "fault"
    assert "a person is asked" in caplog.text
    assert KIM[-7:] not in caplog.text


def no_text_may_go_to(engine: Engine, recipient: str) -> None:
    """A text that cannot be written down, time and again."""
    with engine.begin() as connection:
        connection.exec_driver_sql(
            f"CREATE TRIGGER refuses BEFORE INSERT ON outbox WHEN new.recipient = '{recipient}' "
            "BEGIN SELECT RAISE(ABORT, 'the page is torn'); END"
        )


async def test_a_text_that_cannot_be_written_down_waits_and_holds_up_nobody_else(
    answering: Answering, engine: Engine, caplog: pytest.LogCaptureFixture
) -> None:
    caplog.set_level(logging.DEBUG)
    no_text_may_go_to(engine, LEE)
    for sender in (KIM, LEE, SAM):
        came(engine, sender=sender)
    assert await answering.answer_some() == 2
    assert await answering.answer_some() == 0

    assert states(engine) == ["answered", "waiting", "answered"]
    assert recipients(engine) == [KIM, SAM]
    assert "message 2 from …43 could not be written down" in caplog.text
    assert "the page is torn" in caplog.text
    assert LEE[-7:] not in caplog.text


async def test_once_it_can_be_written_down_it_is_answered(answering: Answering, engine: Engine) -> None:
    no_text_may_go_to(engine, LEE)
    came(engine, sender=LEE)
    await answering.answer_some()
    with engine.begin() as connection:
        connection.exec_driver_sql("DROP TRIGGER refuses")

    assert await answering.answer_some() == 1
    assert recipients(engine) == [LEE]


# The loop


@asynccontextmanager
async def running(answering: Answering) -> AsyncIterator[None]:
    loop = asyncio.create_task(answering.run())
    try:
        yield
    finally:
        loop.cancel()
        await asyncio.wait_for(asyncio.wait([loop]), DEADLINE)
        assert loop.cancelled()


async def test_the_loop_answers_what_waited_from_before_and_then_whenever_it_is_woken(
    answering: Answering, engine: Engine
) -> None:
    came(engine, sender=KIM)
    async with running(answering):
        await until(lambda: recipients(engine) == [KIM])
        came(engine, sender=LEE)
        answering.wake()
        await until(lambda: recipients(engine) == [KIM, LEE])


async def test_once_woken_the_loop_goes_on_until_nobody_waits(answering: Answering, engine: Engine) -> None:
    for number in range(5):
        came(engine, f"is it open on june {number + 10}")
    async with running(answering):
        await until(lambda: states(engine) == ["answered"] * 5)


class Faltering(Store):
    """A store that cannot write the first time."""

    failed = False

    async def write(self, unit: Callable[[Connection], T]) -> T:
        if not self.failed:
            self.failed = True
            raise OSError("no space left")
        return await super().write(unit)


async def test_what_could_not_be_written_for_a_moment_is_said_and_answered_when_the_loop_is_woken_again(
    engine: Engine, handbook: Handbook, bell: Bell, caplog: pytest.LogCaptureFixture
) -> None:
    came(engine)
    answering = an_answering(engine, Faltering(engine, own_thread=False), handbook, bell)
    async with running(answering):
        await until(lambda: "no space left" in caplog.text)
        answering.wake()
        await until(lambda: states(engine) == ["answered"])


async def test_a_database_that_cannot_be_read_for_a_moment_is_waited_out(
    answering: Answering, engine: Engine, caplog: pytest.LogCaptureFixture
) -> None:
    came(engine)
    rename(engine, "people", "people_on_holiday")
    async with running(answering):
        await until(lambda: "answering stopped for a moment" in caplog.text)
        assert states(engine) == ["waiting"]
        rename(engine, "people_on_holiday", "people")
        await until(lambda: states(engine) == ["answered"])


def rename(engine: Engine, name: str, new: str) -> None:
    with engine.begin() as connection:
        connection.exec_driver_sql(f"ALTER TABLE {name} RENAME TO {new}")


def test_all_that_lies_over_the_files_is_asked_about_before_it_is_read(engine: Engine) -> None:
    """`anything_changed` spares reading it all: a table that it does not ask about would be taken for empty."""

    def looked_at(unit: Callable[[Connection], object]) -> set[str]:
        said: list[str] = []
        event.listen(engine, "before_cursor_execute", lambda *statement: said.append(statement[2]))
        read(engine, unit)
        return {name for one in said for name in re.findall(r"FROM (\w+)", one)}

    asked = looked_at(anything_changed)
    over = looked_at(
        lambda connection: (read_people_changed(connection), read_changes(connection), read_added(connection))
    )

    assert asked == over
    assert len(over) > 7
