"""What came in: put down once, and taken out oldest first, one text of each sender at a time."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import Connection, bindparam, func, select, update
from sqlalchemy.dialects.sqlite import insert

from clubbot.model.messages import DeliveryReport, Incoming
from clubbot.store.tables import inbox, outbox


@dataclass(frozen=True, slots=True)
class Waiting:
    """A message that waits to be answered, with its number in the inbox; `begun` where its reading was begun once and never finished."""

    id: int
    message: Incoming
    begun: bool = False


_STILL_WAITS = ("waiting", "begun")


_PUT_DOWN = insert(inbox).on_conflict_do_nothing()
_FIRST = select(func.min(inbox.c.id)).where(inbox.c.state.in_(_STILL_WAITS)).group_by(inbox.c.sender)
_WAITING = select(inbox).where(inbox.c.id.in_(_FIRST)).order_by(inbox.c.id).limit(bindparam("most"))
_STATE = select(inbox.c.state).where(inbox.c.id == bindparam("inbox_id"))
_ANSWERED = update(inbox).where(inbox.c.id == bindparam("inbox_id"))


def put_down(connection: Connection, message: Incoming) -> bool:
    """Keep a message; False where it, or its delivery, was kept before."""
    row = {
        "channel": message.channel,
        "their_id": message.their_id,
        "delivery_id": message.delivery_id,
        "sender": message.sender,
        "recipient": message.recipient,
        "text": message.text,
        "received_at": message.received_at,
        "state": "waiting",
    }
    return connection.execute(_PUT_DOWN, row).rowcount == 1


def note_report(connection: Connection, report: DeliveryReport) -> None:
    """What became of a text of ours; a report on an unknown one, or one already final, changes nothing."""
    state = "delivered" if report.outcome == "delivered" else "failed"
    connection.execute(
        update(outbox)
        .where(outbox.c.id == report.outbox_id, outbox.c.state.in_(["sent", "waiting"]))
        .values(state=state, reason=report.reason or None)
    )


def waiting(connection: Connection, most: int) -> Sequence[Waiting]:
    """The oldest waiting message of each sender, oldest first."""
    rows = connection.execute(_WAITING, {"most": most})
    return [Waiting(row.id, _message(row._mapping), row.state == "begun") for row in rows]


def still_waiting(connection: Connection, inbox_id: int) -> bool:
    """Whether the message has not been answered meanwhile."""
    return connection.execute(_STATE, {"inbox_id": inbox_id}).scalar() in _STILL_WAITS


def note_begun(connection: Connection, inbox_id: int) -> None:
    """The reading of a message was begun and never finished: it is not read again."""
    connection.execute(update(inbox).where(inbox.c.id == inbox_id, inbox.c.state == "waiting").values(state="begun"))


def mark_answered(
    connection: Connection,
    inbox_id: int,
    outcome: str,
    served: Sequence[str],
    now: datetime,
    kind: str | None = None,
) -> None:
    """The effects are written: the message is done with."""
    values = {
        "state": "answered",
        "answered_at": now,
        "outcome": outcome,
        "served": " ".join(served) or None,
        "kind": kind,
    }
    connection.execute(_ANSWERED, {"inbox_id": inbox_id, **values})


def _message(row: object) -> Incoming:
    values = dict(row)  # type: ignore[call-overload]
    return Incoming(**{name: values[name] for name in Incoming.__dataclass_fields__})
