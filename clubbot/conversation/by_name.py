"""People without a phone here, put down for an event day by their names, and people taken off its list. Shown first, with a code; whose own phone
an answer came from is told that it is off.
"""

from collections.abc import Sequence
from datetime import datetime

from clubbot.conversation.ask import Ask, Served
from clubbot.conversation.closing import with_unused
from clubbot.conversation.codes import with_code
from clubbot.conversation.occasions import ALL_KINDS, count_of, headcount, named, quiet_hours
from clubbot.conversation.phrasing import Voice, capital
from clubbot.conversation.which_one import asked_which
from clubbot.events.choosing import Chosen, DaysNamed, Hints, Meant, Several, choose, day_of, entry_of
from clubbot.events.days import EventDay, sign_up_opens
from clubbot.model.club import Knowledge, Person
from clubbot.model.deeds import Line, SignUpDeed, TakeOffDeed
from clubbot.model.effects import Effect, KeepRsvp, PlanReminders, Record, WriteTo
from clubbot.model.intents import When
from clubbot.model.orders_by_name import SignUpOthers, TakeOff
from clubbot.model.rsvps import BY_NAME, DayCount, DayId, Guest, Named, Rsvp, key_of
from clubbot.people.names import akin, as_name, called, exactly
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


def _day_of(order: SignUpOthers | TakeOff, ask: Ask) -> EventDay | Served:
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
    voice, day = ask.voice, _day_of(order, ask)
    if isinstance(day, Served):
        return day
    names = tuple(dict.fromkeys(as_name(name) for name in order.names))
    refused = _cannot(names, day, ask)
    if refused is not None:
        return refused
    shown = voice.say(
        "by_name.sign_up", names=voice.joined(names), event=named(day, voice), room=_room(names, day, ask)
    )
    same = [line.name for line in _lines(ask) if line.name is not None and any(called(line.name, one) for one in names)]
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
    keys = {line.key for line in _lines(ask)}
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


def take_off(order: TakeOff, ask: Ask) -> Served | None:
    """Show whose line would go; ask which where several have the name. None where it is somebody in the sender's own party."""
    voice, day = ask.voice, _day_of(order, ask)
    if isinstance(day, Served):
        return day
    mine = ask.known.rsvps.get(entry_of(day))
    if mine is not None and mine.is_down and all(_in_party(name, mine.who) for name in order.names):
        return None
    found = [_lines_called(name, ask) for name in order.names]
    lost = next((name for name, lines in zip(order.names, found, strict=True) if not lines), None)
    if lost is not None:
        return Served(sentence=_nobody(lost, day, ask))
    several = next((name for name, lines in zip(order.names, found, strict=True) if len(lines) > 1), None)
    on = entry_of(day)
    if several is not None and len(found) > 1:
        return Served(sentence=voice.say("by_name.one_at_a_time", name=as_name(several)))
    options = [TakeOffDeed(event=on.event, day=on.day, lines=(_line(one),)) for one in found[0]]
    if several is not None:
        return asked_which(as_name(several), options, [_label(one, voice) for one in found[0]], ask)
    deed = TakeOffDeed(event=on.event, day=on.day, lines=tuple(_line(lines[0]) for lines in found))
    return off_shown(deed, ask, unused=order.unused)


def off_shown(deed: TakeOffDeed, ask: Ask, *, unused: str = "") -> Served:
    """Who would be taken off, with how many people, and who of them is told."""
    voice = ask.voice
    day = day_of(DayId(deed.event, deed.day), voice.knowledge)
    if day is None:
        return Served(sentence=voice.say("order.no_event"))
    by_key = {line.key: line for line in _lines(ask)}
    whole = [f"{one.name} ({headcount(one.people, voice)})" if one.people > 1 else one.name for one in deed.lines]
    shown = voice.say("by_name.take_off", names=voice.joined(whole), event=named(day, voice))
    phones = [one for one in deed.lines if not one.key.startswith(BY_NAME)]
    if phones:
        out = any(line.opted_out for one in phones if (line := by_key.get(one.key)) is not None)
        shown = f"{shown} {voice.say('by_name.not_told' if out else 'by_name.is_told')}"
    return with_code(deed, with_unused(shown, unused, voice), ask)


