"""NOT ME: what went out in the name of somebody of the club was not theirs. Whoever asked is told to disregard it, the phone takes no orders
until a code brings it back, and the organiser hears of it. Only holding play is taken from it all the while.
"""

from dataclasses import replace
from datetime import timedelta

from clubbot.conversation.ask import Ask, Served
from clubbot.conversation.codes import closed, good_for
from clubbot.conversation.helping import passed
from clubbot.conversation.phrasing import Voice
from clubbot.conversation.report_list import opened_again
from clubbot.model.club import Person
from clubbot.model.deeds import BringBackDeed, Draft
from clubbot.model.effects import CloseDraft, Effect, OpenDraft, Record, Suspend, TakeBackAnswer, TellPerson
from clubbot.model.known import Question
from clubbot.people.duty import on_duty, somebody_else
from clubbot.texting.keywords import bare
from clubbot.understanding.noticing import Noticed

# Written as one word, as the thumb has it.
_NOT_ME = "notme"


def says_not_me(said: Noticed) -> bool:
    """The very words, alone: they cannot be anything else."""
    return said.says("not me") or bare(said.text.written) == _NOT_ME


def not_me(ask: Ask, person: Person) -> Served:
    """Take back what went out within a day, and take no more orders from the phone."""
    knowledge = ask.voice.knowledge
    if person.id in knowledge.suspended:
        return still_suspended(ask)
    mine = [one for one in ask.known.sent_answers if one.person == person.id]
    asked = {one.question: one.asker for one in mine if one.question in ask.known.questions}
    effects: list[Effect] = [Suspend(person=person.id), Record(person=person.id, what="NOT ME")]
    told: set[str] = set()
    for number, asker in asked.items():
        effects.append(_taken_back(ask.known.questions[number], person, ask, tell=asker not in told))
        told.add(asker)
    closed_reports = [one for one in ask.known.reports if one.done_by == person.id]
    effects += [opened_again(one, ask) for one in closed_reports]
    head = somebody_else(knowledge, person, ask.now)
    if head is not None:
        note = Voice(knowledge, head.language).say("misuse.note", name=person.first_name, count=len(told))
        effects.append(TellPerson(person=head.id, number=head.number, text=note))
    done = ask.voice.say("misuse.disregarded" if told else "misuse.nothing_sent")
    back = still_suspended(ask)
    return Served(sentence=f"{done} {back.sentence}", effects=(*effects, *back.effects))


def _taken_back(question: Question, person: Person, ask: Ask, *, tell: bool) -> TakeBackAnswer:
    """The asker is told, and the question is open again, with whoever is on duty."""
    knowledge = replace(ask.voice.knowledge, suspended=ask.voice.knowledge.suspended | {person.id})
    text = Voice(knowledge, question.language).say("misuse.disregard") if tell else None
    duty = on_duty(knowledge, ask.now)
    if duty.person.id == person.id:
        return TakeBackAnswer(number=question.number, text=text)
    due = None if question.reason == "danger" else duty.resumes
    next_at = (due or ask.now) + timedelta(minutes=knowledge.club.answer_within_minutes)
    note = passed(question, duty.person, knowledge, next_at)
    return TakeBackAnswer(
        number=question.number,
        text=text,
        person=note.person,
        phone=note.phone,
        note=note.note,
        next_at=next_at,
        due=due,
    )


def still_suspended(ask: Ask) -> Served:
    """That the phone takes no orders, with the code that brings it back: it goes to the phone, so whoever holds the phone has it."""
    sender = ask.known.sender.number
    if any(one.number == sender and one.id in ask.voice.knowledge.locked for one in ask.voice.knowledge.people):
        return Served(sentence=ask.voice.say("phones.locked"), effects=(CloseDraft(),))
    until = closed(ask, sender)
    if until is not None:
        said = ask.voice.say("misuse.suspended_locked", time=ask.voice.moment(until, ask.now))
        return Served(sentence=said, effects=(CloseDraft(),))
    deed = BringBackDeed()
    draft = Draft(code=ask.known.code, deed=deed, until=ask.now + good_for(deed))
    return Served(sentence=ask.voice.say("misuse.suspended", code=draft.code), effects=(OpenDraft(draft=draft),))
