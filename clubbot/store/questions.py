"""Messages that wait for a person: each is a question with a number, the people who were told of it, and what became of it."""

from datetime import datetime, timedelta
from typing import assert_never

from sqlalchemy import Connection, delete, select, update
from sqlalchemy.dialects.sqlite import insert

from clubbot.model.effects import (
    QUESTION_NUMBER,
    AddToAlarm,
    AnswerQuestion,
    HandOver,
    PassQuestion,
    ProposeWriting,
    QuestionEffect,
    SettleQuestion,
    TakeBackAnswer,
    WriteTo,
)
from clubbot.model.known import Question, SentAnswer
from clubbot.store.floods import add_to_alarm, note_alarms_told
from clubbot.store.lacking import propose_writing
from clubbot.store.pen import Decided, Pen, send
from clubbot.store.tables import inbox, questions, sent_answers

# So far back NOT ME takes answers back.
ANSWERS_KEPT = timedelta(days=1)

_QUESTION = insert(questions).returning(questions.c.number)


def write_question(connection: Connection, effect: QuestionEffect, decided: Decided, pen: Pen, now: datetime) -> None:
    """What becomes of a message that a person has to deal with."""
    match effect:
        case HandOver():
            _hand_over(connection, effect, decided, pen, now)
        case ProposeWriting():
            propose_writing(connection, effect, decided, pen, now)
        case WriteTo():
            _write_to(connection, effect, decided, pen, now)
        case AddToAlarm(number=number):
            _add_to_alarm(connection, number, decided, now)
        case PassQuestion():
            pass_question(connection, effect, pen, now)
        case SettleQuestion(number=number, person=person):
            _settle(connection, number, person, now)
        case AnswerQuestion():
            _answer(connection, effect, decided, pen, now)
        case TakeBackAnswer():
            _take_back(connection, effect, decided, pen, now)
        case _:
            assert_never(effect)


def read_unanswered(connection: Connection, now: datetime, most: int) -> list[Question]:
    """Questions that nobody has answered in time and that go to one more person now."""
    rows = connection.execute(
        select(questions, inbox.c.text)
        .join(inbox, inbox.c.id == questions.c.inbox_id)
        .where(questions.c.answered_at.is_(None), questions.c.next_at <= now)
        .order_by(questions.c.number)
        .limit(most)
    )
    return [
        Question(
            number=row.number,
            language=row.language,
            words=row.so_far + row.text,
            told=tuple(row.told.split()) or (row.person,),
            asked_at=row.asked_at,
            reason=row.reason,
        )
        for row in rows
    ]


def goes_no_further(connection: Connection, number: int) -> None:
    """Everybody has been told; the digest lists it."""
    connection.execute(update(questions).where(questions.c.number == number).values(next_at=None))


def wait_until(connection: Connection, number: int, moment: datetime) -> None:
    """It is night: the next is told when the next turn begins."""
    connection.execute(update(questions).where(questions.c.number == number).values(next_at=moment))


def read_sent_answers(connection: Connection, now: datetime) -> tuple[SentAnswer, ...]:
    """What was answered within a day, the oldest first."""
    rows = connection.execute(
        select(sent_answers.c.question, sent_answers.c.person, questions.c.asker)
        .join(questions, questions.c.number == sent_answers.c.question)
        .where(sent_answers.c.at > now - ANSWERS_KEPT)
        .order_by(sent_answers.c.id)
    )
    return tuple(SentAnswer(question=row.question, person=row.person, asker=row.asker) for row in rows)


def forget_sent_answers(connection: Connection, person: str) -> None:
    """What this person answered is not looked at again."""
    connection.execute(delete(sent_answers).where(sent_answers.c.person == person))


def ours_to_settle(connection: Connection, effect: AnswerQuestion | PassQuestion | SettleQuestion) -> bool:
    """Whether nobody else has answered it meanwhile."""
    row = connection.execute(
        select(questions.c.answered_at, questions.c.answered_by).where(questions.c.number == effect.number)
    ).one_or_none()
    if row is None or row.answered_at is None:
        return True
    return isinstance(effect, AnswerQuestion) and bool(row.answered_by == effect.person)


