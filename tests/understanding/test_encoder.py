"""How a text becomes pieces, and what the layers make of them."""

from collections.abc import Sequence

import numpy as np
import pytest

from clubbot.handbook.sentence_model import layers_of
from clubbot.understanding.encoder import MOST_PIECES, Encoder, Floats, Vectors, places_of, tokens
from tests.learning.graph import graph_of

PIECES = ["[CLS]", "[SEP]", "[UNK]", "dog", "park", "##ing", "##s", "?", "d", "##o", "##g"]
MARKS = ["after dogs", "awaits offer"]
WIDTH, INNER, HEADS = 4, 8, 2
INTENTS = ("dogs", "parking", "cost")


def _some(*shape: int, seed: int = 1) -> Floats:
    return np.random.default_rng(seed + sum(shape)).normal(size=shape).astype(np.float32)


def _state() -> dict[str, Floats]:
    """A tiny network of one layer with random weights, by its names in tests/learning/network.py."""
    state = {"n.weight": _some(WIDTH), "n.bias": _some(WIDTH, seed=2)}
    shapes = {"q": (WIDTH, WIDTH), "k": (WIDTH, WIDTH), "v": (WIDTH, WIDTH), "o": (WIDTH, WIDTH)}
    for seed, (name, shape) in enumerate({**shapes, "f1": (INNER, WIDTH), "f2": (WIDTH, INNER)}.items(), start=3):
        state[f"layers.0.{name}.weight"] = _some(*shape, seed=seed)
        state[f"layers.0.{name}.bias"] = _some(shape[0], seed=seed)
    for seed, name in enumerate(("n1", "n2"), start=20):
        state[f"layers.0.{name}.weight"] = _some(WIDTH, seed=seed)
        state[f"layers.0.{name}.bias"] = _some(WIDTH, seed=seed + 5)
    state |= {"look": _some(WIDTH, len(INTENTS)), "head": _some(len(INTENTS), WIDTH, seed=9)}
    return state | {"head_bias": _some(len(INTENTS)), "scope.weight": _some(1, WIDTH, seed=11), "scope.bias": _some(1)}


def _vectors() -> Vectors:
    return Vectors(
        pieces={piece: place for place, piece in enumerate(PIECES)},
        wholes={"fr": {"chien": len(PIECES)}},
        marks={mark: len(PIECES) + 1 + place for place, mark in enumerate(MARKS)},
        rows=np.random.default_rng(5).integers(-127, 127, size=(len(PIECES) + 3, WIDTH)).astype(np.int8),
        row_scales=np.full(len(PIECES) + 3, 0.01, dtype=np.float32),
        positions=_some(MOST_PIECES + 4, WIDTH),
    )


def _encoder() -> Encoder:
    return Encoder(_vectors(), layers_of(graph_of(_state(), HEADS).SerializeToString()), INTENTS)


def _pieces(text: str, language: str = "en", marks: Sequence[str] = ()) -> list[str]:
    named = [*PIECES, "chien", *MARKS]
    return [named[place] for place in places_of(text, "fr" if language == "fr" else "en", _vectors(), marks)]


def test_words_and_marks_are_told_apart_in_plain_small_letters() -> None:
    assert tokens("L’été, c'est ok?!") == ["l", "'", "ete", ",", "c", "'", "est", "ok", "?", "!"]


def test_a_word_is_cut_into_the_longest_pieces_that_are_known() -> None:
    assert _pieces("Dogs parking?") == ["[CLS]", "dog", "##s", "park", "##ing", "?", "[SEP]"]


def test_a_word_with_a_rest_that_is_no_piece_is_unknown_as_a_whole() -> None:
    assert _pieces("dogx") == ["[CLS]", "[UNK]", "[SEP]"]


def test_a_french_word_is_whole_in_french_only() -> None:
    assert _pieces("chien", "fr") == ["[CLS]", "chien", "[SEP]"]
    assert _pieces("chien", "en") == ["[CLS]", "[UNK]", "[SEP]"]


def test_of_a_long_text_its_beginning_and_its_end_are_heard() -> None:
    found = _pieces("dogs " + "dog " * 500 + "parking?")
    assert len(found) == MOST_PIECES
    assert found[:2] == ["[CLS]", "dog"]
    assert found[-4:] == ["park", "##ing", "?", "[SEP]"]


