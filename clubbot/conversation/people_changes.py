"""Who belongs to the club's people and what they do, changed by text: somebody joins once their own phone says yes, retires, gets or loses a
role. Each is shown first, done on the organiser's code, and live from the next text on.
"""

from dataclasses import replace
from datetime import timedelta

from clubbot.conversation.ask import Ask, Served
from clubbot.conversation.closing import with_unused
from clubbot.conversation.codes import LONGEST_GOOD, with_code
from clubbot.conversation.helping import passed
from clubbot.conversation.phrasing import Voice
from clubbot.conversation.whom import Named, named_in, same_first_name
from clubbot.model.club import WEEKDAYS, Knowledge, Person, Retired, Role
from clubbot.model.deeds import Draft, JoinDeed, RetireDeed, RolesDeed, RosterDeed
from clubbot.model.effects import (
    Effect,
    KeepRoles,
    PassQuestion,
    Propose,
    Record,
    RetirePerson,
    TellPerson,
)
from clubbot.model.known import Question
from clubbot.model.orders_of_people import GiveRole, PutOnDuty, Retire, TakeRole
from clubbot.people.changed import without
from clubbot.people.duty import next_after, on_duty, organiser


def meant(order: Retire | GiveRole | TakeRole | PutOnDuty, ask: Ask, person: Person) -> Named | Served | None:
    """Whom an order is about; a plain no where nobody is called so, None where a bare fact is about somebody else than the club's people."""
    voice = ask.voice
    found = named_in(order.said, voice.knowledge, person)
    if found is not None:
        return found
    if not order.sure:
        return None
    shared = same_first_name(order.said, voice.knowledge)
    if len(shared) > 1:
        return Served(sentence=voice.say("people.which", names=voice.joined(shared)))
    words = order.said[0] if order.said else ""
    return Served(sentence=voice.say("people.unknown" if words else "people.nobody", words=words))


def with_rest(served: Served, rest: tuple[str, ...], ask: Ask) -> Served:
    """What an order says besides and was not taken up is quoted back."""
    return replace(served, sentence=with_unused(served.sentence, ", ".join(rest), ask.voice))


def invite(deed: RosterDeed, ask: Ask, person: Person) -> Served:
    """The organiser's code has come: the new phone is asked, and has its role with its yes."""
    voice, joins = ask.voice, deed.person
    if any(one.number == joins.number for one in voice.knowledge.people):
        return Served(sentence=voice.say("phones.number_taken"))
    theirs = Voice(voice.knowledge, joins.language)
    text = theirs.say("people.invitation", name=joins.first_name, by=person.first_name, roles=theirs.roles(joins.roles))
    draft = Draft(code=ask.known.code, deed=JoinDeed(person=joins, asked_by=person.id), until=ask.now + LONGEST_GOOD)
    effects = (
        Propose(number=joins.number, draft=draft, text=text, asks_consent=True),
        Record(person=person.id, what=f"asked {joins.id} to join: {', '.join(joins.roles)}"),
    )
    return Served(sentence=voice.say("people.invited", name=joins.first_name), effects=effects)


def retire(order: Retire, ask: Ask, person: Person) -> Served | None:
    """Show who would be none of the club's people any more, and what becomes of their questions and turns."""
    found = meant(order, ask, person)
    if not isinstance(found, Named):
        return found
    voice, whose = ask.voice, found.person
    refused = _keeps_a_head(without(voice.knowledge, whose.id), whose, ask)
    if refused is not None:
        return with_rest(refused, found.rest, ask)
    shown = [voice.say("people.retire", name=whose.name), *_left_behind(whose, ask)]
    return with_code(RetireDeed(person=whose.id), with_unused(" ".join(shown), ", ".join(found.rest), voice), ask)


def _left_behind(whose: Person, ask: Ask) -> list[str]:
    """Their open questions, and their turns on duty, and whose they are then."""
    voice, after = ask.voice, without(ask.voice.knowledge, whose.id)
    said = []
    count = len(_only_theirs(whose, ask, after))
    if count:
        said.append(voice.say("people.retire_questions", count=count, name=on_duty(after, ask.now).person.first_name))
    turns = [day for day in WEEKDAYS if any(one.person == whose.id and day in one.days for one in voice.knowledge.duty)]
    if turns:
        days = voice.joined([voice.say(f"calendar.weekdays.{WEEKDAYS.index(day)}") for day in turns])
        said.append(voice.say("people.retire_turns", days=days, name=organiser(after).first_name))
    return said


def retired(deed: RetireDeed, ask: Ask, person: Person) -> Served:
    """The code has come: live at once. What waited for them alone goes on to the next on duty; they, and who asked, are told."""
    voice, knowledge = ask.voice, ask.voice.knowledge
    whose = next((one for one in knowledge.people if one.id == deed.person), None)
    if whose is None:
        return Served(sentence=voice.say("people.gone_already", name=knowledge.person(deed.person).first_name))
    after = without(knowledge, whose.id)
    refused = _keeps_a_head(after, whose, ask)
    if refused is not None:
        return refused
    effects: list[Effect] = [
        RetirePerson(retired=Retired(id=whose.id, name=whose.name, number=whose.number)),
        Record(person=person.id, what=f"retired {whose.id}"),
        *(_passed_on(one, whose, after, ask) for one in _only_theirs(whose, ask, after)),
    ]
    if whose.id != person.id:
        text = Voice(knowledge, whose.language).say("people.retired_note", name=whose.first_name, by=person.first_name)
        effects.append(TellPerson(person=whose.id, number=whose.number, text=text))
    return Served(sentence=voice.say("people.retired", name=whose.first_name), effects=tuple(effects))


