"""The lexicon of a language, read from the files in its folder: understanding/lexicon/LANGUAGE/*.toml."""

from pathlib import Path

from pydantic import BaseModel, ConfigDict, Field, ValidationError

from clubbot.handbook.findings import Finding, error
from clubbot.handbook.tables import Table, line_of, read_table
from clubbot.model.messages import Language
from clubbot.understanding.days import ROLES as TIME_ROLES
from clubbot.understanding.holes import ROLES as HOLES_ROLES
from clubbot.understanding.lexicon import Lexicon, Neighbours
from clubbot.understanding.people_words import ROLES as PEOPLE_ROLES

_DAYS, _MONTHS = 7, 12
_OF_TIME = "no form of days or hours", "take a role that understanding/day_forms.py or hour_forms.py names"
_OF_HOLES = "nothing that is said of holes", "take a role that understanding/holes.py names"
_OF_PEOPLE = "nothing that is said of people", "take a role that understanding/people_words.py names"


class ClosedTable(BaseModel):
    """A table of a language's file, of these entries and no others."""

    model_config = ConfigDict(extra="forbid", frozen=True)


class _NeighboursEntry(ClosedTable):
    only_before: list[str] = Field(default_factory=list)
    only_after: list[str] = Field(default_factory=list)
    not_after: list[str] = Field(default_factory=list)
    not_before: list[str] = Field(default_factory=list)
    at_end: bool = False


class _LexiconFile(ClosedTable):
    written_out: dict[str, str] = Field(default_factory=dict)
    anywhere: dict[str, str] = Field(default_factory=dict)
    letters: str = ""
    endings: dict[str, str] = Field(default_factory=dict)
    weekdays: list[str] = Field(default_factory=list, max_length=_DAYS)
    months: list[str] = Field(default_factory=list, max_length=_MONTHS)
    numbers: dict[str, int] = Field(default_factory=dict)
    ordinals: dict[str, int] = Field(default_factory=dict)
    collectives: dict[str, int] = Field(default_factory=dict)
    groups: dict[str, list[str]] = Field(default_factory=dict)
    time: dict[str, list[str]] = Field(default_factory=dict)
    few: dict[str, float] = Field(default_factory=dict)
    feasts: dict[str, int] = Field(default_factory=dict)
    unsure: dict[str, _NeighboursEntry] = Field(default_factory=dict)
    no_slips: list[str] = Field(default_factory=list)
    kin: dict[str, list[str]] = Field(default_factory=dict)
    plurals: dict[str, str] = Field(default_factory=dict)
    plural_endings: list[str] = Field(default_factory=list)
    people: dict[str, list[str]] = Field(default_factory=dict)
    holes: dict[str, list[str]] = Field(default_factory=dict)


_AS_WRITTEN = _LexiconFile.model_fields.keys() - {"weekdays", "months", "unsure"}


def lexicon_of(folder: Path, language: Language, findings: list[Finding]) -> Lexicon:
    """The lexicon of a language, of all files in its folder together; each of its tables stands in one of them."""
    table: Table = {}
    for file in sorted(folder.glob("*.toml")):
        read = _lexicon_file(file, findings)
        findings += [
            error(file, line_of(file, (name,)), f"{name} stands in another file too", "keep one of them")
            for name in sorted(table.keys() & read.keys())
        ]
        table |= read
    one = _LexiconFile.model_validate(table)
    return Lexicon(
        language=language,
        **{name: getattr(one, name) for name in _AS_WRITTEN},
        weekdays={word: day for day, words in enumerate(one.weekdays) for word in words.split()},
        months={word: month for month, words in enumerate(one.months, start=1) for word in words.split()},
        unsure={word: Neighbours(**dict(neighbours)) for word, neighbours in one.unsure.items()},
    )


def _lexicon_file(file: Path, findings: list[Finding]) -> Table:
    """What a file of a lexicon says; nothing where it cannot be used."""
    read = read_table(file, findings)
    try:
        checked = _LexiconFile.model_validate(read)
    except ValidationError as fault:
        findings += what_is_wrong(file, fault)
        return {}
    for name, said, known, (nobody, instead) in (
        ("time", checked.time, TIME_ROLES, _OF_TIME),
        ("people", checked.people, PEOPLE_ROLES, _OF_PEOPLE),
        ("holes", checked.holes, HOLES_ROLES, _OF_HOLES),
    ):
        for role in sorted(said.keys() - known):
            findings.append(error(file, line_of(file, (name, role)), f'{nobody} has the role "{role}"', instead))
    return read


def what_is_wrong(file: Path, fault: ValidationError) -> list[Finding]:
    """What pydantic has against a file."""
    return [
        error(
            file,
            line_of(file, one["loc"]),
            f"{'.'.join(str(step) for step in one['loc'])}: {one['msg']}",
            "mend this entry",
        )
        for one in fault.errors()
    ]
