"""People without a phone here, put down for an event day by their names. Shown first, with a code."""

from collections.abc import Sequence
from datetime import datetime

from clubbot.conversation.ask import Ask, Served
from clubbot.conversation.closing import with_unused
from clubbot.conversation.codes import with_code
from clubbot.conversation.occasions import count_of, named
from clubbot.conversation.phrasing import capital
from clubbot.events.choosing import Chosen, DaysNamed, Hints, Meant, Several, choose, day_of, entry_of
from clubbot.events.days import EventDay, sign_up_opens
from clubbot.model.club import Knowledge, Person
from clubbot.model.deeds import SignUpDeed
from clubbot.model.effects import Effect, KeepRsvp, Record
from clubbot.model.intents import When
from clubbot.model.orders_by_name import SignUpOthers, TakeOff
from clubbot.model.rsvps import DayCount, DayId, Guest, Named, Rsvp, key_of
from clubbot.people.names import as_name, called
from clubbot.rsvps.places import Hold, Standing, after, free, say_yes
from clubbot.texting.keywords import bare


def list_changed(order: SignUpOthers | TakeOff, knowledge: Knowledge, now: datetime) -> DayId | None:
    """The event day whose list an order is about."""
    chosen = _chosen(order.event, order.when, knowledge, now)
    return entry_of(chosen.day) if isinstance(chosen, Meant) else None


def _chosen(event: str | None, when: When | None, knowledge: Knowledge, now: datetime) -> Chosen:
    rule = knowledge.event(event) if event is not None else None
    days = DaysNamed(when.first, when.last, when.weekday) if when is not None and when.dated else None
    return choose(rule, days, knowledge.events, Hints(), now, knowledge.club.zone)


def day_meant(order: SignUpOthers | TakeOff, ask: Ask) -> EventDay | Served:
    """The day meant, where its list can still be changed; else what is said."""
    voice = ask.voice
    match _chosen(order.event, order.when, voice.knowledge, ask.now):
        case Meant(day) if day.called_off:
            return Served(sentence=voice.say("order.off_already", event=capital(named(day, voice))))
        case Meant(day) if day.starts <= ask.now:
            return Served(sentence=voice.say("by_name.begun", event=capital(named(day, voice))))
        case Meant(day):
            return day
        case Several(days):
            return Served(sentence=voice.say("order.which_event", list="; ".join(named(one, voice) for one in days)))
        case _:
            return Served(sentence=voice.say("order.no_event"))


def sign_up(order: SignUpOthers, ask: Ask) -> Served:
    """Show who would be put down, and how many places are left then."""
    voice, day = ask.voice, day_meant(order, ask)
    if isinstance(day, Served):
        return day
    names = tuple(dict.fromkeys(as_name(name) for name in order.names))
    refused = _cannot(names, day, ask)
    if refused is not None:
        return refused
    shown = voice.say(
        "by_name.sign_up", names=voice.joined(names), event=named(day, voice), room=_room(names, day, ask)
    )
    same = [
        line.name
        for line in lines_of(entry_of(day), ask)
        if line.name is not None and any(called(line.name, one) for one in names)
    ]
    if same:
        shown = f"{shown} {voice.say('by_name.same_name', names=voice.joined(same))}"
    on = entry_of(day)
    return with_code(SignUpDeed(event=on.event, day=on.day, names=names), with_unused(shown, order.unused, voice), ask)


def _cannot(names: Sequence[str], day: EventDay, ask: Ask) -> Served | None:
    """Why nobody can be put down: it has not opened, they are down already, it is full."""
    voice, zone = ask.voice, ask.voice.knowledge.club.zone
    opens = sign_up_opens(day, zone)
    if opens is not None and ask.now < opens:
        date_words = voice.date(opens.astimezone(zone).date())
        return Served(sentence=voice.say("by_name.not_open", event=named(day, voice), date=date_words))
    keys = {line.key for line in lines_of(entry_of(day), ask)}
    already = [name for name in names if _key(name) in keys]
    if already:
        said = voice.say("by_name.already", names=voice.joined(already), event=named(day, voice))
        return Served(sentence=said)
    if put_down(names, day, ask) is None:
        count = count_of(entry_of(day), ask.known)
        room = free(day.event.places, count) or 0
        said = voice.say("by_name.full", event=capital(named(day, voice)), room=room, waiting=count.waiting)
        return Served(sentence=said)
    return None


def put_down(names: Sequence[str], day: EventDay, ask: Ask) -> list[Rsvp] | None:
    """An answer for each, who has a place; None where there is not one for all of them, or others wait for it. Without a phone nobody is put on
    the waiting list: nobody could be offered a place there.
    """
    on = entry_of(day)
    count, line = count_of(on, ask.known), ask.known.lines.get(on, ())
    kept: list[Rsvp] = []
    for name in names:
        mine = Rsvp(number=_key(name), state="off", people=0, who=(Guest(kind="name", name=name),))
        standing = Standing(places=day.event.places, count=count, mine=mine, line=line)
        change = say_yes(standing, 1, Hold(until=None), ask.now)
        if change.outcome != "coming":
            return None
        count = after(count, mine, change.mine)
        kept.append(change.mine)
    return kept


def _room(names: Sequence[str], day: EventDay, ask: Ask) -> str:
    """How many places are left then."""
    room = free(day.event.places, count_of(entry_of(day), ask.known))
    if room is None:
        return ask.voice.say("by_name.no_limit")
    return ask.voice.say("by_name.room", room=room - len(names), places=day.event.places)


def signed_up(deed: SignUpDeed, ask: Ask, person: Person) -> Served:
    """The code has come: they are on the list, where there is room for them still."""
    voice, on = ask.voice, DayId(deed.event, deed.day)
    day = day_of(on, voice.knowledge)
    if day is None or day.called_off or day.starts <= ask.now:
        return Served(sentence=voice.say("order.no_event"))
    refused, kept = _cannot(deed.names, day, ask), put_down(deed.names, day, ask)
    if refused is not None or kept is None:
        return refused or Served(sentence=voice.say("order.no_event"))
    seen = count_of(on, ask.known).version
    effects: list[Effect] = [KeepRsvp(on=on, rsvp=one, seen=seen) for one in kept]
    effects.append(Record(person=person.id, what=f"put down for {on.event} {on.day}: {', '.join(deed.names)}"))
    said = voice.say("by_name.signed_up", names=voice.joined(deed.names), event=named(day, voice))
    return Served(sentence=said, effects=tuple(effects))


def lines_of(on: DayId, ask: Ask) -> list[Named]:
    """The lines of the list that are not taken back: of the whole list where that was looked up, else those that the names may mean."""
    return [line for line in ask.known.found.get(on, ask.known.listed) if line.state != "off"]


def _key(name: str) -> str:
    return key_of(bare(name))


def without_phones(on: DayId, ask: Ask) -> str:
    """Who is on a list and gets no text: they were put down by name; empty where nobody was."""
    names = ask.known.by_name.get(on, ())
    return ask.voice.say("by_name.to_be_told", names=ask.voice.joined(names)) if names else ""


def count_with_phones(on: DayId, count: DayCount, ask: Ask) -> int:
    """How many people of a list get a text."""
    return max(0, count.coming + count.waiting + count.maybe - len(ask.known.by_name.get(on, ())))
