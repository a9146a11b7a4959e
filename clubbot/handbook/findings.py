"""What is wrong in the knowledge files, so that a volunteer can mend it: file, line, what, and what to do."""

from dataclasses import dataclass
from pathlib import Path
from typing import Literal

Severity = Literal["error", "warning"]


@dataclass(frozen=True, slots=True)
class Finding:
    """One thing to mend. Errors stop the files from being used, warnings do not. Line 0 is the file as a whole."""

    severity: Severity
    file: Path
    line: int
    wrong: str
    mend: str

    def __str__(self) -> str:
        where = f"{self.file}:{self.line}" if self.line else str(self.file)
        return f"{where}: {self.severity}: {self.wrong} -> {self.mend}"


def error(file: Path, line: int, wrong: str, mend: str) -> Finding:
    """A finding that stops the files from being used."""
    return Finding("error", file, line, wrong, mend)


def warning(file: Path, line: int, wrong: str, mend: str) -> Finding:
    """A finding that should be mended but stops nothing."""
    return Finding("warning", file, line, wrong, mend)


def has_errors(findings: list[Finding]) -> bool:
    """Whether any finding is an error."""
    return any(finding.severity == "error" for finding in findings)
