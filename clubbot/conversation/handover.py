"""What only a person can deal with goes to whoever is on duty; the asker hears who and until when."""

from dataclasses import replace
from datetime import datetime, timedelta

from clubbot.conversation.alarm import all_was_well, what_helps
from clubbot.conversation.ask import Ask, Served
from clubbot.conversation.crowd import ALARM_WITHIN, MOST_ALARMS, alarm_told
from clubbot.conversation.flood import too_many
from clubbot.conversation.helping import quoted
from clubbot.conversation.not_twice import fresh, told_lately
from clubbot.conversation.phrasing import Voice
from clubbot.conversation.warning import with_caution
from clubbot.model.club import Person
from clubbot.model.effects import QUESTION_NUMBER, AddToAlarm, HandOver, LetThrough
from clubbot.people.duty import organiser, who_takes_orders
from clubbot.understanding.danger import sounds_like_danger


def for_a_person(ask: Ask, *, reason: str, wanted: bool = False) -> Served:
    """Passed to whoever is on duty, or, where the asker goes on with a question of today, to the person who has that one; the asker
    hears who and until when.
    """
    voice, duty = ask.voice, ask.duty
    thread = ask.known.thread
    # Whose phone takes no orders since NOT ME is asked nothing.
    at_hand = (one for one in voice.knowledge.people if one.id not in voice.knowledge.suspended)
    person = next((one for one in at_hand if thread is not None and one.id == thread.person), None)
    if thread is not None and person is not None:  # somebody who has left the club answers nobody
        sentence = fresh(voice, ask.known, "handover.goes_on", name=person.first_name)
        if thread.reason == "danger" and (reason == "detail" or not all_was_well(person.first_name, ask)):
            sentence = f"{what_helps(ask)} {fresh(voice, ask.known, 'danger.goes_on', name=person.first_name)}".strip()
            # where they are, how it stands: the first at once, at night too, then counted
            if thread.open and too_many("detail", ask.known) is not None:  # one that was settled alarms anew
                return Served(sentence=sentence, effects=(AddToAlarm(number=thread.number),), served=wanted)
            urgent = handed(ask, "detail", "danger.note", to=person, again=thread.number)
            return Served(
                sentence=sentence, effects=(replace(urgent, due=None, next_at=_later(ask, ask.now)),), served=wanted
            )
        if duty.resumes is not None:
            resumes = voice.moment(duty.resumes, ask.now)
            sentence = fresh(voice, ask.known, "handover.goes_on_later", name=person.first_name, resumes=resumes)
        if wanted:
            later = "wanted_later_again" if duty.resumes is not None else "wanted_again"
            resumes = voice.moment(duty.resumes, ask.now) if duty.resumes is not None else ""
            sentence = voice.say(f"handover.{later}", name=person.first_name, resumes=resumes)
        elif told_lately(sentence, ask.known):
            sentence = ""  # it is passed on all the same
        note = handed(ask, reason, "handover.goes_on_note", to=person, again=thread.number)
        return Served(sentence=sentence, effects=(note,), served=wanted)
    kind = "wanted" if wanted else "reply"
    if duty.resumes is not None:
        kind = "wanted_later" if wanted else "later"
    resumes = voice.moment(duty.resumes, ask.now) if duty.resumes else ""
    sentence = fresh(
        voice,
        ask.known,
        f"handover.{kind}",
        name=duty.person.first_name,
        wait=voice.length(voice.knowledge.club.answer_within_minutes),
        resumes=resumes,
    )
    return Served(sentence=sentence, effects=(handed(ask, reason, "handover.note"),), served=wanted)


def unreadable(ask: Ask) -> Served:
    """A text in letters that we cannot read goes to a person."""
    said = ask.voice.say("handover.unreadable", name=ask.duty.person.first_name)
    return Served(sentence=said, effects=(handed(ask, "unreadable", "handover.note"),), served=False)


def danger(ask: Ask) -> Served:
    """The emergency number first; the person on duty is told at once. What the same phone cries within ten minutes is added to it, and
    where many phones cry at once the person is told of the first of them singly, of the others by number.
    """
    alarm, knowledge, thread = ask.known.alarm, ask.voice.knowledge, ask.known.thread
    if thread is not None and thread.reason == "danger" and not sounds_like_danger(ask.said):
        return for_a_person(ask, reason="detail")  # by its sound alone: rather what belongs to the cry before
    if alarm is not None and alarm.open:
        told = next((one for one in knowledge.people if one.id == alarm.person), organiser(knowledge))
        said = f"{ask.voice.say('danger.again', name=told.first_name)} {what_helps(ask)}".strip()
        return Served(sentence=said, effects=(AddToAlarm(number=alarm.number),), served=False)
    person = whoever_is_up(ask)
    said = f"{ask.voice.say('danger.reply', name=person.first_name)} {what_helps(ask)}".strip()
    said = with_caution(said, ask)
    note = replace(handed(ask, "danger", "danger.note", to=person), due=None, next_at=_later(ask, ask.now))
    if not alarm_told(ask.known):
        return Served(sentence=said, effects=(replace(note, kept=True),), served=False)
    through = LetThrough(kind="alarm", most=MOST_ALARMS, within=ALARM_WITHIN)
    return Served(sentence=said, effects=(through, note), served=False)


def whoever_is_up(ask: Ask) -> Person:
    """Who is told of what cannot wait: whoever is on duty; at night nobody's turn is waited for."""
    knowledge = ask.voice.knowledge
    return ask.duty.person if ask.duty.resumes is None else who_takes_orders(knowledge, organiser(knowledge))


def handed(
    ask: Ask, reason: str, key: str, *, to: Person | None = None, again: int | None = None, **values: object
) -> HandOver:
    """The note speaks the volunteer's language and quotes the asker, with any phone number masked. Between turns it waits for the next."""
    knowledge, person = ask.voice.knowledge, to or ask.duty.person
    theirs = Voice(knowledge, person.language)
    note = theirs.say(key, number=QUESTION_NUMBER, text=quoted(ask.text), **values)
    due = ask.duty.resumes
    return HandOver(
        reason=reason,
        person=person.id,
        number=person.number,
        note=note,
        due=due,
        next_at=_later(ask, due or ask.now),
        again=again,
    )


def _later(ask: Ask, since: datetime) -> datetime:
    """When the next on the roster is told too."""
    return since + timedelta(minutes=ask.voice.knowledge.club.answer_within_minutes)
