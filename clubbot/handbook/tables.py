"""The TOML files of the knowledge folder as tables, and the line on which a key stands."""

import re
import tomllib
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from clubbot.files import read_written, why
from clubbot.handbook.findings import Finding, error

Table = dict[str, Any]
_LINE = re.compile(r"line (\d+)")


def read_table(file: Path, findings: list[Finding]) -> Table:
    """The file as a table; empty, with a finding, where it is missing, cannot be read or is no TOML."""
    text = read_or_finding(file, findings)
    if text is None:
        return {}
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as fault:
        found = _LINE.search(str(fault))
        line = int(found[1]) if found else 0
        findings.append(
            error(
                file, line, f"this is not valid TOML: {fault}", "put words in straight quotes and close every bracket"
            )
        )
    return {}


def read_or_finding(file: Path, findings: list[Finding]) -> str | None:
    """The text of a knowledge file; None, with a finding that names it, where it cannot be read."""
    try:
        return read_written(file)
    except FileNotFoundError:
        findings.append(error(file, 0, "the file is missing", "make it; the demo club's file of that name shows how"))
    except UnicodeDecodeError:
        findings.append(error(file, 0, "the file is not UTF-8 text", "save it as UTF-8"))
    except OSError as fault:
        mend = "put an ordinary file in its place that clubbot may read, or take it away"
        findings.append(error(file, 0, f"the file cannot be read: {why(fault)}", mend))
    return None


def line_of(file: Path, path: Sequence[str | int]) -> int:
    """The line on which the key at `path` stands, such as ("event", 2, "price"); that of its table where it has none; else 0."""
    try:
        lines = read_written(file).splitlines()
    except (OSError, UnicodeDecodeError):
        return 0
    begin, end, keys, row = _section(lines, path)
    rows = [number for number in range(begin, end) if lines[number].strip().startswith("{")]
    if row is not None and row < len(rows):
        return rows[row] + 1
    line = begin
    for key in keys:
        pattern = re.compile(rf"""(?:^|[\s{{,])["']?{re.escape(key)}["']?(?:\.[\w.-]+)?\s*=""")
        found = next((n for n in range(begin, end) if pattern.search(lines[n].split("#")[0])), None)
        if found is None:
            break
        line, begin, end = found + 1, found, found + 1  # what lies below the key stands on its line
    return line


def _section(lines: Sequence[str], path: Sequence[str | int]) -> tuple[int, int, list[str], int | None]:
    """Lines of the deepest table header that `path` leads to, the names that remain below it, and which of its rows is meant."""
    begin, end, rest = 0, len(lines), [str(step) for step in path if isinstance(step, str)]
    name = ""
    row: int | None = None
    steps = list(path)
    for place, step in enumerate(steps):
        if isinstance(step, int):
            continue
        name = f"{name}.{step}" if name else step
        after = steps[place + 1] if place + 1 < len(steps) else None
        index = after if isinstance(after, int) else None
        headers = {f"[[{name}]]"} if index is not None else {f"[{name}]", f"[[{name}]]"}
        found = [number for number in range(begin, end) if lines[number].split("#")[0].strip() in headers]
        wanted = index or 0
        if wanted >= len(found):
            row = index
            break
        begin = found[wanted] + 1
        end = next((n for n in range(begin, end) if _closes(lines[n], name)), end)
        rest = rest[1:]
    if not begin:  # no header leads there: keys above the first one, if anywhere
        end = next((n for n, line in enumerate(lines) if line.lstrip().startswith("[")), end)
    return begin, end, rest, row


def _closes(line: str, name: str) -> bool:
    """Whether a header ends the table `name`: any header that is not one of its own sub-tables."""
    header = line.split("#")[0].strip()
    return header.startswith("[") and header.endswith("]") and not header.strip("[]").startswith(name + ".")
