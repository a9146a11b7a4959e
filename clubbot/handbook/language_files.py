"""The lexicon and the rules of each language, read from their files: understanding/lexicon/LANGUAGE.toml, understanding/rules/LANGUAGE/*.toml.

A file with a mistake stops the start and `clubbot check`, and is named with its line.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import lru_cache
from importlib.resources import as_file, files
from pathlib import Path

from pydantic import BaseModel, ConfigDict, Field, ValidationError

from clubbot.handbook.findings import Finding, error
from clubbot.handbook.tables import Table, line_of, read_table
from clubbot.model.errors import KnowledgeFault
from clubbot.model.messages import LANGUAGES, Language
from clubbot.understanding.lexicon import Lexicon
from clubbot.understanding.phrases import Groups, PhraseFault
from clubbot.understanding.rules import Rules, WrittenRule

_DAYS, _MONTHS = 7, 12
_FEWEST = 2
# What the rules of orders say begins so.
ORDER = "order "


class _File(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True)


class _LexiconFile(_File):
    written_out: dict[str, str] = Field(default_factory=dict)
    endings: dict[str, str] = Field(default_factory=dict)
    weekdays: list[str] = Field(default_factory=list, max_length=_DAYS)
    months: list[str] = Field(default_factory=list, max_length=_MONTHS)
    numbers: dict[str, int] = Field(default_factory=dict)
    ordinals: dict[str, int] = Field(default_factory=dict)
    groups: dict[str, list[str]] = Field(default_factory=dict)


class _RuleEntry(_File):
    id: str
    says: str
    when: list[str] = Field(min_length=1)
    unless: list[str] = Field(default_factory=list)
    not_after: list[str] = Field(default_factory=list)
    not_before: list[str] = Field(default_factory=list)
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

    def phrases(self, language: Language, names: Groups) -> Iterator[str]:
        """Every row of words of the language's groups and of the club's names, and every phrase that a rule looks for."""
        for ways in (*self.groups[language].values(), *names.values()):
            yield from ways
        for rule in self.rules[language]:
            yield from rule.when

    def ready(self, names: Mapping[Language, Groups], *, orders: bool) -> Rules:
        """The rules of orders, or all others, ready for use, with the club's own names as groups."""
        return Rules(
            {
                language: [rule for rule in rules if rule.says.startswith(ORDER) == orders]
                for language, rules in self.rules.items()
            },
            {language: {**self.groups[language], **names.get(language, {})} for language in self.rules},
        )


@lru_cache(maxsize=1)
def shipped_language_files() -> LanguageFiles:
    """Those of the package. KnowledgeFault where one cannot be used."""
    with as_file(files("clubbot.understanding")) as folder:
        findings: list[Finding] = []
        found = read_language_files(folder, LANGUAGES, findings)
    if findings:
        raise KnowledgeFault(findings)
    return found


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


# Names of the club's own things, which stand in the groups of a running club.
CLUB_GROUPS = ("event", "loop", "person", "list")


def _faults(read: list[tuple[Path, _RuleFile]], groups: Groups) -> list[Finding]:
    """Phrases that cannot be read, groups that nobody gave, ids that stand twice."""
    found: list[Finding] = []
    known = {**groups, **dict.fromkeys(CLUB_GROUPS, ("club",))}
    seen: set[str] = set()
    for file, rules in read:
        for place, entry in enumerate(rules.rule):
            line = line_of(file, ("rule", place, "id"))
            if entry.id in seen:
                found.append(
                    error(file, line, f'the rule "{entry.id}" stands twice', "give each rule an id of its own")
                )
            seen.add(entry.id)
            try:
                Rules({"en": [_written(entry)]}, {"en": known})
            except PhraseFault as fault:
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
        examples=tuple(entry.examples),
        counterexamples=tuple(entry.counterexamples),
    )


def _lexicon(file: Path, language: Language, findings: list[Finding]) -> Lexicon:
    try:
        read = _LexiconFile.model_validate(read_table(file, findings))
    except ValidationError as fault:
        findings += _what_is_wrong(file, fault)
        return Lexicon(language=language)
    return Lexicon(
        language=language,
        written_out=read.written_out,
        endings=read.endings,
        weekdays={word: day for day, words in enumerate(read.weekdays) for word in words.split()},
        months={word: month for month, words in enumerate(read.months, start=1) for word in words.split()},
        numbers=read.numbers,
        ordinals=read.ordinals,
        groups=read.groups,
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
