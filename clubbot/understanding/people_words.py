"""The words by which people who come are spoken of, as data: both languages' lists together, since a text may mix them and a name or a
number is read without knowing which language it stands in.
"""

import tomllib
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

from pydantic import BaseModel, ConfigDict, Field

from clubbot.model.messages import LANGUAGES

Phrase = tuple[str, ...]


class _Strict(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True)


class _PeopleTable(_Strict):
    """The table [people] of a language: `kin` by who may be meant by another word for the same, all else lists of phrases."""

    kin: Mapping[str, Sequence[str]]
    plurals: Mapping[str, str]
    twos: Sequence[str]
    unowned: Sequence[str]
    grown: Sequence[str]
    heads: Sequence[str]
    pronouns: Sequence[str]
    others: Sequence[str]
    seats: Sequence[str]
    left_over: Sequence[str]
    many: Sequence[str]
    sender: Sequence[str]
    us: Sequence[str]
    alone: Sequence[str]
    not_alone: Sequence[str]
    pair: Sequence[str]
    everybody: Sequence[str]
    nobody: Sequence[str]
    own: Sequence[str]
    kind_of: Sequence[str]
    joins: Sequence[str]
    beside: Sequence[str]
    beside_after: Sequence[str]
    goes_there: Sequence[str]
    whole_list: Sequence[str]
    comes_too: Sequence[str]
    adds: Sequence[str]
    more: Sequence[str]
    one_more: Sequence[str]
    fewer: Sequence[str]
    leaves_out: Sequence[str]
    out: Sequence[str]
    come_verbs: Sequence[str]
    not_come_verbs: Sequence[str]
    aux: Sequence[str]
    unsaid: Sequence[str]
    weak_verbs: Sequence[str]
    not_out: Sequence[str]
    comes: Sequence[str]
    instead: Sequence[str]
    my_place: Sequence[str]
    places_of_mine: Sequence[str]
    gives: Sequence[str]
    takes: Sequence[str]
    gives_to: Sequence[str]
    was_alone: Sequence[str]
    of_them: Sequence[str]
    was: Sequence[str]
    total_before: Sequence[str]
    weak_before: Sequence[str]
    changes: Sequence[str]
    fillers: Sequence[str]
    total_after: Sequence[str]
    bare_before: Sequence[str]
    bare_after: Sequence[str]
    refuses: Sequence[str]
    refused_from: Sequence[str] = Field(alias="from")
    relative: Sequence[str]
    ends_clause: Sequence[str]
    counts_before: Sequence[str]
    counts_after: Sequence[str]
    ages: Sequence[str]
    age_tails: Sequence[str]
    months: Sequence[str]
    days: Sequence[str]
    clocks: Sequence[str]
    the_others: Sequence[str]
    in_alone: Sequence[str]
    signs_in: Sequence[str]
    signs_up: Sequence[str]
    introduces: Sequence[str]
    no_names: Sequence[str]


class _Table(_Strict):
    """A lexicon file."""

    written_out: Mapping[str, str]
    endings: Mapping[str, str]
    numbers: Mapping[str, int]
    people: _PeopleTable


@dataclass(frozen=True, slots=True)
class Group:
    """Phrases of one kind, found by their first or their last word, the longest first."""

    by_first: Mapping[str, Sequence[Phrase]]
    by_last: Mapping[str, Sequence[Phrase]]

    def after(self, words: Sequence[str], at: int) -> int:
        """How many words from `at` on are one of these phrases; 0 where none stands there."""
        if at >= len(words):
            return 0
        for phrase in self.by_first.get(words[at], ()):
            if tuple(words[at : at + len(phrase)]) == phrase:
                return len(phrase)
        return 0

    def before(self, words: Sequence[str], end: int) -> int:
        """How many words up to `end` are one of these phrases; 0 where none ends there."""
        if end <= 0:
            return 0
        for phrase in self.by_last.get(words[end - 1], ()):
            if end >= len(phrase) and tuple(words[end - len(phrase) : end]) == phrase:
                return len(phrase)
        return 0


@dataclass(frozen=True, slots=True)
class PeopleWords:
    """All of it. `kin` tells the word for one of them and what group it is of, by word; `known` are all single words."""

    written_out: Mapping[str, Phrase]
    endings: Mapping[str, Phrase]
    numbers: Mapping[str, int]
    groups: Mapping[str, Group]
    kin: Mapping[Phrase, tuple[str, str]]
    kins: Mapping[str, tuple[str, str]]
    known: frozenset[str]

    def group(self, name: str) -> Group:
        """The phrases of that name."""
        return self.groups[name]

    def akin(self, word: str) -> str:
        """The group that a word for kin is of: "hubby" and "conjoint" are partners."""
        return self.kin.get(tuple(word.split()), ("", word))[1]


@cache
def people_words() -> PeopleWords:
    """The lists that ship, checked and put together."""
    tables = [
        _Table.model_validate(
            tomllib.loads((files("clubbot.understanding") / "lexicon" / f"people.{language}.toml").read_text("utf-8"))
        )
        for language in LANGUAGES
    ]
    kin = {
        tuple(word.split()): (word, kind) for one in tables for kind, words in one.people.kin.items() for word in words
    }
    names = [name for name in _PeopleTable.model_fields if name not in {"kin", "plurals"}]
    return PeopleWords(
        written_out={short: tuple(out.split()) for one in tables for short, out in one.written_out.items()},
        endings={short: tuple(out.split()) for one in tables for short, out in one.endings.items()},
        numbers={word: number for one in tables for word, number in one.numbers.items()},
        groups={name: _group(phrase for one in tables for phrase in getattr(one.people, name)) for name in names},
        kin=kin,
        kins=dict(_plurals(tables, kin)),
        known=frozenset(word for one in tables for word in _words(one)),
    )


def _group(phrases: Iterator[str]) -> Group:
    by_first: dict[str, list[Phrase]] = {}
    by_last: dict[str, list[Phrase]] = {}
    for phrase in sorted({tuple(one.split()) for one in phrases}, key=len, reverse=True):
        by_first.setdefault(phrase[0], []).append(phrase)
        by_last.setdefault(phrase[-1], []).append(phrase)
    return Group(by_first, by_last)


def _plurals(tables: Sequence[_Table], kin: Mapping[Phrase, tuple[str, str]]) -> Iterator[tuple[str, tuple[str, str]]]:
    for (word, *more), one in kin.items():
        if not more and not word.endswith(("s", "x")):
            yield f"{word}s", one
    for table in tables:
        for plural, single in table.people.plurals.items():
            yield plural, kin.get((single,), (single, "friend"))


def _words(table: _Table) -> Iterator[str]:
    for name in _PeopleTable.model_fields:
        found = getattr(table.people, name)
        phrases = [one for words in found.values() for one in words] if name == "kin" else list(found)
        yield from (word for phrase in phrases for word in phrase.split())
    yield from table.numbers
    yield from table.written_out
