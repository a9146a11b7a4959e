"""What is known of a sender before a message is answered."""

from dataclasses import replace
from datetime import datetime, timedelta
from typing import Any

import pytest
from sqlalchemy import Engine, insert

from clubbot.model.choices import Choice, any_of
from clubbot.model.effects import (
    AnswerQuestion,
    GoQuiet,
    HandOver,
    Introduce,
    KeepLanguage,
    KeepName,
    OpenChoice,
    OptOut,
    Reply,
    Subscribe,
)
from clubbot.model.known import Known, Sender
from clubbot.store.apply import apply
from clubbot.store.known import read_known
from clubbot.store.store import read
from clubbot.store.tables import closures
from tests.builders import KIM, a_text
from tests.conftest import NOON
from tests.store.builders import JONAS, LEE, PRIYA, a_pen, decided, done, kept, to_go

MINUTE = timedelta(minutes=1)
HOUR = timedelta(hours=1)
HANDED = HandOver(reason="human", person="jonas", number=JONAS, note="a question")


def known(engine: Engine, *, textable: bool = True, volunteer: bool = False, **text: Any) -> Known:
    """What is known when a new text comes in."""
    message = a_text(**({"id": "the new text"} | text))
    with engine.begin() as connection:
        inbox_id = kept(connection, message)
    return read(engine, lambda it: read_known(it, message, inbox_id, textable=textable, volunteer=volunteer, places={}))


def a_closure(engine: Engine, what: str, *, since: datetime = NOON, **until: datetime | None) -> None:
    row = {"what": what, "since": since, "reason_en": "flooded", "reason_fr": "inondé"} | until
    with engine.begin() as connection:
        connection.execute(insert(closures).values(row))


def test_of_a_new_number_nothing_is_known(engine: Engine) -> None:
    assert Known(sender=Sender(number=KIM)) == known(engine)


@pytest.mark.parametrize("textable", [True, False])
def test_whether_a_number_can_be_texted_is_told_of_new_and_known_ones(engine: Engine, textable: bool) -> None:
    assert textable == known(engine, textable=textable, id="text-1").sender.textable
    done(engine, id="text-2")
    assert textable == known(engine, textable=textable, id="text-3").sender.textable


def test_what_was_kept_of_a_person_is_known(engine: Engine) -> None:
    done(
        engine,
        KeepLanguage(language="fr"),
        KeepName(name="Kim"),
        Introduce(),
        OptOut(words="stop"),
        GoQuiet(reason="echo"),
        Subscribe(list_id="course-news", words="news"),
        Subscribe(list_id="event-news", words="news"),
        at=NOON - HOUR,
    )

    assert (
        Sender(
            number=KIM,
            language="fr",
            name="Kim",
            introduced=True,
            opted_out=True,
            quiet_reason="echo",
            lists=frozenset({"course-news", "event-news"}),
            first_seen=NOON - HOUR,
        )
        == known(engine).sender
    )


def test_nothing_of_another_person_is_taken_for_the_senders(engine: Engine) -> None:
    asked = OpenChoice(choices=any_of(("borrow", "buy")), about="discs?", language="en", until=NOON + HOUR)
    done(engine, asked, KeepName(name="Lee"), Reply(text="open"), sender=LEE, id="text-1")
    done(engine, Subscribe(list_id="event-news", words="news"), sender=LEE, id="text-2")

    assert Known(sender=Sender(number=KIM)) == known(engine)


def test_the_question_that_we_left_open_is_known(engine: Engine) -> None:
    asked = OpenChoice(
        choices=(Choice("notify-on", list_id="course-news"), Choice("buy")),
        about="discs?",
        language="fr",
        until=NOON + HOUR,
    )
    done(engine, asked, at=NOON - HOUR)

    assert (
        OpenChoice(
            choices=(Choice("notify-on", list_id="course-news"), Choice("buy")),
            about="discs?",
            language="fr",
            until=NOON + HOUR,
        )
        == known(engine).asked
    )


# The last five minutes


