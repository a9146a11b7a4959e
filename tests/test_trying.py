from clubbot.handbook.book import Handbook
from clubbot.handbook.phrasebook import shipped_examples
from clubbot.trying import explained, try_one
from tests.conftest import NOON


def _why(handbook: Handbook, text: str) -> str:
    return explained(try_one(text, handbook, "+19025550142", NOON), handbook, shipped_examples())


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
    assert "because:  no one thing is clear; asks whether it is hours, events" in _why(handbook, "schedule")


def test_why_tells_of_a_key_word_and_of_a_cry_for_help(handbook: Handbook) -> None:
    assert "key word" in _why(handbook, "STOP")
    assert "words of an injury or an emergency" in _why(handbook, "help my friend is bleeding badly on hole 4")
