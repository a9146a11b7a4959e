"""All that has to be known of a sender before one message is answered, read in one go."""

from collections.abc import Iterable, Mapping
from datetime import datetime, timedelta

from sqlalchemy import Connection, bindparam, or_, select

from clubbot.conversation.crowd import ALARM_WITHIN
from clubbot.model.club import Closure
from clubbot.model.exchange import LEANS_FOR
from clubbot.model.going_out import LineFaults
from clubbot.model.known import Alarm, Crowd, Known, Question, Sender, Thread
from clubbot.model.messages import NAMELESS, Incoming, Said
from clubbot.model.rsvps import DayCount, DayId, InLine, Rsvp
from clubbot.rsvps.places import free
from clubbot.store.broadcasts import read_sending
from clubbot.store.club import read_draft, read_invitation, read_proposals, read_wrong_codes
from clubbot.store.dialogues import read_dialogue
from clubbot.store.floods import read_crowd, read_texts
from clubbot.store.questions import read_sent_answers
from clubbot.store.reminders import read_asked
from clubbot.store.reports import next_report, read_discs, read_finder, read_my_report, read_owner, read_reports
from clubbot.store.rsvps import read_by_name, read_came, read_counts, read_line, read_mine, read_names
from clubbot.store.tables import closures, inbox, outbox, people, questions, subscriptions
from clubbot.store.teaching import read_taught
from clubbot.store.went_out import read_line_faults
from clubbot.texting.keywords import bare

_LOOK_BACK = 25
# What a text of an hour ago is answered with is said now; what was said a day ahead of it was said before a clock was set back.
_ANSWERED_WITHIN = timedelta(hours=1)
# Event days go by their date in the rule; one that was moved may be held weeks later, and "no-shows" is asked after the day.
_DAYS_BACK = timedelta(days=60)

# Every text is answered through these, so they are put together once.
_PERSON = select(people).where(people.c.number == bindparam("sender"))
_LISTS = select(subscriptions.c.list_id).where(subscriptions.c.number == bindparam("sender"))
_SAID_LATELY = (
    select(outbox.c.text)
    .where(
        outbox.c.recipient == bindparam("sender"),
        outbox.c.created_at > bindparam("since"),
        outbox.c.created_at <= bindparam("until"),
    )
    .order_by(outbox.c.seq.desc())
    .limit(_LOOK_BACK)
)
# Future closures too, since people ask ahead.
_CLOSURES = select(closures).where(
    closures.c.ended_at.is_(None),
    or_(closures.c.until.is_(None), closures.c.until > bindparam("at"), closures.c.kind == "danger"),
)
_QUESTIONS = (
    select(questions, inbox.c.text, people.c.opted_out, people.c.name)
    .join(inbox, inbox.c.id == questions.c.inbox_id)
    .outerjoin(people, people.c.number == questions.c.asker)
    .where(or_(questions.c.answered_at.is_(None), questions.c.answered_at > bindparam("since")))
    .order_by(questions.c.number)
)
_THREAD = (
    select(questions)
    .where(
        questions.c.asker == bindparam("sender"),
        or_(questions.c.answered_at.is_(None), questions.c.answered_at > bindparam("since")),
        questions.c.asked_at > bindparam("since"),
    )
    .order_by(questions.c.number.desc())
    .limit(bindparam("most"))
)
# An alarm of the last minutes is among the sender's last questions.
_LAST_QUESTIONS = 20
# So long what an asker writes goes to the same person.
THREAD_FOR = timedelta(days=1)


