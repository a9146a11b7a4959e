"""A text with the days on which the sentence model heard of few events told as one of those on which it heard of many: to it "in for friday"
would else be somebody's dinner. What day is meant is told by the grammar of days, from the text as it was written.
"""

from collections.abc import Mapping

from clubbot.model.messages import Language
from clubbot.texting import patterns

# Days that the texts it was taught with speak of often, those to tell others as first; from Monday as 0.
_USUAL = (2, 5, 3, 6)
# Shorter ones are other words too: "mar", "sun", "mon".
_LEAST_LETTERS = 3
_OTHER_WORDS = frozenset({"sun", "sat", "mon", "mar", "mer", "sam", "jeu", "dim", "ven", "lun"})


class UsualDays:
    """Tells days as usual ones, in each language of the lexicons, whose first word for a day is its name."""

    def __init__(self, weekdays: Mapping[Language, Mapping[str, int]]) -> None:
        self._days = {
            language: {word: day for word, day in words.items() if _stands_for_itself(word)}
            for language, words in weekdays.items()
        }
        self._names = {
            language: {day: next(word for word in words if words[word] == day) for day in set(words.values())}
            for language, words in self._days.items()
        }
        self._spelled = {
            language: patterns.compile(
                rf"\b(?:{'|'.join(sorted(words, key=len, reverse=True))})\b", patterns.IGNORECASE
            )
            for language, words in self._days.items()
            if words
        }

    def told(self, text: str, language: Language) -> str:
        """The text with its unusual days told as usual ones, two different ones as two."""
        spelled = self._spelled.get(language)
        if spelled is None:
            return text
        days = [self._days[language][found.group().casefold()] for found in spelled.finditer(text)]
        left = [day for day in _USUAL if day not in days and day in self._names[language]]
        instead: dict[int, int] = {}
        for day in dict.fromkeys(days):
            if day not in _USUAL and left:
                instead[day] = left.pop(0)
        if not instead:
            return text

        def other(found: patterns.Match) -> str:
            day = self._days[language][found.group().casefold()]
            return self._names[language][instead[day]] if day in instead else str(found.group())

        return spelled.sub(other, text)


def _stands_for_itself(word: str) -> bool:
    return len(word) >= _LEAST_LETTERS and word not in _OTHER_WORDS and word.isalpha()
