"""One message, what is known, the hour: what to do. The order of judgment stands in `turn`, top to bottom."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime
from typing import assert_never

from clubbot.conversation.ask import Ask, Served, ask_back
from clubbot.conversation.asking import answered, picked, picked_day
from clubbot.conversation.changing import days_chosen
from clubbot.conversation.codes import waiting, without_its_code
from clubbot.conversation.coming import just_spoken_of, rsvp_meant
from clubbot.conversation.crowd import bounded, noted
from clubbot.conversation.flood import (
    LIMITS,
    MINUTES,
    Kind,
    Limit,
    is_ours,
    kind_of,
    quiet_reason,
    told_before,
    too_many,
)
from clubbot.conversation.following import spoken_of
from clubbot.conversation.handover import danger, for_a_person, unreadable
from clubbot.conversation.helping import (
    is_numbered,
    numbered,
    open_with,
    order_or_answer,
    plain_reply,
    quoted,
)
from clubbot.conversation.mending import LONGEST_KEPT, Meant, in_its_light, last_said, others_of, with_what_was_named
from clubbot.conversation.misuse import not_me, says_not_me, still_suspended
from clubbot.conversation.ordering import ask_to_stop, dropped, no_opt_out, ordered, refused
from clubbot.conversation.phrasing import Voice, compose
from clubbot.conversation.reporting import relay
from clubbot.conversation.serve import ids, serve
from clubbot.conversation.shortly import mended, named, short_answer, taken_back, yes_or_no
from clubbot.conversation.signing_in import about_the_day, here, sign_in, who_is_here
from clubbot.conversation.teaching import as_taught
from clubbot.conversation.undone import not_understood
from clubbot.events.days import find
from clubbot.model.club import Knowledge, Person
from clubbot.model.dialogue import OPEN_FOR, Asked
from clubbot.model.effects import (
    AnswerQuestion,
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
from clubbot.model.known import Known
from clubbot.model.messages import Incoming, Language
from clubbot.model.orders import (
    Confirm,
    HoldPlay,
    Order,
)
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
from clubbot.people.duty import on_duty, organiser
from clubbot.texting import patterns
from clubbot.texting.keywords import Keyword, keyword
from clubbot.texting.parts import LONGEST_TEXT
from clubbot.understanding.consent import opts_in, opts_out
from clubbot.understanding.danger import sounds_like_danger
from clubbot.understanding.noticing import Notice, Noticed
from clubbot.understanding.reading import Reader, Reading
from clubbot.understanding.refusing import refusal
from clubbot.understanding.splitting import both_ends

# Words: a longer text that names one of the days offered says something of its own.
LONGEST_PICK = 6
# The text before was this one too: it was passed on then.
_SAME_AGAIN = 2
# How a text ended whose sender was told that it was too much.
ABOVE = "above its limit"
_LEFT_ALONE = "left alone"


@dataclass(frozen=True, slots=True, kw_only=True)
class Turn:
    """What is to be done about one message, and how it was understood. `spoken` is what was served, `others` what else it could have
    meant, `about` the text that it is kept under where that is not the message's own, `kind` what it counts as for the limits of a phone.
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
    kind: Kind | None = None

    @property
    def handed_over(self) -> bool:
        """Whether a person will deal with it."""
        return any(isinstance(effect, HandOver) for effect in self.effects)

    @property
    def reply(self) -> str | None:
        """What the sender is told, if anything."""
        return next((effect.text for effect in self.effects if isinstance(effect, Reply)), None)

    def without_reading(self) -> "Turn":
        """The same to be carried out, without how it came about."""
        return replace(self, reading=None)


def turn(message: Incoming, known: Known, knowledge: Knowledge, reader: Reader, now: datetime) -> Turn:
    """Decide about one message, within what one phone may do. `now` is aware; nothing is read or done beyond the arguments."""
    turned = _decided(message, known, knowledge, reader, now)
    kind = turned.kind or kind_of(turned.effects)
    above = too_many(kind, known)
    turned = replace(turned, kind=kind)
    return turned if above is None else _above(above, kind, turned, known, knowledge)


