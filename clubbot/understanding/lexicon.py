"""The words of one language as data: what is written out, numbers, words of time, words for people, and named groups for the rules.

What is read without knowing which language a text is in, days and people, is read with the lexicons of all languages together
(`in_any_language`): people mix them, and a name or a number is of none.
"""

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
    """The lexicon of a language. Words stand in their folded form.

    `written_out` holds what a joined or short word stands for, `anywhere` the same of those that are no word of another language;
    `letters` are those that are nearly always of this one.
    `weekdays` count from Monday as 0, `months` from January as 1; `collectives` are "a dozen", `few` how many "a couple of" are. `time`
    has the words for each role in the grammar of days and hours, `feasts` the month and day of a feast as 1225 and 0 for one that moves,
    `unsure` the days that are other words too, `no_slips` words that are near to a day and none. `kin` has the words for one person by
    who may be meant by another of them, `plurals` the plurals that no ending of `plural_endings` makes, `people` the phrases of each role
    in what is said of people, `holes` those of holes of the course.
    """

    language: Language
    written_out: Mapping[str, str] = field(default_factory=dict)
    anywhere: Mapping[str, str] = field(default_factory=dict)
    endings: Mapping[str, str] = field(default_factory=dict)
    letters: str = ""
    weekdays: Mapping[str, int] = field(default_factory=dict)
    months: Mapping[str, int] = field(default_factory=dict)
    numbers: Mapping[str, int] = field(default_factory=dict)
    ordinals: Mapping[str, int] = field(default_factory=dict)
    collectives: Mapping[str, int] = field(default_factory=dict)
    groups: Mapping[str, Sequence[str]] = field(default_factory=dict)
    time: Mapping[str, Sequence[str]] = field(default_factory=dict)
    few: Mapping[str, float] = field(default_factory=dict)
    feasts: Mapping[str, int] = field(default_factory=dict)
    unsure: Mapping[str, Neighbours] = field(default_factory=dict)
    no_slips: Sequence[str] = ()
    kin: Mapping[str, Sequence[str]] = field(default_factory=dict)
    plurals: Mapping[str, str] = field(default_factory=dict)
    plural_endings: Sequence[str] = ()
    holes: Mapping[str, Sequence[str]] = field(default_factory=dict)
    people: Mapping[str, Sequence[str]] = field(default_factory=dict)

    def spelling(self, mend: Callable[[str], str]) -> Spelling:
        """How its words are put into form."""
        return Spelling(
            _split({**self.anywhere, **self.written_out}),
            _split(self.endings),
            mend,
            {**self.numbers, **self.collectives},
        )

    def words(self) -> frozenset[str]:
        """All single words that it knows: a slip is mended against them."""
        found = {*self.weekdays, *self.months, *self.numbers, *self.ordinals}
        found.update(word for out in (*self.anywhere.values(), *self.written_out.values()) for word in out.split())
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


def in_any_language(lexicons: Iterable[Lexicon], mend: Callable[[str], str]) -> Spelling:
    """How words are put into form where the language of a text does not matter; of two languages the first one's word holds."""
    written_out: dict[str, str] = {}
    endings: dict[str, str] = {}
    numbers: dict[str, int] = {}
    for one in lexicons:
        written_out = {**one.anywhere, **written_out}
        endings = {**one.endings, **endings}
        numbers = {**one.numbers, **one.collectives, **numbers}
    return Spelling(_split(written_out), _split(endings), mend, numbers)


def _split(table: Mapping[str, str]) -> dict[str, tuple[str, ...]]:
    return {word: tuple(out.split()) for word, out in table.items()}


def words_in(phrases: Iterable[str]) -> frozenset[str]:
    """All whole words that stand in phrases, whatever marks stand beside them."""
    return frozenset(word for one in phrases for word in one.translate(_NO_MARKS).split() if word.isalpha())


_NO_MARKS = str.maketrans("()[]|", "     ")
