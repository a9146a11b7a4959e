"""What came in: put down once, whatever is sent again, and taken out in order."""

import asyncio
from collections.abc import AsyncIterator
from datetime import timedelta
from pathlib import Path

import pytest
from sqlalchemy import Engine

from clubbot.model.messages import DeliveryReport, Incoming
from clubbot.store.inbox import mark_answered, note_report, put_down, still_waiting, waiting
from clubbot.store.outbox import mark_again, mark_ended, mark_sent
from clubbot.store.store import Store
from clubbot.store.tables import inbox, outbox
from tests.builders import KIM, a_text
from tests.conftest import NOON
from tests.store.builders import LEE, SAM, a_database, kept, rows, the_row, to_go


@pytest.fixture(params=["thread", "loop"])
async def store(request: pytest.FixtureRequest, engine: Engine) -> AsyncIterator[Store]:
    store = Store(engine, own_thread=request.param == "thread")
    yield store
    await store.close()


def put(engine: Engine, message: Incoming) -> bool:
    with engine.begin() as connection:
        return put_down(connection, message)


def next_texts(engine: Engine, most: int = 100) -> list[str]:
    with engine.connect() as connection:
        return [one.message.text for one in waiting(connection, most)]


# Once


def test_a_text_is_kept_as_it_came(engine: Engine) -> None:
    message = a_text("Is it open?\n", sender=KIM, id="text-1", delivery="delivery-1")
    put(engine, message)
    with engine.connect() as connection:
        (found,) = waiting(connection, 1)

    assert message == found.message
    assert the_row(engine, inbox)["state"] == "waiting"


@pytest.mark.parametrize(
    ("again", "is_new"),
    [
        (a_text(id="text-1", delivery="delivery-1"), False),
        (a_text(id="text-1", delivery="delivery-2"), False),
        (a_text(id="text-2", delivery="delivery-1"), False),
        (a_text("other words", sender=LEE, id="text-1", delivery="delivery-2"), False),
        (a_text(id="text-2", delivery="delivery-2"), True),
    ],
    ids=["all the same", "the same message", "the same delivery", "the same message with other words", "another"],
)
def test_the_same_message_or_the_same_delivery_is_kept_once(engine: Engine, again: Incoming, is_new: bool) -> None:
    assert put(engine, a_text(id="text-1", delivery="delivery-1"))

    assert is_new == put(engine, again)
    assert 1 + is_new == len(rows(engine, inbox))
    assert rows(engine, inbox)[0]["text"] == "is it open"


def test_the_same_id_of_another_channel_is_another_message(engine: Engine) -> None:
    message = a_text(id="text-1")
    other = Incoming(**{name: getattr(message, name) for name in Incoming.__dataclass_fields__} | {"channel": "modem"})

    assert put(engine, message)
    assert put(engine, other)


async def test_fifty_puts_of_one_message_at_the_same_instant_keep_one(store: Store, engine: Engine) -> None:
    message = a_text()
    told = await asyncio.gather(*(store.write(lambda it: put_down(it, message)) for _ in range(50)))

    assert sum(told) == 1
    assert len(rows(engine, inbox)) == 1


async def test_two_writers_on_one_file_keep_one(engine: Engine, file: Path) -> None:
    other_engine = a_database(file)
    stores = [Store(engine, own_thread=True), Store(other_engine, own_thread=True)]
    message = a_text()
    told = await asyncio.gather(*(store.write(lambda it: put_down(it, message)) for store in stores * 25))
    for store in stores:
        await store.close()
    other_engine.dispose()

    assert sum(told) == 1


def test_after_a_restart_on_the_same_file_it_is_still_known(engine: Engine, file: Path) -> None:
    put(engine, a_text(id="text-1"))
    engine.dispose()
    again = a_database(file)

    assert not put(again, a_text(id="text-1"))
    assert not put(again, a_text(id="text-2", delivery="delivery of text-1"))
    again.dispose()


def test_a_message_that_was_answered_is_not_answered_again_when_it_comes_again(engine: Engine) -> None:
    put(engine, a_text())
    with engine.begin() as connection:
        mark_answered(connection, 1, "answered", (), NOON)

    assert not put(engine, a_text())
    assert next_texts(engine) == []


# Order


