"""What is said before an answer that it touches, for as long as it lasts: play is on hold, the course or a part of it is closed, the event
is called off. Which answers those are stands in the table of `model/touching`.
"""

from collections.abc import Iterable, Sequence, Set
from dataclasses import dataclass, field
from datetime import date, datetime, time, timedelta

from clubbot.conversation.ask import Ask, Served
from clubbot.conversation.live import closure_words
from clubbot.conversation.phrasing import Voice, capital
from clubbot.course.status import WHOLE, holes_of, within
from clubbot.events.choosing import day_of
from clubbot.events.days import EventDay, between, changed, moved_from, upcoming
from clubbot.model.club import Closure
from clubbot.model.effects import HandOver, SpeakOf
from clubbot.model.intents import AskEvents, AskMyRsvps, AskTopic, ForAPerson, Intent, When, intent_id
from clubbot.model.touching import Touch, touch_of

# Who asks without naming a time comes soon: a closure that begins before a round would be over is told of too.
_A_ROUND = timedelta(hours=3)
_LASTS = timedelta(hours=2)
# Of an event that names no day the next one is meant where it is this near.
_NEAR = timedelta(days=7)
# More would leave no room for the answer.
_MOST_TOLD = 2
# What nobody here could read is answered by a person; that it is closed is true all the same.
_NOT_READ = frozenset({"outside", "not understood"})


@dataclass(frozen=True, slots=True, kw_only=True)
class Span:
    """From when until when somebody asks about the course."""

    first: datetime
    last: datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class Touched:
    """What the answers of one reply touch: the course within `span`, its `parts` too, a `round` that may be under way, event `days`. `told`
    where one of them tells by itself how the course stands, `unread` where a person has to read the text, `named` where an event is spoken of
    and not only what is on.
    """

    span: Span | None = None
    parts: bool = False
    round: bool = False
    told: bool = False
    unread: bool = False
    named: bool = False
    days: tuple[EventDay, ...] = field(default=())


def said_first(results: Sequence[Served], ask: Ask, when: When | None, introduction: str) -> list[str]:
    """The sentences of one reply: what comes first, then what was to be said, as much of it as keeps to two parts. `when` is the time
    that the text names, where its intents do not keep one.
    """
    sentences = [one.sentence for one in results]
    closures = (*ask.voice.knowledge.course.closures, *ask.known.closures)
    before = first_words(touched(results, ask, when), " ".join(sentences), closures, ask.voice, ask.now)
    if not before:
        return sentences
    shortened = [isinstance(one.intent, AskTopic) for one in results]
    return _fitting(before, sentences, shortened, introduction, ask)


def first_words(about: Touched, said: str, closures: Sequence[Closure], voice: Voice, now: datetime) -> list[str]:
    """What has to be said first of what is known; nothing that `said` tells already. Where the whole word about thunder is the answer
    nothing stands before it.
    """
    if any(one.kind == "held" for one in closures) and voice.say("status.held") in said:
        return []
    words = [*_held(about, closures, voice, now), *_closed(about, closures, said, voice, now)]
    return list(dict.fromkeys([*words, *_off(about, said, voice), *_moved(about, said, voice)]))


def before_reminder(one: EventDay, closures: Sequence[Closure], voice: Voice, now: datetime) -> str:
    """What goes before a reminder of an event day, which nobody asked for just now."""
    closures = (*voice.knowledge.course.closures, *closures)
    return " ".join(first_words(Touched(named=True, days=(one,)), "", closures, voice, now))


def touched(results: Sequence[Served], ask: Ask, when: When | None) -> Touched:
    """What the answers of one reply touch."""
    topics = {rule.topic for rule in ask.voice.knowledge.events}
    kinds = {id(one): _kinds(one, topics) for one in results}
    every = frozenset[Touch]().union(*kinds.values())
    unread = any(_unread(one) for one in results)
    times = [_when(one.intent) or when for one in results if kinds[id(one)] & {"course", "parts"} or _unread(one)]
    course = bool(every & {"course", "parts"}) or unread
    days = [day for one in results if "event" in kinds[id(one)] or _spoken(one) for day in _days(one, when, ask)]
    return Touched(
        span=_span(times[0] if times else when, ask) if course else None,
        parts="parts" in every,
        round="round" in every,
        told="status" in every,
        unread=unread and not every & {"course", "parts"},
        named=not all(isinstance(one.intent, AskEvents) and one.intent.event is None for one in results),
        days=tuple(dict.fromkeys(days)),
    )


