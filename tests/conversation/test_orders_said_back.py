"""What an order would do is named part by part, and what it says besides is said back; nothing is half done."""

import pytest

from clubbot.handbook.book import Handbook
from clubbot.store.tables import closures
from tests.builders import KIM
from tests.conftest import NOON
from tests.conversation.test_closures_by_text import CAUTION, HOUR, MINUTE, Club, local
from tests.store.builders import JONAS, LEE, PRIYA

ODILE = "+19025550101"


@pytest.fixture
def club(handbook: Handbook) -> Club:
    return Club(handbook)


def standing(club: Club) -> list[tuple[str, str]]:
    """What is closed or on hold, and how."""
    return sorted((row["what"], row["kind"]) for row in club.rows(closures) if row["ended_at"] is None)


def test_what_an_order_says_and_was_not_used_is_said_back(club: Club) -> None:
    shown = club.text(JONAS, "close marsh till 5pm, flooded and tell everyone")

    assert "until 17:00: flooded" in shown
    assert 'I did not use: "tell everyone".' in shown


def test_it_is_said_back_in_french_as_well(club: Club) -> None:
    shown = club.text(ODILE, "ferme le trou 4, guêpes, et avise Femi")

    assert 'Pas retenu: "avise Femi".' in shown


def test_an_end_on_another_day_is_taken_as_it_was_written(club: Club) -> None:
    shown = club.text(JONAS, "course closed sat 8am to sun 6pm, school meet")

    assert "from Sat 12 June 8:00 until Sun 13 June 18:00: school meet" in shown


@pytest.mark.parametrize("order", ["reopen marsh at 5pm", "reopen marsh tomorrow", "rouvre le marais à 17h"])
def test_nothing_is_opened_at_an_hour_to_come_least_of_all_now(club: Club, order: str) -> None:
    club.obeyed(JONAS, "close the marsh loop, flooded")
    said = club.text(JONAS, order, NOON + MINUTE)

    assert "YES" not in said
    assert "OUI" not in said
    assert "I did not use: " in said or "Pas retenu: " in said
    assert [("marsh", "danger")] == standing(club)


@pytest.mark.parametrize(
    "order", ["marsh n hill closed, flooded", "close marsh and hill, flooded", "ferme le marais et la colline, inondés"]
)
def test_several_parts_are_closed_each_by_itself(club: Club, order: str) -> None:
    club.obeyed(JONAS, order)
    assert ["hill", "marsh"] == [what for what, _ in standing(club)]

    club.obeyed(JONAS, "reopen marsh", NOON + MINUTE)
    assert ["hill"] == [what for what, _ in standing(club)]


def test_a_row_of_holes_is_closed_hole_by_hole(club: Club) -> None:
    said = club.obeyed(JONAS, "holes 16 to 18 closed, tree work")

    assert "Hole 16, hole 17 and hole 18: closed." in said
    assert ["16", "17", "18"] == [what for what, _ in standing(club)]


def test_a_reopening_names_what_it_would_end_and_why(club: Club) -> None:
    club.obeyed(JONAS, "close the marsh loop till 5pm, flooded")
    club.obeyed(JONAS, "close hole 3, wasps")

    assert "Reopen the Marsh loop (holes 7-12): flooded, until 17:00." in club.text(JONAS, "reopen marsh")
    assert "flooded, until 17:00; hole 3: wasps." in club.text(JONAS, "reopen everything")


@pytest.mark.parametrize("words", ["all clear", "we can play again", "lift the hold", "on peut rejouer"])
def test_all_clear_ends_the_hold_and_leaves_a_closure(club: Club, words: str) -> None:
    two = local(6, 7, 14)
    club.obeyed(JONAS, "close the marsh loop, flooded", two)
    club.text(PRIYA, "its thundering", two)
    assert "not before 14:30" in club.text(JONAS, "all clear", two + 20 * MINUTE)

    club.obeyed(JONAS, words, two + 31 * MINUTE)
    assert [("marsh", "danger")] == standing(club)


def test_all_clear_without_a_hold_opens_nothing(club: Club) -> None:
    club.obeyed(JONAS, "close the marsh loop, flooded")

    assert club.text(JONAS, "all clear", NOON + HOUR).startswith("NOT done: play isn't on hold.")
    assert [("marsh", "danger")] == standing(club)


@pytest.mark.parametrize(
    "words",
    [
        "its thundering", "lightning in the distance", "heard a rumble", "thnder!!", "we have lightning", "thunder, closer now", "big boom just now",
        "saw a flash of lightning", "get everyone off the course", "hold all play", "ça gronde", "tonnerre", "il tonne fort", "des éclairs au large",
        "on entend gronder", "j'ai entendu un coup de tonnerre", "l'orage arrive", "la foudre est tombée pas loin", "évacuez le parcours",
        "arrêtez le jeu", "tout le monde à l'abri",
    ],
)  # fmt: skip
def test_thunder_in_any_words_holds_at_once(club: Club, words: str) -> None:
    club.text(PRIYA, words)

    assert [("course", "held")] == standing(club)
    assert CAUTION in club.text(KIM, "is it open", NOON + MINUTE)


@pytest.mark.parametrize("order", ["shut everything", "closed", "hold play", "thunder", "call off league wed, rain"])
def test_from_a_phone_without_a_role_nothing_is_read_as_an_order(club: Club, order: str) -> None:
    for sender in (KIM, LEE):
        assert "YES" not in club.text(sender, order)

    assert [] == standing(club)


@pytest.mark.parametrize(
    "order", ["close the course", "reopen hole 7", "fermez le parcours", "tell everyone: free pizza"]
)
def test_a_plain_command_from_such_a_phone_is_refused(club: Club, order: str) -> None:
    said = club.text(KIM, order)

    assert "Only the club's own people" in said or "Seules les personnes du club" in said


def test_an_order_is_read_once_for_whom_it_tells_and_for_the_turn(handbook: Handbook) -> None:
    orders = handbook.reader.orders

    assert orders.read("tell everyone: tap is off", NOON) is orders.read("tell everyone: tap is off", NOON)
