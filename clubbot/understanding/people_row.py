"""The words of one text with the lists of people words beside them, and what is found in it: a mention of people."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from clubbot.understanding.people_text import COMMA, STOP, Spoken, spoken_words
from clubbot.understanding.people_words import PeopleWords, people_words

Kind = Literal["sender", "us", "everybody", "kin", "name", "heads", "some", "many", "number"]
Part = Literal[
    "comes",  # beside the sender, or the sender
    "total",  # the number of all
    "was",  # what the number was before
    "more",  # so many beside those who were coming
    "less",
    "out",  # does not come
    "instead",  # takes the place of somebody
    "refused",  # "not 3", "instead of 3": the number that no longer holds
    "none",  # no number of people
]


@dataclass(frozen=True, slots=True)
class Mention:
    """Some people, or a number, from word `first` up to `end`, those joined by "and" in one `run`. `many` is None where it is more than one
    and nobody knows how many; `label` is the word for kin. `beside` tells whether by the words around they come with the sender, `grown`
    whether such a list leaves nobody out, `alone` whether it is nobody but the sender, `signed` whether the sender puts them down,
    `coming` whether it is said in so many words that they come.
    """

    kind: Kind
    part: Part
    many: int | None
    first: int
    end: int
    words: str = ""
    label: str = ""
    name: str | None = None
    run: int = 0
    beside: bool = False
    grown: bool = False
    alone: bool = False
    signed: bool = False
    coming: bool = False


@dataclass(frozen=True, slots=True)
class Row:
    """The words of one text, and what stands where."""

    spoken: Sequence[Spoken]
    forms: Sequence[str]
    lists: PeopleWords

    def after(self, name: str, at: int) -> int:
        """How many words from `at` on are of this group."""
        return self.lists.groups[name].after(self.forms, at)

    def before(self, name: str, end: int) -> int:
        """How many words up to `end` are of this group."""
        return self.lists.groups[name].before(self.forms, end)

    def form(self, at: int) -> str:
        """The word there; the end of a sentence before the first and behind the last."""
        return self.forms[at] if 0 <= at < len(self.forms) else STOP

    def number(self, at: int) -> int | None:
        """The number that stands there, if one does."""
        return self.spoken[at].number if 0 <= at < len(self.spoken) else None

    def ends(self, at: int) -> bool:
        """Whether a clause ends there."""
        return self.form(at) in {COMMA, STOP}

    def clause_start(self, at: int) -> int:
        """Where the clause begins that `at` stands in."""
        while at > 0 and not self.ends(at - 1):
            at -= 1
        return at

    def past_fillers(self, at: int) -> int:
        """Back over "just", "about", "maybe": where what is before them ends."""
        steps = 0
        while steps < 4 and self.before("fillers", at):
            at -= self.before("fillers", at)
            steps += 1
        return at


def row_of(text: str) -> Row:
    """The words of a text."""
    spoken = spoken_words(text)
    return Row(spoken, [one.form for one in spoken], people_words())


def kin(row: Row, at: int) -> tuple[int, tuple[str, str], bool] | None:
    """The word for kin at `at`: where it ends, what it says, and whether it is a plural."""
    for size in (2, 1):
        found = row.lists.kin.get(tuple(row.forms[at : at + size]))
        if found is not None and at + size <= len(row.forms):
            return at + size, found, False
    plural = row.lists.kins.get(row.form(at))
    return (at + 1, plural, True) if plural is not None else None


def follows_name(row: Row, end: int) -> bool:
    """Whether what comes then is what stands after a name: the end, a day, "is coming"."""
    names = ("days", "bare_after", "joins", "comes", "takes", "comes_too")
    return row.ends(end) or row.form(end) == "are" or any(row.after(name, end) for name in names)
