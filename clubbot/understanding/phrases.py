"""Phrases by which words are found in a text, written as people say them: "(stop|quit) {texting} [me|us]".

The words of a phrase stand one after the other. `(a|b c)` is one of several, `[a|b]` one of them or none, `{group}` a word or row of words
of a named group, `bleed*` any word that begins so, `...` up to four words of the same sentence, `#` a number in figures, `<` the beginning
and `>` the end of a sentence. A phrase is matched word by word: its cost is bounded by the phrase and the words, whatever they are.
"""

from collections import deque
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Generic, TypeVar

from clubbot.model.errors import ClubbotError
from clubbot.understanding.text import SENTENCE_ENDS, Word

GAP = 4
# Groups that hold groups that hold groups: deeper is a circle.
_DEEPEST = 8
# "b*" would be nearly any word.
_SHORTEST_STEM = 2
_CLOSING = frozenset(")]}|")
_SPACED = str.maketrans({mark: f" {mark} " for mark in "()[]{}|<>"})
# Any number in figures, among the first words of a phrase.
ANY_FIGURES = "#"
Kept = TypeVar("Kept")

Groups = Mapping[str, Sequence[str]]


class PhraseFault(ClubbotError):
    """A phrase that cannot be read, or a group that it names and nobody gave; the text says which."""


# Numbers of words behind which something ends, each once, the likeliest first.
Places = tuple[int, ...]


@dataclass(frozen=True, slots=True)
class _Said:
    """One word: itself, the beginning of it, or any number in figures."""

    word: str
    begins: bool = False
    figures: bool = False

    def ends(self, words: Sequence[Word], at: int) -> Places:
        if at >= len(words):
            return ()
        form = words[at].form
        if self.figures:
            fits = form.isdigit()
        elif self.begins:
            fits = form.startswith(self.word)
        else:
            fits = form == self.word
        return (at + 1,) if fits else ()


@dataclass(frozen=True, slots=True)
class _Begins:
    def ends(self, words: Sequence[Word], at: int) -> Places:
        return (at,) if at == 0 or words[at - 1].pause in SENTENCE_ENDS else ()


@dataclass(frozen=True, slots=True)
class _Ends:
    def ends(self, words: Sequence[Word], at: int) -> Places:
        return (at,) if at == len(words) or (at > 0 and words[at - 1].pause in SENTENCE_ENDS) else ()


@dataclass(frozen=True, slots=True)
class _Gap:
    def ends(self, words: Sequence[Word], at: int) -> Places:
        last = min(len(words), at + GAP)
        for end in range(at, last + 1):
            if end and words[end - 1].pause in SENTENCE_ENDS:
                return tuple(range(at, end))  # what follows is another sentence
        return tuple(range(at, last + 1))


@dataclass(frozen=True, slots=True)
class _OneOf:
    """One of several; a group's words are looked up by their first. `first` is as `first_words` gives them."""

    ways: tuple["_Row", ...]
    by_first: "ByWord[_Row]"
    others: tuple["_Row", ...]
    first: frozenset[str] | None
    optional: bool = False
    name: str = ""

    def ends(self, words: Sequence[Word], at: int) -> Places:
        found: list[int] = []
        near = self.by_first.near(words[at].form) if at < len(words) else ()
        for way in (*near, *self.others) if self.others else near:
            found += way.ends(words, at)
        if self.optional:
            found.append(at)
        return tuple(dict.fromkeys(found)) if len(found) > 1 else tuple(found)


_Part = _Said | _Begins | _Ends | _Gap | _OneOf


