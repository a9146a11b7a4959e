"""How an event day looks: places left and how many are coming for everybody, names for role holders only; phone numbers for nobody."""

from collections.abc import Sequence

from clubbot.conversation.ask import Ask, Served
from clubbot.conversation.occasions import count_of, named, none_then
from clubbot.conversation.phrasing import Voice, capital
from clubbot.conversation.sign_up_over import room_then
from clubbot.conversation.telling import off_day
from clubbot.conversation.which_day import ask_which, which_day
from clubbot.events.choosing import Meant, NotThen, Over, Several, id_of
from clubbot.events.days import EventDay
from clubbot.model.effects import SpeakOf
from clubbot.model.intents import AskPlaces
from clubbot.model.rsvps import Named
from clubbot.rsvps.places import free


def places(intent: AskPlaces, ask: Ask) -> Served:
    """Room left and turnout of the event day meant."""
    voice = ask.voice
    meant = which_day(intent.on, intent.event, intent.when, ask)
    match meant:
        case Meant(day):
            speak = SpeakOf(on=id_of(day), intent="places")
            return Served(sentence=_turnout(day, ask), effects=(speak,), event=day.event.id)
        case Several(days):
            return ask_which("places", days, ask)
        case NotThen(day, event, nearest) | Over(day, event, nearest):
            said = none_then(day, event, voice)
            if nearest is not None:
                said = f"{said} {_turnout(nearest, ask)}"
            return Served(sentence=said, event=event.id if event else None)
        case _:
            return Served(sentence=voice.say("events.nothing_at_all"), event=intent.event)


def _turnout(one: EventDay, ask: Ask) -> str:
    voice = ask.voice
    if one.called_off:
        return off_day(one, voice)
    names = ask.known.names.get(id_of(one), ())
    if (over := room_then(one, ask)) is not None:
        return f"{over} {_by_name(names, voice)}".strip()
    count = count_of(id_of(one), ask.known)
    room = free(one.event.places, count)
    values = {"event": capital(named(one, voice)), "coming": count.coming, "places": one.event.places, "room": room}
    if room is None:
        said = voice.say("places.no_limit", **values)
    elif room == 0:
        said = voice.say("places.full", **values, waiting=count.waiting)
    else:
        said = voice.say("places.room", **values)
    return f"{said} {_by_name(names, voice)}".strip()


def _by_name(names: Sequence[Named], voice: Voice) -> str:
    """The list for a role holder: who is coming, who waits, who is undecided."""
    said = []
    for state in ("coming", "waiting", "maybe"):
        listed = [one_name(one, voice) for one in names if one.state == state]
        if listed:
            said.append(voice.say(f"places.names_{state}", names=", ".join(listed)))
    return " ".join(said)


def one_name(one: Named, voice: Voice) -> str:
    """A line of the list: "Dana 3 (Bob, daughter)"; who comes in somebody's place with whose it is."""
    name = one.name or voice.say("places.no_name")
    if one.stand_in is not None:
        name = voice.say("places.stand_in", name=one.stand_in, of=name)
    if one.people < 2:
        return name
    others = [guest.name or guest.label for guest in one.who if guest.kind != "sender" and (guest.name or guest.label)]
    return f"{name} {one.people} ({', '.join(others)})" if others else f"{name} {one.people}"
