"""From scores to a decision: what is served, what is asked back, what goes to a person. What is not clear is not guessed."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

Scores = Mapping[str, float]

# A whole text, or a piece of one, is served from this probability up.
CLEAR = 0.46
# A second want, found in a piece of the text, must be this clear there and have this much of the whole text behind it.
CLEAR_PIECE = 0.62
SUPPORT = 0.10
# From this much doubt that the text is for us at all, nothing is served.
OUTSIDE_DOUBT = 0.28
# Choices are offered when together they are this likely; each must be this likely itself.
CHOICES_TOGETHER = 0.42
CHOICE_LEAST = 0.08
MOST_CHOICES = 3
MOST_SERVED = 3

# Never served beside another want, never offered.
_BARE = frozenset({"greeting", "thanks"})
_NOT_OFFERED = _BARE | {"outside", "danger", "stop", "start-again", "name", "help", "human"}


@dataclass(frozen=True, slots=True)
class Decision:
    """`served` wants in the order they were said, or `choices` to ask back with, or neither: a person has to read it."""

    served: tuple[str, ...] = ()
    choices: tuple[str, ...] = ()
    outside: bool = False


def decide(whole: Scores, pieces: Sequence[Scores]) -> Decision:
    """What to do with a text, from the probabilities of the whole text and of its pieces."""
    best = max(whole, key=lambda want: whole[want])
    if whole["outside"] >= OUTSIDE_DOUBT and whole[best] < 0.8:
        return Decision(outside=True)
    said = _clear_pieces(whole, pieces)
    if whole[best] >= CLEAR and best not in said:
        said = [best] if best in _BARE or not said else _with(best, said, whole)
    if len(said) > 1:
        said = [want for want in said if want not in _BARE and want != "outside"]
    if "outside" in said or best == "outside":
        return Decision(outside=True)
    if said:
        return Decision(served=tuple(said[:MOST_SERVED]))
    return _ask(whole)


def _clear_pieces(whole: Scores, pieces: Sequence[Scores]) -> list[str]:
    said: list[str] = []
    for piece in pieces:
        best = max(piece, key=lambda want: piece[want])
        if piece[best] >= CLEAR_PIECE and whole[best] >= SUPPORT and best not in said:
            said.append(best)
    return said


def _with(best: str, said: Sequence[str], whole: Scores) -> list[str]:
    """The whole text's own want first; those of its pieces beside it."""
    return [best, *said]


def _ask(whole: Scores) -> Decision:
    ranked = sorted((want for want in whole if want not in _NOT_OFFERED), key=lambda want: -whole[want])
    likely = tuple(want for want in ranked[:MOST_CHOICES] if whole[want] >= CHOICE_LEAST)
    together = sum(whole[want] for want in likely)
    if len(likely) > 1 and together >= CHOICES_TOGETHER and together > whole["outside"]:
        return Decision(choices=likely)
    return Decision()
