"""What becomes known of the sender: language, name, consent and lists with the words that prove it, a flood, that they are here."""

from dataclasses import dataclass

from clubbot.model.messages import Language
from clubbot.model.rsvps import DayId


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
class GoQuiet:
    """Not answered until it stops: too many texts, or our own coming back. Kept so that the duty person is told once."""

    reason: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SpeakAgain:
    """The flood is over."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SignIn:
    """So many of the sender's party are here; of another line of the list where `of` is what that is kept under."""

    on: DayId
    people: int
    of: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Erase:
    """Nothing of the sender is kept any more but the proof of an opt-out that holds; `of_the_club` where the club's own files have the number."""

    of_the_club: bool = False


SenderEffect = (
    KeepLanguage
    | KeepName
    | Introduce
    | OptOut
    | OptIn
    | Subscribe
    | Unsubscribe
    | GoQuiet
    | SpeakAgain
    | SignIn
    | Erase
)
