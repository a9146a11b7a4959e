"""What bounds floods from all phones together: what went through, and what was held back and is told by number. None of it needs a message."""

from dataclasses import dataclass
from datetime import timedelta


@dataclass(frozen=True, slots=True, kw_only=True)
class LetThrough:
    """One more of this kind from all phones together went through, `people` of them in it. Where `most` have within that time, meanwhile,
    the message is decided again.
    """

    kind: str
    people: int = 1
    most: int | None = None
    within: timedelta = timedelta(hours=1)


@dataclass(frozen=True, slots=True, kw_only=True)
class TellAlarms:
    """What was held back of alarms is told to one person in one text: of these questions."""

    person: str
    number: str
    text: str
    questions: tuple[int, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class TellKept:
    """How many questions are kept is told to one person, once."""

    person: str
    number: str
    text: str


LimitEffect = LetThrough | TellAlarms | TellKept
