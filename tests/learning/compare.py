"""Compare taught seeds and keep their average: `python -m tests.learning.compare SEED.pt ... --begin BEGIN.npz --set LABELLED.jsonl ...`.

Prints, for each seed, the mean of their probabilities, and the mean of their weights, how texts are decided by two thresholds: from so
much probability up an intent is served, from so much doubt a text is not for us.
"""

import argparse
import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import numpy.typing as npt
import torch

from clubbot.model.intents import SMALL_TALK
from tests.learning.network import Network, Pieces, begin, padded

Floats = npt.NDArray[np.float32]


@dataclass(frozen=True)
class Labelled:
    """A labelled text: its wants, none where it is outside."""

    text: str
    wants: frozenset[str]
    language: str


@dataclass(frozen=True)
class Heard:
    """The probabilities of each intent, texts x intents, and of being for us, texts."""

    intents: Floats
    for_us: Floats


def labelled(file: Path) -> list[Labelled]:
    """The texts of a file."""
    rows = [json.loads(line) for line in file.read_text("utf-8").splitlines()]
    return [Labelled(row["text"], frozenset(row.get("want", [])) - {"outside"}, row.get("lang", "en")) for row in rows]


def hear(network: Network, texts: Sequence[Labelled], pieces: Pieces, device: str) -> Heard:
    """What the network makes of them."""
    network.eval()
    intents, for_us = [], []
    with torch.no_grad():
        for begin_at in range(0, len(texts), 256):
            part = texts[begin_at : begin_at + 256]
            cut = [pieces.of_text(one.text, "fr" if one.language == "fr" else "en") for one in part]
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
        served = {names[k] for k in np.flatnonzero(heard.intents[row] >= clear)} if heard.for_us[row] >= ours else set()
        served = served - SMALL_TALK if served - SMALL_TALK else served
        wanted = one.wants - SMALL_TALK if one.wants - SMALL_TALK else one.wants
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


def main() -> None:
    """Compare, and keep the average of the weights."""
    parser = argparse.ArgumentParser()
    parser.add_argument("seeds", type=Path, nargs="+")
    parser.add_argument("--begin", type=Path, required=True)
    parser.add_argument("--set", type=Path, nargs="*", default=[])
    parser.add_argument(
        "--fit", type=Path, nargs="*", default=[], help="labelled texts by which the thresholds are chosen"
    )
    parser.add_argument("--device", default="cpu")
    parser.add_argument("--out", type=Path)
    asked = parser.parse_args()
    start = begin(asked.begin)
    kept = [torch.load(file, map_location=asked.device, weights_only=True) for file in asked.seeds]
    names: list[str] = kept[0]["intents"]
    network = Network(len(names), start).to(asked.device)
    sets = {file.stem: labelled(file) for file in [*asked.fit, *asked.set]}
    heard: dict[str, dict[str, Heard]] = {}
    for file, one in zip(asked.seeds, kept, strict=True):
        network.load_state_dict(one["state"])
        heard[file.stem] = {name: hear(network, texts, start.pieces, asked.device) for name, texts in sets.items()}
    if len(kept) > 1:
        heard["mean of probabilities"] = {
            name: Heard(
                np.mean([heard[file.stem][name].intents for file in asked.seeds], axis=0),
                np.mean([heard[file.stem][name].for_us for file in asked.seeds], axis=0),
            )
            for name in sets
        }
        state = {key: sum(one["state"][key].float() for one in kept) / len(kept) for key in kept[0]["state"]}
        network.load_state_dict(state)
        heard["mean of weights"] = {
            name: hear(network, texts, start.pieces, asked.device) for name, texts in sets.items()
        }
        if asked.out is not None:
            torch.save({"intents": names, "state": state}, asked.out)
    for which, by_set in heard.items():
        best = max(
            ((clear, ours) for clear in (0.2, 0.25, 0.3, 0.35, 0.4, 0.5, 0.6) for ours in (0.3, 0.5, 0.7, 0.8, 0.9)),
            key=lambda two: sum(_worth(figures(sets[file.stem], by_set[file.stem], names, *two)) for file in asked.fit),
        )
        print(f"{which}: served from {best[0]}, for us from {best[1]}")
        for name in sets:
            found = figures(sets[name], by_set[name], names, *best)
            print(f"  {name:22} " + "  ".join(f"{key} {value:.1f}" for key, value in found.items()))


def _worth(found: Mapping[str, float]) -> float:
    """What thresholds are chosen by: a wrong answer costs as much as two exact ones, one to what is outside too."""
    return found["exact"] - 2 * found["wrong"] - 1 * found["answered"]


if __name__ == "__main__":
    main()