def taken_off(deed: TakeOffDeed, ask: Ask, person: Person) -> Served:
    """The code has come: the lines that are still there go; whose phone one was from is told. Places that come free go to the next in line."""
    voice, on = ask.voice, DayId(deed.event, deed.day)
    day, there = day_of(on, voice.knowledge), {line.key: line for line in _lines(ask)}
    left = [one for one in deed.lines if one.key in there]
    if day is None or not left or day.starts <= ask.now:
        return Served(sentence=voice.say("by_name.gone"))
    seen, effects = count_of(on, ask.known).version, list[Effect]()
    for one in left:
        effects.append(KeepRsvp(on=on, rsvp=Rsvp(number=one.key, state="off", people=0), seen=seen))
        if not there[one.key].by_name:
            effects += _told(there[one.key], day, on, ask, person)
    names = [one.name for one in left]
    effects.append(Record(person=person.id, what=f"taken off {on.event} {on.day}: {', '.join(names)}"))
    said = voice.say("by_name.taken_off", names=voice.joined(names), event=named(day, voice))
    return Served(sentence=said, effects=tuple(effects))


def _told(line: Named, day: EventDay, on: DayId, ask: Ask, person: Person) -> list[Effect]:
    """What somebody hears whose own answer is taken off the list: by whom, and how to write back."""
    theirs = Voice(ask.voice.knowledge, line.language)
    text = theirs.say(
        "by_name.told_off", role=role_of(person, theirs), name=person.first_name.upper(), event=named(day, theirs)
    )
    due = quiet_hours(ask.voice.knowledge).end_after(ask.now)
    write = WriteTo(number=line.key, language=line.language, person=person.id, text=text, due=due)
    return [PlanReminders(on=on, number=line.key, kinds=ALL_KINDS), write]


def role_of(person: Person, voice: Voice) -> str:
    """What somebody of the club is called by their first role."""
    return voice.roles(person.roles[:1] or ("helper",))


def _lines(ask: Ask) -> list[Named]:
    """The lines of the list that are not taken back."""
    return [line for line in ask.known.listed if line.state != "off"]


def _lines_called(name: str, ask: Ask) -> list[Named]:
    """Those whom a name may mean; one who has just this name of several words before others."""
    found = [line for line in _lines(ask) if line.name is not None and called(name, line.name)]
    whole = [line for line in found if line.name is not None and exactly(name, line.name)]
    return whole if whole and len(bare(name).split()) > 1 else found


def _nobody(name: str, day: EventDay, ask: Ask) -> str:
    """That nobody of the name has a line, with who comes nearest: in somebody else's party, or of a name like it."""
    voice, said = ask.voice, as_name(name)
    nobody = voice.say("by_name.nobody", name=said, event=named(day, voice))
    brought = [line.name for line in _lines(ask) if line.name is not None and _in_party(name, line.who)]
    if brought:
        return f"{nobody} {voice.say('by_name.in_party', name=said, of=voice.joined(brought))}"
    near = [line.name for line in _lines(ask) if line.name is not None and akin(name, line.name)]
    return f"{nobody} {voice.say('by_name.near', names=voice.joined(near))}" if near else nobody


def _in_party(name: str, who: Sequence[Guest]) -> bool:
    return any(guest.name is not None and guest.kind != "sender" and called(name, guest.name) for guest in who)


def _line(line: Named) -> Line:
    return Line(key=line.key, name=line.name or "", people=line.people)


def _label(line: Named, voice: Voice) -> str:
    """A line as it is told from others of its name."""
    how = "by_name.label" if line.by_name else "by_name.label_phone"
    state = voice.say(f"by_name.{line.state}")
    return voice.say(how, name=line.name, people=headcount(line.people, voice), state=state)


def _key(name: str) -> str:
    return key_of(bare(name))


def without_phones(on: DayId, ask: Ask) -> str:
    """Who is on a list and gets no text: they were put down by name; empty where nobody was."""
    names = ask.known.by_name.get(on, ())
    return ask.voice.say("by_name.to_be_told", names=ask.voice.joined(names)) if names else ""


def count_with_phones(on: DayId, count: DayCount, ask: Ask) -> int:
    """How many people of a list get a text."""
    return max(0, count.coming + count.waiting + count.maybe - len(ask.known.by_name.get(on, ())))
