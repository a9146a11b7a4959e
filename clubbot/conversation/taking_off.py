"""People taken off the list of an event day by their names: shown first, with a code; whose own phone an answer came from is told that it is off."""

from collections.abc import Sequence

from clubbot.conversation.ask import Ask, Served
from clubbot.conversation.by_name import day_meant, lines_of, list_changed
from clubbot.conversation.closing import with_unused
from clubbot.conversation.codes import with_code
from clubbot.conversation.occasions import ALL_KINDS, count_of, headcount, named, quiet_hours
from clubbot.conversation.phrasing import Voice
from clubbot.conversation.which_one import asked_which
from clubbot.conversation.whom import named_in
from clubbot.events.choosing import day_of, entry_of
from clubbot.events.days import EventDay
from clubbot.model.club import Person
from clubbot.model.deeds import Line, TakeOffDeed
from clubbot.model.effects import Effect, KeepRsvp, PlanReminders, Record, WriteTo
from clubbot.model.orders_by_name import TakeOff
from clubbot.model.rsvps import BY_NAME, DayId, Guest, Named, Rsvp
from clubbot.people.names import akin, as_name, called, exactly
from clubbot.texting.keywords import bare


def take_off(order: TakeOff, ask: Ask) -> Served:
    """Show whose line would go; ask which where several have the name."""
    if order.anywhere:
        return _off_wherever(order, ask)
    day = day_meant(order, ask)
    return day if isinstance(day, Served) else _off_that_day(order, day, ask)


def of_own_party(order: TakeOff, ask: Ask) -> bool:
    """Whether all who are named come with the sender, whose own change it is then."""
    if order.anywhere:
        today = ask.now.astimezone(ask.voice.knowledge.club.zone).date()
        parties = [rsvp for on, rsvp in ask.known.rsvps.items() if on.day >= today]
    else:
        meant = list_changed(order, ask.voice.knowledge, ask.now)
        parties = [rsvp for on, rsvp in ask.known.rsvps.items() if on == meant]
    return any(mine.is_down and all(_in_party(name, mine.who) for name in order.names) for mine in parties)


def _off_that_day(order: TakeOff, day: EventDay, ask: Ask) -> Served:
    voice, on = ask.voice, entry_of(day)
    found = [_lines_called(name, on, ask) for name in order.names]
    lost = next((name for name, lines in zip(order.names, found, strict=True) if not lines), None)
    if lost is not None:
        return Served(sentence=_nobody(lost, day, ask))
    several = next((name for name, lines in zip(order.names, found, strict=True) if len(lines) > 1), None)
    if several is not None and len(found) > 1:
        return Served(sentence=voice.say("by_name.one_at_a_time", name=as_name(several)))
    options = [TakeOffDeed(event=on.event, day=on.day, lines=(_line(one),)) for one in found[0]]
    if several is not None:
        return asked_which(as_name(several), options, [label(one, voice) for one in found[0]], ask)
    deed = TakeOffDeed(event=on.event, day=on.day, lines=tuple(_line(lines[0]) for lines in found))
    return off_shown(deed, ask, unused=order.unused)


def _off_wherever(order: TakeOff, ask: Ask) -> Served:
    """Neither event nor day is told: the coming list that has the name, which of several is asked; where none has it, the event is."""
    voice = ask.voice
    days = [day for day in days_found(ask) if all(_lines_called(name, entry_of(day), ask) for name in order.names)]
    if len(days) == 1:
        return _off_that_day(order, days[0], ask)
    if not days:
        return _on_no_list(order, ask)
    if len(order.names) > 1:
        return Served(sentence=voice.say("order.which_event", list="; ".join(named(one, voice) for one in days)))
    options, labels = [], []
    for day in days:
        on = entry_of(day)
        for line in _lines_called(order.names[0], on, ask):
            options.append(TakeOffDeed(event=on.event, day=on.day, lines=(_line(line),)))
            labels.append(voice.say("by_name.label_day", name=line.name, event=named(day, voice)))
    return asked_which(as_name(order.names[0]), options, labels, ask)


def days_found(ask: Ask) -> list[EventDay]:
    """The days that have not begun, on whose list a name was found."""
    days = (day_of(on, ask.voice.knowledge) for on in ask.known.found)
    coming = [day for day in days if day is not None and not day.called_off and day.starts > ask.now]
    return sorted(coming, key=lambda day: day.starts)


def _on_no_list(order: TakeOff, ask: Ask) -> Served:
    """That nobody called so is on a coming list, and how else it is said."""
    voice, name = ask.voice, as_name(order.names[0])
    of_the_club = named_in(order.names, voice.knowledge)
    said = voice.say("by_name.on_no_list", names=voice.joined([as_name(one) for one in order.names]))
    if of_the_club is None:
        return Served(sentence=said)
    return Served(sentence=f"{said} {voice.say('by_name.or_retire', name=name, order=name.upper())}")


def off_shown(deed: TakeOffDeed, ask: Ask, *, unused: str = "") -> Served:
    """Who would be taken off, with how many people, and who of them is told."""
    voice = ask.voice
    day = day_of(DayId(deed.event, deed.day), voice.knowledge)
    if day is None:
        return Served(sentence=voice.say("order.no_event"))
    by_key = {line.key: line for line in lines_of(DayId(deed.event, deed.day), ask)}
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
    day, there = day_of(on, voice.knowledge), {line.key: line for line in lines_of(on, ask)}
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


def _lines_called(name: str, on: DayId, ask: Ask) -> list[Named]:
    """Those whom a name may mean; one who has just this name of several words before others."""
    found = [line for line in lines_of(on, ask) if line.name is not None and called(name, line.name)]
    whole = [line for line in found if line.name is not None and exactly(name, line.name)]
    return whole if whole and len(bare(name).split()) > 1 else found


def _nobody(name: str, day: EventDay, ask: Ask) -> str:
    """That nobody of the name has a line, with who comes nearest: in somebody else's party, or of a name like it."""
    voice, said = ask.voice, as_name(name)
    nobody = voice.say("by_name.nobody", name=said, event=named(day, voice))
    brought = [
        line.name for line in lines_of(entry_of(day), ask) if line.name is not None and _in_party(name, line.who)
    ]
    if brought:
        return f"{nobody} {voice.say('by_name.in_party', name=said, of=voice.joined(brought))}"
    near = [line.name for line in lines_of(entry_of(day), ask) if line.name is not None and akin(name, line.name)]
    return f"{nobody} {voice.say('by_name.near', names=voice.joined(near))}" if near else nobody


def _in_party(name: str, who: Sequence[Guest]) -> bool:
    return any(guest.name is not None and guest.kind != "sender" and called(name, guest.name) for guest in who)


def _line(line: Named) -> Line:
    return Line(key=line.key, name=line.name or "", people=line.people)


def label(line: Named, voice: Voice) -> str:
    """A line as it is told from others of its name."""
    how = "by_name.label" if line.by_name else "by_name.label_phone"
    state = voice.say(f"by_name.{line.state}")
    return voice.say(how, name=line.name, people=headcount(line.people, voice), state=state)
