"""Opting out and in again, beside other wishes and in words that only look like it."""

import pytest

from clubbot.handbook.book import Handbook
from clubbot.rehearsal import Rehearsal
from clubbot.trying import try_one
from tests.builders import KIM
from tests.conftest import NOON


def _served(handbook: Handbook, text: str) -> tuple[str, ...]:
    return try_one(text, handbook, KIM, NOON).turned.served


@pytest.mark.parametrize(
    "text",
    [
        "I told you to stop texting me last month, please turn it all back on",
        "vous aviez arrêté vos messages, je voudrais recommencer à les avoir",
        "don't stop the texts",
        "arrêtez pas les textos svp",
    ],
)
def test_whoever_speaks_of_stopping_but_wants_the_texts_is_kept(handbook: Handbook, text: str) -> None:
    assert _served(handbook, text) == ("start-again",)


@pytest.mark.parametrize(
    "text", ["please stop texting me", "arrêtez de m'écrire", "stop sending me these, never again", "STOP"]
)
def test_a_wish_to_stop_stays_one(handbook: Handbook, text: str) -> None:
    assert _served(handbook, text) == ("stop",)


def test_what_else_is_asked_beside_an_opt_in_is_answered_with_it(handbook: Handbook) -> None:
    tried = try_one("turn the texts back on please. what am i signed up for", handbook, KIM, NOON)
    assert tried.turned.served == ("start-again", "my-rsvps")
    assert "STOP ends them" in tried.reply
    assert "not down for anything" in tried.reply


def test_not_coming_is_done_beside_an_opt_out(handbook: Handbook) -> None:
    assert _served(handbook, "take me off for wednesday and then stop all the messages") == ("stop", "rsvp-no")


def test_whoever_complains_that_we_never_stop_is_stopped(handbook: Handbook) -> None:
    assert _served(handbook, "you guys never stop! leave me alone") == ("stop",)
    assert _served(handbook, "stop texting me, i won't be at league")[:1] == ("stop",)


def test_whoever_has_opted_out_comes_back_in_plain_words_and_is_left_alone_otherwise(handbook: Handbook) -> None:
    club = Rehearsal(handbook)
    club.text(KIM, "please dont text me anymore", NOON)
    assert club.text(KIM, "how much is it", NOON) == []
    (back,) = club.text(KIM, "ok you can text me again", NOON)
    assert "welcome back" in back.text


def test_an_opt_out_soon_after_an_answer_is_no_correction(handbook: Handbook) -> None:
    club = Rehearsal(handbook)
    club.text(KIM, "is there parking", NOON)
    (said,) = club.text(KIM, "no i want to stop the texts", NOON)
    assert "no more texts" in said.text


def test_play_after_thunder_is_a_question_of_safety(handbook: Handbook) -> None:
    club = Rehearsal(handbook)
    club.text(KIM, "just saw lightning", NOON)
    (said,) = club.text(KIM, "are we ok to finish the round", NOON)
    assert "thunder" in said.text


def test_one_of_a_party_who_drops_out_does_not_take_the_others_off(handbook: Handbook) -> None:
    club = Rehearsal(handbook)
    club.text(KIM, "in for league 3 of us", NOON)
    (said,) = club.text(KIM, "one of us cant make it", NOON)
    assert "2 people" in said.text
    (asked,) = club.text(KIM, "my son can't come after all", NOON)
    assert "or the right number" in asked.text
    (mine,) = club.text(KIM, "how many am i down for at league", NOON)
    assert "2 people" in mine.text  # nobody is taken off before it is answered
