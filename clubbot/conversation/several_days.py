"""One answer for several days: "every wednesday in june", "the next three", "both days"; and "not this wednesday, the one after" for one."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import date

from clubbot.conversation.ask import Ask, Served
from clubbot.conversation.coming import answer
from clubbot.conversation.occasions import headcount
from clubbot.conversation.serve import serve
from clubbot.conversation.the_next import asks_of
from clubbot.conversation.which_day import which_day
from clubbot.events.choosing import Meant, id_of
from clubbot.events.days import EventDay, open_to_answers
from clubbot.model.effects import Effect, KeepRsvp, SpeakOf
from clubbot.model.exchange import LEANS_FOR
from clubbot.model.intents import Rsvp, RsvpKind
from clubbot.model.rsvps import Rsvp as Kept
from clubbot.understanding.once import Reading

# So many days are answered to by one text at most.
MOST_DAYS = 6
_BOTH = 2
# Words that name several days.
_FEWEST = 2


def several_days(ask: Ask, reading: Reading) -> Served | None:
    """The answer taken for each of the days; None where the text means no several, or is no answer."""
    if reading.noticed.says("skips one"):
        return _the_one_after(ask, reading)
    both = reading.noticed.says("both days")
    if both or reading.noticed.says("all of these days"):
        days = _told_of(ask)
        fits = len(days) == _BOTH if both else len(days) > 1
        return _each(days, replace(reading.answer, kind="rsvp-yes"), ask) if fits else None
    if len(reading.text.split()) < _FEWEST:
        return None
    kinds = [one.kind for one in reading.intents if isinstance(one, Rsvp)]
    if not kinds or len(kinds) < len(reading.intents) or kinds[0] == "rsvp-change":
        return None
    days = _meant(ask, reading, kinds[0])
    return _each(days, replace(reading.answer, kind=kinds[0]), ask) if len(days) > 1 else None


def _meant(ask: Ask, reading: Reading, kind: RsvpKind) -> list[EventDay]:
    """All days of one event that the text means: within the month that it names, or so many of the next."""
    said, knowledge = reading.answer, ask.voice.knowledge
    span, most = _month(reading), _so_many(reading)
    every = said.every or reading.noticed.says("every one of them")
    if most is None and not (every and span is not None):
        return []
    events = [one for one in knowledge.events if said.event in {None, one.id} and not one.one_entry]
    coming = [one for one in open_to_answers(events, ask.now, knowledge.club.zone) if one.starts > ask.now]
    zone, weekday = knowledge.club.zone, _weekday(said)
    found = [
        one
        for one in coming
        if (span is None or span[0] <= one.starts.astimezone(zone).date() <= span[1])
        and (said.event is not None or one.starts.astimezone(zone).weekday() == weekday)
    ]
    if kind == "rsvp-no":
        found = [one for one in found if (held := ask.known.rsvps.get(id_of(one))) is not None and held.state != "off"]
    if len({one.event.id for one in found}) != 1:
        return []
    return found[: most or len(found)]


def _weekday(said: Rsvp) -> int | None:
    return said.when.first.weekday() if said.when is not None and said.when.weekday else None


def _month(reading: Reading) -> tuple[date, date] | None:
    """The month that all days are in."""
    found = reading.noticed.first("in that month")
    if found is None:
        return None
    words = reading.noticed.words(found)
    when = reading.anew(reading.text[words[0].start : words[-1].end]).when
    return (when.first, when.last) if when is not None and when.dated and when.first < when.last else None


def _so_many(reading: Reading) -> int | None:
    """ "The next three wednesdays": so many."""
    found = reading.noticed.first("the next so many")
    numbers = [word.number for word in reading.noticed.words(found) if word.number is not None] if found else []
    return numbers[0] if numbers and numbers[0] > 1 else None


def _told_of(ask: Ask) -> list[EventDay]:
    """The days that the sender was just told of."""
    exchange, knowledge = ask.known.exchange, ask.voice.knowledge
    if exchange is None or ask.now - exchange.at > LEANS_FOR:
        return []
    zone = knowledge.club.zone
    when = next((one.when for one in reversed(exchange.intents) if one.intent == "events"), None)
    if when is None or not when.dated:
        return []
    days = open_to_answers(knowledge.events, ask.now, zone)
    return [
        one
        for one in days
        if one.starts > ask.now and when.first <= one.starts.astimezone(zone).date() <= when.last and not one.called_off
    ][:MOST_DAYS]


def _each(days: Sequence[EventDay], said: Rsvp, ask: Ask) -> Served:
    """Each day answered to by itself; those that went alike are said in one sentence."""
    voice = ask.voice
    alike: list[tuple[EventDay, Kept]] = []
    others: list[str] = []
    effects: list[Effect] = []
    for one in days[:MOST_DAYS]:
        served = answer(replace(said, on=id_of(one), when=None, event=None, every=False, unclear=None), ask)
        kept = next((e.rsvp for e in served.effects if isinstance(e, KeepRsvp) and e.on == id_of(one)), None)
        effects += [e for e in served.effects if not isinstance(e, SpeakOf)]
        if kept is not None and kept.state in {"coming", "off"}:
            alike.append((one, kept))
        else:
            others.append(served.sentence)
    sentences = [_alike(alike, ask)] if alike else []
    if len(days) > MOST_DAYS:
        others.append(voice.say("several.more", most=MOST_DAYS))
    first = alike[0] if alike else None
    if first is not None:
        effects.append(SpeakOf(on=id_of(first[0]), intent=said.kind, people=first[1].people))
    return Served(sentence=" ".join([*sentences, *others]), effects=tuple(effects), event=days[0].event.id, intent=said)


def _alike(alike: Sequence[tuple[EventDay, Kept]], ask: Ask) -> str:
    voice, zone = ask.voice, ask.voice.knowledge.club.zone
    days = [voice.dated(one.starts.astimezone(zone).date()) for one, _ in alike]
    names = list(dict.fromkeys(one.event.name.to(voice.language) for one, _ in alike))
    if len(names) > 1:
        days = [f"{one.event.name.to(voice.language)} {day}" for (one, _), day in zip(alike, days, strict=True)]
    kept = alike[0][1]
    if kept.state == "off":
        return voice.say("several.off", event=names[0], days=voice.joined(days))
    people = headcount(kept.people, voice)
    key = "several.coming" if len(names) == 1 else "several.mixed"
    return voice.say(key, event=names[0], people=people, days=voice.joined(days))


def _the_one_after(ask: Ask, reading: Reading) -> Served | None:
    """ "In for league, not this wed, the one after": that day alone; without an answer in it, what is on then."""
    said = reading.answer
    meant = which_day(None, said.event, said.when, ask)
    if not isinstance(meant, Meant) or said.when is None or not said.when.dated:
        return None
    if ask.said.says("coming by itself") or any(
        isinstance(one, Rsvp) and one.kind == "rsvp-yes" for one in reading.intents
    ):
        return answer(replace(said, kind="rsvp-yes", on=id_of(meant.day), when=None), ask)
    told = serve(asks_of(meant.day, ask.voice.knowledge.club.zone), ask)
    return replace(told, effects=(SpeakOf(on=id_of(meant.day), intent="events"),))
