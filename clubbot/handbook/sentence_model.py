"""The sentence model that ships in the package, read into memory; None where a club leaves it out or its file is gone.

Its file keeps the large matrices in bytes, each column with a scale of its own: a quarter of the size, and no reading differs by
more than a rounding (tests/learning/README.md has the figures).
"""

import logging
from functools import lru_cache
from importlib.resources import files
from importlib.resources.abc import Traversable
from zipfile import BadZipFile

import numpy as np
import numpy.typing as npt

from clubbot.understanding.encoder import Encoder, Floats, Layer, Weights

log = logging.getLogger(__name__)

FILE = "sentence_model.npz"


@lru_cache(maxsize=1)
def shipped_encoder() -> Encoder | None:
    """The encoder of the package."""
    return encoder_in(files("clubbot.handbook") / FILE)


def encoder_in(file: Traversable) -> Encoder | None:
    """The encoder of a file. Without one clubbot reads by words alone, a little worse: that is said, and no fault."""
    try:
        with file.open("rb") as opened, np.load(opened, allow_pickle=False) as kept:
            return Encoder(_weights(kept))
    except (OSError, EOFError, KeyError, ValueError, BadZipFile) as fault:
        log.warning("no sentence model (%s): texts are read by their words alone", fault)
        return None


def _weights(kept: np.lib.npyio.NpzFile) -> Weights:
    pieces, french = _lines(kept["pieces"]), _lines(kept["french"])
    return Weights(
        pieces={piece: place for place, piece in enumerate(pieces)},
        french={word: len(pieces) + place for place, word in enumerate(french)},
        rows=kept["rows"],
        row_scales=kept["row_scales"].astype(np.float32),
        positions=kept["positions"].astype(np.float32),
        norm=kept["norm"],
        norm_bias=kept["norm_bias"],
        layers=[_layer(kept, number) for number in range(int(kept["layers"]))],
        heads=int(kept["heads"]),
        wants=tuple(_lines(kept["wants"])),
        head=kept["head"],
        head_bias=kept["head_bias"],
        how_many=kept["how_many"],
        how_many_bias=kept["how_many_bias"],
    )


def _layer(kept: np.lib.npyio.NpzFile, number: int) -> Layer:
    def matrix(name: str) -> Floats:
        key = f"{number}.{name}"
        # Row by row: a product of a few pieces with a matrix that lies column by column takes nearly twice as long.
        return np.ascontiguousarray(kept[key].astype(np.float32) * kept[key + ".scale"], dtype=np.float32)

    def vector(name: str) -> Floats:
        return np.asarray(kept[f"{number}.{name}"], dtype=np.float32)

    return Layer(
        qkv=matrix("qkv"),
        qkv_bias=vector("qkv_bias"),
        out=matrix("out"),
        out_bias=vector("out_bias"),
        norm_1=vector("norm_1"),
        norm_1_bias=vector("norm_1_bias"),
        up=matrix("up"),
        up_bias=vector("up_bias"),
        down=matrix("down"),
        down_bias=vector("down_bias"),
        norm_2=vector("norm_2"),
        norm_2_bias=vector("norm_2_bias"),
    )


def _lines(kept: npt.NDArray[np.uint8]) -> list[str]:
    return bytes(kept).decode().split("\n")
