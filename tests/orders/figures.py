"""How well order texts are read: `python -m tests.orders.figures [--show]`."""

import sys
import tomllib
from collections import Counter
from pathlib import Path

from clubbot.handbook.book import Handbook, open_handbook
from clubbot.handbook.learning import usual_folder
from tests.conftest import ROOT, learning_in_turn
from tests.orders.judging import Outcome, texted, verdict
from tests.orders.states import a_club

FILE = Path(__file__).parent / "texts.toml"


def lines() -> list[tuple[str, str, str, str, str]]:
    """Kind, who, before, text and label of every line."""
    kinds = tomllib.loads(FILE.read_text("utf-8"))
    return [(kind, *line) for kind, found in kinds.items() for line in found]


def judged(handbook: Handbook, who: str, before: str, text: str, label: str) -> tuple[str, Outcome]:
    """What became of a text, judged by its label."""
    outcome = texted(a_club(handbook, before, who), text)
    return verdict(label, outcome), outcome


def main() -> None:
    with learning_in_turn():
        handbook = open_handbook(ROOT / "knowledge", usual_folder())
    counts: dict[str, Counter[str]] = {}
    for kind, who, before, text, label in lines():
        found, outcome = judged(handbook, who, before, text, label)
        counts.setdefault(kind, Counter())[found] += 1
        if "--show" in sys.argv and found not in {"right", *(["asked back"] if "--all" not in sys.argv else [])}:
            print(
                f"{found}: {who} [{before}] {text!r}: {label}\n    {outcome.deeds} {outcome.changed} {outcome.said[:260]}"
            )
    total = sum(counts.values(), Counter())
    for kind, count in [*counts.items(), ("all", total)]:
        print(f"{kind}: {sum(count.values())} " + ", ".join(f"{name} {number}" for name, number in count.most_common()))


if __name__ == "__main__":
    main()
