"""The phones of the club's own people: one that is lost takes no orders once anybody with a role says so; a new number is taken up on the
organiser's code, somebody new once that phone has said yes as well.
"""

from clubbot.conversation.ask import Ask, Served
from clubbot.conversation.closing import with_unused
from clubbot.conversation.codes import with_code
from clubbot.conversation.people_changes import invite
from clubbot.conversation.phrasing import Voice
from clubbot.model.club import Person
from clubbot.model.deeds import RestoreDeed, RosterDeed, SuspendDeed
from clubbot.model.effects import BringBack, Effect, KeepPerson, Record, Suspend, TellPerson
from clubbot.model.messages import SpokenLanguage
from clubbot.model.orders_of_people import NewNumber, RestorePhone, SuspendPhone
from clubbot.people.duty import somebody_else
from clubbot.texting.numbers import masked, to_e164
from clubbot.understanding.plain import words_of


def suspend_phone(order: SuspendPhone, ask: Ask, person: Person) -> Served:
    """Show whose phone would take no orders. It takes a code: with a forged number anybody could silence the organiser."""
    voice, knowledge = ask.voice, ask.voice.knowledge
    whose = knowledge.person(order.person) if order.person is not None else person
    if whose.id in knowledge.locked:
        return Served(sentence=voice.say("phones.suspended_already", name=whose.first_name))
    return with_code(SuspendDeed(person=whose.id), voice.say("phones.suspend", name=whose.first_name), ask)


def suspended(deed: SuspendDeed, ask: Ask, person: Person) -> Served:
    """The code has come. The phone and the organiser hear of it."""
    voice, knowledge = ask.voice, ask.voice.knowledge
    whose = knowledge.person(deed.person)
    effects: list[Effect] = [
        Suspend(person=whose.id, number=whose.number, by=person.id),
        Record(person=person.id, what=f"suspended the phone of {whose.id}"),
    ]
    head = somebody_else(knowledge, whose, ask.now)
    for other in {one.id: one for one in (head, whose) if one is not None and one.id != person.id}.values():
        theirs = Voice(knowledge, other.language)
        key = "phones.suspended_yours" if other.id == whose.id else "phones.suspended_note"
        text = theirs.say(key, name=whose.first_name, by=person.first_name)
        effects.append(TellPerson(person=other.id, number=other.number, text=text))
    return Served(sentence=voice.say("phones.suspended", name=whose.first_name), effects=tuple(effects))


def restore_phone(order: RestorePhone, ask: Ask, person: Person) -> Served:
    """Show that a phone would take orders again."""
    name = ask.voice.knowledge.person(order.person).first_name
    refused = _may_not_restore(order.person, ask, person)
    if refused is not None:
        return refused
    return with_code(RestoreDeed(person=order.person), ask.voice.say("phones.restore", name=name), ask)


def restored(deed: RestoreDeed, ask: Ask, person: Person) -> Served:
    """The code has come."""
    refused = _may_not_restore(deed.person, ask, person)
    if refused is not None:
        return refused
    whose = ask.voice.knowledge.person(deed.person)
    text = Voice(ask.voice.knowledge, whose.language).say("phones.restored_note", name=person.first_name)
    effects = (
        BringBack(number=whose.number),
        Record(person=person.id, what=f"restored the phone of {whose.id}"),
        TellPerson(person=whose.id, number=whose.number, text=text),
    )
    return Served(sentence=ask.voice.say("phones.restored", name=whose.first_name), effects=effects)


def _may_not_restore(whose: str, ask: Ask, person: Person) -> Served | None:
    """Only the organiser gives a phone its orders back; the organiser's own, somebody else than who suspended it."""
    voice, knowledge = ask.voice, ask.voice.knowledge
    name = knowledge.person(whose).first_name
    if whose not in knowledge.suspended:
        return Served(sentence=voice.say("phones.not_suspended", name=name))
    theirs = "organiser" in knowledge.person(whose).roles
    by_other = knowledge.locked.get(whose) not in {None, person.id}
    if (by_other if theirs else "organiser" in person.roles) and whose != person.id:
        return None
    return Served(sentence=voice.say("phones.restore_not_you", name=name))


def new_number(order: NewNumber, ask: Ask) -> Served:
    """Show the number that somebody would have, or who would join: its last digits, since the whole is no text for others to read."""
    voice, knowledge = ask.voice, ask.voice.knowledge
    number = to_e164(order.number, knowledge.club.country)
    if number is None:
        return Served(sentence=voice.say("phones.no_number"))
    if any(one.number == number for one in knowledge.people) or number == knowledge.club.number:
        return Served(sentence=voice.say("phones.number_taken"))
    if order.person is not None:
        whose = knowledge.person(order.person)
        changed = Person(id=whose.id, name=whose.name, number=number, roles=whose.roles, language=whose.language)
        shown = voice.say("phones.number", name=whose.first_name, digits=masked(number))
        return with_code(RosterDeed(person=changed, joins=False), shown, ask)
    language: SpokenLanguage = "fr" if voice.language == "fr" else "en"
    roles = order.roles or ("helper",)
    joins = Person(id=_id_for(order.name, ask), name=order.name, number=number, roles=roles, language=language)
    shown = voice.say("people.join", name=order.name, digits=masked(number), roles=voice.roles(roles))
    return with_code(RosterDeed(person=joins, joins=True), with_unused(shown, order.unused, voice), ask)


def _id_for(name: str, ask: Ask) -> str:
    """An id that nobody has yet."""
    first = "-".join(words_of(name)) or "helper"
    taken = {one.id for one in (*ask.voice.knowledge.people, *ask.voice.knowledge.former)}
    return next(one for one in (first, *(f"{first}-{count}" for count in range(2, 100))) if one not in taken)


def number_kept(deed: RosterDeed, ask: Ask, person: Person) -> Served:
    """The code has come: a new number is live from the next text on, and the new phone hears of it. Whoever joins is asked first."""
    if deed.joins:
        return invite(deed, ask, person)
    text = Voice(ask.voice.knowledge, deed.person.language).say("phones.number_note", name=deed.person.first_name)
    effects = (
        KeepPerson(person=deed.person),
        Record(person=person.id, what=f"number: {deed.person.id}"),
        TellPerson(person=deed.person.id, number=deed.person.number, text=text),
    )
    return Served(sentence=ask.voice.say("phones.number_kept", name=deed.person.first_name), effects=effects)
