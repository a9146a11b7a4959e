"""A draft is had otherwise: the new one is shown with a new code, the old one does nothing; what cannot be is said and the draft stays."""

import re

import pytest

from clubbot.handbook.book import Handbook
from clubbot.store.tables import added_events, closures, drafts, event_changes, wrong_codes
from tests.builders import KIM
from tests.conftest import NOON
from tests.conversation.test_closures_by_text import ODILE, Club
from tests.store.builders import JONAS, PRIYA


@pytest.fixture
def club(handbook: Handbook) -> Club:
    return Club(handbook)


def codes(said: str) -> list[str]:
    return re.findall(r"(?:YES|OUI) (\d{8})", said)


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("make it sat noon", "Close the course from now until Sat 12 June 12:00"),
        ("till 3 instead", "until Fri 11 June 15:00"),
        ("only the marsh loop", "Close the Marsh loop (holes 7-12) from now until Fri 11 June 12:00"),
        ("add: bring boots", "flooded, bring boots"),
        ("because of ice", ": ice."),
        ("from tomorrow 8am", "from Tue 8 June 8:00 until Fri 11 June 12:00"),
        ("until further notice", "until further notice"),
        ("no wait, make it sat noon", "until Sat 12 June 12:00"),
        ("actually just hole 7 till sat noon", "Close hole 7 from now until Sat 12 June 12:00"),
    ],
)
def test_a_closure_had_otherwise(club: Club, text: str, shown: str) -> None:
    old = club.code(JONAS, "close the course till fri noon, flooded")
    said = club.text(JONAS, text)
    (new,) = codes(said)

    assert said.startswith("Changed, here it is with a new code.")
    assert old not in said
    assert shown in said
    assert new != old
    assert "NOT done" in club.text(JONAS, f"yes {old}")
    assert club.rows(closures) == []
    club.text(JONAS, f"yes {new}")
    assert len(club.rows(closures)) == 1


def test_an_old_code_is_no_wrong_try_however_often_it_comes(club: Club) -> None:
    first = club.code(JONAS, "close the course till fri noon, flooded")
    (second,) = codes(club.text(JONAS, "make it sat noon"))
    (third,) = codes(club.text(JONAS, "only the marsh loop"))
    for old in (first, second, first, second):
        said = club.text(JONAS, f"yes {old}")
        assert "from before the change" in said
        assert "in my last text" in said
        assert "Tries left" not in said

    assert club.rows(closures) == []
    assert club.rows(wrong_codes) == []
    club.text(JONAS, f"yes {third}")
    assert [row["what"] for row in club.rows(closures)] == ["marsh"]


def test_the_code_of_another_order_that_was_dropped_for_this_one_is_none_either(club: Club) -> None:
    old = club.code(JONAS, "close hole 7 till fri noon")
    club.code(JONAS, "close hole 8 till fri noon")

    assert "from before the change" in club.text(JONAS, f"yes {old}")
    assert club.rows(wrong_codes) == []
    assert "Tries left: 2" in club.text(JONAS, "yes 12345678")


def test_an_old_code_after_a_no_finds_nothing(club: Club) -> None:
    old = club.code(JONAS, "close hole 7 till fri noon")
    club.text(JONAS, "make it sat noon")
    club.text(JONAS, "no")

    assert "from before" not in club.text(JONAS, f"yes {old}")
    assert club.rows(closures) == []


def test_parts_are_added_and_left_out(club: Club) -> None:
    club.code(JONAS, "close hole 7 till fri noon")

    assert "hole 7 and hole 8" in club.text(JONAS, "hole 8 too")
    assert "Close hole 8 " in club.text(JONAS, "not hole 7")
    assert club.text(JONAS, "not hole 8").startswith("NOT changed")


def test_in_french(club: Club) -> None:
    old = club.code(ODILE, "ferme le parcours jusqu'à vendredi midi")

    assert "C'est changé, voici la suite avec un nouveau code" in club.text(ODILE, "plutôt samedi midi")
    assert "le code d'avant le changement" in club.text(ODILE, f"oui {old}")
    assert "la boucle du marais" in club.text(ODILE, "seulement la boucle du marais")


def test_a_text_to_many_has_more_words_or_others(club: Club) -> None:
    club.text(KIM, "sign me up for course news")
    club.code(ODILE, "tell course news: work at nine")

    assert "Work at nine. Bring boots" in club.text(ODILE, "add: bring boots")
    said = club.text(ODILE, "make it say: work at ten")
    assert "Work at ten" in said
    assert "nine" not in said


def test_an_event_s_day_and_hour(club: Club) -> None:
    club.code(PRIYA, "league at 19:00 wed")
    assert "begin at 19:30" in club.text(PRIYA, "make it 7:30")
    assert "Thu 10 June" in club.text(PRIYA, "make it thursday")

    club.code(PRIYA, "call off league wed, wind")
    assert "Wed 16 June" in club.text(PRIYA, "make it 16 june")

    club.code(PRIYA, "add scramble sat 5pm at the pier")
    assert "Sun 13 June 14:00" in club.text(PRIYA, "make it sunday 2pm")
    assert club.rows(event_changes) == club.rows(added_events) == []


@pytest.mark.parametrize(
    "text", ["a bit longer", "make it an hour later", "make it 20 places", "un peu plus longtemps"]
)
def test_what_cannot_be_is_said_plainly_and_the_draft_stays(club: Club, text: str) -> None:
    old = club.code(JONAS, "close the course till fri noon")
    said = club.text(JONAS, text)

    assert said.startswith(("NOT changed", "PAS changé"))
    assert text in said
    assert codes(said) == [old]
    assert [row["code"] for row in club.rows(drafts)] == [old]


def test_what_is_said_besides_is_said_back(club: Club) -> None:
    club.code(JONAS, "close the course till fri noon")

    assert 'I did not use: "tell everyone".' in club.text(JONAS, "make it sat noon, and tell everyone")


def test_an_end_that_is_over_is_said_and_what_waits_stays(club: Club) -> None:
    old = club.code(JONAS, "close the course till fri noon")
    said = club.text(JONAS, "from sat 9am")

    assert said == "NOT done: Fri 11 June 12:00 is over already. Until when?"
    assert [row["code"] for row in club.rows(drafts)] == [old]


def test_the_same_once_more_changes_nothing(club: Club) -> None:
    old = club.code(JONAS, "close the course till fri noon")

    assert codes(club.text(JONAS, "till fri noon")) == [old]


def test_without_a_draft_nothing_is_had_otherwise(club: Club) -> None:
    assert "Changed" not in club.text(JONAS, "make it sat noon", NOON)


@pytest.mark.parametrize(
    ("order", "more"),
    [
        ("league tonight starts at 645 instead of 615", "but make it 7"),
        ("la ligue de ce soir commence à 18 h 45 au lieu de 18 h 15", "mais mets 19 h"),
    ],
)
def test_a_code_with_a_but_does_not_what_was_shown(handbook: Handbook, order: str, more: str) -> None:
    club = Club(handbook)
    now = NOON.replace(day=9)
    (code,) = codes(club.text(PRIYA, order, now))

    club.text(PRIYA, f"yes {code} {more}", now)

    assert club.rows(event_changes) == []
