"""Open for a part of the time that was asked about: "open now; closed from 18:00", "Saturday: closed until 14:00, open after that"."""

from collections.abc import Callable, Sequence
from datetime import datetime, time, timedelta

from clubbot.conversation.phrasing import Voice, capital
from clubbot.course.daylight import Sun
from clubbot.course.status import holes_of, within
from clubbot.model.club import Closure
from clubbot.model.intents import AskStatus

_AN_HOUR_NAMED = timedelta(hours=2)


def span(asked: AskStatus, at: datetime, is_now: bool, sun: Sun, voice: Voice) -> tuple[datetime, datetime]:
    """From when until when somebody asks: from now until dark, the hours named, the daylight of the days named."""
    zone = voice.knowledge.club.zone
    when = asked.when
    if when is not None and when.at is not None:
        return at, when.until or at + _AN_HOUR_NAMED
    last = when.last if when is not None else at.astimezone(zone).date()
    midnight = datetime.combine(last + timedelta(days=1), time(), zone)
    dusk = sun.sets if sun.sets is not None and last == at.astimezone(zone).date() else midnight
    if is_now:
        return at, max(at, dusk)
    return sun.rises or datetime.combine(at.astimezone(zone).date(), time(), zone), dusk


def changes(
    asked: AskStatus,
    hours: tuple[datetime, datetime],
    closures: Sequence[Closure],
    voice: Voice,
    now: datetime,
    place: Callable[[str, Voice], str],
) -> str | None:
    """Both, where what is asked about is closed for a part of the time only; None where it is open or closed all of it."""
    first, last = hours
    course = voice.knowledge.course
    wanted = holes_of(asked.what, course)
    shut = [one for one in within(asked.what, first, last, closures, course) if holes_of(one.what, course) >= wanted]
    if not shut or any(_fills(one, first, last) for one in shut):
        return None
    zone = voice.knowledge.club.zone
    day, same = first.astimezone(zone).date(), {first.astimezone(zone).date(), last.astimezone(zone).date()}

    def hour(moment: datetime) -> str:
        return voice.hour(moment) if len(same) == 1 else voice.moment(moment, now)

    said = []
    for one in shut:
        values = {"what": place(asked.what, voice), "reason": one.reason.to(voice.language)}
        if one.since <= first:
            assert one.until is not None  # else it would last all the time
            said.append(voice.say("status.then_open", until=hour(one.until), **values))
        elif one.until is None or one.until >= last:
            until = f" {voice.say('status.till', until=voice.moment(one.until, now))}" if one.until is not None else ""
            said.append(voice.say("status.then_closed", since=hour(one.since), until=until, **values))
        else:
            said.append(voice.say("status.closed_between", since=hour(one.since), until=hour(one.until), **values))
    words = "; ".join(dict.fromkeys(said))
    if first <= now:
        return capital(voice.say("status.open_now_then" if now < shut[0].since else "status.now", words=words))
    opens = shut[0].since <= first
    if len(same) > 1:
        return capital(voice.say("status.now" if opens else "status.those_days", words=words))
    named = voice.day(day, now.astimezone(zone).date())
    return capital(voice.say("status.that_day_opens" if opens else "status.that_day", day=named, words=words))


def _fills(one: Closure, first: datetime, last: datetime) -> bool:
    """Whether a closure lasts all the time asked about. What was closed for danger is not open by itself when its time is over."""
    ends = None if one.kind == "danger" and one.since <= first else one.until
    return one.since <= first and (ends is None or ends >= last)
