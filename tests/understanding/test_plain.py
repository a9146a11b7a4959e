"""Plain words, texting shorthand, and slips of the thumb mended against the club's words."""

from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from rapidfuzz.distance import OSA, Levenshtein

from clubbot.understanding.plain import SHORTHAND, Speller, spelled_out, unaccented, words_of

unhurried = settings(deadline=None)  # a slow machine is no fault
CLUB_WORDS = (
    "boathouse",
    "clinic",
    "league",
    "parking",
    "saturday",
    "toilets",
    "baskets",
    "disc",
    "marais",
    "ligue",
    "sunset",
)


# Source: reference/standards.md section 12: kitten/sitting and Saturday/Sunday READ in jellyfish's test data, the rest CALC by three
# libraries; CA/ABC is 3 by optimal string alignment (OSA) and 2 by unrestricted Damerau-Levenshtein.
@pytest.mark.parametrize(
    ("one", "other", "levenshtein", "osa"),
    [
        ("kitten", "sitting", 3, 3),
        ("Saturday", "Sunday", 3, 3),
        ("rosettacode", "raisethysword", 8, 8),
        ("", "abc", 3, 3),
        ("CA", "ABC", 3, 3),
        ("ab", "ba", 2, 1),  # OSA counts two letters swapped as one slip: common practice, no source
    ],
)
def test_the_distances_that_the_speller_relies_on_are_the_published_ones(
    one: str, other: str, levenshtein: int, osa: int
) -> None:
    assert Levenshtein.distance(one, other) == levenshtein
    assert OSA.distance(one, other) == OSA.distance(other, one) == osa
    assert OSA.normalized_similarity(one, other) == pytest.approx(1 - osa / max(len(one), len(other)))


@pytest.mark.parametrize(
    ("slip", "meant"),
    [
        ("boathuose", "boathouse"),
        ("boathose", "boathouse"),
        ("bothouse", "boathouse"),
        ("clinc", "clinic"),
        ("clinnic", "clinic"),
        ("leauge", "league"),
        ("leage", "league"),
        ("parkin", "parking"),
        ("saturdya", "saturday"),
        ("satruday", "saturday"),
        ("tiolets", "toilets"),
        ("baskts", "baskets"),
        ("marias", "marais"),
        ("sunest", "sunset"),
    ],
)
def test_one_slip_of_the_thumb_is_mended(slip: str, meant: str) -> None:
    assert Speller(CLUB_WORDS, ()).mend(slip) == meant


@pytest.mark.parametrize("word", ["leag", "zzzzzz", "banana", "dsc", "cat", "par", "12345", "h0le", "", "?"])
def test_a_word_that_is_short_or_near_to_none_is_left_alone(word: str) -> None:
    assert Speller(CLUB_WORDS, ()).mend(word) == word


@pytest.mark.parametrize("word", ["leagues", "parkings", "clinic"])
def test_a_word_that_is_known_is_left_alone_even_beside_a_near_one(word: str) -> None:
    assert Speller(CLUB_WORDS, ("leagues", "parkings")).mend(word) == word


@given(st.text(alphabet="abcdefghijklmnopqrstuvwxyz", max_size=12))
@unhurried
def test_mending_twice_changes_nothing_more(word: str) -> None:
    speller = Speller(CLUB_WORDS, ())
    once = speller.mend(word)

    assert speller.mend(once) == once
    assert once == word or once in CLUB_WORDS


@pytest.mark.parametrize(
    ("text", "plain"),
    [
        ("Éèàùçêëïôû", "eeauceeiou"),
        ("cœur, sœur, Œuf", "coeur, soeur, oeuf"),
        ("l’eau", "l'eau"),
        ("w/ kids", "with  kids"),
        ("STRASSE ß", "strasse ss"),
        ("e\u0301te\u0301", "ete"),
        ("日本", ""),
    ],
)
def test_letters_lose_their_accents_and_their_case(text: str, plain: str) -> None:
    assert unaccented(text) == plain


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("Is it OPEN?", ["is", "it", "open", "?"]),
        ("don't", ["dont"]),
        ("I’m here, what's up", ["im", "here", "whats", "up"]),
        ("we'll they've you're I'd", ["well", "theyve", "youre", "id"]),
        ("l'eau d'ici", ["l", "eau", "d", "ici"]),
        ("soooo cooool", ["soo", "cool"]),
        ("hole #7", ["hole", "7"]),
        ("18:30", ["18", "30"]),
        ("aujourd’hui", ["aujourd", "hui"]),
        ("🥏🥏", []),
        ("مرحبا", []),
        ("", []),
        ("a\x00b\tc", ["a", "b", "c"]),
    ],
)
def test_a_text_is_cut_into_plain_words(text: str, words: list[str]) -> None:
    assert words_of(text) == words


@given(st.text(max_size=200))
@unhurried
def test_any_text_at_all_gives_plain_words(text: str) -> None:
    assert all(word == "?" or (word.isascii() and word.isalnum() and word == word.lower()) for word in words_of(text))


@pytest.mark.parametrize(
    ("language", "words", "expected"),
    [
        ("en", "c u tmrw", "c you tomorrow"),
        ("en", "r u open sat", "are you open saturday"),
        ("en", "whats on wed", "what is on wednesday"),
        ("en", "im bringing 2 ppl thx", "i am bringing 2 people thanks"),
        ("en", "mar", "mar"),
        ("fr", "c ouvert dem", "c est ouvert demain"),
        ("fr", "jpeux venir sam pcq", "je peux venir samedi parce que"),
        ("fr", "ya tu kelkun", "il y a tu kelkun"),
        ("fr", "sat", "sat"),
    ],
)
def test_shorthand_is_written_out_in_its_own_language(language: str, words: str, expected: str) -> None:
    assert " ".join(spelled_out(words.split(), "fr" if language == "fr" else "en")) == expected


def test_shorthand_is_plain_already() -> None:
    for table in SHORTHAND.values():
        for short, long in table.items():
            assert words_of(short) == [short]
            assert words_of(long) == long.split()


def test_a_stretched_word_keeps_at_most_two_of_a_letter() -> None:
    (word,) = words_of("pleeeeeeease")

    assert max(sum(1 for _ in run) for run in _runs(word)) == 2


def _runs(word: str) -> list[str]:
    runs = [word[0]]
    for before, letter in pairwise(word):
        if letter == before:
            runs[-1] += letter
        else:
            runs.append(letter)
    return runs
