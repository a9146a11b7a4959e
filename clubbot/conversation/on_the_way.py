"""Who comes late, leaves early or cannot find the others, on the day of an event that they are down for: kept, and told to whoever runs it."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta

from clubbot.conversation.ask import Ask, Served
from clubbot.conversation.crowd import noted
from clubbot.conversation.handover import handed
from clubbot.conversation.helping import quoted
from clubbot.conversation.occasions import headcount, named, standing
from clubbot.conversation.own_days import Own, own_day
from clubbot.conversation.phrasing import Voice, capital
from clubbot.model.club import Person
from clubbot.model.effects import Effect, KeepRsvp, SpeakOf, TellPerson
from clubbot.people.duty import who_runs

# So long before an event whoever runs it is texted of who is late; earlier the list is enough.
SOON = timedelta(hours=3)
# So long before the start people look for each other.
_GATHERS = timedelta(hours=1)
# What is said in such a text beside the hour, by the rules, and what it then means.
_HALF_HOUR, _HOUR = timedelta(minutes=30), timedelta(hours=1)
TOLD_OF = "on the day"
# One of these a rule says of such a text.
_SAYS = ("comes late", "names when they come", "keeps the place", "is held up", "leaves early", "looks for the others")


def on_the_way(ask: Ask) -> tuple[Served, ...]:
    """Late, leaving early, looking for the others; nothing where the text says none of these, or the sender is down for nothing."""
    if not any(map(ask.said.says, _SAYS)) or (ask.known.alarm is not None and ask.known.alarm.open):
        return ()
    own = own_day(ask)
    if own is None:
        return ()
    if _is_late(own, ask):
        return (_late(own, ask),)
    if ask.said.says("leaves early"):
        return (_early(own, ask),)
    if ask.said.says("looks for the others") and _near(own, ask, _GATHERS):
        return _looks(own, ask)
    return ()


def _near(own: Own, ask: Ask, before: timedelta) -> bool:
    """Whether it begins within so long, or is under way."""
    return own.day.starts.astimezone(UTC) - ask.now.astimezone(UTC) <= before


def _is_late(own: Own, ask: Ask) -> bool:
    """ "Keep our place" or "stuck in traffic" is about coming late only when it is time to come."""
    if ask.said.says("comes late"):
        return True
    hour = _hour_named(ask)
    if ask.said.says("names when they come") and hour is not None and hour.date() == own.day.starts.date():
        return True  # in time or late: what is said of it is told by the hour
    return _near(own, ask, SOON) and (ask.said.says("keeps the place") or ask.said.says("is held up"))


def _late(own: Own, ask: Ask) -> Served:
    voice, one = ask.voice, own.day
    event, meet = named(one, voice), one.meet.to(voice.language)
    speak = SpeakOf(on=own.on, intent="late")
    if own.rsvp.state != "coming":
        return Served(sentence=voice.say("late.no_place", event=capital(event), meet=meet), effects=(speak,))
    expected = _expected(own, ask)
    if expected is not None and expected <= one.starts:
        said = voice.say("late.in_time", event=capital(event), starts=voice.hour(one.starts))
        return Served(sentence=said, effects=(speak,))
    kept = one.starts + timedelta(minutes=one.event.keep_late_minutes)
    values = {"event": event, "meet": meet, "until": voice.hour(kept)}
    if one.event.places is None:
        said = voice.say("late.no_limit", **values)
    elif max(expected or kept, ask.now) > kept:
        said = voice.say("late.after" if ask.now <= kept else "late.over", **values)
    else:
        said = voice.say("late.kept" if own.rsvp.people == 1 else "late.kept_all", **values, people=own.rsvp.people)
    if ask.said.says("asks about coming late"):  # nobody is late yet
        return Served(sentence=said, effects=(speak,))
    rsvp = replace(own.rsvp, late=expected or kept)
    keep = KeepRsvp(on=own.on, rsvp=rsvp, seen=standing(one, ask.known).count.version, heard=True)
    by = expected or kept
    runs = who_runs(one.event, voice.knowledge)
    note = _note("late.note", own, runs, ask, by=Voice(voice.knowledge, runs.language).hour(by))
    told = voice.say("late.told" if note else "late.listed", name=runs.first_name)
    sentence = said if runs.number == ask.known.sender.number else f"{said} {told}"
    return Served(sentence=sentence, effects=(keep, speak, *note))


def _early(own: Own, ask: Ask) -> Served:
    """Who leaves early has come: nobody is taken off."""
    voice = ask.voice
    runs = who_runs(own.day.event, voice.knowledge)
    note = _note("late.early_note", own, runs, ask)
    said = voice.say("late.early", event=named(own.day, voice))
    told = voice.say("late.told", name=runs.first_name) if note else voice.say("late.say_there", name=runs.first_name)
    sentence = said if runs.number == ask.known.sender.number else f"{said} {told}"
    return Served(sentence=sentence, effects=(SpeakOf(on=own.on, intent="late"), *note))


def _note(key: str, own: Own, runs: Person, ask: Ask, **values: object) -> tuple[Effect, ...]:
    """A text to whoever runs it, where it is time for that and not too many came."""
    if runs.number == ask.known.sender.number or not _near(own, ask, SOON):
        return ()
    text = _as_told(key, own, runs, ask, **values)
    return noted("late", ask.known, TellPerson(person=runs.id, number=runs.number, text=text))


def _as_told(key: str, own: Own, runs: Person, ask: Ask, **values: object) -> str:
    theirs = Voice(ask.voice.knowledge, runs.language)
    return theirs.say(key, **_whose(own, runs, ask), text=quoted(ask.text), **values)


def _whose(own: Own, runs: Person, ask: Ask) -> dict[str, object]:
    theirs = Voice(ask.voice.knowledge, runs.language)
    return {
        "event": named(own.day, theirs),
        "who": ask.known.sender.name or theirs.say("places.no_name"),
        "people": headcount(max(1, own.rsvp.people), theirs),
    }


def _looks(own: Own, ask: Ask) -> tuple[Served, ...]:
    """Where it is, and whoever runs it is asked to look out for them."""
    voice, one = ask.voice, own.day
    place = voice.say("side.where", event=capital(named(one, voice)), meet=one.meet.to(voice.language))
    where = voice.knowledge.answers.get("where")
    paragraphs = where.paragraphs[voice.language] if where is not None else ()
    found = Served(sentence=place, extras=paragraphs[:1], effects=(SpeakOf(on=own.on, intent="late"),))
    runs = who_runs(one.event, voice.knowledge)
    if runs.number == ask.known.sender.number:
        return (found,)
    thread = ask.known.thread
    again = thread.number if thread is not None and thread.open and thread.reason == TOLD_OF else None
    note = handed(ask, TOLD_OF, "late.looks_note", to=runs, again=again, **_whose(own, runs, ask))
    told = voice.say("late.looks", name=runs.first_name)
    return (found, Served(sentence=told, effects=(replace(note, due=None),)))


def _hour_named(ask: Ask) -> datetime | None:
    when = ask.reading.answer.when if ask.reading is not None else None
    return when.at if when is not None else None


def _expected(own: Own, ask: Ask) -> datetime | None:
    """When they say they come: so many minutes late, or at an hour that is named."""
    starts = own.day.starts
    if ask.said.says("half an hour late"):
        return starts + _HALF_HOUR
    if ask.said.says("an hour late"):
        return starts + _HOUR
    found = ask.said.first("so many minutes late")
    minutes = next((w.number for w in ask.said.words(found) if w.number is not None), None) if found else None
    if minutes is not None:
        return starts + timedelta(minutes=minutes)
    return _hour_named(ask) if ask.said.says("names when they come") else None
