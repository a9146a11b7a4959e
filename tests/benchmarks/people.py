"""How well the number of people is read, by itself: right, wrong, not seen, and seen where there is none.

`python -m tests.benchmarks.people FILE... [--wrong]`

A file holds one JSON object a line: labelled messages ({"text", "want", "party"}: the answers to events among them are looked at, the
sender counted where no number is said, as `conversation/coming` does), or texts with what they say of people ({"text", "people"}).
"""

import argparse
import json
from collections import Counter
from collections.abc import Iterator
from pathlib import Path

from clubbot.handbook.language_files import shipped_people
from clubbot.understanding.people import People

_ANSWERS = {"rsvp-yes", "rsvp-maybe", "rsvp-change"}


def cases(file: Path) -> Iterator[tuple[str, int | None, bool]]:
    """Text, the number it says, and whether the sender alone is meant where none is said."""
    for line in file.read_text("utf-8").splitlines():
        one = json.loads(line)
        if "people" in one:
            yield one["text"], one["people"], False
        elif "rsvp-maybe" in one["want"] and one.get("party") is None:
            continue  # the writers left the number of a maybe out
        elif _ANSWERS & set(one["want"]):
            yield one["text"], one.get("party"), "rsvp-change" not in one["want"]
        elif "rsvp-no" not in one["want"]:
            yield one["text"], None, False


def found_in(said: People, alone: bool) -> int | None:
    """The number read."""
    if said.party.total is not None or said.party.unclear:
        return said.party.total
    if alone:
        return 1 + max(0, said.party.more or 0)
    return None


def outcome(meant: int | None, found: int | None) -> str:
    """How one text went."""
    if meant == found:
        return "right" if meant is not None else "none, rightly"
    if meant is None:
        return "seen where there is none"
    return "not seen" if found is None else "wrong"


def main() -> None:
    """Print a table, and with --wrong the texts that went wrong."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("files", type=Path, nargs="+")
    parser.add_argument("--wrong", action="store_true")
    asked = parser.parse_args()
    people_coming = shipped_people()
    for file in asked.files:
        counted = Counter[str]()
        for text, meant, alone in cases(file):
            found = found_in(people_coming(text), alone)
            came = outcome(meant, found)
            counted[came] += 1
            if asked.wrong and came not in {"right", "none, rightly"}:
                print(f"  {came}: {meant} read as {found} | {text}")
        with_number = counted["right"] + counted["wrong"] + counted["not seen"]
        without = counted["none, rightly"] + counted["seen where there is none"]
        print(
            f"{file.name:22} n={with_number:4}"
            f"  right {counted['right'] / max(1, with_number):6.1%}  wrong {counted['wrong'] / max(1, with_number):6.1%}"
            f"  not seen {counted['not seen'] / max(1, with_number):6.1%}"
            f" | n={without:4} seen where none {counted['seen where there is none'] / max(1, without):.1%}"
        )


if __name__ == "__main__":
    main()
