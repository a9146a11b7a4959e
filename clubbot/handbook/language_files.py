"""The lexicon and the rules of each language, read from their files: understanding/lexicon/LANGUAGE/*.toml, understanding/rules/LANGUAGE/*.toml.

A file with a mistake stops the start and `clubbot check`, and is named with its line.
"""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from functools import lru_cache
from importlib.resources import as_file, files
from pathlib import Path

from pydantic import Field, ValidationError

from clubbot.handbook.findings import Finding, error
from clubbot.handbook.lexicon_files import ClosedTable, lexicon_of, what_is_wrong
from clubbot.handbook.phrasebook import word_scores
from clubbot.handbook.tables import Table, line_of, read_table
from clubbot.model.errors import KnowledgeFault
from clubbot.model.messages import Language
from clubbot.understanding.day_slips import DaySlips
from clubbot.understanding.days import Days
from clubbot.understanding.language import WordWeights
from clubbot.understanding.lexicon import Lexicon, words_in
from clubbot.understanding.mixed import MixedWords
from clubbot.understanding.noticing import Noticing
from clubbot.understanding.people import People, people_coming
from clubbot.understanding.people_words import people_words
from clubbot.understanding.phrases import Groups, PhraseFault, named, spoken_in
from clubbot.understanding.plain import Speller
from clubbot.understanding.rules import Rules, WrittenRule
from clubbot.understanding.text import Spelling

# Names of the club's own things, which stand in the groups of a running club.
CLUB_GROUPS = ("event", "loop", "person", "list", "meet")

_FEWEST = 2
# What the rules of orders say begins so.
ORDER = "order "
_ORDER_GROUPS = "order_"
_MOST_KEPT = 20_000
_COUNTED = 10
# Letters of a word of an order that a slip is mended to.
_LONG_ENOUGH = 5


class _RuleEntry(ClosedTable):
    id: str
    says: str
    when: list[str] = Field(min_length=1)
    unless: list[str] = Field(default_factory=list)
    not_after: list[str] = Field(default_factory=list)
    not_before: list[str] = Field(default_factory=list)
    whole: bool = False
    begins: bool = False
    examples: list[str] = Field(min_length=_FEWEST)
    counterexamples: list[str] = Field(min_length=_FEWEST)


class _RuleFile(ClosedTable):
    groups: dict[str, list[str]] = Field(default_factory=dict)
    rule: list[_RuleEntry] = Field(default_factory=list)


