"""Make of a taught network the two files that ship: `python -m tests.learning.export SEED.pt --begin BEGIN.npz FOLDER`.

`sentence_model.npz` holds the word lists, the intents and the vectors of the pieces in bytes, `sentence_model.onnx` the layers, as an
ONNX graph whose large matrices are in bytes (onnxruntime's dynamic quantisation, a scale a column).
"""

import argparse
import tempfile
from collections.abc import Sequence
from pathlib import Path

import numpy as np
import onnx
from onnxruntime.quantization import QuantType, quantize_dynamic

from tests.learning.graph import graph_of
from tests.learning.network import HEADS, Network, Pieces
from tests.learning.teach import taught


def export(network: Network, pieces: Pieces, intents: Sequence[str], folder: Path) -> None:
    """Write both files."""
    state = {key: value.float().cpu().numpy() for key, value in network.state_dict().items()}
    rows = state["words.weight"] + state["kinds.weight"][0]
    scales = np.maximum(np.abs(rows).max(axis=1), 1e-8) / 127
    lists = {"pieces": pieces.places, "french": pieces.french, "marks": pieces.marks, "intents": intents}
    np.savez_compressed(
        folder / "sentence_model.npz",
        rows=np.round(rows / scales[:, None]).astype(np.int8),
        row_scales=scales.astype(np.float32),
        positions=state["positions.weight"][:128].astype(np.float16),
        **{name: np.frombuffer("\n".join(listed).encode(), dtype=np.uint8) for name, listed in lists.items()},
    )
    with tempfile.TemporaryDirectory() as made:
        whole = Path(made) / "whole.onnx"
        onnx.save(graph_of(state, HEADS), whole)
        quantize_dynamic(
            whole,
            folder / "sentence_model.onnx",
            op_types_to_quantize=["MatMul"],
            per_channel=True,
            reduce_range=True,  # seven bits: eight overflow on processors without the newer instructions
            weight_type=QuantType.QInt8,
            nodes_to_exclude=["near", "speaks", "scope without bias"],
            extra_options={"MatMulConstBOnly": True},
        )


def main() -> None:
    """Read what was taught and write the files."""
    parser = argparse.ArgumentParser()
    parser.add_argument("network", type=Path)
    parser.add_argument("folder", type=Path)
    parser.add_argument("--begin", type=Path, required=True)
    asked = parser.parse_args()
    asked.folder.mkdir(parents=True, exist_ok=True)
    export(*taught(asked.network, asked.begin, "cpu"), asked.folder)


if __name__ == "__main__":
    main()
