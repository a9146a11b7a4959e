"""The ways of asking that every disc golf club hears. They ship with the package: a file an intent and language, one way a
line. Where they name an event, a loop or a
place, "{league}" stands for what each club calls its own.
"""

import tomllib
from functools import lru_cache
from importlib.resources import files

from clubbot.handbook.names_said import NamesSaid, filled
from clubbot.model.club import Example
from clubbot.model.messages import LANGUAGES
from clubbot.understanding.language import WordWeights
from clubbot.understanding.plain import words_of
from clubbot.understanding.scoring import Concepts

_IN_GENERAL = NamesSaid()


@lru_cache(maxsize=2)
def shipped_examples(names: NamesSaid = _IN_GENERAL) -> tuple[Example, ...]:
    """All ways of asking in the package, in a fixed order, with these names in them."""
    found: list[Example] = []
    for language in LANGUAGES:
        said = names.of(language)
        folder = files("clubbot.handbook") / "phrasebook" / language
        for file in sorted(folder.iterdir(), key=lambda one: one.name):
            intent = file.name.removesuffix(".txt")
            lines = file.read_text("utf-8").splitlines()
            found.extend(
                Example(text=filled(line.strip(), said), intent=intent, language=language)
                for line in lines
                if line.strip()
            )
    return tuple(found)


def shipped_intents() -> frozenset[str]:
    """All that the ways of asking in the package are for."""
    folders = (files("clubbot.handbook") / "phrasebook" / language for language in LANGUAGES)
    return frozenset(file.name.removesuffix(".txt") for folder in folders for file in folder.iterdir())


@lru_cache(maxsize=1)
def word_weights() -> WordWeights:
    """How common a word is in English and in French (Zipf scores), accents off; see words_en_fr.NOTICE.txt."""
    weights: dict[str, tuple[float, float]] = {}
    for line in (files("clubbot.handbook") / "words_en_fr.tsv").read_text("utf-8").splitlines():
        word, english, french = line.split("\t")
        _keep_commonest(weights, word, float(english), float(french))
    return weights


def _keep_commonest(weights: dict[str, tuple[float, float]], word: str, english: float, french: float) -> None:
    for plain in words_of(word):
        old = weights.get(plain, (0.0, 0.0))
        weights[plain] = (max(old[0], english), max(old[1], french))


@lru_cache(maxsize=1)
def word_concepts() -> Concepts:
    """The ideas that words stand for, English and French together."""
    table = tomllib.loads((files("clubbot.handbook") / "concepts.toml").read_text("utf-8"))
    found: dict[str, tuple[str, ...]] = {}
    for concept, words in table.items():
        for word in str(words).split():
            found[word] = (*found.get(word, ()), concept)
    return found
