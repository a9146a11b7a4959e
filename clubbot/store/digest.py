"""How it went: counted from what came in and went out, once a day."""

from datetime import date, datetime

from sqlalchemy import Connection, func, literal, select
from sqlalchemy.dialects.sqlite import insert

from clubbot.model.digest import Digest
from clubbot.store.doubts import read_doubts
from clubbot.store.floods import read_kept
from clubbot.store.lacking import read_lacking
from clubbot.store.reports import read_reports
from clubbot.store.tables import digests, inbox, outbox, people, questions, rsvps

_MOST = 200


def had_digest(connection: Connection, day: date) -> bool:
    """Whether that day's has gone."""
    return connection.execute(select(literal(1)).where(digests.c.day == day)).scalar() is not None


def nothing_to_say(connection: Connection, since: datetime) -> bool:
    """Whether nobody has texted since then and nothing is open."""
    texted = select(inbox.c.id).where(inbox.c.received_at > since).limit(1)
    opened = select(questions.c.number).where(questions.c.answered_at.is_(None)).limit(1)
    return connection.execute(texted).scalar() is None and connection.execute(opened).scalar() is None


def keep_digest(connection: Connection, day: date, now: datetime) -> bool:
    """Note that it goes; False where it has gone."""
    return connection.execute(insert(digests).values(day=day, at=now).on_conflict_do_nothing()).rowcount == 1


def read_digest(connection: Connection, since: datetime, until: datetime) -> Digest:
    """The counts between two times."""
    lately = inbox.c.received_at.between(since, until)
    texts, writers = connection.execute(select(func.count(), func.count(inbox.c.sender.distinct())).where(lately)).one()
    new = connection.execute(select(func.count()).where(people.c.first_seen_at.between(since, until))).scalar_one()
    passed = connection.execute(
        select(func.count()).where(questions.c.asked_at.between(since, until), questions.c.reason != "written to")
    ).scalar_one()
    opened = connection.execute(
        select(questions.c.number, questions.c.so_far, inbox.c.text)
        .join(inbox, inbox.c.id == questions.c.inbox_id)
        .where(questions.c.answered_at.is_(None))
        .order_by(questions.c.number)
    ).all()
    answers = connection.execute(select(func.count()).where(rsvps.c.changed_at.between(since, until))).scalar_one()
    went = outbox.c.sent_at.between(since, until)
    sent = connection.execute(select(outbox.c.text).where(went, outbox.c.text != "").limit(100_000)).scalars()
    blanked = connection.execute(select(func.sum(outbox.c.parts)).where(went, outbox.c.text == "")).scalar()
    unclear = connection.execute(
        select(inbox.c.text)
        .join(questions, questions.c.inbox_id == inbox.c.id)
        .where(lately, questions.c.reason == "not understood", inbox.c.text != "")
        .limit(_MOST)
    ).scalars()
    return Digest(
        texts=texts,
        people=writers,
        new=new,
        passed=passed,
        open=tuple((row.number, row.so_far + row.text) for row in opened),
        rsvps=answers,
        sent=tuple(sent),
        unclear=tuple(unclear),
        doubts=read_doubts(connection, since, until),
        blanked_parts=blanked or 0,
        kept=read_kept(connection).count,
        lacking=read_lacking(connection, since, until),
        reports=sum(one.done_at is None for one in read_reports(connection, until)),
    )
