"""Rules: what must be certain is said by phrases with a name, which anybody can read, try and change (rules/*/*.toml).

A rule finds its phrases in a text. It may be kept from it by a phrase that stands anywhere in the text (`unless`), right before (`not_after`)
or right behind (`not_before`), as "stop" is no wish for silence right before "by the clubhouse". A rule of a `whole` text holds only where
its phrase is all that is said, words of courtesy and of going on aside: the groups `opening` and `closing` of the language. One that
`begins` a text holds only where its phrase comes first, with the longest such phrase.
"""

from collections.abc import Callable, Iterable, Mapping, Sequence, Set
from dataclasses import dataclass, field

from clubbot.model.messages import Language
from clubbot.understanding.phrases import ByWord, Groups, NamedGroups, Phrase, PhraseFault, WordLists, named, phrase
from clubbot.understanding.text import Text, Word


@dataclass(frozen=True, slots=True, kw_only=True)
class WrittenRule:
    """A rule as its file has it. `says` is what it tells whoever asks for it; `examples` are texts that it finds, `counterexamples` those
    that it must not.
    """

    id: str
    says: str
    when: tuple[str, ...]
    unless: tuple[str, ...] = ()
    not_after: tuple[str, ...] = ()
    not_before: tuple[str, ...] = ()
    whole: bool = False
    begins: bool = False
    examples: tuple[str, ...] = ()
    counterexamples: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Match:
    """Where a rule found a phrase: from the word `first` up to the word `end` of the text as `language` spells it."""

    rule: str
    says: str
    language: Language
    first: int
    end: int
    phrase: str


@dataclass(frozen=True, slots=True)
class _Ready:
    """A rule with its phrases ready to be looked for."""

    rule: WrittenRule
    when: tuple[Phrase, ...]
    unless: tuple[Phrase, ...]
    not_after: tuple[Phrase, ...]
    not_before: tuple[Phrase, ...]

    def kept_out(self, words: Sequence[Word], present: Set[int]) -> bool:
        return any(one.needs <= present and one.found(words) is not None for one in self.unless)

    def stands_well(self, words: Sequence[Word], first: int, end: int) -> bool:
        """Whether nothing stands right before or behind that makes it another thing."""
        if self.not_before and any(one.ends(words, end) for one in self.not_before):
            return False
        if not self.not_after:
            return True
        starts = range(max(0, first - _LONGEST_BEFORE), first)
        return not any(first in one.ends(words, at) for one in self.not_after for at in starts)


# Words of a phrase that may stand before another.
_LONGEST_BEFORE = 6


@dataclass(frozen=True, slots=True)
class RulesOf:
    """The rules of one language, found by the first words of their phrases."""

    language: Language
    rules: tuple[_Ready, ...]
    lists: WordLists = field(repr=False)
    index: "_Index" = field(repr=False)
    whole: "_Whole"

    def matches(self, words: Sequence[Word]) -> list[Match]:
        """Every place where a rule holds, in the order of the words; each rule once a place."""
        present = self.lists.present(words)
        found = self.whole.matches(words, self.language, present)
        near = self.index.near(present)
        told: set[tuple[str, int]] = set()
        kept_out: dict[str, bool] = {}
        for at in range(len(words) + 1):
            for ready, one in near(words[at].form if at < len(words) else None):
                if (ready.rule.id, at) in told:
                    continue
                ends = one.ends(words, at)
                end = next((end for end in ends if ready.stands_well(words, at, end)), None) if ends else None
                if end is None:
                    continue
                if ready.rule.id not in kept_out:
                    kept_out[ready.rule.id] = ready.kept_out(words, present)
                if not kept_out[ready.rule.id]:
                    told.add((ready.rule.id, at))
                    found.append(Match(ready.rule.id, ready.rule.says, self.language, at, end, one.written))
        return found


_Candidates = tuple[tuple[_Ready, Phrase], ...]


class _Index:
    """Rules with their phrases, by the first words of these."""

    def __init__(self, rules: Iterable[_Ready]) -> None:
        by_first: dict[str, list[tuple[_Ready, Phrase]]] = {}
        anywhere: list[tuple[_Ready, Phrase]] = []
        for rule in rules:
            for one in rule.when:
                if one.first is None:
                    anywhere.append((rule, one))
                for word in one.first or ():
                    by_first.setdefault(word, []).append((rule, one))
        self._by_first, self._anywhere = ByWord(by_first), tuple(anywhere)

    def near(self, present: Set[int]) -> Callable[[str | None], _Candidates]:
        """What may begin at a word, or behind the last, in a text that has words of the lists `present`; looked up once for each word."""
        anywhere = tuple(two for two in self._anywhere if two[1].needs <= present)
        kept: dict[str | None, _Candidates] = {None: anywhere}

        def near_to(form: str | None) -> _Candidates:
            if form not in kept and form is not None:
                kept[form] = (*(two for two in self._by_first.near(form) if two[1].needs <= present), *anywhere)
            return kept[form]

        return near_to


