"""Patterns that read what people wrote, and none of them for long: the only place of the pure part where patterns are compiled.

They run on `regex`, whose every call can be ended; of google-re2, which needs no such end, 130 of our patterns are out of reach, because
it has no look-arounds. `tests/texting/test_no_pattern_runs_away.py` tries each with hard texts; the end set here is for those that nobody
thought of. Patterns are written as for `re` and read alike, but for marks that join the letter before them (an accent of its own, the
joiners inside an emoji): here they are letters of a word.
"""

from collections.abc import Callable, Iterator
from functools import lru_cache
from typing import Any, Protocol

import regex

from clubbot.model.errors import RunsAway

# Seconds of one call. `regex` counts the processor time of the whole process, other threads' too, so that the end stands at four times
# what the test allows a pattern on its hardest text: no plain text meets it on a slow or a busy machine.
LONGEST = 0.2
# Asking for the end costs three times what a short search does (1.8 microseconds, 467 searches a text). A text of so many letters, a part
# of a message, can keep only a pattern busy whose ways double with each letter; those the test finds, and whoever reads texts in the
# running service is ended in any case (handbook/keeper).
_SHORT = 160
# Letters of a pattern that its fault names: enough to find it by.
_NAMED_BY = 60

IGNORECASE: int = regex.IGNORECASE
DOTALL: int = regex.DOTALL
MULTILINE: int = regex.MULTILINE
VERBOSE: int = regex.VERBOSE


def _end(text: str) -> float | None:
    return LONGEST if len(text) > _SHORT else None


class Match(Protocol):
    """What a pattern found, as `re.Match[str]` tells it."""

    string: str
    lastgroup: str | None
    lastindex: int | None

    def __getitem__(self, key: int | str, /) -> Any:
        """The words of one group."""

    def group(self, *groups: int | str) -> Any:
        """The words of it, or of these groups."""

    def groups(self) -> tuple[Any, ...]:
        """The words of all groups."""

    def groupdict(self) -> dict[str, Any]:
        """The words of all groups that have a name."""

    def start(self, group: int | str = 0, /) -> int:
        """Where it begins."""

    def end(self, group: int | str = 0, /) -> int:
        """Where it ends."""

    def span(self, group: int | str = 0, /) -> tuple[int, int]:
        """Where it begins and ends."""

    def expand(self, template: str, /) -> str:
        """The template with the words of its groups."""


class Pattern:
    """A compiled pattern, called as `re.Pattern[str]` is; raises RunsAway where a text keeps it busy for too long."""

    __slots__ = ("_compiled", "flags", "groupindex", "groups", "pattern")

    def __init__(self, pattern: str, flags: int = 0) -> None:
        self._compiled = regex.compile(pattern, flags)
        self.pattern, self.flags = pattern, flags
        self.groups: int = self._compiled.groups
        self.groupindex: dict[str, int] = self._compiled.groupindex

    def __repr__(self) -> str:
        return f"Pattern({self.pattern!r}, {self.flags})"

    def search(self, text: str, pos: int = 0, endpos: int | None = None) -> Match | None:
        """The first place where it stands."""
        try:
            return self._compiled.search(text, pos, endpos, timeout=_end(text))  # type: ignore[no-any-return]
        except TimeoutError:
            raise self._runs_away() from None

    def match(self, text: str, pos: int = 0, endpos: int | None = None) -> Match | None:
        """Where the text begins with it."""
        try:
            return self._compiled.match(text, pos, endpos, timeout=_end(text))  # type: ignore[no-any-return]
        except TimeoutError:
            raise self._runs_away() from None

    def fullmatch(self, text: str, pos: int = 0, endpos: int | None = None) -> Match | None:
        """Where the whole text is it."""
        try:
            return self._compiled.fullmatch(text, pos, endpos, timeout=_end(text))  # type: ignore[no-any-return]
        except TimeoutError:
            raise self._runs_away() from None

    def finditer(self, text: str, pos: int = 0, endpos: int | None = None) -> Iterator[Match]:
        """Every place where it stands; all are found at once, so that the time taken between two of them is not counted."""
        try:
            return iter(list(self._compiled.finditer(text, pos, endpos, timeout=_end(text))))
        except TimeoutError:
            raise self._runs_away() from None

    def findall(self, text: str, pos: int = 0, endpos: int | None = None) -> list[Any]:
        """The words of every place where it stands."""
        try:
            return self._compiled.findall(text, pos, endpos, timeout=_end(text))  # type: ignore[no-any-return]
        except TimeoutError:
            raise self._runs_away() from None

    def sub(self, new: str | Callable[[Match], str], text: str, count: int = 0) -> str:
        """The text with every place written anew."""
        try:
            return self._compiled.sub(new, text, count, timeout=_end(text))  # type: ignore[no-any-return]
        except TimeoutError:
            raise self._runs_away() from None

    def subn(self, new: str | Callable[[Match], str], text: str, count: int = 0) -> tuple[str, int]:
        """The text with every place written anew, and how many there were."""
        try:
            return self._compiled.subn(new, text, count, timeout=_end(text))  # type: ignore[no-any-return]
        except TimeoutError:
            raise self._runs_away() from None

    def split(self, text: str, maxsplit: int = 0) -> list[Any]:
        """The text cut where it stands."""
        try:
            return self._compiled.split(text, maxsplit, timeout=_end(text))  # type: ignore[no-any-return]
        except TimeoutError:
            raise self._runs_away() from None

    def _runs_away(self) -> RunsAway:
        return RunsAway(f"a text keeps this pattern busy for over {LONGEST} s: {self.pattern[:_NAMED_BY]}")


def compile(pattern: str, flags: int = 0) -> Pattern:  # noqa: A001 # named as in `re`
    """The pattern, ready for use."""
    return Pattern(pattern, flags)


def escape(text: str) -> str:
    """A pattern of this very text."""
    return regex.escape(text)  # type: ignore[no-any-return]


_kept = lru_cache(maxsize=512)(Pattern)


def search(pattern: str, text: str, flags: int = 0) -> Match | None:
    """The first place where the pattern stands."""
    return _kept(pattern, flags).search(text)


def match(pattern: str, text: str, flags: int = 0) -> Match | None:
    """Where the text begins with the pattern."""
    return _kept(pattern, flags).match(text)


def fullmatch(pattern: str, text: str, flags: int = 0) -> Match | None:
    """Where the whole text is the pattern."""
    return _kept(pattern, flags).fullmatch(text)


def finditer(pattern: str, text: str, flags: int = 0) -> Iterator[Match]:
    """Every place where the pattern stands."""
    return _kept(pattern, flags).finditer(text)


def findall(pattern: str, text: str, flags: int = 0) -> list[Any]:
    """The words of every place where the pattern stands."""
    return _kept(pattern, flags).findall(text)


def sub(pattern: str, new: str | Callable[[Match], str], text: str, flags: int = 0) -> str:
    """The text with every place of the pattern written anew."""
    return _kept(pattern, flags).sub(new, text)
