"""Fit what `understanding/thresholds.py` holds: `python -m tests.learning.fit FILE ...` prints the table.

By one in ten texts of the material, and by FILEs, labelled texts that nothing was learnt from either: JSON lines with "text", "want", "lang", and "after"
where something was said before.
First the logistic regressions that weigh the evidence (Newton's method with a little ridge), then the thresholds, one after the other
over a grid until none is better: what a decision is worth is in `worth`.
"""

import argparse
import itertools
import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, fields
from pathlib import Path

import numpy as np
import numpy.typing as npt

from clubbot.handbook.book import open_handbook
from clubbot.handbook.learning import usual_folder
from clubbot.model.intent_kinds import ACTS, SMALL_TALK
from clubbot.understanding import hearing, thresholds
from clubbot.understanding.deciding import Decision, decide
from clubbot.understanding.hearing import Evidence, terms, weighed
from clubbot.understanding.thresholds import Weighing
from tests.conftest import NOON, ROOT
from tests.learning.texts import Text, kept_to_fit, of_file, of_the_material

Floats = npt.NDArray[np.float64]
_RIDGE = 1e-2
# For each text that is for the club its phone gets so many that are not (our guess, no source).
_NOT_FOR_US = 0.25
_GRID = {
    "OURS": np.arange(0.1, 0.95, 0.05),
    "NEARLY_CERTAIN": (0.8, 0.85, 0.9, 0.95, 0.98),
    "OURS_WHERE_CERTAIN": np.arange(0.0, 0.7, 0.05),
    "OURS_TO_ACT": np.arange(0.3, 0.95, 0.05),
    "ANSWERED": np.arange(0.2, 0.7, 0.05),
    "DONE": np.arange(0.2, 0.8, 0.05),
    "TAKEN_AWAY": np.arange(0.3, 0.9, 0.05),
    "ALONE": np.arange(0.15, 0.6, 0.05),
    "STANDS_OUT": (1.0, 1.5, 2.0, 3.0, 5.0),
    "ASKED_BESIDE": (0.1, 0.15, 0.2, 0.25, 0.3, 0.4, 0.5),
    "CHOICE": (0.05, 0.08, 0.12, 0.15, 0.2),
    "CHOICES_TOGETHER": (0.2, 0.3, 0.4, 0.5),
    "MAYBE_DANGER": (0.1, 0.15, 0.2, 0.3, 0.5),
}


@dataclass(frozen=True)
class Seen:
    """A labelled text with the evidence of it."""

    text: Text
    evidence: Evidence


def newton(rows: Floats, labels: Floats) -> Floats:
    """The weights of a logistic regression."""
    weights = np.zeros(rows.shape[1])
    for _ in range(30):
        chance = 1 / (1 + np.exp(-rows @ weights))
        slope = rows.T @ (chance - labels) + _RIDGE * weights
        bend = (rows * (chance * (1 - chance))[:, None]).T @ rows + _RIDGE * np.eye(rows.shape[1])
        step = np.linalg.solve(bend, slope)
        weights -= step
        if float(np.abs(step).max()) < 1e-6:
            break
    return weights


def fitted(seen: Sequence[Seen]) -> dict[str, Weighing]:
    """The weighings; intents by texts that are for us, since whether they are is weighed by itself."""
    by_both: list[tuple[list[float], bool]] = []
    by_words: list[tuple[list[float], bool]] = []
    ours: list[tuple[list[float], bool]] = []
    ours_by_words: list[tuple[list[float], bool]] = []
    for one in seen:
        found = terms(one.evidence)
        named = float(one.evidence.named)
        ours.append(([1, found.for_us, found.stranger, named], one.text.for_us))
        ours_by_words.append(([1, found.stranger, named], one.text.for_us))
        if not one.text.for_us:
            continue
        for intent, term in found.intents.items():
            wanted = intent in one.text.intents
            by_words.append(([1, term.words, term.piece], wanted))
            if term.heard is not None:
                by_both.append(([1, term.heard, term.words], wanted))
    both = _newton_of(by_both) if by_both else [0.0] * 3  # without the sentence model
    words = _newton_of(by_words)
    for_us, for_us_by_words = _newton_of(ours), _newton_of(ours_by_words)
    return {
        "INTENT": Weighing(bias=both[0], heard=both[1], words=both[2]),
        "INTENT_BY_WORDS": Weighing(bias=words[0], words=words[1], piece=words[2]),
        "FOR_US": Weighing(bias=for_us[0], heard=for_us[1], words=for_us[2], named=for_us[3]),
        "FOR_US_BY_WORDS": Weighing(bias=for_us_by_words[0], words=for_us_by_words[1], named=for_us_by_words[2]),
    }


def _newton_of(rows: Sequence[tuple[list[float], bool]]) -> list[float]:
    weights = newton(np.array([row for row, _ in rows]), np.array([float(label) for _, label in rows]))
    return [round(float(one), 3) for one in weights]


