"""What clubbot may do about a message. A decision is a list of these; `store/apply` is the one pen that carries them out."""

from dataclasses import dataclass
from datetime import datetime

from clubbot.model.messages import Language

# Stands in a note to a volunteer for the number of the question, which is only known when it is written down.
QUESTION_NUMBER = "\ue000"


@dataclass(frozen=True, slots=True, kw_only=True)
class Reply:
    """A text to the sender. `asks_consent` is False only for the one confirmation of an opt-out and for danger."""

    text: str
    asks_consent: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class TellPerson:
    """A text to a volunteer."""

    person: str
    number: str
    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class HandOver:
    """The message waits for a person: kept until somebody has dealt with it. `note` is what that person is told; the mark
    U+E000 in it stands for the number that the question gets when it is written down.
    """

    reason: str
    person: str
    number: str
    note: str


@dataclass(frozen=True, slots=True, kw_only=True)
class AnswerQuestion:
    """A volunteer's words go to the one who asked, and the question is settled."""

    number: int
    person: str
    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class KeepLanguage:
    """The sender's language, for texts that do not show theirs."""

    language: Language


@dataclass(frozen=True, slots=True, kw_only=True)
class KeepName:
    """What the sender wants to be called."""

    name: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Introduce:
    """The sender has been told who we are and how to stop."""


@dataclass(frozen=True, slots=True, kw_only=True)
class OptOut:
    """No more texts to the sender. The words are kept as proof."""

    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class OptIn:
    """Texts again. The words are kept as proof."""

    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Subscribe:
    """On a list, in these words."""

    list_id: str
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Unsubscribe:
    """Off a list, in these words."""

    list_id: str
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class OpenChoice:
    """We asked which of these was meant; the next text may be the number or the words. `about` is the text that was unclear."""

    choices: tuple[str, ...]
    about: str
    language: Language
    until: datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class CloseChoice:
    """The question we left open is settled or dropped."""


@dataclass(frozen=True, slots=True, kw_only=True)
class GoQuiet:
    """Not answered until it stops: too many texts, or our own coming back. Kept so that the duty person is told once."""

    reason: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SpeakAgain:
    """The flood is over."""


Effect = (
    Reply
    | TellPerson
    | HandOver
    | AnswerQuestion
    | KeepLanguage
    | KeepName
    | Introduce
    | OptOut
    | OptIn
    | Subscribe
    | Unsubscribe
    | OpenChoice
    | CloseChoice
    | GoQuiet
    | SpeakAgain
)