def test_the_oldest_of_each_sender_comes_oldest_first(engine: Engine) -> None:
    for number, (sender, text) in enumerate(
        [(LEE, "lee 1"), (KIM, "kim 1"), (LEE, "lee 2"), (KIM, "kim 2"), (SAM, "sam 1")]
    ):
        put(engine, a_text(text, sender=sender, id=f"text-{number}"))

    assert next_texts(engine) == ["lee 1", "kim 1", "sam 1"]
    assert next_texts(engine, most=2) == ["lee 1", "kim 1"]


def test_the_next_of_a_sender_comes_once_the_one_before_is_answered(engine: Engine) -> None:
    for number in (1, 2):
        put(engine, a_text(f"kim {number}", id=f"text-{number}"))
    with engine.begin() as connection:
        mark_answered(connection, 1, "answered", (), NOON)

    assert next_texts(engine) == ["kim 2"]


def test_they_are_answered_in_the_order_of_taking_and_not_of_their_clocks(engine: Engine) -> None:
    put(engine, a_text("first", id="text-1", at=NOON))
    put(engine, a_text("second", id="text-2", at=NOON - timedelta(hours=1)))

    assert next_texts(engine) == ["first"]


def test_answered_means_when_with_what_outcome_and_what_was_served(engine: Engine) -> None:
    with engine.begin() as connection:
        inbox_id = kept(connection, a_text())
        assert still_waiting(connection, inbox_id)
        mark_answered(connection, inbox_id, "answered", ("status", "dogs"), NOON)
        assert not still_waiting(connection, inbox_id)
    row = the_row(engine, inbox)

    assert (
        row["state"],
        row["answered_at"],
        row["outcome"],
        row["served"],
    ) == ("answered", NOON, "answered", "status dogs")


def test_a_message_that_is_not_there_does_not_wait(engine: Engine) -> None:
    with engine.connect() as connection:
        assert not still_waiting(connection, 7)


# Reports on what we sent


def report(engine: Engine, outcome: str, *, about: str, reason: str = "") -> None:
    told = DeliveryReport(outbox_id=about, outcome="delivered" if outcome == "delivered" else "failed", reason=reason)
    with engine.begin() as connection:
        note_report(connection, told)


def test_a_report_says_what_became_of_a_text(engine: Engine) -> None:
    for text in ("one", "two", "three"):
        sent_id = to_go(engine, text)
        with engine.begin() as connection:
            mark_sent(connection, sent_id, NOON)
    report(engine, "delivered", about="msg of one")
    report(engine, "failed", about="msg of two", reason="phone is off")

    assert [(row["state"], row["reason"]) for row in rows(engine, outbox)] == [
        ("delivered", None),
        ("failed", "phone is off"),
        ("sent", None),
    ]


def test_a_report_on_a_text_that_is_not_ours_changes_nothing(engine: Engine) -> None:
    to_go(engine, "one")
    before = rows(engine, outbox)
    report(engine, "failed", about="msg of somebody else")

    assert before == rows(engine, outbox)


def test_what_was_delivered_stays_delivered(engine: Engine) -> None:
    sent_id = to_go(engine, "one")
    report(engine, "delivered", about=sent_id)
    report(engine, "failed", about=sent_id, reason="late")

    assert (the_row(engine, outbox)["state"], the_row(engine, outbox)["reason"]) == ("delivered", None)


def test_a_report_that_is_quicker_than_our_own_note_of_sending_stays(engine: Engine) -> None:
    sent_id = to_go(engine, "one")
    report(engine, "delivered", about=sent_id)
    with engine.begin() as connection:
        mark_sent(connection, sent_id, NOON)

    assert the_row(engine, outbox)["state"] == "delivered"


def test_a_text_reported_delivered_is_neither_tried_again_nor_given_up(engine: Engine) -> None:
    """The gateway took it, its answer was lost on the way, and the report came all the same."""
    sent_id = to_go(engine, "one")
    report(engine, "delivered", about=sent_id)
    with engine.begin() as connection:
        mark_again(connection, sent_id, NOON, "no answer", counts=True)
    assert (the_row(engine, outbox)["state"], the_row(engine, outbox)["reason"]) == ("delivered", None)

    with engine.begin() as connection:
        mark_ended(connection, sent_id, "given up", "no answer")
    assert (the_row(engine, outbox)["state"], the_row(engine, outbox)["reason"]) == ("delivered", None)