def test_the_texts_of_the_last_five_minutes_are_counted_this_one_included(engine: Engine) -> None:
    for number, ago in enumerate((6 * MINUTE, 5 * MINUTE, 4 * MINUTE, MINUTE)):
        done(engine, text=f"text {number}", id=f"text-{number}", at=NOON - ago)

    assert known(engine, at=NOON).texts_lately == 3


def test_texts_that_came_after_this_one_do_not_count_yet(engine: Engine) -> None:
    message = a_text(id="first")
    with engine.begin() as connection:
        inbox_id = kept(connection, message)
        for number in range(30):
            kept(connection, a_text(id=f"text-{number}"))
    found = read(engine, lambda it: read_known(it, message, inbox_id, textable=True, volunteer=False, places={}))

    assert (found.texts_lately, found.same_in_a_row) == (1, 1)


def test_more_than_twenty_can_be_told_from_twenty(engine: Engine) -> None:
    for number in range(40):
        done(engine, text=f"text {number}", id=f"text-{number}")

    assert known(engine).texts_lately > 20


@pytest.mark.parametrize(
    ("earlier", "same"),
    [
        ((), 1),
        (("I am driving",), 2),
        (("I am driving", "i am DRIVING!", "I am driving."), 4),
        (("I am driving", "is it open"), 1),
        (("is it open", "I am driving"), 2),
    ],
)
def test_the_same_text_in_a_row_is_counted(engine: Engine, earlier: tuple[str, ...], same: int) -> None:
    for number, text in enumerate(earlier):
        done(engine, text=text, id=f"text-{number}", at=NOON - MINUTE)

    assert same == known(engine, text="I am driving").same_in_a_row


def test_what_we_said_in_the_last_half_hour_is_known_the_latest_first(engine: Engine) -> None:
    for text, ago in (("long ago", 30 * MINUTE), ("before", 20 * MINUTE), ("just now", MINUTE)):
        to_go(engine, text, at=NOON - ago)
    to_go(engine, "to another", to=LEE)

    assert known(engine).said_lately == ("just now", "before")


# Closures


def test_what_is_closed_now_or_later_is_known_and_what_is_over_is_not(engine: Engine) -> None:
    a_closure(engine, "marsh", since=NOON - HOUR, until=NOON + HOUR)
    a_closure(engine, "7", since=NOON - HOUR, until=None)
    a_closure(engine, "hill", since=NOON + HOUR, until=NOON + 2 * HOUR)
    a_closure(engine, "shore", since=NOON - HOUR, until=NOON)
    a_closure(engine, "course", since=NOON - HOUR, until=None, ended_at=NOON - MINUTE)
    found = known(engine).closures

    assert [one.what for one in found] == ["marsh", "7", "hill"]
    assert (found[0].since, found[0].until) == (NOON - HOUR, NOON + HOUR)
    assert (found[0].reason.en, found[0].reason.fr) == ("flooded", "inondé")


# Questions that wait


def test_a_volunteer_sees_the_questions_that_wait_with_their_language(engine: Engine) -> None:
    done(engine, HANDED, id="text-1")
    done(engine, HANDED, id="text-2", sender=LEE)
    done(engine, AnswerQuestion(number=1, person="priya", text="yes"), id="text-3", sender=PRIYA)

    questions = known(engine, sender=PRIYA, volunteer=True).questions
    assert {number: one.language for number, one in questions.items() if one.answered_by is None} == {2: "en"}


def test_nobody_else_sees_them(engine: Engine) -> None:
    done(engine, HANDED)

    assert known(engine, volunteer=False).questions == {}


def test_the_language_of_a_question_is_that_of_its_answer(engine: Engine) -> None:
    message = a_text("bonjour", sender=LEE, id="text-1")
    with engine.begin() as connection:
        decision = replace(decided(kept(connection, message), message, HANDED), language="fr")
        apply(connection, decision, a_pen(), NOON)

    questions = known(engine, sender=PRIYA, volunteer=True).questions
    assert {number: one.language for number, one in questions.items()} == {1: "fr"}
