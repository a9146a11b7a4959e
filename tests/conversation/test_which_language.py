"""Somebody asks to be answered in a language: that holds, whichever they write in."""

import pytest

from clubbot.handbook.book import Handbook
from clubbot.rehearsal import Rehearsal
from tests.builders import KIM
from tests.conftest import NOON

JONAS = "+19025550103"
FRENCH = [
    "en français svp",
    "parle-moi en français",
    "French please",
    "can you text me in french",
    "parlez français s'il vous plaît",
]
ENGLISH = ["english please", "can you text in english", "in English", "en anglais svp", "sorry i don't speak french"]


def _said(club: Rehearsal, text: str, sender: str = KIM) -> str:
    return " ".join(one.text for one in club.text(sender, text, NOON) if one.recipient == sender)


@pytest.mark.parametrize("text", FRENCH)
def test_french_is_kept_to(handbook: Handbook, text: str) -> None:
    club = Rehearsal(handbook)
    assert "D'accord" in _said(club, text)
    assert "ouvert" in _said(club, "is it open")
    assert "inscription" in _said(club, "am i down for anything").casefold()


@pytest.mark.parametrize("text", ENGLISH)
def test_english_is_kept_to(handbook: Handbook, text: str) -> None:
    club = Rehearsal(handbook)
    assert "English from now on" in _said(club, text)
    assert "open" in _said(club, "c'est ouvert?")


@pytest.mark.parametrize("text", ENGLISH)
def test_what_was_answered_just_now_is_said_again_and_the_language_stays(handbook: Handbook, text: str) -> None:
    club = Rehearsal(handbook)
    _said(club, "c'est ouvert?")
    assert "open" in _said(club, text) or "English from now on" in _said(club, text)
    assert "free" in _said(club, "c'est gratuit de jouer?").casefold()


def test_what_is_asked_beside_is_answered_in_that_language(handbook: Handbook) -> None:
    club = Rehearsal(handbook)
    assert "ouvert" in _said(club, "Is it open? French please")
    assert "mardi" in _said(club, "and tomorrow")


def test_opting_in_again_keeps_the_language(handbook: Handbook) -> None:
    club = Rehearsal(handbook)
    for text in ("french please", "STOP"):
        _said(club, text)
    assert "réactivé" in _said(club, "START")
    assert "ouvert" in _said(club, "is it open")


def test_from_one_of_the_clubs_people_it_is_no_answer_to_an_asker(handbook: Handbook) -> None:
    club = Rehearsal(handbook)
    _said(club, "can you recommend a campground")
    heard = club.text(JONAS, "en français svp", NOON)
    assert {one.recipient for one in heard} == {JONAS}


@pytest.mark.parametrize("text", ["is the clinic in french", "y a-t-il quelqu'un qui parle anglais à la clinique"])
def test_a_question_about_a_language_changes_nothing(handbook: Handbook, text: str) -> None:
    said = _said(Rehearsal(handbook), text)
    assert "from now on" not in said
    assert "D'accord" not in said
