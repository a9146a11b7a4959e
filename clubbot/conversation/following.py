"""What a leaning text means after what was last served: the same intent with a new detail, or a side of the event or topic spoken of."""

from collections.abc import Mapping, Sequence, Set
from dataclasses import dataclass, replace
from datetime import datetime

from clubbot.conversation.light import of_the_light
from clubbot.conversation.the_next import the_next_hole, the_one_after
from clubbot.course.daylight import sizes
from clubbot.events.days import between
from clubbot.model.club import Knowledge
from clubbot.model.exchange import Spoken
from clubbot.model.intents import (
    REPORTS,
    RSVPS,
    AskDaylight,
    AskEvents,
    AskMyRsvps,
    AskPerson,
    AskPlaces,
    AskReminder,
    AskStatus,
    AskTopic,
    Danger,
    ForAPerson,
    Greet,
    Intent,
    Party,
    Report,
    Rsvp,
    Stop,
    TellName,
    Thank,
    When,
    intent_id,
)
from clubbot.model.rsvps import DayId
from clubbot.understanding.leaning import Leaning, Side

# Topics whose own answer tells this side of them.
_TOLD_BY_ITSELF: Mapping[Side, Set[str]] = {
    "cost": {"borrow", "buy", "membership", "pay", "donate", "groups", "parking"},
    "where": {"buy", "parking", "facilities", "first-tee"},
    "time": {"borrow", "parking", "facilities", "hours", "busy", "night"},
    "until": {"borrow", "parking", "facilities", "hours"},
    "long": {"borrow", "rules-time", "rules-lost", "groups"},
    "children": {"membership"},
    "level": {"layout", "which-disc", "handicap"},
    "reduced": {"membership", "access"},
    "rain": {"safety"},
    "winter": {"facilities", "parking"},
    "sign-up": {"groups"},
    "how": {"borrow", "membership", "pay", "donate", "volunteer", "groups", "start", "improve-throw"},
}
# Which topic tells it for another one.
_TOLD_ELSEWHERE: Mapping[tuple[Side, str], str] = {
    ("reduced", "cost"): "membership",
    ("reduced", "pay"): "membership",
    ("best", "holes"): "layout",
    ("best", "layout"): "layout",
    ("best", "children"): "children",
    ("best", "access"): "access",
    ("best", "start"): "which-disc",
    ("best", "which-disc"): "which-disc",
    ("best", "buy"): "which-disc",
    ("best", "borrow"): "which-disc",
    ("level", "holes"): "layout",
    ("level", "buy"): "which-disc",
    ("level", "borrow"): "which-disc",
    ("until", "status"): "hours",
    ("time", "status"): "hours",
}
# The topic that tells it in general, whatever was spoken of.
_IN_GENERAL: Mapping[Side, str] = {
    "cost": "cost",
    "where": "where",
    "until": "hours",
    "long": "duration",
    "children": "children",
    "level": "start",
    "rain": "weather-policy",
    "winter": "winter",
    "sign-up": "cost",
    "dogs": "dogs",
    "parking": "parking",
}
# What a bare question means where nothing has been said before.
_AT_FIRST: frozenset[Side] = frozenset({"cost", "where"})
# Sides that are the same at every event.
_NOT_OF_AN_EVENT: frozenset[Side] = frozenset({"rain", "dogs", "parking"})
# What is asked of an event with one word, and of the course with another.
_OF_THE_COURSE: Mapping[Side, Side] = {"arrive": "time", "sign-up hour": "sign-up"}
# Why and how are told by the answer itself, where it is worked out at the moment of asking.
_TELLS_WHY = frozenset({"status", "events"})
# What is true of these holds on any day, or in any part of the course.
_ON_ANY_DAY = frozenset({"busy", "borrow", "cost", "parking", "facilities", "duration"})
_ANYWHERE = frozenset({"layout", "holes", "access", "children", "duration", "busy", "etiquette", "rules-ob"})
# What is asked in general and then of an event: a "yes" would be said of the course.
AT_AN_EVENT = "at an event"
# Said at events as well.
_AT_EVENTS = frozenset({"dogs", "weather-policy", "park-rules"})
# What is asked in general is asked of an event that is named then: "how much is it", "and the league?"
_AS_SIDE: Mapping[str, str] = {"cost": "cost", "where": "where", "duration": "long"}
_TIMES = frozenset({"hours", "busy"})
# "And for kids?" after these is the same question about children.
_WITH_CHILDREN = frozenset({"cost", "borrow", "buy", "which-disc", "layout", "duration"})
_ABOUT_CHILDREN = frozenset({"children", "family-day", "membership"})


@dataclass(frozen=True, slots=True)
class Followed:
    """What a leaning text wants; `beside` is said too as long as it fits. `event` goes on being what is spoken of."""

    intent: Intent
    beside: Intent | None = None
    event: str | None = None


