"""The one memory of a conversation: what was said last, what was spoken of and warned of, and the question that we left open."""

from dataclasses import dataclass, replace
from datetime import datetime, timedelta

from clubbot.model.caution import WARNED_FOR, Warned
from clubbot.model.effects.senders import OptOut
from clubbot.model.effects.spoken import ChooseLanguage, CloseChoice, KeepExchange, KeepWarned, OpenChoice, SpeakOf
from clubbot.model.exchange import LEANS_FOR, Exchange
from clubbot.model.messages import Language
from clubbot.model.rsvps import DayId, Talk

# How long each part counts. A question of ours stays open so long.
OPEN_FOR = timedelta(minutes=30)
# A misreading is mended so soon after the reply that shows it; a yes, a no or a number answers what was spoken of so much longer.
MENDED_WITHIN = timedelta(minutes=30)
ANSWERED_WITHIN = timedelta(hours=20)
# What was last spoken of stands for "it" as long as this.
SPOKEN_FOR = timedelta(hours=12)
# So long words are kept that a text could lean on.
WORDS_KEPT = 2 * LEANS_FOR
# Exchanges that are remembered, the latest first.
MOST_EXCHANGES = 3


@dataclass(frozen=True, slots=True, kw_only=True)
class DialogueState:
    """What is remembered of a conversation: the last exchanges, latest first, the open question, the event day that was spoken of,
    and what was warned of. `near` is the event day that the sender is down for and that is at hand, with how many people, and `name_asked`
    whether the last that we said asks for a name: known from elsewhere, and not kept with the rest. `speaks` is the language that the sender asked for, which holds whatever they write in.
    """

    exchanges: tuple[Exchange, ...] = ()
    asked: OpenChoice | None = None
    talk: Talk | None = None
    warned: Warned | None = None
    near: tuple[DayId, int] | None = None
    name_asked: bool = False
    speaks: Language | None = None

    @property
    def exchange(self) -> Exchange | None:
        """The last exchange, however long ago."""
        return self.exchanges[0] if self.exchanges else None

    def spoke_of_an_event(self, now: datetime) -> bool:
        """Whether an event is at hand, or has been spoken of so lately, that "make it 3" is about it."""
        return self.near is not None or (self.talk is not None and now - self.talk.at < SPOKEN_FOR)

    def warned_lately(self, now: datetime) -> Warned | None:
        """What was warned of, where that is not too long ago for anything to go on with it."""
        return self.warned if self.warned is not None and now - self.warned.at < WARNED_FOR else None

    def lately(self, now: datetime) -> "DialogueState":
        """The state without the words that are too old to lean on."""
        kept = tuple(one for one in self.exchanges if now - one.at < LEANS_FOR)
        return self if kept == self.exchanges else replace(self, exchanges=kept)


DialogueEffect = ChooseLanguage | OpenChoice | CloseChoice | KeepExchange | KeepWarned | SpeakOf | OptOut


def after(state: DialogueState, effect: DialogueEffect, now: datetime) -> DialogueState:
    """The state after an effect. Nothing leans on anything that was said before an opt-out."""
    match effect:
        case ChooseLanguage(language=language):
            return replace(state, speaks=language)
        case OpenChoice():
            return replace(state, asked=effect)
        case CloseChoice():
            return replace(state, asked=None)
        case KeepExchange():
            said = Exchange(
                text=effect.text, language=effect.language, intents=effect.intents, others=effect.others, at=now
            )
            return replace(state, exchanges=(said, *state.exchanges)[:MOST_EXCHANGES])
        case KeepWarned(risks=risks):
            return replace(state, warned=Warned(risks=risks, at=now))
        case SpeakOf():
            talk = Talk(
                on=effect.on,
                intent=effect.intent,
                at=now,
                awaits=effect.awaits,
                people=effect.people,
                before=effect.before,
            )
            return replace(state, talk=talk)
        case OptOut():
            return replace(state, exchanges=())


def set_back(state: DialogueState, now: datetime, by: timedelta | None) -> DialogueState:
    """The state after the clock was set back to `now`, `by` so much where that is known: what was said ahead of it is forgotten, what was
    spoken of was so just now, and a question stays open for as long as it was; where nobody knows how long, it is over.
    """
    talk = state.talk
    if talk is not None and talk.at > now:
        talk = replace(talk, at=now)
    warned = state.warned
    if warned is not None and warned.at > now:
        warned = replace(warned, at=now)
    asked = state.asked
    if asked is not None and asked.until > now + OPEN_FOR:
        asked = replace(asked, until=asked.until - by if by is not None else now)
    exchanges = tuple(one for one in state.exchanges if one.at <= now)
    return replace(state, exchanges=exchanges, asked=asked, talk=talk, warned=warned)