@dataclass(frozen=True, slots=True)
class _Row:
    """Parts one after the other."""

    parts: tuple[_Part, ...]

    def ends(self, words: Sequence[Word], at: int) -> Places:
        places: Places = (at,)
        for part in self.parts:
            if len(places) == 1:
                places = part.ends(words, places[0])
            else:
                places = tuple(dict.fromkeys([end for place in places for end in part.ends(words, place)]))
            if not places:
                break
        return places

    def first_words(self) -> frozenset[str] | None:
        """The words that it can begin with, "bleed*" for all that begin so, "#" for figures; None where that cannot be said."""
        found: set[str] = set()
        for part in self.parts:
            match part:
                case _Said(word):
                    return frozenset({*found, ANY_FIGURES if part.figures else f"{word}*" if part.begins else word})
                case _OneOf():
                    if part.first is None:
                        return None
                    if not found and not part.optional:
                        return part.first
                    found |= part.first
                    if not part.optional:
                        return frozenset(found)
                case _Begins() | _Ends():
                    continue
                case _:
                    return None
        return None

    def needs(self, lists: "WordLists") -> frozenset[int]:
        """The numbers of the lists of words of each of which the text must have one, or it is not found anywhere."""
        firsts = [
            _Row((part,)).first_words() for part in self.parts if not (isinstance(part, _OneOf) and part.optional)
        ]
        return frozenset(lists.number_of(first) for first in firsts if first is not None)


class ByWord(Generic[Kept]):
    """What is kept under words, under beginnings of words ("bleed*") and under any number in figures ("#")."""

    def __init__(self, kept: Mapping[str, Iterable[Kept]]) -> None:
        self._whole: dict[str, tuple[Kept, ...]] = {}
        self._stems: dict[str, tuple[Kept, ...]] = {}
        for word, those in kept.items():
            if word[-1:] == "*":
                self._stems[word[:-1]] = tuple(those)
            else:
                self._whole[word] = tuple(those)
        self._figures = self._whole.pop(ANY_FIGURES, ())
        self._lengths = sorted({len(stem) for stem in self._stems})

    def near(self, form: str) -> tuple[Kept, ...]:
        """What is kept under a word, under what it begins with, and under figures where it is some."""
        found = self._whole.get(form, ())
        if self._figures and form.isdigit():
            found += self._figures
        for length in self._lengths:
            if length > len(form):
                break
            found += self._stems.get(form[:length], ())
        return found


class WordLists:
    """The lists of words of which one must be said, each by its number, and which of them a text has something of."""

    def __init__(self) -> None:
        self._numbers: dict[frozenset[str], int] = {}
        self._by_word: ByWord[int] | None = None

    def number_of(self, words: frozenset[str]) -> int:
        """The number of a list of words, a new one where it is new."""
        if words not in self._numbers:
            self._numbers[words] = len(self._numbers)
            self._by_word = None
        return self._numbers[words]

    def present(self, words: Sequence[Word]) -> frozenset[int]:
        """The numbers of the lists that the text has a word of."""
        if self._by_word is None:
            kept: dict[str, list[int]] = {}
            for those, number in self._numbers.items():
                for word in those:
                    kept.setdefault(word, []).append(number)
            self._by_word = ByWord(kept)
        return frozenset().union(*(self._by_word.near(form) for form in {word.form for word in words}))


@dataclass(frozen=True, slots=True)
class Phrase:
    """A phrase ready to be looked for. `needs` are the lists of words of each of which the text must have one (`WordLists.present`)."""

    written: str
    row: _Row
    first: frozenset[str] | None  # as `first_words` gives them
    begins: ByWord[bool] | None  # whether it can begin with a word; None where that cannot be said
    needs: frozenset[int]

    def ends(self, words: Sequence[Word], at: int) -> Places:
        """The places where it ends when it begins at the word `at`, each once."""
        return self.row.ends(words, at)

    def found(self, words: Sequence[Word]) -> tuple[int, int] | None:
        """Where it stands first: the number of its first word and of the one behind its last; None where it does not."""
        for at in range(len(words) + 1):
            if self.begins is not None and (at == len(words) or not self.begins.near(words[at].form)):
                continue
            ends = self.ends(words, at)
            if ends:
                return at, ends[0]
        return None


class NamedGroups(Mapping[str, Sequence[str]]):
    """Groups by their names, each made ready once however many phrases name it."""

    def __init__(self, groups: Groups) -> None:
        self._groups = groups
        self.made: dict[str, _OneOf] = {}
        self.lists = WordLists()

    def __getitem__(self, name: str) -> Sequence[str]:
        return self._groups[name]

    def __iter__(self) -> Iterator[str]:
        return iter(self._groups)

    def __len__(self) -> int:
        return len(self._groups)


