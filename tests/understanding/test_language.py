"""English or French. Word frequencies are those in the package; the sentences are our own."""

import pytest

from clubbot.handbook.language_files import shipped_weights
from clubbot.handbook.phrasebook import shipped_examples
from clubbot.model.messages import Language
from clubbot.understanding.language import WordWeights, shown, told
from clubbot.understanding.plain import words_of


def language_of(text: str) -> Language | None:
    return told(text, words_of(text), shipped_weights())


@pytest.mark.parametrize(
    "text",
    [
        "is it open today",
        "hey can i bring my dog",
        "where do we park",
        "whats on saturday",
        "how much is it",
        "do you have toilets",
        "my kid is 9 can he play",
        "thanks a lot",
        "someone got hit in the head hole 3",
        "which disc should a beginner throw",
        "is there room for 2 on wed",
        "the café by the course, is it open",
    ],
)
def test_english_is_told(text: str) -> None:
    assert language_of(text) == "en"


@pytest.mark.parametrize(
    "text",
    [
        "c'est ouvert aujourd'hui",
        "c tu ouvert là",
        "je peux amener mon chien",
        "ou est le stationnement",
        "combien ça coûte",
        "y a des toilettes",
        "mon fils a 9 ans, il peut jouer",
        "merci beaucoup",
        "quelqu'un est blessé au trou 3",
        "quel disque pour un débutant",
        "reste-t-il de la place mercredi",
        "a quelle heure le soleil se couche",
        "slt, y'a tu de la place pour 2 samedi",
    ],
)
def test_french_is_told_with_and_without_accents(text: str) -> None:
    assert language_of(text) == "fr"


@pytest.mark.parametrize(
    "text", ["", "?", "18", "ok", "disc golf", "Kim", "parking?", "info", "12:30", "🥏", "Fog Horn Open"]
)
def test_what_stands_in_both_languages_tells_nothing(text: str) -> None:
    assert language_of(text) is None


def test_accents_lean_to_french_whatever_the_word() -> None:
    letters = shipped_weights()

    assert shown("xéèx", [], letters) == {"en": 0.0, "fr": 3.0}
    assert shown("xeex", [], letters) == {"en": 0.0, "fr": 0.0}


def test_an_unknown_word_leans_to_neither() -> None:
    assert shown("zzyzx", ["zzyzx"], shipped_weights()) == {"en": 0.0, "fr": 0.0}


def test_a_word_leans_to_the_language_in_which_it_is_commoner() -> None:
    weights = WordWeights(("en", "fr"), {"chien": (2.0, 5.0), "dog": (5.0, 2.0)}, {})

    assert told("chien", ["chien"], weights) == "fr"
    assert told("dog", ["dog"], weights) == "en"
    assert told("chien dog", ["chien", "dog"], weights) is None


# The ways of asking in the package stand in a folder a language. Bare greetings and names may be of either.
@pytest.mark.parametrize("language", ["en", "fr"])
def test_nearly_every_way_of_asking_shows_the_language_that_it_is_written_in(language: Language) -> None:
    texts = [one.text for one in shipped_examples() if one.language == language and len(words_of(one.text)) > 3]
    wrong = [text for text in texts if language_of(text) not in {language, None}]
    unclear = [text for text in texts if language_of(text) is None]

    assert len(wrong) / len(texts) < 0.01, wrong[:20]
    assert len(unclear) / len(texts) < 0.02, unclear[:20]
