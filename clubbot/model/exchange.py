"""What was last said between a sender and us: the text that was served, what it was read as, and what else it could have meant."""

from dataclasses import dataclass
from datetime import datetime, timedelta

from clubbot.model.intents import When
from clubbot.model.messages import Language

# So long a short text leans on what was last said, and a correction mends it.
LEANS_FOR = timedelta(minutes=30)


@dataclass(frozen=True, slots=True, kw_only=True)
class Spoken:
    """An intent as it was served: its id, and the event, the time, the part of the course, the people and the holes that it named;
    `side` is what was asked about an event.
    """

    intent: str
    event: str | None = None
    when: When | None = None
    place: str | None = None
    people: int | None = None
    holes: int | None = None
    side: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Exchange:
    """The last text that was served. `intents` is what it was read as, empty where it was not served after all; `others` are the
    likeliest of what it could have meant instead: one where it stands out, two where it does not.
    """

    text: str
    language: Language
    intents: tuple[Spoken, ...]
    others: tuple[str, ...]
    at: datetime