def _hand_over(connection: Connection, effect: HandOver, decided: Decided, pen: Pen, now: datetime) -> None:
    if effect.again is not None:
        _again(connection, effect, effect.again, decided, pen, now)
        return
    row = {
        "inbox_id": decided.inbox_id,
        "asker": decided.message.sender,
        "language": decided.language,
        "reason": effect.reason,
        "person": effect.person,
        "asked_at": now,
        "told": "" if effect.kept else effect.person,
        "next_at": effect.next_at,
        "state": "kept" if effect.kept else "told",
        "cried_at": now if effect.reason == "danger" else None,
        "held": int(effect.kept and effect.reason == "danger"),
    }
    number = connection.execute(_QUESTION, row).scalar_one()
    if effect.kept:
        return
    if effect.reason == "danger":
        note_alarms_told(connection, effect.person, now)
    note = effect.note.replace(QUESTION_NUMBER, str(number))
    # A volunteer who has opted out of the club's texts is still on the roster: the note is their duty, not news.
    urgent = effect.reason == "danger"
    send(connection, f"question:{number}", effect.number, note, False, pen, now, effect.due, urgent=urgent)


def _again(connection: Connection, effect: HandOver, number: int, decided: Decided, pen: Pen, now: datetime) -> None:
    """The asker goes on. While it is open those who were told still have it, with all that was written; what was answered begins anew with
    the person who answered.
    """
    is_open, so_far, reason = _before(connection, number)
    values: dict[str, object] = {"inbox_id": decided.inbox_id, "answered_at": None, "so_far": so_far}
    if effect.kept:  # those who were told still have it, with all that was written; what was answered waits in the list
        values |= {} if is_open else {"told": "", "state": "kept", "noted_at": None, "next_at": None}
        connection.execute(update(questions).where(questions.c.number == number).values(values))
        return
    values |= {
        "person": effect.person,
        "told": _with(connection, number, effect.person) if is_open else effect.person,
        "next_at": effect.next_at,
        "state": "told",
    }
    connection.execute(update(questions).where(questions.c.number == number).values(values))
    if effect.reason == "detail":
        note_alarms_told(connection, effect.person, now)
    note = effect.note.replace(QUESTION_NUMBER, str(number))
    urgent = "danger" in {reason, effect.reason}
    key = f"question:{number}:{decided.inbox_id}"
    send(connection, key, effect.number, note, False, pen, now, effect.due, urgent=urgent)


def _write_to(connection: Connection, effect: WriteTo, decided: Decided, pen: Pen, now: datetime) -> None:
    """Somebody of the club writes first. It is kept as a question that has been answered, so that what comes back goes on with it."""
    row = {
        "inbox_id": decided.inbox_id,
        "asker": effect.number,
        "language": effect.language,
        "reason": "written to",
        "person": effect.person,
        "asked_at": now,
        "answered_at": now,
        "answered_by": effect.person,
        "told": effect.person,
    }
    connection.execute(insert(questions).values(row).on_conflict_do_nothing())  # of several it is the first
    key = f"written:{decided.inbox_id}:{effect.number}"
    send(connection, key, effect.number, effect.text, True, pen, now, effect.due)


# What an asker wrote before is shown in part only, and a flood of it is not kept twice.
_LONGEST_SO_FAR = 2000


def _before(connection: Connection, number: int) -> tuple[bool, str, str]:
    """Whether a question is open, all that was written to it before as long as it is, and why it was asked."""
    before = connection.execute(
        select(questions.c.answered_at, questions.c.so_far, questions.c.reason, inbox.c.text)
        .join(inbox, inbox.c.id == questions.c.inbox_id)
        .where(questions.c.number == number)
    ).one()
    is_open = before.answered_at is None
    so_far = f"{before.so_far}{before.text} / "[:_LONGEST_SO_FAR] if is_open else ""
    return is_open, so_far, before.reason


