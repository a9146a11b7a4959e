"""The words of a text that speak of time, by the lexicons of all languages together: people say "friday à 6h" in one breath.

At each word stand the roles that it may begin ("weekday", "month", "in_the_evening"), with what they are worth and where they end. A
short form that is a common word too has its role only beside the right neighbours.
"""

from collections.abc import Iterable, Mapping, Sequence, Set
from dataclasses import dataclass

from clubbot.texting import patterns
from clubbot.understanding.lexicon import Lexicon, Neighbours
from clubbot.understanding.text import Word

# What a role is worth, and the word behind its last.
Marks = Mapping[str, tuple[float, int]]

_DAYS_OF_MONTH, _HOURS, _MINUTES = 31, 24, 60
_CLOCK = patterns.compile(r"(\d{1,2})[:.](\d\d)")
_SLASHED = patterns.compile(r"\d{1,4}/\d{1,2}(?:/\d{2,4})?")
_YEAR = patterns.compile(r"20\d\d")
# The roles that an unsure word has only beside the right neighbours.
_DAY_ROLES = frozenset({"weekday", "today"})
_NUMBERS = frozenset({"n", "two", "figures", "d", "dth", "n_am", "n_pm"})
_NOWHERE = (0.0, 0)
_HALVES = {"a": "n_am", "p": "n_pm"}


@dataclass(frozen=True, slots=True)
class Marked:
    """The words, the roles that begin at each and that end before each, and those that stand anywhere."""

    words: tuple[Word, ...]
    at: tuple[Marks, ...]
    ended: tuple[Set[str], ...]
    said: frozenset[str]

    def says(self, *roles: str) -> bool:
        """Whether one of these roles stands anywhere."""
        return not self.said.isdisjoint(roles)

    def begins(self, place: int, *roles: str) -> bool:
        """Whether one of these roles begins at this word."""
        return 0 <= place < len(self.at) and not self.at[place].keys().isdisjoint(roles)

    def follows(self, place: int, *roles: str) -> bool:
        """Whether one of these roles ends right before this word."""
        return not self.ended[place].isdisjoint(roles)

    def without_numbers(self, begin: int, end: int) -> "Marked":
        """Without the numbers from one word up to another: those of a date are no hours."""
        if not any("n" in marks for marks in self.at[begin:end]):
            return self
        kept = (
            {role: mark for role, mark in marks.items() if role not in _NUMBERS} if begin <= place < end else marks
            for place, marks in enumerate(self.at)
        )
        return with_marks(self.words, tuple(kept))


def with_marks(words: tuple[Word, ...], at: tuple[Marks, ...]) -> Marked:
    """The words with the roles that begin at each."""
    ended: list[set[str]] = [set() for _ in range(len(at) + 1)]
    said: set[str] = set()
    for marks in at:
        said.update(marks)
        for role, (_, end) in marks.items():
            ended[end].add(role)
    return Marked(words, at, tuple(ended), frozenset(said))


