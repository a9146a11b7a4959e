"""The language of a text, told by how common its words are in each. Short or unclear texts leave it open."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby

from clubbot.model.messages import Language

# Below this difference (sum of Zipf scores) the text does not show its language, and the person's last one counts.
_CLEAR = 1.5
# So common in every language, the only word of a text shows none of them: "plus", "y".
_IN_ALL = 5.0
# Single letters in a row are spelled, "M A R I E".
_SPELLED = 3
# What a letter tells that is nearly always of one language, whatever the word.
_LETTER = 1.5
# Words that stand in the lists of more languages only because people quote them, or that are the club's own; "n" is "and" and "ne".
_NEITHER = frozenset(
    {"disc", "golf", "ok", "stop", "info", "parking", "club", "dusk", "fog", "horn", "open", "par", "?", "n"}
)


@dataclass(frozen=True, slots=True)
class WordWeights:
    """How common words are in each of these languages, in their order (Zipf scores), and the letters that are nearly always of one."""

    languages: tuple[Language, ...]
    words: Mapping[str, tuple[float, ...]]
    letters: Mapping[str, Language]


def shown(text: str, words: Sequence[str], weights: WordWeights) -> dict[Language, float]:
    """How much the words show of each language, in Zipf points."""
    found = dict.fromkeys(weights.languages, 0.0)
    telling = [word for word in _unspelled(words) if _tells(word, weights)]
    if len(telling) == 1 and min(weights.words[telling[0]]) >= _IN_ALL:
        telling = []
    for word in telling:
        for language, common in zip(weights.languages, weights.words[word], strict=True):
            found[language] += common
    for letter in text.casefold():
        if letter in weights.letters:
            found[weights.letters[letter]] += _LETTER
    return found


def _tells(word: str, weights: WordWeights) -> bool:
    return word not in _NEITHER and word in weights.words and not word.isdigit()


def _unspelled(words: Sequence[str]) -> list[str]:
    """The words without those that are spelled letter by letter."""
    rows = [(letter, list(row)) for letter, row in groupby(words, key=lambda word: len(word) == 1 and word.isalpha())]
    return [word for letter, row in rows if not letter or len(row) < _SPELLED for word in row]


def told(text: str, words: Sequence[str], weights: WordWeights) -> Language | None:
    """The language of the text, or None where it does not show."""
    by_points = sorted(((points, language) for language, points in shown(text, words, weights).items()), reverse=True)
    if not by_points or (len(by_points) > 1 and by_points[0][0] - by_points[1][0] < _CLEAR):
        return None
    return by_points[0][1]