@dataclass(frozen=True, slots=True)
class _Whole:
    """The rules of whole texts, by the first words of their phrases, and what may stand around these."""

    index: _Index = field(repr=False)
    opening: Phrase | None
    closing: Phrase | None

    def matches(self, words: Sequence[Word], language: Language, present: Set[int]) -> list[Match]:
        found: list[Match] = []
        told: set[str] = set()
        if not words:
            return found
        ends, near = self._ends(words), self.index.near(present)
        for at in self._starts(words):
            for ready, one in near(words[at].form):
                if ready.rule.id in told:
                    continue
                close = [end for end in one.ends(words, at) if end > at and (ready.rule.begins or end in ends)]
                if not close:
                    continue
                end = max((end for end in close if ready.stands_well(words, at, end)), default=None)
                if end is not None and not ready.kept_out(words, present):
                    told.add(ready.rule.id)
                    found.append(Match(ready.rule.id, ready.rule.says, language, at, end, one.written))
        return found

    def core(self, words: Sequence[Word]) -> tuple[int, int]:
        """The words that are left when all that may stand around is taken away: the first, and the one behind the last."""
        first = max(self._starts(words)) if words else 0
        return first, min((end for end in self._ends(words) if end > first), default=len(words))

    def _starts(self, words: Sequence[Word]) -> list[int]:
        """Where what is said may begin: at the first word, and behind each row of opening words."""
        starts = [0]
        for at in starts:
            behind = self.opening.ends(words, at) if self.opening is not None else ()
            starts += [end for end in behind if end < len(words) and end not in starts]
        return starts

    def _ends(self, words: Sequence[Word]) -> set[int]:
        """Where it may end: behind the last word, and before each row of closing words."""
        ends = [len(words)]
        for end in ends:
            if self.closing is not None:
                near = range(max(1, end - _LONGEST_CLOSING), end)
                ends += [at for at in near if at not in ends and end in self.closing.ends(words, at)]
        return set(ends)


# Words of a row of closing words.
_LONGEST_CLOSING = 5


class Rules:
    """The rules of all languages. Made once for a club, whose own names may stand in the groups."""

    def __init__(self, written: Mapping[Language, Iterable[WrittenRule]], groups: Mapping[Language, Groups]) -> None:
        """PhraseFault, with the rule's id, where a phrase cannot be read."""
        self.groups: Mapping[Language, NamedGroups] = {language: named(those) for language, those in groups.items()}
        self._by_language = {
            language: _of_language(language, tuple(rules), self.groups[language]) for language, rules in written.items()
        }

    def matches(self, text: Text) -> tuple[Match, ...]:
        """Every place where a rule of any language holds."""
        return tuple(match for one in self._by_language.values() for match in one.matches(text.words(one.language)))

    def cores(self, text: Text) -> Mapping[Language, tuple[int, int]]:
        """In each language the words of a text that are left without those of courtesy and of going on."""
        return {one.language: one.whole.core(text.words(one.language)) for one in self._by_language.values()}

    @property
    def written(self) -> Mapping[Language, tuple[WrittenRule, ...]]:
        """The rules as they were written."""
        return {language: tuple(ready.rule for ready in one.rules) for language, one in self._by_language.items()}


def _of_language(language: Language, written: Sequence[WrittenRule], groups: NamedGroups) -> RulesOf:
    ready = tuple(_ready(rule, groups) for rule in written)
    of_the_whole = tuple(rule for rule in ready if rule.rule.whole or rule.rule.begins)
    others = tuple(rule for rule in ready if not (rule.rule.whole or rule.rule.begins))
    whole = _Whole(
        _Index(of_the_whole),
        phrase("{opening}", groups) if groups.get("opening") else None,
        phrase("{closing}", groups) if groups.get("closing") else None,
    )
    return RulesOf(language, ready, groups.lists, _Index(others), whole)


def _ready(rule: WrittenRule, groups: Groups) -> _Ready:
    def those(written: Iterable[str]) -> tuple[Phrase, ...]:
        return tuple(phrase(one, groups) for one in written)

    try:
        return _Ready(rule, those(rule.when), those(rule.unless), those(rule.not_after), those(rule.not_before))
    except PhraseFault as fault:
        raise PhraseFault(f"rule {rule.id}: {fault}") from fault
