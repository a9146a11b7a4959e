import json
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest

from clubbot.handbook.book import Handbook
from clubbot.handbook.phrasebook import shipped_examples
from clubbot.trying import as_json_line, explained, try_one
from tests.conftest import NOON


def _why(handbook: Handbook, text: str) -> str:
    return explained(try_one(text, handbook, "+19025550142", NOON), handbook, shipped_examples())


def _line(handbook: Handbook, text: str, now: datetime = NOON) -> dict[str, Any]:
    told: dict[str, Any] = json.loads(as_json_line(try_one(text, handbook, "+19025550142", now), handbook, now))
    return told


def test_why_tells_in_plain_words_what_a_text_sounds_like_and_what_it_is_most_like(handbook: Handbook) -> None:
    said = _why(handbook, "can i bring my dog")
    assert "language: English" in said
    assert "sounds like: dogs (bringing a dog), 9" in said
    assert 'words that spoke for the first: "' in said
    assert "like:     " in said
    assert "answers:  dogs" in said


def test_why_tells_that_a_text_may_be_nothing_for_the_club(handbook: Handbook) -> None:
    said = _why(handbook, "my landlord wants to raise the rent, what can i do")
    assert "answers:  nothing by itself" in said
    assert "whoever is on duty gets it" in said


def test_why_tells_of_a_choice_that_is_asked_back(handbook: Handbook) -> None:
    assert "because:  no one thing is clear; asks whether it is family-day, events" in _why(handbook, "sunday")


def test_why_tells_of_a_key_word_and_of_a_cry_for_help(handbook: Handbook) -> None:
    assert "key word" in _why(handbook, "STOP")
    assert "words of an injury or an emergency" in _why(handbook, "help my friend is bleeding badly on hole 4")


@pytest.mark.parametrize(
    ("text", "first", "last", "at"),
    [
        ("put me down for wednesday at 6:15", "2027-06-09", "2027-06-09", "2027-06-09T18:15"),
        ("is it open tomorrow", "2027-06-08", "2027-06-08", None),
        ("what's on this weekend", "2027-06-12", "2027-06-13", None),
        ("can we bring the dog on saturday at 10", "2027-06-12", "2027-06-12", "2027-06-12T10:00"),
        ("dinner at my sister's on friday", "2027-06-11", "2027-06-11", None),
        ("STOP texting me on mondays", "2027-06-07", "2027-06-07", None),
        ("je viens samedi à 14 h", "2027-06-12", "2027-06-12", "2027-06-12T14:00"),
    ],
)
def test_a_line_tells_the_time_that_the_text_says_whatever_it_wants(
    handbook: Handbook, text: str, first: str, last: str, at: str | None
) -> None:
    assert _line(handbook, text)["when"] == {"first": first, "last": last, "at": at}


@pytest.mark.parametrize("text", ["can i bring my dog", "STOP", "are there any family sundays", "👍", ""])
def test_a_line_tells_no_time_where_the_text_says_none(handbook: Handbook, text: str) -> None:
    assert _line(handbook, text)["when"] is None


def test_the_hour_is_told_on_the_clubs_clock_wherever_the_question_was_asked(handbook: Handbook) -> None:
    elsewhere = (NOON + timedelta(hours=9)).astimezone(UTC)  # past midnight there, still Monday evening in Halifax
    assert _line(handbook, "tomorrow at 6 pm", elsewhere)["when"]["at"] == "2027-06-08T18:00"


@pytest.mark.parametrize(
    ("text", "people"),
    [
        ("me, my wife and our two kids are in for wednesday", 4),
        ("my landlord and 3 people are coming to dinner, so that makes 5 of us", 5),
        ("is the course any fun for 6 people?", 6),
        ("just me", 1),
        ("on sera trois", 3),
        ("I'll be there", None),
        ("one more", None),
        ("how long do 18 holes take on the 12th of june 2027", None),
        ("", None),
    ],
)
def test_a_line_tells_how_many_come_in_all_by_the_texts_own_words(
    handbook: Handbook, text: str, people: int | None
) -> None:
    assert _line(handbook, text)["people"] == people


@pytest.mark.parametrize(
    "text", ["help my friend is bleeding badly on hole 4", "my dad fainted at the tee", "on est pris dans la vase"]
)
def test_why_never_calls_an_alarm_unclear(handbook: Handbook, text: str) -> None:
    said = _why(handbook, text)
    assert "nothing is clear enough" not in said
    assert "did:      replies; passes it to" in said
    assert "may be hurt or in danger" in said


def test_why_tells_what_was_done(handbook: Handbook) -> None:
    assert "changes a sign-up" in _why(handbook, "in for wednesday, 2 of us")
    assert "takes down a report" in _why(handbook, "the board by basket 10 is broken")
    assert "written no answer to it (website)" in _why(handbook, "do you have a website")
