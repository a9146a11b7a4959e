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
    file = tmp_path / "lexicon" / "en.toml"
    file.parent.mkdir()
    file.write_text(LEXICON, "utf-8")
    findings: list[Finding] = []

    read_language_files(tmp_path, ("en",), findings)

    assert [(one.file, one.line) for one in findings] == [(file, 5)]
    assert '"tomorow"' in findings[0].wrong


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
    (tmp_path / "lexicon").mkdir()
    (tmp_path / "lexicon" / "en.toml").write_text("", "utf-8")
    (folder / "texts.toml").write_text(RULE.replace("{when}", when), "utf-8")
    findings: list[Finding] = []
    read_language_files(tmp_path, ("en",), findings)

    assert [(one.file.name, one.line) for one in findings] == [("texts.toml", 3)]
    assert told in findings[0].wrong
