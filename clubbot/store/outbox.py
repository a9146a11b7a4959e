"""What goes out: written down once by its key, claimed when due, in order for each recipient."""

from collections.abc import Sequence
from datetime import datetime
from typing import Any

from sqlalchemy import Connection, Row, bindparam, exists, or_, select, update
from sqlalchemy.dialects.sqlite import insert

from clubbot.model.messages import Outgoing
from clubbot.model.quiet import QuietHours
from clubbot.store.tables import Moment, outbox, people
from clubbot.texting.parts import split

_PUT_OUT = insert(outbox).on_conflict_do_nothing(index_elements=["key"])
_EARLIER = outbox.alias("earlier")
# A text waits for earlier ones to the same phone, in order; not for those that are not due yet, nor for what replies overtake.
_BLOCKED = exists().where(
    _EARLIER.c.recipient == outbox.c.recipient,
    _EARLIER.c.state == "waiting",
    _EARLIER.c.seq < outbox.c.seq,
    _EARLIER.c.after <= outbox.c.after,
    or_(_EARLIER.c.due_at <= bindparam("now"), _EARLIER.c.reason.is_not(None)),
)
_DUE = (
    select(outbox, people.c.opted_out)
    .outerjoin(people, people.c.number == outbox.c.recipient)
    .where(
        outbox.c.state == "waiting",
        outbox.c.due_at <= bindparam("now"),
        or_(outbox.c.claimed_until.is_(None), outbox.c.claimed_until <= bindparam("now")),
        ~_BLOCKED,
    )
    .order_by(outbox.c.after, outbox.c.due_at, outbox.c.seq)
    .limit(bindparam("most"))
)
# How old it may become counts from the morning.
_WAITS_FOR_DAY = (
    update(outbox)
    .where(
        outbox.c.state == "waiting",
        outbox.c.due_at <= bindparam("now", type_=Moment()),
        outbox.c.by_day == 1,
        outbox.c.claimed_until.is_(None),
    )
    .values(due_at=bindparam("morning", type_=Moment()), created_at=bindparam("morning", type_=Moment()))
)
_CLAIM = (
    update(outbox)
    .where(outbox.c.seq.in_(bindparam("seqs", expanding=True)))
    .values(claimed_until=bindparam("until", type_=Moment()))
)
_SENT = (
    update(outbox)
    .where(outbox.c.id == bindparam("outbox_id"), outbox.c.state == "waiting")
    .values(
        state="sent",
        sent_at=bindparam("now", type_=Moment()),
        attempts=outbox.c.attempts + 1,
        claimed_until=None,
        reason=None,
    )
)


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
    due: datetime | None = None,
) -> None:
    """Write a text down to be sent, `due` then or at once; the same key a second time is the same text and changes nothing."""
    row = {
        "id": id,
        "key": key,
        "recipient": recipient,
        "sender": sender,
        "text": text,
        "created_at": now,
        "due_at": due or now,
        "state": "waiting",
        "attempts": 0,
        "asks_consent": int(asks_consent),
    }
    connection.execute(_PUT_OUT, row)


def claim_due(
    connection: Connection, now: datetime, until: datetime, most: int, quiet: QuietHours | None = None
) -> Sequence[Outgoing]:
    """Take what is due, for this process alone until `until`. A text waits for every earlier one to the same recipient.

    Consent is asked once more here, at the moment of sending: who has opted out since gets nothing, with the reason kept.
    What is to go by day and is late, or tried again, in the quiet hours waits for their end.
    """
    if quiet is not None and quiet.at(now):
        morning = quiet.end_after(now)
        connection.execute(_WAITS_FOR_DAY, {"now": now, "morning": morning})
    ours = []
    for row in connection.execute(_DUE, {"now": now, "most": most}).all():
        if row.asks_consent and row.opted_out:
            mark_ended(connection, row.id, "dropped", "opted out")
        else:
            ours.append(row)
    if ours:
        connection.execute(_CLAIM, {"seqs": [row.seq for row in ours], "until": until})
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
    connection.execute(_SENT, {"outbox_id": outbox_id, "now": now})


def mark_again(connection: Connection, outbox_id: str, at: datetime, reason: str, *, counts: bool) -> None:
    """It is tried again at `at`; a wait that the gateway asked for `counts` as no attempt."""
    connection.execute(
        update(outbox)
        .where(outbox.c.id == outbox_id, outbox.c.state == "waiting")
        .values(due_at=at, attempts=outbox.c.attempts + int(counts), claimed_until=None, reason=reason)
    )


def mark_ended(connection: Connection, outbox_id: str, state: str, reason: str) -> None:
    """It will not be sent: "given up" or "dropped", with the reason kept. One that was reported delivered meanwhile stays so."""
    connection.execute(
        update(outbox)
        .where(outbox.c.id == outbox_id, outbox.c.state == "waiting")
        .values(state=state, claimed_until=None, reason=reason)
    )


def release_claims(connection: Connection) -> None:
    """At the start of the only process: claims of the one that was killed are free again."""
    connection.execute(update(outbox).where(outbox.c.state == "waiting").values(claimed_until=None))
