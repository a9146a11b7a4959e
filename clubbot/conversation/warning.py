"""A caution goes before everything else that is served: what somebody is about to do that has hurt people is the first thing to be said of."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import timedelta

from clubbot.conversation.ask import Ask
from clubbot.conversation.closing import thunder_wait
from clubbot.conversation.phrasing import compose
from clubbot.model.caution import Risk
from clubbot.model.effects import (
    ChooseLanguage,
    CloseChoice,
    Effect,
    GoQuiet,
    HandOver,
    Introduce,
    KeepExchange,
    KeepLanguage,
    KeepWarned,
    LetThrough,
    NoteDoubt,
    OpenChoice,
    Reply,
    SpeakAgain,
    SpeakOf,
)
from clubbot.model.exchange import Spoken
from clubbot.understanding.caution import (
    about_playing,
    asks_about_it,
    asks_more,
    goes_on_with,
    may_be_anothers,
)

# After thunder whatever is asked of playing gets its caution too, for this long.
_THUNDER_NEAR = timedelta(hours=1)
_TO_PLAY = frozenset({"status", "events", "daylight", "hours", "weather-policy", "rsvp-yes", "busy", "start"})
# Said by the caution itself, or by what it is about, as far as a text goes on with it.
_SAID_BY_IT = frozenset({"safety"})
_SAID_WITH_IT = frozenset(
    {
        "safety",
        "status",
        "weather-policy",
        "hours",
        "daylight",
        "night",
        "winter",
        "rules-lost",
        "rules-ob",
        "rules-time",
        "duration",
        "busy",
        "greeting",
        "help",
        "thanks",
        "human",
    }
)
# These change nothing for anybody but the conversation itself.
_NO_ACTS = (
    Reply,
    HandOver,
    LetThrough,
    OpenChoice,
    CloseChoice,
    KeepExchange,
    KeepLanguage,
    ChooseLanguage,
    Introduce,
    SpeakOf,
    SpeakAgain,
    NoteDoubt,
    GoQuiet,
)
# Everybody speaks of it: in a text that does not seem to be for us it is told of only where playing is.
_WEATHER: frozenset[Risk] = frozenset({"thunder", "ice", "wind", "heat", "cold"})
# Not understood, or not ours: the caution is the answer, and a person need not give another one.
_OPEN = frozenset({"not understood", "outside"})


@dataclass(frozen=True, slots=True)
class Cautioned:
    """The effects of a text with the caution first, and what it then serves; `alone` where the caution is all that is said."""

    effects: tuple[Effect, ...]
    served: tuple[str, ...]
    alone: bool


def caution_first(ask: Ask, effects: Sequence[Effect], served: Sequence[str]) -> Cautioned | None:
    """The same with the caution first that the text needs, by itself or after what was warned of lately; None where it needs none."""
    reply = next((one for one in effects if isinstance(one, Reply)), None)
    if reply is None or any(isinstance(one, HandOver) and one.reason in {"danger", "detail"} for one in effects):
        return None
    if ask.said.says("denies a risk"):  # "no i won't climb": what was warned of is not gone on with
        warned = ask.known.dialogue.warned_lately(ask.now)
        forgotten = (KeepWarned(risks=()),) if warned is not None and warned.risks else ()
        return Cautioned((*effects, *forgotten), tuple(served), alone=False) if forgotten else None
    fresh = ask.reading.risks if ask.reading is not None else ()
    risks = fresh or _gone_on_with(ask, served)
    if not risks:
        return None
    handed = [one for one in effects if isinstance(one, HandOver)]
    if any(one.reason == "outside" for one in handed) and _only_weather(risks, ask):
        return None
    kept = KeepWarned(risks=risks)
    if reply.text.startswith(ask.voice.say("status.held")):  # that play is on hold says it already
        return Cautioned((*effects, kept), tuple(served), alone=False)
    if _says_enough(risks, ask, effects, served, fresh=bool(fresh)):
        return _alone(risks, ask, effects, kept)
    said = f"{_said(risks, ask, beside=reply.text)} {reply.text}"
    changed = tuple(Reply(text=said, asks_consent=one.asks_consent) if one is reply else one for one in effects)
    return Cautioned((*changed, kept), tuple(served), alone=False)


def with_caution(said: str, ask: Ask) -> str:
    """What is said to somebody in danger, the emergency number first, with the caution that the text needs after it where there is room."""
    risks = ask.reading.risks if ask.reading is not None else ()
    both = f"{said} {_said(risks[:1], ask)}" if risks else said
    return both if ask.voice.fits(both) else said


def _only_weather(risks: tuple[Risk, ...], ask: Ask) -> bool:
    """Whether a text that does not seem to be for us only speaks of the weather; thunder, told in a few words, is told to us."""
    brief = risks == ("thunder",) and not may_be_anothers(ask.said)
    return set(risks) <= _WEATHER and not about_playing(ask.said) and not brief


def _gone_on_with(ask: Ask, served: Sequence[str]) -> tuple[Risk, ...]:
    """What was warned of lately, where the text goes on with it."""
    warned = ask.known.dialogue.warned_lately(ask.now)
    if warned is None:
        return ()
    if goes_on_with(ask.said):
        return warned.risks
    near = "thunder" in warned.risks and ask.now - warned.at < _THUNDER_NEAR
    return ("thunder",) if near and _TO_PLAY & set(served) else ()


def _says_enough(
    risks: tuple[Risk, ...], ask: Ask, effects: Sequence[Effect], served: Sequence[str], *, fresh: bool
) -> bool:
    """Whether the caution is all there is to say: nothing else was understood or done, or only what it says already."""
    if any(not isinstance(one, _NO_ACTS) for one in effects):
        return False
    handed = [one for one in effects if isinstance(one, HandOver)]
    if any(one.reason not in _OPEN or one.again is not None for one in handed):
        return False
    if any(one.reason == "outside" for one in handed) and may_be_anothers(ask.said):
        return False
    if not set(served) - _SAID_BY_IT:
        return not handed or not fresh or (asks_about_it(ask.said, risks) and not asks_more(ask.said))
    told = _SAID_WITH_IT - ({"status"} if ask.said.says("asks whether it is open") else set())
    if fresh:
        return set(served) <= {"safety", "status"} & told and not ask.known.closures
    return set(served) <= told and not ask.known.closures


def _alone(risks: tuple[Risk, ...], ask: Ask, effects: Sequence[Effect], kept: KeepWarned) -> Cautioned:
    new = any(isinstance(one, Introduce) for one in effects)
    text = compose(ask.voice, [_said(risks, ask)], [], ask.voice.say("greeting.introduction") if new else "")
    left_out = (Reply, HandOver, LetThrough, OpenChoice, KeepExchange, SpeakOf)
    others = tuple(one for one in effects if not isinstance(one, left_out))
    exchange = KeepExchange(text=ask.text, language=ask.voice.language, intents=(Spoken(intent="safety"),))
    return Cautioned((Reply(text=text), *others, exchange, kept), ("safety",), alone=True)


def _said(risks: tuple[Risk, ...], ask: Ask, *, beside: str = "") -> str:
    """The worst in any case, the next where there is room."""
    minutes = thunder_wait(ask.voice.knowledge) // timedelta(minutes=1)
    first, *more = [ask.voice.say(f"caution.{risk}", minutes=minutes) for risk in risks]
    return " ".join([first, *(one for one in more if ask.voice.fits(f"{first} {one} {beside}"))])
