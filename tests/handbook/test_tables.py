"""TOML files as tables, and the line on which a key stands."""

from pathlib import Path

import pytest

from clubbot.handbook.findings import Finding, error, has_errors, warning
from clubbot.handbook.tables import line_of, read_table

EVENTS = """\
# what is on
[club]
name = "A Club"
price = 5            # not of an event

[[event]]
id = "league"
price = 5

[[event]]
id = "clinic"
starts = 10:30:00
meet = { en = "here", fr = "ici" }

[[event.change]]
day = 2027-06-12
starts = 11:00:00

[[event.change]]
day = 2027-07-10
called_off = true

[[event]]
id = "open"          # price = 7
price = 40

[rules]
check_by = 2027-12-31

[rules.time]
number = "802.03"

[holes]
rows = [
  { hole = 1, par = 3 },
  { hole = 2, par = 4 },
]
"""


@pytest.fixture
def events(tmp_path: Path) -> Path:
    file = tmp_path / "events.toml"
    file.write_text(EVENTS, "utf-8")
    return file


def line_that_says(words: str, nth: int = 1) -> int:
    """The number of the nth line that has these words in it."""
    found = [number for number, line in enumerate(EVENTS.splitlines(), start=1) if words in line]
    return found[nth - 1]


@pytest.mark.parametrize(
    ("path", "words", "nth"),
    [
        (("club", "name"), "name =", 1),
        (("club", "price"), "price = 5  ", 1),
        (("event", 0, "price"), "price = 5", 2),
        (("event", 1, "starts"), "starts = 10:30", 1),
        (("event", 1, "meet", "fr"), "meet =", 1),
        (("event", 1, "change", 0, "starts"), "starts = 11", 1),
        (("event", 1, "change", 1, "called_off"), "called_off", 1),
        (("event", 2, "price"), "price = 40", 1),
        (("rules", "check_by"), "check_by", 1),
        (("rules", "time", "number"), "802.03", 1),
        (("event", 2), "[[event]]", 3),
        (("rules",), "[rules]", 1),
    ],
)
def test_the_line_of_a_key_is_the_one_on_which_it_stands(
    events: Path, path: tuple[str | int, ...], words: str, nth: int
) -> None:
    assert line_of(events, path) == line_that_says(words, nth)


@pytest.mark.parametrize(
    ("path", "words", "nth"),
    [
        (("event", 0, "places"), "[[event]]", 1),
        (("event", 1, "price"), "[[event]]", 2),
        (("rules", "time", "edition"), "[rules.time]", 1),
    ],
)
def test_a_key_that_is_missing_is_told_by_the_line_of_its_table(
    events: Path, path: tuple[str | int, ...], words: str, nth: int
) -> None:
    assert line_of(events, path) == line_that_says(words, nth)


def test_a_table_that_is_missing_has_no_line(events: Path) -> None:
    assert line_of(events, ("person", 3, "name")) == 0
    assert line_of(events.with_name("people.toml"), ("person", 0)) == 0


def test_a_file_is_read_as_a_table(events: Path) -> None:
    findings: list[Finding] = []
    table = read_table(events, findings)

    assert findings == []
    assert [event["id"] for event in table["event"]] == ["league", "clinic", "open"]


def test_a_missing_file_is_a_finding_and_no_exception(tmp_path: Path) -> None:
    findings: list[Finding] = []

    assert read_table(tmp_path / "club.toml", findings) == {}
    assert [(one.severity, one.file, one.line) for one in findings] == [("error", tmp_path / "club.toml", 0)]
    assert "missing" in findings[0].wrong


# Source: TOML v1.0.0, "Spec": a TOML file must be a valid UTF-8 encoded document (MEMORY).
def test_a_file_in_another_encoding_is_a_finding(tmp_path: Path) -> None:
    file = tmp_path / "club.toml"
    file.write_bytes('name = "Fête"'.encode("latin-1"))
    findings: list[Finding] = []

    assert read_table(file, findings) == {}
    assert "UTF-8" in findings[0].wrong
    assert "UTF-8" in findings[0].mend


@pytest.mark.parametrize(
    ("text", "line"),
    [("a = 1\nb = [1,\nc = 2\n", 3), ('a = 1\nb = "no end\n', 2), ("a = 1\n[club\n", 2), ("a = 1\na = 2\n", 2)],
)
def test_bad_toml_is_told_by_its_line(tmp_path: Path, text: str, line: int) -> None:
    file = tmp_path / "club.toml"
    file.write_text(text, "utf-8")
    findings: list[Finding] = []

    assert read_table(file, findings) == {}
    assert [(one.severity, one.line) for one in findings] == [("error", line)]
    assert "TOML" in findings[0].wrong


def test_a_finding_reads_as_one_line_that_an_editor_can_jump_to() -> None:
    file = Path("knowledge/club.toml")

    assert str(error(file, 7, "it is wrong", "mend it")) == "knowledge/club.toml:7: error: it is wrong -> mend it"
    assert str(warning(file, 0, "it is old", "look at it")) == "knowledge/club.toml: warning: it is old -> look at it"


def test_only_errors_stand_in_the_way() -> None:
    file = Path("club.toml")

    assert not has_errors([])
    assert not has_errors([warning(file, 1, "old", "look")])
    assert has_errors([warning(file, 1, "old", "look"), error(file, 2, "wrong", "mend")])
