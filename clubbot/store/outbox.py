"""What goes out: written down once by its key, claimed when due, in order for each recipient."""

from collections.abc import Collection, Iterable, Sequence
from datetime import datetime
from typing import Any

from sqlalchemy import Connection, Row, and_, bindparam, exists, or_, select, update
from sqlalchemy.dialects.sqlite import insert

from clubbot.model.messages import Outgoing
from clubbot.model.quiet import QuietHours
from clubbot.store.tables import Moment, outbox, people
from clubbot.texting.parts import split

URGENT, USUAL, TO_MANY = -1, 0, 1
_PUT_OUT = insert(outbox).on_conflict_do_nothing(index_elements=["key"])
_OTHER = outbox.alias("other")
# Texts that are to go at once are in order whatever the clock shows; not so those that were planned for later, nor texts to many.
_TO_GO = or_(
    _OTHER.c.due_at <= bindparam("now"),
    _OTHER.c.reason.is_not(None),
    and_(_OTHER.c.after < 1, _OTHER.c.due_at <= _OTHER.c.created_at),
)
# Never two at once to one phone; after every earlier one of its own kind or a more urgent one, by number; a more urgent one that is
# to go now goes first, whenever it was written.
_BLOCKED = exists().where(
    _OTHER.c.recipient == outbox.c.recipient,
    _OTHER.c.state == "waiting",
    _OTHER.c.seq != outbox.c.seq,
    or_(
        _OTHER.c.claimed_until > bindparam("now"),
        and_(_OTHER.c.seq < outbox.c.seq, _OTHER.c.after <= outbox.c.after, _TO_GO),
        and_(_OTHER.c.after < outbox.c.after, _OTHER.c.due_at <= bindparam("now")),
    ),
)
# An urgent text waits for none but an earlier urgent one that is about to go or on its way for the first time.
_BLOCKED_URGENT = exists().where(
    _OTHER.c.recipient == outbox.c.recipient,
    _OTHER.c.state == "waiting",
    _OTHER.c.seq < outbox.c.seq,
    _OTHER.c.after == URGENT,
    _OTHER.c.reason.is_(None),
    _TO_GO,
)
_OF_A_KIND = (
    select(outbox, people.c.opted_out)
    .outerjoin(people, people.c.number == outbox.c.recipient)
    .where(
        outbox.c.state == "waiting",
        outbox.c.after == bindparam("kind"),
        outbox.c.due_at <= bindparam("now"),
        or_(outbox.c.claimed_until.is_(None), outbox.c.claimed_until <= bindparam("now")),
        outbox.c.id.not_in(bindparam("ids_in_the_air", expanding=True)),
    )
    .order_by(outbox.c.due_at, outbox.c.seq)
    .limit(bindparam("most"))
)
_DUE_URGENT = _OF_A_KIND.where(~_BLOCKED_URGENT)
_DUE = _OF_A_KIND.where(~_BLOCKED, outbox.c.recipient.not_in(bindparam("phones_in_the_air", expanding=True)))
# How old it may become counts from the morning.
_WAITS_FOR_DAY = (
    update(outbox)
    .where(
        outbox.c.state == "waiting",
        outbox.c.after == TO_MANY,
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
    urgent: bool = False,
) -> None:
    """Write a text down to be sent, `due` then or at once; the same key a second time is the same text and changes nothing. An `urgent`
    one waits behind nothing.
    """
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
        "after": URGENT if urgent else USUAL,
    }
    connection.execute(_PUT_OUT, row)


def claim_due(
    connection: Connection,
    now: datetime,
    until: datetime,
    most: int,
    quiet: QuietHours | None = None,
    *,
    usual: int | None = None,
    in_the_air: Collection[Outgoing] = (),
) -> Sequence[Outgoing]:
    """Take up to `most` of what is due, for this process alone until `until`; only `usual` of them that are not urgent. A text waits for
    every earlier one to the same recipient, an urgent one for none but urgent ones. What is `in_the_air` here is never taken again,
    whatever the clock has done to its claim.

    Consent is asked once more here, at the moment of sending: who has opted out since gets nothing, with the reason kept.
    What is to go by day and is late, or tried again, in the quiet hours waits for their end.
    """
    if quiet is not None and quiet.at(now):
        morning = quiet.end_after(now)
        connection.execute(_WAITS_FOR_DAY, {"now": now, "morning": morning})
    known = {"now": now, "ids_in_the_air": [one.id for one in in_the_air]}
    ours = _with_consent(connection, connection.execute(_DUE_URGENT, {**known, "kind": URGENT, "most": most}).all())
    known["phones_in_the_air"] = [one.recipient for one in [*in_the_air, *map(_outgoing, ours)]]
    room = most - len(ours) if usual is None else min(usual, most - len(ours))
    for kind in (USUAL, TO_MANY):
        if room > 0:
            found = connection.execute(_DUE, {**known, "kind": kind, "most": room}).all()
            ours += _with_consent(connection, found)
            room -= len(found)
    if ours:
        connection.execute(_CLAIM, {"seqs": [row.seq for row in ours], "until": until})
    return [_outgoing(row) for row in ours]


def _with_consent(connection: Connection, rows: Iterable[Row[Any]]) -> list[Row[Any]]:
    agreed = []
    for row in rows:
        if row.asks_consent and row.opted_out:
            mark_ended(connection, row.id, "dropped", "opted out")
        else:
            agreed.append(row)
    return agreed


def _outgoing(row: Row[Any]) -> Outgoing:
    return Outgoing(
        id=row.id,
        recipient=row.recipient,
        sender=row.sender,
        text=row.text,
        parts=split(row.text),
        attempts=row.attempts,
        created_at=row.created_at,
        urgent=row.after == URGENT,
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
