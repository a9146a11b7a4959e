"""One message, what is known, the hour: what to do. The order of judgment stands in `turn`, top to bottom."""

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta

from clubbot.conversation.ask import Ask, Served, ask_back
from clubbot.conversation.asking import picked, picked_day
from clubbot.conversation.coming import just_spoken_of, rsvp_meant
from clubbot.conversation.flood import LATELY, MOST_TEXTS, quiet_reason
from clubbot.conversation.handover import danger, for_a_person, unreadable
from clubbot.conversation.helping import done, numbered, open_with, pass_on, plain_reply, take_duty
from clubbot.conversation.ordering import confirm, obey, refused
from clubbot.conversation.phrasing import Voice, compose
from clubbot.conversation.reporting import match, relay
from clubbot.conversation.serve import ids, serve
from clubbot.conversation.shortly import mended, named, short_answer
from clubbot.conversation.signing_in import about_the_day, here, sign_in, who_is_here
from clubbot.conversation.teaching import as_taught, forget, teach
from clubbot.events.days import find
from clubbot.model.club import Knowledge, Person
from clubbot.model.effects import (
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
from clubbot.model.known import Asked, Known
from clubbot.model.messages import Incoming, Language
from clubbot.model.orders import Close, Confirm, Done, Forget, Match, Order, PassOn, Reopen, TakeDuty, Teach, Tell
from clubbot.model.rsvps import DayId
from clubbot.model.wants import (
    AskPlaces,
    Danger,
    ForAPerson,
    Greet,
    Party,
    Rsvp,
    StartAgain,
    Stop,
    TellName,
    Thank,
    Want,
    WantPerson,
    WantReminder,
)
from clubbot.people.duty import on_duty
from clubbot.texting.keywords import Keyword, bare, keyword, plain_stop
from clubbot.understanding.danger import sounds_like_danger
from clubbot.understanding.reading import Reader, Reading

# Words: a longer text that names one of the days offered says something of its own.
LONGEST_PICK = 6
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
    party: int | None = None
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
    from_the_club = _from_the_club(text, known, knowledge, reader, now)
    if from_the_club is not None:
        return from_the_club
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
    in_context = _in_context(text, known, knowledge, reader, usual, now)
    if in_context is not None:
        return in_context
    turned = _read(text, known, knowledge, reader, usual, now)
    if known.asked is not None and not turned.offered:
        turned = replace(turned, effects=(CloseChoice(), *turned.effects))
    return turned


def _in_context(
    text: str, known: Known, knowledge: Knowledge, reader: Reader, usual: Language, now: datetime
) -> Turn | None:
    """What a text means only because of what was said before, where and when, or by whom; None where it stands for itself."""
    if known.asked is not None:
        chosen = _chosen(text, known.asked, known, knowledge, reader, now)
        if chosen is not None:
            return replace(chosen, effects=(CloseChoice(), *chosen.effects))
    language = reader.language(text) or usual
    ask = Ask(text=text, known=known, voice=Voice(knowledge, language), now=now, alone=True)
    holds_role = any(person.number == known.sender.number and person.roles for person in knowledge.people)
    told = who_is_here(ask, holds_role=holds_role)
    if told is not None:
        return _told([told], ask, None)
    served = relay(ask) or short_answer(ask) or here(ask) or named(ask, reader.bare_name(text))
    if served is None and not reader.takes_back(text):
        served = mended(ask, lambda said: reader.as_rsvp(said, now))
    if served is None:
        return None
    turned = _told([served], ask, None)
    return replace(turned, effects=(CloseChoice(), *turned.effects)) if known.asked is not None else turned


def _chosen(text: str, asked: Asked, known: Known, knowledge: Knowledge, reader: Reader, now: datetime) -> Turn | None:
    """The choice that the text picks of those we offered, carried out."""
    voice = Voice(knowledge, asked.language)
    choice = picked(text, asked, voice, now)
    said = reader.as_rsvp(text, now)
    if choice is None and now < asked.until and len(text.split()) <= LONGEST_PICK:
        span = (said.when.first, said.when.last) if said.when is not None and said.when.dated else None
        choice = picked_day(asked.choices, said.event, span)
    if choice is None:
        return None
    ask = Ask(text=asked.about, known=known, voice=voice, now=now, alone=True)
    want, _, about = choice.partition(" ")
    event, _, day = about.partition(" ")
    if not day:
        return _served([reader.as_wanted(want, f"{asked.about} {about}", now)], ask, None)
    on = DayId(event, date.fromisoformat(day))
    if want == "here":
        one = find(knowledge.event(event), on.day, knowledge.club.zone)
        return None if one is None else _told([sign_in(one, ask)], ask, None)
    wanted = reader.as_wanted(want, asked.about, now)
    assert isinstance(wanted, Rsvp | AskPlaces | WantReminder)  # the only ones that are offered by day
    if isinstance(wanted, Rsvp) and said.party.total is not None and not text.strip().isdigit():
        wanted = replace(wanted, party=said.party)  # "the clinic, 2 of us"
    return _served([replace(wanted, on=on)], ask, None)


def _read(text: str, known: Known, knowledge: Knowledge, reader: Reader, usual: Language, now: datetime) -> Turn:
    reading = reader.read(text, now, usual, about_event=just_spoken_of(known, now))
    language = reading.language if reading.language in knowledge.club.languages else usual
    voice = Voice(knowledge, language or usual)
    ask = Ask(text=text, known=known, voice=voice, now=now, alone=len(reading.wants) < 2)
    if any(isinstance(want, Danger) for want in reading.wants):
        return _danger(text, reading, known, knowledge, now)
    if any(isinstance(want, Stop) for want in reading.wants):
        return _stop(voice.language, text, known, knowledge)
    if any(isinstance(want, StartAgain) for want in reading.wants):
        return _start(voice.language, text, known, knowledge)
    if reading.wants and not _passes_on(reading, ask):
        turned = _served(reading.wants, ask, reading)
    elif (known_now := as_taught(ask)) is not None:
        turned = _told([known_now], ask, reading)
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


def _passes_on(reading: Reading, ask: Ask) -> bool:
    """Whether a text would only be passed on although somebody has taught us the answer."""
    return all(isinstance(want, ForAPerson) for want in reading.wants) and as_taught(ask) is not None


def _served(wants: Sequence[Want], ask: Ask, reading: Reading | None) -> Turn:
    wants = _as_said(wants, ask)
    results = [serve(want, ask) for want in wants]
    served = ids([want for want, one in zip(wants, results, strict=True) if one.served])
    return replace(_told(results, ask, reading), served=served)


def _as_said(wants: Sequence[Want], ask: Ask) -> Sequence[Want]:
    """Answers to several days, as people mean them: the number that came goes along to another day, and "not wednesday, but thursday"
    of somebody who is not down for Wednesday is about Thursday only.
    """
    answers = [want for want in wants if isinstance(want, Rsvp)]
    refused = [want for want in answers if want.kind == "rsvp-no"]
    if len(answers) < 2 or not refused or len(refused) == len(answers):
        return wants
    held = {id(want): rsvp_meant(want, ask) for want in refused}
    number = max((rsvp.people for rsvp in held.values() if rsvp is not None), default=0)
    said: list[Want] = []
    for want in wants:
        if isinstance(want, Rsvp) and want.kind == "rsvp-no" and held[id(want)] is None:
            continue
        if isinstance(want, Rsvp) and want.kind != "rsvp-no" and want.party.total is None and number:
            said.append(replace(want, party=Party(total=number)))
            continue
        said.append(want)
    return said


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
    settled = ask.known.thread is not None and not ask.known.thread.open
    if ask.known.same_in_a_row < _SAME_AGAIN or settled:  # the same again after an answer is not with anybody yet
        effects += handed[:1]
    if new:
        effects.append(Introduce())
    return Turn(
        effects=tuple(effects),
        language=ask.voice.language,
        offered=tuple(choice for one in results for choice in one.offered),
        event=next((one.event for one in results if one.event), None),
        party=next((one.party for one in results if one.party), None),
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


def _from_the_club(text: str, known: Known, knowledge: Knowledge, reader: Reader, now: datetime) -> Turn | None:
    """What a person of the club texts as such: an answer by number, an order, a plain reply to the only open question."""
    person = next((one for one in knowledge.people if one.number == known.sender.number), None)
    order = reader.order(text, now)
    if person is None:
        return _stranger(text, order, known, knowledge, reader, now)
    language = reader.language(text) or known.sender.language or person.language
    known = replace(known, sender=replace(known.sender, introduced=True))  # they know who we are
    ask = Ask(text=text, known=known, voice=Voice(knowledge, language), now=now, alone=True)
    served = numbered(ask, person)
    if served is None and order is not None:
        served = _ordered(order, ask, person, reader)
    waits = served is None and open_with(ask, person) and not about_the_day(ask)
    if waits and _reads_as_answer(text, known, reader, now):
        served = plain_reply(ask, person)
    return None if served is None else _told([served], ask, None)


def _ordered(order: Order, ask: Ask, person: Person, reader: Reader) -> Served | None:
    match order:
        case Confirm(code):
            return confirm(code, ask, person)
        case PassOn():
            return pass_on(order, ask, person)
        case Done():
            return done(order, ask, person)
        case TakeDuty():
            return take_duty(order, ask, person)
        case Match():
            return match(order, ask, person)
        case Teach():
            return teach(order, ask, person, reader)
        case Forget():
            return forget(order, ask, person)
        case _:
            return obey(order, ask, person)


def _stranger(
    text: str, order: Order | None, known: Known, knowledge: Knowledge, reader: Reader, now: datetime
) -> Turn | None:
    """Orders from a phone that is none of the club's: only what cannot be a question or a wish of one's own is refused."""
    if isinstance(order, Confirm) and bare(text) != order.code:  # "yes 4821" from a phone that never got a code
        ask = Ask(text=text, known=known, voice=Voice(knowledge, known.sender.language or "en"), now=now, alone=True)
        return _told([Served(sentence=ask.voice.say("order.no_draft"), served=False)], ask, None)
    if not isinstance(order, Close | Reopen | Tell) or not _COMMANDS.match(bare(text)):
        return None
    language = reader.language(text) or known.sender.language or knowledge.club.languages[0]
    ask = Ask(text=text, known=known, voice=Voice(knowledge, language), now=now, alone=True)
    return _told([refused(ask)], ask, None)


_COMMANDS = re.compile(
    r"^(?:close|shut|reopen|open) (?:the )?(?:course|park|\w+ loop|hole)\b(?!.*\?)|^tell (?:everyone|everybody|all)\b|^(?:ferme|fermez|rouvre|rouvrez) \w+|^(?:dis|dites|avise|avisez) (?:a )?tout"
)


def _reads_as_answer(text: str, known: Known, reader: Reader, now: datetime) -> bool:
    """Whether a volunteer's plain text is meant for the asker: not one that is read as a question or an answer of the volunteer's own."""
    reading = reader.read(text, now, known.sender.language or "en")
    wants = [want for want in reading.wants if not isinstance(want, ForAPerson | Thank | Greet | TellName | WantPerson)]
    # "Not sure" and "ok for me" are answers to an event only where one is named.
    plain = [want for want in wants if not isinstance(want, Rsvp) or want.event or (want.when and want.when.dated)]
    return not plain or ("?" not in text and not any(isinstance(want, Rsvp) for want in plain))


def _readable(text: str) -> str:
    """The text without control characters, which no reply or note should carry on."""
    return "".join(letter if letter.isprintable() or letter == "\n" else " " for letter in text).strip()
