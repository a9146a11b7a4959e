"""What is asked of whoever reads texts, and what comes back: the values that travel between the service and the process beside it."""

from dataclasses import dataclass
from datetime import datetime
from typing import Protocol

from clubbot.conversation.replying import Turn
from clubbot.handbook.findings import Finding
from clubbot.model.club import Knowledge, Overlay
from clubbot.model.deeds import Draft
from clubbot.model.known import Known
from clubbot.model.messages import Incoming
from clubbot.model.orders import Audience
from clubbot.model.rsvps import DayId
from clubbot.texting.keywords import Keyword

# Seconds that one text may take, reading and deciding; it takes 16 thousandths of one.
MOST_SECONDS = 2.0

Told = tuple[Audience, DayId | None] | None


class Reads(Protocol):
    """Knows the club, reads a text and decides about it."""

    @property
    def knowledge(self) -> Knowledge:
        """The files, without what was changed by text."""
        ...

    def decide(self, message: Incoming, known: Known, overlay: Overlay, now: datetime) -> Turn:
        """The turn of one message."""
        ...

    def opts_out(self, text: str) -> Keyword | None:
        """Whether a text that is not read otherwise asks for no more texts."""
        ...

    def audience(self, message: Incoming, draft: Draft | None, overlay: Overlay) -> Told:
        """Whom a text of the club's people asks to tell."""
        ...


@dataclass(frozen=True, slots=True)
class Opened:
    """The handbook is open."""

    knowledge: Knowledge


@dataclass(frozen=True, slots=True)
class NotOpened:
    """It cannot be used: what is wrong, and where that is known the findings."""

    reason: str
    findings: tuple[Finding, ...] = ()


@dataclass(frozen=True, slots=True)
class Decide:
    """Decide about a message."""

    message: Incoming
    known: Known
    overlay: Overlay
    now: datetime


@dataclass(frozen=True, slots=True)
class WhoIsTold:
    """Tell whom a text asks to tell."""

    message: Incoming
    draft: Draft | None
    overlay: Overlay


@dataclass(frozen=True, slots=True)
class WhetherItOptsOut:
    """Tell whether a text asks for no more texts."""

    text: str


@dataclass(frozen=True, slots=True)
class Failed:
    """A fault of ours, with its trace."""

    trace: str


Request = Decide | WhoIsTold | WhetherItOptsOut
Answer = Turn | Told | Keyword | Failed