def followed(lean: Leaning, spoken: Sequence[Spoken], knowledge: Knowledge, now: datetime) -> Followed | None:
    """What the text wants after what was spoken of; None where that does not tell."""
    if lean.side is not None:
        return _side(lean.side, lean.joined, spoken, knowledge)
    if lean.following:
        after = the_next_hole(spoken, knowledge) or the_one_after(spoken, knowledge, now)
        return Followed(after) if after is not None else None
    if lean.open:
        return None
    worked_out = [one for one in spoken if one.intent not in knowledge.answers]
    written = [one for one in spoken if one.intent in knowledge.answers]
    for one in (*reversed(worked_out), *reversed(written)):
        intent = _with_detail(lean, one, knowledge, now)
        if intent is not None:
            return Followed(intent)
    return None


def at_first(lean: Leaning) -> AskTopic | None:
    """What a bare question means with nothing before it: the general answer."""
    return AskTopic(_IN_GENERAL[lean.side]) if lean.side in _AT_FIRST else None


def tells(side: Side, one: Spoken) -> bool:
    """Whether what was said tells this side of it by itself, or a topic next to it does."""
    return one.intent in _TOLD_BY_ITSELF.get(side, ()) or (side, one.intent) in _TOLD_ELSEWHERE


def _side(side: Side, joined: bool, spoken: Sequence[Spoken], knowledge: Knowledge) -> Followed | None:
    event = next((one.event for one in reversed(spoken) if one.event is not None), None)
    if event is not None and side in _NOT_OF_AN_EVENT:
        return Followed(AskTopic(_IN_GENERAL[side]), event=event)
    if event is not None:
        return _of_event(side, event, spoken, knowledge)
    side = _OF_THE_COURSE.get(side, side)
    last = spoken[-1] if spoken else None
    if last is not None and side == "children" and joined and last.intent in _WITH_CHILDREN:
        return Followed(AskTopic(last.intent), AskTopic("children"))
    for one in reversed(spoken):
        if (side == "why" and one.intent in _TELLS_WHY) or (side == "until" and one.intent == "daylight"):
            return Followed(as_intent(one))
        topic = _TOLD_ELSEWHERE.get((side, one.intent))
        if topic is None and one.intent in _TOLD_BY_ITSELF.get(side, ()):
            topic = one.intent
        if topic is not None:
            return Followed(AskTopic(topic))
    general = _IN_GENERAL.get(side)
    return Followed(AskTopic(general)) if general is not None else None


def _of_event(side: Side, event: str, spoken: Sequence[Spoken], knowledge: Knowledge) -> Followed | None:
    topic = knowledge.event(event).topic
    if topic not in knowledge.answers:  # added by text
        return Followed(AskEvents(event, None))
    match side:
        case "cost":
            return Followed(AskTopic(topic, "cost"))
        case "where":
            return Followed(AskTopic(topic, "where"), AskTopic("where"))
        case "long" | "until" | "arrive" | "sign-up hour":
            return Followed(AskTopic(topic, side))
        case "time":
            when = next((one.when for one in reversed(spoken) if one.event == event), None)
            return Followed(AskEvents(event, when))
        case "why":
            called_off = next((one for one in reversed(spoken) if one.intent in _TELLS_WHY), None)
            return Followed(as_intent(called_off)) if called_off is not None else None
        case "children" if topic not in _ABOUT_CHILDREN:
            return Followed(AskTopic(topic), AskTopic("children"))
        case "best":
            return None
        case _:
            return Followed(AskTopic(topic))


def _with_detail(lean: Leaning, one: Spoken, knowledge: Knowledge, now: datetime) -> Intent | None:
    """The same intent with what the text names in the place of what it named before."""
    if lean.number is not None and one.intent == "daylight" and lean.number in sizes(knowledge.course):
        return as_intent(replace(one, holes=lean.number))
    if lean.number is not None:
        numbered = one.place is not None and one.place.isdigit() and not (lean.asks and one.intent != "status")
        return as_intent(replace(one, place=str(lean.number))) if numbered else None
    kept = replace(
        one,
        event=lean.event or one.event,
        when=_later(one.when, lean.when, now),
        place=lean.place or one.place,
        people=lean.people or one.people,
        holes=lean.holes or one.holes,
    )
    if one.intent in RSVPS:
        return _answer(lean, kept, one)
    match one.intent:
        case "status":
            return AskEvents(lean.event, lean.when) if lean.event is not None else as_intent(kept)
        case "events":
            return _events(lean, one, knowledge)
        case "places" | "my-rsvps" | "remind" if lean.event is not None or lean.when is not None:
            return as_intent(replace(kept, event=lean.event or _event_then(one, lean.when, knowledge), when=lean.when))
        case "daylight" if lean.event is None:
            again = of_the_light(lean, kept, one, knowledge)
            return as_intent(again) if again is not None else None
        case "hazard" | "lost-disc" | "found-disc" if lean.place is not None and not lean.asks:
            return as_intent(kept)
        case _:
            return _of_topic(lean, one, knowledge)


def _later(before: When | None, said: When | None, now: datetime) -> When | None:
    """The time named now; an hour alone is one of the day that was spoken of."""
    if said is None or said.dated or before is None or said.at is None or not before.dated:
        return said or before
    if before.first != before.last:
        return said
    return replace(
        before,
        part_of_day=said.part_of_day,
        at=said.at.replace(year=before.first.year, month=before.first.month, day=before.first.day),
    )


