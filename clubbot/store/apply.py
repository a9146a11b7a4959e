"""The one pen: carries out the effects of one message and marks it answered, all in the caller's transaction."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Literal, assert_never

from sqlalchemy import Connection, bindparam, delete, select, update
from sqlalchemy.dialects.sqlite import insert

from clubbot.model.effects import (
    QUESTION_NUMBER,
    AddToAlarm,
    AnswerQuestion,
    AskAboutClosure,
    BringBack,
    CallOffDay,
    ClockEffect,
    CloseChoice,
    CloseCourse,
    CloseDraft,
    Effect,
    EndBroadcast,
    ForgetTaught,
    GoOnWithBroadcasts,
    GoQuiet,
    HandOver,
    HoldBroadcasts,
    Introduce,
    KeepExchange,
    KeepLanguage,
    KeepName,
    KeepReport,
    KeepRevision,
    KeepRsvp,
    KeepTaught,
    LetThrough,
    NoteDoubt,
    OpenChoice,
    OpenDraft,
    OptIn,
    OptOut,
    PassQuestion,
    PlanReminders,
    Propose,
    PutInTouch,
    Record,
    Relay,
    ReopenCourse,
    Reply,
    SendDigest,
    SettleQuestion,
    SettleReminder,
    SignIn,
    SpeakAgain,
    SpeakOf,
    StartBroadcast,
    Subscribe,
    Suspend,
    SwapDuty,
    TakeBackAnswer,
    TellAlarms,
    TellKept,
    TellOf,
    TellPerson,
    TryCode,
    Unsubscribe,
)
from clubbot.model.messages import Incoming, Language
from clubbot.store.broadcasts import end, go_on, hold, start_broadcast
from clubbot.store.club import (
    bring_back,
    call_off_day,
    close_course,
    close_draft,
    forget_taught,
    keep_sent_answer,
    keep_swap,
    keep_taught,
    keep_wrong_code,
    note_asked,
    open_draft,
    proposed_to,
    record,
    reopen_course,
    suspend,
)
from clubbot.store.digest import keep_digest
from clubbot.store.exchanges import forget_exchange, keep_exchange, note_doubt
from clubbot.store.floods import (
    add_to_alarm,
    has_room,
    keep_through,
    note_alarms_told,
    note_held_told,
    note_kept_told,
)
from clubbot.store.inbox import mark_answered, still_waiting
from clubbot.store.outbox import put_out
from clubbot.store.reminders import plan, settle
from clubbot.store.reports import keep_report, put_in_touch
from clubbot.store.revisions import keep_revision
from clubbot.store.rsvps import keep_rsvp, keep_talk, note_told, sign_in, still_at
from clubbot.store.tables import consents, inbox, open_choices, people, questions, subscriptions
from clubbot.texting.parts import as_sent

_MEET = insert(people).on_conflict_do_nothing()
_KEEP = update(people).where(people.c.number == bindparam("of"))
_CONSENT = insert(consents)
_QUESTION = insert(questions).returning(questions.c.number)
_NO_CHOICE = delete(open_choices).where(open_choices.c.number == bindparam("of"))


@dataclass(frozen=True, slots=True, kw_only=True)
class Decided:
    """A message with what was decided about it."""

    inbox_id: int
    message: Incoming
    effects: tuple[Effect, ...]
    language: Language
    outcome: str
    served: tuple[str, ...]
    kind: str | None = None
    code: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Pen:
    """How texts are written down: our own number, new ids, and whether letters are made plain where that saves a part."""

    our_number: str
    new_id: Callable[[], str]
    plain_letters: bool


Applied = Literal["written", "answered already", "stale"]


def apply(connection: Connection, decided: Decided, pen: Pen, now: datetime) -> Applied:
    """Write all effects and mark the message answered. Nothing is written where somebody else has answered it, or where the places
    that it was decided on have changed meanwhile: then it has to be decided again.
    """
    if not still_waiting(connection, decided.inbox_id):
        return "answered already"
    if not _still_stands(connection, decided.effects, now):
        return "stale"
    _meet(connection, decided, now)
    for place, effect in enumerate(decided.effects):
        _write(connection, effect, place, decided, pen, now)
    mark_answered(connection, decided.inbox_id, decided.outcome, decided.served, now, decided.kind)
    return "written"


def carry_out(connection: Connection, effects: Sequence[ClockEffect], pen: Pen, now: datetime) -> bool:
    """Write what the clock has brought about; False, and nothing written, where the places have changed meanwhile."""
    if not _still_stands(connection, effects, now):
        return False
    for effect in effects:
        _write_of_days(connection, effect, pen, now)
    return True


def _still_stands(connection: Connection, effects: Sequence[Effect], now: datetime) -> bool:
    if not all(has_room(connection, effect, now) for effect in effects if isinstance(effect, LetThrough)):
        return False
    seen = {(effect.on, effect.seen) for effect in effects if isinstance(effect, KeepRsvp)}
    if not all(still_at(connection, on, version) for on, version in seen):
        return False
    about = [one for one in effects if isinstance(one, AnswerQuestion | PassQuestion | SettleQuestion)]
    return all(_ours_to_settle(connection, effect) for effect in about)


def _ours_to_settle(connection: Connection, effect: AnswerQuestion | PassQuestion | SettleQuestion) -> bool:
    """Whether nobody else has answered it meanwhile."""
    row = connection.execute(
        select(questions.c.answered_at, questions.c.answered_by).where(questions.c.number == effect.number)
    ).one_or_none()
    if row is None or row.answered_at is None:
        return True
    return isinstance(effect, AnswerQuestion) and bool(row.answered_by == effect.person)


def _meet(connection: Connection, decided: Decided, now: datetime) -> None:
    """The first text of a number is itself the consent to be answered."""
    row = {"number": decided.message.sender, "opted_out": 0, "introduced": 0, "first_seen_at": now}
    met = connection.execute(_MEET, row).rowcount
    if met:
        _consent(connection, "first text", None, decided.message.text, decided, now)


def _write(connection: Connection, effect: Effect, place: int, decided: Decided, pen: Pen, now: datetime) -> None:
    number = decided.message.sender
    match effect:
        case Reply(text=text, asks_consent=asks):
            # What is said also to those who have opted out (danger, HELP, the confirmation itself) waits behind nothing.
            _send(connection, f"reply:{decided.inbox_id}:{place}", number, text, asks, pen, now, urgent=not asks)
        case TellPerson(number=theirs, text=text, due=due):
            # Somebody who has opted out of the club's texts still holds the role that this is told for.
            _send(connection, f"tell:{decided.inbox_id}:{place}", theirs, text, False, pen, now, due)
        case HandOver():
            _hand_over(connection, effect, decided, pen, now)
        case AnswerQuestion():
            _answer_question(connection, effect, decided, pen, now)
        case SettleQuestion(number=question, person=person):
            _settle_question(connection, question, person, now)
        case SwapDuty(swap=swap):
            keep_swap(connection, swap)
        case KeepLanguage(language=language):
            _keep(connection, number, language=language)
        case KeepName(name=name):
            _keep(connection, number, name=name)
        case Introduce():
            _keep(connection, number, introduced=1)
        case GoQuiet(reason=reason):
            _keep(connection, number, quiet_reason=reason)
        case SpeakAgain():
            _keep(connection, number, quiet_reason=None)
        case OptOut(words=words):
            _keep(connection, number, opted_out=1)
            forget_exchange(connection, number)
            _consent(connection, "stop", None, words, decided, now)
        case OptIn(words=words):
            _keep(connection, number, opted_out=0)
            _consent(connection, "start", None, words, decided, now)
        case Subscribe(list_id=list_id, words=words):
            row = {"number": number, "list_id": list_id, "since": now}
            connection.execute(insert(subscriptions).values(row).on_conflict_do_nothing())
            _consent(connection, "list on", list_id, words, decided, now)
        case Unsubscribe(list_id=list_id, words=words):
            connection.execute(
                delete(subscriptions).where(subscriptions.c.number == number, subscriptions.c.list_id == list_id)
            )
            _consent(connection, "list off", list_id, words, decided, now)
        case OpenChoice():
            _open_choice(connection, effect, number)
        case CloseChoice():
            connection.execute(_NO_CHOICE, {"of": number})
        case KeepExchange():
            keep_exchange(connection, number, effect, now)
        case NoteDoubt():
            note_doubt(connection, effect, now)
        case SignIn(on=on, people=people_here):
            sign_in(connection, on, number, people_here, now)
        case SpeakOf():
            keep_talk(
                connection,
                number,
                effect.on,
                want=effect.want,
                awaits=effect.awaits,
                people=effect.people,
                before=effect.before,
                now=now,
            )
        case (
            OpenDraft()
            | TryCode()
            | Suspend()
            | BringBack()
            | TakeBackAnswer()
            | CloseDraft()
            | Record()
            | CloseCourse()
            | ReopenCourse()
            | CallOffDay()
            | StartBroadcast()
            | HoldBroadcasts()
            | GoOnWithBroadcasts()
            | KeepReport()
            | PutInTouch()
            | Relay()
            | Propose()
            | KeepTaught()
            | ForgetTaught()
            | AddToAlarm()
            | LetThrough()
        ):
            _write_order(connection, effect, decided, pen, now)
        case (
            KeepRsvp()
            | TellOf()
            | PlanReminders()
            | SettleReminder()
            | KeepRevision()
            | AskAboutClosure()
            | PassQuestion()
            | EndBroadcast()
            | SendDigest()
            | TellAlarms()
            | TellKept()
        ):
            _write_of_days(connection, effect, pen, now)
        case _:
            assert_never(effect)


OrderEffect = (
    OpenDraft
    | TryCode
    | Suspend
    | BringBack
    | TakeBackAnswer
    | CloseDraft
    | Record
    | CloseCourse
    | ReopenCourse
    | CallOffDay
    | StartBroadcast
    | HoldBroadcasts
    | GoOnWithBroadcasts
    | KeepReport
    | PutInTouch
    | Relay
    | Propose
    | KeepTaught
    | ForgetTaught
    | AddToAlarm
    | LetThrough
)


def _write_order(connection: Connection, effect: OrderEffect, decided: Decided, pen: Pen, now: datetime) -> None:
    """What somebody of the club has told us to do, what people reported, and what is counted."""
    number = decided.message.sender
    match effect:
        case AddToAlarm(number=question):
            _add_to_alarm(connection, question, decided, now)
        case LetThrough():
            keep_through(connection, effect, now)
        case OpenDraft(draft=draft):
            open_draft(connection, number, draft)
        case TryCode():
            keep_wrong_code(connection, number, now)
        case Suspend(person=person):
            suspend(connection, number, person, now)
        case BringBack():
            bring_back(connection, number)
        case TakeBackAnswer():
            _take_back(connection, effect, decided, pen, now)
        case CloseDraft(proposal=proposal):
            close_draft(connection, proposed_to(number) if proposal else number)
        case Record(person=person, what=what):
            record(connection, person, what, decided.inbox_id, now)
        case CloseCourse(closure=closure, person=person):
            close_course(connection, closure, person)
        case ReopenCourse(closures=numbers):
            reopen_course(connection, numbers, now)
        case CallOffDay(on=on, reason=said):
            call_off_day(connection, on, said, now)
        case StartBroadcast():
            start_broadcast(connection, effect, number, pen.new_id, pen.our_number, now)
        case HoldBroadcasts():
            hold(connection)
        case GoOnWithBroadcasts(per_minute=per_minute):
            go_on(connection, per_minute, effect.quiet, now)
        case KeepReport():
            keep_report(connection, effect, number, decided.language, now)
        case PutInTouch():
            put_in_touch(connection, effect)
            _send(
                connection, f"touch:{effect.lost}:{effect.found}:owner", effect.owner, effect.to_owner, True, pen, now
            )
            _send(
                connection,
                f"touch:{effect.lost}:{effect.found}:finder",
                effect.finder,
                effect.to_finder,
                True,
                pen,
                now,
            )
        case Relay(number=theirs, text=text):
            _send(connection, f"relay:{decided.inbox_id}", theirs, text, True, pen, now)
        case Propose(number=theirs, draft=draft, text=text):
            open_draft(connection, proposed_to(theirs), draft)
            _send(connection, f"proposed:{decided.inbox_id}", theirs, text, False, pen, now)
        case KeepTaught(deed=deed):
            keep_taught(connection, deed, now)
        case ForgetTaught(number=taught_number):
            forget_taught(connection, taught_number, now)
        case _:
            assert_never(effect)


def _write_of_days(connection: Connection, effect: ClockEffect, pen: Pen, now: datetime) -> None:
    """The effects that need no message: a text or the clock may bring them about."""
    match effect:
        case KeepRsvp():
            keep_rsvp(connection, effect.on, effect.rsvp, effect.told, now, heard=effect.heard)
        case TellOf(on=on, number=number):
            _send(connection, effect.key, number, effect.text, True, pen, now)
            note_told(connection, on, number, effect.told, now)
            keep_talk(connection, number, on, want="told", awaits=effect.awaits, people=0, before=None, now=now)
        case PlanReminders():
            plan(connection, effect, now)
        case SettleReminder():
            settle(connection, effect.id, effect.reason, now)
        case KeepRevision():
            keep_revision(connection, effect, now)
        case PassQuestion():
            _pass_question(connection, effect, pen, now)
        case SendDigest(day=day, number=number, text=text):
            if keep_digest(connection, day, now):
                _send(connection, f"digest:{day}", number, text, False, pen, now)
        case TellAlarms(person=person, number=number, text=text, questions=numbers):
            # While the clock is set back two may fall into one second: the numbers tell them apart.
            key = f"alarms:{person}:{now.timestamp():.6f}:{numbers[0] if numbers else 0}"
            _send(connection, key, number, text, False, pen, now, urgent=True)
            note_held_told(connection, numbers)
            note_alarms_told(connection, person, now)
        case TellKept(person=person, number=number, text=text):
            _send(connection, f"kept:{person}:{now.timestamp():.6f}", number, text, False, pen, now)
            note_kept_told(connection, now)
        case EndBroadcast(broadcast=broadcast, number=number, text=text):
            _send(connection, f"broadcast:{broadcast}:ended", number, text, False, pen, now)
            end(connection, broadcast)
        case AskAboutClosure(closure=closure, number=number):
            _send(connection, effect.key, number, effect.text, False, pen, now)
            note_asked(connection, closure, now)
        case _:
            assert_never(effect)


def _send(
    connection: Connection,
    key: str,
    recipient: str,
    text: str,
    asks_consent: bool,
    pen: Pen,
    now: datetime,
    due: datetime | None = None,
    *,
    urgent: bool = False,
) -> None:
    put_out(
        connection,
        id=pen.new_id(),
        key=key,
        recipient=recipient,
        sender=pen.our_number,
        text=as_sent(text, shorten_letters=pen.plain_letters),
        asks_consent=asks_consent,
        now=now,
        due=due,
        urgent=urgent,
    )


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
    _send(connection, f"question:{number}", effect.number, note, False, pen, now, effect.due, urgent=urgent)


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
    _send(connection, key, effect.number, note, False, pen, now, effect.due, urgent=urgent)


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


def _pass_question(connection: Connection, effect: PassQuestion, pen: Pen, now: datetime) -> None:
    names = _with(connection, effect.number, effect.person)
    reason = connection.execute(select(questions.c.reason).where(questions.c.number == effect.number)).scalar_one()
    connection.execute(
        update(questions)
        .where(questions.c.number == effect.number)
        .values(told=names, next_at=effect.next_at, person=effect.person)
    )
    if not effect.note:
        return
    _send(
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


def _settle_question(connection: Connection, number: int, person: str, now: datetime) -> None:
    connection.execute(
        update(questions)
        .where(questions.c.number == number, questions.c.answered_at.is_(None))
        .values(answered_at=now, answered_by=person, next_at=None)
    )


def _answer_question(connection: Connection, effect: AnswerQuestion, decided: Decided, pen: Pen, now: datetime) -> None:
    """The words go out; whoever settled the question may add more."""
    asked = connection.execute(
        select(questions.c.asker, questions.c.reason).where(questions.c.number == effect.number)
    ).one()
    _settle_question(connection, effect.number, effect.person, now)
    connection.execute(update(questions).where(questions.c.number == effect.number).values(answer=effect.words))
    keep_sent_answer(connection, effect.number, effect.person, now)
    # Somebody who had opted out and then called for help wants this answer.
    asks_consent = asked.reason != "danger"
    key = f"answer:{effect.number}:{decided.inbox_id}"
    _send(connection, key, asked.asker, effect.text, asks_consent, pen, now, urgent=not asks_consent)


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
        _send(connection, key, asked.asker, effect.text, asked.reason != "danger", pen, now)
    if effect.person is not None:
        passed = PassQuestion(
            number=effect.number,
            person=effect.person,
            phone=effect.phone,
            note=effect.note,
            next_at=effect.next_at,
            due=effect.due,
        )
        _pass_question(connection, passed, pen, now)


def _keep(connection: Connection, number: str, **values: object) -> None:
    connection.execute(_KEEP, {"of": number, **values})


def _consent(
    connection: Connection, what: str, list_id: str | None, words: str, decided: Decided, now: datetime
) -> None:
    row = {
        "number": decided.message.sender,
        "at": now,
        "what": what,
        "list_id": list_id,
        "channel": decided.message.channel,
        "words": words,
        "inbox_id": decided.inbox_id,
    }
    connection.execute(_CONSENT, row)


def _open_choice(connection: Connection, effect: OpenChoice, number: str) -> None:
    values = {
        "choices": "\n".join(effect.choices),
        "about": effect.about,
        "language": effect.language,
        "until": effect.until,
        "again": int(effect.again),
    }
    row = insert(open_choices).values({"number": number, **values})
    connection.execute(row.on_conflict_do_update(index_elements=["number"], set_=values))
