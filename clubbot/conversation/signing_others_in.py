"""On the day: people are signed in by their names, from the phone of somebody of the club. Whoever was put down without a phone counts so as one
who came; who is on no list is put down at once, where there is room.
"""

from collections.abc import Sequence

from clubbot.conversation.ask import Ask, Served
from clubbot.conversation.by_name import lines_of, put_down
from clubbot.conversation.occasions import count_of, headcount, named
from clubbot.conversation.phrasing import Voice, capital
from clubbot.conversation.signing_in import open_for_sign_in
from clubbot.conversation.taking_off import label
from clubbot.events.choosing import entry_of
from clubbot.events.days import EventDay
from clubbot.model.club import Person
from clubbot.model.effects import Effect, KeepRsvp, Record, SignIn
from clubbot.model.orders_by_name import SignInOthers
from clubbot.model.rsvps import Named
from clubbot.people.names import as_name, exactly
from clubbot.people.names import called as is_called
from clubbot.people.roles import may


def sign_others_in(order: SignInOthers, ask: Ask, person: Person) -> Served | None:
    """Whoever is named is here; None where it is only told, and of nobody on a list that is open for sign-in."""
    voice, days = ask.voice, open_for_sign_in(ask)
    with_them = [day for day in days if any(_called(name, day, ask) for name in order.names)]
    if not with_them and not order.sure and not ask.known.found:
        return None
    if not days:
        return Served(sentence=voice.say("here.closed"))
    if not with_them and not order.sure:
        return None
    meant = with_them or days
    if len(meant) > 1:
        return Served(sentence=voice.say("order.which_event", list="; ".join(named(one, voice) for one in meant)))
    return _at(meant[0], order, ask, person)


def _at(day: EventDay, order: SignInOthers, ask: Ask, person: Person) -> Served:
    """They are signed in at this day; nobody is where one of the names may be of several."""
    voice = ask.voice
    lines: list[Named] = []
    missing: list[str] = []
    for name in order.names:
        found = _called(name, day, ask)
        if len(found) > 1:
            labels = ", ".join(label(one, voice) for one in found)
            return Served(sentence=voice.say("by_name.which_is_here", name=as_name(name), list=labels))
        lines += found
        missing += [] if found else [as_name(name)]
    out = [one.name or "" for one in lines if one.state != "coming"]
    if out:
        return Served(sentence=voice.say("by_name.not_coming", names=voice.joined(out), event=named(day, voice)))
    if missing and not (order.sure and may(person, "sign people up")):
        return Served(sentence=voice.say("by_name.nobody", name=voice.joined(missing), event=named(day, voice)))
    return _signed_in(day, lines, missing, ask, person)


def _signed_in(day: EventDay, lines: Sequence[Named], new: Sequence[str], ask: Ask, person: Person) -> Served:
    """Those of the list, and who is put down now."""
    voice, on = ask.voice, entry_of(day)
    kept = put_down(new, day, ask)
    if kept is None:
        return Served(sentence=voice.say("by_name.no_room", names=voice.joined(new), event=capital(named(day, voice))))
    seen = count_of(on, ask.known).version
    effects: list[Effect] = [KeepRsvp(on=on, rsvp=one, seen=seen) for one in kept]
    effects += [SignIn(on=on, people=one.people, of=one.key) for one in lines]
    effects += [SignIn(on=on, people=one.people, of=one.number) for one in kept]
    names = [*(_with_people(one, voice) for one in lines), *new]
    effects.append(Record(person=person.id, what=f"signed in at {on.event} {on.day}: {', '.join(names)}"))
    said = voice.say("by_name.signed_in", names=voice.joined(names), event=named(day, voice))
    if new:
        said = f"{said} {voice.say('by_name.put_down_now', names=voice.joined(new))}"
    return Served(sentence=said, effects=tuple(effects))


def _with_people(line: Named, voice: Voice) -> str:
    return f"{line.name} ({headcount(line.people, voice)})" if line.people > 1 else line.name or ""


def _called(name: str, day: EventDay, ask: Ask) -> list[Named]:
    """The lines of a day that a name may mean; one who has just this name before others."""
    on = entry_of(day)
    found = [one for one in lines_of(on, ask) if one.name is not None and is_called(name, one.name)]
    return [one for one in found if one.name is not None and exactly(name, one.name)] or found
