"""The words of one text with the roles that they have in what is said of people, and what is found there: a mention of people."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby
from operator import attrgetter
from typing import Literal

from clubbot.understanding.people_words import Kin, PeopleWords, Sizes
from clubbot.understanding.text import SENTENCE_ENDS, Word

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
    "perhaps",  # may come, or not
    "none",  # no number of people
]

# Among the words: the end of a clause, of a sentence; a figure that is money, a share, a date, an hour; "3 -> 4".
COMMA, STOP, FIGURES, BECOMES, COLON = ",", ".", "#", "->", ":"
_ARROWS = (BECOMES, "→", "➡")
_MONEY = frozenset("$€£")
_AFTER_MONEY = _MONEY | {"%"}
_NO_WORDS = frozenset("@=")
_DASHES = frozenset("-./:")
_FIGURES_BEGIN = frozenset("0123456789#")
_THOUSANDS = 3
_MOST_FIGURES = 3  # four are a year, or no number of people that a club has places for


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
    """The words of one text, what was written for each, the numbers among them, and which phrases begin and end where."""

    forms: Sequence[str]
    written: Sequence[str]
    numbers: Sequence[int | None]
    begins: Sequence[Sizes]
    ends_at: Sequence[Sizes]
    lists: PeopleWords

    def after(self, role: str, at: int) -> int:
        """How many words from `at` on are a phrase of this role."""
        return self.begins[at].get(role, 0)

    def before(self, role: str, end: int) -> int:
        """How many words up to `end` are a phrase of this role."""
        return self.ends_at[end].get(role, 0)

    def form(self, at: int) -> str:
        """The word there; the end of a sentence before the first and behind the last."""
        return self.forms[at] if 0 <= at < len(self.forms) else STOP

    def number(self, at: int) -> int | None:
        """The number that stands there, if one does."""
        return self.numbers[at] if 0 <= at < len(self.forms) else None

    def capital(self, at: int) -> bool:
        """Whether the word there is written like a name."""
        written = self.written[at]
        return written[:1].isupper() and not (len(written) > 1 and written.isupper())

    def ends(self, at: int) -> bool:
        """Whether a clause ends there."""
        return self.form(at) in {COMMA, STOP, COLON}

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


@dataclass(frozen=True, slots=True)
class _Place:
    """One place of a row: the form of a word or a mark, what was written, and its number."""

    form: str
    written: str
    number: int | None = None


def row_of(written: str, words: Sequence[Word], lists: PeopleWords) -> Row:
    """The row of a text and its words."""
    places: list[_Place] = []
    ended = 0
    for (start, end), group in groupby(words, key=attrgetter("start", "end")):
        _between(written[ended:start] if ended else "", places)
        together = tuple(group)
        _take(together, written[start:end], places, lists, written[ended:start] if ended else " ")
        if together[-1].pause:
            places.append(_STOP if together[-1].pause in SENTENCE_ENDS else _COMMA)
        ended = end
    places = _compounds(places, lists)
    forms = [one.form for one in places]
    begins, ends = lists.sizes(forms)
    return Row(forms, [one.written for one in places], [one.number for one in places], begins, ends, lists)


def _compounds(places: Sequence[_Place], lists: PeopleWords) -> list[_Place]:
    """Tens and ones that are written apart are one number: "twenty two people"; so are "three (3)" and "half a dozen"."""
    found: list[_Place] = []
    for one in places:
        tens = found[-1] if found else _STOP
        if one.number is not None and one.number == tens.number and one.form != tens.form:
            continue
        if one.form in lists.collectives and (halved := _halved(found, lists)):
            found[-halved:] = [_Place(one.form, one.written, (one.number or 0) // 2)]
            continue
        value = (tens.number or 0, one.number or 0)
        if value[0] in _TENS and value[1] in _ONES and tens.form.isalpha() and one.form.isalpha():
            found[-1] = _Place(tens.form, f"{tens.written} {one.written}", sum(value))
        else:
            found.append(one)
    return found


def _halved(found: Sequence[_Place], lists: PeopleWords) -> int:
    """How many words right before are "half a"; 0 where none are."""
    before = tuple(one.form for one in found)
    return next((len(half) for half in lists.halves if half == before[-len(half) :]), 0)


_TENS, _ONES = range(20, 100, 10), range(1, 10)
_STOP, _COMMA = _Place(STOP, STOP), _Place(COMMA, COMMA)


def _between(gap: str, places: list[_Place]) -> None:
    """What stands between two words and is neither a word nor a pause of the text: an arrow, a colon."""
    if not gap.strip():
        return
    if any(arrow in gap for arrow in _ARROWS):
        places.append(_Place(BECOMES, gap.strip()))
    elif ":" in gap and places and places[-1].form not in {COMMA, STOP}:
        places.append(_COMMA if places[-1].number is None else _Place(COLON, COLON))


def _take(words: Sequence[Word], written: str, places: list[_Place], lists: PeopleWords, gap: str) -> None:
    """The words that were written as one, at the end of the row. Money, shares, dates, hours and "50-50" are no number of anything."""
    last = places[-1] if places else _STOP
    form, dashed = words[0].form, gap in _DASHES
    if form in _NO_WORDS:
        return
    if gap == "," and len(form) == _THOUSANDS and form.isdigit() and places[-2].form[:1] in _FIGURES_BEGIN:
        places[-2:] = [_Place(FIGURES, written)]  # "$15,000"
    elif form in _AFTER_MONEY and last.form[:1].isdigit():
        places[-1] = _Place(FIGURES, last.written)
    elif form[:1].isdigit() and (last.form in _MONEY or (dashed and last.form[:1].isdigit())):
        places[-1] = _Place(FIGURES, written)
    elif len(words) > 2 and form.isdigit() and words[2].form.isdigit():  # "18h30"
        places.append(_Place(FIGURES, written))
    else:
        places.extend(_places(words, written, lists))


def _places(words: Sequence[Word], written: str, lists: PeopleWords) -> Iterator[_Place]:
    """ "Bob's" is "bob s", each as it was written."""
    parts = written.replace("’", "'").replace("`", "'").split("'")
    each = parts if len(parts) == len(words) else [written] * len(words)
    for word, part in zip(words, each, strict=True):
        form = word.slip or word.form
        if not form[:1].isdigit():
            yield _Place(form, part, lists.numbers.get(form))
        elif form.isdigit():
            yield _Place(form, part, int(form) if len(form) <= _MOST_FIGURES else None)
        else:
            yield _Place(FIGURES, part)


def kin(row: Row, at: int) -> tuple[int, Kin, bool] | None:
    """The word for kin at `at`: where it ends, what it says, and whether it is a plural."""
    form = row.form(at)
    plural = row.lists.kins.get(form)
    for size in (2, 1) if form in row.lists.kin_first else ():
        found = row.lists.kin.get(tuple(row.forms[at : at + size])) if 0 <= at <= len(row.forms) - size else None
        if found is not None:
            return at + size, found, False
    return (at + 1, plural, True) if plural is not None else None


def follows_name(row: Row, end: int) -> bool:
    """Whether what comes then is what stands after a name: the end, a day, "is coming"."""
    names = ("days", "bare_after", "joins", "comes", "takes", "comes_too", "are")
    return row.ends(end) or any(row.after(name, end) for name in names)
