"""A text in the light of what was said last: one that leans on it, and one that tells us that we misread."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from clubbot.conversation.after_talk import of_the_event
from clubbot.conversation.ask import Ask
from clubbot.conversation.asking import named_choice
from clubbot.conversation.following import Followed, as_intent, at_first, followed, spoken_of
from clubbot.conversation.reporting import DISCS
from clubbot.course.disc_words import disc_words
from clubbot.model.choices import any_of
from clubbot.model.exchange import LEANS_FOR, Exchange, Spoken
from clubbot.model.intent_kinds import ACTS, NOT_MEANT_INSTEAD
from clubbot.model.intents import (
    AskHelp,
    AskReminder,
    AskTopic,
    Danger,
    ForAPerson,
    Greet,
    Intent,
    JoinList,
    LeaveList,
    Report,
    ReportKind,
    Rsvp,
    StartAgain,
    Stop,
    TellName,
    Thank,
    When,
    intent_id,
)
from clubbot.model.messages import Language
from clubbot.understanding.leaning import Leaning
from clubbot.understanding.once import Reading
from clubbot.understanding.refusing import Refusal, refusal, said_after_no

_LONGEST_LOOKS = 12  # words
# A runner-up stands out where it is this likely, and so many times as likely as the next.
_LIKELY = 0.05
_STANDS_OUT = 2.0
# The answer before repeated is no answer to these.
_NEVER_BESIDE = frozenset({"why", "how"})
_JOINT = " / "
LONGEST_KEPT = 160
# Words that are part of saying what is meant, not of what is.
_SMALL_WORDS = (
    "the a an to for about how do can i you we is my if of le la les l un une des de du d pour a si je on mon ma mes"
)
_FOR_NOTHING = frozenset(_SMALL_WORDS.split())


@dataclass(frozen=True, slots=True, kw_only=True)
class Meant:
    """What the sender means: intents to serve, or choices to ask back with, or neither: a person is asked, or `say` is the
    sentence due, in `language` where one was asked for. `text` is what it is kept and passed on as; `misread` where we had taken the text before for something else; `event` goes on being what is spoken of.
    """

    text: str
    intents: tuple[Intent, ...] = ()
    beside: Intent | None = None
    event: str | None = None
    choices: tuple[str, ...] = ()
    say: str = ""
    misread: bool = False
    language: Language | None = None


def last_said(ask: Ask) -> Exchange | None:
    """What was said last, where that is not too long ago."""
    exchange = ask.known.exchange
    if exchange is None or ask.now - exchange.at > LEANS_FOR:
        return None
    there = {event.id for event in ask.voice.knowledge.events}  # a file may have changed since
    return replace(exchange, intents=tuple(one for one in exchange.intents if one.event is None or one.event in there))


def in_its_light(ask: Ask, reading: Reading) -> Meant | None:
    """What a text means after what was said last; None where it stands for itself."""
    exchange = last_said(ask)
    if exchange is not None:
        again = _in_words_of(exchange, ask) or _of_the_disc(exchange, ask)
        if again is not None:
            return again
    after_danger = exchange is not None and any(one.intent == "safety" for one in exchange.intents)
    if after_danger and ask.said.says("whether to play on"):  # to play on is asked of thunder, tide or heat then
        return Meant(text=ask.text, intents=(AskTopic("safety"),))
    if exchange is not None:
        refused = refusal(ask.said)
        if refused is not None:
            return _mended(refused, exchange, ask, reading)
        if ask.said.says("never mind") and ask.known.thread is None:
            return Meant(text=ask.text, say="mend.let_go")
        if exchange.intents and ask.known.thread is None and not any(one.event for one in exchange.intents):
            bare_answer = _to_nothing(ask)
            if bare_answer is not None:
                return bare_answer
        rest = said_after_no(ask.said)
        lean = reading.anew(rest).lean if rest is not None and exchange.intents else None
        if rest is not None and lean is not None and lean.side is None and not lean.open:
            return _mended(Refusal(meant=rest), exchange, ask, reading)
    lean = reading.lean
    if lean is None:
        return None
    of_event = of_the_event(lean, exchange, ask)
    if of_event is not None:
        return _followed(of_event, ask.text)
    if exchange is None:
        intent = at_first(lean)
        return Meant(text=ask.text, intents=(intent,)) if intent is not None else None
    return _leaning(lean, exchange, ask, reading)


def _in_words_of(exchange: Exchange, ask: Ask) -> Meant | None:
    """The answer again, in the language that is asked for; what was done is not done again."""
    language: Language | None = "en" if ask.said.says("in english") else "fr" if ask.said.says("in french") else None
    if language is None or language not in ask.voice.knowledge.club.languages or ask.known.thread is not None:
        return None
    if not exchange.intents or any(one.intent in ACTS for one in exchange.intents):
        return Meant(text=ask.text, say="mend.go_on", language=language)
    return Meant(text=exchange.text, intents=tuple(as_intent(one) for one in exchange.intents), language=language)


def _of_the_disc(exchange: Exchange, ask: Ask) -> Meant | None:
    """What a disc looks like, said after it was reported: it goes on as one report."""
    reported = next((one for one in exchange.intents if one.intent in DISCS), None)
    if reported is None or "?" in ask.text or len(ask.text.split()) > _LONGEST_LOOKS:
        return None
    looks = disc_words(ask.text)
    if ask.said.says("tells of another disc") or not (looks.colours or looks.kind):
        return None
    hole = int(reported.place) if reported.place and reported.place.isdecimal() else None
    kind: ReportKind = "lost-disc" if reported.intent == "lost-disc" else "found-disc"
    return Meant(text=_joined(exchange, ask.text), intents=(Report(kind, hole, more=True),))


def _to_nothing(ask: Ask) -> Meant | None:
    """A bare yes or no where nothing was asked: never an answer to an event that nobody has spoken of."""
    if ask.said.says("bare no"):
        return Meant(text=ask.text, say="mend.other_words")
    return Meant(text=ask.text, say="mend.go_on") if ask.said.says("bare yes") else None


def with_what_was_named(intents: Sequence[Intent], ask: Ask, reading: Reading) -> tuple[Intent, ...]:
    """An answer to an event that names neither event nor day is about the one that was named last, where none was told of since."""
    bare = [intent for intent in intents if _names_nothing(intent)]
    named = next(_named_lately(ask, reading), None) if bare else None
    if named is None:
        return tuple(intents)
    return tuple(
        replace(intent, event=named[0], when=named[1]) if isinstance(intent, Rsvp) and intent in bare else intent
        for intent in intents
    )


def of_that_hole(intents: Sequence[Intent], ask: Ask) -> tuple[Intent, ...]:
    """A question about holes that names none, right after one was told of, is about that one: "par?", "and from the long tee"."""
    exchange = last_said(ask)
    told = next((one for one in exchange.intents if one.intent == "holes"), None) if exchange is not None else None
    if told is None or not told.place or ask.said.says("of all holes"):
        return tuple(intents)
    return tuple(as_intent(told) if intent == AskTopic("holes") else intent for intent in intents)


def _named_lately(ask: Ask, reading: Reading) -> Iterator[tuple[str | None, When | None]]:
    """The events and days that the last texts named, or were answered with, the latest first."""
    asked, talk = ask.known.asked, ask.known.talk
    texts = [asked.about] if asked is not None and ask.now < asked.until else []
    exchanges = [one for one in ask.known.dialogue.exchanges if ask.now - one.at <= LEANS_FOR]
    since = [one for one in exchanges if talk is None or talk.at < one.at]
    there = {event.id for event in ask.voice.knowledge.events}  # a file may have changed since
    for text in texts:
        yield from _named_in(text, reading)
    for one in since:
        event = next((spoken.event for spoken in one.intents if spoken.event in there), None)
        if event is not None:
            yield event, None
        yield from _named_in(_first(one), reading)


def _named_in(text: str, reading: Reading) -> Iterator[tuple[str | None, When | None]]:
    said = reading.anew(text).answer
    if said.event is not None or (said.when is not None and said.when.dated):
        yield said.event, said.when


def _names_nothing(intent: Intent) -> bool:
    if not isinstance(intent, Rsvp) or intent.kind not in {"rsvp-yes", "rsvp-maybe"}:
        return False
    return intent.event is None and intent.on is None and (intent.when is None or not intent.when.dated)


def others_of(scores: Sequence[tuple[str, float]], served: Sequence[str]) -> tuple[str, ...]:
    """What a text could have meant instead, from its likeliest intents, best first: one where it stands out, else the best two."""
    left = [
        (intent, likely)
        for intent, likely in scores
        if intent not in {*served, *NOT_MEANT_INSTEAD} and likely >= _LIKELY
    ]
    if len(left) > 1 and left[0][1] >= _STANDS_OUT * left[1][1]:
        return (left[0][0],)
    return tuple(intent for intent, _ in left[:2])


def _leaning(lean: Leaning, exchange: Exchange, ask: Ask, reading: Reading) -> Meant | None:
    """First by what was spoken of; where that does not tell, as the text reads by itself, then beside the one that it follows."""
    if not exchange.intents:  # what came before went to a person, or is not clear yet
        return None
    joined = _joined(exchange, ask.text)
    found = followed(lean, exchange.intents, ask.voice.knowledge, ask.now)
    if found is not None:
        return _followed(found, joined)
    # "Why" is no clear question where it only sounds like what was answered.
    clear_alone = _clear(reading) and not (lean.side is not None and _repeats(reading, exchange))
    if clear_alone and lean.side is None:
        return None
    beside = reading.anew(joined.replace(_JOINT, " "), exchange.language) if _may_lean(lean, exchange) else None
    says_more = lean.side is None or beside is None or not _repeats(beside, exchange)
    if beside is not None and says_more and _clear(beside) and not _does_something(beside):
        return Meant(text=joined, intents=beside.intents)
    if clear_alone or reading.choices:
        return None
    return Meant(text=joined, choices=beside.choices if beside is not None else ())


def _repeats(reading: Reading, exchange: Exchange) -> bool:
    """Whether it wants nothing but what was served."""
    return {intent_id(intent) for intent in reading.intents} <= {one.intent for one in exchange.intents}


def _may_lean(lean: Leaning, exchange: Exchange) -> bool:
    """Whether the text before can tell what a bare question means: not "why", and not where that text leans itself."""
    return lean.side is None or (lean.side not in _NEVER_BESIDE and _JOINT not in exchange.text)


def _followed(found: Followed, text: str, *, misread: bool = False) -> Meant:
    return Meant(text=text, intents=(found.intent,), beside=found.beside, event=found.event, misread=misread)


def _mended(refused: Refusal, exchange: Exchange, ask: Ask, reading: Reading) -> Meant:
    """What was meant instead of what was served."""
    misread = bool(exchange.intents)
    text = _joined(exchange, ask.text)
    if refused.other:
        if len(exchange.others) == 1:
            intents = _as_intents(exchange.others[0], exchange, reading)
            return Meant(text=exchange.text, intents=intents, misread=misread)
        return Meant(text=exchange.text, choices=exchange.others[:2], say="mend.other_words", misread=misread)
    if not refused.meant:
        return Meant(text=text, choices=exchange.others if len(exchange.others) > 1 else (), misread=misread)
    instead = reading.anew(refused.meant, exchange.language)
    lean = instead.lean
    found = (
        followed(lean, exchange.intents, ask.voice.knowledge, ask.now)
        if lean is not None and exchange.intents
        else None
    )
    if found is not None and not _is_refused(found.intent, exchange, ask):
        return _followed(found, text, misread=True)
    named = _named(refused.meant, exchange, ask)
    if named is not None:
        return Meant(text=exchange.text, intents=_as_intents(named, exchange, reading), misread=misread)
    return _read_instead(instead, exchange, ask, misread=misread)


def _read_instead(instead: Reading, exchange: Exchange, ask: Ask, *, misread: bool) -> Meant:
    """The words that tell what was meant, by themselves and then beside the text that was misread; what was refused is left out."""
    meant = instead.text
    readings = [instead, instead.anew(f"{_first(exchange)} {meant}")]
    for reading in readings:
        intents = tuple(intent for intent in reading.intents if not _is_refused(intent, exchange, ask))
        if intents and _clear(reading):
            return Meant(text=meant, intents=intents, misread=misread)
    for reading in readings:
        choices = tuple(one for one in reading.choices if one not in {spoken.intent for spoken in exchange.intents})
        if len(choices) == 1:
            return Meant(text=meant, intents=(instead.taken_as(choices[0]),), misread=misread)
        if choices:
            return Meant(text=meant, choices=choices, misread=misread)
    return Meant(text=_joined(exchange, meant), misread=misread)


def _as_intents(choice: str, exchange: Exchange, reading: Reading) -> tuple[Intent, ...]:
    """The intent of that id with the details of the text that was misread."""
    return (reading.anew(_first(exchange)).taken_as(choice),)


def _named(meant: str, exchange: Exchange, ask: Ask) -> str | None:
    """The topic that the words name: one of what the text could have meant first, else the only one of all."""
    words = " ".join(word for word in meant.split() if word.casefold() not in _FOR_NOTHING)
    refused = {one.intent for one in exchange.intents}
    near = tuple(one for one in exchange.others if one not in refused)
    every = tuple(topic for topic in ask.voice.knowledge.answers if topic not in refused)
    found = named_choice(words, any_of(near), ask.voice) or named_choice(words, any_of(every), ask.voice)
    return found.intent if found is not None else None


def _is_refused(intent: Intent, exchange: Exchange, ask: Ask) -> bool:
    """Whether an intent is the very one that was served: another day of it is another one."""
    here = spoken_of(intent, None, ask.voice.knowledge, ask.now)
    return here is not None and any(_bare(here) == _bare(one) for one in exchange.intents)


def _bare(one: Spoken) -> Spoken:
    return replace(one, when=replace(one.when, words="") if one.when is not None else None)


def _does_something(reading: Reading) -> bool:
    """Whether it is more than an answer: nothing is done twice because its words are read again."""
    return any(
        isinstance(intent, Rsvp | Report | JoinList | LeaveList | AskReminder | TellName) for intent in reading.intents
    )


def _clear(reading: Reading) -> bool:
    unclear = (ForAPerson, Danger, Stop, StartAgain, AskHelp, Greet, Thank)
    return bool(reading.intents) and not any(isinstance(intent, unclear) for intent in reading.intents)


def _joined(exchange: Exchange, text: str) -> str:
    """The first of the texts that lean on each other and the latest."""
    return f"{_first(exchange)}{_JOINT}{text}"[:LONGEST_KEPT]


def _first(exchange: Exchange) -> str:
    return exchange.text.split(_JOINT)[0]
