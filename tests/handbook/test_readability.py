"""Reading grades: the formulas on fixed counts, the counter by itself, and the limit."""

import pytest

from clubbot.handbook.readability import (
    LARGEST_GRADE,
    LEAST_EASE,
    Counts,
    counts,
    flesch_kincaid_grade,
    kandel_moles_ease,
    syllables,
    too_hard,
)


# Source: reference/standards.md section 10: FKGL = 0.39 W/S + 11.8 Y/W - 15.59 (READ in several pages; CALC); W, S and Y are fixed,
# the syllables from the CMU dictionary but in the third row, which is a hyphenation counter's.
@pytest.mark.parametrize(
    ("words", "sentences", "spoken", "grade"),
    [(6, 1, 6, -1.45), (30, 1, 49, 15.38), (30, 1, 45, 13.81), (13, 1, 24, 11.26), (21, 3, 23, 0.06)],
)
def test_the_english_grade_is_the_published_one(words: int, sentences: int, spoken: int, grade: float) -> None:
    assert flesch_kincaid_grade(Counts(words, sentences, spoken)) == pytest.approx(grade, abs=0.005)


# Source: the same section: Kandel-Moles 207 - 1.015 W/S - 73.6 Y/W (READ: textstat's table); W 21, S 3, Y 27 gives 105.27.
def test_the_french_ease_is_the_published_one() -> None:
    assert kandel_moles_ease(Counts(21, 3, 27)) == pytest.approx(105.27, abs=0.005)


# Syllables as dictionaries of pronunciation divide these words: MEMORY. The counter is a rule of thumb, right within one.
@pytest.mark.parametrize(
    ("word", "expected"),
    [
        ("the", 1),
        ("cat", 1),
        ("course", 1),
        ("closed", 1),
        ("throw", 1),
        ("played", 1),
        ("eight", 1),
        ("basket", 2),
        ("parking", 2),
        ("lightning", 2),
        ("members", 2),
        ("little", 2),
        ("wanted", 2),
        ("classes", 2),
        ("safety", 2),
        ("boathouse", 2),
        ("Saturday", 3),
        ("volunteer", 3),
        ("penalty", 3),
        ("emergency", 4),
        ("information", 4),
        ("mandatory", 4),
        ("mammal", 2),
        ("reptilian", 4),
        ("Australian", 3),
        ("don't", 1),
    ],
)
def test_the_counter_is_right_within_one_on_english_words(word: str, expected: int) -> None:
    assert abs(syllables(word, "en") - expected) <= 1


# As spoken, a silent e at the end left out: MEMORY.
@pytest.mark.parametrize(
    ("word", "expected"),
    [
        ("le", 1),
        ("chien", 1),
        ("disque", 1),
        ("trou", 1),
        ("eau", 1),
        ("parcours", 2),
        ("panier", 2),
        ("règle", 1),
        ("fermé", 2),
        ("fermée", 2),
        ("ligue", 1),
        ("gratuit", 2),
        ("marais", 2),
        ("enfants", 2),
        ("parlent", 1),
        ("stationnement", 4),
        ("pénalité", 4),
        ("bénévole", 3),
        ("obligatoire", 4),
        ("initiation", 5),
        ("aujourd'hui", 3),
    ],
)
def test_the_counter_is_right_within_one_on_french_words(word: str, expected: int) -> None:
    assert abs(syllables(word, "fr") - expected) <= 1


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("The cat sat on the mat.", Counts(6, 1, 6)),
        ("The course is closed today. There is lightning near the park.", Counts(11, 2, 13)),
        ("It costs 25.", Counts(3, 1, 3)),
        ("Bring: water, shoes; discs.", Counts(4, 3, 5)),
        ("Really?! Yes.", Counts(2, 2, 3)),
        ("no end", Counts(2, 1, 2)),
        ("It's 18:15, don't be late", Counts(6, 1, 6)),
        ("", Counts(1, 1, 0)),
        ("...", Counts(1, 1, 0)),
    ],
)
def test_words_sentences_and_syllables_are_counted(text: str, expected: Counts) -> None:
    assert counts(text, "en") == expected


EASY = "The course is open. Bring water. The sun sets at nine. See you there."
HARD = (
    "Notwithstanding aforementioned considerations, participation necessitates comprehensive organisational "
    "documentation, authorised preceding commencement by the municipal administration."
)
EASY_FRENCH = "Le parcours est ouvert. Venez avec de l'eau. Le soleil se couche tard."
HARD_FRENCH = (
    "Nonobstant les considérations susmentionnées, la participation nécessite une documentation organisationnelle "
    "détaillée, préalablement autorisée par l'administration municipale compétente."
)


def test_plain_words_are_easy_enough() -> None:
    assert too_hard(EASY, "en") is None
    assert too_hard(EASY_FRENCH, "fr") is None


def test_officialese_is_too_hard_and_the_formula_is_named() -> None:
    english, french = too_hard(HARD, "en"), too_hard(HARD_FRENCH, "fr")

    assert english is not None
    assert "Flesch-Kincaid" in english
    assert french is not None
    assert "Kandel-Moles" in french


def test_the_limits_are_grade_eight_and_its_french_counterpart() -> None:
    assert (LARGEST_GRADE, LEAST_EASE) == (8.0, 60.0)
