"""Answers worked out at the moment of asking: open or closed, what is on."""

from collections.abc import Sequence
from datetime import date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from clubbot.conversation.part_open import changes, span
from clubbot.conversation.phrasing import Voice, capital
from clubbot.course.daylight import Sun, sun_on
from clubbot.course.status import Standing, holes_of, loop_of, standing, within
from clubbot.events.days import EventDay, between, upcoming
from clubbot.model.club import Closure
from clubbot.model.intents import AskEvents, AskStatus, When

_MOST_LISTED = 4
_LOOK_AHEAD = timedelta(days=14)


def status(
    asked: AskStatus, closures: Sequence[Closure], voice: Voice, now: datetime, *, if_closed: bool = False
) -> str:
    """Open, closed or partly, now or at the time asked for. Asked `if_closed`, it is told without a yes or a no: "is the marsh flooded"
    would have them said of the wrong thing.
    """
    at, is_now = _moment(asked.when, now, zone=voice.knowledge.club.zone)
    if any(one.kind == "held" for one in closures) and is_now:
        return voice.say("status.held")
    notes = _notes(asked.what, closures, voice)
    closures = [one for one in closures if one.kind != "held"]  # of another hour nobody can know
    asked_if = "_if_closed" if if_closed else ""
    said = _standing(asked, at, is_now, closures, voice, now, asked_if)
    later = _parts_later(asked, at, is_now, closures, voice, now)
    return " ".join(f"{said} {later} {notes}".split())


def _parts_later(
    asked: AskStatus, at: datetime, is_now: bool, closures: Sequence[Closure], voice: Voice, now: datetime
) -> str:
    """The parts that close during the time asked about."""
    course, zone = voice.knowledge.course, voice.knowledge.club.zone
    first, last = span(asked, at, is_now, sun_on(at.astimezone(zone).date(), course, zone), voice)
    wanted = holes_of(asked.what, course)
    later = [
        one
        for one in within(asked.what, first, last, (*course.closures, *closures), course)
        if one.since > at and not holes_of(one.what, course) >= wanted
    ]
    return " ".join(dict.fromkeys(closure_words(one, voice, now) for one in later))


def _notes(what: str, closures: Sequence[Closure], voice: Voice) -> str:
    """What there is to know about the part that was asked about."""
    course = voice.knowledge.course
    asked = holes_of(what, course)
    notes = [one for one in closures if one.kind == "note" and holes_of(one.what, course) & asked]
    return " ".join(
        voice.say("status.note", what=capital(place(one.what, voice)), words=one.reason.to(voice.language))
        for one in notes
    )


def _standing(
    asked: AskStatus,
    at: datetime,
    is_now: bool,
    closures: Sequence[Closure],
    voice: Voice,
    now: datetime,
    asked_if: str,
) -> str:
    knowledge = voice.knowledge
    zone, course = knowledge.club.zone, knowledge.course
    today = now.astimezone(zone).date()
    found = standing(asked.what, at, (*course.closures, *closures), course)
    what = place(asked.what, voice)
    day = capital(voice.day(at.astimezone(zone).date(), today))
    sun = sun_on(at.astimezone(zone).date(), course, zone)
    hours = span(asked, at, is_now, sun, voice)
    if found.closed is None or not (is_now or _asks_an_hour(asked)):
        both = changes(asked, hours, (*course.closures, *closures), voice, now, place)
        if both is not None:
            return both
    if found.closed is not None:
        closed = _closure("one_closed", found.closed, voice, now)
        if is_now:
            return voice.say(f"status.closed_now{asked_if}", closed=closed)
        return voice.say("status.closed_then", day=day, closed=closed)
    lit = _light(asked, at, is_now, sun, voice, now)
    if found.partly and lit is None:
        return _partly(found, is_now, day, sun, voice, now, asked_if)
    if found.partly:
        return f"{lit} {voice.say('status.also_closed', closed=_closed_parts(found, voice, now))}"
    if lit is not None:
        return lit
    if sun.sets is None or sun.rises is None:
        return voice.say(f"status.open_endless{asked_if}", what=what)
    if is_now:
        return voice.say(f"status.open_now{asked_if}", what=what, sunset=voice.hour(sun.sets))
    sunlight = {"sunrise": voice.hour(sun.rises), "sunset": voice.hour(sun.sets)}
    then = voice.day(at.astimezone(zone).date(), today)
    return capital(voice.say(f"status.open_then{asked_if}", what=what, day=then, **sunlight))


def _asks_an_hour(asked: AskStatus) -> bool:
    return asked.when is not None and asked.when.at is not None


