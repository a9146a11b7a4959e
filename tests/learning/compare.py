"""Compare taught seeds: `python -m tests.learning.compare SEED.pt ... --begin BEGIN.npz --set LABELLED.jsonl ...`.

Prints, for each seed and for the mean of their probabilities, how texts are decided by two thresholds: from so
much probability up an intent is served, from so much doubt a text is not for us.
"""

import argparse
import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import get_args

import numpy as np
import numpy.typing as npt
import torch

from clubbot.model.caution import Risk
from clubbot.model.intent_kinds import SMALL_TALK
from clubbot.understanding.encoder import COUNTS, output_of, output_of_count
from tests.learning.network import Network, Pieces, padded
from tests.learning.teach import taught
from tests.learning.texts import of_file

Floats = npt.NDArray[np.float32]
_RISKS = frozenset(map(output_of, get_args(Risk)))
_COUNTS = [output_of_count(count) for count in COUNTS]
_NO_INTENTS = _RISKS | frozenset(_COUNTS)


@dataclass(frozen=True)
class Labelled:
    """A labelled text: its intents, none where it is outside, and what was said before."""

    text: str
    intents: frozenset[str]
    language: str
    marks: tuple[str, ...] = ()
    risky: bool | None = None  # None where nobody looked
    count: str | None = None  # None where nobody looked


@dataclass(frozen=True)
class Heard:
    """The probabilities of each intent, texts x intents, and of being for us, texts."""

    intents: Floats
    for_us: Floats


def labelled(file: Path) -> list[Labelled]:
    """The texts of a file."""
    rows = [json.loads(line) for line in file.read_text("utf-8").splitlines()]
    found = []
    for one, row in zip(of_file(file), rows, strict=True):
        risky = bool(one.risks) if "risk" in row else None
        found.append(Labelled(one.text, frozenset(one.intents), one.language, one.marks, risky, one.count))
    return found


def hear(network: Network, texts: Sequence[Labelled], pieces: Pieces, device: str) -> Heard:
    """What the network makes of them."""
    network.eval()
    intents, for_us = [], []
    with torch.no_grad():
        for begin_at in range(0, len(texts), 256):
            part = texts[begin_at : begin_at + 256]
            cut = [pieces.of_text(one.text, "fr" if one.language == "fr" else "en", one.marks) for one in part]
            odds, scope = network(*padded(cut, device))
            intents.append(odds.sigmoid().cpu().numpy())
            for_us.append(scope.sigmoid().cpu().numpy())
    return Heard(np.concatenate(intents), np.concatenate(for_us))


def figures(
    texts: Sequence[Labelled], heard: Heard, names: Sequence[str], clear: float, ours: float
) -> Mapping[str, float]:
    """Shares: exact, wrong (something served, none of it wanted), nothing served, and of what is outside how much is answered."""
    exact = wrong = nothing = inside = answered = outside = 0
    for row, one in enumerate(texts):
        clear_ones = {names[k] for k in np.flatnonzero(heard.intents[row] >= clear)} - _NO_INTENTS
        served = clear_ones if heard.for_us[row] >= ours else set()
        served = served - SMALL_TALK if served - SMALL_TALK else served
        wanted = one.intents - SMALL_TALK if one.intents - SMALL_TALK else one.intents
        if not wanted:
            outside += 1
            answered += bool(served)
            continue
        inside += 1
        exact += served == wanted
        nothing += not served
        wrong += bool(served) and not served & wanted
    share = max(1, inside)
    return {
        "exact": 100 * exact / share,
        "wrong": 100 * wrong / share,
        "nothing": 100 * nothing / share,
        "answered": 100 * answered / max(1, outside),
        "inside": inside,
        "outside": outside,
    }


