"""The ways of asking that every disc golf club hears. They ship with the package: a file an intent and language, one way a
line. Where they name an event, a loop or a
place, "{league}" stands for what each club calls its own.
"""

import tomllib
from functools import lru_cache
from importlib.resources import files

from clubbot.handbook.names_said import NamesSaid, filled
from clubbot.model.club import Example
from clubbot.model.messages import LANGUAGES, Language
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
def word_scores() -> tuple[tuple[Language, ...], dict[str, tuple[float, ...]]]:
    """The languages of the word lists, and how common a word is in each (Zipf scores), accents off; see words_en_fr.NOTICE.txt. The columns of
    a list are the languages that its name tells.
    """
    lists = sorted(
        (
            one
            for one in files("clubbot.handbook").iterdir()
            if one.name.startswith("words_") and one.name.endswith(".tsv")
        ),
        key=lambda one: one.name,
    )
    languages = tuple(language for one in lists for language in _languages_of(one.name))
    scores: dict[str, list[float]] = {}
    for one in lists:
        places = [languages.index(language) for language in _languages_of(one.name)]
        for line in one.read_text("utf-8").splitlines():
            word, *columns = line.split("\t")
            for plain in words_of(word):
                kept = scores.setdefault(plain, [0.0] * len(languages))
                for place, column in zip(places, columns, strict=True):
                    kept[place] = max(kept[place], float(column))
    return languages, {word: tuple(kept) for word, kept in scores.items()}


def _languages_of(name: str) -> list[Language]:
    """ "words_en_fr.tsv"."""
    return name.removesuffix(".tsv").split("_")[1:]


@lru_cache(maxsize=1)
def word_concepts() -> Concepts:
    """The ideas that words stand for, English and French together."""
    table = tomllib.loads((files("clubbot.handbook") / "concepts.toml").read_text("utf-8"))
    found: dict[str, tuple[str, ...]] = {}
    for concept, words in table.items():
        for word in str(words).split():
            found[word] = (*found.get(word, ()), concept)
    return found