def _light(asked: AskStatus, at: datetime, is_now: bool, sun: Sun, voice: Voice, now: datetime) -> str | None:
    """That it is dark at the hour asked about; None while it is light, or where only a day was asked about."""
    if sun.sets is None or sun.rises is None or sun.rises <= at <= sun.sets:
        return None
    knowledge = voice.knowledge
    what = place(asked.what, voice)
    today = now.astimezone(knowledge.club.zone).date()
    if is_now:
        coming = sun if at < sun.rises else sun_on(today + timedelta(days=1), knowledge.course, knowledge.club.zone)
        sunrise = voice.hour(coming.rises) if coming.rises else ""
        return capital(voice.say("status.open_night", what=what, sunrise=sunrise))
    day = voice.day(at.astimezone(knowledge.club.zone).date(), today)
    hours = {"sunrise": voice.hour(sun.rises), "sunset": voice.hour(sun.sets)}
    return capital(voice.say("status.open_then_night", what=what, day=day, time=voice.hour(at), **hours))


def _moment(when: When | None, now: datetime, zone: ZoneInfo) -> tuple[datetime, bool]:
    """The moment asked for, and whether that is now: a bare day is meant at midday, today without an hour is now."""
    today = now.astimezone(zone).date()
    if when is None or (when.at is None and when.first <= today <= when.last):
        return now, True
    if when.at is not None:
        return when.at, False
    return datetime.combine(when.first, time(12), zone), False


def _partly(found: Standing, is_now: bool, day: str, sun: Sun, voice: Voice, now: datetime, asked_if: str) -> str:
    closed = _closed_parts(found, voice, now)
    if is_now and sun.sets is not None:
        return voice.say(f"status.partly_now{asked_if}", closed=closed, sunset=voice.hour(sun.sets))
    return voice.say("status.partly_then", day=day, closed=closed)


def _closed_parts(found: Standing, voice: Voice, now: datetime) -> str:
    return voice.joined([_closure("part", closure, voice, now) for closure in found.partly])


def _closure(key: str, closure: Closure, voice: Voice, now: datetime) -> str:
    values = {"what": place(closure.what, voice), "reason": closure.reason.to(voice.language)}
    if closure.until is None:
        return voice.say(f"status.{key}", **values)
    return voice.say(f"status.{key}_until", **values, until=voice.moment(closure.until, now))


def closure_words(closure: Closure, voice: Voice, now: datetime) -> str:
    """A closure in a sentence of its own: with its beginning where that is still to come."""
    if closure.since <= now:
        return capital(f"{_closure('one_closed', closure, voice, now)}.")
    values = {"what": place(closure.what, voice), "reason": closure.reason.to(voice.language)}
    since = voice.moment(closure.since, now)
    if closure.until is None:
        return capital(voice.say("status.closes", since=since, **values))
    same_day = _day_of(closure.until, voice) == _day_of(closure.since, voice)
    until = voice.hour(closure.until) if same_day else voice.moment(closure.until, now)
    return capital(voice.say("status.closes_until", since=since, until=until, **values))


def _day_of(moment: datetime, voice: Voice) -> date:
    return moment.astimezone(voice.knowledge.club.zone).date()


def place(what: str, voice: Voice) -> str:
    """The course, a loop or a hole as it is called in a sentence."""
    loop = loop_of(what, voice.knowledge.course)
    if loop is not None:
        return voice.say("status.loop", loop=loop.name.to(voice.language), first=loop.first_hole, last=loop.last_hole)
    if what.isdigit():
        return voice.say("status.hole", hole=what)
    return voice.say("status.course")


def events(asked: AskEvents, voice: Voice, now: datetime) -> str:
    """When an event is next, what is on then, or what is coming up."""
    knowledge = voice.knowledge
    zone = knowledge.club.zone
    today = now.astimezone(zone).date()
    if asked.event is not None:
        days = upcoming([knowledge.event(asked.event)], now, zone)
        return _one_event(asked, days, voice, now)
    coming = upcoming(knowledge.events, now, zone)
    if asked.when is None:
        near = [one for one in coming if one.starts <= now + _LOOK_AHEAD] or coming[:1]
        if not near:
            return voice.say("events.nothing_at_all")
        return capital(voice.say("events.coming", list="; ".join(_listed(near, voice))))
    return _on_days(asked.when, coming, voice, today)


