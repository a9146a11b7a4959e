"""What is learnt from a club's ways of asking, learnt once and kept: the same ways of asking are not learnt twice on one machine."""

import hashlib
import os
from collections.abc import Sequence
from importlib.resources import files
from pathlib import Path
from zipfile import BadZipFile

import numpy as np
import numpy.typing as npt

from clubbot.handbook.language_files import shipped_number_words
from clubbot.handbook.phrasebook import word_concepts
from clubbot.model.club import Example
from clubbot.understanding.reading import Learnt, learn
from clubbot.understanding.scoring import Scorer

# What the model is made by; a change of any of it makes kept models worthless.
_MADE_BY = ("plain.py", "scoring.py", "reading.py")


def learnt_from(examples: Sequence[Example], keep_in: Path | None) -> Learnt:
    """What these ways of asking teach: from `keep_in` where it was kept, else learnt (seconds) and kept there."""
    if keep_in is None:
        return learn(examples, word_concepts(), shipped_number_words())
    file = keep_in / f"ways-{_key(examples)}.npz"
    kept = _kept(file)
    if kept is not None:
        return kept
    learnt = learn(examples, word_concepts(), shipped_number_words())
    _keep(learnt, file)
    return learnt


def usual_folder() -> Path:
    """Where learnt models are kept: the user's cache folder (XDG Base Directory specification)."""
    cache = os.environ.get("XDG_CACHE_HOME")
    return (Path(cache) if cache else Path.home() / ".cache") / "clubbot"


def _key(examples: Sequence[Example]) -> str:
    told = hashlib.sha256(np.__version__.encode())
    for name in _MADE_BY:
        told.update((files("clubbot.understanding") / name).read_bytes())
    told.update((files("clubbot.handbook") / "concepts.toml").read_bytes())
    told.update(" ".join(sorted(shipped_number_words())).encode())
    for one in examples:
        told.update(f"{one.language}\t{one.intent}\t{one.text}\n".encode())
    return told.hexdigest()[:32]


def _kept(file: Path) -> Learnt | None:
    try:
        with np.load(file, allow_pickle=False) as kept:
            vocabulary, intents, words, names = (
                _lines(kept[key]) for key in ("vocabulary", "intents", "words", "names")
            )
            scorer = Scorer(
                intents, vocabulary, kept["idf"], kept["weights"], kept["bias"], word_concepts(), shipped_number_words()
            )
            return Learnt(scorer, frozenset(words), frozenset(names))
    except (OSError, ValueError, KeyError, BadZipFile):  # missing, half-written, or of an older make
        return None


def _keep(learnt: Learnt, file: Path) -> None:
    """Write beside and move into place, so that nobody reads half a file. A cache that cannot be written is no fault."""
    beside = file.with_suffix(f".{os.getpid()}.tmp")
    scorer = learnt.scorer
    try:
        file.parent.mkdir(parents=True, exist_ok=True)
        with beside.open("wb") as out:
            np.savez(
                out,
                vocabulary=_bytes(scorer.vocabulary),
                intents=_bytes(scorer.intents),
                words=_bytes(sorted(learnt.words)),
                names=_bytes(sorted(learnt.names)),
                idf=scorer.idf,
                weights=scorer.weights,
                bias=scorer.bias,
            )
        beside.replace(file)
    except OSError:
        beside.unlink(missing_ok=True)


def _bytes(lines: Sequence[str]) -> npt.NDArray[np.uint8]:
    return np.frombuffer("\n".join(lines).encode(), dtype=np.uint8)


def _lines(kept: npt.NDArray[np.uint8]) -> list[str]:
    return bytes(kept).decode().split("\n")
