"""English or French, told by how common the words are in each language. Short or unclear texts leave it open."""

from collections.abc import Mapping, Sequence

from clubbot.model.messages import Language

WordWeights = Mapping[str, tuple[float, float]]

# Below this difference (sum of Zipf scores) the text does not show its language, and the person's last one counts.
_CLEAR = 1.5
# Words that stand in the lists of both languages only because people quote them, or that are the club's own; "n" is "and" and "ne".
_NEITHER = frozenset({"disc", "golf", "ok", "stop", "info", "parking", "club", "dusk", "fog", "horn", "open", "?", "n"})
# A letter with an accent is nearly always French here, whatever the word.
_ACCENTS = frozenset("àâçèéêëîïôùûœ")


def lean(text: str, words: Sequence[str], weights: WordWeights) -> float:
    """How far the words lean to French (positive) or English (negative), in Zipf points."""
    score = 0.0
    for word in words:
        if word in _NEITHER or word.isdigit():
            continue
        english, french = weights.get(word, (0.0, 0.0))
        score += french - english
    return score + 1.5 * sum(letter in _ACCENTS for letter in text.casefold())


def told(text: str, words: Sequence[str], weights: WordWeights) -> Language | None:
    """The language of the text, or None where it does not show."""
    score = lean(text, words, weights)
    if abs(score) < _CLEAR:
        return None
    return "fr" if score > 0 else "en"
