"""Texts to one person: the reply, a volunteer who is told something, the organiser's digest."""

from dataclasses import dataclass
from datetime import date, datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class Reply:
    """A text to the sender. `asks_consent` is False only for the one confirmation of an opt-out and for danger."""

    text: str
    asks_consent: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class TellPerson:
    """A text to a volunteer, at once or when it is `due`."""

    person: str
    number: str
    text: str
    due: datetime | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class SendDigest:
    """How it went, to one of those whose role it is, once for that day."""

    day: date
    number: str
    text: str


TextEffect = Reply | TellPerson | SendDigest