class TimeWords:
    """Finds them."""

    def __init__(self, lexicons: Iterable[Lexicon]) -> None:
        self._rows: dict[str, list[tuple[tuple[str, ...], str, float]]] = {}
        self._unsure: dict[str, Neighbours] = {}
        self._numbers: dict[str, int] = {}
        self._ordinals: dict[str, int] = {}
        self._tens: set[str] = set()
        self._tens_and: set[str] = set()
        self._ones: set[str] = set()
        lexicons = tuple(lexicons)
        counts = frozenset(word for lexicon in lexicons for word in lexicon.numbers)
        for lexicon in lexicons:
            self._take(lexicon, counts)

    def _take(self, lexicon: Lexicon, counts: Set[str]) -> None:
        for word, weekday in lexicon.weekdays.items():
            self._row(word, "weekday", weekday)
        for word, month in lexicon.months.items():
            self._row(word, "month", month)
            if word not in lexicon.unsure and word not in counts:  # "on serait sept": seven
                self._row(word, "sure_month", month)
        for role, phrases in (*lexicon.time.items(), *lexicon.holes.items()):
            for phrase in phrases:
                self._row(phrase, role, 0)
        for phrase, count in lexicon.few.items():
            self._row(phrase, "few", count)
        for phrase, day in lexicon.feasts.items():
            self._row(phrase, "feast", day)
        self._unsure |= lexicon.unsure
        self._numbers |= {word: number for word, number in lexicon.numbers.items() if word not in lexicon.few}
        self._ones |= {word for word, number in lexicon.numbers.items() if number == 1}
        self._ordinals |= lexicon.ordinals
        self._tens |= set(lexicon.time.get("ten_and", ()))
        self._tens_and |= set(lexicon.time.get("tens_and", ()))

    def _row(self, phrase: str, role: str, worth: float) -> None:
        row = tuple(phrase.split())
        self._rows.setdefault(row[0], []).append((row, role, worth))

    def marked(self, words: tuple[Word, ...]) -> Marked:
        """The roles of these words."""
        forms = tuple(word.form for word in words)
        plain: list[dict[str, tuple[float, int]]] = []
        for place, form in enumerate(forms):
            marks: dict[str, tuple[float, int]] = {}
            for row, role, worth in self._rows.get(form, ()):
                end = place + len(row)
                if forms[place:end] == row and (role not in marks or marks[role][1] < end):
                    marks[role] = (worth, end)
            self._number(words, forms, place, marks)
            if place and plain[-1].get("n", _NOWHERE)[1] > place:  # the sept of "dix sept" is no month
                marks = {}
            plain.append(marks)
        bare = with_marks(words, tuple(plain))
        unsure = [place for place, form in enumerate(forms) if form in self._unsure]
        if not unsure:
            return bare
        kept: list[Marks] = list(plain)
        for place in unsure:
            kept[place] = self._sure(bare, forms, place)
        return with_marks(words, tuple(kept))

    def _sure(self, bare: Marked, forms: Sequence[str], place: int) -> Marks:
        """Its roles without that of a day where the neighbours show another word."""
        rule, marks = self._unsure[forms[place]], bare.at[place]
        before, after = forms[place - 1 : place], forms[place + 1 : place + 2]
        alone = rule.only_before or rule.only_after
        fits = (
            any(_stands(one, bare, after, place + 1) for one in rule.only_before)
            or any(one in before for one in rule.only_after)
            or (rule.at_end and not after)
        )
        other = any(one in before for one in rule.not_after) or any(one in after for one in rule.not_before)
        if other or (alone and not fits):
            return {role: mark for role, mark in marks.items() if role not in _DAY_ROLES}
        return marks

    def _number(
        self, words: Sequence[Word], forms: Sequence[str], place: int, marks: dict[str, tuple[float, int]]
    ) -> None:
        form = forms[place]
        if not form[0].isdigit():
            self._written(forms, place, marks)
            return
        if form.isdigit():
            self._figures(words, forms, place, marks)
        elif (clock := _CLOCK.fullmatch(form)) is not None:
            hour, minute = int(clock[1]), int(clock[2])
            if hour < _HOURS and minute < _MINUTES:
                marks["clock"] = (hour * 60 + minute, place + 1)
                if form[0] == "0":
                    marks["clock_0"] = marks["clock"]
                half = _HALVES.get(forms[place + 1]) if _touch(words, place) else None
                if half:
                    marks[half.replace("n_", "clock_")] = (marks["clock"][0], place + 2)
        elif _SLASHED.fullmatch(form):
            marks["slashed"] = (0, place + 1)

    def _figures(
        self, words: Sequence[Word], forms: Sequence[str], place: int, marks: dict[str, tuple[float, int]]
    ) -> None:
        form, end = forms[place], place + 1
        value = int(form) if len(form) <= 4 else 0
        if _YEAR.fullmatch(form):
            marks["year"] = (value, end)
        elif len(form) in {3, 4} and value // 100 < _HOURS and value % 100 < _MINUTES:
            marks["military"] = (value // 100 * 60 + value % 100, end)
        elif len(form) <= 2:
            marks["figures"] = marks["n"] = (value, end)
            if len(form) == 2:
                marks["two"] = (value, end)
            glued = end < len(words) and words[end].start - words[place].end <= 1
            ordinal = glued and any(row == (forms[end],) and role == "th" for row, role, _ in self._row_of(forms, end))
            _day(marks, value, end + 1 if ordinal else end, ordinal=ordinal)
            half = _touch(words, place) and _HALVES.get(forms[end])
            if half:
                marks[half] = (value, end + 1)

    def _row_of(self, forms: Sequence[str], place: int) -> list[tuple[tuple[str, ...], str, float]]:
        return self._rows.get(forms[place], []) if place < len(forms) else []

    def _written(self, forms: Sequence[str], place: int, marks: dict[str, tuple[float, int]]) -> None:
        """ "twenty four", "vingt et un", "twenty first"."""
        form, end = forms[place], place + 1
        if form in self._ordinals:
            _day(marks, self._ordinals[form], end, ordinal=True)
        value = self._numbers.get(form)
        if form in self._ones:
            marks["n1"] = (1, end)
        if value is None:
            return
        joined = end + 1 if value >= 20 and forms[end : end + 1] and forms[end] in self._tens_and else end
        unit = forms[joined] if joined < len(forms) and (value >= 20 or form in self._tens) else ""
        ordinal = 0 < self._ordinals.get(unit, 0) < 10
        small = self._ordinals[unit] if ordinal else self._numbers.get(unit, int(joined > end and unit in self._ones))
        if 0 < small < 10:
            value, end = value + small, joined + 1
        marks["n"] = (value, end)
        if value >= 10:
            marks["two"] = (value, end)
        _day(marks, value, end, ordinal=ordinal)


def _touch(words: Sequence[Word], place: int) -> bool:
    """Whether nothing at all stands before the next word: "7p"."""
    return place + 1 < len(words) and words[place + 1].start <= words[place].end


def _stands(wanted: str, bare: Marked, after: Sequence[str], place: int) -> bool:
    """Whether the neighbour is this word, any number ("#"), an hour with its "h" ("{hour}") or a word of this role ("{part}")."""
    if wanted == "#":
        return bool(after) and after[0][0].isdigit()
    if wanted == "{hour}":
        return bare.begins(place, "n") and bare.begins(place + 1, "h")
    if wanted.startswith("{"):
        return bare.begins(place, wanted[1:-1])
    return wanted in after


def _day(marks: dict[str, tuple[float, int]], value: int, end: int, *, ordinal: bool) -> None:
    if value == 0:
        return
    marks["d" if value <= _DAYS_OF_MONTH else "no_day"] = (value, end)
    if ordinal:
        marks["dth" if value <= _DAYS_OF_MONTH else "no_dth"] = (value, end)
