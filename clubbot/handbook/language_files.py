"""The lexicon and the rules of each language, read from their files: understanding/lexicon/LANGUAGE.toml, understanding/rules/LANGUAGE/*.toml.

A file with a mistake stops the start and `clubbot check`, and is named with its line.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import lru_cache
from importlib.resources import as_file, files
from pathlib import Path

from pydantic import BaseModel, ConfigDict, Field, ValidationError

from clubbot.handbook.findings import Finding, error
from clubbot.handbook.phrasebook import word_weights
from clubbot.handbook.tables import Table, line_of, read_table
from clubbot.model.errors import KnowledgeFault
from clubbot.model.messages import LANGUAGES, Language
from clubbot.understanding.days import ROLES, Days
from clubbot.understanding.language import WordWeights
from clubbot.understanding.lexicon import Lexicon, Neighbours, words_in
from clubbot.understanding.noticing import Noticing
from clubbot.understanding.phrases import Groups, PhraseFault, named, spoken_in
from clubbot.understanding.plain import Speller
from clubbot.understanding.rules import Rules, WrittenRule
from clubbot.understanding.text import Spelling

# Names of the club's own things, which stand in the groups of a running club.
CLUB_GROUPS = ("event", "loop", "person", "list", "meet")

_DAYS, _MONTHS = 7, 12
_FEWEST = 2
_ROLES = "take a role that understanding/day_forms.py or hour_forms.py names"
# What the rules of orders say begins so.
ORDER = "order "
_ORDER_GROUPS = "order_"
# Letters of a word of an order that a slip is mended to.
_LONG_ENOUGH = 5


class _File(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True)


class _NeighboursEntry(_File):
    only_before: list[str] = Field(default_factory=list)
    only_after: list[str] = Field(default_factory=list)
    not_after: list[str] = Field(default_factory=list)
    not_before: list[str] = Field(default_factory=list)
    at_end: bool = False


class _LexiconFile(_File):
    written_out: dict[str, str] = Field(default_factory=dict)
    endings: dict[str, str] = Field(default_factory=dict)
    weekdays: list[str] = Field(default_factory=list, max_length=_DAYS)
    months: list[str] = Field(default_factory=list, max_length=_MONTHS)
    numbers: dict[str, int] = Field(default_factory=dict)
    ordinals: dict[str, int] = Field(default_factory=dict)
    groups: dict[str, list[str]] = Field(default_factory=dict)
    time: dict[str, list[str]] = Field(default_factory=dict)
    few: dict[str, float] = Field(default_factory=dict)
    feasts: dict[str, int] = Field(default_factory=dict)
    unsure: dict[str, _NeighboursEntry] = Field(default_factory=dict)
    no_slips: list[str] = Field(default_factory=list)


class _RuleEntry(_File):
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


class _RuleFile(_File):
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
        return Noticing(
            rules, orders, self.spellings(known, weights), self.spellings(known, weights, self._of_orders())
        )

    def of_any_club(self) -> Noticing:
        """The same where no club is opened: its own names are not known."""
        nameless: Groups = dict.fromkeys(CLUB_GROUPS, ("club",))
        return self.noticing(dict.fromkeys(LANGUAGES, nameless), frozenset(), word_weights())

    def spellings(
        self,
        club_words: frozenset[str],
        common_words: Iterable[str],
        also: Mapping[Language, frozenset[str]] | None = None,
    ) -> dict[Language, Spelling]:
        """How texts are spelled: slips are mended against the lexicon's words, those of the rules and the club's own; `also` are further
        words that a slip is taken for as easily as for the club's.
        """
        more = also or {}
        return {
            language: lexicon.spelling(
                Speller(
                    lexicon.words() | club_words | more.get(language, frozenset()), common_words, self.said(language)
                ).mend
            )
            for language, lexicon in self.lexicons.items()
        }

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


@lru_cache(maxsize=1)
def shipped_language_files() -> LanguageFiles:
    """Those of the package. KnowledgeFault where one cannot be used."""
    with as_file(files("clubbot.understanding")) as folder:
        findings: list[Finding] = []
        found = read_language_files(folder, LANGUAGES, findings)
    if findings:
        raise KnowledgeFault(findings)
    return found


def shipped_faults() -> list[Finding]:
    """What is wrong in the package's own rules and lexicons."""
    try:
        shipped_language_files()
    except KnowledgeFault as fault:
        return [one for one in fault.findings if isinstance(one, Finding)]
    return []


@lru_cache(maxsize=8)
def shipped_days(country: str | None) -> Days:
    """The grammar of days and hours with the lexicons of the package, for a club in that country."""
    return Days(shipped_language_files().lexicons.values(), country)


def read_language_files(folder: Path, languages: tuple[Language, ...], findings: list[Finding]) -> LanguageFiles:
    """The files in the folders `lexicon` and `rules` of a folder; what is wrong in them becomes findings."""
    lexicons = {
        language: _lexicon(folder / "lexicon" / f"{language}.toml", language, findings) for language in languages
    }
    rules: dict[Language, tuple[WrittenRule, ...]] = {}
    groups: dict[Language, Groups] = {}
    for language in languages:
        read = [(file, _rules(file, findings)) for file in sorted((folder / "rules" / language).glob("*.toml"))]
        of_rules = {name: ways for _, file in read for name, ways in file.groups.items()}
        groups[language] = {**lexicons[language].all_groups(), **of_rules}
        rules[language] = tuple(_written(entry) for _, file in read for entry in file.rule)
        findings += _faults(read, groups[language])
    return LanguageFiles(lexicons, rules, groups)


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


def _lexicon(file: Path, language: Language, findings: list[Finding]) -> Lexicon:
    try:
        read = _LexiconFile.model_validate(read_table(file, findings))
    except ValidationError as fault:
        findings += _what_is_wrong(file, fault)
        return Lexicon(language=language)
    for role in sorted(read.time.keys() - ROLES):
        findings.append(
            error(file, line_of(file, ("time", role)), f'no form of days or hours has the role "{role}"', _ROLES)
        )
    return Lexicon(
        language=language,
        written_out=read.written_out,
        endings=read.endings,
        weekdays={word: day for day, words in enumerate(read.weekdays) for word in words.split()},
        months={word: month for month, words in enumerate(read.months, start=1) for word in words.split()},
        numbers=read.numbers,
        ordinals=read.ordinals,
        groups=read.groups,
        time=read.time,
        few=read.few,
        feasts=read.feasts,
        unsure={word: Neighbours(**dict(one)) for word, one in read.unsure.items()},
        no_slips=read.no_slips,
    )


def _rules(file: Path, findings: list[Finding]) -> _RuleFile:
    table: Table = read_table(file, findings)
    try:
        return _RuleFile.model_validate(table)
    except ValidationError as fault:
        findings += _what_is_wrong(file, fault)
        return _RuleFile()


def _what_is_wrong(file: Path, fault: ValidationError) -> list[Finding]:
    return [
        error(
            file,
            line_of(file, one["loc"]),
            f"{'.'.join(str(step) for step in one['loc'])}: {one['msg']}",
            "mend this entry",
        )
        for one in fault.errors()
    ]
