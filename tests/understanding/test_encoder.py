import numpy as np
import pytest

from clubbot.understanding.encoder import MOST_PIECES, Encoder, Layer, Weights, places_of, tokens

PIECES = ["[CLS]", "[SEP]", "[UNK]", "dog", "park", "##ing", "##s", "?", "d", "##o", "##g"]
WIDTH, HEADS = 4, 2


def _weights(seed: int = 1) -> Weights:
    """A tiny encoder of one layer with random weights."""
    dice = np.random.default_rng(seed)

    def some(*shape: int) -> np.ndarray[tuple[int, ...], np.dtype[np.float32]]:
        return dice.normal(size=shape).astype(np.float32)

    layer = Layer(
        qkv=some(WIDTH, 3 * WIDTH), qkv_bias=some(3 * WIDTH), out=some(WIDTH, WIDTH), out_bias=some(WIDTH),
        norm_1=some(WIDTH), norm_1_bias=some(WIDTH), up=some(WIDTH, 8), up_bias=some(8), down=some(8, WIDTH),
        down_bias=some(WIDTH), norm_2=some(WIDTH), norm_2_bias=some(WIDTH),
    )  # fmt: skip
    return Weights(
        pieces={piece: place for place, piece in enumerate(PIECES)},
        french={"chien": len(PIECES)},
        rows=dice.integers(-127, 127, size=(len(PIECES) + 1, WIDTH)).astype(np.int8),
        row_scales=np.full(len(PIECES) + 1, 0.01, dtype=np.float32),
        positions=some(MOST_PIECES, WIDTH),
        norm=some(WIDTH),
        norm_bias=some(WIDTH),
        layers=[layer],
        heads=HEADS,
        wants=("dogs", "parking"),
        head=some(WIDTH, 2),
        head_bias=some(2),
        how_many=some(WIDTH, 3),
        how_many_bias=some(3),
    )


def _pieces(text: str, language: str = "en") -> list[str]:
    named = [*PIECES, "chien"]
    return [named[place] for place in places_of(text, "fr" if language == "fr" else "en", _weights())]


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


def test_a_layer_is_what_the_papers_say() -> None:
    """The same sums written out piece by piece, from the formulas: Vaswani et al. 2017, section 3.2 (scaled dot-product attention in heads);
    Devlin et al. 2018, section 3 (normalised after each step); Hendrycks and Gimpel 2016, section 2 (GELU by tanh); mean of all pieces.
    """
    learnt = _weights()
    layer = learnt.layers[0]
    places = places_of("dogs?", "en", learnt)

    def normed(x: list[float], scale: list[float], shift: list[float]) -> list[float]:
        mean = sum(x) / len(x)
        spread = (sum((one - mean) ** 2 for one in x) / len(x) + 1e-12) ** 0.5
        return [(one - mean) / spread * a + b for one, a, b in zip(x, scale, shift, strict=True)]

    def times(x: list[float], matrix: list[list[float]], bias: list[float]) -> list[float]:
        return [
            sum(one * row[place] for one, row in zip(x, matrix, strict=True)) + bias[place]
            for place in range(len(bias))
        ]

    def gelu(x: float) -> float:
        return 0.5 * x * (1 + float(np.tanh(np.sqrt(2 / np.pi) * (x + 0.044715 * x**3))))

    state = [
        normed([0.01 * float(byte) + float(at) for byte, at in zip(learnt.rows[place], learnt.positions[number], strict=True)],
               learnt.norm.tolist(), learnt.norm_bias.tolist())
        for number, place in enumerate(places)
    ]  # fmt: skip
    asked = [times(one, layer.qkv.tolist(), layer.qkv_bias.tolist()) for one in state]
    size = WIDTH // HEADS
    after: list[list[float]] = []
    for number, one in enumerate(state):
        seen: list[float] = []
        for head in range(HEADS):
            spot = slice(head * size, (head + 1) * size)
            query = asked[number][:WIDTH][spot]
            looks = [
                np.exp(sum(q * k for q, k in zip(query, other[WIDTH : 2 * WIDTH][spot], strict=True)) / size**0.5)
                for other in asked
            ]
            values = [other[2 * WIDTH :][spot] for other in asked]
            seen += [
                float(sum(look * value[place] for look, value in zip(looks, values, strict=True)) / sum(looks))
                for place in range(size)
            ]
        mid = normed([a + b for a, b in zip(one, times(seen, layer.out.tolist(), layer.out_bias.tolist()), strict=True)],
                     layer.norm_1.tolist(), layer.norm_1_bias.tolist())  # fmt: skip
        thought = times(
            [gelu(x) for x in times(mid, layer.up.tolist(), layer.up_bias.tolist())],
            layer.down.tolist(),
            layer.down_bias.tolist(),
        )
        after.append(
            normed(
                [a + b for a, b in zip(mid, thought, strict=True)], layer.norm_2.tolist(), layer.norm_2_bias.tolist()
            )
        )
    pooled = [sum(column) / len(after) for column in zip(*after, strict=True)]
    logits = times(pooled, learnt.head.tolist(), learnt.head_bias.tolist())
    expected = np.exp(logits) / np.exp(logits).sum()

    heard = Encoder(learnt).hear("dogs?", "en")
    assert [heard.wants["dogs"], heard.wants["parking"]] == pytest.approx(expected.tolist(), abs=1e-5)
    assert sum(heard.how_many) == pytest.approx(1, abs=1e-5)


def test_the_same_text_is_heard_the_same_way_twice() -> None:
    encoder = Encoder(_weights())
    assert encoder.hear("dogs parking", "en") == encoder.hear("dogs parking", "en")