@dataclass(frozen=True, slots=True)
class LanguageFiles:
    """What the files of all languages hold. The groups are those of the lexicons and of the rule files together."""

    lexicons: Mapping[Language, Lexicon]
    rules: Mapping[Language, tuple[WrittenRule, ...]]
    groups: Mapping[Language, Groups]

    def ready(self, names: Mapping[Language, Groups]) -> tuple[Rules, Rules]:
        """All rules but those of orders, and those of orders, ready for use, with the club's own names as groups."""
        groups = {language: named({**self.groups[language], **names.get(language, {})}) for language in self.rules}
        return self._ready(groups, orders=False), self._ready(groups, orders=True)

    def _ready(self, groups: Mapping[Language, Groups], *, orders: bool) -> Rules:
        those = {
            language: [rule for rule in rules if rule.says.startswith(ORDER) == orders]
            for language, rules in self.rules.items()
        }
        return Rules(those, groups)

    def noticing(self, names: Mapping[Language, Groups], club_words: frozenset[str], weights: WordWeights) -> Noticing:
        """What notices the rules in a text; slips are mended against the lexicon's words and the club's."""
        known = club_words | words_in(way for groups in names.values() for ways in groups.values() for way in ways)
        rules, orders = self.ready(names)
        said = {language: self.said(language) for language in self.rules}
        usual, of_orders = (self.spellings(known, weights.words, said, also) for also in ({}, self._of_orders()))
        return Noticing(rules, orders, usual, of_orders)

    def of_any_club(self) -> Noticing:
        """The same where no club is opened: its own names are not known."""
        nameless: Groups = dict.fromkeys(CLUB_GROUPS, ("club",))
        return self.noticing(dict.fromkeys(self.lexicons, nameless), frozenset(), shipped_weights())

    def spellings(
        self,
        club_words: frozenset[str],
        common_words: Iterable[str],
        said: Mapping[Language, frozenset[str]],
        also: Mapping[Language, frozenset[str]],
    ) -> dict[Language, Spelling]:
        """How texts are spelled: slips are mended against the lexicon's words, those that are `said` in rules and the club's own; `also` are
        further words that a slip is taken for as easily as for the club's.
        """
        days = DaySlips(self.lexicons.values())
        found: dict[Language, Spelling] = {}
        for language, lexicon in self.lexicons.items():
            words = lexicon.words() | club_words | also.get(language, frozenset())
            found[language] = lexicon.spelling(_one_after_the_other(days, Speller(words, common_words, said[language])))
        return found

    def _of_orders(self) -> dict[Language, frozenset[str]]:
        """The words that orders are told by, those of a few letters left out."""
        found: dict[Language, frozenset[str]] = {}
        for language, rules in self.rules.items():
            of_rules = (one for rule in rules if rule.says.startswith(ORDER) for one in rule.when)
            of_groups = (
                way for name, ways in self.groups[language].items() if name.startswith(_ORDER_GROUPS) for way in ways
            )
            said = (word for written in (*of_rules, *of_groups) for word in spoken_in(written))
            found[language] = frozenset(word for word in said if len(word) >= _LONG_ENOUGH and word.isalpha())
        return found

    def said(self, language: Language) -> frozenset[str]:
        """The words that the rules look for, "bleed*" for all that begin so: none of them is a slip."""
        of_rules = (
            one
            for rule in self.rules[language]
            for one in (*rule.when, *rule.unless, *rule.not_after, *rule.not_before)
        )
        of_groups = (way for ways in self.groups[language].values() for way in ways)
        return frozenset(word for written in (*of_rules, *of_groups) for word in spoken_in(written))


def _one_after_the_other(days: DaySlips, others: Speller) -> Callable[[str], str]:
    """Mends slips of days first: "thrusday" is so common that word lists have it."""
    kept: dict[str, str] = {}

    def mend(word: str) -> str:
        if word not in kept:
            if len(kept) > _MOST_KEPT:  # strangers' words must not fill the memory
                kept.clear()
            day = days.mend(word)
            kept[word] = day if day != word else others.mend(word)
        return kept[word]

    return mend


@lru_cache(maxsize=1)
def shipped_language_files() -> LanguageFiles:
    """Those of the package. KnowledgeFault where one cannot be used.

    Its phrases are not tried here: whoever makes them ready finds a wrong one, and each start would try them twice.
    """
    with as_file(files("clubbot.understanding")) as folder:
        findings: list[Finding] = []
        found = _without_trying(folder, languages_in(folder), findings)
    if findings:
        raise KnowledgeFault(findings)
    return found


def shipped_faults() -> list[Finding]:
    """What is wrong in the package's own rules and lexicons."""
    with as_file(files("clubbot.understanding")) as folder:
        findings: list[Finding] = []
        read_language_files(folder, languages_in(folder), findings)
    return findings


@lru_cache(maxsize=8)
def shipped_days(country: str | None) -> Days:
    """The grammar of days and hours with the lexicons of the package, for a club in that country."""
    return Days(shipped_words(), country)


@lru_cache(maxsize=1)
def shipped_weights() -> WordWeights:
    """How common words are in the languages of the package."""
    languages, words = word_scores()
    letters = {
        letter: language for language, one in shipped_language_files().lexicons.items() for letter in one.letters
    }
    return WordWeights(languages, words, letters)


@lru_cache(maxsize=1)
def shipped_words() -> MixedWords:
    """The words of all languages of the package together."""
    return MixedWords(shipped_language_files().lexicons.values())


def shipped_number_words() -> frozenset[str]:
    """Words for numbers from 2 to 10: a one is an article too, and more is seldom said of what people ask."""
    lexicons = shipped_language_files().lexicons.values()
    return frozenset(word for one in lexicons for word, number in one.numbers.items() if 2 <= number <= _COUNTED)


