"""One side of an event, from its facts: what it costs for so many, where it is, when it ends, when to be there, when sign-up is."""

from datetime import datetime

from clubbot.conversation.ask import Ask, Served
from clubbot.conversation.light import round_takes
from clubbot.conversation.occasions import day_named, named
from clubbot.conversation.phrasing import Voice, capital
from clubbot.course.status import holes_of
from clubbot.events.choosing import day_of, entry_of, id_of
from clubbot.events.days import EventDay, answered_to, sign_up_closes, sign_up_opens, upcoming
from clubbot.model.club import EventRule
from clubbot.model.dialogue import SPOKEN_FOR
from clubbot.model.effects import SpeakOf
from clubbot.model.intents import AskTopic
from clubbot.model.rsvps import DayId

# Events of these kinds are a round of the course.
_ROUNDS = frozenset({"league", "women", "family-day", "tournament"})


def of_event(asked: AskTopic, ask: Ask) -> Served | None:
    """The side that is asked of an event; None where the facts do not tell it."""
    if asked.side is None:
        return None
    rule = _rule(asked, ask)
    if rule is None:
        return None
    one = _day(rule, asked, ask)
    said = _of_day(one, asked, ask) if one is not None else _of_rule(rule, asked.side, ask.voice)
    if said is None:
        return None
    speak = _next_to_answer(rule, one, ask)
    effects = (SpeakOf(on=speak, intent=asked.topic[:20]),) if speak is not None else ()
    return Served(sentence=said, extras=_policy(asked, ask), effects=effects, event=rule.id)


def people_meant(asked: AskTopic, on: DayId, ask: Ask) -> int:
    """For how many the price is told: as many as the text says, else as the sender is down for, else one."""
    if asked.people or ask.party.total:
        return asked.people or ask.party.total or 1
    mine = ask.known.rsvps.get(on)
    return mine.people if mine is not None and mine.state != "off" else 1


def _rule(asked: AskTopic, ask: Ask) -> EventRule | None:
    events = ask.voice.knowledge.events
    if asked.on is not None:
        return next((one for one in events if one.id == asked.on.event), None)
    return next((one for one in events if one.topic == asked.topic), None)


def _day(rule: EventRule, asked: AskTopic, ask: Ask) -> EventDay | None:
    """The day meant: the one that was found, else the one spoken of, the sender's own, the next."""
    zone, talk = ask.voice.knowledge.club.zone, ask.known.talk
    if asked.on is not None and (found := day_of(asked.on, ask.voice.knowledge)) is not None:
        return found
    coming = upcoming([rule], ask.now, zone)
    spoken = talk.on if talk is not None and ask.now - talk.at < SPOKEN_FOR else None
    mine = {on for on, rsvp in ask.known.rsvps.items() if rsvp.state != "off"}
    by_name = [one for one in coming if entry_of(one) == spoken] + [one for one in coming if entry_of(one) in mine]
    ahead = [one for one in coming if not one.called_off and (one.starts > ask.now or asked.side == "until")]
    return next(iter([*by_name, *ahead, *coming]), None)


def _next_to_answer(rule: EventRule, one: EventDay | None, ask: Ask) -> DayId | None:
    """The day that "put me down" would be for after this."""
    if one is not None and one.starts > ask.now and not one.called_off:
        return entry_of(one)
    days = answered_to(upcoming([rule], ask.now, ask.voice.knowledge.club.zone))
    return next((id_of(other) for other in days if other.starts > ask.now and not other.called_off), None)


def _of_rule(rule: EventRule, side: str, voice: Voice) -> str | None:
    """Of an event with no day left: what it costs and where it is."""
    name = capital(rule.name.to(voice.language))
    if side == "cost":
        return _price(rule, name, 1, voice)
    return voice.say("side.where", event=name, meet=rule.meet.to(voice.language)) if side == "where" else None


def _of_day(one: EventDay, asked: AskTopic, ask: Ask) -> str | None:
    voice, rule = ask.voice, one.event
    name = capital(rule.name.to(voice.language))
    match asked.side:
        case "cost":
            on = entry_of(one)
            people = people_meant(asked, on, ask)
            mine = ask.known.rsvps.get(on)
            dated = asked.on is not None or (mine is not None and mine.state != "off")
            return _price(rule, capital(day_named(one, voice)) if dated else name, people, voice)
        case "where":
            return voice.say("side.where", event=name, meet=one.meet.to(voice.language))
        case "long" if one.ends is not None:
            return voice.say("side.long", event=name, starts=voice.hour(one.starts), ends=voice.hour(one.ends))
        case "until" | "long":
            return _until(one, ask)
        case "arrive":
            return _arrive(one, voice)
        case "sign-up hour":
            return _sign_up(one, ask)
        case "still on" if not one.called_off:
            return _still_on(one, voice, ask.now)
        case _:
            return None


