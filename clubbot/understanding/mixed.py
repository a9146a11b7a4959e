"""The words of a text whatever language it is in, as days and people are read: "friday à 6h" is said in one breath."""

from collections.abc import Iterable
from functools import lru_cache

from clubbot.understanding.day_slips import DaySlips
from clubbot.understanding.lexicon import Lexicon, in_any_language
from clubbot.understanding.text import Word, spelled

# Texts of one turn, with what was taken from them.
_KEPT = 64


class MixedWords:
    """Puts a text into form with the lexicons of all languages together; the same text is not put into form twice."""

    def __init__(self, lexicons: Iterable[Lexicon]) -> None:
        self.lexicons = tuple(lexicons)
        spelling = in_any_language(self.lexicons, DaySlips(self.lexicons).mend)
        self.numbers = spelling.numbers
        self._words = lru_cache(maxsize=_KEPT)(lambda written: spelled(written, spelling))

    def words(self, written: str) -> tuple[Word, ...]:
        """The words of what somebody wrote."""
        return self._words(written)
