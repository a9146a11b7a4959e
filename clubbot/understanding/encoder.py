"""What a sentence means as a whole: a small transformer encoder, taught on the ways of asking, in its conversation.

The encoder is the one of BERT (Devlin et al. 2018, section 3) with the tanh form of GELU (Hendrycks and Gimpel 2016, section 2). Each
intent looks at its own pieces of the text and has odds of its own (Mullenbach et al. 2018, section 2.3); whether the text is for a club
at all is told by all of them (mean pooling, Reimers and Gurevych 2019, section 3). Its words are WordPieces (Wu et al. 2016,
section 4.1), longest match first; French words have rows of their own, and so have the marks of what was said before
(understanding/marks). Where it comes from and how it was taught: tests/learning/README.md.
"""

import unicodedata
from collections import OrderedDict
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import get_args

import numpy as np
import numpy.typing as npt

from clubbot.model.caution import Risk
from clubbot.model.messages import Language
from clubbot.texting import patterns

Floats = npt.NDArray[np.float32]
Bytes = npt.NDArray[np.int8]
# From the vectors of a text's pieces, pieces x width, the odds (as logits) of each intent and those of being for us.
Layers = Callable[[Floats], tuple[Floats, float]]

# What a text may say of how many come: so many in all, so many more or fewer than before, or that nobody can tell.
# So many at most are told as a number.
MOST_COUNTED = 12
COUNTS = (*(f"={many}" for many in range(1, MOST_COUNTED + 1)), "+1", "+2", "+3", "-1", "-2", "-3", "?")

# Pieces of a text that are looked at. Of a longer one its beginning and, since a story comes before what is asked, rather more of its end.
MOST_PIECES = 64
_OF_THE_BEGINNING = 22
_MOST_WORDS = 400
_LONGEST_WORD = 60
# Texts whose odds are kept: one is often heard again at once, by itself, in its conversation, and in its parts.
_KEPT = 256
_TOKEN = patterns.compile(r"[a-z0-9]+|[^\sa-z0-9]")
_START, _END, _UNKNOWN = "[CLS]", "[SEP]", "[UNK]"


@dataclass(frozen=True, slots=True, kw_only=True)
class Vectors:
    """What the pieces of a text begin as. `rows` are their vectors in bytes, `row_scales` what a byte of each row is worth; `pieces`, `wholes` and
    `marks` give the row of a piece, of a whole word of some language, and of what was said before.
    """

    pieces: Mapping[str, int]
    wholes: Mapping[Language, Mapping[str, int]]
    marks: Mapping[str, int]
    rows: Bytes
    row_scales: Floats
    positions: Floats


@dataclass(frozen=True, slots=True)
class Heard:
    """What a text sounds like as a whole: the odds (as logits) of each intent, those that it is for a club at all, those that it calls for
    the caution of each risk, and those of each count of people (`COUNTS`); no risks and no counts where the model was taught none.
    """

    intents: Mapping[str, float]
    for_us: float
    risks: Mapping[Risk, float] = field(default_factory=dict)
    counts: Mapping[str, float] = field(default_factory=dict)


class Encoder:
    """Hears one text at a time; the same text after the same is always heard the same way."""

    def __init__(self, vectors: Vectors, layers: Layers, outputs: Sequence[str]) -> None:
        """`outputs` are what the layers give odds of, in their order: intents by their id, and risks as `output_of` calls them."""
        self._vectors, self._layers = vectors, layers
        risks = {output_of(risk): risk for risk in get_args(Risk)}
        counts = {output_of_count(count): count for count in COUNTS}
        self._intents = [(place, one) for place, one in enumerate(outputs) if one not in risks and one not in counts]
        self._risks: list[tuple[int, Risk]] = [(place, risks[one]) for place, one in enumerate(outputs) if one in risks]
        self._counts = [(place, counts[one]) for place, one in enumerate(outputs) if one in counts]
        self._kept: OrderedDict[tuple[int, ...], Heard] = OrderedDict()

    def hear(self, text: str, language: Language, marks: Sequence[str] = ()) -> Heard:
        """How `text`, taken to be of that language, sounds after what its `marks` tell."""
        places = tuple(places_of(text, language, self._vectors, marks))
        heard = self._kept.get(places)
        if heard is None:
            heard = self._kept[places] = self._heard(places)
            if len(self._kept) > _KEPT:
                self._kept.popitem(last=False)
        return heard

    def _heard(self, places: Sequence[int]) -> Heard:
        learnt = self._vectors
        rows = learnt.rows[list(places)].astype(np.float32) * learnt.row_scales[list(places), None]
        odds, for_us = self._layers(rows + learnt.positions[: len(places)])
        return Heard(
            {intent: float(odds[place]) for place, intent in self._intents},
            float(for_us),
            {risk: float(odds[place]) for place, risk in self._risks},
            {count: float(odds[place]) for place, count in self._counts},
        )


def output_of(risk: Risk) -> str:
    """What the sentence model calls the odds that a text calls for that caution."""
    return f"risk {risk}"


def output_of_count(count: str) -> str:
    """What the sentence model calls the odds that a text says so many people come."""
    return f"count {count}"


def tokens(text: str) -> list[str]:
    """Words and marks in lower case without accents, as the encoder was taught them."""
    plain = text.lower().replace("œ", "oe").replace("æ", "ae").replace("’", "'")
    bare = "".join(one for one in unicodedata.normalize("NFD", plain) if not unicodedata.combining(one))
    return _TOKEN.findall(bare)


def places_of(text: str, language: Language, learnt: Vectors, marks: Sequence[str] = ()) -> list[int]:
    """The rows of a text's pieces, between those of its start, with what was said before, and of its end."""
    found: list[int] = []
    said, wholes = tokens(text), learnt.wholes.get(language, {})
    for token in said if len(said) <= _MOST_WORDS else [*said[:_OF_THE_BEGINNING], *said[-_MOST_WORDS:]]:
        whole = wholes.get(token)
        found += [whole] if whole is not None else _pieces(token, learnt.pieces)
    most = MOST_PIECES - 2
    if len(found) > most:
        found = [*found[:_OF_THE_BEGINNING], *found[_OF_THE_BEGINNING - most :]]
    before = [learnt.marks[mark] for mark in marks if mark in learnt.marks]
    return [learnt.pieces[_START], *before, *found, learnt.pieces[_END]]


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
