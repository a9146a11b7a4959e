"""Slips of the thumb in a word for a day, a month, tomorrow or the weekend: "thrusday", "wedsnday"."""

from collections.abc import Iterable

from rapidfuzz.distance import DamerauLevenshtein

from clubbot.understanding.lexicon import Lexicon

# From so many letters on a word may be a slip of a day, and from so many with two letters wrong.
_ONE_SLIP, _TWO_SLIPS = 6, 8
# Weekdays as short as "lundi" are mended as well.
_SHORTEST_WEEKDAY = 5
_MENDED_ROLES = ("tomorrow", "weekend")
# Strangers' words must not fill the memory.
_MOST_KEPT = 4096


class DaySlips:
    """Mends them, in the words of all lexicons together; a word that stands in one of them is no slip."""

    def __init__(self, lexicons: Iterable[Lexicon]) -> None:
        self._known: set[str] = set()
        near: dict[str, int] = {}
        short: dict[str, str] = {}
        for one in lexicons:
            self._known |= _known(one)
            near |= dict.fromkeys((word for word in one.weekdays if word[:-1] not in one.weekdays), _SHORTEST_WEEKDAY)
            near |= dict.fromkeys(one.months, _ONE_SLIP)
            near |= {word: _ONE_SLIP for role in _MENDED_ROLES for word in one.time.get(role, ())}
            short |= one.anywhere
        near |= {word: _ONE_SLIP for word, out in short.items() if out in near}
        self._near = {
            word: (least, short.get(word, word))
            for word, least in near.items()
            if len(word) >= least and word.isalpha()
        }
        self._mended: dict[str, str] = {}

    def mend(self, word: str) -> str:
        """The day that a word is a slip of; itself where it is none."""
        if len(word) < _SHORTEST_WEEKDAY or word in self._known or not word.isalpha():
            return word
        found = self._mended.get(word)
        if found is None:
            if len(self._mended) > _MOST_KEPT:
                self._mended.clear()
            found = self._mended[word] = self._nearest(word)
        return found

    def _nearest(self, word: str) -> str:
        if word in self._near:
            return self._near[word][1]
        far = 2 if len(word) >= _TWO_SLIPS else 1
        found = word
        for day, (least, meant) in self._near.items():
            if len(word) < least or word[0] != day[0]:
                continue
            distance = DamerauLevenshtein.distance(word, day, score_cutoff=far)
            if distance <= far:
                far, found = distance - 1, meant
        return found


def _known(lexicon: Lexicon) -> set[str]:
    """The words that begin something in the grammar of days, numbers, and what is told to be no slip."""
    phrases = (*lexicon.few, *lexicon.feasts, *(phrase for phrases in lexicon.time.values() for phrase in phrases))
    first = {phrase.split()[0] for phrase in phrases}
    return first | {*lexicon.weekdays, *lexicon.months, *lexicon.numbers, *lexicon.ordinals, *lexicon.no_slips}
