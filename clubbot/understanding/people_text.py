"""A text as a list of words for finding people in it: folded, shorthand written out, with a mark where a clause ends. The one place where
this is done, so that another reading of the text can take its place.
"""

from collections.abc import Iterator
from dataclasses import dataclass

from clubbot.texting import patterns
from clubbot.understanding.people_words import people_words
from clubbot.understanding.plain import unaccented

COMMA, STOP = ",", "."
_MARKS = {",": COMMA, "(": COMMA, ")": COMMA, ":": COMMA, ".": STOP, ";": STOP, "!": STOP, "?": STOP, "\n": STOP}
_SIGNS = {"+": "plus", "&": "and", "→": "->", "➡": "->"}
# Money, shares, dates, hours and "50-50" are one piece, and no number of anything.
_PIECE = patterns.compile(
    r"(?P<arrow>-+>)|(?P<other>[$€£]\s?\d+(?:[.,]\d+)?|\d+(?:[.,]\d+)?\s?[$€£%]|\d+(?:[:/.-]\d+)+(?:\s?[ap]m\b)?|\d{1,2}h\d{2})"
    r"|(?P<figure>\d+)|(?P<word>[^\W\d_]+(?:['’`][^\W\d_]+)*)|(?P<mark>[^\w\s]|\n)"
)
_MOST_FIGURES = 3  # four are a year, or no number of people that a club has places for
_STRETCHED = patterns.compile(r"([a-z])\1{2,}")


@dataclass(frozen=True, slots=True)
class Spoken:
    """One word: its form, what was written, and its number where it is one."""

    form: str
    written: str
    number: int | None = None
    figures: bool = False

    @property
    def mark(self) -> bool:
        """Whether it is the end of a clause, and no word."""
        return self.form in {COMMA, STOP}

    @property
    def capital(self) -> bool:
        """Whether it is written like a name."""
        return self.written[:1].isupper() and not (len(self.written) > 1 and self.written.isupper())


def spoken_words(text: str) -> tuple[Spoken, ...]:
    """The words of a text."""
    spelled = patterns.sub(r"\bw/(?=\s|\w)", "with ", text, flags=patterns.IGNORECASE)
    return tuple(one for found in _PIECE.finditer(spelled) for one in _spoken(found))


def _spoken(found: patterns.Match) -> Iterator[Spoken]:
    written = found[0]
    if found["arrow"]:
        yield Spoken("->", written)
    elif found["other"]:
        yield Spoken("#", written)
    elif found["figure"]:
        yield Spoken(written, written, int(written) if len(written) <= _MOST_FIGURES else None, figures=True)
    elif found["word"]:
        yield from _forms(written)
    elif written in _SIGNS:
        yield Spoken(_SIGNS[written], written)
    elif written in _MARKS:
        yield Spoken(_MARKS[written], written)


def _forms(written: str) -> Iterator[Spoken]:
    """A word and what is joined to it: "can't" is "can not", "j'ai" is "j ai", "daughter's" is "daughter s"."""
    words = people_words()
    plain = _STRETCHED.sub(r"\1\1", unaccented(written))
    if plain.replace("'", "") in words.written_out:
        for form in words.written_out[plain.replace("'", "")]:
            yield Spoken(form, written, words.numbers.get(form))
        return
    pieces, spelled = plain.split("'"), written.replace("’", "'").replace("`", "'").split("'")
    for place, (piece, as_written) in enumerate(zip(pieces, spelled, strict=False)):
        ending = words.endings.get(piece) if place and place == len(pieces) - 1 else None
        for form in ending or (piece,):
            if form:
                yield Spoken(form, as_written, words.numbers.get(form))
