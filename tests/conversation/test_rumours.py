"""Thunder that is told of by a phone that may not hold play: whoever is on duty hears of it, within limits; nothing is held."""

import pytest

from clubbot.handbook.book import Handbook
from clubbot.store.tables import closures
from tests.builders import KIM
from tests.conftest import NOON
from tests.conversation.test_orders_and_codes import MINUTE, ODILE, Club, to
from tests.store.builders import JONAS

ON_DUTY = JONAS  # on Mondays


@pytest.fixture
def club(handbook: Handbook) -> Club:
    return Club(handbook)


@pytest.mark.parametrize(
    "text",
    [
        "thunder!",
        "we hear thunder by the 9th, ok to finish?",
        "lightning over the bay",
        "big rumble just now",
        "i hear rumbling, should we go in",
        "ça tonne fort ici",
        "on entend gronder, on continue?",
        "gros coup de tonnerre",
        "des éclairs sur le large",
        "j'entends l'orage",
    ],
)
def test_whoever_is_on_duty_is_told_at_once_and_nothing_is_held(club: Club, text: str) -> None:
    heard = club.text(KIM, text)

    assert "URGENT" in to(ON_DUTY, heard)
    assert to(KIM, heard)
    assert club.rows(closures) == []


@pytest.mark.parametrize(
    "text",
    [
        "is there thunder?",
        "what do we do if it thunders",
        "no thunder here",
        "y a-t-il de l'orage?",
        "my stomach is rumbling",
    ],
)
def test_a_question_about_thunder_is_told_to_nobody(club: Club, text: str) -> None:
    assert "URGENT" not in to(ON_DUTY, club.text(KIM, text))


def test_many_who_tell_of_one_storm_are_told_of_four_times_an_hour(club: Club) -> None:
    phones = [f"+1902555{number:04}" for number in range(160, 170)]
    told = [to(ON_DUTY, club.text(phone, "i hear thunder", NOON + MINUTE)) for phone in phones]

    assert len([one for one in told if "URGENT" in one]) == 4


def test_one_of_the_clubs_people_holds_play_instead(club: Club) -> None:
    heard = club.text(ODILE, "i hear thunder")

    assert "URGENT" not in to(ON_DUTY, heard)
    assert [row["kind"] for row in club.rows(closures)] == ["held"]


def test_while_play_is_on_hold_the_note_says_that_the_wait_begins_again(club: Club) -> None:
    club.text(JONAS, "thunder")

    assert "the wait begins again" in to(ON_DUTY, club.text(KIM, "i hear thunder", NOON + MINUTE))
