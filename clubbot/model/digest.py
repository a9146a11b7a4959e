"""How it went over a day or a week, counted."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Doubt:
    """A text, what it was read as, and what its writer said was meant, where that could be made out."""

    text: str
    read_as: str
    meant: str | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Digest:
    """`open` are the questions that wait, by number with their words, `reports` how many reports are open, `sent` the texts that went out, `unclear` those that were not understood, `doubts`
    those that were misread, as their writers told us. `blanked_parts` is what went out and of which the words are no longer kept;
    `lacking` are the topics that were asked about and have no answer; `kept` of the open questions were told to nobody singly.
    """

    texts: int
    people: int
    new: int
    passed: int
    open: tuple[tuple[int, str], ...]
    rsvps: int
    sent: tuple[str, ...]
    unclear: tuple[str, ...]
    doubts: tuple[Doubt, ...] = ()
    blanked_parts: int = 0
    kept: int = 0
    reports: int = 0
    lacking: tuple[str, ...] = ()
