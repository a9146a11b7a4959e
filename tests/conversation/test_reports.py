"""The numbered list of what was reported: seen, closed, opened again, and what whoever reported it hears."""

from datetime import timedelta

import pytest

from clubbot.handbook.book import Handbook
from clubbot.rehearsal import Heard
from clubbot.store.tables import questions, reports
from tests.builders import KIM
from tests.conftest import NOON
from tests.conversation.test_closures_by_text import DAY, FEMI, HOUR, MINUTE, ODILE, Club, local, to
from tests.store.builders import JONAS, LEE, PRIYA

PLANK = "the boardwalk at hole 10 has a broken plank"


@pytest.fixture
def club(handbook: Handbook) -> Club:
    return Club(handbook)


def reported(club: Club, text: str = PLANK, by: str = KIM) -> str:
    return club.text(by, text, NOON - HOUR)


def heard(club: Club, sender: str, text: str) -> list[Heard]:
    return club.rehearsal.text(sender, text, NOON)


def done_at(club: Club) -> list[bool]:
    return [row["done_at"] is not None for row in club.rows(reports)]


def test_the_hole_is_said_back_and_the_course_keeper_gets_the_number(club: Club) -> None:
    said = club.rehearsal.text(KIM, PLANK, NOON)

    assert to(KIM, said).startswith("Thanks, hole 10: I've passed it to Jonas. Please stay clear")
    assert to(JONAS, said).startswith('Course report D1, hole 10: "the boardwalk')


def test_a_part_of_the_course_is_said_back(club: Club) -> None:
    assert "Thanks, the Marsh loop (holes 7-12): " in reported(club, "there is a rotten board on the marsh loop")


def test_it_is_said_back_in_french(club: Club) -> None:
    assert "Merci, trou 10 : Jonas" in reported(club, "il y a une planche brisée au trou 10")


def test_reports_have_numbers_and_are_listed_damage_first(club: Club) -> None:
    reported(club, "i lost my blue putter on hole 3", LEE)
    reported(club)
    said = club.text(PRIYA, "open reports")

    assert said.startswith('Open reports (2): D2, hole 10: "the boardwalk')
    assert said.index("D2") < said.index("D1, hole 3, lost disc")


def test_many_are_listed_a_few_at_a_time(club: Club) -> None:
    for hole, phone in enumerate(("+19025550160", "+19025550161", "+19025550162", "+19025550163", "+19025550164"), 1):
        reported(club, f"the basket on hole {hole} is bent", phone)

    assert "1 more: text REPORTS 2." in club.text(JONAS, "reports")
    assert "D5, hole 5" in club.text(JONAS, "reports 2")
    assert club.text(JONAS, "reports 3") == "No more open reports."


def test_without_any_it_is_said(club: Club) -> None:
    assert club.text(JONAS, "reports") == "No open reports."
    assert club.text(ODILE, "signalements") == "Aucun signalement ouvert."


@pytest.mark.parametrize("keeper", [JONAS, ODILE])
def test_the_keeper_and_the_organiser_close_it_and_the_reporter_is_thanked_once(club: Club, keeper: str) -> None:
    reported(club)
    said = heard(club, keeper, "D1 is fixed")
    again = heard(club, keeper, "done D1")

    assert to(keeper, said).startswith("Off the list: D1, hole 10")
    assert to(KIM, said) == f'Hole 10 is mended: "{PLANK}" Thanks for telling us.'
    assert "off the list already" in to(keeper, again)
    assert to(KIM, again) == ""
    assert done_at(club) == [True]
    assert "No open reports" in club.text(JONAS, "reports")


def test_its_question_is_settled_with_it(club: Club) -> None:
    reported(club)
    club.text(JONAS, "done D1")

    assert [row["answered_by"] for row in club.rows(questions)] == ["jonas"]


def test_who_wants_no_texts_is_not_thanked(club: Club) -> None:
    reported(club)
    club.text(KIM, "stop", NOON - MINUTE)

    assert to(KIM, heard(club, JONAS, "done D1")) == ""
    assert done_at(club) == [True]