def _price(rule: EventRule, name: str, people: int, voice: Voice) -> str:
    """The fee, and where more than one comes, of all of them; the members' fee beside it."""
    more = people > 1
    values: dict[str, object] = {"event": name, "price": voice.money(rule.price), "people": people}
    if not rule.price:
        return voice.say("side.free_all" if more else "side.free", **values)
    values["total"] = voice.money(rule.price * people)
    if rule.member_price is None:
        return voice.say("side.price_all" if more else "side.price", **values)
    if not rule.member_price:
        return voice.say("side.members_free_all" if more else "side.members_free", **values)
    values |= {
        "member_price": voice.money(rule.member_price),
        "member_total": voice.money(rule.member_price * people),
    }
    return voice.say("side.member_price_all" if more else "side.member_price", **values)


def _until(one: EventDay, ask: Ask) -> str:
    """When it ends; where nobody has set that, how long its round takes."""
    voice = ask.voice
    first = capital(named(one, voice))
    if one.ends is not None:
        key = "side.ends_daily" if one.event.one_entry else "side.ends"
        return voice.say(key, event=first, ends=voice.hour(one.ends))
    said = voice.say("side.no_end", event=first)
    if one.event.topic not in _ROUNDS:
        return said
    holes = len(holes_of(one.event.loop or "course", voice.knowledge.course))
    return f"{said} {voice.say('side.round', holes=holes, length=round_takes(holes, voice))}"


def _arrive(one: EventDay, voice: Voice) -> str:
    event, meet, starts = capital(day_named(one, voice)), one.meet.to(voice.language), voice.hour(one.starts)
    hour = _sign_up_hour(one, voice)
    if hour is None:
        return voice.say("side.arrive", event=event, meet=meet, starts=starts)
    return voice.say("side.arrive_sign_up", event=event, meet=meet, starts=starts, sign_up=hour)


def _still_on(one: EventDay, voice: Voice, now: datetime) -> str:
    """That it takes place so far as anybody has said, or how far it has come."""
    if one.starts > now:
        return voice.say("side.still_on", event=capital(named(one, voice)))
    over = one.ends is not None and one.ends <= now
    key = "side.was_on" if over else "side.under_way"
    return voice.say(key, event=capital(one.event.name.to(voice.language)), time=voice.hour(one.starts))


def _policy(asked: AskTopic, ask: Ask) -> tuple[str, ...]:
    """What would call an event off, as far as there is room, where the weather is spoken of and not only whether it is on."""
    answer = ask.voice.knowledge.answers.get("weather-policy")
    if asked.side != "still on" or answer is None or not ask.said.says("speaks of the weather"):
        return ()
    return tuple(answer.paragraphs[ask.voice.language][:1])


def _sign_up_hour(one: EventDay, voice: Voice) -> str | None:
    """When sign-up there begins; None where no hour is known, as on a day that begins at another hour than usual."""
    moved = one.starts.astimezone(voice.knowledge.club.zone).time() != one.event.starts
    return voice.clock(one.event.sign_up) if one.event.sign_up is not None and not moved else None


def _sign_up(one: EventDay, ask: Ask) -> str:
    """When people sign up, by text and there."""
    voice, zone = ask.voice, ask.voice.knowledge.club.zone
    opens, closes = sign_up_opens(one, zone), sign_up_closes(one, zone)
    event = capital(day_named(one, voice))
    if opens is not None and ask.now < opens:
        return voice.say("side.sign_up_opens", event=event, date=voice.date(opens.astimezone(zone).date()))
    key = "side.sign_up_closed" if ask.now >= closes else "side.sign_up_until"
    said = voice.say(key, event=event, closes=voice.hour(closes))
    hour = _sign_up_hour(one, voice)
    if hour is None:
        return said
    there = voice.say(
        "side.sign_up_there", sign_up=hour, starts=voice.hour(one.starts), meet=one.meet.to(voice.language)
    )
    return f"{said} {there}"