def _on_days(when: When, coming: Sequence[EventDay], voice: Voice, today: date) -> str:
    zone = voice.knowledge.club.zone
    found = [one for one in between(voice.knowledge.events, when.first, when.last, zone) if one in coming]
    others = [one for one in coming if not one.called_off and one not in found]
    later = [one for one in others if one.starts.astimezone(zone).date() > when.last]
    held = next(iter(later or others), None)
    upcoming_words = _with_day(held, voice) if held else voice.say("events.nothing_at_all")
    if not found:
        if when.first == when.last:
            return voice.say("events.nothing", day=voice.day(when.first, today), next=upcoming_words)
        return voice.say("events.nothing_span", next=upcoming_words)
    if when.first == when.last:
        listed = [_short(one, voice) for one in found]
        return capital(voice.say("events.on_day", day=voice.day(when.first, today), list="; ".join(listed)))
    return capital(voice.say("events.in_span", list="; ".join(_listed(found, voice))))


def _one_event(asked: AskEvents, days: Sequence[EventDay], voice: Voice, now: datetime) -> str:
    zone = voice.knowledge.club.zone
    today = now.astimezone(zone).date()
    name = capital(voice.knowledge.event(asked.event or "").name.to(voice.language))
    if not days:
        return voice.say("events.none_left", event=name)
    when = asked.when
    wanted = [one for one in days if when and when.first <= one.starts.astimezone(zone).date() <= when.last]
    if wanted and wanted[0].starts <= now and not wanted[0].called_off:
        place = wanted[0].meet.to(voice.language)
        return voice.say("events.begun", event=name, time=voice.hour(wanted[0].starts), meet=place)
    days = [one for one in days if one.starts > now] or days  # what has begun is not the next one
    held = next((one for one in days if not one.called_off), None)
    if when is not None and not wanted and held is not None:
        day = voice.day(when.first, today)
        local = held.starts.astimezone(zone).date()
        return voice.say(
            "events.not_that_day",
            event=name,
            day=day,
            next_day=voice.dated(local),
            time=voice.hour(held.starts),
            meet=held.meet.to(voice.language),
        )
    first = wanted[0] if wanted else days[0]
    said = _called_off(first, voice) if first.called_off else ""
    if not first.called_off or (held is not None and not wanted):
        said = f"{said} {_next(held if first.called_off and held else first, voice, today)}".strip()
    return said


def _next(one: EventDay, voice: Voice, today: date) -> str:
    zone = voice.knowledge.club.zone
    event, day = one.event, one.starts.astimezone(zone).date()
    name = event.name.to(voice.language)
    values = {"time": voice.hour(one.starts), "meet": one.meet.to(voice.language), "price": _price(one, voice)}
    if day == today:
        said = voice.say("events.today", event=capital(name), **values)
    else:
        said = voice.say("events.next", event=name, day=voice.dated(day), **values)
    if event.rsvp_opens is not None and event.rsvp_opens > today:
        said = f"{said} {voice.say('events.entries_open', date=voice.date(event.rsvp_opens))}"
    return said


def _price(one: EventDay, voice: Voice) -> str:
    event = one.event
    if not event.price:
        return voice.say("events.free")
    price = voice.money(event.price)
    if event.member_price is None:
        return voice.say("events.price", price=price)
    return voice.say("events.member_price", price=price, member_price=voice.money(event.member_price))


def _called_off(one: EventDay, voice: Voice) -> str:
    day = voice.dated(one.starts.astimezone(voice.knowledge.club.zone).date())
    reason = voice.say("events.reason", reason=one.reason.to(voice.language)) if one.reason else ""
    return voice.say("events.called_off", event=capital(one.event.name.to(voice.language)), day=day, reason=reason)


def _listed(days: Sequence[EventDay], voice: Voice) -> list[str]:
    """Days with their dates; an event that comes again in the list is named once, by its first day."""
    firsts: dict[str, EventDay] = {}
    for one in days:
        firsts.setdefault(one.event.id, one)
    return [_with_day(one, voice) for one in list(firsts.values())[:_MOST_LISTED]]


def _with_day(one: EventDay, voice: Voice) -> str:
    name = one.event.name.to(voice.language)
    if one.called_off:
        name = voice.say("events.called_off_short", event=name)
    day = voice.dated(one.starts.astimezone(voice.knowledge.club.zone).date())
    return voice.say("events.one_with_day", day=day, event=name, time=voice.hour(one.starts))


def _short(one: EventDay, voice: Voice) -> str:
    name = one.event.name.to(voice.language)
    if one.called_off:
        return voice.say("events.called_off_short", event=name)
    return voice.say("events.one", event=name, time=voice.hour(one.starts), meet=one.meet.to(voice.language))