def harms(texts: Sequence[Labelled], heard: Heard, names: Sequence[str]) -> Mapping[str, float]:
    """In a hundred: of what may harm somebody how much is heard from even odds up, and of all the rest how much is taken for it."""
    found: dict[str, float] = {}
    for output in ("danger", "stop", "hazard"):
        place = names.index(output)
        of = np.array([output in one.intents for one in texts])
        found |= _seen(output, of, heard.intents[:, place] >= 0.5)
    if set(names) >= _RISKS:
        places = [place for place, name in enumerate(names) if name in _RISKS]
        looked_at = np.array([one.risky is not None and "danger" not in one.intents for one in texts])
        of = np.array([bool(one.risky) for one in texts])
        found |= _seen("risk", of[looked_at], (heard.intents[:, places] >= 0.5).any(axis=1)[looked_at])
    return found


def counts(texts: Sequence[Labelled], heard: Heard, names: Sequence[str]) -> Mapping[str, float]:
    """In a hundred of the texts that were looked at for how many come: right, and wrong where a number is heard from even odds up."""
    looked_at = [row for row, one in enumerate(texts) if one.count in {*COUNTS, "0"}]
    if not looked_at or not set(_COUNTS) <= set(names):
        return {}
    odds = heard.intents[looked_at][:, [names.index(output) for output in _COUNTS]]
    said = np.where(odds.max(axis=1) >= 0.5, odds.argmax(axis=1), -1)
    meant = np.array([COUNTS.index(texts[row].count) if texts[row].count != "0" else -1 for row in looked_at])
    return {
        "count right": 100 * float((said == meant).mean()),
        "count wrong": 100 * float(((said != meant) & (said >= 0)).mean()),
    }


def _seen(name: str, of: npt.NDArray[np.bool_], seen: npt.NDArray[np.bool_]) -> dict[str, float]:
    missed, false = (of & ~seen).sum(), (seen & ~of).sum()
    return {
        f"{name} missed": 100 * float(missed) / max(1, int(of.sum())),
        f"{name} false": 100 * float(false) / max(1, int((~of).sum())),
    }


def main() -> None:
    """Compare."""
    parser = argparse.ArgumentParser()
    parser.add_argument("seeds", type=Path, nargs="+")
    parser.add_argument("--begin", type=Path, required=True)
    parser.add_argument("--set", type=Path, nargs="*", default=[])
    parser.add_argument(
        "--fit", type=Path, nargs="*", default=[], help="labelled texts by which the thresholds are chosen"
    )
    parser.add_argument("--device", default="cpu")
    asked = parser.parse_args()
    networks = {file.stem: taught(file, asked.begin, asked.device) for file in asked.seeds}
    names: list[str] = next(iter(networks.values()))[2]
    sets = {file.stem: labelled(file) for file in [*asked.fit, *asked.set]}
    heard: dict[str, dict[str, Heard]] = {}
    for which, (network, pieces, _) in networks.items():
        heard[which] = {name: hear(network, texts, pieces, asked.device) for name, texts in sets.items()}
    if len(networks) > 1:
        heard["mean"] = {
            name: Heard(
                np.mean([heard[which][name].intents for which in networks], axis=0),
                np.mean([heard[which][name].for_us for which in networks], axis=0),
            )
            for name in sets
        }
    for which, by_set in heard.items():
        best = max(
            ((clear, ours) for clear in (0.2, 0.25, 0.3, 0.35, 0.4, 0.5, 0.6) for ours in (0.3, 0.5, 0.7, 0.8, 0.9)),
            key=lambda two: sum(_worth(figures(sets[file.stem], by_set[file.stem], names, *two)) for file in asked.fit),
        )
        print(f"{which}: served from {best[0]}, for us from {best[1]}")
        for name in sets:
            found = figures(sets[name], by_set[name], names, *best)
            found = {**found, **harms(sets[name], by_set[name], names), **counts(sets[name], by_set[name], names)}
            print(f"  {name:22} " + "  ".join(f"{key} {value:.1f}" for key, value in found.items()))


def _worth(found: Mapping[str, float]) -> float:
    """What thresholds are chosen by: a wrong answer costs as much as two exact ones, one to what is outside too."""
    return found["exact"] - 2 * found["wrong"] - 1 * found["answered"]


if __name__ == "__main__":
    main()
