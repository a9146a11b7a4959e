"""How long it stays light, and whether a round fits before dark: from now or from the hour that was said, for as many players as were told of."""

from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta

from clubbot.conversation.ask import Ask
from clubbot.conversation.phrasing import Voice
from clubbot.course.daylight import Fit, Sun, depends_on_people, fit, minutes_for, sizes, sun_on
from clubbot.course.hours import locked_on
from clubbot.course.status import holes_of
from clubbot.model.club import Knowledge
from clubbot.model.exchange import LEANS_FOR, Exchange, Spoken
from clubbot.model.intents import RSVPS, AskDaylight, Intent
from clubbot.understanding.leaning import Leaning

# A round that ends so shortly before sunset is tight.
_TIGHT = timedelta(minutes=15)
# Holes of a part of the course that is asked about as a round.
_A_ROUND = 2
# "Start by 18:05": nobody needs it to the minute.
_TO_MINUTES = 5


def remembered(intent: Intent, ask: Ask) -> Intent:
    """A question about the light with the players and the hour that were told in the texts before it."""
    if not isinstance(intent, AskDaylight):
        return intent
    lately = [one for one in ask.known.dialogue.exchanges if ask.now - one.at <= LEANS_FOR]
    before = next((spoken for one in lately for spoken in one.intents if spoken.intent == "daylight"), None)
    people = intent.people or next((found for one in lately if (found := _players(one, ask)) is not None), None)
    when = intent.when
    if when is None and before is not None and not ask.said.says("asks of now"):
        begin = (
            ask.said.says("asks when to begin") and before in lately[0].intents
        )  # of tomorrow, where that was asked about
        when = before.when if begin or _has_an_hour(before) else None
    return replace(intent, people=people, when=when)


def _has_an_hour(spoken: Spoken) -> bool:
    return spoken.when is not None and spoken.when.at is not None and not spoken.when.part_of_day


def _players(exchange: Exchange, ask: Ask) -> int | None:
    """How many play, by a text before; who comes to an event is no such number."""
    if ask.reading is None or any(one.intent in RSVPS or one.event is not None for one in exchange.intents):
        return None
    told = next((one.people for one in exchange.intents if one.intent == "daylight" and one.people), None)
    return told or ask.reading.anew(exchange.text).people.party.total


def of_the_light(lean: Leaning, kept: Spoken, one: Spoken, knowledge: Knowledge) -> Spoken | None:
    """Another round, more players or another day after `one`, as `kept` has them: "just that loop then?", "and tomorrow?", which is at the
    same hour; None where a single hole is asked about.
    """
    if lean.place is not None:
        holes = holes_of(lean.place, knowledge.course)
        return None if len(holes) < _A_ROUND else replace(kept, place=None, holes=len(holes))
    when, before = kept.when, one.when
    if when is None or when.at is not None or when.first != when.last or before is None or before.at is None:
        return kept
    if before.part_of_day:
        return kept
    hour = before.at.replace(year=when.first.year, month=when.first.month, day=when.first.day)
    return replace(kept, when=replace(when, at=hour))


def of_a_round(ask: Ask) -> AskDaylight | None:
    """ "6 first?", "just that loop then", right after the light was spoken of: the same for so many holes."""
    exchange = ask.known.exchange
    if exchange is None or ask.now - exchange.at > LEANS_FOR or ask.reading is None:
        return None
    before = next((one for one in exchange.intents if one.intent == "daylight"), None)
    match = ask.said.first("so many holes") if before is not None else None
    if before is None or match is None:
        return None
    course = ask.voice.knowledge.course
    numbers = [word.number for word in ask.said.words(match) if word.number is not None]
    holes = next((int(one) for one in numbers if one in sizes(course)), None)
    return AskDaylight(holes, before.people, before.when) if holes is not None else None


def daylight(asked: AskDaylight, voice: Voice, now: datetime, *, begin: bool = False) -> str:
    """When it gets dark; whether the round asked about still fits; by when one must `begin`."""
    knowledge = voice.knowledge
    zone, course = knowledge.club.zone, knowledge.course
    today = now.astimezone(zone).date()
    day = asked.when.first if asked.when is not None else today
    sun = sun_on(day, course, zone)
    if sun.sets is None:
        key = "daylight.all_light" if sun.endless == "light all day" else "daylight.all_dark"
        return voice.say(key, day=voice.day(day, today))
    at = asked.when.at if asked.when is not None else None
    # "When is it dark tonight" asks for no round from six on, though the evening has an hour; "from 6 on" does.
    from_an_hour = at is not None and asked.when is not None and not asked.when.part_of_day
    wants_fit = asked.holes is not None or asked.people is not None or from_an_hour or begin
    if day == today and now > sun.sets:
        tomorrow = sun_on(today + timedelta(days=1), course, zone)
        sunrise = voice.hour(tomorrow.rises) if tomorrow.rises else ""
        return voice.say("daylight.sunset_past", sunset=voice.hour(sun.sets), sunrise=sunrise)
    locked = _locked(day, voice)
    another_day = at is None and day != today
    if not wants_fit or (another_day and asked.holes is None and not begin):
        return voice.say("daylight.sunset", sunset=voice.hour(sun.sets), day=voice.day(day, today))
    starts = at or (now if not another_day else sun.rises or sun.sets)
    found = fit(asked.holes or len(course.holes), asked.people, starts, course, zone)
    if another_day or (begin and found.fits):
        return _begin_by(found, asked, sun, voice, now, locked)
    return _fitting(found, asked, sun, voice, locked)