def _add_to_alarm(connection: Connection, number: int, decided: Decided, now: datetime) -> None:
    _, so_far, _ = _before(connection, number)
    add_to_alarm(connection, number, so_far, decided.inbox_id, now)


def _with(connection: Connection, number: int, person: str) -> str:
    """Those who were told of a question, and one more."""
    told = connection.execute(select(questions.c.told).where(questions.c.number == number)).scalar_one()
    return " ".join(dict.fromkeys([*told.split(), person]))


def pass_question(connection: Connection, effect: PassQuestion, pen: Pen, now: datetime) -> None:
    """A question goes to one more person."""
    names = _with(connection, effect.number, effect.person)
    asked = connection.execute(
        select(questions.c.reason, questions.c.asker).where(questions.c.number == effect.number)
    ).one()
    reason = asked.reason
    connection.execute(
        update(questions)
        .where(questions.c.number == effect.number)
        .values(told=names, next_at=effect.next_at, person=effect.person)
    )
    if effect.to_asker:
        key = f"question:{effect.number}:{effect.person}:asker:{int(now.timestamp())}"
        send(connection, key, asked.asker, effect.to_asker, reason != "danger", pen, now, effect.due)
    if not effect.note:
        return
    send(
        connection,
        f"question:{effect.number}:{effect.person}:{int(now.timestamp())}",
        effect.phone,
        effect.note,
        False,
        pen,
        now,
        effect.due,
        urgent=reason == "danger",
    )


def _settle(connection: Connection, number: int, person: str, now: datetime) -> None:
    connection.execute(
        update(questions)
        .where(questions.c.number == number, questions.c.answered_at.is_(None))
        .values(answered_at=now, answered_by=person, next_at=None)
    )


def _answer(connection: Connection, effect: AnswerQuestion, decided: Decided, pen: Pen, now: datetime) -> None:
    """The words go out; whoever settled the question may add more."""
    asked = connection.execute(
        select(questions.c.asker, questions.c.reason).where(questions.c.number == effect.number)
    ).one()
    _settle(connection, effect.number, effect.person, now)
    connection.execute(update(questions).where(questions.c.number == effect.number).values(answer=effect.words))
    _keep_sent_answer(connection, effect.number, effect.person, now)
    # Somebody who had opted out and then called for help wants this answer.
    asks_consent = asked.reason != "danger"
    key = f"answer:{effect.number}:{decided.inbox_id}"
    send(connection, key, asked.asker, effect.text, asks_consent, pen, now, urgent=not asks_consent)


def _take_back(connection: Connection, effect: TakeBackAnswer, decided: Decided, pen: Pen, now: datetime) -> None:
    """The asker hears that the answer was none of ours; the question waits again, and goes to somebody else."""
    asked = connection.execute(
        select(questions.c.asker, questions.c.reason).where(questions.c.number == effect.number)
    ).one()
    connection.execute(
        update(questions)
        .where(questions.c.number == effect.number)
        .values(answered_at=None, answered_by=None, answer=None, next_at=effect.next_at)
    )
    if effect.text is not None:
        key = f"disregard:{effect.number}:{decided.inbox_id}"
        send(connection, key, asked.asker, effect.text, asked.reason != "danger", pen, now)
    if effect.person is not None:
        passed = PassQuestion(
            number=effect.number,
            person=effect.person,
            phone=effect.phone,
            note=effect.note,
            next_at=effect.next_at,
            due=effect.due,
        )
        pass_question(connection, passed, pen, now)


def _keep_sent_answer(connection: Connection, question: int, person: str, now: datetime) -> None:
    """Somebody of the club has answered; what is too old to be taken back is swept."""
    connection.execute(delete(sent_answers).where(sent_answers.c.at <= now - ANSWERS_KEPT))
    connection.execute(insert(sent_answers).values(question=question, person=person, at=now))
