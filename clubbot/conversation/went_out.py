"""What went to many, on asking: today's or this week's, with how many got it."""

from datetime import timedelta

from clubbot.conversation.ask import Ask, Served
from clubbot.conversation.helping import cut
from clubbot.conversation.occasions import day_named
from clubbot.conversation.phrasing import Voice, capital
from clubbot.events.choosing import day_of
from clubbot.model.going_out import WentOut
from clubbot.model.seen import ShowSent

_MOST_LISTED = 6
_LONGEST = 40


def sent(order: ShowSent, ask: Ask) -> Served:
    """What went to many since midnight, or within seven days."""
    voice, zone = ask.voice, ask.voice.knowledge.club.zone
    midnight = ask.now.astimezone(zone).replace(hour=0, minute=0, second=0, microsecond=0)
    since = midnight if order.span == "today" else midnight - timedelta(days=6)
    if order.span == "yesterday":
        since = midnight - timedelta(days=1)
    until = midnight if order.span == "yesterday" else None
    found = [one for one in ask.known.went_out if one.at >= since and (until is None or one.at < until)]
    if not found:
        return Served(sentence=voice.say(f"sent.nothing_{order.span}"))
    lines = "; ".join(_line(one, ask) for one in found[:_MOST_LISTED])
    said = voice.say(f"sent.{order.span}", list=lines)
    more = len(found) - _MOST_LISTED
    return Served(sentence=f"{said} {voice.say('sent.more', count=more)}" if more > 0 else said)


def _line(one: WentOut, ask: Ask) -> str:
    voice = ask.voice
    values = {"when": voice.moment(one.at, ask.now), "got": one.got, "whom": _whom(one, voice)}
    if one.kind == "news" and one.words is not None:
        said = voice.say("sent.news", words=_words(one, voice), **values)
    else:
        said = voice.say(f"sent.{one.kind}", **values)
    return f"{said} {voice.say('sent.waits', count=one.waits)}" if one.waits else said


def _words(one: WentOut, voice: Voice) -> str:
    """How the text began, without the club's name that every one begins with."""
    words = one.words.to(voice.language) if one.words is not None else ""
    return cut(words.removeprefix(voice.say("tell.text", text="").strip()).strip(), _LONGEST)


def _whom(one: WentOut, voice: Voice) -> str:
    if one.on is not None:
        day = day_of(one.on, voice.knowledge)
        return day_named(day, voice) if day is not None else one.on.event
    lists = {other.id: other.name.to(voice.language) for other in voice.knowledge.lists}
    if one.list_id:
        return lists.get(one.list_id, one.list_id)
    return voice.say(f"tell.to_{one.audience}") if voice.has(f"tell.to_{one.audience}") else one.audience


def line_faults(ask: Ask) -> str:
    """What is wrong with the line, since when; "" where nothing is."""
    found, voice = ask.known.line, ask.voice
    said = []
    if found.refused and found.refused_since is not None:
        since = voice.moment(found.refused_since, ask.now)
        said.append(voice.say("sent.refused", count=found.refused, since=since))
    if found.late and found.late_since is not None:
        said.append(voice.say("sent.late", count=found.late, since=voice.moment(found.late_since, ask.now)))
    return capital(", ".join(said)) + "." if said else ""