def _kinds(one: Served, events: Set[str]) -> frozenset[Touch]:
    """What one answer touches; a choice that is offered, what its topics do."""
    intents = [intent_id(one.intent)] if one.intent is not None else [*one.offered]
    touch: list[Touch] = ["event" if intent in events else touch_of(intent) for intent in intents]
    return frozenset(touch) - {"nothing"}


def _unread(one: Served) -> bool:
    passed = any(isinstance(effect, HandOver) and effect.reason in _NOT_READ for effect in one.effects)
    return passed and (one.intent is None or isinstance(one.intent, ForAPerson))


def _spoken(one: Served) -> bool:
    """Whether an answer without an intent of its own is about an event day: "make it 3"."""
    return one.intent is None and any(
        isinstance(effect, SpeakOf) and effect.intent != "rsvp-no" for effect in one.effects
    )


def _when(intent: Intent | None) -> When | None:
    found = getattr(intent, "when", None)
    return found if isinstance(found, When) else None


def _span(when: When | None, ask: Ask) -> Span:
    zone = ask.voice.knowledge.club.zone
    if when is None:
        return Span(first=ask.now, last=ask.now + _A_ROUND)
    if when.at is not None:
        return Span(first=when.at, last=when.until or when.at + _LASTS)
    first = datetime.combine(when.first, time(), zone)
    return Span(first=max(ask.now, first), last=datetime.combine(when.last + timedelta(days=1), time(), zone))


def _days(one: Served, when: When | None, ask: Ask) -> list[EventDay]:
    """The event days that an answer is about: the day that it speaks of, the day named, else the next one."""
    knowledge, zone = ask.voice.knowledge, ask.voice.knowledge.club.zone
    spoken = [effect.on for effect in one.effects if isinstance(effect, SpeakOf) and effect.intent != "rsvp-no"]
    found = [day_of(on, knowledge) for on in spoken]
    if isinstance(one.intent, AskMyRsvps):
        found = [day_of(on, knowledge) for on, mine in ask.known.rsvps.items() if mine.state != "off"]
    if (one.intent is None and not one.offered) or isinstance(one.intent, AskMyRsvps):
        return [day for day in found if day is not None and _ends(day) > ask.now]
    event = getattr(one.intent, "event", None) or one.event
    topics = [intent_id(one.intent)] if isinstance(one.intent, AskTopic) else one.offered
    event = next((rule.id for rule in knowledge.events if rule.topic in topics), event)
    rules = [knowledge.event(event)] if event is not None else knowledge.events
    named = _when(one.intent) or when
    if named is not None and named.dated:
        days = [
            *between(rules, named.first, named.last, zone),
            *moved_from(rules, named.first, named.last, zone),
        ]
    elif event is not None:
        days = [day for day in upcoming(rules, ask.now, zone)[:1] if day.starts - ask.now < _NEAR]
    else:
        today = ask.now.astimezone(zone).date()
        days = [] if found else between(rules, today, today, zone)
    return [day for day in (*found, *days) if day is not None and _ends(day) > ask.now]


def _ends(one: EventDay) -> datetime:
    return one.ends or one.starts + _LASTS


def _held(about: Touched, closures: Iterable[Closure], voice: Voice, now: datetime) -> list[str]:
    """That play is on hold, before whatever touches the course or an event today."""
    if not any(one.kind == "held" for one in closures):
        return []
    today = _day(now, voice)
    coming = about.span is not None and _day(about.span.first, voice) <= today
    events = any(_day(one.starts, voice) == today and not one.called_off for one in about.days)
    return [voice.say("first.held")] if coming or events or about.round else []


def _day(moment: datetime, voice: Voice) -> date:
    return moment.astimezone(voice.knowledge.club.zone).date()


