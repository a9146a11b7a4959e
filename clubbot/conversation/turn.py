"""One message, what is known, the hour: what to do. The order of judgment stands in `turn`, top to bottom."""

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta

from clubbot.conversation.asking import picked
from clubbot.conversation.flood import LATELY, MOST_TEXTS, quiet_reason
from clubbot.conversation.phrasing import Voice, compose
from clubbot.conversation.serve import Ask, Served, ask_back, danger, for_a_person, ids, serve, unreadable
from clubbot.model.club import Knowledge
from clubbot.model.effects import (
    AnswerQuestion,
    CloseChoice,
    Effect,
    GoQuiet,
    HandOver,
    Introduce,
    KeepLanguage,
    OptIn,
    OptOut,
    Reply,
    SpeakAgain,
    TellPerson,
)
from clubbot.model.known import Known
from clubbot.model.messages import Incoming, Language
from clubbot.model.wants import Danger, StartAgain, Stop, Want
from clubbot.people.duty import on_duty
from clubbot.texting.keywords import Keyword, keyword, plain_stop
from clubbot.understanding.danger import sounds_like_danger
from clubbot.understanding.reading import Reader, Reading

# A volunteer's answer to a question that was passed on: "Q12 yes, bring a jacket".
_ANSWER = re.compile(r"^\s*q\s*#?\s*(?P<number>\d{1,6})\b[\s:,.-]*(?P<words>.+)$", re.IGNORECASE | re.DOTALL)
# The text before was this one too: it was passed on then.
_SAME_AGAIN = 2


@dataclass(frozen=True, slots=True, kw_only=True)
class Turn:
    """What is to be done about one message, and how it was understood."""

    effects: tuple[Effect, ...] = ()
    language: Language = "en"
    served: tuple[str, ...] = ()
    offered: tuple[str, ...] = ()
    event: str | None = None
    outcome: str = ""
    reading: Reading | None = None

    @property
    def handed_over(self) -> bool:
        """Whether a person will deal with it."""
        return any(isinstance(effect, HandOver) for effect in self.effects)

    @property
    def reply(self) -> str | None:
        """What the sender is told, if anything."""
        return next((effect.text for effect in self.effects if isinstance(effect, Reply)), None)


def turn(message: Incoming, known: Known, knowledge: Knowledge, reader: Reader, now: datetime) -> Turn:
    """Decide about one message. `now` is aware; nothing is read or done beyond the arguments."""
    sender = known.sender
    usual = sender.language or knowledge.club.languages[0]
    text = _readable(message.text)
    if not sender.textable:
        return Turn(language=usual, outcome="the sender's number cannot be texted")
    word = keyword(text) or plain_stop(text)
    if word is not None and word.kind == "stop":
        return _stop(word.language, text, known, knowledge)
    if word is not None and word.kind == "start":
        return _start(_start_language(word, usual), text, known, knowledge)
    to_volunteer = _volunteers_answer(text, known, knowledge)
    if to_volunteer is not None:
        return to_volunteer
    if sounds_like_danger(text) and not _told_of_danger(known, knowledge):
        return _danger(text, reader.read(text, now, usual), known, knowledge, now)
    if word is not None:
        return _help(word.language if sender.language is None else usual, known, knowledge)
    if sender.opted_out:
        return Turn(language=usual, outcome="opted out")
    reason = quiet_reason(text, known)
    if reason is not None:
        return _quiet(reason, known, knowledge, now)
    spoken = _answer(text, known, knowledge, reader, usual, now)
    if sender.quiet_reason is not None:
        spoken = replace(spoken, effects=(SpeakAgain(), *spoken.effects))
    return spoken


def _answer(text: str, known: Known, knowledge: Knowledge, reader: Reader, usual: Language, now: datetime) -> Turn:
    """A message that is neither a key word nor to be left alone."""
    if known.asked is not None:
        voice = Voice(knowledge, known.asked.language)
        choice = picked(text, known.asked, voice, now)
        if choice is not None:
            want, _, of_list = choice.partition(" ")
            about = f"{known.asked.about} {of_list}"
            ask = Ask(text=known.asked.about, known=known, voice=voice, now=now, alone=True)
            turned = _served([reader.as_wanted(want, about, now)], ask, None)
            return replace(turned, effects=(CloseChoice(), *turned.effects))
    turned = _read(text, known, knowledge, reader, usual, now)
    if known.asked is not None and not turned.offered:
        turned = replace(turned, effects=(CloseChoice(), *turned.effects))
    return turned


def _read(text: str, known: Known, knowledge: Knowledge, reader: Reader, usual: Language, now: datetime) -> Turn:
    reading = reader.read(text, now, usual)
    language = reading.language if reading.language in knowledge.club.languages else usual
    voice = Voice(knowledge, language or usual)
    ask = Ask(text=text, known=known, voice=voice, now=now, alone=len(reading.wants) < 2)
    if any(isinstance(want, Danger) for want in reading.wants):
        return _danger(text, reading, known, knowledge, now)
    if any(isinstance(want, Stop) for want in reading.wants):
        return _stop(voice.language, text, known, knowledge)
    if any(isinstance(want, StartAgain) for want in reading.wants):
        return _start(voice.language, text, known, knowledge)
    if reading.wants:
        turned = _served(reading.wants, ask, reading)
    elif reading.choices:
        turned = _told([ask_back(reading.choices, ask)], ask, reading)
    elif not any(letter.isalnum() for letter in text):
        return Turn(language=voice.language, outcome="nothing to read", reading=reading)
    elif not any(letter.isascii() and letter.isalnum() for letter in text):
        turned = _told([unreadable(ask)], ask, reading)
    else:
        turned = _told([for_a_person(ask, reason="not understood")], ask, reading)
    if reading.language is not None and reading.language != known.sender.language:
        turned = replace(turned, effects=(KeepLanguage(language=reading.language), *turned.effects))
    return turned