def test_what_was_said_before_stands_in_front_of_the_text_and_what_was_never_taught_is_left_out() -> None:
    assert _pieces("dogs", marks=("after dogs", "after sauna", "awaits offer")) == [
        "[CLS]", "after dogs", "awaits offer", "dog", "##s", "[SEP]",
    ]  # fmt: skip


def _normed(x: Floats, scale: Floats, shift: Floats) -> Floats:
    spread = np.sqrt(((x - x.mean()) ** 2).mean() + 1e-12)
    return np.asarray((x - x.mean()) / spread * scale + shift, dtype=np.float32)


def _shares(values: Sequence[float]) -> list[float]:
    raised = [float(np.exp(one - max(values))) for one in values]
    return [one / sum(raised) for one in raised]


def _by_the_formulas(rows: Floats, state: dict[str, Floats]) -> tuple[list[float], float]:
    """Piece by piece, from the papers: Vaswani et al. 2017, section 3.2 (scaled dot-product attention in heads); Devlin et al. 2018, section 3
    (normalised after each step); Hendrycks and Gimpel 2016, section 2 (GELU by tanh); Mullenbach et al. 2018, section 2.3 (each label looks
    at its own words); a mean of all pieces for the rest.
    """

    def dense(name: str, x: Floats) -> Floats:
        return np.asarray(state[f"layers.0.{name}.weight"] @ x + state[f"layers.0.{name}.bias"], dtype=np.float32)

    begun = [_normed(row, state["n.weight"], state["n.bias"]) for row in rows]
    query, key, value = ([dense(name, one) for one in begun] for name in ("q", "k", "v"))
    size = WIDTH // HEADS
    after = []
    for number, one in enumerate(begun):
        seen = np.zeros(WIDTH, dtype=np.float32)
        for head in range(HEADS):
            spot = slice(head * size, (head + 1) * size)
            looks = _shares([float(query[number][spot] @ other[spot]) / size**0.5 for other in key])
            seen[spot] = sum(look * other[spot] for look, other in zip(looks, value, strict=True))
        mid = _normed(one + dense("o", seen), state["layers.0.n1.weight"], state["layers.0.n1.bias"])
        up = dense("f1", mid)
        gelu = 0.5 * up * (1 + np.tanh(np.sqrt(2 / np.pi) * (up + 0.044715 * up**3)))
        after.append(_normed(mid + dense("f2", gelu), state["layers.0.n2.weight"], state["layers.0.n2.bias"]))
    odds = []
    for intent in range(len(INTENTS)):
        looks = _shares([float(one @ state["look"][:, intent]) for one in after])
        own = sum(look * one for look, one in zip(looks, after, strict=True))
        odds.append(float(own @ state["head"][intent] + state["head_bias"][intent]))
    mean = sum(after) / len(after)
    return odds, float(state["scope.weight"][0] @ mean + state["scope.bias"][0])


def test_the_layers_are_what_the_papers_say() -> None:
    vectors = _vectors()
    places = places_of("dogs parking?", "en", vectors)
    rows = vectors.rows[places].astype(np.float32) * np.float32(0.01) + vectors.positions[: len(places)]
    odds, for_us = _by_the_formulas(rows, _state())

    heard = _encoder().hear("dogs parking?", "en")
    assert list(heard.intents) == list(INTENTS)
    assert list(heard.intents.values()) == pytest.approx(odds, abs=1e-4)
    assert heard.for_us == pytest.approx(for_us, abs=1e-4)


def test_the_same_text_is_heard_the_same_way_twice_and_another_way_after_something_else() -> None:
    encoder = _encoder()
    assert encoder.hear("dogs parking", "en") == encoder.hear("dogs parking", "en")
    assert encoder.hear("dogs parking", "en") != encoder.hear("dogs parking", "en", ("awaits offer",))


def test_the_odds_of_risks_stand_apart_from_those_of_intents() -> None:
    layers = layers_of(graph_of(_state(), HEADS).SerializeToString())
    heard = Encoder(_vectors(), layers, ("dogs", "parking", "risk water")).hear("dog park", "en")
    plain = _encoder().hear("dog park", "en")

    assert list(heard.intents) == ["dogs", "parking"]
    assert heard.risks == {"water": plain.intents["cost"]}
    assert plain.risks == {}
