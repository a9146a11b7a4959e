"""Teach the sentence model: `python -m tests.learning.teach OUT.pt --begin BEGIN.npz --seed 1 --device cuda`.

Starts from a general English sentence encoder (tests/learning/begin.py), gives common French words rows of their own (begun from
their English meaning, french_words.tsv), and fits it to what tests/learning/texts.py gives. Several seeds are taught and compared, and their
average kept (tests/learning/compare.py). A seed takes two to three minutes on a large accelerator.
"""

import argparse
import random
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import get_args

import torch
from torch import nn
from torch.nn import functional as fn

from clubbot.handbook.names_said import NamesSaid
from clubbot.model.caution import Risk
from clubbot.model.messages import LANGUAGES
from clubbot.understanding.encoder import COUNTS, output_of, output_of_count
from tests.learning.given import a_name
from tests.learning.network import Network, Pieces, begin, padded
from tests.learning.parties import a_party
from tests.learning.texts import (
    Joinable,
    Text,
    by_length,
    held_back,
    kept_to_fit,
    of_conversations,
    of_file,
    of_the_material,
    of_the_package,
    varied,
)

# Texts that teachers hear at once.
_AT_ONCE = 1024
# How much the number of those who come counts where it is labelled: few texts are.
_COUNTED = 3.0
# How often more texts of conversations with clubbot itself are learnt from: they are few, and the nearest to what it will meet.
_HELD = 3
_HARMS = frozenset({"danger", "stop", "hazard"})


def teaching_texts(strangers: Sequence[Path], often: int, most: int | None) -> tuple[list[Text], list[Text], list[str]]:
    """The texts to learn from, those kept back, and what odds are given of. Texts that ask for several things are few and tell the most."""
    singles, mixed = of_the_package()
    kept_back = [one for one in singles if held_back(one.text)]
    texts = [*(one for one in singles if not held_back(one.text)), *mixed, *mixed]
    material = of_the_material()[0]
    texts += material * often
    texts += of_conversations() * _HELD
    for file in strangers:
        texts += [one for one in of_file(file) if not kept_to_fit(one.text)]
    intents = sorted({intent for one in singles for intent in one.intents})
    texts = [one for one in texts if set(one.intents) <= set(intents)]
    if most is not None:
        texts = random.Random(0).sample(texts, most)
    return texts, kept_back[:most], [*intents, *map(output_of, get_args(Risk)), *map(output_of_count, COUNTS)]


def taught(file: Path, begin_at: Path, device: str) -> tuple[Network, Pieces, list[str]]:
    """A network that was taught before, its pieces and its intents."""
    kept = torch.load(file, map_location=device, weights_only=True)
    start = begin(begin_at, kept["marks"])
    network = Network(len(kept["intents"]), start).to(device)
    network.load_state_dict(kept["state"])
    network.eval()
    return network, start.pieces, kept["intents"]


Table = tuple[torch.Tensor, torch.Tensor]


def as_labelled(said: Sequence[Text], outputs: Sequence[str], smooth: float, device: str) -> Table:
    """What each text is labelled with: intents and risks, texts x outputs, and whether it is for us, texts."""
    place = {output: number for number, output in enumerate(outputs)}
    meant = torch.zeros(len(said), len(outputs))
    for row, one in enumerate(said):
        counts = [output_of_count(one.count)] if one.count in COUNTS else []
        meant[row, [place[output] for output in (*one.intents, *map(output_of, one.risks), *counts)]] = 1 - smooth
    return meant.to(device), torch.tensor([float(one.for_us) for one in said]).to(device)


def how_much(said: Sequence[Text], outputs: Sequence[str], outside: float, device: str) -> torch.Tensor:
    """How much each label counts, texts x outputs. What is not for us is told by its own head, so that the intents need not carry that doubt,
    but what may harm somebody is told apart there too; what nobody has labelled does not count.
    """
    place = {output: number for number, output in enumerate(outputs)}
    harms = torch.tensor([output in _HARMS or output.startswith("risk ") for output in outputs]).float()
    weights = torch.tensor([1.0 if one.for_us else outside for one in said])[:, None].maximum(harms[None, :])
    for row, one in enumerate(said):
        weights[row, [place[output] for output in one.unsure]] = 0.0
    counts = torch.tensor([output.startswith("count ") for output in outputs]).float()
    labelled = torch.tensor([_COUNTED if one.count in {*COUNTS, "0"} else 0.0 for one in said])
    weights = weights * (1 - counts)[None, :] + labelled[:, None] * counts[None, :]
    return weights.to(device)


def as_heard(teachers: Sequence[Network], cut: Sequence[Sequence[int]], device: str) -> Table:
    """What other networks make of all texts, on average (distillation: Hinton, Vinyals, Dean 2015, section 2)."""
    order = sorted(range(len(cut)), key=lambda which: len(cut[which]))
    odds: list[torch.Tensor] = []
    scope: list[torch.Tensor] = []
    with torch.no_grad():
        for at in range(0, len(order), _AT_ONCE):
            given = padded([list(cut[which]) for which in order[at : at + _AT_ONCE]], device)
            heard = [one(*given) for one in teachers]
            odds.append(torch.stack([one[0].sigmoid() for one in heard]).mean(0))
            scope.append(torch.stack([one[1].sigmoid() for one in heard]).mean(0))
    back = torch.empty(len(order), dtype=torch.long)
    back[torch.tensor(order)] = torch.arange(len(order))
    return torch.cat(odds)[back.to(device)], torch.cat(scope)[back.to(device)]


