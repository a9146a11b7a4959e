"""The files of a language tell what is wrong in them, with the line."""

from pathlib import Path

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
