"""Reports of damage, of lost and found discs, and two people who write to each other through the club because of one."""

from dataclasses import dataclass
from datetime import datetime

from clubbot.model.intents import ReportKind


@dataclass(frozen=True, slots=True, kw_only=True)
class KeepReport:
    """A report is taken down; `number` is its own, so that the note can name it. `part` is the loop that was named (its id); `again`: more
    words for a report that is there.
    """

    number: int
    kind: ReportKind
    hole: int | None
    words: str
    part: str | None = None
    again: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class SettleReport:
    """A report is dealt with, as this person says. Its reporter is told `text` once, at `due` or at once, unless they want no texts; None
    where nobody is told.
    """

    number: int
    person: str
    text: str | None
    due: datetime | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class OpenReport:
    """A report that was said to be dealt with is not: a text about it that still waits does not go, and where one has gone its reporter is
    told `text`.
    """

    number: int
    text: str | None
    due: datetime | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class PutInTouch:
    """A lost and a found disc are one: the two people are told, and may write to each other through the club until then."""

    lost: int
    found: int
    owner: str
    finder: str
    to_owner: str
    to_finder: str
    until: datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class Relay:
    """The sender's words go to the other of two who were put in touch."""

    number: str
    text: str


DiscEffect = KeepReport | SettleReport | OpenReport | PutInTouch | Relay
