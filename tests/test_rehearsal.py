"""A club in memory that is texted without a phone: every step of the service, at the hour that is handed in."""

from datetime import timedelta

import pytest
from sqlalchemy import select

from clubbot.handbook.book import Handbook
from clubbot.model.club import Closure
from clubbot.model.messages import Said
from clubbot.rehearsal import Rehearsal
from clubbot.store.tables import consents, inbox, outbox
from clubbot.texting.parts import count
from tests.builders import KIM
from tests.conftest import NOON
from tests.store.builders import JONAS, LEE

MINUTE = timedelta(minutes=1)
REFUND = "i want a refund, your volunteer was rude to my husband"


@pytest.fixture
def club(handbook: Handbook) -> Rehearsal:
    return Rehearsal(handbook)


def test_a_text_is_answered_at_once_to_whoever_sent_it(club: Rehearsal) -> None:
    (heard,) = club.text(KIM, "can i bring my dog", NOON)

    assert heard.recipient == KIM
    assert "on a lead" in heard.text
    assert heard.parts == count(heard.text)


def test_what_is_passed_on_is_heard_by_both(club: Rehearsal) -> None:
    heard = club.text(KIM, REFUND, NOON)

    assert [one.recipient for one in heard] == [KIM, JONAS]
    assert "refund" in heard[1].text


def test_a_volunteers_answer_reaches_the_asker(club: Rehearsal) -> None:
    club.text(KIM, REFUND, NOON)
    heard = club.text(JONAS, "Q1 I am sorry", NOON + MINUTE)

    assert "Jonas from Tern Harbour DGC: I am sorry" in [one.text for one in heard if one.recipient == KIM]


def test_what_was_said_before_is_known(club: Rehearsal) -> None:
    first, second = (club.text(KIM, "can i bring my dog", NOON + place * MINUTE)[0].text for place in (0, 1))

    assert ["STOP ends texts" in text for text in (first, second)] == [True, False]


def test_who_opted_out_hears_the_confirmation_and_then_nothing(club: Rehearsal) -> None:
    heard = [len(club.text(KIM, text, NOON)) for text in ("stop", "stop", "is it open")]

    assert heard == [1, 0, 0]


def test_the_hour_handed_in_is_the_hour_of_the_answer(club: Rehearsal) -> None:
    late = NOON.replace(hour=23)

    assert "Tue 8 June" in club.text(KIM, REFUND, late)[0].text


def test_a_part_that_was_closed_is_told(club: Rehearsal) -> None:
    assert "flooded" not in club.text(KIM, "is it open", NOON)[0].text
    club.close_part(
        Closure(
            what="marsh",
            since=NOON,
            until=NOON + timedelta(hours=5),
            reason=Said(en="it is flooded", fr="elle est inondée"),
        )
    )

    assert "flooded" in club.text(LEE, "is it open", NOON + MINUTE)[0].text


def test_everything_is_kept_as_the_service_keeps_it(club: Rehearsal) -> None:
    club.text(KIM, "stop", NOON)
    with club.engine.connect() as connection:
        states = [connection.execute(select(table.c.state)).scalars().all() for table in (inbox, outbox)]
        proofs = connection.execute(select(consents.c.what).order_by(consents.c.id)).scalars().all()

    assert states == [["answered"], ["sent"]]
    assert proofs == ["first text", "stop"]


def test_what_was_decided_can_be_looked_at(club: Rehearsal) -> None:
    club.text(KIM, "can i bring my dog", NOON)

    assert [one.served for one in club.decided] == [("dogs",)]


def test_two_rehearsals_know_nothing_of_each_other(handbook: Handbook) -> None:
    one, other = Rehearsal(handbook), Rehearsal(handbook)
    one.text(KIM, "stop", NOON)

    assert other.text(KIM, "is it open", NOON)