def _only_theirs(whose: Person, ask: Ask, after: Knowledge) -> list[Question]:
    """The open questions that nobody else of the club has been told of."""
    here = {one.id for one in after.people}
    return [
        one
        for one in ask.known.questions.values()
        if one.answered_by is None and whose.id in one.told and not here & {*one.told}
    ]


def _passed_on(question: Question, whose: Person, after: Knowledge, ask: Ask) -> PassQuestion:
    """A question goes to the next on duty, and the asker hears who answers instead; at night when the next turn begins."""
    duty = on_duty(after, ask.now)
    taker = duty.person if duty.person.id not in question.told else next_after(after, question.told, ask.now)
    taker = taker or organiser(after)
    due = None if question.reason == "danger" else duty.resumes
    later = (due or ask.now) + timedelta(minutes=after.club.answer_within_minutes)
    theirs = Voice(after, question.language)
    told = theirs.say("people.answers_instead", name=taker.first_name, before=whose.first_name)
    return replace(passed(question, taker, after, later), due=due, to_asker="" if question.opted_out else told)


def _keeps_a_head(after: Knowledge, whose: Person, ask: Ask) -> Served | None:
    """A plain no where nobody would be organiser any more."""
    if any("organiser" in one.roles for one in after.people):
        return None
    return Served(sentence=ask.voice.say("people.last_organiser", name=whose.first_name))


def change_role(order: GiveRole | TakeRole, ask: Ask, person: Person) -> Served | None:
    """Show who has which roles from then on."""
    found = meant(order, ask, person)
    if not isinstance(found, Named):
        return found
    voice, whose = ask.voice, found.person
    changes = _given(order, whose, voice.knowledge) if isinstance(order, GiveRole) else _taken(order, whose)
    holders = {one for one, _ in changes}
    rest = tuple(one for one in found.rest if not _names_one_of(one, holders, voice.knowledge))
    if not changes:
        key = "people.role_already" if isinstance(order, GiveRole) else "people.role_not_theirs"
        role = voice.roles((order.role,))
        return with_rest(Served(sentence=voice.say(key, name=whose.first_name, role=role)), rest, ask)
    refused = _keeps_a_head(_with_roles(changes, voice.knowledge), whose, ask)
    if refused is not None:
        return with_rest(refused, rest, ask)
    shown = [_has_now(one, roles, voice) for one, roles in changes]
    deed = RolesDeed(person=whose.id, role=order.role, roles=changes)
    return with_code(deed, with_unused(" ".join(shown), ", ".join(rest), voice), ask)


_Changes = tuple[tuple[str, tuple[Role, ...]], ...]


def _given(order: GiveRole, whose: Person, knowledge: Knowledge) -> _Changes:
    """The roles of whoever gets one, and of those whom it is taken from; who has none left stays a helper. To make somebody a helper takes
    what else they had.
    """
    if order.role == "helper":
        return () if whose.roles == ("helper",) else ((whose.id, ("helper",)),)
    others = [one for one in knowledge.people if order.moves and order.role in one.roles and one.id != whose.id]
    if order.role in whose.roles and not others:
        return ()
    gets = (*(one for one in whose.roles if one not in {"helper", order.role}), order.role)
    return ((whose.id, gets), *((one.id, _less(one, order.role)) for one in others))


def _taken(order: TakeRole, whose: Person) -> _Changes:
    return ((whose.id, _less(whose, order.role)),) if order.role in whose.roles else ()


def _less(person: Person, role: Role) -> tuple[Role, ...]:
    return tuple(one for one in person.roles if one != role) or ("helper",)


def _names_one_of(words: str, holders: set[str], knowledge: Knowledge) -> bool:
    """Whether words are just the name of somebody whom the change is about: "takes over from Leo"."""
    named = named_in((words,), knowledge)
    return named is not None and not named.rest and named.person.id in holders


def _with_roles(changes: _Changes, knowledge: Knowledge) -> Knowledge:
    roles = dict(changes)
    return replace(
        knowledge, people=tuple(replace(one, roles=roles.get(one.id, one.roles)) for one in knowledge.people)
    )


def _has_now(person: str, roles: tuple[Role, ...], voice: Voice) -> str:
    return voice.say("people.has_now", name=voice.knowledge.person(person).first_name, roles=voice.roles(roles))


def roles_changed(deed: RolesDeed, ask: Ask, person: Person) -> Served:
    """The code has come: both hear of it."""
    voice, knowledge = ask.voice, ask.voice.knowledge
    here = {one.id: one for one in knowledge.people}
    changes = tuple((one, roles) for one, roles in deed.roles if one in here)
    if deed.person not in here:
        return Served(sentence=voice.say("people.gone_already", name=knowledge.person(deed.person).first_name))
    refused = _keeps_a_head(_with_roles(changes, knowledge), here[deed.person], ask)
    if refused is not None:
        return refused
    effects: list[Effect] = []
    for one, roles in changes:
        effects += [KeepRoles(person=one, roles=roles), Record(person=person.id, what=f"{one}: {', '.join(roles)}")]
        if one != person.id:
            theirs = Voice(knowledge, here[one].language)
            text = theirs.say("people.roles_note", by=person.first_name, roles=theirs.roles(roles))
            effects.append(TellPerson(person=one, number=here[one].number, text=text))
    said = " ".join(_has_now(one, roles, voice) for one, roles in changes)
    return Served(sentence=voice.say("people.roles_changed", said=said), effects=tuple(effects))
