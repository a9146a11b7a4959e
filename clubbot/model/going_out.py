"""What went to many of late, and how the line is: what its texts came to."""

from dataclasses import dataclass
from datetime import datetime
from typing import Literal

from clubbot.model.messages import Said
from clubbot.model.rsvps import DayId

SentKind = Literal["news", "change", "offer", "reminder"]


@dataclass(frozen=True, slots=True, kw_only=True)
class WentOut:
    """One text to many, or all texts of a kind about one event day: when it was begun, how many phones have it, how many are still to get it.
    `audience` is the kind of audience, `list_id` the list of one to a list.
    """

    kind: SentKind
    at: datetime
    got: int
    waits: int = 0
    audience: str = ""
    list_id: str = ""
    on: DayId | None = None
    words: Said | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class LineFaults:
    """Texts of the last day that were refused, texts that should have gone and have not; each since when."""

    refused: int = 0
    refused_since: datetime | None = None
    late: int = 0
    late_since: datetime | None = None
