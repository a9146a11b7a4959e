"""The network that is taught: the encoder as clubbot/understanding/encoder.py runs it, a probability and an attention of its own for each
intent (label-wise attention, Mullenbach et al. 2018, section 2.3), and whether a text is for a club at all.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import torch
from torch import nn
from torch.nn import functional as fn

from clubbot.model.messages import Language
from clubbot.understanding.encoder import MOST_PIECES, tokens

WIDTH, HEADS, INNER, LAYERS = 384, 12, 1536, 6
_THEIRS = {
    "q": "attention.self.query", "k": "attention.self.key", "v": "attention.self.value", "o": "attention.output.dense",
    "n1": "attention.output.LayerNorm", "f1": "intermediate.dense", "f2": "output.dense", "n2": "output.LayerNorm",
}  # fmt: skip


@dataclass(frozen=True)
class Pieces:
    """The encoder's word list, the French words beside it with the English that each of those begins from, and the marks of what was said before."""

    places: dict[str, int]
    french: dict[str, int]
    meanings: dict[str, str]
    marks: dict[str, int]

    def of_word(self, word: str) -> list[int]:
        found, start = [], 0
        while start < len(word):
            mark = "##" if start else ""
            end = next((end for end in range(len(word), start, -1) if mark + word[start:end] in self.places), None)
            if end is None:
                return [self.places["[UNK]"]]
            found.append(self.places[mark + word[start:end]])
            start = end
        return found

    def of_text(self, text: str, language: Language, marks: Sequence[str] = ()) -> list[int]:
        found = [self.places["[CLS]"], *(self.marks[mark] for mark in marks if mark in self.marks)]
        for word in tokens(text):
            found += [self.french[word]] if language == "fr" and word in self.french else self.of_word(word)
        return [*found[: MOST_PIECES - 1], self.places["[SEP]"]]


@dataclass(frozen=True)
class Start:
    """The general English encoder that is begun from: its weights by name, and its word list."""

    weights: dict[str, torch.Tensor]
    pieces: Pieces


def begin(file: Path, marks: Sequence[str] = ()) -> Start:
    """The encoder of a file that tests/learning/begin.py has made, with rows for these marks."""
    kept = dict(np.load(file, allow_pickle=False))
    listed = bytes(kept.pop("vocab")).decode().splitlines()
    weights = {}
    for key, value in kept.items():
        if not key.endswith(".scale"):
            whole = value.astype(np.float32) * kept[f"{key}.scale"] if f"{key}.scale" in kept else value
            weights[key.removeprefix("bert.")] = torch.from_numpy(np.ascontiguousarray(whole))
    glosses = (Path(__file__).parent / "french_words.tsv").read_text("utf-8").splitlines()
    meanings = dict(sorted(line.split("\t") for line in glosses))
    french = {word: len(listed) + place for place, word in enumerate(meanings)}
    marked = {mark: len(listed) + len(french) + place for place, mark in enumerate(marks)}
    return Start(weights, Pieces({piece: place for place, piece in enumerate(listed)}, french, meanings, marked))


