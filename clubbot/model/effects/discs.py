"""Reports of damage, of lost and found discs, and two people who write to each other through the club because of one."""

from dataclasses import dataclass
from datetime import datetime

from clubbot.model.intents import ReportKind


@dataclass(frozen=True, slots=True, kw_only=True)
class KeepReport:
    """A report is taken down; `number` is its own, so that the note can name it."""

    number: int
    kind: ReportKind
    hole: int | None
    words: str


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


DiscEffect = KeepReport | PutInTouch | Relay