def named(groups: Groups) -> NamedGroups:
    """The groups as they are, where each is made ready once."""
    return groups if isinstance(groups, NamedGroups) else NamedGroups(groups)


def phrase(written: str, groups: Groups) -> Phrase:
    """The phrase as it is written; PhraseFault where it cannot be read."""
    tokens, groups = _tokens(written), named(groups)
    row = _row(tokens, groups, 0)
    if tokens:
        raise PhraseFault(f'"{written}": {tokens[0]} closes nothing')
    if not row.parts:
        raise PhraseFault("a phrase without words")
    first = row.first_words()
    begins = ByWord(dict.fromkeys(first, (True,))) if first is not None else None
    return Phrase(written, row, first, begins, row.needs(groups.lists))


def spoken_in(written: str) -> frozenset[str]:
    """The single words that stand in a phrase, "bleed*" as it is; the names of groups are none of them."""
    said = _tokens(written)
    named = {place + 1 for place, mark in enumerate(said) if mark == "{"}
    return frozenset(one for place, one in enumerate(said) if place not in named and one.removesuffix("*").isalpha())


def _tokens(written: str) -> deque[str]:
    return deque(written.translate(_SPACED).split())


def _row(tokens: deque[str], groups: NamedGroups, depth: int) -> _Row:
    """The parts up to a mark that closes something; what was read is taken off the tokens."""
    parts: list[_Part] = []
    while tokens and tokens[0] not in _CLOSING:
        mark = tokens.popleft()
        if mark in {"(", "["}:
            parts.append(_one_of(tokens, groups, depth, closing=")" if mark == "(" else "]"))
        elif mark == "{":
            if len(tokens) < 2 or tokens[1] != "}":
                raise PhraseFault("a group's name stands between { and }")
            parts.append(_group(tokens.popleft(), groups, depth))
            tokens.popleft()
        else:
            parts.append(_part(mark))
    return _Row(tuple(parts))


def _part(said: str) -> _Part:
    if said == "<":
        return _Begins()
    if said == ">":
        return _Ends()
    if said == "...":
        return _Gap()
    if said == "#":
        return _Said("", figures=True)
    if said.endswith("*"):
        if len(said) <= _SHORTEST_STEM:
            raise PhraseFault(f"{said}: two letters at least stand before *")
        return _Said(said[:-1], begins=True)
    return _Said(said)


def _one_of(tokens: deque[str], groups: NamedGroups, depth: int, closing: str) -> _OneOf:
    ways: list[_Row] = []
    while True:
        ways.append(_row(tokens, groups, depth))
        if not tokens:
            raise PhraseFault(f"{closing} is missing")
        mark = tokens.popleft()
        if mark == closing:
            return _alternatives(ways, optional=closing == "]")
        if mark != "|":
            raise PhraseFault(f"{mark} where {closing} or | should stand")


def _group(name: str, groups: NamedGroups, depth: int) -> _OneOf:
    if name in groups.made:
        return groups.made[name]
    if name not in groups:
        raise PhraseFault(f"no group is called {name}")
    if depth > _DEEPEST:
        raise PhraseFault(f"the group {name} holds itself")
    ways: list[_Row] = []
    for written in groups[name]:
        tokens = _tokens(written)
        row = _row(tokens, groups, depth + 1)
        if tokens or not row.parts:
            raise PhraseFault(f'the group {name}: "{written}" cannot be read')
        ways.append(row)
    groups.made[name] = _alternatives(ways, name=name)
    return groups.made[name]


def _alternatives(ways: Iterable[_Row], *, optional: bool = False, name: str = "") -> _OneOf:
    by_first: dict[str, list[_Row]] = {}
    others: list[_Row] = []
    kept = sorted(ways, key=lambda way: -len(way.parts))  # the longest first
    for way in kept:
        first = way.first_words()
        if first is None:
            others.append(way)
        else:
            for word in first:
                by_first.setdefault(word, []).append(way)
    first = None if others else frozenset(by_first)
    return _OneOf(tuple(kept), ByWord(by_first), tuple(others), first, optional, name)
