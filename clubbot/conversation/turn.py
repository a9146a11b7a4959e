"""One message, what is known, the hour: what to do. The order of judgment stands in `turn`, top to bottom."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta

from clubbot.conversation.ask import OPEN_FOR, Ask, Served, ask_back
from clubbot.conversation.asking import answered, picked, picked_day
from clubbot.conversation.coming import just_spoken_of, rsvp_meant
from clubbot.conversation.flood import LATELY, MOST_TEXTS, quiet_reason
from clubbot.conversation.following import spoken_of
from clubbot.conversation.handover import danger, for_a_person, unreadable
from clubbot.conversation.helping import done, numbered, open_with, pass_on, plain_reply, quoted, take_duty
from clubbot.conversation.mending import LONGEST_KEPT, Meant, in_its_light, last_said, others_of
from clubbot.conversation.ordering import confirm, obey, refused
from clubbot.conversation.phrasing import Voice, compose
from clubbot.conversation.reporting import match, relay
from clubbot.conversation.serve import ids, serve
from clubbot.conversation.shortly import mended, named, short_answer, taken_back, yes_or_no
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
    KeepExchange,
    KeepLanguage,
    NoteDoubt,
    OptIn,
    OptOut,
    Reply,
    SpeakAgain,
    SpeakOf,
    TellPerson,
)
from clubbot.model.exchange import Exchange, Spoken
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
    Report,
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
from clubbot.texting import patterns
from clubbot.texting.keywords import Keyword, bare, keyword, plain_stop
from clubbot.texting.parts import LONGEST_TEXT
from clubbot.understanding.danger import sounds_like_danger
from clubbot.understanding.reading import Reader, Reading
from clubbot.understanding.refusing import refusal

# Words: a longer text that names one of the days offered says something of its own.
LONGEST_PICK = 6
# The text before was this one too: it was passed on then.
_SAME_AGAIN = 2


@dataclass(frozen=True, slots=True, kw_only=True)
class Turn:
    """What is to be done about one message, and how it was understood. `spoken` is what was served, `others` what else it could have
    meant, `about` the text that it is kept under where that is not the message's own.
    """

    effects: tuple[Effect, ...] = ()
    language: Language = "en"
    served: tuple[str, ...] = ()
    offered: tuple[str, ...] = ()
    event: str | None = None
    party: int | None = None
    outcome: str = ""
    reading: Reading | None = None
    spoken: tuple[Spoken, ...] = ()
    others: tuple[str, ...] = ()
    about: str | None = None

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
    if len(text) > LONGEST_TEXT:
        return _too_long(text, known, knowledge, reader, usual, now)
    word = keyword(text) or plain_stop(text)
    if word is not None and word.kind == "stop" and _BACK.search(bare(text)) and _is_back(text, reader, usual, now):
        word = replace(word, kind="start")
    if word is not None and word.kind == "stop":
        stopped = _stop(word.language, text, known, knowledge)
        if keyword(text):
            return stopped
        return _and_the_rest(stopped, reader.read(text, now, stopped.language), text, known, knowledge, now)
    if word is not None and word.kind == "start":
        started = _start(_start_language(word, usual), text, known, knowledge)
        if keyword(text):
            return started
        return _and_the_rest(started, reader.read(text, now, started.language), text, known, knowledge, now)
    from_the_club = _from_the_club(text, known, knowledge, reader, now)
    if from_the_club is not None:
        return from_the_club
    if sounds_like_danger(text) and not _told_of_danger(known, knowledge):
        return _danger(text, reader.read(text, now, usual), known, knowledge, now)
    if word is not None:
        return _help(word.language if sender.language is None else usual, known, knowledge)
    if sender.opted_out:
        return _come_back(text, known, knowledge, reader, usual, now)
    reason = quiet_reason(text, known)
    if reason is not None:
        return _quiet(reason, known, knowledge, now)
    spoken = _answer(text, known, knowledge, reader, usual, now)
    if sender.quiet_reason is not None:
        spoken = replace(spoken, effects=(SpeakAgain(), *spoken.effects))
    return spoken


def _too_long(text: str, known: Known, knowledge: Knowledge, reader: Reader, usual: Language, now: datetime) -> Turn:
    """A text of more than anybody types: only its two ends are looked at, for the way out and for danger; else it is asked for in a few
    words, nothing is done by it and it goes to nobody.
    """
    ends = (text[:LONGEST_TEXT], text[-LONGEST_TEXT:])
    word = _opts_out(*ends)
    if word is not None:
        return _stop(word.language, quoted(ends[0]), known, knowledge)
    cry = next((end for end in ends if sounds_like_danger(end)), None)
    if cry is not None and not _told_of_danger(known, knowledge):
        return _danger(cry, Reading(language=reader.language(cry)), known, knowledge, now)
    if known.sender.opted_out:
        return Turn(language=usual, outcome="opted out")
    reason = quiet_reason(ends[0], known)
    if reason is not None:
        return _quiet(reason, known, knowledge, now)
    said = Voice(knowledge, usual).say("too_long.reply")
    return Turn(effects=(Reply(text=said),), language=usual, outcome="too long")


def _opts_out(first: str, last: str) -> Keyword | None:
    """An opt-out in the two ends of a long text: a key word as its first or last sentence, the plain wish in any."""
    begins, ends = _LINE_OR_SENTENCE.split(first), _LINE_OR_SENTENCE.split(last.rstrip(" .!?;"))
    words = [keyword(begins[0]), keyword(ends[-1]), *(plain_stop(one) for one in (*begins, *ends))]
    return next((word for word in words if word is not None and word.kind == "stop"), None)


_LINE_OR_SENTENCE = patterns.compile(r"[\n.!?;]")


def _answer(text: str, known: Known, knowledge: Knowledge, reader: Reader, usual: Language, now: datetime) -> Turn:
    """A message that is neither a key word nor to be left alone."""
    turned = _in_context(text, known, knowledge, reader, usual, now)
    if turned is None:
        turned = _read(text, known, knowledge, reader, usual, now)
    if known.asked is not None:  # whatever was said, the question is not open any more, or opened anew by what follows
        turned = replace(turned, effects=(CloseChoice(), *turned.effects))
    return _with_exchange(turned, text)


def _with_exchange(turned: Turn, text: str) -> Turn:
    """What was said last is kept, so that the next text can lean on it; nothing leans on what went to a person or is still open."""
    about = (turned.about or text)[:LONGEST_KEPT]
    if turned.spoken:
        kept = KeepExchange(text=about, language=turned.language, wants=turned.spoken, others=turned.others)
    elif turned.handed_over or turned.offered:
        kept = KeepExchange(text=about, language=turned.language)
    else:
        return turned
    return replace(turned, effects=(*turned.effects, kept))


def _in_context(
    text: str, known: Known, knowledge: Knowledge, reader: Reader, usual: Language, now: datetime
) -> Turn | None:
    """What a text means only because of what was said before, where and when, or by whom; None where it stands for itself."""
    if known.asked is not None:
        chosen = _chosen(text, known.asked, known, knowledge, reader, now)
        if chosen is not None:
            return chosen
    language = reader.language(text) or usual
    ask = Ask(text=text, known=known, voice=Voice(knowledge, language), now=now, alone=True)
    holds_role = any(person.number == known.sender.number and person.roles for person in knowledge.people)
    told = who_is_here(ask, holds_role=holds_role)
    if told is not None:
        return _told([told], ask, None)
    leans = reader.leaning(text, now) is not None
    served = relay(ask) or short_answer(ask) or here(ask)
    if served is None and not leans:  # "pourquoi" is nobody's name
        served = named(ask, reader.bare_name(text))
    if served is None and known.talk is not None and not reader.takes_back(text):
        served = mended(ask, lambda said: reader.as_rsvp(said, now))
    if served is not None:
        return _told([served], ask, None)
    meant = in_its_light(ask, reader)
    if meant is None or _stops_or_starts(text, reader, usual, now):
        return None
    turned = _as_meant(meant, ask)
    shown = reader.language(text)
    if shown is not None and shown != known.sender.language:
        turned = replace(turned, effects=(KeepLanguage(language=shown), *turned.effects))
    return turned


def _as_meant(meant: Meant, ask: Ask) -> Turn:
    """What a text means in the light of what was said last, carried out; that we had misread is noted."""
    exchange = last_said(ask)
    passed = replace(ask, text=meant.text)  # a person who reads only "why" could not answer it
    if meant.wants:
        reports = any(isinstance(want, Report) for want in meant.wants)
        undone = _undone(meant, ask) if meant.misread else ()
        turned = _served(meant.wants, passed if reports else ask, None, beside=meant.beside, also=undone)
        turned = replace(turned, spoken=tuple(replace(one, event=one.event or meant.event) for one in turned.spoken))
    elif len(meant.choices) > 1:
        turned = _told([ask_back(meant.choices, passed)], passed, None)
    elif meant.say:
        turned = _told([Served(sentence=ask.voice.say(meant.say), served=False)], ask, None)
    else:
        turned = _told([for_a_person(passed, reason="not understood")], passed, None)
    if meant.misread and exchange is not None:
        turned = _with_doubt(turned, exchange)
    return replace(turned, about=meant.text)


def _undone(meant: Meant, ask: Ask) -> tuple[Served, ...]:
    """An answer to an event that nobody meant to give, taken back."""
    talk, exchange = ask.known.talk, last_said(ask)
    if talk is None or exchange is None or any(isinstance(want, Rsvp) for want in meant.wants):
        return ()
    answered_just_now = talk.at == exchange.at and talk.want.startswith("rsvp-")
    if not answered_just_now or not any(one.want.startswith("rsvp-") for one in exchange.wants):
        return ()
    back = taken_back(talk, Served(sentence=""), ask)
    return (replace(back, sentence=back.sentence.strip()),) if back.sentence else ()


def _with_doubt(turned: Turn, exchange: Exchange) -> Turn:
    """The pair is noted; another day or place of the same is a change of mind."""
    meant = turned.served[0] if turned.served else None
    if meant in {one.want for one in exchange.wants}:
        return turned
    read_as = ", ".join(dict.fromkeys(one.want for one in exchange.wants))
    doubt = NoteDoubt(text=quoted(exchange.text), read_as=read_as, meant=meant)
    return replace(turned, effects=(*turned.effects, doubt))


def _chosen(text: str, asked: Asked, known: Known, knowledge: Knowledge, reader: Reader, now: datetime) -> Turn | None:
    """The choice that the text picks of those we offered, carried out; or what becomes of the question where it picks none."""
    voice = Voice(knowledge, asked.language)
    ask = Ask(text=asked.about, known=known, voice=voice, now=now, alone=True)
    said = reader.as_rsvp(text, now)
    corrects = refusal(text)  # "i meant buying"
    choice = picked(corrects.meant if corrects is not None and corrects.meant else text, asked, voice, now)
    if choice is None and now < asked.until and len(text.split()) <= LONGEST_PICK:
        span = (said.when.first, said.when.last) if said.when is not None and said.when.dated else None
        choice = picked_day(asked.choices, said.event, span)
    if choice is None:
        return _not_one(text, asked, ask, reader)
    party = said.party if said.party.total is not None and not text.strip().isdigit() else None
    return _picked([choice], asked, ask, reader, party)


def _not_one(text: str, asked: Asked, ask: Ask, reader: Reader) -> Turn | None:
    """All of our choices, the other one, none of them; or no answer, so that we ask again, once. None where a text says something else."""
    answer = answered(text, asked, ask.now)
    talk = ask.known.talk
    if answer is None or (talk is not None and talk.at > asked.until - OPEN_FOR and yes_or_no(text) is not None):
        return None  # a yes or a no is said to what was told last
    match answer:
        case "both":
            return _picked(asked.choices, asked, ask, reader)
        case "other":
            return _picked(asked.choices[1:], asked, ask, reader)
        case "none":
            about_days = any(choice.count(" ") > 1 for choice in asked.choices)
            key = "rsvp.left_as_is" if about_days else "mend.none"
            return _told([Served(sentence=ask.voice.say(key), served=False)], ask, None)
        case "unclear" if not asked.again:
            return _told([ask_back(asked.choices, ask, key="mend.again", again=True)], ask, None)
        case _:
            return _told([Served(sentence=ask.voice.say("mend.let_go"), served=False)], ask, None)


def _picked(choices: Sequence[str], asked: Asked, ask: Ask, reader: Reader, party: Party | None = None) -> Turn | None:
    """The choices carried out, with the number coming where the text that picked them names one: "the clinic, 2 of us"."""
    if choices[0].startswith("here "):
        _, event, day = choices[0].split(" ")
        one = find(ask.voice.knowledge.event(event), date.fromisoformat(day), ask.voice.knowledge.club.zone)
        return None if one is None else _told([sign_in(one, ask)], ask, None)
    wants = [_wanted(choice, asked, party, reader, ask.now) for choice in choices]
    others = tuple(one for one in asked.choices if one not in choices and " " not in one)
    return replace(_served(wants, ask, None), others=others, about=asked.about)


def _wanted(choice: str, asked: Asked, party: Party | None, reader: Reader, now: datetime) -> Want:
    want, _, about = choice.partition(" ")
    event, _, day = about.partition(" ")
    if not day:
        return reader.as_wanted(want, f"{asked.about} {about}".strip(), now)
    wanted = reader.as_wanted(want, asked.about, now)
    assert isinstance(wanted, Rsvp | AskPlaces | WantReminder)  # the only ones that are offered by day
    if isinstance(wanted, Rsvp) and party is not None:
        wanted = replace(wanted, party=party)
    return replace(wanted, on=DayId(event, date.fromisoformat(day)))


def _read(text: str, known: Known, knowledge: Knowledge, reader: Reader, usual: Language, now: datetime) -> Turn:
    reading = reader.read(text, now, usual, about_event=just_spoken_of(known, now))
    language = reading.language if reading.language in knowledge.club.languages else usual
    voice = Voice(knowledge, language or usual)
    ask = Ask(text=text, known=known, voice=voice, now=now, alone=len(reading.wants) < 2)
    if any(isinstance(want, Danger) for want in reading.wants):
        return _danger(text, reading, known, knowledge, now)
    if any(isinstance(want, Stop) for want in reading.wants):
        return _and_the_rest(_stop(voice.language, text, known, knowledge), reading, text, known, knowledge, now)
    if any(isinstance(want, StartAgain) for want in reading.wants):
        return _and_the_rest(_start(voice.language, text, known, knowledge), reading, text, known, knowledge, now)
    if reading.wants and not _passes_on(reading, ask):
        turned = _served(reading.wants, ask, reading)
        turned = replace(turned, others=others_of(reading.scores, turned.served))
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


def _served(
    wants: Sequence[Want],
    ask: Ask,
    reading: Reading | None,
    *,
    beside: Want | None = None,
    also: tuple[Served, ...] = (),
) -> Turn:
    """What is wanted, in one reply; `beside` is said too as long as it fits, `also` after it in any case."""
    said = list(wants)
    wants = _as_said(wants, ask)
    ask = replace(ask, alone=len(wants) < 2 and beside is None)
    results = [serve(want, ask) for want in wants]
    settled = {id(want) for want in said} - {
        id(want) for want, one in zip(wants, results, strict=True) if not one.served
    }
    served = ids([want for want in said if id(want) in settled])
    spoken = [_spoken(want, one, ask) for want, one in zip(wants, results, strict=True) if one.served]
    if beside is not None:
        results[-1] = replace(results[-1], extras=(serve(beside, ask).sentence,))
    turned = replace(_told([*results, *also], ask, reading), served=served)
    return replace(turned, spoken=tuple(one for one in spoken if one is not None) or turned.spoken)


def _spoken(want: Want, result: Served, ask: Ask) -> Spoken | None:
    on = next((effect.on for effect in result.effects if isinstance(effect, SpeakOf)), None)
    return spoken_of(want, on, ask.voice.knowledge, ask.now)


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
        spoken=tuple(
            Spoken(want=effect.want, event=effect.on.event, people=effect.people or None)
            for effect in effects
            if isinstance(effect, SpeakOf)
        ),
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


def _and_the_rest(turned: Turn, reading: Reading, text: str, known: Known, knowledge: Knowledge, now: datetime) -> Turn:
    """An opt-in or opt-out with what else the text asks: "text me again, and am I down for Sunday". Beside an opt-out only a "not coming"
    is done, since whoever wants no more texts asks no questions.
    """
    stops = any(isinstance(effect, OptOut) for effect in turned.effects)
    if not turned.effects or not any(isinstance(want, Stop if stops else StartAgain) for want in reading.wants):
        return turned
    rest = [
        want
        for want in reading.wants
        if (isinstance(want, Rsvp) and want.kind == "rsvp-no")
        or not (stops or isinstance(want, Stop | StartAgain | ForAPerson | Greet | Thank | Danger))
    ]
    if not rest:
        return turned
    told = replace(known, sender=replace(known.sender, introduced=True, opted_out=False))
    ask = Ask(text=text, known=told, voice=Voice(knowledge, turned.language), now=now, alone=False)
    more = _served(rest, ask, reading)
    said = f"{turned.reply} {more.reply}"
    effects = [replace(effect, text=said) if isinstance(effect, Reply) else effect for effect in turned.effects]
    effects += [effect for effect in more.effects if not isinstance(effect, Reply)]
    served, event = (*turned.served, *more.served), more.event
    return replace(turned, effects=tuple(effects), served=served, event=event, party=more.party, reading=reading)


# Words of coming back; without one a text that speaks of stopping stops.
_BACK = patterns.compile(
    r"\b(?:again|back on|turn (?:it|them|the \w+) (?:all )?(?:back )?on|resume|restart|mind|by mistake|in error|recommenc\w*|reprend\w*|remett\w*|reactiv\w*|par erreur|a nouveau)\b"
)


def _come_back(text: str, known: Known, knowledge: Knowledge, reader: Reader, usual: Language, now: datetime) -> Turn:
    """Whoever has opted out is not answered, unless the text asks for the texts again in plain words."""
    reading = reader.read(text, now, usual)
    if not any(isinstance(want, StartAgain) for want in reading.wants) or plain_stop(text) is not None:
        return Turn(language=usual, outcome="opted out", reading=reading)
    language = reading.language if reading.language in knowledge.club.languages else usual
    started = _start(language or usual, text, known, knowledge)
    return _and_the_rest(started, reading, text, known, knowledge, now)


def _is_back(text: str, reader: Reader, usual: Language, now: datetime) -> bool:
    """Whether a text that speaks of stopping wants the texts again: "I told you to stop last month, turn it all back on"."""
    wants = reader.read(text, now, usual).wants
    return any(isinstance(want, StartAgain) for want in wants) and not any(isinstance(want, Stop) for want in wants)


def _stops_or_starts(text: str, reader: Reader, usual: Language, now: datetime) -> bool:
    """Whether a text that looks like a correction is an opt-out, an opt-in or a cry for help: those stand for themselves."""
    return any(isinstance(want, Stop | StartAgain | Danger) for want in reader.read(text, now, usual).wants)


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


_COMMANDS = patterns.compile(
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
