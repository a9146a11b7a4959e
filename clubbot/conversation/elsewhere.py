"""An event day on another day or at another place, and events of one day that no file has: shown first, with a code; the list is told."""

from datetime import datetime, time

from clubbot.conversation.ask import Ask, Served
from clubbot.conversation.changing import on_its_list, on_one_day, shifted
from clubbot.conversation.codes import with_code
from clubbot.conversation.occasions import named
from clubbot.conversation.phrasing import capital
from clubbot.events.days import EventDay
from clubbot.model.club import EventRule, Person
from clubbot.model.deeds import AddEventDeed, MoveDeed
from clubbot.model.effects import AddEventDay, Record
from clubbot.model.messages import Said
from clubbot.model.orders import AddEvent, MoveElsewhere
from clubbot.understanding.orders.timing import nearer
from clubbot.understanding.plain import words_of

# An hour without morning or evening is the one of most events: the afternoon or evening.
_USUAL = time(18)
# No answer of the club tells of such an event: it is told from what is known of it.
_TOPIC = "added"


def move_elsewhere(order: MoveElsewhere, ask: Ask) -> Served:
    """Show the new day or place of an event day."""
    return on_one_day(order.event, order.when, ask, lambda day: _shown(order, day, ask))


def _shown(order: MoveElsewhere, day: EventDay, ask: Ask) -> Served:
    voice, zone = ask.voice, ask.voice.knowledge.club.zone
    usual = day.starts.astimezone(zone)
    held = order.to.first if order.to is not None else usual.date()
    starts = usual.time()
    if order.starts is not None:
        starts = order.starts if order.sure else nearer(order.starts, usual.time())
    at = datetime.combine(held, starts, zone)
    if min(at, day.starts) <= ask.now:
        return Served(sentence=voice.say("order.over", time=voice.moment(min(at, day.starts), ask.now)))
    meet = Said(en=order.place, fr=order.place) if order.place else None
    if at == day.starts and (meet is None or meet == day.meet):
        return Served(sentence=voice.say("order.same_hour", event=capital(named(day, voice))))
    by = at.replace(tzinfo=None) - datetime.combine(held, usual.time())
    ends = shifted(day.ends.astimezone(zone).time(), by, held) if day.ends is not None else None
    moved_to = held if held != usual.date() else None
    deed = MoveDeed(event=day.event.id, day=day.day, starts=starts, ends=ends, moved_to=moved_to, meet=meet)
    where = voice.say("order.at_place", place=order.place) if order.place else ""
    new = voice.say("order.move_to", day=voice.dated(held), time=voice.clock(starts), place=where)
    shown = voice.say("order.move_elsewhere", event=named(day, voice), new=new, list=on_its_list(day, ask))
    return with_code(deed, shown, ask)


def add_event(order: AddEvent, ask: Ask) -> Served:
    """Show the event that would be added."""
    voice, zone = ask.voice, ask.voice.knowledge.club.zone
    day = order.when.first
    starts = order.starts or _USUAL
    starts = starts if order.sure else nearer(starts, _USUAL)
    at = datetime.combine(day, starts, zone)
    if at <= ask.now:
        return Served(sentence=voice.say("order.over", time=voice.moment(at, ask.now)))
    meet = Said(en=order.place, fr=order.place) if order.place else _usual_meet(ask)
    deed = AddEventDeed(name=order.name, day=day, starts=starts, meet=meet, places=order.places, price=order.price or 0)
    values = {"name": order.name, "day": voice.dated(day), "time": voice.clock(starts), "meet": meet.to(voice.language)}
    seats = voice.say("order.seats", places=order.places) if order.places else voice.say("order.no_limit")
    price = voice.money(order.price) if order.price else voice.say("order.free")
    shown = voice.say("order.add_event", **values, seats=seats, price=price)
    return with_code(deed, shown, ask)


def event_added(deed: AddEventDeed, ask: Ask, person: Person) -> Served:
    """The code has come: it is an event like any other from now on, of one day."""
    voice = ask.voice
    rule = _rule(deed, ask)
    record = Record(person=person.id, what=f"added {deed.name} {deed.day} {deed.starts:%H:%M}")
    said = voice.say("order.event_added", name=deed.name, day=voice.dated(deed.day), time=voice.clock(deed.starts))
    return Served(sentence=said, effects=(AddEventDay(event=rule), record))


def _rule(deed: AddEventDeed, ask: Ask) -> EventRule:
    """An event of one day. Its id tells its day and name, so that the same one is not there twice."""
    name = "-".join(words_of(deed.name))[:30]
    return EventRule(
        id=f"added-{deed.day:%Y%m%d}-{name}",
        topic=_TOPIC,
        name=Said(en=deed.name, fr=deed.name),
        also_called=(deed.name,),
        first=deed.day,
        last=deed.day,
        starts=deed.starts,
        places=deed.places,
        price=deed.price,
        meet=deed.meet,
    )


def _usual_meet(ask: Ask) -> Said:
    """Where most events of the club meet."""
    meets = [one.meet for one in ask.voice.knowledge.events]
    return max(meets, key=meets.count) if meets else Said(en="", fr="")
