"""What is said where sign-up by text is over, or not open yet, and what may still be done then."""

from datetime import datetime

from clubbot.conversation.ask import Ask
from clubbot.conversation.occasions import count_of, headcount, named
from clubbot.conversation.phrasing import capital
from clubbot.events.choosing import id_of
from clubbot.events.days import EventDay, open_to_answers, sign_up_closes, sign_up_opens, upcoming
from clubbot.model.club import EventRule
from clubbot.rsvps.places import free


def closed(one: EventDay, closes: datetime, ask: Ask) -> str:
    """That sign-up by text closed, that one may come and ask, and when the next one is."""
    voice = ask.voice
    if ask.now >= one.starts:
        return f"{voice.say('rsvp.begun', event=named(one, voice))} {next_time(one, ask)}".strip()
    said = voice.say(
        "rsvp.closed",
        event=named(one, voice),
        closed=voice.hour(closes),
        meet=one.meet.to(voice.language),
        time=_there(one, ask),
    )
    return f"{said} {next_time(one, ask)}".strip()


def not_open(one: EventDay, opens: datetime, ask: Ask) -> str:
    """That sign-up has not begun."""
    voice = ask.voice
    date = voice.date(opens.astimezone(voice.knowledge.club.zone).date())
    return voice.say("rsvp.not_open", event=named(one, voice), date=date)


def entries_open(rule: EventRule, answer: str, ask: Ask) -> str | None:
    """A written answer once the day has come that it names as that of the first sign-ups: without its sentence, and that they are open or over.
    None where no such day has come, or the answer does not name it.
    """
    voice, zone = ask.voice, ask.voice.knowledge.club.zone
    opens = rule.rsvp_opens
    held = next((one for one in upcoming([rule], ask.now, zone) if not one.called_off), None)
    if opens is None or held is None or ask.now.astimezone(zone).date() < opens:
        return None
    sentences = answer.split(". ")
    kept = [one for one in sentences if voice.date(opens) not in one]
    if len(kept) == len(sentences) or not kept:
        return None
    key = "side.entries_open" if ask.now < sign_up_closes(held, zone) else "side.entries_over"
    return f"{'. '.join(kept).removesuffix('.')}. {voice.say(key)}"


def room_then(one: EventDay, ask: Ask) -> str | None:
    """What somebody hears who asks for room while no sign-up is taken by text; None while it is, or where places do not matter."""
    zone, voice = ask.voice.knowledge.club.zone, ask.voice
    opens, closes = sign_up_opens(one, zone), sign_up_closes(one, zone)
    if opens is not None and ask.now < opens:
        said = not_open(one, opens, ask)
        return f"{said} {voice.say('places.in_all', places=one.event.places)}" if one.event.places else said
    if ask.now < closes:
        return None
    coming = count_of(id_of(one), ask.known).coming
    if coming and ask.said.says("asks who comes"):
        return voice.say("places.count", event=capital(named(one, voice)), people=headcount(coming, voice))
    if coming == 0 or ask.now >= one.starts:
        return closed(one, closes, ask)
    key = "places.closed_full" if free(one.event.places, count_of(id_of(one), ask.known)) == 0 else "places.closed"
    said = voice.say(
        key,
        event=named(one, voice),
        closed=voice.hour(closes),
        people=headcount(coming, voice),
        meet=one.meet.to(voice.language),
        time=_there(one, ask),
    )
    return f"{said} {next_time(one, ask)}".strip()


def next_time(one: EventDay, ask: Ask) -> str:
    """The next day of the same event, where there is one."""
    knowledge = ask.voice.knowledge
    days = open_to_answers([one.event], ask.now, knowledge.club.zone)
    following = next((other for other in days if other.starts > one.starts and not other.called_off), None)
    return "" if following is None else ask.voice.say("rsvp.next_time", next=named(following, ask.voice))


def _there(one: EventDay, ask: Ask) -> str:
    """The hour at which one signs up there, else when it starts."""
    zone = ask.voice.knowledge.club.zone
    moved = (
        one.starts.astimezone(zone).time() != one.event.starts
    )  # a day at another hour has no sign-up hour of its own
    hour = one.event.sign_up if one.event.sign_up and not moved else one.starts.astimezone(zone).time()
    return ask.voice.clock(hour)
