"""The phones of the club's own people by text: suspended on a code, given back by the organiser alone, a new number live at once."""

import pytest

from clubbot.handbook.book import Handbook
from tests.conftest import NOON
from tests.conversation.test_orders_and_codes import CALLUM, FEMI, MINUTE, ODILE, Club, code_in, to
from tests.store.builders import JONAS, PRIYA

NEW = "+19025550176"


@pytest.fixture
def club(handbook: Handbook) -> Club:
    return Club(handbook)


def test_nothing_but_holding_play_is_taken_from_a_phone_that_was_suspended(club: Club) -> None:
    club.obeyed(PRIYA, "suspend callum's phone")

    assert "takes" not in to(CALLUM, club.text(CALLUM, "tell everyone: free discs", NOON + MINUTE))
    assert "Only the organiser" in to(CALLUM, club.text(CALLUM, "not me", NOON + MINUTE))
    assert "held" in to(CALLUM, club.text(CALLUM, "thunder", NOON + MINUTE))


@pytest.mark.parametrize("who", [PRIYA, CALLUM, FEMI])
def test_only_the_organiser_gives_it_back(club: Club, who: str) -> None:
    club.obeyed(PRIYA, "suspend callum's phone")
    refused = to(who, club.text(who, "restore callum's phone", NOON + MINUTE))
    given = club.obeyed(ODILE, "restore callum's phone", NOON + 2 * MINUTE)

    assert "rganiser" in refused
    assert "may do again" in to(ODILE, given)


def test_the_organisers_own_phone_is_given_back_by_somebody_else_than_who_suspended_it(club: Club) -> None:
    club.obeyed(PRIYA, "suspend odile's phone")

    assert "NOT done" in to(PRIYA, club.text(PRIYA, "restore odile's phone", NOON + MINUTE))
    assert "Seul" in to(ODILE, club.text(ODILE, "débloque odile", NOON + MINUTE)) or "Only" in to(
        ODILE, club.text(ODILE, "restore odile's phone", NOON + MINUTE)
    )
    assert "may do again" in to(FEMI, club.obeyed(FEMI, "restore odile's phone", NOON + 2 * MINUTE))


def test_a_code_that_not_me_showed_brings_back_no_phone_that_somebody_suspended(club: Club) -> None:
    code = code_in(to(CALLUM, club.text(CALLUM, "not me")))
    club.obeyed(PRIYA, "suspend callum's phone", NOON + MINUTE)

    assert "Only the organiser" in to(CALLUM, club.text(CALLUM, f"yes {code}", NOON + 2 * MINUTE))


def test_a_new_number_is_live_with_the_next_text_and_the_old_one_is_a_strangers(club: Club) -> None:
    club.obeyed(ODILE, "priya's new number is 902 555 0176")

    assert "Call off Dusk League" in to(NEW, club.text(NEW, "call off league wednesday, wind", NOON + MINUTE))
    assert "YES" not in to(PRIYA, club.text(PRIYA, "call off league wednesday, wind", NOON + MINUTE))


def test_a_number_that_somebody_of_the_club_has_is_refused(club: Club) -> None:
    said = to(ODILE, club.rehearsal.text(ODILE, f"femi's new number is {JONAS}", NOON))

    assert "already" in said


def test_somebody_who_joins_may_answer_and_hold_but_not_close(club: Club) -> None:
    club.obeyed(ODILE, "add Remy as a helper, 902 555 0176")
    club.text(NEW, "yes")

    assert "isn't among" in to(NEW, club.text(NEW, "close hole 7, ice", NOON + MINUTE))
    assert "held" in to(NEW, club.text(NEW, "thunder", NOON + MINUTE))
