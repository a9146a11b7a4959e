"""Cries for help, one or a hundred: the first of each phone at once, the rest counted, none lost."""

from datetime import timedelta

import pytest
from sqlalchemy import func, select

from clubbot.conversation.held import Held, alarms_note
from clubbot.conversation.phrasing import Voice
from clubbot.handbook.book import Handbook
from clubbot.store.tables import questions
from clubbot.texting.parts import as_sent, count
from tests.conversation.test_crowds import CRY, FEMI, HELPERS, KIM, LEE, MINUTE, SECOND, Club, club, forged
from tests.store.builders import JONAS

__all__ = ["club"]


def test_the_first_cry_alarms_at_once_and_further_ones_are_counted(club: Club) -> None:
    club.text(KIM, CRY)
    assert len(club.to(JONAS, "URGENT")) == 1
    for words in ("he is bleeding a lot", "help he collapsed", "he is unconscious"):
        assert "call 911" in club.text(KIM, words, after=20 * SECOND)[0]
    assert len(club.to(JONAS)) == 1

    club.wait(2 * MINUTE)
    assert club.to(JONAS)[1:] == ['3 more texts about Q1, the last: "he is unconscious"']
    assert club.ask(select(func.count()).select_from(questions)) == [(1,)]


def test_a_cry_more_than_two_minutes_after_the_last_note_is_told_at_once(club: Club) -> None:
    club.text(KIM, CRY)
    club.text(KIM, "he is bleeding a lot", after=3 * MINUTE)

    assert club.to(JONAS)[1:] == ['1 more text about Q1: "he is bleeding a lot"']


def test_one_phone_that_cries_without_end_makes_a_text_every_two_minutes_and_gets_five_replies(club: Club) -> None:
    for place in range(60):
        club.text(KIM, f"he is not breathing {place}", after=10 * SECOND)
    club.wait(2 * MINUTE)

    assert len(club.to(JONAS)) == 6  # at once, then in ten minutes one in two
    assert len(club.to(KIM, "call 911")) == 5
    assert sum(int(one.split()[0]) for one in club.to(JONAS)[1:]) == 59  # nothing is lost


def test_another_phones_cry_does_not_wait_for_a_flood(club: Club) -> None:
    for place in range(30):
        club.text(KIM, f"he is not breathing {place}")
    club.text(LEE, "she fell from the tower")

    assert len(club.to(JONAS, "she fell from the tower")) == 1


def test_a_cry_passes_any_flood_of_the_same_phone(club: Club) -> None:
    for place in range(40):
        club.text(KIM, f"is hole {place} open")
    club.text(KIM, CRY)

    assert len(club.to(JONAS, CRY)) == 1


def test_after_it_was_settled_a_cry_alarms_anew(club: Club) -> None:
    club.text(KIM, CRY)
    club.text(JONAS, "Q1 I am coming.")
    club.text(KIM, "he is bleeding a lot")

    assert len(club.to(JONAS, "URGENT")) == 2


def test_what_was_held_back_is_told_though_it_was_settled_meanwhile(club: Club) -> None:
    club.text(KIM, CRY)
    club.text(KIM, "now she is not breathing either", after=10 * SECOND)
    club.text(JONAS, "Q1 I am coming.", after=10 * SECOND)
    club.wait(2 * MINUTE)

    assert len(club.to(JONAS, "not breathing either")) == 1


def test_where_they_are_is_told_at_once_twice_and_then_counted(club: Club) -> None:
    club.text(KIM, CRY)
    for words in ("we're near hole 3", "by the pond there", "we're near hole 4", "we're near hole 5"):
        club.text(KIM, words)
    assert len(club.to(JONAS)) == 3

    club.wait(2 * MINUTE)
    assert len(club.to(JONAS, "2 more texts about Q1")) == 1


def test_a_hundred_phones_that_cry_make_a_few_texts_with_counts_and_all_are_listed(club: Club) -> None:
    """Before: 100 to Jonas at once, 100 to the next after half an hour, and so on."""
    said = club.crowd(CRY)
    for _ in range(24):
        club.wait(10 * MINUTE)

    assert all("call 911" in one for one in said)
    assert len(club.to(JONAS, "URGENT, somebody may be hurt")) == 5
    assert len(club.to(JONAS)) <= 8
    assert {number: len(club.to(number)) < 20 for number in HELPERS} == dict.fromkeys(HELPERS, True)
    assert club.ask(select(func.count()).select_from(questions).where(questions.c.reason == "danger")) == [(100,)]
    assert club.ask(select(func.sum(questions.c.held))) == [(0,)]
    assert "95 more: text LIST 2." in club.text(FEMI, "LIST")[0]


def test_decided_at_once_no_more_are_told_singly_than_may(club: Club) -> None:
    """All hundred wait when the answering looks, so that each is decided before any is written."""
    from clubbot.mailroom.answering import decide_some, write_all
    from clubbot.store.inbox import put_down
    from tests.builders import a_text

    engine, book = club.rehearsal.engine, club.rehearsal.handbook
    with engine.begin() as connection:
        for place in range(30):
            put_down(connection, a_text(CRY, sender=forged(place), id=f"cry {place}", at=club.now))
    decided = decide_some(engine, book, club.now)
    with engine.begin() as connection:
        write_all(connection, decided, book, club.rehearsal._pen, club.now)
    club.heard += club.rehearsal.send(club.now)

    assert len(decided) == 30
    assert len(club.to(JONAS, "URGENT, somebody may be hurt")) == 5


@pytest.mark.parametrize("language", ["en", "fr"])
def test_a_note_of_many_alarms_is_three_parts_at_most(handbook: Handbook, language: str) -> None:
    words = "somebody was hit by a disc on the head and does not answer us any more, near the old fence by hole 12"
    held = [Held(number=100 + n, texts=9, last=words, first=n < 12) for n in range(24)]
    note = alarms_note(held, Voice(handbook.knowledge, "fr" if language == "fr" else "en"))

    assert count(as_sent(note, shorten_letters=True)) <= 5
    assert timedelta(0) < MINUTE
