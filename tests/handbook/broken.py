"""A copy of the demo club's knowledge to break, and what is found wrong with it."""

import shutil
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path

from clubbot.handbook.findings import Finding
from tests.conftest import ROOT


@dataclass(frozen=True)
class ClubFiles:
    """The knowledge files of a club in a folder of its own. Each change gives the line on which the new words begin."""

    folder: Path

    def change(self, file: str, old: str, new: str) -> int:
        """Replace `old`, which must stand there, where it comes first."""
        path = self.folder / file
        text = path.read_text("utf-8")
        assert old in text, f"{old!r} is not in {file}"
        path.write_text(text.replace(old, new, 1), "utf-8")
        return text[: text.index(old)].count("\n") + 1

    def add(self, file: str, text: str) -> int:
        """Write `text` at the end."""
        path = self.folder / file
        before = path.read_text("utf-8")
        path.write_text(before + text, "utf-8")
        return before.count("\n") + 1

    def write(self, file: str, text: str) -> None:
        """Write a file anew."""
        path = self.folder / file
        path.parent.mkdir(exist_ok=True)
        path.write_text(text, "utf-8")

    def read(self, file: str) -> str:
        """What a file says now."""
        return (self.folder / file).read_text("utf-8")


def a_club(tmp_path: Path) -> ClubFiles:
    """The demo club, unbroken."""
    return ClubFiles(Path(shutil.copytree(ROOT / "knowledge", tmp_path / "knowledge")))


def told(findings: Iterable[Finding], club: ClubFiles) -> list[tuple[str, str, int]]:
    """Severity, file and line of each finding."""
    return [(one.severity, str(one.file.relative_to(club.folder)), one.line) for one in findings]
