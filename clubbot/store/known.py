"""All that has to be known of a sender before one message is answered, read in one go."""

from datetime import datetime, timedelta

from sqlalchemy import Connection, and_, func, select

from clubbot.model.club import Closure
from clubbot.model.known import Asked, Known, Sender
from clubbot.model.messages import Incoming, Language, Said
from clubbot.store.tables import closures, inbox, open_choices, outbox, people, questions, subscriptions
from clubbot.texting.keywords import bare

# Within this time texts count as one flood, and what we said counts as just said.
LATELY = timedelta(minutes=5)
_LOOK_BACK = 25


def read_known(connection: Connection, message: Incoming, inbox_id: int, *, textable: bool, volunteer: bool) -> Known:
    """What is known about the sender of a message and how things stand, as of that message."""
    since = message.received_at - LATELY
    return Known(
        sender=_sender(connection, message.sender, textable),
        asked=_asked(connection, message.sender),
        texts_lately=_texts_lately(connection, message.sender, since, inbox_id),
        same_in_a_row=_same_in_a_row(connection, message, since, inbox_id),
        said_lately=_said_lately(connection, message.sender, since),
        closures=_closures(connection, message.received_at),
        waiting=_waiting(connection) if volunteer else {},
    )


def _sender(connection: Connection, number: str, textable: bool) -> Sender:
    row = connection.execute(select(people).where(people.c.number == number)).one_or_none()
    if row is None:
        return Sender(number=number, textable=textable)
    lists = connection.execute(select(subscriptions.c.list_id).where(subscriptions.c.number == number)).scalars()
    return Sender(
        number=number,
        textable=textable,
        language=row.language,
        name=row.name,
        opted_out=bool(row.opted_out),
        introduced=bool(row.introduced),
        quiet_reason=row.quiet_reason,
        lists=frozenset(lists),
    )


def _asked(connection: Connection, number: str) -> Asked | None:
    row = connection.execute(select(open_choices).where(open_choices.c.number == number)).one_or_none()
    if row is None:
        return None
    return Asked(choices=tuple(row.choices.split("\n")), about=row.about, language=row.language, until=row.until)


def _texts_lately(connection: Connection, number: str, since: datetime, inbox_id: int) -> int:
    counted = select(func.count()).where(inbox.c.sender == number, inbox.c.received_at > since, inbox.c.id <= inbox_id)
    return connection.execute(counted).scalar_one()


def _same_in_a_row(connection: Connection, message: Incoming, since: datetime, inbox_id: int) -> int:
    latest = (
        select(inbox.c.text)
        .where(inbox.c.sender == message.sender, inbox.c.received_at > since, inbox.c.id <= inbox_id)
        .order_by(inbox.c.id.desc())
        .limit(_LOOK_BACK)
    )
    same = 0
    for text in connection.execute(latest).scalars():
        if bare(text) != bare(message.text):
            break
        same += 1
    return max(1, same)


def _said_lately(connection: Connection, number: str, since: datetime) -> tuple[str, ...]:
    said = (
        select(outbox.c.text)
        .where(outbox.c.recipient == number, outbox.c.created_at > since)
        .order_by(outbox.c.seq.desc())
        .limit(_LOOK_BACK)
    )
    return tuple(connection.execute(said).scalars())


def _closures(connection: Connection, at: datetime) -> tuple[Closure, ...]:
    """Closures that have not ended; future ones too, since people ask ahead."""
    rows = connection.execute(
        select(closures).where(
            and_(closures.c.ended_at.is_(None), (closures.c.until.is_(None)) | (closures.c.until > at))
        )
    )
    return tuple(
        Closure(what=row.what, since=row.since, until=row.until, reason=Said(en=row.reason_en, fr=row.reason_fr))
        for row in rows
    )


def _waiting(connection: Connection) -> dict[int, Language]:
    rows = connection.execute(select(questions.c.number, questions.c.language).where(questions.c.answered_at.is_(None)))
    return {row.number: row.language for row in rows}