def teach(
    network: Network,
    texts: Sequence[Text],
    intents: Sequence[str],
    pieces: Pieces,
    teachers: Sequence[Network],
    keep: Callable[[], None],
    asked: argparse.Namespace,
) -> None:
    """Fit the network in place: to what the texts are labelled with, and where there are `teachers` mostly to what those make of them. After
    each pass `keep` is called.
    """
    joinable = Joinable(texts)
    heads = [one for name, one in network.named_parameters() if name.startswith(("head", "look", "scope"))]
    body = [
        one
        for name, one in network.named_parameters()
        if name != "words.weight" and not name.startswith(("head", "look", "scope"))
    ]
    rows = torch.optim.SparseAdam([network.words.weight], lr=asked.pace * 3)
    dense = torch.optim.AdamW([{"params": body, "lr": asked.pace}, {"params": heads, "lr": 2e-3}], weight_decay=0.01)
    steps, step = asked.epochs * ((len(texts) + asked.parties + asked.names) // asked.batch + 1), 0

    def share(done: int) -> float:
        return min(1.0, done / 300) * max(0.02, 1 - done / steps)

    pace = torch.optim.lr_scheduler.LambdaLR(dense, share)
    for epoch in range(asked.epochs):
        network.train()
        dice = random.Random(f"{asked.seed} {epoch}")
        parties = [a_party(dice.choice(LANGUAGES), NamesSaid(), dice) for _ in range(asked.parties)]
        names = [a_name(dice.choice(LANGUAGES), dice) for _ in range(asked.names)]
        said = [varied(one, joinable, dice) for one in (*texts, *parties, *names)]
        cut = [pieces.of_text(one.text, one.language, one.marks) for one in said]
        heard = as_heard(teachers, cut, asked.device) if teachers else None
        lost = 0.0
        for batch in by_length([len(one) for one in cut], asked.batch, dice):
            places, mask = padded([cut[which] for which in batch], asked.device)
            odds, scope = network(places, mask)
            meant, for_us = as_labelled([said[which] for which in batch], intents, asked.smooth, asked.device)
            # What teachers hear counts for what is not for us too.
            outside = asked.outside if heard is None else 1.0
            weight = how_much([said[which] for which in batch], intents, outside, asked.device)
            if heard is not None:
                theirs, theirs_for_us = heard[0][batch], heard[1][batch]
                meant, for_us = (
                    (1 - asked.theirs) * meant + asked.theirs * theirs,
                    (1 - asked.theirs) * for_us + asked.theirs * theirs_for_us,
                )
            by_label = fn.binary_cross_entropy_with_logits(odds, meant, reduction="none") * weight
            loss = by_label.sum() / weight.mean(1).sum().clamp(min=1)
            loss = loss + 0.5 * fn.binary_cross_entropy_with_logits(scope, for_us)
            dense.zero_grad()
            rows.zero_grad()
            loss.backward()
            nn.utils.clip_grad_norm_(body, 1.0)
            dense.step()
            rows.step()
            pace.step()
            step += 1
            rows.param_groups[0]["lr"] = asked.pace * 3 * share(step)
            lost = 0.99 * lost + 0.01 * loss.detach() if step > 1 else loss.detach()
        print(f"seed {asked.seed}: pass {epoch + 1} of {asked.epochs}, loss {float(lost):.3f}", flush=True)
        keep()


def main() -> None:
    """Teach one seed and keep it."""
    parser = argparse.ArgumentParser()
    parser.add_argument("out", type=Path)
    parser.add_argument("--begin", type=Path, required=True)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--epochs", type=int, default=4)
    parser.add_argument("--device", default="cpu")
    parser.add_argument("--strangers", type=Path, nargs="*", default=[], help="files of JSON lines that are not for us")
    parser.add_argument("--often", type=int, default=2, help="how often the material is learnt from")
    parser.add_argument(
        "--parties", type=int, default=6000, help="how many answers to events are put together for each pass"
    )
    parser.add_argument("--names", type=int, default=1500, help="how many names in answer to our question, likewise")
    parser.add_argument("--outside", type=float, default=0.0, help="how much the intents hear of what is not for us")
    parser.add_argument("--batch", type=int, default=64)
    parser.add_argument("--pace", type=float, default=2e-4, help="the highest learning rate of the encoder")
    parser.add_argument("--teachers", type=Path, nargs="*", default=[], help="networks whose average it is taught")
    parser.add_argument("--theirs", type=float, default=0.7, help="how much is taught by them, and not by the labels")
    parser.add_argument("--first", type=Path, help="a taught network to go on from")
    parser.add_argument("--smooth", type=float, default=0.02)
    parser.add_argument("--most", type=int, help="so many texts only: to try the code, not to use the result")
    asked = parser.parse_args()
    torch.manual_seed(asked.seed)
    texts, _, intents = teaching_texts(asked.strangers, asked.often, asked.most)
    marks = sorted({mark for one in texts for mark in one.marks})
    start = begin(asked.begin, marks)
    random.Random(asked.seed).shuffle(texts)
    network = Network(len(intents), start).to(asked.device)
    if asked.first is not None:
        network.load_state_dict(taught(asked.first, asked.begin, asked.device)[0].state_dict())
    teachers = [taught(file, asked.begin, asked.device)[0] for file in asked.teachers]
    outside = sum(not one.for_us for one in texts)
    print(f"seed {asked.seed}: {len(texts)} texts, {outside} not for us, {len(intents)} intents, {len(marks)} marks")

    def keep() -> None:
        torch.save({"intents": intents, "marks": marks, "state": network.state_dict()}, asked.out)

    teach(network, texts, intents, start.pieces, teachers, keep, asked)


if __name__ == "__main__":
    main()
