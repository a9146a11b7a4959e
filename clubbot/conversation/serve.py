"""Who serves which want: each goes to its room, and comes back as sentences and effects."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from typing import assert_never

from clubbot.conversation import asking, live
from clubbot.conversation.phrasing import Voice
from clubbot.events.days import between, upcoming
from clubbot.model.effects import QUESTION_NUMBER, Effect, HandOver, KeepName, OpenChoice, Subscribe, Unsubscribe
from clubbot.model.known import Known
from clubbot.model.wants import (
    AskDaylight,
    AskEvents,
    AskHelp,
    AskStatus,
    AskTopic,
    Danger,
    ForAPerson,
    Greet,
    JoinList,
    LeaveList,
    Report,
    Request,
    StartAgain,
    Stop,
    TellName,
    Thank,
    Want,
    WantPerson,
    want_id,
)
from clubbot.people.duty import OnDuty, on_duty
from clubbot.texting.numbers import mask_all

# How long a question of ours stays open.
OPEN_FOR = timedelta(minutes=30)
# A note to a volunteer stays within a few parts; the whole text is in the inbox.
_LONGEST_QUOTE = 280


@dataclass(frozen=True, slots=True, kw_only=True)
class Served:
    """What comes of one want: the sentence due, further ones if there is room, effects, and whether the want is really served by them."""

    sentence: str
    extras: tuple[str, ...] = ()
    effects: tuple[Effect, ...] = ()
    served: bool = True
    offered: tuple[str, ...] = ()
    event: str | None = None
    introduces: bool = False  # says who we are and how to stop by itself


@dataclass(frozen=True, slots=True, kw_only=True)
class Ask:
    """The message being served."""

    text: str
    known: Known
    voice: Voice
    now: datetime
    alone: bool
    duty: OnDuty = field(init=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "duty", on_duty(self.voice.knowledge, self.now))


def serve(want: Want, ask: Ask) -> Served:
    """Serve one want. Opt-out, opt-in and danger are served by `turn` itself, before anything else."""
    voice = ask.voice
    match want:
        case AskTopic(topic):
            return _topic(topic, ask)
        case AskStatus():
            return Served(sentence=live.status(want, ask.known.closures, voice, ask.now))
        case AskEvents():
            return Served(sentence=live.events(want, voice, ask.now), event=want.event)
        case AskDaylight():
            return Served(sentence=live.daylight(want, voice, ask.now))
        case Greet():
            return Served(sentence=voice.say("greeting.again" if ask.known.sender.introduced else "greeting.first"))
        case Thank():
            return Served(sentence=voice.say("thanks.reply"))
        case AskHelp():
            return Served(sentence=voice.say("help.reply"), introduces=True)
        case JoinList(list_id):
            return _join(list_id, ask)
        case LeaveList(list_id):
            return _leave(list_id, ask)
        case TellName(name):
            return _name(name, ask)
        case Report():
            return _report(want, ask)
        case Request():
            return _request(want, ask)
        case WantPerson():
            return for_a_person(ask, reason="human", wanted=True)
        case ForAPerson():
            return for_a_person(ask, reason="outside")
        case Stop() | StartAgain() | Danger():
            return Served(sentence="", served=False)
        case _:
            assert_never(want)


def _topic(topic: str, ask: Ask) -> Served:
    answer = ask.voice.knowledge.answers.get(topic)
    if answer is None:  # asked at any club, but this one has not written its answer yet
        return for_a_person(ask, reason=topic)
    first, *more = answer.paragraphs[ask.voice.language]
    return Served(sentence=first, extras=tuple(more) if ask.alone else ())


def for_a_person(ask: Ask, *, reason: str, wanted: bool = False) -> Served:
    """Passed to whoever is on duty; the asker hears who and until when."""
    voice, duty = ask.voice, ask.duty
    kind = "wanted" if wanted else "reply"
    if duty.resumes is not None:
        kind = "wanted_later" if wanted else "later"
    resumes = voice.moment(duty.resumes, ask.now) if duty.resumes else ""
    sentence = voice.say(
        f"handover.{kind}",
        name=duty.person.first_name,
        wait=voice.length(voice.knowledge.club.answer_within_minutes),
        resumes=resumes,
    )
    return Served(sentence=sentence, effects=(_handed(ask, reason, "handover.note"),), served=wanted)


def unreadable(ask: Ask) -> Served:
    """A text in letters that we cannot read goes to a person."""
    said = ask.voice.say("handover.unreadable", name=ask.duty.person.first_name)
    return Served(sentence=said, effects=(_handed(ask, "unreadable", "handover.note"),), served=False)


def danger(ask: Ask) -> Served:
    """The emergency number first; the person on duty is told at once."""
    said = ask.voice.say("danger.reply", name=ask.duty.person.first_name)
    return Served(sentence=said, effects=(_handed(ask, "danger", "danger.note"),), served=False)


def ask_back(choices: tuple[str, ...], ask: Ask, *, key: str = "choice.ask") -> Served:
    """Up to three choices, answered by number or words."""
    said = ask.voice.say(key, choices=asking.listed(choices, ask.voice))
    left_open = OpenChoice(choices=choices, about=ask.text, language=ask.voice.language, until=ask.now + OPEN_FOR)
    offered = tuple(dict.fromkeys(choice.partition(" ")[0] for choice in choices))
    return Served(sentence=said, effects=(left_open,), served=False, offered=offered)


def _handed(ask: Ask, reason: str, key: str, **values: object) -> HandOver:
    """The note speaks the volunteer's language and quotes the asker, with any phone number masked."""
    knowledge, person = ask.voice.knowledge, ask.duty.person
    theirs = Voice(knowledge, person.language)
    note = theirs.say(key, number=QUESTION_NUMBER, text=_quoted(ask.text), **values)
    return HandOver(reason=reason, person=person.id, number=person.number, note=note)


