"""What a sentence means as a whole: a small transformer encoder, taught on the ways of asking, in numpy.

The encoder is the one of BERT (Devlin et al. 2018, section 3) with post-layer normalisation, mean pooling (Reimers and
Gurevych 2019, section 3) and the tanh form of GELU (Hendrycks and Gimpel 2016, section 2). Its words are WordPieces (Wu et
al. 2016, section 4.1), longest match first; French words have rows of their own. Where it comes from and how it was taught:
tests/learning/README.md.
"""

import math
import unicodedata
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from clubbot.model.messages import Language
from clubbot.texting import patterns

Floats = npt.NDArray[np.float32]
Bytes = npt.NDArray[np.int8]

# Pieces of a text that are looked at. Of a longer one its beginning and, since a story comes before what is asked, rather more of its end.
MOST_PIECES = 64
_OF_THE_BEGINNING = 22
_MOST_WORDS = 400
_LONGEST_WORD = 60
_EPSILON = 1e-12
_TOKEN = patterns.compile(r"[a-z0-9]+|[^\sa-z0-9]")
_START, _END, _UNKNOWN = "[CLS]", "[SEP]", "[UNK]"


@dataclass(frozen=True, slots=True)
class Layer:
    """One layer's weights: attention (query, key and value side by side, output), the two normalisations, and the two dense steps."""

    qkv: Floats
    qkv_bias: Floats
    out: Floats
    out_bias: Floats
    norm_1: Floats
    norm_1_bias: Floats
    up: Floats
    up_bias: Floats
    down: Floats
    down_bias: Floats
    norm_2: Floats
    norm_2_bias: Floats


@dataclass(frozen=True, slots=True, kw_only=True)
class Weights:
    """All that was learnt. `rows` are the pieces' vectors in bytes, `row_scales` what a byte of each row is worth.

    `pieces` and `french` give the row of a piece and of a whole French word; `wants` are what `head` tells apart, `how_many` tells one,
    two or three wants.
    """

    pieces: Mapping[str, int]
    french: Mapping[str, int]
    rows: Bytes
    row_scales: Floats
    positions: Floats
    norm: Floats
    norm_bias: Floats
    layers: Sequence[Layer]
    heads: int
    wants: tuple[str, ...]
    head: Floats
    head_bias: Floats
    how_many: Floats
    how_many_bias: Floats


@dataclass(frozen=True, slots=True)
class Heard:
    """What a text sounds like as a whole: the probability of each want, and of one, two and three wants in it."""

    wants: Mapping[str, float]
    how_many: tuple[float, float, float]


class Encoder:
    """Hears one text at a time; the same text is always heard the same way."""

    def __init__(self, weights: Weights) -> None:
        self._weights = weights

    def hear(self, text: str, language: Language) -> Heard:
        """How `text`, taken to be of that language, sounds."""
        learnt = self._weights
        pooled = self._pooled(places_of(text, language, learnt))
        wants = _softmax(pooled @ learnt.head + learnt.head_bias)
        one, two, three = (float(share) for share in _softmax(pooled @ learnt.how_many + learnt.how_many_bias))
        return Heard(
            dict(zip(learnt.wants, (float(share) for share in wants), strict=True)),
            (one, two, three),
        )

    def _pooled(self, places: Sequence[int]) -> Floats:
        learnt = self._weights
        rows = learnt.rows[list(places)].astype(np.float32) * learnt.row_scales[list(places), None]
        state = _normed(rows + learnt.positions[: len(places)], learnt.norm, learnt.norm_bias)
        for layer in learnt.layers:
            state = _through(state, layer, learnt.heads)
        return np.asarray(state.mean(axis=0), dtype=np.float32)


def tokens(text: str) -> list[str]:
    """Words and marks in lower case without accents, as the encoder was taught them."""
    plain = text.lower().replace("œ", "oe").replace("æ", "ae").replace("’", "'")
    bare = "".join(one for one in unicodedata.normalize("NFD", plain) if not unicodedata.combining(one))
    return _TOKEN.findall(bare)


def places_of(text: str, language: Language, learnt: Weights) -> list[int]:
    """The rows of a text's pieces, between the marks of its start and end."""
    found: list[int] = []
    said = tokens(text)
    for token in said if len(said) <= _MOST_WORDS else [*said[:_OF_THE_BEGINNING], *said[-_MOST_WORDS:]]:
        whole = learnt.french.get(token) if language == "fr" else None
        found += [whole] if whole is not None else _pieces(token, learnt.pieces)
    most = MOST_PIECES - 2
    if len(found) > most:
        found = [*found[:_OF_THE_BEGINNING], *found[_OF_THE_BEGINNING - most :]]
    return [learnt.pieces[_START], *found, learnt.pieces[_END]]


def _pieces(token: str, known: Mapping[str, int]) -> list[int]:
    """A token cut into known pieces, longest first; unknown as a whole where a rest is left that is none."""
    if len(token) > _LONGEST_WORD:
        return [known[_UNKNOWN]]
    found: list[int] = []
    start = 0
    while start < len(token):
        ends = range(len(token), start, -1)
        mark = "##" if start else ""
        end = next((end for end in ends if mark + token[start:end] in known), None)
        if end is None:
            return [known[_UNKNOWN]]
        found.append(known[mark + token[start:end]])
        start = end
    return found


def _through(state: Floats, layer: Layer, heads: int) -> Floats:
    """One layer: every piece looks at every other, then is thought about by itself."""
    length, width = state.shape
    query, key, value = (
        (state @ layer.qkv + layer.qkv_bias).reshape(length, 3, heads, width // heads).transpose(1, 2, 0, 3)
    )
    near = np.asarray(query @ key.transpose(0, 2, 1) / math.sqrt(width // heads), dtype=np.float32)
    looks = _softmax(near)
    seen: Floats = (looks @ value).transpose(1, 0, 2).reshape(length, width)
    state = _normed(state + seen @ layer.out + layer.out_bias, layer.norm_1, layer.norm_1_bias)
    thought = _gelu(state @ layer.up + layer.up_bias) @ layer.down + layer.down_bias
    return _normed(state + thought, layer.norm_2, layer.norm_2_bias)


def _normed(state: Floats, scale: Floats, shift: Floats) -> Floats:
    centred = state - state.mean(axis=-1, keepdims=True)
    spread = np.sqrt(np.mean(centred * centred, axis=-1, keepdims=True) + np.float32(_EPSILON))
    return np.asarray(centred / spread * scale + shift, dtype=np.float32)


def _gelu(values: Floats) -> Floats:
    inner = np.float32(math.sqrt(2 / math.pi)) * (values + np.float32(0.044715) * values * values * values)
    return np.asarray(np.float32(0.5) * values * (1 + np.tanh(inner)), dtype=np.float32)


def _softmax(values: Floats) -> Floats:
    shifted = np.exp(values - values.max(axis=-1, keepdims=True))
    return np.asarray(shifted / shifted.sum(axis=-1, keepdims=True), dtype=np.float32)
