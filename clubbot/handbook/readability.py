"""How hard a text is to read.

English: Flesch-Kincaid grade, 0.39 W/S + 11.8 Y/W - 15.59 (Kincaid, Fishburne, Rogers, Chissom 1975), for words W, sentences S, syllables Y.
French: Kandel-Moles ease, 207 - 1.015 W/S - 73.6 Y/W (Kandel and Moles 1958, after Flesch). An ease of 60 stands for
grade 8 to 9 on Flesch's scale ("plain"), so below 60 counts as over grade 8.
"""

import re
from dataclasses import dataclass

from clubbot.model.messages import Language
from clubbot.understanding.plain import unaccented

LARGEST_GRADE = 8.0
LEAST_EASE = 60.0

_SENTENCES = re.compile(r"[.!?:;]+(?:\s|$)")
_WORDS = re.compile(r"[^\W_]+(?:['’-][^\W_]+)*")
_VOWELS = re.compile(r"[aeiouy]+")


@dataclass(frozen=True, slots=True)
class Counts:
    """Words, sentences and syllables of a text."""

    words: int
    sentences: int
    syllables: int


def flesch_kincaid_grade(counts: Counts) -> float:
    """United States school grade of an English text."""
    return 0.39 * counts.words / counts.sentences + 11.8 * counts.syllables / counts.words - 15.59


def kandel_moles_ease(counts: Counts) -> float:
    """Reading ease of a French text; higher is easier."""
    return 207 - 1.015 * counts.words / counts.sentences - 73.6 * counts.syllables / counts.words


def counts(text: str, language: Language) -> Counts:
    """The counts of a text. A figure is one word of one syllable; a colon or semicolon ends a sentence, as a reader pauses there."""
    words = _WORDS.findall(text)
    sentences = max(1, len([piece for piece in _SENTENCES.split(text) if _WORDS.search(piece)]))
    return Counts(max(1, len(words)), sentences, sum(syllables(word, language) for word in words))


def syllables(word: str, language: Language) -> int:
    """About how many syllables: groups of vowels, less a silent e at the end. A rule of thumb, right for most short words."""
    plain = unaccented(word)
    groups = _VOWELS.findall(plain)
    silent = ("e", "es", "ent") if language == "fr" else ("e", "es", "ed")
    ending = next((one for one in silent if plain.endswith(one)), None)
    accented_end = word.casefold().endswith(("é", "és", "ée", "ées"))
    spoken_end = language == "en" and plain.endswith(("le", "ted", "ded", "ses", "ces", "zes", "ges", "ches", "shes"))
    if ending and len(groups) > 1 and not accented_end and not spoken_end:
        return len(groups) - 1
    return max(1, len(groups))


def too_hard(text: str, language: Language) -> str | None:
    """How the text misses the limit, in words for a volunteer; None where it is easy enough."""
    counted = counts(text, language)
    if language == "fr":
        ease = kandel_moles_ease(counted)
        return f"reading ease {ease:.1f} (Kandel-Moles), below {LEAST_EASE:.0f}" if ease < LEAST_EASE else None
    grade = flesch_kincaid_grade(counted)
    return f"reading grade {grade:.2f} (Flesch-Kincaid), over {LARGEST_GRADE:.0f}" if grade > LARGEST_GRADE else None
