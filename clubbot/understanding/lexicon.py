"""The words of one language as data: what is written out, days, months, numbers, and named groups of words for the rules."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field

from clubbot.model.messages import Language
from clubbot.understanding.text import Spelling


@dataclass(frozen=True, slots=True, kw_only=True)
class Neighbours:
    """When a short form that is a common word too is a day: not right behind or before these words; where others are told, only beside
    one of them, or at the end of a text. "#" is a number, "{hour}" an hour with its "h", "{part}" a word of that role.
    """

    only_before: Sequence[str] = ()
    only_after: Sequence[str] = ()
    not_after: Sequence[str] = ()
    not_before: Sequence[str] = ()
    at_end: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Lexicon:
    """The lexicon of a language. Words stand in their folded form. `weekdays` count from Monday as 0, `months` from January as 1. `time`
    has the words for each role in the grammar of days and hours, `few` how many "a couple of" are, `feasts` the month and day of a feast
    as 1225 and 0 for one that moves, `unsure` the days that are other words too, `no_slips` words that are near to a day and none.
    """

    language: Language
    written_out: Mapping[str, str] = field(default_factory=dict)
    endings: Mapping[str, str] = field(default_factory=dict)
    weekdays: Mapping[str, int] = field(default_factory=dict)
    months: Mapping[str, int] = field(default_factory=dict)
    numbers: Mapping[str, int] = field(default_factory=dict)
    ordinals: Mapping[str, int] = field(default_factory=dict)
    groups: Mapping[str, Sequence[str]] = field(default_factory=dict)
    time: Mapping[str, Sequence[str]] = field(default_factory=dict)
    few: Mapping[str, float] = field(default_factory=dict)
    feasts: Mapping[str, int] = field(default_factory=dict)
    unsure: Mapping[str, Neighbours] = field(default_factory=dict)
    no_slips: Sequence[str] = ()

    def spelling(self, mend: Callable[[str], str]) -> Spelling:
        """How its words are put into form."""
        return Spelling(
            {word: tuple(out.split()) for word, out in self.written_out.items()},
            {word: tuple(out.split()) for word, out in self.endings.items()},
            mend,
        )

    def words(self) -> frozenset[str]:
        """All single words that it knows: a slip is mended against them."""
        found = {*self.weekdays, *self.months, *self.numbers, *self.ordinals}
        found.update(word for out in self.written_out.values() for word in out.split())
        found.update(word for ways in self.groups.values() for way in ways for word in way.split() if word.isalpha())
        return frozenset(word for word in found if word.isalpha())

    def all_groups(self) -> dict[str, Sequence[str]]:
        """The groups for the rules, days, months and numbers among them."""
        return {
            "weekday": tuple(self.weekdays),
            "month": tuple(self.months),
            "number": ("#", *self.numbers),
            "ordinal": tuple(self.ordinals),
            **self.groups,
        }


def words_in(phrases: Iterable[str]) -> frozenset[str]:
    """All whole words that stand in phrases, whatever marks stand beside them."""
    return frozenset(word for one in phrases for word in one.translate(_NO_MARKS).split() if word.isalpha())


_NO_MARKS = str.maketrans("()[]|", "     ")