@dataclass(frozen=True, slots=True)
class Locked:
    """What is locked that day, such as the gate of the car park, and when."""

    name: str
    at: datetime


def _locked(day: date, voice: Voice) -> Locked | None:
    """What whoever parked must be out of; None where the club's files know of no such hour."""
    knowledge = voice.knowledge
    found = locked_on(knowledge.course.hours, "parking", day)
    if found is None:
        return None
    return Locked(found[0].name.to(voice.language), datetime.combine(day, found[1], knowledge.club.zone))


def _begin_by(
    found: Fit, asked: AskDaylight, sun: Sun, voice: Voice, now: datetime, locked: Locked | None = None
) -> str:
    """ "Start by 18:05", a quarter of an hour before it would be tight."""
    assert sun.sets is not None
    zone = voice.knowledge.club.zone
    latest = (sun.sets - timedelta(minutes=found.minutes) - _TIGHT).astimezone(zone)
    gate = _is_first(locked, latest + timedelta(minutes=found.minutes))
    if gate is not None:
        latest = gate.at - timedelta(minutes=found.minutes)
    latest = latest.replace(minute=latest.minute - latest.minute % _TO_MINUTES, second=0, microsecond=0)
    if latest <= now:
        return _fitting(found, asked, sun, voice, locked)
    day = voice.day(latest.date(), now.astimezone(zone).date())
    said = _plain(
        voice.say("daylight.begin", begin_by=voice.hour(latest), day=day, **_values(found, asked, sun, voice))
    )
    return said if gate is None else f"{said} {_and_the_gate(gate, voice)}"


def _is_first(locked: Locked | None, ends: datetime) -> Locked | None:
    """What is locked before a round ends."""
    return locked if locked is not None and locked.at < ends else None


def _and_the_gate(locked: Locked, voice: Voice) -> str:
    return voice.say("daylight.gate", gate=locked.name, time=voice.hour(locked.at))


def _values(found: Fit, asked: AskDaylight, sun: Sun, voice: Voice) -> dict[str, object]:
    """What the sentences say of a round; how many play only where it was told, or where it makes a difference."""
    assert sun.sets is not None
    people = ""
    if asked.people is not None or depends_on_people(found.holes, voice.knowledge.course.rounds):
        key = "daylight.people_one" if found.people == 1 else "daylight.people"
        people = voice.say(key, people=found.people)
    return {
        "holes": found.holes,
        "people": people,
        "length": voice.length(found.minutes),
        "sunset": voice.hour(sun.sets),
    }


def _fitting(found: Fit, asked: AskDaylight, sun: Sun, voice: Voice, locked: Locked | None = None) -> str:
    assert sun.sets is not None  # asked only where there is a sunset
    assert found.begin_by is not None
    values = _values(found, asked, sun, voice)
    gate = _is_first(locked, found.ends)
    until = sun.sets if gate is None else min(sun.sets, gate.at)
    if gate is not None and found.fits:
        shorter = _shorter(found, until, voice) if gate.at > found.starts else ""
        values |= {"gate": gate.name, "time": voice.hour(gate.at), "ends": voice.hour(found.ends)}
        shorter = shorter or voice.say("daylight.gate_short")
        return _plain(voice.say("daylight.gate_first", **values, shorter=shorter))
    if found.fits and sun.sets - found.ends >= _TIGHT:
        begin_by = found.begin_by - _TIGHT
        if locked is not None:
            begin_by = min(begin_by, locked.at - timedelta(minutes=found.minutes))
        return _plain(voice.say("daylight.fits", **values, begin_by=voice.hour(begin_by)))
    if found.fits:
        return _plain(voice.say("daylight.tight", **values, ends=voice.hour(found.ends)))
    key = "daylight.too_late" if found.holes == len(voice.knowledge.course.holes) else "daylight.too_long"
    said = _plain(voice.say(key, **values, shorter=_shorter(found, until, voice)))
    return said if gate is None else f"{said} {_and_the_gate(gate, voice)}"


def _shorter(found: Fit, until: datetime, voice: Voice) -> str:
    """Which shorter rounds would end in good time, else which one just before sunset, or before something is locked."""
    course = voice.knowledge.course
    spare = {
        holes: until - found.starts - timedelta(minutes=minutes_for(holes, found.people, course.rounds))
        for holes in sizes(course)
        if holes < found.holes
    }
    well = [str(holes) for holes, left in spare.items() if left >= _TIGHT]
    if len(well) > 1:
        return voice.say("daylight.shorter_any", holes=f"{', '.join(well[:-1])} {voice.say('or')} {well[-1]}")
    barely = [holes for holes, left in spare.items() if left >= timedelta()]
    if not barely:
        return voice.say("daylight.none_fits")
    holes = int(well[0]) if well else barely[0]
    length = voice.length(minutes_for(holes, found.people, course.rounds))
    return voice.say("daylight.shorter" if well else "daylight.shorter_tight", holes=holes, length=length)


def _plain(said: str) -> str:
    """Without the gap where nobody told how many play."""
    return said.replace("  ", " ").replace(" ,", ",")


def round_takes(holes: int, voice: Voice) -> str:
    """How long so many holes take as many people as usual."""
    return voice.length(minutes_for(holes, 1, voice.knowledge.course.rounds))