def read_known(
    connection: Connection,
    message: Incoming,
    inbox_id: int,
    *,
    textable: bool,
    volunteer: bool,
    places: Mapping[str, int | None],
    code: str = "",
    crowd: Crowd | None = None,
) -> Known:
    """What is known about the sender of a message and how things stand, as of that message; `places` are those of each event, `code` is
    a new one for what a person of the club may want done, `crowd` what went through from all phones together where that has been read already.
    What only few messages ask for is looked up beside it (mailroom/looked_up).
    """
    at = message.received_at
    lately = {"sender": message.sender, "since": at - LEANS_FOR, "until": at + _ANSWERED_WITHIN}
    texts = read_texts(connection, message, inbox_id)
    thread, alarm = _threads(connection, message)
    since = (message.received_at - _DAYS_BACK).date()
    days = read_counts(connection, since)
    mine = read_mine(connection, message.sender, since) if days else {}
    return Known(
        sender=_sender(connection, message.sender, textable),
        dialogue=read_dialogue(connection, message.sender).lately(message.received_at),
        texts_lately=len(texts.lately),
        same_in_a_row=_same_in_a_row(texts.lately, message.text),
        said_lately=tuple(connection.execute(_SAID_LATELY, lately).scalars()),
        closures=read_closures(connection, message.received_at),
        questions=_questions(connection, message.received_at) if volunteer else {},
        thread=thread,
        days=days,
        rsvps=mine,
        lines=_lines(connection, days, mine, places),
        came=read_came(connection, message.sender, since) if days else {},
        names=read_names(connection, since) if volunteer else {},
        by_name=read_by_name(connection, since) if volunteer else {},
        draft=read_draft(connection, message.sender) if volunteer else None,
        proposals=read_proposals(connection) if volunteer else read_invitation(connection, message.sender),
        wrong_codes=read_wrong_codes(connection, message.received_at) if volunteer else {},
        sent_answers=read_sent_answers(connection, message.received_at) if volunteer else (),
        code=code,
        sending=volunteer and read_sending(connection),
        taught=read_taught(connection),
        discs=read_discs(connection, message.received_at),
        next_report=next_report(connection),
        reports=read_reports(connection, message.received_at) if volunteer else (),
        my_report=read_my_report(connection, message.sender, message.received_at),
        line=read_line_faults(connection, message.received_at) if volunteer else LineFaults(),
        finder=read_finder(connection, message.sender, message.received_at),
        owner=read_owner(connection, message.sender, message.received_at),
        asked_reminders=read_asked(connection, message.sender, since),
        earlier=texts.earlier,
        alarm=alarm,
        crowd=read_crowd(connection, at) if crowd is None else crowd,
    )


def _lines(
    connection: Connection,
    days: Mapping[DayId, DayCount],
    mine: Mapping[DayId, Rsvp],
    places: Mapping[str, int | None],
) -> dict[DayId, tuple[InLine, ...]]:
    """The waiting lists that this message could move: of days with a free place, and of those where the sender holds some."""
    return {
        on: read_line(connection, on)
        for on, count in days.items()
        if count.waiting and (free(places.get(on.event), count) != 0 or (on in mine and mine[on].state != "off"))
    }


def _sender(connection: Connection, number: str, textable: bool) -> Sender:
    row = connection.execute(_PERSON, {"sender": number}).one_or_none()
    if row is None:
        return Sender(number=number, textable=textable)
    return Sender(
        number=number,
        textable=textable,
        language=row.language,
        name=row.name,
        opted_out=bool(row.opted_out),
        introduced=bool(row.introduced),
        quiet_reason=row.quiet_reason,
        first_seen=row.first_seen_at,
        lists=frozenset(connection.execute(_LISTS, {"sender": number}).scalars()),
    )


def _same_in_a_row(latest: Iterable[str], text: str) -> int:
    """How many of the latest texts, newest first, are this one, itself included."""
    same = 0
    for one in latest:
        if bare(one) != bare(text):
            break
        same += 1
    return max(1, same)


def read_closures(connection: Connection, at: datetime) -> tuple[Closure, ...]:
    """What is closed, held or noted by text at a time, and later."""
    return tuple(
        Closure(
            what=row.what,
            since=row.since,
            # What was closed for danger stays so until a person has said otherwise.
            until=None if row.kind == "danger" and row.until is not None and row.until <= at else row.until,
            reason=Said(en=row.reason_en, fr=row.reason_fr),
            kind=row.kind,
            number=row.id,
            begun=row.begun,
            by=row.made_by,
        )
        for row in connection.execute(_CLOSURES, {"at": at})
    )


def _questions(connection: Connection, at: datetime) -> dict[int, Question]:
    return {
        row.number: Question(
            number=row.number,
            language=row.language,
            words=row.so_far + row.text,
            told=tuple(row.told.split()) or (() if row.state == "kept" else (row.person,)),
            asked_at=row.asked_at,
            answered_by=row.answered_by if row.answered_at is not None else None,
            answer=row.answer,
            reason=row.reason,
            opted_out=bool(row.opted_out) or row.asker.startswith(NAMELESS),
            kept=row.state == "kept",
            asker_name=row.name,
        )
        for row in connection.execute(_QUESTIONS, {"since": at - THREAD_FOR})
    }


def _threads(connection: Connection, message: Incoming) -> tuple[Thread | None, Alarm | None]:
    """The sender's last question, and the last cry for help."""
    at = message.received_at
    values = {"sender": message.sender, "since": at - THREAD_FOR, "most": _LAST_QUESTIONS}
    rows = connection.execute(_THREAD, values).all()
    if not rows:
        return None, None
    row = rows[0]
    open_still = row.answered_at is None
    thread = Thread(
        number=row.number,
        person=row.person if open_still else row.answered_by,
        open=open_still,
        reason=row.reason,
        kept=row.state == "kept",
    )
    cried = next((one for one in rows if one.reason == "danger"), None)
    if cried is None or not at - ALARM_WITHIN < cried.cried_at <= at + _ANSWERED_WITHIN:
        return thread, None
    return thread, Alarm(cried.number, cried.person, cried.answered_at is None)
