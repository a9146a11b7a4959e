"""What is kept of a phone is told to it in a few words, and goes when it says so."""

from datetime import timedelta

import pytest

from clubbot.handbook.book import Handbook
from clubbot.rehearsal import Rehearsal
from tests.builders import KIM
from tests.conftest import NOON

JONAS = "+19025550103"
ASKS = [
    "what do you know about me",
    "what data do you have on me",
    "hey what info have you got stored about me",
    "tell me everything you have on my number",
    "can I see my data please",
    "so what exactly do you keep on me?",
]
DEMANDE = [
    "que savez-vous de moi",
    "vous avez quoi sur moi",
    "quelles infos gardez-vous sur moi?",
    "je veux voir mes données",
]
ERASES = [
    "delete everything you have on me",
    "erase my data",
    "pls wipe all my info",
    "I want my personal data deleted",
    "can you remove all the information you have about me",
    "I use my right to be forgotten",
]
EFFACE = [
    "supprimez mes données",
    "effacez tout ce que vous avez sur moi svp",
    "je veux que mes données soient effacées",
]


def _said(club: Rehearsal, text: str, sender: str = KIM) -> str:
    return " ".join(one.text for one in club.text(sender, text, NOON) if one.recipient == sender)


def _known(handbook: Handbook) -> Rehearsal:
    """A club that knows somebody's name, sign-up and list."""
    club = Rehearsal(handbook)
    for text in ("my name is Robin Vail", "in for the clinic saturday, 2 of us", "send me course news"):
        club.text(KIM, text, NOON - timedelta(hours=1))
    return club


@pytest.mark.parametrize("text", ASKS)
def test_the_list_tells_name_sign_ups_lists_since_when_and_how_long(handbook: Handbook, text: str) -> None:
    said = _said(_known(handbook), text)

    for told in ("Robin Vail", "12 June", "course news", "7 June", "365 days", "DELETE MY DATA"):
        assert told in said
    assert KIM not in said


@pytest.mark.parametrize("text", DEMANDE)
def test_it_is_told_in_french_too(handbook: Handbook, text: str) -> None:
    said = _said(_known(handbook), text)

    assert "Robin Vail" in said
    assert "EFFACER MES DONNEES" in said


@pytest.mark.parametrize("text", [*ERASES, *EFFACE])
def test_erasing_is_asked_first_and_done_on_a_yes(handbook: Handbook, text: str) -> None:
    club = _known(handbook)
    asked = _said(club, text)
    assert "YES" in asked or "OUI" in asked
    assert "Robin Vail" in _said(club, "what do you know about me")  # nothing has gone yet, and the question is let go

    _said(club, text)
    done = _said(club, "yes")

    assert done.startswith(("Done", "C'est fait"))
    assert "Nothing but" in _said(club, "what do you know about me")


def test_a_no_keeps_everything(handbook: Handbook) -> None:
    club = _known(handbook)
    _said(club, "erase my data")

    assert "nothing is deleted" in _said(club, "no")
    assert "Robin Vail" in _said(club, "what do you know about me")


def test_a_yes_that_comes_too_late_erases_nothing(handbook: Handbook) -> None:
    club = _known(handbook)
    _said(club, "erase my data")
    club.text(KIM, "yes", NOON + timedelta(hours=2))

    assert "Robin Vail" in _said(club, "what do you know about me")


def test_the_places_go_to_whoever_waits(handbook: Handbook) -> None:
    club = _known(handbook)
    _said(club, "erase my data")
    _said(club, "yes")

    assert "16" in _said(club, "how many places are left at the clinic saturday?", "+19025550143")


def test_it_is_done_after_an_opt_out_too_and_the_opt_out_holds(handbook: Handbook) -> None:
    club = _known(handbook)
    _said(club, "STOP")
    assert "STOP" in _said(club, "delete my data")
    assert "but your STOP" in _said(club, "yes")

    assert club.text(KIM, "is it open", NOON) == []


@pytest.mark.parametrize(
    "text", ["delete my number", "forget me", "remove me from your list please", "delete my info and don't contact me"]
)
def test_a_wish_for_no_more_texts_stays_one(handbook: Handbook, text: str) -> None:
    assert "no more texts" in _said(Rehearsal(handbook), text)


def test_a_phone_of_the_club_hears_that_its_role_is_in_the_clubs_files(handbook: Handbook) -> None:
    club = Rehearsal(handbook)

    assert "course keeper" in _said(club, "what do you know about me", JONAS)
    assert "course keeper" in _said(club, "delete my data", JONAS)
    assert "stays" in _said(club, "yes", JONAS)
    assert "Marsh loop" in _said(club, "close the marsh loop till friday noon, flooded", JONAS)  # the role is as it was


def test_a_call_for_help_that_is_open_is_not_erased(handbook: Handbook) -> None:
    club = Rehearsal(handbook)
    _said(club, "somebody collapsed on hole 3")

    assert "still open" in _said(club, "delete my data")


def test_nobody_is_sent_to_somebody_of_the_club(handbook: Handbook) -> None:
    for language in ("en", "fr"):
        said = " ".join(handbook.knowledge.answers["privacy"].paragraphs[language])
        assert "person" not in said.replace("not a person", "")
        assert "quelqu'un" not in said
