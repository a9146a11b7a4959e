"""The sentence model that ships in the package, read into memory; None where a club leaves it out or its files are gone.

Two files: the vectors of the pieces, and the layers as an ONNX graph with its large matrices in bytes, which onnxruntime runs
(tests/learning/README.md has the figures). On one thread: a reader is forked from the process that opened it, and threads do not follow.
"""

import logging
from functools import lru_cache
from importlib.resources import files
from importlib.resources.abc import Traversable
from zipfile import BadZipFile

import numpy as np
import numpy.typing as npt
import onnxruntime
from onnxruntime.capi import onnxruntime_pybind11_state as faults

from clubbot.understanding.encoder import Encoder, Floats, Layers, Vectors

log = logging.getLogger(__name__)

VECTORS, LAYERS = "sentence_model.npz", "sentence_model.onnx"
# Warnings of the runtime are about the processor and the graph, nothing that a club could act on.
_ERRORS_ONLY = 3
# What the runtime raises for a file that is no graph, or none that it can run.
_BROKEN = (faults.InvalidProtobuf, faults.InvalidArgument, faults.InvalidGraph, faults.Fail, faults.NotImplemented)


@lru_cache(maxsize=1)
def shipped_encoder() -> Encoder | None:
    """The encoder of the package."""
    return encoder_in(files("clubbot.handbook"))


def encoder_in(folder: Traversable) -> Encoder | None:
    """The encoder of a folder. Without one clubbot reads by words alone, a little worse: that is said, and no fault."""
    try:
        layers = layers_of((folder / LAYERS).read_bytes())
        with (folder / VECTORS).open("rb") as opened, np.load(opened, allow_pickle=False) as kept:
            return Encoder(_vectors(kept), layers, _lines(kept["intents"]))
    except (OSError, EOFError, KeyError, ValueError, BadZipFile, *_BROKEN) as fault:
        log.warning("no sentence model (%s): texts are read by their words alone", fault)
        return None


def layers_of(graph: bytes) -> Layers:
    """The layers of an ONNX graph, ready to run."""
    how = onnxruntime.SessionOptions()
    how.intra_op_num_threads = how.inter_op_num_threads = 1
    how.log_severity_level = _ERRORS_ONLY
    how.enable_cpu_mem_arena = False  # a few pieces at a time: nothing worth keeping for the next text
    session = onnxruntime.InferenceSession(graph, how, providers=["CPUExecutionProvider"])

    def layers(rows: Floats) -> tuple[Floats, float]:
        odds, for_us = session.run(["odds", "for us"], {"rows": rows})
        return odds, float(for_us[0])

    return layers


def _vectors(kept: np.lib.npyio.NpzFile) -> Vectors:
    pieces, french, marks = (_lines(kept[name]) for name in ("pieces", "french", "marks"))
    return Vectors(
        pieces={piece: place for place, piece in enumerate(pieces)},
        wholes={"fr": {word: len(pieces) + place for place, word in enumerate(french)}},
        marks={mark: len(pieces) + len(french) + place for place, mark in enumerate(marks)},
        rows=kept["rows"],
        row_scales=kept["row_scales"].astype(np.float32),
        positions=kept["positions"].astype(np.float32),
    )


def _lines(kept: npt.NDArray[np.uint8]) -> list[str]:
    text = bytes(kept).decode()
    return text.split("\n") if text else []
