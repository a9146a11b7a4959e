"""When it opens again: the closure's or hold's own end, never the general hours, also as a bare "until when?" after closed was said."""

from dataclasses import replace
from datetime import timedelta

from clubbot.conversation.ask import Ask
from clubbot.conversation.closing import thunder_wait
from clubbot.conversation.live import closure_words
from clubbot.conversation.mending import last_said
from clubbot.conversation.phrasing import Voice
from clubbot.course.status import WHOLE, standing, within
from clubbot.model.club import Closure
from clubbot.model.intents import AskStatus, AskTopic, Intent
from clubbot.model.touching import touch_of
from clubbot.understanding.leaning import bare_question
from clubbot.understanding.once import Reading

# Words: who says more asks more than that.
_LONGEST = 14
# What was answered with the closure said first, or told it.
_CLOSED_WAS_SAID = frozenset({"status", "course", "parts", "round"})


def while_it_is_closed(ask: Ask, reading: Reading) -> tuple[Intent, Ask] | None:
    """What a text asks only because something is closed or on hold now: when that ends, or whether to play on; None where nothing is."""
    if len(ask.text.split()) > _LONGEST:
        return None
    reopens = _when_it_reopens(ask, reading)
    if reopens is not None:
        return reopens, _in_its_language("asks when it reopens", ask, reading)
    if not ask.said.says("asks to play now") or ask.known.asked is not None:
        return None
    if any(one.kind == "held" for one in ask.known.closures):
        return AskTopic("safety"), _in_its_language("asks to play now", ask, reading)
    course = ask.voice.knowledge.course
    shut = standing(WHOLE, ask.now, (*course.closures, *ask.known.closures), course).closed
    return (AskStatus(), _in_its_language("asks to play now", ask, reading)) if shut is not None else None


def _in_its_language(what: str, ask: Ask, reading: Reading) -> Ask:
    """ "On continue?" is too short for its words to show a language; the rule that found it has one."""
    found = ask.said.all(what)
    if not found or (len({one.language for one in found}) > 1 and reading.language is not None):
        return ask
    match = max(found, key=lambda one: one.end - one.first)
    return replace(ask, voice=replace(ask.voice, language=match.language))


def _when_it_reopens(ask: Ask, reading: Reading) -> AskStatus | None:
    """The question when what is closed or on hold now is open again; None where it is none, or nothing is."""
    if not (ask.said.says("asks when it reopens") or _until_when(ask)):
        return None
    asked = reading.taken_as("status")
    if not isinstance(asked, AskStatus):
        return None
    today = ask.now.astimezone(ask.voice.knowledge.club.zone).date()
    if asked.when is not None and asked.when.dated and not asked.when.first <= today <= asked.when.last:
        return None
    asked = AskStatus(asked.what, ends=True)
    return asked if _shut(asked, ask) else None


def _until_when(ask: Ask) -> bool:
    """Whether a bare question for the end follows an answer that told of a closure or a hold."""
    exchange = last_said(ask)
    if exchange is None or bare_question(ask.said) != "until":
        return False
    return any(one.event is None and touch_of(one.intent) in _CLOSED_WAS_SAID for one in exchange.intents)


def reopening(asked: AskStatus, ask: Ask) -> str:
    """When it opens again, as far as anybody knows."""
    voice = ask.voice
    shut = _shut(asked, ask)
    held = [one for one in shut if one.kind == "held"]
    words = [_held(held, ask)] if held else []
    introduction = "" if ask.known.sender.introduced else voice.say("greeting.introduction")
    for one in [one for one in shut if one.kind != "held"]:
        more = [closure_words(one, voice, ask.now)]
        if one.until is None:
            more.append(voice.say("status.end_unknown"))
        elif one.kind == "danger":
            more.append(voice.say("status.end_looked_at"))
        if words and not voice.fits(" ".join([*words, *more, introduction])):
            break
        words += more
    return " ".join(dict.fromkeys(words)) or voice.say("status.nothing_closed")


def _shut(asked: AskStatus, ask: Ask) -> list[Closure]:
    """What is closed or on hold now of the part that is asked about."""
    course = ask.voice.knowledge.course
    return within(asked.what, ask.now, ask.now, (*course.closures, *ask.known.closures), course)


def _held(held: list[Closure], ask: Ask) -> str:
    voice: Voice = ask.voice
    wait = thunder_wait(voice.knowledge)
    last = max(one.since for one in held)
    values = {"last": voice.hour(last), "minutes": wait // timedelta(minutes=1), "time": voice.hour(last + wait)}
    return voice.say("status.hold_ends" if ask.now < last + wait else "status.hold_may_end", **values)