def _quoted(text: str) -> str:
    """The asker's words as a volunteer sees them: on one line, no phone number, cut where they run on."""
    words = " ".join(mask_all(text).split())
    return words if len(words) <= _LONGEST_QUOTE else f"{words[: _LONGEST_QUOTE - 4].rstrip()} ..."


def _join(list_id: str | None, ask: Ask) -> Served:
    found = [one for one in ask.voice.knowledge.lists if list_id in {None, one.id}]
    if len(found) != 1:
        return _which_list("notify-on", "lists.which_on", ask)
    said = ask.voice.say("lists.joined", list=found[0].name.to(ask.voice.language))
    return Served(sentence=said, effects=(Subscribe(list_id=found[0].id, words=ask.text),))


def _leave(list_id: str | None, ask: Ask) -> Served:
    found = [one for one in ask.voice.knowledge.lists if list_id in {None, one.id}]
    if len(found) != 1:
        on = [one for one in found if one.id in ask.known.sender.lists]
        if len(on) != 1:
            return _which_list("notify-off", "lists.which_off", ask)
        found = on
    said = ask.voice.say("lists.left", list=found[0].name.to(ask.voice.language))
    return Served(sentence=said, effects=(Unsubscribe(list_id=found[0].id, words=ask.text),))


def _which_list(want: str, key: str, ask: Ask) -> Served:
    """The wish is understood and served by asking the one thing that is missing."""
    choices = tuple(f"{want} {one.id}" for one in ask.voice.knowledge.lists)
    asked = ask_back(choices, ask, key=key)
    return Served(sentence=asked.sentence, effects=asked.effects, served=True)


def _name(name: str | None, ask: Ask) -> Served:
    if name is None:
        return Served(sentence=ask.voice.say("name.unclear") if ask.alone else "")
    said = ask.voice.say("name.kept" if ask.alone else "name.kept_too", name=name)
    return Served(sentence=said, effects=(KeepName(name=name),))


def _report(report: Report, ask: Ask) -> Served:
    voice, duty = ask.voice, ask.duty
    place = voice.say("report.place", hole=report.hole) if report.hole else ""
    said = voice.say(f"report.{report.kind}", name=duty.person.first_name, place=place)
    theirs = Voice(voice.knowledge, duty.person.language)
    their_place = theirs.say("report.place", hole=report.hole) if report.hole else ""
    return Served(sentence=said, effects=(_handed(ask, report.kind, f"report.note_{report.kind}", place=their_place),))


def _request(request: Request, ask: Ask) -> Served:
    """Written down for the person who does it: the reply says what was read, so that a misreading is seen."""
    voice, duty = ask.voice, ask.duty
    event = _event_meant(request, ask)
    going = "event" if request.kind in {"rsvp-yes", "rsvp-no"} else "event_for"
    said = voice.say(
        f"request.{request.kind}",
        name=duty.person.first_name,
        event=_event_words(event, request, going, voice, ask.now),
    )
    theirs = Voice(voice.knowledge, duty.person.language)
    note = _handed(
        ask,
        request.kind,
        "request.note",
        request=theirs.say(f"choice.{request.kind}"),
        event=_event_words(event, request, "event_for", theirs, ask.now),
    )
    return Served(sentence=said, effects=(note,), event=event)


def _event_meant(request: Request, ask: Ask) -> str | None:
    """The event named, or the only one on the day named."""
    if request.event is not None or request.when is None:
        return request.event
    knowledge = ask.voice.knowledge
    found = {
        one.event.id for one in between(knowledge.events, request.when.first, request.when.last, knowledge.club.zone)
    }
    return found.pop() if len(found) == 1 else None


def _event_words(event_id: str | None, request: Request, key: str, voice: Voice, now: datetime) -> str:
    if event_id is None:
        return ""
    knowledge = voice.knowledge
    zone = knowledge.club.zone
    event = knowledge.event(event_id)
    when = request.when
    days = [one for one in upcoming([event], now, zone) if not one.called_off]
    if when is not None:
        days = [one for one in days if when.first <= one.starts.astimezone(zone).date() <= when.last]
    name = event.name.to(voice.language)
    if not days:
        return voice.say(f"request.{key}_plain", event=name)
    day = voice.dated(days[0].starts.astimezone(zone).date())
    return voice.say(f"request.{key}", event=name, day=day, time=voice.hour(days[0].starts))


def ids(wants: Sequence[Want]) -> tuple[str, ...]:
    """The ids of wants, each once, in order."""
    return tuple(dict.fromkeys(want_id(want) for want in wants))
