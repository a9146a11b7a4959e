"""A text beside its plain form, so that what is left over is told in the words it was written in."""

from collections.abc import Sequence
from dataclasses import dataclass

from clubbot.texting import patterns
from clubbot.understanding.dates import plain_for_dates

_BREAKS = frozenset(',;:!?.()[]\n–—…"«»“”')


@dataclass(frozen=True, slots=True)
class MarkedText:
    """A text beside its plain form, in which "," stands for every mark that divides. `at[i]` is where the plain letter i was
    written, so that what is left over can be told in the writer's own words.
    """

    written: str
    plain: str
    at: tuple[int, ...]

    def words(self, begin: int, end: int) -> str:
        """What was written from `begin` to `end` of the plain form."""
        said = self.written[self.at[begin] : self.at[end - 1] + 1] if begin < end else ""
        return f"{said})" if said.count("(") > said.count(")") else said

    def rest(self, end: int) -> str:
        """What was written after `end` of the plain form, as it stands."""
        return self.written[self.at[end - 1] + 1 :] if end else self.written


def marked(written: str) -> MarkedText:
    """The text with its plain form."""
    letters: list[str] = []
    at: list[int] = []
    for spot in range(len(written)):
        for letter in _plain_letter(written, spot):
            for one in _spaced(letter, letters):
                letters.append(one)
                at.append(spot)
    plain = "".join(letters)
    kept = len(plain.rstrip(" ,"))
    return MarkedText(written, plain[:kept], tuple(at[:kept]))


# "2-4pm", "9am-noon": said as "to".
_SPAN_DASH = patterns.compile(r"(?i).{0,3}\d ?(?:am|pm|h|a|p|m)?[-–](?:\d.?|no|mi)")


def _plain_letter(written: str, spot: int) -> str:
    """A letter's plain form: nothing for the point of "p.m.", ":" only within an hour, "," for what divides, "~" for "to"."""
    letter = written[spot]
    around = written[max(0, spot - 1) : spot + 2]
    if letter in ".:" and patterns.fullmatch(r"\d[.:]\d", around):
        return ":"
    if letter == "." and patterns.search(r"(?i)\b[ap]\.m", written[max(0, spot - 3) : spot + 2]):
        return ""
    if letter in "-–" and _SPAN_DASH.fullmatch(written[max(0, spot - 3) : spot + 3]):
        return "~"
    if letter in _BREAKS or (letter == "-" and around == " - "):
        return ","
    return plain_for_dates(letter) or " "


def _spaced(letter: str, before: Sequence[str]) -> str:
    """The letter with the space that parts it from what stands before; single spaces, single marks, none at the beginning."""
    last = before[-1] if before else ""
    if letter == "~":
        return " to "
    if letter == " ":
        return "" if last in {"", " ", ","} else " "
    if letter == ",":
        if not before or last == "," or before[-2:] == [",", " "]:
            return ""
        return "," if last == " " else " ,"
    return f" {letter}" if last == "," else letter


def any_of(words: str) -> str:
    """A pattern for any of these words, the longest first; "_" stands for a space."""
    return "|".join(sorted((patterns.escape(word.replace("_", " ")) for word in words.split()), key=len, reverse=True))


def sentence(words: str) -> str:
    """As written, the first letter a capital."""
    words = words.strip()
    return words[:1].upper() + words[1:]
