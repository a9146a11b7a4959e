"""The scorer for a club's ways of asking, learnt once and kept: the same ways of asking are not learnt twice on one machine."""

import hashlib
import os
from collections.abc import Sequence
from importlib.resources import files
from pathlib import Path

import numpy as np

from clubbot.handbook.phrasebook import word_concepts
from clubbot.model.club import Example
from clubbot.understanding.reading import training_texts
from clubbot.understanding.scoring import Scorer, fit

# What the model is made by; a change of any of it makes kept models worthless.
_MADE_BY = ("plain.py", "scoring.py")


def scorer_for(examples: Sequence[Example], keep_in: Path | None) -> Scorer:
    """The scorer of these ways of asking: from `keep_in` where it was kept, else learnt (seconds) and kept there."""
    if keep_in is None:
        return fit(training_texts(examples), word_concepts())
    file = keep_in / f"ways-{_key(examples)}.npz"
    kept = _kept(file)
    if kept is not None:
        return kept
    scorer = fit(training_texts(examples), word_concepts())
    _keep(scorer, file)
    return scorer


def usual_folder() -> Path:
    """Where learnt models are kept: the user's cache folder (XDG Base Directory specification)."""
    cache = os.environ.get("XDG_CACHE_HOME")
    return (Path(cache) if cache else Path.home() / ".cache") / "clubbot"


def _key(examples: Sequence[Example]) -> str:
    told = hashlib.sha256(np.__version__.encode())
    for name in _MADE_BY:
        told.update((files("clubbot.understanding") / name).read_bytes())
    told.update((files("clubbot.handbook") / "concepts.toml").read_bytes())
    for one in examples:
        told.update(f"{one.language}\t{one.want}\t{one.text}\n".encode())
    return told.hexdigest()[:32]


def _kept(file: Path) -> Scorer | None:
    try:
        with np.load(file, allow_pickle=False) as kept:
            vocabulary = bytes(kept["vocabulary"]).decode().split("\n")
            wants = bytes(kept["wants"]).decode().split("\n")
            return Scorer(wants, vocabulary, kept["idf"], kept["weights"], kept["bias"], word_concepts())
    except (OSError, ValueError, KeyError):  # missing, half-written by a killed process, or of an older make
        return None


def _keep(scorer: Scorer, file: Path) -> None:
    """Write beside and move into place, so that nobody reads half a file. A cache that cannot be written is no fault."""
    beside = file.with_suffix(f".{os.getpid()}.tmp")
    try:
        file.parent.mkdir(parents=True, exist_ok=True)
        with beside.open("wb") as out:
            np.savez(
                out,
                vocabulary=np.frombuffer("\n".join(scorer.vocabulary).encode(), dtype=np.uint8),
                wants=np.frombuffer("\n".join(scorer.wants).encode(), dtype=np.uint8),
                idf=scorer.idf,
                weights=scorer.weights,
                bias=scorer.bias,
            )
        beside.replace(file)
    except OSError:
        beside.unlink(missing_ok=True)