def _above(limit: Limit, kind: Kind, turned: Turn, known: Known, knowledge: Knowledge) -> Turn:
    """What becomes of a text above its limit, as the table has it."""
    match limit.above:
        case "done, not answered":
            quiet = tuple(one for one in turned.effects if not isinstance(one, Reply))
            return replace(turned, effects=quiet)
        case "left alone":
            return Turn(language=turned.language, outcome=_LEFT_ALONE, kind=kind)
        case "told once":
            return _told_once(limit, kind, turned, known, knowledge)
        case "counted":  # the emergency number has been told often enough; the text itself is never dropped
            if kind != "danger":
                return turned
            return replace(turned, effects=tuple(one for one in turned.effects if not isinstance(one, Reply)))
        case "added":  # it is with the others already
            return turned
        case _:
            assert_never(limit.above)


def _told_once(limit: Limit, kind: Kind, turned: Turn, known: Known, knowledge: Knowledge) -> Turn:
    """Nothing is done; the sender hears so once an hour, and of a phone of the club's people the organiser too."""
    if told_before(kind, known):
        return Turn(language=turned.language, outcome=_LEFT_ALONE, kind=kind)
    said = Voice(knowledge, turned.language).say(f"limit.{kind}", minutes=limit.within // MINUTES)
    effects: list[Effect] = [Reply(text=said)]
    if limit.hears == "the sender and the organiser":
        effects += _organiser_told(known, knowledge)
    return Turn(effects=tuple(effects), language=turned.language, outcome=ABOVE, kind=kind)


def _organiser_told(known: Known, knowledge: Knowledge) -> list[TellPerson]:
    """That a phone of the club's people texts more than a person would."""
    head = organiser(knowledge)
    person = next((one for one in knowledge.people if one.number == known.sender.number), head)
    note = Voice(knowledge, head.language).say("limit.club_note", name=person.first_name)
    return [TellPerson(person=head.id, number=head.number, text=note)]


def _decided(message: Incoming, known: Known, knowledge: Knowledge, reader: Reader, now: datetime) -> Turn:
    sender = known.sender
    usual = sender.language or knowledge.club.languages[0]
    text = readable(message.text)
    if not sender.textable:
        return Turn(language=usual, outcome="the sender's number cannot be texted")
    if len(text) > LONGEST_TEXT:
        return _too_long(text, known, knowledge, reader, usual, now)
    at_once = _before_key_words(text, known, knowledge, reader, now)
    if at_once is not None:
        return at_once
    noticed = reader.notice(text)
    word = keyword(text) or opts_out(noticed)
    owner = _person(known, knowledge) if word is not None and word.kind == "stop" else None
    if owner is not None and no_opt_out(reader.orders.read(text, message.received_at), text, reader):
        word = None
    if word is not None and word.kind == "stop":
        stopped = _stop(word.language, text, known, knowledge, now)
        if keyword(text):
            return stopped
        return _and_the_rest(stopped, reader.read(text, now, stopped.language), text, known, knowledge, now)
    if word is not None and word.kind == "start":
        started = _start(_start_language(word, usual), text, known, knowledge)
        if keyword(text):
            return started
        return _and_the_rest(started, reader.read(text, now, started.language), text, known, knowledge, now)
    of_the_club = any(one.number == sender.number for one in knowledge.people)
    flooded = of_the_club and too_many("club's", known) is not None
    from_the_club = None if flooded else _from_the_club(text, message.received_at, known, knowledge, reader, now)
    if from_the_club is not None:
        return from_the_club
    if sounds_like_danger(noticed) and not is_ours(text, known):
        return _danger(text, reader.read(text, now, usual), known, knowledge, now)
    if word is not None:
        return _help(word.language if sender.language is None else usual, known, knowledge)
    if sender.opted_out:
        return _come_back(text, known, knowledge, reader, usual, now)
    reason = quiet_reason(text, known, of_the_club=of_the_club)
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
    word = _opts_out(reader.notice, *ends)
    if word is not None:
        return _stop(word.language, quoted(ends[0]), known, knowledge, now)
    cry = next((end for end in ends if sounds_like_danger(reader.notice(end))), None)
    if cry is not None and not is_ours(cry, known):
        return _danger(cry, Reading(language=reader.language(cry)), known, knowledge, now)
    if known.sender.opted_out:
        return Turn(language=usual, outcome="opted out")
    reason = quiet_reason(ends[0], known, of_the_club=False)
    if reason is not None:
        return _quiet(reason, known, knowledge, now)
    said = Voice(knowledge, usual).say("too_long.reply")
    return Turn(effects=(Reply(text=said),), language=usual, outcome="too long")


def _opts_out(notice: Notice, first: str, last: str) -> Keyword | None:
    """An opt-out in the two ends of a long text: a key word as its first or last sentence, the plain wish in any."""
    begins, ends = _LINE_OR_SENTENCE.split(first), _LINE_OR_SENTENCE.split(last.rstrip(" .!?;"))
    words = [keyword(begins[0]), keyword(ends[-1]), opts_out(notice(first)), opts_out(notice(last))]
    return next((word for word in words if word is not None and word.kind == "stop"), None)


_LINE_OR_SENTENCE = patterns.compile(r"[\n.!?;]")


def opt_out_of(text: str, notice: Notice) -> Keyword | None:
    """The wish for no more texts, as a key word or in plain words; None where the text has none, or wants the texts again."""
    word = keyword(text) or (opts_out(notice(text)) if len(text) <= LONGEST_TEXT else None)
    return word if word is not None and word.kind == "stop" else None


def set_aside(
    message: Incoming, known: Known, knowledge: Knowledge, now: datetime, opt_out: Keyword | None = None
) -> Turn:
    """A text whose reading was begun and never finished is not read again: a person gets it with its words, and the sender is told.
    Only the key words, which are looked up and not searched for, are still done, and an `opt_out` that was found in it by itself.
    """
    language = known.sender.language or knowledge.club.languages[0]
    text = readable(message.text)
    word = opt_out or (keyword(text) if len(text) <= LONGEST_KEPT else None)
    if word is not None and word.kind == "stop":
        return _stop(word.language, text, known, knowledge, now)
    if word is not None and word.kind == "start":
        return _start(_start_language(word, language), text, known, knowledge)
    if word is not None:
        return _help(word.language if known.sender.language is None else language, known, knowledge)
    ask = Ask(text=text, known=known, voice=Voice(knowledge, language), now=now, alone=True)
    handed = bounded(for_a_person(ask, reason="set aside"), ask)
    said = f"{handed.sentence} {ask.voice.say('handover.set_aside')}"
    return Turn(effects=(Reply(text=said), *handed.effects), language=language, outcome="set aside", kind="question")


def _answer(text: str, known: Known, knowledge: Knowledge, reader: Reader, usual: Language, now: datetime) -> Turn:
    """A message that is neither a key word nor to be left alone."""
    text = both_ends(text)
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
    ask = Ask(text=text, known=known, voice=Voice(knowledge, language), now=now, alone=True, said=reader.notice(text))
    person = _person(known, knowledge)
    holds_role = person is not None and bool(person.roles) and person.id not in knowledge.suspended
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
    if meant.language is not None:
        ask = replace(ask, voice=Voice(knowledge, meant.language))
    turned = _as_meant(meant, ask)
    shown = meant.language or reader.language(text)
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
    about = reader.notice(asked.about)
    ask = Ask(text=asked.about, known=known, voice=voice, now=now, alone=True, said=about)
    said, noticed = reader.as_rsvp(text, now), reader.notice(text)
    corrects = refusal(noticed)  # "i meant buying"
    instead = reader.notice(corrects.meant) if corrects is not None and corrects.meant else noticed
    choice = picked(instead, asked, voice, now)
    if choice is None and now < asked.until and len(text.split()) <= LONGEST_PICK:
        span = (said.when.first, said.when.last) if said.when is not None and said.when.dated else None
        choice = picked_day(asked.choices, said.event, span)
    if choice is None:
        return _not_one(noticed, asked, ask, reader)
    party = said.party if said.party.total is not None and not text.strip().isdigit() else None
    return _picked([choice], asked, ask, reader, party)


def _not_one(said: Noticed, asked: Asked, ask: Ask, reader: Reader) -> Turn | None:
    """All of our choices, the other one, none of them; or no answer, so that we ask again, once. None where a text says something else."""
    answer = answered(said, asked, ask.now)
    talk = ask.known.talk
    if answer is None or (talk is not None and talk.at > asked.until - OPEN_FOR and yes_or_no(said) is not None):
        return None  # a yes or a no is said to what was told last
    match answer:
        case "let go":
            return _told([Served(sentence=ask.voice.say("mend.let_go"), served=False)], ask, None)
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
    ask = Ask(text=text, known=known, voice=voice, now=now, alone=len(reading.wants) < 2, said=reader.notice(text))
    if any(isinstance(want, Danger) for want in reading.wants):
        return _danger(text, reading, known, knowledge, now)
    if any(isinstance(want, Stop) for want in reading.wants):
        return _and_the_rest(_stop(voice.language, text, known, knowledge, now), reading, text, known, knowledge, now)
    if any(isinstance(want, StartAgain) for want in reading.wants):
        return _and_the_rest(_start(voice.language, text, known, knowledge), reading, text, known, knowledge, now)
    if reading.wants and not _passes_on(reading, ask):
        turned = _served(with_what_was_named(reading.wants, ask, reader), ask, reading)
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
    settled = ask.known.thread is not None and not ask.known.thread.open
    # The same again after an answer is not with anybody yet.
    passes = ask.known.same_in_a_row < _SAME_AGAIN or settled
    results = [bounded(one, ask) for one in results] if passes else results
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
    if passes:
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


def _stop(language: Language, text: str, known: Known, knowledge: Knowledge, now: datetime) -> Turn:
    """One confirmation; a second opt-out is met with silence, as the first asked for. From a phone of the club's people it takes a code."""
    if known.sender.opted_out:
        return Turn(language=language, served=("stop",), outcome="opted out already", kind="stop")
    person = _person(known, knowledge)
    if person is not None:
        known = replace(known, sender=replace(known.sender, introduced=True))
        ask = Ask(text=text, known=known, voice=Voice(knowledge, language), now=now, alone=True)
        return _to_its_own(_told([ask_to_stop(ask)], ask, None))
    said = Voice(knowledge, language).say("consent.stopped")
    effects = (Reply(text=said, asks_consent=False), OptOut(words=text), CloseChoice(), Introduce())
    return Turn(effects=effects, language=language, served=("stop",), outcome="opted out", kind="stop")


def _start(language: Language, text: str, known: Known, knowledge: Knowledge) -> Turn:
    said = Voice(knowledge, language).say("consent.started")
    effects = (OptIn(words=text), Reply(text=said), Introduce())
    return Turn(effects=effects, language=language, served=("start-again",), outcome="opted in", kind="start")


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


def _come_back(text: str, known: Known, knowledge: Knowledge, reader: Reader, usual: Language, now: datetime) -> Turn:
    """Whoever has opted out is not answered, unless the text asks for the texts again in plain words."""
    reading = reader.read(text, now, usual)
    noticed = reader.notice(text)
    back = opts_in(noticed) or any(isinstance(want, StartAgain) for want in reading.wants)
    if not back or opts_out(noticed) is not None:
        return Turn(language=usual, outcome="opted out", reading=reading)
    language = reading.language if reading.language in knowledge.club.languages else usual
    started = _start(language or usual, text, known, knowledge)
    return _and_the_rest(started, reading, text, known, knowledge, now)


def _stops_or_starts(text: str, reader: Reader, usual: Language, now: datetime) -> bool:
    """Whether a text that looks like a correction is an opt-out, an opt-in or a cry for help: those stand for themselves."""
    return any(isinstance(want, Stop | StartAgain | Danger) for want in reader.read(text, now, usual).wants)


def _start_language(word: Keyword, usual: Language) -> Language:
    """START is the word in both languages, so it is answered in the person's own."""
    return word.language if word.language != "en" else usual


def _help(language: Language, known: Known, knowledge: Knowledge) -> Turn:
    """HELP and AIDE are answered always, also to those who opted out (Canadian short code guidelines)."""
    said = Voice(knowledge, language).say("help.reply")
    if _person(known, knowledge) is not None:
        said = f"{said} {Voice(knowledge, language).say('help.roster')}"
    return Turn(
        effects=(Reply(text=said, asks_consent=False), Introduce()),
        language=language,
        served=("help",),
        outcome="answered",
        kind="help",
    )


def _danger(text: str, reading: Reading, known: Known, knowledge: Knowledge, now: datetime) -> Turn:
    language = reading.language or known.sender.language or knowledge.club.languages[0]
    ask = Ask(text=text, known=known, voice=Voice(knowledge, language), now=now, alone=True)
    result = danger(ask)
    effects: tuple[Effect, ...] = (Reply(text=result.sentence, asks_consent=False), *result.effects)
    return Turn(effects=effects, language=language, outcome="danger", reading=reading, kind="danger")


def _quiet(reason: str, known: Known, knowledge: Knowledge, now: datetime) -> Turn:
    """Not answered; the person on duty is told the first time, of a phone of the club's people its owner and the organiser."""
    usual = known.sender.language or knowledge.club.languages[0]
    if known.sender.quiet_reason is not None:
        return Turn(language=usual, outcome=_LEFT_ALONE, kind="flood")
    if told_before("flood", known):
        return Turn(effects=(GoQuiet(reason=reason),), language=usual, outcome=_LEFT_ALONE, kind="flood")
    if any(one.number == known.sender.number for one in knowledge.people):
        said = Reply(text=Voice(knowledge, usual).say("limit.club"))
        effects: tuple[Effect, ...] = (GoQuiet(reason=reason), said, *_organiser_told(known, knowledge))
        return Turn(effects=effects, language=usual, outcome=ABOVE, kind="flood")
    person = on_duty(knowledge, now).person
    theirs = Voice(knowledge, person.language)
    most, minutes = _counted_for(reason)
    note = theirs.say("quiet.note", reason=theirs.say(f"quiet.{reason}", most=most, minutes=minutes))
    told = noted("left alone", known, TellPerson(person=person.id, number=person.number, text=note))
    return Turn(effects=(GoQuiet(reason=reason), *told), language=usual, outcome=ABOVE, kind="flood")


def _counted_for(reason: str) -> tuple[int, int]:
    """The line of the table that a flood is above: so many texts in so many minutes."""
    lines = [limit for limit in LIMITS if limit.kind == "any"]
    limit = max(lines, key=lambda one: one.within) if reason == "hours" else min(lines, key=lambda one: one.within)
    return limit.most, limit.within // MINUTES


def _person(known: Known, knowledge: Knowledge) -> Person | None:
    """The person of the club whose phone it is."""
    return next((one for one in knowledge.people if one.number == known.sender.number), None)


def _to_its_own(turned: Turn) -> Turn:
    """A reply that somebody of the club gets on what they did as such: it goes out though they have stopped the club's texts."""
    return replace(
        turned,
        effects=tuple(
            replace(effect, asks_consent=False) if isinstance(effect, Reply) else effect for effect in turned.effects
        ),
    )


def _of_the_club(text: str, person: Person, known: Known, knowledge: Knowledge, reader: Reader, now: datetime) -> Ask:
    """A text of one of the club's people, who know who we are."""
    language = reader.language(text) or known.sender.language or person.language
    known = replace(known, sender=replace(known.sender, introduced=True))
    said = reader.notice(text)
    return Ask(text=text, known=known, voice=Voice(knowledge, language), now=now, alone=True, said=said)


def _before_key_words(text: str, known: Known, knowledge: Knowledge, reader: Reader, now: datetime) -> Turn | None:
    """What goes before STOP where one of the club's people texts it: NOT ME, and a no or a bare yes to what they were just shown."""
    person = _person(known, knowledge)
    if person is None:
        return None
    ask = _of_the_club(text, person, known, knowledge, reader, now)
    if says_not_me(ask.said):
        return _to_its_own(_told([not_me(ask, person)], ask, None))
    to_draft = reader.orders.to_a_draft(text)
    served = dropped(ask, person, to_draft, reader) or days_chosen(ask, reader)
    if served is None and to_draft.only_yes and known.asked is None:
        served = without_its_code(ask)
    return None if served is None else _to_its_own(_told([served], ask, None))


def _from_the_club(
    text: str, texted: datetime, known: Known, knowledge: Knowledge, reader: Reader, now: datetime
) -> Turn | None:
    """What a person of the club texts as such: an answer by number, an order, a plain reply to the only open question."""
    person = _person(known, knowledge)
    if person is None:
        return _stranger(text, known, knowledge, reader, now)
    # "Till six" is said at the hour when it was texted, which is also when it was asked whom the order tells.
    order = reader.orders.read(text, texted)
    ask = _of_the_club(text, person, known, knowledge, reader, now)
    known = ask.known
    if isinstance(order, Confirm) and not order.alone and not waiting(ask):
        order = None  # eight digits that nobody has asked for
    if person.id in knowledge.suspended and not isinstance(order, Confirm | HoldPlay):
        served = _of_suspended(order, ask, person, reader)
    else:
        served = numbered(ask, person)
        if served is None and order is not None:
            served = ordered(order, ask, person, reader)
        waits = served is None and open_with(ask, person) and not about_the_day(ask)
        if waits and _reads_as_answer(text, known, reader, now):
            looks_like_one = order is not None or reader.orders.like_an_order(both_ends(text))
            served = order_or_answer(ask, person) if looks_like_one else plain_reply(ask, person)
        if served is None and order is None and not sounds_like_danger(ask.said):
            served = not_understood(ask, reader)
    if served is None:
        return None
    if not served.sentence and not served.effects:
        return Turn(language=ask.voice.language, outcome=_LEFT_ALONE, kind="order")
    answers = any(isinstance(effect, AnswerQuestion) for effect in served.effects)
    return replace(_to_its_own(_told([served], ask, None)), kind="answer" if answers else "order")


def _of_suspended(order: Order | None, ask: Ask, person: Person, reader: Reader) -> Served | None:
    """Since NOT ME orders and answers are not taken from the phone; what anybody may ask is answered."""
    answers = bool(open_with(ask, person)) and _reads_as_answer(ask.text, ask.known, reader, ask.now)
    return still_suspended(ask) if order is not None or answers or is_numbered(ask.text) else None


def _stranger(text: str, known: Known, knowledge: Knowledge, reader: Reader, now: datetime) -> Turn | None:
    """Orders from a phone that is none of the club's are not read: only what cannot be a question or a wish of one's own is refused."""
    tries = reader.orders.of_a_stranger(text)
    if tries is None:
        return None
    if tries == "a code":  # "Yes 48217730" from a phone that never got one
        ask = Ask(text=text, known=known, voice=Voice(knowledge, known.sender.language or "en"), now=now, alone=True)
        return _told([Served(sentence=ask.voice.say("order.no_draft"), served=False)], ask, None)
    language = reader.language(text) or known.sender.language or knowledge.club.languages[0]
    ask = Ask(text=text, known=known, voice=Voice(knowledge, language), now=now, alone=True)
    return _told([refused(ask)], ask, None)


def _reads_as_answer(text: str, known: Known, reader: Reader, now: datetime) -> bool:
    """Whether a volunteer's plain text is meant for the asker: not one that is read as a question or an answer of the volunteer's own."""
    reading = reader.read(both_ends(text), now, known.sender.language or "en")
    wants = [want for want in reading.wants if not isinstance(want, ForAPerson | Thank | Greet | TellName | WantPerson)]
    # "Not sure" and "ok for me" are answers to an event only where one is named.
    plain = [want for want in wants if not isinstance(want, Rsvp) or want.event or (want.when and want.when.dated)]
    return not plain or ("?" not in text and not any(isinstance(want, Rsvp) for want in plain))


def readable(text: str) -> str:
    """The text without control characters, which no reply or note should carry on."""
    return "".join(letter if letter.isprintable() or letter == "\n" else " " for letter in text).strip()