def _served(wants: Sequence[Want], ask: Ask, reading: Reading | None) -> Turn:
    results = [serve(want, ask) for want in wants]
    served = ids([want for want, one in zip(wants, results, strict=True) if one.served])
    return replace(_told(results, ask, reading), served=served)


def _told(results: Sequence[Served], ask: Ask, reading: Reading | None) -> Turn:
    """One reply of all results, with who we are where the sender has not been told; one hand-over even of several wants."""
    new = not ask.known.sender.introduced
    said_already = any(one.introduces for one in results)
    introduction = ask.voice.say("greeting.introduction") if new and not said_already else ""
    sentences = [one.sentence for one in results]
    extras = [extra for one in results for extra in one.extras]
    text = compose(ask.voice, sentences, extras, introduction)
    effects: list[Effect] = [Reply(text=text)]
    handed: list[Effect] = []
    for one in results:
        for effect in one.effects:
            (handed if isinstance(effect, HandOver) else effects).append(effect)
    if ask.known.same_in_a_row < _SAME_AGAIN:
        effects += handed[:1]
    if new:
        effects.append(Introduce())
    return Turn(
        effects=tuple(effects),
        language=ask.voice.language,
        offered=tuple(choice for one in results for choice in one.offered),
        event=next((one.event for one in results if one.event), None),
        outcome="passed on" if handed and not any(one.served for one in results) else "answered",
        reading=reading,
    )


def _stop(language: Language, text: str, known: Known, knowledge: Knowledge) -> Turn:
    """One confirmation; a second opt-out is met with silence, as the first asked for."""
    if known.sender.opted_out:
        return Turn(language=language, served=("stop",), outcome="opted out already")
    said = Voice(knowledge, language).say("consent.stopped")
    effects = (Reply(text=said, asks_consent=False), OptOut(words=text), CloseChoice(), Introduce())
    return Turn(effects=effects, language=language, served=("stop",), outcome="opted out")


def _start(language: Language, text: str, known: Known, knowledge: Knowledge) -> Turn:
    said = Voice(knowledge, language).say("consent.started")
    effects = (OptIn(words=text), Reply(text=said), Introduce())
    return Turn(effects=effects, language=language, served=("start-again",), outcome="opted in")


def _start_language(word: Keyword, usual: Language) -> Language:
    """START is the word in both languages, so it is answered in the person's own."""
    return word.language if word.language != "en" else usual


def _help(language: Language, known: Known, knowledge: Knowledge) -> Turn:
    """HELP and AIDE are answered always, also to those who opted out (Canadian short code guidelines)."""
    said = Voice(knowledge, language).say("help.reply")
    return Turn(
        effects=(Reply(text=said, asks_consent=False), Introduce()),
        language=language,
        served=("help",),
        outcome="answered",
    )


def _danger(text: str, reading: Reading, known: Known, knowledge: Knowledge, now: datetime) -> Turn:
    language = reading.language or known.sender.language or knowledge.club.languages[0]
    ask = Ask(text=text, known=known, voice=Voice(knowledge, language), now=now, alone=True)
    result = danger(ask)
    effects: tuple[Effect, ...] = (Reply(text=result.sentence, asks_consent=False), *result.effects)
    return Turn(effects=effects, language=language, outcome="danger", reading=reading)


def _told_of_danger(known: Known, knowledge: Knowledge) -> bool:
    """Whether the emergency number went out within the last minutes and the texts keep coming like a machine's."""
    told = any(knowledge.club.emergency_number in said for said in known.said_lately)
    return told and (known.same_in_a_row > 1 or known.sender.quiet_reason is not None)


def _quiet(reason: str, known: Known, knowledge: Knowledge, now: datetime) -> Turn:
    """Not answered; the person on duty is told the first time."""
    usual = known.sender.language or knowledge.club.languages[0]
    if known.sender.quiet_reason is not None:
        return Turn(language=usual, outcome="left alone")
    person = on_duty(knowledge, now).person
    theirs = Voice(knowledge, person.language)
    note = theirs.say(
        "quiet.note", reason=theirs.say(f"quiet.{reason}", most=MOST_TEXTS, minutes=LATELY // timedelta(minutes=1))
    )
    effects = (GoQuiet(reason=reason), TellPerson(person=person.id, number=person.number, text=note))
    return Turn(effects=effects, language=usual, outcome="left alone")


def _volunteers_answer(text: str, known: Known, knowledge: Knowledge) -> Turn | None:
    """A person of the club answers a question that was passed on; nobody else can."""
    found = _ANSWER.match(text)
    person = next((one for one in knowledge.people if one.number == known.sender.number), None)
    if found is None or person is None:
        return None
    voice = Voice(knowledge, person.language)
    number = int(found["number"])
    waiting = known.waiting.get(number)
    if waiting is None:
        return Turn(
            effects=(Reply(text=voice.say("handover.unknown", number=number)),),
            language=person.language,
            outcome="answered",
        )
    said = Voice(knowledge, waiting).say("handover.answer", name=person.first_name, text=found["words"].strip())
    effects = (AnswerQuestion(number=number, person=person.id, text=said), Reply(text=voice.say("handover.answered")))
    return Turn(effects=effects, language=person.language, outcome="answered")


def _readable(text: str) -> str:
    """The text without control characters, which no reply or note should carry on."""
    return "".join(letter if letter.isprintable() or letter == "\n" else " " for letter in text).strip()
