"""How much all phones together may ask of the club's people, and of an event's places. A hundred numbers that nobody has seen before may be
one forger's: what is above a line is kept, counted and listed, and what would hurt somebody always passes.
"""

from dataclasses import dataclass, replace
from datetime import datetime, timedelta

from clubbot.conversation.ask import Ask, Served
from clubbot.conversation.flood import handed_kind, too_many
from clubbot.events.days import EventDay
from clubbot.model.club import Knowledge
from clubbot.model.effects import HandOver, LetThrough, TellPerson
from clubbot.model.known import Known, Sender
from clubbot.model.rsvps import DayId

# So long after its first text a number counts as never seen before.
NEW_FOR = timedelta(days=1)
# Of so many phones that cry for help within ten minutes the first text is told singly at once; of the others by number, every two minutes.
MOST_ALARMS = 5
ALARM_WITHIN = timedelta(minutes=10)
# Trees and broken baskets, from all phones an hour: more than a storm brings, less than a forger would.
MOST_HAZARDS = 10
# Notes an hour to the club's people about phones that are left alone, and about orders from phones that are none of the club's.
MOST_NOTES = 4
# Cries for help, and what their writers add, are counted by themselves.
_ALWAYS = frozenset({"danger", "detail"})


@dataclass(frozen=True, slots=True)
class Room:
    """What is counted together, and how many an hour are told singly."""

    kind: str
    most: int


def is_new(known: Known, knowledge: Knowledge, now: datetime) -> bool:
    """Whether nobody has seen this number before: its first text came within a day, it was at no event, and it is none of the club's."""
    if known.came or _of_the_club(known.sender, knowledge):
        return False
    first = known.sender.first_seen
    return first is None or timedelta() <= now - first < NEW_FOR


def _of_the_club(sender: Sender, knowledge: Knowledge) -> bool:
    return any(person.number == sender.number for person in knowledge.people)


def bounded(served: Served, ask: Ask) -> Served:
    """What is passed to a person is kept instead, and the asker told so, where the phone or all phones together have asked too much."""
    handed = next((one for one in served.effects if isinstance(one, HandOver) and one.reason not in _ALWAYS), None)
    if handed is None:
        return served
    if _of_the_club(ask.known.sender, ask.voice.knowledge):
        return served
    kind = handed_kind(handed.reason)
    if too_many(kind, ask.known) is not None:
        return _kept(served, handed, ask, to_thread=True)
    room = _room(handed, ask)
    if ask.known.crowd.of(room.kind).texts >= room.most:
        return _kept(served, handed, ask, to_thread=False)
    return replace(served, effects=(LetThrough(kind=room.kind, most=room.most), *served.effects))


def _room(handed: HandOver, ask: Ask) -> Room:
    club = ask.voice.knowledge.club
    if handed.reason == "hazard":
        return Room("hazard", MOST_HAZARDS)
    new = is_new(ask.known, ask.voice.knowledge, ask.now)
    most = club.questions_an_hour_new if new else club.questions_an_hour_known
    whose = "new" if new else "known"
    # What goes on with a question is told too, up to as many again.
    return Room(f"more of {whose}" if handed.again is not None else f"question of {whose}", most)


def _kept(served: Served, handed: HandOver, ask: Ask, *, to_thread: bool) -> Served:
    """Nobody is told of it now; it waits in the list. The course keeper's report and the report itself stay as they are."""
    thread = ask.known.thread
    again = handed.again
    if to_thread and again is None and thread is not None and thread.open and thread.reason != "danger":
        again = thread.number
    keep = replace(handed, kept=True, again=again, next_at=None, due=None)
    effects = tuple(keep if one is handed else one for one in served.effects if not isinstance(one, TellPerson))
    key = "crowd.added" if again is not None else "crowd.kept"
    if handed.reason == "hazard":
        key = "crowd.hazard"
    return replace(served, sentence=ask.voice.say(key), effects=effects)


def noted(kind: str, known: Known, note: TellPerson) -> tuple[LetThrough | TellPerson, ...]:
    """A note about what strangers do, as long as there were not many within the hour."""
    if known.crowd.of(kind).texts >= MOST_NOTES:
        return ()
    return LetThrough(kind=kind, most=MOST_NOTES), note


def alarm_told(known: Known) -> bool:
    """Whether one more phone's cry is told singly at once."""
    return known.crowd.of("alarm").lately < MOST_ALARMS


def sign_up_kind(on: DayId) -> str:
    """Under what the sign-ups of new numbers for a day are counted."""
    return f"sign-up {on.event} {on.day.isoformat()}"


def asks_once_more(one: EventDay, on: DayId, people: int, ask: Ask) -> bool:
    """Whether a number that nobody has seen before has to confirm: many of them signed up for that day within the hour, and their share
    of the places is given. A forged number never sees the question.
    """
    knowledge = ask.voice.knowledge
    if not is_new(ask.known, knowledge, ask.now):
        return False
    through = ask.known.crowd.of(sign_up_kind(on))
    if through.texts < knowledge.club.many_new_sign_ups:
        return False
    most = knowledge.club.new_people_an_hour
    if one.event.places is not None:
        most = int(one.event.places * one.event.share_for_new)
    return through.people + people > most


def counted(on: DayId, people: int, ask: Ask) -> tuple[LetThrough, ...]:
    """A new number's sign-up counts; that the places are still as they were is looked at anyway when it is written."""
    if not is_new(ask.known, ask.voice.knowledge, ask.now):
        return ()
    return (LetThrough(kind=sign_up_kind(on), people=people),)
