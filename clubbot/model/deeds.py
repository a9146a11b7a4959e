"""What happens only once the code that was shown comes back; each is kept as data until then."""

from dataclasses import dataclass
from datetime import date, datetime
from typing import Literal

from clubbot.model.club import ClosureKind
from clubbot.model.messages import Said
from clubbot.model.orders import Audience


@dataclass(frozen=True, slots=True, kw_only=True)
class CloseDeed:
    """Close the course, a loop or a hole."""

    what: str
    since: datetime
    until: datetime | None
    reason: Said
    kind: ClosureKind
    deed: Literal["close"] = "close"


@dataclass(frozen=True, slots=True, kw_only=True)
class ReopenDeed:
    """End the closures with these numbers."""

    closures: tuple[int, ...]
    what: str
    deed: Literal["reopen"] = "reopen"


@dataclass(frozen=True, slots=True, kw_only=True)
class CallOffDeed:
    """Call a day of an event off."""

    event: str
    day: date
    reason: Said
    deed: Literal["call off"] = "call off"


@dataclass(frozen=True, slots=True, kw_only=True)
class TellDeed:
    """Tell many people these words. `safety` may pass the quiet hours to those who come that day."""

    audience: Audience
    event: str | None
    day: date | None
    words: Said
    french_missing: bool
    safety: bool = False
    deed: Literal["tell"] = "tell"


@dataclass(frozen=True, slots=True, kw_only=True)
class TeachDeed:
    """From now on who asks so gets the answer of a known topic, or, where there is none, this answer."""

    topic: str | None
    asked: str
    language: Literal["en", "fr"]
    answer: str | None
    taught_by: str
    deed: Literal["teach"] = "teach"


Deed = CloseDeed | ReopenDeed | CallOffDeed | TellDeed | TeachDeed


@dataclass(frozen=True, slots=True, kw_only=True)
class Draft:
    """A deed that waits for its code."""

    code: str
    deed: Deed
    until: datetime
    tries: int = 0
