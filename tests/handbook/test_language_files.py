"""The files of a language tell what is wrong in them, with the line."""

from pathlib import Path

import pytest

from clubbot.handbook.findings import Finding
from clubbot.handbook.language_files import read_language_files

LEXICON = """weekdays = ["monday"]

[time]
tomorrow = ["tomorrow"]
tomorow = ["morrow"]
"""


def test_a_role_that_no_form_of_days_or_hours_has_is_told(tmp_path: Path) -> None:
    file = tmp_path / "lexicon" / "en" / "time.toml"
    file.parent.mkdir(parents=True)
    file.write_text(LEXICON, "utf-8")
    findings: list[Finding] = []

    read_language_files(tmp_path, ("en",), findings)

    assert [(one.file, one.line) for one in findings] == [(file, 5)]
    assert '"tomorow"' in findings[0].wrong


def test_a_role_that_nothing_said_of_people_has_is_told(tmp_path: Path) -> None:
    file = _lexicon(tmp_path, "people", '[people]\nsender = ["me"]\nsendre = ["i"]\n')
    findings: list[Finding] = []

    read_language_files(tmp_path, ("en",), findings)

    assert [(one.file, one.line) for one in findings] == [(file, 3)]
    assert '"sendre"' in findings[0].wrong


def test_a_table_that_stands_in_two_files_is_told(tmp_path: Path) -> None:
    _lexicon(tmp_path, "numbers", "[numbers]\none = 1\n")
    file = _lexicon(tmp_path, "time", "[numbers]\ntwo = 2\n")
    findings: list[Finding] = []

    read_language_files(tmp_path, ("en",), findings)

    assert [(one.file, one.line) for one in findings] == [(file, 1)]


def test_the_lexicon_of_a_language_is_all_its_files_together(tmp_path: Path) -> None:
    _lexicon(tmp_path, "numbers", "[numbers]\none = 1\n")
    _lexicon(tmp_path, "time", 'weekdays = ["monday mon"]\n')
    findings: list[Finding] = []

    lexicon = read_language_files(tmp_path, ("en",), findings).lexicons["en"]

    assert (lexicon.numbers, lexicon.weekdays, findings) == ({"one": 1}, {"monday": 0, "mon": 0}, [])


def _lexicon(folder: Path, matter: str, written: str) -> Path:
    file = folder / "lexicon" / "en" / f"{matter}.toml"
    file.parent.mkdir(parents=True, exist_ok=True)
    file.write_text(written, "utf-8")
    return file


RULE = """
[[rule]]
id = "a.rule"
says = "stop"
when = ["{when}"]
examples = ["one", "two"]
counterexamples = ["three", "four"]
"""


@pytest.mark.parametrize(
    ("when", "told"), [("(stop", ") is missing"), ("{nobody_gave_this}", "no group is called nobody_gave_this")]
)
def test_a_rule_with_a_mistake_is_told_with_its_file_and_line(tmp_path: Path, when: str, told: str) -> None:
    folder = tmp_path / "rules" / "en"
    folder.mkdir(parents=True)
    (folder / "texts.toml").write_text(RULE.replace("{when}", when), "utf-8")
    findings: list[Finding] = []
    read_language_files(tmp_path, ("en",), findings)

    assert [(one.file.name, one.line) for one in findings] == [("texts.toml", 3)]
    assert told in findings[0].wrong


def test_a_group_that_two_files_of_a_language_give_is_told_with_file_and_line(tmp_path: Path) -> None:
    _rules(tmp_path, "en", "a", '[groups]\nplain = ["a"]\nshut = ["closed"]\n')
    second = _rules(tmp_path, "en", "b", '[groups]\nother = ["b"]\n\nshut = ["locked"]\n')
    _rules(tmp_path, "fr", "a", '[groups]\nshut = ["fermé"]\n')
    findings: list[Finding] = []
    read_language_files(tmp_path, ("en", "fr"), findings)

    assert [(one.file, one.line, one.severity) for one in findings] == [(second, 4, "error")]
    assert '"shut" stands in a.toml too' in findings[0].wrong


@pytest.mark.parametrize(("group", "where"), [("opening", "the lexicon"), ("event", "the club's own names")])
def test_so_is_one_that_the_lexicon_or_the_club_gives(tmp_path: Path, group: str, where: str) -> None:
    _lexicon(tmp_path, "groups", '[groups]\nopening = ["hi"]\n')
    file = _rules(tmp_path, "en", "a", f'[groups]\n{group} = ["hello"]\n')
    findings: list[Finding] = []
    read_language_files(tmp_path, ("en",), findings)

    assert [(one.file, one.line) for one in findings] == [(file, 2)]
    assert where in findings[0].wrong


def _rules(folder: Path, language: str, matter: str, written: str) -> Path:
    (folder / "lexicon" / language).mkdir(parents=True, exist_ok=True)
    file = folder / "rules" / language / f"{matter}.toml"
    file.parent.mkdir(parents=True, exist_ok=True)
    file.write_text(written, "utf-8")
    return file
