"""What was last said with the sender, so that the next text can lean on it, answer to it or mend it."""

from dataclasses import dataclass
from datetime import datetime

from clubbot.model.caution import Risk
from clubbot.model.choices import Choice
from clubbot.model.exchange import Spoken
from clubbot.model.messages import Language
from clubbot.model.rsvps import Awaits, DayId, Rsvp


@dataclass(frozen=True, slots=True, kw_only=True)
class OpenChoice:
    """A question of ours: which of these was meant; the next text may be the number or the words. `about` is the text that was unclear,
    `again` where we have asked twice.
    """

    choices: tuple[Choice, ...]
    about: str
    language: Language
    until: datetime
    again: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class CloseChoice:
    """The question we left open is settled or dropped."""


@dataclass(frozen=True, slots=True, kw_only=True)
class KeepExchange:
    """What was last said, so that the next text can lean on it or mend it; what was kept before is forgotten."""

    text: str
    language: Language
    intents: tuple[Spoken, ...] = ()
    others: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class NoteDoubt:
    """A text was read as something else than its writer meant: for the organiser to look at. Nobody's number is kept with it."""

    text: str
    read_as: str
    meant: str | None


@dataclass(frozen=True, slots=True, kw_only=True)
class SpeakOf:
    """What the sender and we last spoke of, so that "make it 3" or "no, thursday" can be understood. `before` is how the RSVP
    stood before this text.
    """

    on: DayId
    intent: str
    awaits: Awaits = ""
    people: int = 0
    before: Rsvp | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class KeepWarned:
    """What the sender was warned of stays in mind, so that what goes on with it is warned of again."""

    risks: tuple[Risk, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class ChooseLanguage:
    """The language that the sender wants to be answered in, whichever they write."""

    language: Language


SpokenEffect = ChooseLanguage | OpenChoice | CloseChoice | KeepExchange | KeepWarned | NoteDoubt | SpeakOf