def shipped_people() -> Callable[[str], People]:
    """Reads how many people a text says are coming, with the lexicons of the package."""
    mixed = shipped_words()
    lists = people_words(mixed.lexicons)
    return lambda text: people_coming(text, mixed.words(text), lists)


def languages_in(folder: Path) -> tuple[Language, ...]:
    """The languages that texts are read in: those that have a lexicon."""
    return tuple(sorted(one.name for one in (folder / "lexicon").iterdir() if one.is_dir()))


def read_language_files(folder: Path, languages: tuple[Language, ...], findings: list[Finding]) -> LanguageFiles:
    """The files in the folders `lexicon` and `rules` of a folder; what is wrong in them becomes findings."""
    found = _without_trying(folder, languages, findings)
    for language in languages:
        findings += _faults(_rule_files(folder, language, []), found.groups[language])
    return found


def _without_trying(folder: Path, languages: tuple[Language, ...], findings: list[Finding]) -> LanguageFiles:
    """The same, where no phrase of a rule is made ready."""
    lexicons = {language: lexicon_of(folder / "lexicon" / language, language, findings) for language in languages}
    rules: dict[Language, tuple[WrittenRule, ...]] = {}
    groups: dict[Language, Groups] = {}
    for language in languages:
        read = _rule_files(folder, language, findings)
        of_rules = {name: ways for _, file in read for name, ways in file.groups.items()}
        groups[language] = {**lexicons[language].all_groups(), **of_rules}
        rules[language] = tuple(_written(entry) for _, file in read for entry in file.rule)
        findings += _groups_twice(read, lexicons[language])
    return LanguageFiles(lexicons, rules, groups)


def _rule_files(folder: Path, language: Language, findings: list[Finding]) -> list[tuple[Path, _RuleFile]]:
    return [(file, _rules(file, findings)) for file in sorted((folder / "rules" / language).glob("*.toml"))]


def _groups_twice(read: list[tuple[Path, _RuleFile]], lexicon: Lexicon) -> list[Finding]:
    """Groups that two files of a language give, of which the one would be lost without a word; so with one that the lexicon gives, and with one
    that has the name of the club's own things.
    """
    found: list[Finding] = []
    given = dict.fromkeys(lexicon.all_groups(), "the lexicon") | dict.fromkeys(CLUB_GROUPS, "the club's own names")
    for file, rules in read:
        for name in rules.groups:
            if name in given:
                said = f'the group "{name}" stands in {given[name]} too'
                found.append(error(file, line_of(file, ("groups", name)), said, "keep one of them, or rename this one"))
        given |= dict.fromkeys(rules.groups, file.name)
    return found


def _faults(read: list[tuple[Path, _RuleFile]], groups: Groups) -> list[Finding]:
    """Phrases that cannot be read, groups that nobody gave, ids that stand twice."""
    found: list[Finding] = []
    known = named({**groups, **dict.fromkeys(CLUB_GROUPS, ("club",))})
    seen: set[str] = set()
    for file, rules in read:
        for place, entry in enumerate(rules.rule):
            if entry.id in seen:
                line = line_of(file, ("rule", place, "id"))
                found.append(
                    error(file, line, f'the rule "{entry.id}" stands twice', "give each rule an id of its own")
                )
            seen.add(entry.id)
            try:
                Rules({"en": [_written(entry)]}, {"en": known})
            except PhraseFault as fault:
                line = line_of(file, ("rule", place, "id"))
                found.append(error(file, line, str(fault), "see understanding/phrases.py for how a phrase is written"))
    return found


def _written(entry: _RuleEntry) -> WrittenRule:
    return WrittenRule(
        id=entry.id,
        says=entry.says,
        when=tuple(entry.when),
        unless=tuple(entry.unless),
        not_after=tuple(entry.not_after),
        not_before=tuple(entry.not_before),
        whole=entry.whole,
        begins=entry.begins,
        examples=tuple(entry.examples),
        counterexamples=tuple(entry.counterexamples),
    )


def _rules(file: Path, findings: list[Finding]) -> _RuleFile:
    table: Table = read_table(file, findings)
    try:
        return _RuleFile.model_validate(table)
    except ValidationError as fault:
        findings += what_is_wrong(file, fault)
        return _RuleFile()