def worth(decision: Decision, text: Text) -> float:
    """What a decision about a text is worth: an exact one is 1. What is wrong costs more than asking, an act that nobody wanted the most."""
    served = set(decision.served) - SMALL_TALK or set(decision.served)
    wanted = set(text.intents) - SMALL_TALK or set(text.intents)
    acts = len((served & ACTS) - wanted)
    if not text.for_us:
        return (
            -3.0 * bool(served)
            - 2.0 * acts
            - 0.5 * bool(decision.choices)
            + 1.0 * (not served and not decision.choices)
        )
    if served == wanted:
        return 1.0 - 0.2 * bool(decision.choices)
    lost = 0.5 * len((wanted & ACTS) - served - set(decision.choices))
    if served & wanted:
        return 0.3 - 0.2 * len(served - wanted) - 2.0 * acts - lost
    if served:
        return -2.0 - 2.0 * acts
    return 0.4 * bool(set(decision.choices) & wanted)


def total(seen: Sequence[Seen], chances: Sequence[hearing.Chances]) -> float:
    """What all decisions are worth. There are more texts here that are not for us than a club gets: they count for fewer."""
    ours = sum(one.text.for_us for one in seen)
    less = _NOT_FOR_US * ours / max(1, len(seen) - ours)
    decided = [(worth(decide(chance), one.text), one.text.for_us) for one, chance in zip(seen, chances, strict=True)]
    return sum(value * (1.0 if for_us else less) for value, for_us in decided)


def best_thresholds(seen: Sequence[Seen]) -> dict[str, float]:
    """Each threshold moved over its grid, one after the other, until none is better."""
    chances = [weighed(one.evidence) for one in seen]
    best = total(seen, chances)
    for _ in range(4):
        before = best
        for name, grid in _GRID.items():
            kept = getattr(thresholds, name)
            for value in grid:
                setattr(thresholds, name, round(float(value), 3))
                now = total(seen, chances)
                if now > best + 1e-9:
                    best, kept = now, round(float(value), 3)
            setattr(thresholds, name, kept)
        if best == before:
            break
    return {name: getattr(thresholds, name) for name in _GRID}


def counted(seen: Sequence[Seen]) -> Mapping[str, float]:
    """In a hundred: exact, wrong, asked of those that are for us; answered, asked of those that are not."""
    inside = [(decide(weighed(one.evidence)), set(one.text.intents)) for one in seen if one.text.for_us]
    outside = [decide(weighed(one.evidence)) for one in seen if not one.text.for_us]

    def bare(intents: set[str]) -> set[str]:
        return intents - SMALL_TALK or intents

    found = {
        "exact": sum(bare(set(one.served)) == bare(wanted) for one, wanted in inside) / max(1, len(inside)),
        "wrong": sum(bool(one.served) and not set(one.served) & wanted for one, wanted in inside) / max(1, len(inside)),
        "more": sum(bool(set(one.served) & wanted and bare(set(one.served)) - wanted) for one, wanted in inside)
        / max(1, len(inside)),
        "lost act": sum(len((wanted & ACTS) - {*one.served, *one.choices}) for one, wanted in inside if one.served)
        / max(1, sum(len(wanted & ACTS) for _, wanted in inside)),
        "asked": sum(bool(one.choices) for one, _ in inside) / max(1, len(inside)),
        "handed on": sum(not one.served and not one.choices for one, _ in inside) / max(1, len(inside)),
        "outside answered": sum(bool(one.served) for one in outside) / max(1, len(outside)),
        "outside asked": sum(bool(one.choices) for one in outside) / max(1, len(outside)),
    }
    return {
        "inside": len(inside),
        "outside": len(outside),
        **{name: round(100 * value, 1) for name, value in found.items()},
    }


def main() -> None:
    """Fit, and print the table and what it gives."""
    parser = argparse.ArgumentParser()
    parser.add_argument(
        "fit", type=Path, nargs="*", help="labelled texts to fit by, beside what is kept of the material"
    )
    parser.add_argument(
        "--strangers", type=Path, nargs="*", default=[], help="texts not for us: those kept to fit by count"
    )
    parser.add_argument("--set", type=Path, nargs="*", default=[], help="labelled texts to count afterwards")
    parser.add_argument("--keep", action="store_true", help="fit nothing, count with the table as it is")
    parser.add_argument("--by-words", action="store_true", help="without the sentence model")
    asked = parser.parse_args()
    reader = open_handbook(ROOT / "knowledge", usual_folder(), with_encoder=not asked.by_words).reader
    texts = {file.stem: of_file(file) for file in [*asked.fit, *asked.set]}
    texts["material"] = of_the_material()[1]
    texts |= {file.stem: [one for one in of_file(file) if kept_to_fit(one.text)] for file in asked.strangers}
    sets = {
        name: [Seen(one, reader.evidence(one.text, one.language, NOON, one.marks)) for one in found]
        for name, found in texts.items()
    }
    fitted_by = ["material", *(file.stem for file in [*asked.fit, *asked.strangers])]
    seen = list(itertools.chain.from_iterable(sets[name] for name in fitted_by))
    if not asked.keep:
        for name, weighing in fitted(seen).items():
            setattr(hearing, name, weighing)
            named = ", ".join(
                f"{one.name}={getattr(weighing, one.name)}" for one in fields(weighing) if getattr(weighing, one.name)
            )
            print(f"{name} = Weighing({named})")
        for name, value in best_thresholds(seen).items():
            print(f"{name} = {value}")
    for name, rows in sets.items():
        print(f"{name:22}", json.dumps(counted(rows)))


if __name__ == "__main__":
    main()
