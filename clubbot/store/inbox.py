"""What came in: put down once, and taken out oldest first, one text of each sender at a time."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import Connection, func, select, update
from sqlalchemy.dialects.sqlite import insert

from clubbot.model.messages import DeliveryReport, Incoming
from clubbot.store.tables import inbox, outbox


@dataclass(frozen=True, slots=True)
class Waiting:
    """A message that waits to be answered, with its number in the inbox."""

    id: int
    message: Incoming


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
    return connection.execute(insert(inbox).values(row).on_conflict_do_nothing()).rowcount == 1


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
    first = select(func.min(inbox.c.id)).where(inbox.c.state == "waiting").group_by(inbox.c.sender)
    rows = connection.execute(select(inbox).where(inbox.c.id.in_(first)).order_by(inbox.c.id).limit(most))
    return [Waiting(row.id, _message(row._mapping)) for row in rows]


def still_waiting(connection: Connection, inbox_id: int) -> bool:
    """Whether the message has not been answered meanwhile."""
    return connection.execute(select(inbox.c.state).where(inbox.c.id == inbox_id)).scalar() == "waiting"


def mark_answered(connection: Connection, inbox_id: int, outcome: str, served: Sequence[str], now: datetime) -> None:
    """The effects are written: the message is done with."""
    connection.execute(
        update(inbox)
        .where(inbox.c.id == inbox_id)
        .values(state="answered", answered_at=now, outcome=outcome, served=" ".join(served) or None)
    )


def _message(row: object) -> Incoming:
    values = dict(row)  # type: ignore[call-overload]
    return Incoming(**{name: values[name] for name in Incoming.__dataclass_fields__})
