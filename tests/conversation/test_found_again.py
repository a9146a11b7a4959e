"""A lost disc that its owner has back is looked for no more; where a found one goes, and whom to call when one cannot get away."""

from datetime import timedelta

import pytest

from clubbot.handbook.book import Handbook
from clubbot.rehearsal import Rehearsal
from tests.builders import KIM
from tests.conftest import NOON

JONAS = "+19025550103"


def _said(club: Rehearsal, text: str, sender: str = KIM, hours: float = 0) -> str:
    heard = club.text(sender, text, NOON + timedelta(hours=hours))
    return " ".join(one.text for one in heard if one.recipient == sender)


@pytest.mark.parametrize(
    "text",
    [
        "found it in my bag lol",
        "nvm found it",
        "I found my disc, it was in my bag",
        "someone gave it back to me",
        "it's no longer lost",
        "je l'ai retrouvé dans mon sac",
        "mon disque était dans mon sac",
    ],
)
def test_the_report_is_closed_and_whoever_has_it_hears(handbook: Handbook, text: str) -> None:
    club = Rehearsal(handbook)
    _said(club, "lost my red buzzz on hole 3")
    heard = club.text(KIM, text, NOON + timedelta(minutes=20))

    assert "D1" in next(one.text for one in heard if one.recipient == KIM)
    assert "back with its owner" in next(one.text for one in heard if one.recipient == JONAS)
    assert _said(club, "reports", JONAS, 1) == "No open reports."
    assert _said(club, "list", JONAS, 1) == "No questions are waiting."


def test_of_two_it_is_the_one_that_looks_so(handbook: Handbook) -> None:
    club = Rehearsal(handbook)
    for text in ("lost my red buzzz on hole 3", "lost a blue roc on hole 9"):
        _said(club, text)
    assert "D1" in _said(club, "found my red disc")


@pytest.mark.parametrize("text", ["did anyone find it", "found a disc on hole 3", "i never found it"])
def test_a_question_or_another_disc_closes_nothing(handbook: Handbook, text: str) -> None:
    club = Rehearsal(handbook)
    _said(club, "lost my red buzzz on hole 3")
    assert "off the list" not in _said(club, text)


@pytest.mark.parametrize("text", ["where do i leave it", "what should i do with it", "where can i drop it off?"])
def test_where_a_found_disc_goes_is_in_the_facts(handbook: Handbook, text: str) -> None:
    club = Rehearsal(handbook)
    _said(club, "found a red disc on hole 3")
    where = handbook.knowledge.facts["en"]["lost_and_found.leave"]
    assert where in _said(club, text)


@pytest.mark.parametrize(
    "text",
    [
        "we're locked in behind the gate",
        "my car is blocked in by another car",
        "lost my car keys on hole 5",
        "locked my keys in the car",
        "mon char est bloqué par un camion",
        "j'ai perdu mes clés",
    ],
)
def test_whom_to_call_comes_from_the_facts_and_a_person_is_told_at_once(handbook: Handbook, text: str) -> None:
    for hours in (0, 11):  # at night too
        club = Rehearsal(handbook)
        heard = club.text(KIM, text, NOON + timedelta(hours=hours))
        said = next(one.text for one in heard if one.recipient == KIM)
        assert "902 555 0190" in said
        assert any(one.recipient != KIM for one in heard)


def test_a_round_that_ends_after_the_gate_is_locked_is_told_so(handbook: Handbook) -> None:
    club = Rehearsal(handbook)
    assert "21:00" in _said(club, "can we play 18 at 7:30 tonight", hours=5)
    assert "21:00" not in _said(club, "can we play 18 at 3 today", "+19025550143")
