"""Orders about the list of reports, and what somebody of the club wants to see: what went to many, what they may text."""

from dataclasses import dataclass
from typing import Literal

Span = Literal["today", "yesterday", "week"]
# What the orders of one kind are about.
Matter = Literal["course", "events", "news", "signups", "questions", "duty", "reports", "phones"]


@dataclass(frozen=True, slots=True)
class ListReports:
    """The reports that are open are to be shown, a few at a time: those of this page."""

    page: int = 1


@dataclass(frozen=True, slots=True)
class DoneReport:
    """What was reported under these numbers is dealt with. `unused` is what the text says besides."""

    numbers: tuple[int, ...]
    unused: str = ""


@dataclass(frozen=True, slots=True)
class UndoneReport:
    """What was said to be dealt with is not."""

    numbers: tuple[int, ...]
    unused: str = ""


@dataclass(frozen=True, slots=True)
class ShowSent:
    """What went to many is to be shown."""

    span: Span = "today"


@dataclass(frozen=True, slots=True)
class ShowOrders:
    """What the sender may text, by role; with examples where one matter is named."""

    about: Matter | None = None


@dataclass(frozen=True, slots=True)
class ShowPeople:
    """Who belongs to the club's people now, with what they do."""
