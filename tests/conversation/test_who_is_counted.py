"""Whom a text to many is counted for and whom it reaches, after the club's people were changed by text."""

import pytest

from clubbot.handbook.book import Handbook
from clubbot.store.tables import outbox
from tests.conftest import NOON
from tests.conversation.test_orders_and_codes import CALLUM, HELEN, MINUTE, ODILE, Club, code_in, to

SAM = "+19025550176"
RAKES = "tell the helpers: bring rakes"


@pytest.fixture
def club(handbook: Handbook) -> Club:
    return Club(handbook)


def reached(club: Club) -> set[object]:
    return {row["recipient"] for row in club.rows(outbox) if row["broadcast"] is not None}


def test_who_retired_is_neither_counted_nor_told(club: Club) -> None:
    assert "6 phones" in to(ODILE, club.text(ODILE, RAKES))
    club.obeyed(ODILE, "retire callum", NOON + MINUTE)
    shown = to(ODILE, club.text(ODILE, RAKES, NOON + 2 * MINUTE))
    assert "5 phones" in shown
    assert "text parts: 5" in shown
    club.text(ODILE, f"yes {code_in(shown)}", NOON + 2 * MINUTE)

    assert CALLUM not in reached(club)
    assert len(reached(club)) == 5


def test_who_joined_is_counted_and_told(club: Club) -> None:
    club.obeyed(ODILE, "add helper Sam Cole 902 555 0176")
    assert "6 phones" in to(ODILE, club.text(ODILE, RAKES, NOON + MINUTE))  # before the yes
    club.text(SAM, "yes", NOON + 2 * MINUTE)
    shown = to(ODILE, club.text(ODILE, RAKES, NOON + 3 * MINUTE))
    assert "7 phones" in shown
    club.text(ODILE, f"yes {code_in(shown)}", NOON + 3 * MINUTE)

    assert {SAM, HELEN, CALLUM} <= reached(club)
    assert len(reached(club)) == 7


def test_a_new_number_is_counted_once_and_the_old_one_is_told_nothing(club: Club) -> None:
    club.obeyed(ODILE, "callum's new number is 902 555 0176")
    shown = to(ODILE, club.text(ODILE, RAKES, NOON + MINUTE))
    assert "6 phones" in shown
    club.text(ODILE, f"yes {code_in(shown)}", NOON + MINUTE)

    assert SAM in reached(club)
    assert CALLUM not in reached(club)
