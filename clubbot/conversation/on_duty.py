"""Who is on duty on which days, by text: the organiser says so with a code; anybody else who may swap turns asks the person whom it falls to,
who says yes with a code of their own.
"""

from collections.abc import Iterable
from datetime import date, timedelta

from clubbot.conversation.ask import Ask, Served
from clubbot.conversation.closing import with_unused
from clubbot.conversation.codes import propose, with_code
from clubbot.conversation.people_changes import meant, with_rest
from clubbot.conversation.phrasing import Voice
from clubbot.conversation.whom import Named
from clubbot.model.club import DutyDay, Knowledge, Person
from clubbot.model.deeds import DutyDeed
from clubbot.model.effects import Effect, KeepDuty, Record, TellPerson
from clubbot.model.intents import When
from clubbot.model.orders_of_people import PutOnDuty
from clubbot.people.duty import turns_on
from clubbot.people.roles import may

# Two weeks, and then it is a matter for the roster.
_MOST_DAYS = 14


def put_on_duty(order: PutOnDuty, ask: Ask, person: Person) -> Served | None:
    """Show who would be on duty when, and whose turns these are now."""
    found = meant(order, ask, person)
    if not isinstance(found, Named):
        return found
    voice, whose = ask.voice, found.person
    if order.days is None:
        return with_rest(Served(sentence=voice.say("duty.which_days", name=whose.first_name)), found.rest, ask)
    days = days_of(order.days, ask.now.astimezone(voice.knowledge.club.zone).date())
    if not days:
        return Served(sentence=voice.say("duty.days_over", name=whose.first_name))
    if len(days) > _MOST_DAYS:
        return Served(sentence=voice.say("duty.too_many", most=_MOST_DAYS))
    if all([one.person for one in turns_on(voice.knowledge, day)] == [whose.id] for day in days):
        said = voice.say("duty.already", name=whose.first_name, days=spoken(days, voice))
        return with_rest(Served(sentence=said), found.rest, ask)
    by_code = may(person, "change people")
    deed = DutyDeed(person=whose.id, days=days, asked_by=person.id, agree=not by_code)
    if by_code or whose.id == person.id:
        return with_code(deed, with_unused(_shown(deed, voice), ", ".join(found.rest), voice), ask)
    return with_rest(_asked(deed, whose, ask, person), found.rest, ask)


def _asked(deed: DutyDeed, whose: Person, ask: Ask, person: Person) -> Served:
    """The one whom it falls to is asked; nothing changes before the yes."""
    theirs = Voice(ask.voice.knowledge, whose.language)
    text = theirs.say("duty.take_days", by=person.first_name, days=spoken(deed.days, theirs), code=ask.known.code)
    asked = propose(deed, whose, text, ask)
    if isinstance(asked, Served):
        return asked
    said = ask.voice.say("duty.asked", name=whose.first_name, day=spoken(deed.days, ask.voice))
    return Served(sentence=said, effects=(asked,))


def days_of(named: Iterable[When], today: date) -> tuple[date, ...]:
    """Each day that is named and not over, in order."""
    found: set[date] = set()
    for one in named:
        found |= {one.first + timedelta(days=ahead) for ahead in range((one.last - one.first).days + 1)}
    return tuple(sorted(day for day in found if day >= today))


def spoken(days: tuple[date, ...], voice: Voice) -> str:
    """Days with their dates; those that follow one another as from and to."""
    runs: list[list[date]] = []
    for day in days:
        if runs and day - runs[-1][-1] == timedelta(days=1):
            runs[-1].append(day)
        else:
            runs.append([day])
    return voice.joined([part for run in runs for part in _run(run, voice)])


def _run(run: list[date], voice: Voice) -> list[str]:
    if len(run) <= 2:
        return [voice.dated(day) for day in run]
    return [voice.say("duty.from_to", first=voice.dated(run[0]), last=voice.dated(run[-1]))]


def _shown(deed: DutyDeed, voice: Voice) -> str:
    name = voice.knowledge.person(deed.person).first_name
    said = voice.say("duty.put", name=name, days=spoken(deed.days, voice))
    instead = _relieved(deed, voice.knowledge)
    if not instead:
        return said
    names = voice.joined([one.first_name for one in instead])
    return f"{said} {voice.say('duty.instead_of', names=names)}"


def _relieved(deed: DutyDeed, knowledge: Knowledge) -> list[Person]:
    """Who has turns on these days until now."""
    ids = dict.fromkeys(one.person for day in deed.days for one in turns_on(knowledge, day))
    return [knowledge.person(one) for one in ids if one != deed.person]


def duty_kept(deed: DutyDeed, ask: Ask, person: Person) -> Served:
    """The code, or the yes, has come: all concerned hear of it."""
    voice, knowledge = ask.voice, ask.voice.knowledge
    here = {one.id: one for one in knowledge.people}
    whose = here.get(deed.person)
    if whose is None:
        return Served(sentence=voice.say("people.gone_already", name=knowledge.person(deed.person).first_name))
    effects: list[Effect] = [KeepDuty(on=DutyDay(day=day, person=whose.id)) for day in deed.days]
    days = ", ".join(str(day) for day in deed.days)
    effects.append(Record(person=person.id, what=f"{whose.id} on duty {days}, asked by {deed.asked_by}"))
    by = knowledge.person(deed.asked_by)
    concerned = dict.fromkeys([whose, *_relieved(deed, knowledge), *([by] if by.id in here else [])])
    effects += [_told(other, whose, deed, knowledge, by) for other in concerned if other.id != person.id]
    said = voice.say("duty.kept", name=whose.first_name, days=spoken(deed.days, voice))
    return Served(sentence=said, effects=tuple(effects))


def _told(other: Person, whose: Person, deed: DutyDeed, knowledge: Knowledge, by: Person) -> TellPerson:
    """What whoever is put on duty hears, who asked for it, and whose turn it was."""
    theirs = Voice(knowledge, other.language)
    key = {whose.id: "duty.put_note", by.id: "duty.kept"}.get(other.id, "duty.kept_note")
    text = theirs.say(key, name=whose.first_name, days=spoken(deed.days, theirs), by=by.first_name)
    return TellPerson(person=other.id, number=other.number, text=text)
