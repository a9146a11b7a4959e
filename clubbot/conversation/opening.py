"""Whether something at the course is open at the moment that is asked about: the lending desk, the kitchen, the toilets, the gate."""

from collections.abc import Sequence
from datetime import timedelta

from clubbot.conversation.ask import Ask, Served
from clubbot.conversation.phrasing import Voice, capital
from clubbot.course.hours import Open, next_open, on_day, thing_of
from clubbot.model.club import Hours
from clubbot.model.exchange import LEANS_FOR
from clubbot.model.intents import When
from clubbot.understanding.dates import plain_for_dates


def opening(topic: str, ask: Ask) -> Served | None:
    """What is open at the moment asked about; None where the text asks about no moment, or about no thing whose hours are known."""
    things = _asked_about(topic, ask)
    if not things or ask.reading is None or not _asks_of_a_moment(things[0], ask):
        return None
    said = [sentence for rows in things if (sentence := _said(rows, _when(ask), ask))]
    if not said:
        return None
    answer = ask.voice.knowledge.answers.get(topic)
    more = answer.paragraphs[ask.voice.language][1:] if answer is not None and ask.alone else ()
    return Served(sentence=" ".join(said), extras=() if things[0][0].also_called else tuple(more))


def topic_of_thing(ask: Ask) -> str | None:
    """The topic of the thing that a text names and asks whether it is open, whatever a club calls it: "is the kiosk open"."""
    if not ask.said.says("asks whether it is open"):
        return None
    plain = f" {plain_for_dates(ask.text)} "
    named = {row.topic for row in ask.voice.knowledge.course.hours if _is_named(row, plain)}
    return named.pop() if len(named) == 1 else None


def _is_named(row: Hours, plain: str) -> bool:
    return any(f" {plain_for_dates(name)} " in plain for name in (row.name.en, row.name.fr, *row.also_called))


def _asked_about(topic: str, ask: Ask) -> list[tuple[Hours, ...]]:
    """The rows of each thing that the text names, else that the text before named, else of what the topic itself is about."""
    of_topic = [row for row in ask.voice.knowledge.course.hours if row.topic == topic]
    if not of_topic:
        return []
    exchange = ask.known.exchange
    going_on = exchange is not None and ask.now - exchange.at <= LEANS_FOR
    going_on = going_on and exchange is not None and any(one.intent == topic for one in exchange.intents)
    texts = [ask.text, *([exchange.text] if going_on and exchange is not None else [])]
    for text in texts:
        plain = f" {plain_for_dates(text)} "
        named = [row for row in of_topic if _is_named(row, plain)]
        if named:
            return _by_thing(named)
    return _by_thing([row for row in of_topic if not row.also_called])


def _by_thing(rows: Sequence[Hours]) -> list[tuple[Hours, ...]]:
    things = dict.fromkeys(thing_of(row) for row in rows)
    return [tuple(row for row in rows if thing_of(row) == thing) for thing in things]


def _asks_of_a_moment(rows: Sequence[Hours], ask: Ask) -> bool:
    """Whether it is of now, of a day or an hour, or whether a thing that it names is open; "can I borrow discs" asks in general."""
    if ask.said.says("asks of now") or _when(ask) is not None:
        return True
    return bool(rows[0].also_called) and ask.said.says("asks whether it is open")


def _when(ask: Ask) -> When | None:
    """The days that are asked about, also by "that day" after a text that named one; None for now."""
    if ask.reading is None:
        return None
    today = ask.now.astimezone(ask.voice.knowledge.club.zone).date()
    when = ask.reading.when
    if when is None and ask.said.says("asks of that day"):
        lately = [one for one in ask.known.dialogue.exchanges if ask.now - one.at <= LEANS_FOR]
        before = (ask.reading.anew(one.text).when for one in lately)
        when = next((one for one in before if one is not None and one.dated), None)
    return when if when is not None and when.last >= today else None


def _said(rows: Sequence[Hours], when: When | None, ask: Ask) -> str | None:
    voice, zone = ask.voice, ask.voice.knowledge.club.zone
    today = ask.now.astimezone(zone).date()
    first = max(when.first, today) if when is not None else today
    found = next_open(rows, first)
    if found is None:
        return None
    what = capital(rows[0].name.to(voice.language))
    if rows[0].opens is None:
        return _closing(what, found, ask)
    exact = when is not None and when.at is not None and not when.part_of_day
    if first == today and not exact and (when is None or when.first == when.last):
        return _today(rows, what, ask)
    last = when.last if when is not None else first
    if found.day > last:
        return voice.say("hours.closed_then", what=what, next=_hours(found, voice))
    if exact and when is not None and when.at is not None:
        at = when.at.astimezone(zone).time()
        if not (found.opens is None or found.opens <= at < found.closes):
            return voice.say("hours.not_then", what=what, time=voice.clock(at), next=_hours(found, voice))
    return voice.say("hours.open_then", what=what, next=_hours(found, voice))


def _today(rows: Sequence[Hours], what: str, ask: Ask) -> str:
    """Of now: open and until when, or not, and when next."""
    voice = ask.voice
    local = ask.now.astimezone(voice.knowledge.club.zone)
    hours = on_day(rows, local.date())
    if hours is not None and hours.opens is not None:
        if local.time() < hours.opens:
            opens, closes = voice.clock(hours.opens), voice.clock(hours.closes)
            return voice.say("hours.later", what=what, opens=opens, closes=closes)
        if local.time() < hours.closes:
            return voice.say("hours.open", what=what, closes=voice.clock(hours.closes))
    following = next_open(rows, local.date() + timedelta(days=1))
    if following is None:
        return ""
    return voice.say("hours.over" if hours is not None else "hours.not_today", what=what, next=_hours(following, voice))


def _closing(what: str, found: Open, ask: Ask) -> str:
    """Of a thing of which only the hour is known at which it closes."""
    voice = ask.voice
    local = ask.now.astimezone(voice.knowledge.club.zone)
    closes = voice.clock(found.closes)
    if found.day == local.date() and local.time() >= found.closes:
        return voice.say("hours.closed_since", what=what, closes=closes)
    return voice.say("hours.closes", what=what, closes=closes, day=voice.day(found.day, local.date()))


def _hours(found: Open, voice: Voice) -> str:
    opens = voice.clock(found.opens) if found.opens is not None else ""
    return voice.say("hours.day", day=voice.dated(found.day), opens=opens, closes=voice.clock(found.closes))