@pytest.mark.parametrize("other", [PRIYA, FEMI])
def test_others_close_none_and_the_organiser_hears(club: Club, other: str) -> None:
    reported(club)
    said = heard(club, other, "D1 is fixed")

    assert "isn't among the things your role may do" in to(other, said)
    assert to(ODILE, said) != ""
    assert done_at(club) == [False]


def test_a_stranger_closes_none(club: Club) -> None:
    reported(club)
    club.text(LEE, "D1 is fixed")

    assert done_at(club) == [False]


@pytest.mark.parametrize("undo", ["D1 isn't done", "undo D1", "D1 pas réglé"])
def test_it_is_open_again_and_the_reporter_is_told_so(club: Club, undo: str) -> None:
    reported(club)
    club.text(JONAS, "done D1")
    said = heard(club, JONAS, undo)

    assert "D1, " in to(JONAS, said)
    assert to(KIM, said).startswith("Correction: hole 10 is NOT mended yet")
    assert done_at(club) == [False]


def test_after_a_day_it_is_not_opened_again(club: Club) -> None:
    reported(club)
    club.text(JONAS, "done D1")
    said = club.text(JONAS, "D1 isn't done", NOON + DAY + MINUTE)

    assert said == "There's no open report D1."
    assert done_at(club) == [True]


def test_at_night_the_thanks_wait_and_do_not_go_where_it_is_undone(club: Club) -> None:
    reported(club)
    night = local(6, 7, 23)
    said = club.rehearsal.text(JONAS, "done D1", night)
    club.rehearsal.text(JONAS, "D1 isn't done", night + MINUTE)
    later = club.rehearsal.pass_time(night + MINUTE, night + timedelta(hours=12))

    assert to(KIM, said) == ""
    assert to(KIM, later) == ""


def test_not_me_opens_it_again(club: Club) -> None:
    reported(club)
    club.text(JONAS, "done D1")
    said = heard(club, JONAS, "not me")

    assert "NOT mended" in to(KIM, said)
    assert done_at(club) == [False]


def test_several_at_once_and_what_is_said_besides(club: Club) -> None:
    reported(club)
    reported(club, "the basket on hole 4 is bent", LEE)
    said = club.text(JONAS, "D1 and D2 are fixed, tell everyone")

    assert 'I did not use: "tell everyone".' in said
    assert done_at(club) == [True, True]


@pytest.mark.parametrize(
    "text",
    [
        "you gonna shut it?", "are you going to close it?", "will you close the hole?", "shouldn't it be closed?", "is someone going to rope it off?", "should we close hole 10?", "closing it?", "so are you guys closing it", "should it be shut?",
        "vous allez le fermer?", "allez-vous fermer le trou?", "faudrait pas le fermer?", "vous le fermez?", "on devrait fermer", "ça va être fermé?", "pensez-vous le barrer?", "fermez-vous le trou?",
    ],
)  # fmt: skip
def test_whether_it_closes_is_for_the_course_keeper_who_gets_the_report_s_number(club: Club, text: str) -> None:
    club.text(KIM, PLANK, NOON - MINUTE)
    said = heard(club, KIM, text)

    assert "D1" in to(KIM, said)
    assert "Jonas" in to(KIM, said)
    assert "D1, hole 10" in to(JONAS, said)
    assert text[-6:] in to(JONAS, said)
    assert len(club.rows(questions)) == 1


def test_without_a_report_it_is_an_ordinary_question(club: Club) -> None:
    assert "your report" not in to(KIM, heard(club, KIM, "are you going to close hole 10?"))


def test_more_of_the_same_disc_is_one_report(club: Club) -> None:
    reported(club, "i lost a disc on hole 3")
    club.text(KIM, "it's a blue putter", NOON - HOUR + MINUTE)

    assert [(row["number"], "blue putter" in row["words"]) for row in club.rows(reports)] == [(1, True)]