def _answer(lean: Leaning, kept: Spoken, one: Spoken) -> Intent | None:
    """One more answer to an event. A question about another day is no answer: it is told what is on."""
    if lean.event is None and (lean.when is None or not lean.when.dated):
        return None
    if lean.asks:
        return AskEvents(lean.event, lean.when)
    return as_intent(replace(kept, event=lean.event, when=lean.when))


def _events(lean: Leaning, one: Spoken, knowledge: Knowledge) -> Intent | None:
    if lean.place is not None:
        return AskStatus(lean.place, lean.when or one.when)
    if lean.event is not None:
        return AskEvents(lean.event, lean.when or (one.when if one.event is None else None))
    return AskEvents(_event_then(one, lean.when, knowledge), lean.when) if lean.when is not None else None


def _event_then(one: Spoken, when: When | None, knowledge: Knowledge) -> str | None:
    """The event spoken of, where it is on in those days too; else whatever is on then is meant."""
    if one.event is None or when is None:
        return one.event
    days = between([knowledge.event(one.event)], when.first, when.last, knowledge.club.zone)
    return one.event if days else None


def _of_topic(lean: Leaning, one: Spoken, knowledge: Knowledge) -> Intent | None:
    if one.intent not in knowledge.answers:
        return None
    if one.side == "cost" and lean.people is not None and lean.event is None and lean.when is None:
        return AskTopic(one.intent, one.side, people=lean.people)
    if lean.event is not None and one.intent in _TIMES:
        return AskEvents(lean.event, lean.when)
    if (
        lean.event is not None
        and one.intent not in _AT_EVENTS
        and knowledge.event(lean.event).topic in knowledge.answers
    ):
        return AskTopic(knowledge.event(lean.event).topic, _AS_SIDE.get(one.intent, one.side))
    if one.event is not None and lean.when is not None:
        return AskEvents(_event_then(one, lean.when, knowledge), lean.when)
    if one.intent in _AT_EVENTS and lean.event is not None:
        return AskTopic(one.intent, AT_AN_EVENT)
    if lean.place is not None:
        return AskTopic(one.intent) if one.intent in _ANYWHERE else AskStatus(lean.place, lean.when)
    if one.intent in {"hours", "winter", "weather-policy", "start"} and lean.when is not None:
        return AskStatus("course", lean.when)
    if one.intent == "duration" and (lean.holes is not None or lean.people is not None):
        return AskTopic("duration")
    return AskTopic(one.intent) if one.intent in _ON_ANY_DAY and lean.when is not None else None


def as_intent(one: Spoken) -> Intent:
    """The intent again, with the details that were spoken of."""
    for report in REPORTS:
        if one.intent == report:
            hole = int(one.place) if one.place and one.place.isdigit() else None
            return Report(report, hole, part=one.place if hole is None else None)
    for rsvp in RSVPS:
        if one.intent == rsvp:
            return Rsvp(rsvp, one.event, one.when, Party(total=one.people))
    match one.intent:
        case "status":
            return AskStatus(one.place or "course", one.when)
        case "events":
            return AskEvents(one.event, one.when)
        case "daylight":
            return AskDaylight(one.holes, one.people, one.when)
        case "my-rsvps":
            return AskMyRsvps(one.event, one.when)
        case "places":
            return AskPlaces(one.event, one.when)
        case "remind":
            return AskReminder(one.event, one.when)
        case _:
            hole = int(one.place) if one.place and one.place.isdigit() else None
            return AskTopic(one.intent, one.side, hole)


def spoken_of(intent: Intent, on: DayId | None, knowledge: Knowledge, now: datetime) -> Spoken | None:
    """An intent as it is kept, `on` being the event day that the reply speaks of; None for what nothing can lean on."""
    zone = knowledge.club.zone
    match intent:
        case Greet() | Thank() | TellName() | Stop() | Danger() | ForAPerson() | AskPerson():
            return None
        case AskStatus(what, when):
            return Spoken(intent="status", place=what, when=when)
        case AskDaylight(holes, people, when):
            return Spoken(intent="daylight", holes=holes, people=people, when=when)
        case AskEvents(None, when) if when is not None:
            then = {one.event.id for one in between(knowledge.events, when.first, when.last, zone) if one.starts > now}
            return Spoken(intent="events", event=then.pop() if len(then) == 1 else None, when=when)
        case AskEvents(event, when) | AskMyRsvps(event, when) | AskPlaces(event, when) | AskReminder(event, when):
            return Spoken(intent=intent_id(intent), event=event or (on.event if on else None), when=when)
        case Rsvp(kind, event, when, party):
            return Spoken(intent=kind, event=event or (on.event if on else None), when=when, people=party.total)
        case Report(kind, hole):
            return Spoken(intent=kind, place=str(hole) if hole is not None else intent.part)
        case AskTopic(topic, side, hole, about):
            event = (
                about.event
                if about is not None
                else next((one.id for one in knowledge.events if one.topic == topic), None)
            )
            return Spoken(intent=topic, event=event, side=side, place=str(hole) if hole is not None else None)
        case _:
            return Spoken(intent=intent_id(intent))