def _closed(about: Touched, closures: Iterable[Closure], said: str, voice: Voice, now: datetime) -> list[str]:
    """That the course or a part of it is closed at the time asked about, or where and when an event is."""
    shut = [one for one in closures if one.kind not in {"held", "note"}]
    course = voice.knowledge.course
    told: list[Closure] = []
    if about.span is not None and not about.told:
        first, last = about.span.first, now if about.unread else about.span.last
        found = within(WHOLE, first, max(first, last), shut, course)
        whole = [one for one in found if holes_of(one.what, course) >= holes_of(WHOLE, course)]
        told += whole or (found if about.parts else [])
    held = [one for one in about.days if not one.called_off]
    covered = [one for one in held if _nowhere_to_play(one, shut, voice)]
    named = held if about.named else covered
    told += [closure for one in named for closure in _at_event(one, shut, voice) if not about.told]
    widest = sorted(dict.fromkeys(told), key=lambda one: -len(holes_of(one.what, course)))[:_MOST_TOLD]
    words = [closure_words(one, voice, now) for one in widest]
    words += [voice.say("first.not_off", event=capital(_name(one, voice))) for one in covered]
    return [one for one in words if one not in said]


def _at_event(one: EventDay, closures: Iterable[Closure], voice: Voice) -> list[Closure]:
    """The closures of where an event is held, while it is; a single hole is played around."""
    course = voice.knowledge.course
    found = within(one.event.loop or WHOLE, one.starts, _ends(one), closures, course)
    return [closure for closure in found if not closure.what.isdigit()]


def _nowhere_to_play(one: EventDay, closures: Iterable[Closure], voice: Voice) -> bool:
    """Whether all of where an event is held is closed while it is."""
    course = voice.knowledge.course
    wanted = holes_of(one.event.loop or WHOLE, course)
    return any(holes_of(closure.what, course) >= wanted for closure in _at_event(one, closures, voice))


def _off(about: Touched, said: str, voice: Voice) -> list[str]:
    """That the event day is called off, where the answer does not tell."""
    words: list[str] = []
    off = voice.say("events.called_off_short", event="").strip()
    for one in about.days:
        day = voice.dated(_day(one.starts, voice))
        if not one.called_off or (off in said and (day in said or _name(one, voice).casefold() in said.casefold())):
            continue
        reason = voice.say("events.reason", reason=one.reason.to(voice.language)) if one.reason else ""
        words.append(voice.say("events.called_off", event=capital(_name(one, voice)), day=day, reason=reason))
    return words


def _moved(about: Touched, said: str, voice: Voice) -> list[str]:
    """That the event day is at another hour or place than usual, or on another day, where an answer speaks of it and does not tell."""
    if not said or not about.named:
        return []
    words: list[str] = []
    for one in about.days:
        hour, meet = voice.hour(one.starts), one.meet.to(voice.language)
        if one.called_off or not changed(one, voice.knowledge.club.zone) or (hour in said and meet in said):
            continue
        day = voice.dated(_day(one.starts, voice))
        words.append(voice.say("first.moved", event=capital(_name(one, voice)), day=day, time=hour, meet=meet))
    return words


def _name(one: EventDay, voice: Voice) -> str:
    return one.event.name.to(voice.language)


def _fitting(
    before: Sequence[str], sentences: Sequence[str], shortened: Sequence[bool], introduction: str, ask: Ask
) -> list[str]:
    """What comes first and the answers, as much as fits: of several things the last may be left out, an answer that is told in general
    loses its last sentences.
    """
    first, kept = list(before), list(sentences)

    def fits() -> bool:
        return ask.voice.fits(" ".join([*first, *kept, introduction]).strip())

    while not fits() and len(first) > _MOST_TOLD:
        first.pop()
    while not fits():
        long = [at for at, one in enumerate(kept) if shortened[at] and ". " in one]
        if long:
            at = max(long, key=lambda at: len(kept[at]))
            kept[at] = f"{kept[at].rpartition('. ')[0]}."
        elif len(first) > 1:
            first.pop()
        else:
            break
    return [*first, *kept]
