"""Reads the table of opt-outs (opting_out.jsonl) and tells which of its texts are taken for one, or wrongly for none.

A line: {"text", "lang", "is": "out" or "none", "after"?: the text before it, "part"?: "unseen" where it was written before the rules and not
looked at while they were}. `python -m tests.understanding.opting_out [--show]` prints how many are right, by language and part.
"""

import json
import sys
from collections import Counter
from dataclasses import dataclass
from datetime import timedelta
from pathlib import Path

from clubbot.handbook.book import Handbook, open_handbook
from clubbot.handbook.learning import usual_folder
from clubbot.rehearsal import Rehearsal
from tests.builders import KIM
from tests.conftest import NOON, ROOT

FILE = Path(__file__).with_name("opting_out.jsonl")


@dataclass(frozen=True, slots=True)
class Row:
    """A text, and whether whoever sends it wants no more texts."""

    text: str
    language: str
    out: bool
    after: str | None
    unseen: bool


def rows() -> list[Row]:
    """All of the table."""
    read = (json.loads(line) for line in FILE.read_text("utf-8").splitlines())
    return [Row(one["text"], one["lang"], one["is"] == "out", one.get("after"), bool(one.get("part"))) for one in read]


def stopped(row: Row, handbook: Handbook) -> tuple[bool, str]:
    """Whether the sender is opted out afterwards, and what was replied."""
    club, now = Rehearsal(handbook), NOON
    for before in ("hi, is this the disc golf club?", row.after):
        if before is not None:
            club.text(KIM, before, now)
            now += timedelta(seconds=40)
    said = " / ".join(one.text for one in club.text(KIM, row.text, now))
    return club.text(KIM, "how long is a round", now + timedelta(minutes=10)) == [], said


def right(row: Row, handbook: Handbook) -> bool:
    """Whether it came out as its row has it."""
    return stopped(row, handbook)[0] is row.out


def main() -> None:
    """Print how many are right."""
    handbook = open_handbook(ROOT / "knowledge", usual_folder())
    good: Counter[tuple[str, str, str]] = Counter()
    of: Counter[tuple[str, str, str]] = Counter()
    for row in rows():
        kind = ("unseen" if row.unseen else "seen", row.language, "out" if row.out else "none")
        out, said = stopped(row, handbook)
        of[kind] += 1
        good[kind] += out is row.out
        if out is not row.out and "--show" in sys.argv:
            print(f"{kind} {row.text!r} -> {said[:110]!r}")
    for kind in sorted(of):
        print(*kind, f"{good[kind]}/{of[kind]}")


if __name__ == "__main__":
    main()
