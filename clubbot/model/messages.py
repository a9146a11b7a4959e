"""A text that came in, as every channel hands it on, and the languages that it may be in."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Literal, get_args

# A language by its code. Texts are read in every one that has a folder in understanding/lexicon; clubbot answers in those that it speaks.
Language = str
SpokenLanguage = Literal["en", "fr"]
LANGUAGES: tuple[Language, ...] = get_args(SpokenLanguage)
# How a text ended that a person has to answer; where it is about a topic without an answer, that follows: "passed on: website".
PASSED_ON = "passed on"
# Stands, with a number of its own behind it, where a phone number was that is not kept any more. Nothing goes there.
NAMELESS = "nobody:"


@dataclass(frozen=True, slots=True, kw_only=True)
class Said:
    """The same words in each language."""

    en: str
    fr: str

    def to(self, language: Language) -> str:
        """The words in `language`."""
        return self.fr if language == "fr" else self.en


@dataclass(frozen=True, slots=True, kw_only=True)
class Incoming:
    """One text as it reached us.

    `their_id` is the sender side's name for the message and `delivery_id` that of the delivery; either one seen again
    means the same message. `sender` is E.164 where the number could be read, else the words that were sent.
    """

    channel: str
    their_id: str
    delivery_id: str
    sender: str
    recipient: str
    text: str
    received_at: datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class DeliveryReport:
    """What became of a text that we sent: `outcome` as the gateway tells it."""

    outbox_id: str
    outcome: Literal["delivered", "failed"]
    reason: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Outgoing:
    """One text on its way out; the id stays the same however often it is tried. `urgent` is what waits behind nothing."""

    id: str
    recipient: str
    sender: str
    text: str
    parts: tuple[str, ...]
    attempts: int
    created_at: datetime
    urgent: bool = False


@dataclass(frozen=True, slots=True)
class Taken:
    """The gateway took the text."""


@dataclass(frozen=True, slots=True)
class Refused:
    """The gateway did not take it. `wait` is its own wish, in seconds, where it named one; `everyone` when it holds for all texts."""

    reason: str
    wait: float | None = None
    everyone: bool = False


SendOutcome = Taken | Refused
Wording = Mapping[Language, Mapping[str, str]]
