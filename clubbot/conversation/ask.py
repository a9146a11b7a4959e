"""A message being served, and what comes of one of its intents."""

from dataclasses import dataclass, field
from datetime import datetime

from clubbot.conversation import asking
from clubbot.conversation.phrasing import Voice
from clubbot.model.choices import Choice
from clubbot.model.dialogue import OPEN_FOR
from clubbot.model.effects import Effect, OpenChoice
from clubbot.model.intents import Intent, Party
from clubbot.model.known import Known
from clubbot.people.duty import OnDuty, on_duty
from clubbot.understanding.noticing import NOTHING, Noticed
from clubbot.understanding.once import Reading


@dataclass(frozen=True, slots=True, kw_only=True)
class Served:
    """What comes of one intent: the sentence due, further ones if there is room, effects, and whether the intent is really served by them.

    `intent` is what was served, where it is one of the reading; `event` and `party` are what was understood of an answer to an event, whatever could be done about it.
    """

    sentence: str
    extras: tuple[str, ...] = ()
    effects: tuple[Effect, ...] = ()
    served: bool = True
    offered: tuple[str, ...] = ()
    event: str | None = None
    party: int | None = None
    intent: Intent | None = None
    introduces: bool = False  # says who we are and how to stop by itself


@dataclass(frozen=True, slots=True, kw_only=True)
class Ask:
    """The message being served, with what was made of it; None where it is not to be read. `several`: it asks about several
    topics, or something is said beside its answer.
    """

    text: str
    known: Known
    voice: Voice
    now: datetime
    alone: bool
    reading: Reading | None = None
    several: bool = False
    duty: OnDuty = field(init=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "duty", on_duty(self.voice.knowledge, self.now))

    @property
    def said(self) -> Noticed:
        """What is certain about its words."""
        return self.reading.noticed if self.reading is not None else NOTHING

    @property
    def party(self) -> Party:
        """How many come, as far as it tells."""
        return self.reading.people.party if self.reading is not None else Party()


def ask_back(choices: tuple[Choice, ...], ask: Ask, *, key: str = "choice.ask", again: bool = False) -> Served:
    """Up to three choices, answered by number or words; `again` where they have been offered once."""
    said = ask.voice.say(key, choices=asking.listed(choices, ask.voice))
    left_open = OpenChoice(
        choices=choices, about=ask.text, language=ask.voice.language, until=ask.now + OPEN_FOR, again=again
    )
    offered = tuple(dict.fromkeys(choice.intent for choice in choices))
    return Served(sentence=said, effects=(left_open,), served=False, offered=offered)


def asks(ask: Ask) -> bool:
    """Whether a text asks something, by its mark or by the word that it begins with."""
    return "?" in ask.text or ask.said.says("asks something")
