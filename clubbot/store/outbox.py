"""What goes out: written down once by its key, claimed when due, in order for each recipient."""

from collections.abc import Sequence
from datetime import datetime
from typing import Any

from sqlalchemy import Connection, Row, exists, or_, select, update
from sqlalchemy.dialects.sqlite import insert

from clubbot.model.messages import Outgoing
from clubbot.store.tables import outbox, people
from clubbot.texting.parts import split


def put_out(
    connection: Connection,
    *,
    id: str,
    key: str,
    recipient: str,
    sender: str,
    text: str,
    asks_consent: bool,
    now: datetime,
) -> None:
    """Write a text down to be sent; the same key a second time is the same text and changes nothing."""
    row = {
        "id": id,
        "key": key,
        "recipient": recipient,
        "sender": sender,
        "text": text,
        "created_at": now,
        "due_at": now,
        "state": "waiting",
        "attempts": 0,
        "asks_consent": int(asks_consent),
    }
    connection.execute(insert(outbox).values(row).on_conflict_do_nothing(index_elements=["key"]))


def claim_due(connection: Connection, now: datetime, until: datetime, most: int) -> Sequence[Outgoing]:
    """Take what is due, for this process alone until `until`. A text waits for every earlier one to the same recipient.

    Consent is asked once more here, at the moment of sending: who has opted out since gets nothing, with the reason kept.
    """
    earlier = outbox.alias("earlier")
    blocked = exists().where(
        earlier.c.recipient == outbox.c.recipient, earlier.c.state == "waiting", earlier.c.seq < outbox.c.seq
    )
    due = (
        select(outbox)
        .where(
            outbox.c.state == "waiting",
            outbox.c.due_at <= now,
            or_(outbox.c.claimed_until.is_(None), outbox.c.claimed_until <= now),
            ~blocked,
        )
        .order_by(outbox.c.due_at, outbox.c.seq)
        .limit(most)
    )
    found = connection.execute(due).all()
    numbers = [row.recipient for row in found if row.asks_consent]
    opted_out = set(
        connection.execute(
            select(people.c.number).where(people.c.opted_out == 1, people.c.number.in_(numbers))
        ).scalars()
    )
    ours = []
    for row in found:
        if row.asks_consent and row.recipient in opted_out:
            mark_ended(connection, row.id, "dropped", "opted out")
        else:
            ours.append(row)
    connection.execute(update(outbox).where(outbox.c.seq.in_([row.seq for row in ours])).values(claimed_until=until))
    return [_outgoing(row) for row in ours]


def _outgoing(row: Row[Any]) -> Outgoing:
    return Outgoing(
        id=row.id,
        recipient=row.recipient,
        sender=row.sender,
        text=row.text,
        parts=split(row.text),
        attempts=row.attempts,
        created_at=row.created_at,
    )


def mark_sent(connection: Connection, outbox_id: str, now: datetime) -> None:
    """The gateway took it. A delivery report that was quicker stays."""
    connection.execute(
        update(outbox)
        .where(outbox.c.id == outbox_id, outbox.c.state == "waiting")
        .values(state="sent", sent_at=now, attempts=outbox.c.attempts + 1, claimed_until=None, reason=None)
    )


def mark_again(connection: Connection, outbox_id: str, at: datetime, reason: str, *, counts: bool) -> None:
    """It is tried again at `at`; a wait that the gateway asked for `counts` as no attempt."""
    connection.execute(
        update(outbox)
        .where(outbox.c.id == outbox_id, outbox.c.state == "waiting")
        .values(due_at=at, attempts=outbox.c.attempts + int(counts), claimed_until=None, reason=reason)
    )


def mark_ended(connection: Connection, outbox_id: str, state: str, reason: str) -> None:
    """It will not be sent: "given up" or "dropped", with the reason kept."""
    connection.execute(
        update(outbox).where(outbox.c.id == outbox_id).values(state=state, claimed_until=None, reason=reason)
    )


def release_claims(connection: Connection) -> None:
    """At the start of the only process: claims of the one that was killed are free again."""
    connection.execute(update(outbox).where(outbox.c.state == "waiting").values(claimed_until=None))