class Layer(nn.Module):
    """One layer of the encoder."""

    def __init__(self) -> None:
        super().__init__()
        self.q, self.k, self.v, self.o = (nn.Linear(WIDTH, WIDTH) for _ in range(4))
        self.n1, self.n2 = nn.LayerNorm(WIDTH, eps=1e-12), nn.LayerNorm(WIDTH, eps=1e-12)
        self.f1, self.f2, self.drop = nn.Linear(WIDTH, INNER), nn.Linear(INNER, WIDTH), nn.Dropout(0.1)

    def forward(self, state: torch.Tensor, mask: torch.Tensor) -> torch.Tensor:
        texts, length, _ = state.shape

        def by_head(one: torch.Tensor) -> torch.Tensor:
            return one.view(texts, length, HEADS, WIDTH // HEADS).transpose(1, 2)

        seen = fn.scaled_dot_product_attention(
            by_head(self.q(state)), by_head(self.k(state)), by_head(self.v(state)), attn_mask=mask
        )
        state = self.n1(state + self.drop(self.o(seen.transpose(1, 2).reshape(texts, length, WIDTH))))
        return self.n2(state + self.drop(self.f2(fn.gelu(self.f1(state), approximate="tanh"))))


class Network(nn.Module):
    """The encoder with its heads: each intent's odds, and those that a text is for us."""

    def __init__(self, intents: int, start: Start) -> None:
        super().__init__()
        rows = len(start.pieces.places) + len(start.pieces.french) + len(start.pieces.marks)
        self.words = nn.Embedding(rows, WIDTH, sparse=True)
        self.positions, self.kinds = nn.Embedding(512, WIDTH), nn.Embedding(2, WIDTH)
        self.n, self.drop = nn.LayerNorm(WIDTH, eps=1e-12), nn.Dropout(0.1)
        self.layers = nn.ModuleList(Layer() for _ in range(LAYERS))
        self.look = nn.Parameter(torch.randn(WIDTH, intents) * 0.02)
        self.head = nn.Parameter(torch.randn(intents, WIDTH) * 0.02)
        self.head_bias = nn.Parameter(torch.full((intents,), -4.0))
        self.scope = nn.Linear(WIDTH, 1)
        self._begin_from(start)

    def _begin_from(self, start: Start) -> None:
        kept, pieces = start.weights, start.pieces
        words = kept["embeddings.word_embeddings.weight"]
        french = [
            words[
                [place for one in pieces.meanings[word].split() for place in pieces.of_word(one)]
                or pieces.of_word(word)
            ].mean(0)
            for word in pieces.french
        ]
        marks = [
            words[[place for one in mark.replace("-", " ").split() for place in pieces.of_word(one)]].mean(0) for mark in pieces.marks
        ]  # fmt: skip
        own = {
            "words.weight": torch.cat([words, torch.stack([*french, *marks])]),
            "positions.weight": kept["embeddings.position_embeddings.weight"],
            "kinds.weight": kept["embeddings.token_type_embeddings.weight"],
            "n.weight": kept["embeddings.LayerNorm.weight"],
            "n.bias": kept["embeddings.LayerNorm.bias"],
        }
        for number in range(LAYERS):
            for name, other in _THEIRS.items():
                for part in ("weight", "bias"):
                    own[f"layers.{number}.{name}.{part}"] = kept[f"encoder.layer.{number}.{other}.{part}"]
        missing, unknown = self.load_state_dict(own, strict=False)
        assert not unknown, unknown
        assert all(key.startswith(("head", "look", "scope")) for key in missing), missing

    def forward(self, places: torch.Tensor, mask: torch.Tensor) -> tuple[torch.Tensor, torch.Tensor]:
        """The odds (as logits) of each intent, texts x intents, and of being for us, texts."""
        with torch.autocast(places.device.type, torch.bfloat16):
            state = self.words(places) + self.positions.weight[: places.shape[1]] + self.kinds.weight[0]
            state = self.drop(self.n(state))
            for layer in self.layers:
                state = layer(state, mask[:, None, None, :])
        state = state.float()
        among = mask[:, :, None].float()
        pooled = (state * among).sum(1) / among.sum(1)
        near = (state @ self.look).masked_fill(~mask[:, :, None], -1e4)
        seen = torch.einsum("tli,tlw->tiw", near.softmax(1), self.drop(state))
        return (seen * self.head).sum(-1) + self.head_bias, self.scope(pooled).squeeze(-1)


def padded(texts: list[list[int]], device: str) -> tuple[torch.Tensor, torch.Tensor]:
    """The pieces of texts as one table, and where there are any."""
    longest = max(len(one) for one in texts)
    places = torch.zeros(len(texts), longest, dtype=torch.long)
    mask = torch.zeros(len(texts), longest, dtype=torch.bool)
    for row, one in enumerate(texts):
        places[row, : len(one)] = torch.tensor(one)
        mask[row, : len(one)] = True
    return places.to(device), mask.to(device)
