"""What bounds floods: the texts of one phone of late, what went through from all phones together, alarms and questions that were held back.

Every window is bounded on both sides, so that a clock that was set back mutes nobody.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import assert_never

from sqlalchemy import Connection, and_, bindparam, case, delete, func, literal, select, update
from sqlalchemy.dialects.sqlite import insert

from clubbot.conversation.crowd import ALARM_WITHIN
from clubbot.conversation.flood import LATELY, LONGEST, LOOK_BACK
from clubbot.conversation.held import ALARMS_EVERY, KEPT_AFTER, KEPT_EVERY, Held
from clubbot.conversation.limits import ABOVE
from clubbot.model.effects import LetThrough, LimitEffect, TellAlarms, TellKept
from clubbot.model.known import Crowd, Earlier, Through
from clubbot.model.messages import Incoming
from clubbot.store.pen import Pen, send
from clubbot.store.tables import Moment, alarms_told, inbox, let_through, questions

_KEPT_FOR = timedelta(hours=1)
_SWEPT_AFTER = timedelta(hours=3)

# Every text is answered through these, so they are put together once.
_EARLIER = (
    select(inbox.c.id, inbox.c.text, inbox.c.kind, inbox.c.outcome, inbox.c.received_at)
    .where(
        inbox.c.sender == bindparam("sender"),
        inbox.c.received_at > bindparam("since"),
        inbox.c.received_at <= bindparam("at"),
        inbox.c.id <= bindparam("inbox_id"),
    )
    .order_by(inbox.c.received_at.desc(), inbox.c.id.desc())
    .limit(LOOK_BACK)
)
_CROWD = (
    select(
        let_through.c.kind,
        func.count(),
        func.sum(let_through.c.people),
        func.sum(case((let_through.c.at > bindparam("lately", type_=Moment()), 1), else_=0)),
    )
    .where(let_through.c.at > bindparam("since"), let_through.c.at <= bindparam("now"))
    .group_by(let_through.c.kind)
)
_THROUGH = insert(let_through)
_COUNT = select(func.count()).where(
    let_through.c.kind == bindparam("of_kind"),
    let_through.c.at > bindparam("since"),
    let_through.c.at <= bindparam("now"),
)


@dataclass(frozen=True, slots=True)
class Texts:
    """The sender's texts of late: those of the last minutes, the newest first, this one included, and all before this one."""

    lately: tuple[str, ...]
    earlier: tuple[Earlier, ...]


def write_limit(connection: Connection, effect: LimitEffect, pen: Pen, now: datetime) -> None:
    """What is counted against a limit, or told by number because of one."""
    match effect:
        case LetThrough():
            _keep_through(connection, effect, now)
        case TellAlarms(person=person, number=number, text=text, questions=numbers):
            # While the clock is set back two may fall into one second: the numbers tell them apart.
            key = f"alarms:{person}:{now.timestamp():.6f}:{numbers[0] if numbers else 0}"
            send(connection, key, number, text, False, pen, now, urgent=True)
            _note_held_told(connection, numbers)
            note_alarms_told(connection, person, now)
        case TellKept(person=person, number=number, text=text):
            send(connection, f"kept:{person}:{now.timestamp():.6f}", number, text, False, pen, now)
            _note_kept_told(connection, now)
        case _:
            assert_never(effect)


def read_texts(connection: Connection, message: Incoming, inbox_id: int) -> Texts:
    """The sender's texts of the last hour."""
    at = message.received_at
    values = {"sender": message.sender, "since": at - LONGEST, "at": at, "inbox_id": inbox_id}
    rows = connection.execute(_EARLIER, values).all()
    return Texts(
        lately=tuple(row.text for row in rows if row.received_at > at - LATELY),
        earlier=tuple(
            Earlier(kind=row.kind or "other", ago=at - row.received_at, told=row.outcome == ABOVE)
            for row in rows
            if row.id != inbox_id
        ),
    )


def read_crowd(connection: Connection, now: datetime) -> Crowd:
    """What went through within the last hour from all phones together."""
    rows = connection.execute(_CROWD, {"since": now - _KEPT_FOR, "lately": now - ALARM_WITHIN, "now": now})
    return Crowd({kind: Through(texts=texts, people=people, lately=lately) for kind, texts, people, lately in rows})


def has_room(connection: Connection, through: LetThrough, now: datetime) -> bool:
    """Whether one more of the kind may still go through now."""
    if through.most is None:
        return True
    values = {"of_kind": through.kind, "since": now - through.within, "now": now}
    return connection.execute(_COUNT, values).scalar_one() < through.most


def _keep_through(connection: Connection, through: LetThrough, now: datetime) -> None:
    """One more went through."""
    connection.execute(_THROUGH, {"kind": through.kind, "people": through.people, "at": now})


def any_swept(connection: Connection, now: datetime) -> bool:
    """Whether something is kept that counts no more."""
    old = select(literal(1)).where(let_through.c.at <= now - 2 * _SWEPT_AFTER).limit(1)
    return connection.execute(old).scalar() is not None


def sweep_through(connection: Connection, now: datetime) -> None:
    """Forget what counts no more."""
    connection.execute(delete(let_through).where(let_through.c.at <= now - _SWEPT_AFTER))


def told_of_alarms(connection: Connection, person: str) -> datetime | None:
    """When somebody was last told of alarms."""
    return connection.execute(select(alarms_told.c.at).where(alarms_told.c.person == person)).scalar()


def note_alarms_told(connection: Connection, person: str, now: datetime) -> None:
    """Somebody is told of alarms now."""
    row = insert(alarms_told).values(person=person, at=now)
    connection.execute(row.on_conflict_do_update(index_elements=["person"], set_={"at": now}))


def add_to_alarm(connection: Connection, number: int, so_far: str, inbox_id: int, now: datetime) -> None:
    """One more text of an alarm, of which its person is still to be told; one that was settled is open again."""
    connection.execute(
        update(questions)
        .where(questions.c.number == number)
        .values(
            inbox_id=inbox_id,
            so_far=so_far,
            held=questions.c.held + 1,
            cried_at=now,
            answered_at=None,
        )
    )


def read_held(connection: Connection) -> dict[str, list[Held]]:
    """The alarms with texts that were held back, by the person who is to be told."""
    rows = connection.execute(
        select(questions.c.number, questions.c.person, questions.c.held, questions.c.state, inbox.c.text)
        .join(inbox, inbox.c.id == questions.c.inbox_id)
        .where(questions.c.held > 0)
        .order_by(questions.c.number)
    )
    found: dict[str, list[Held]] = {}
    for row in rows:
        one = Held(number=row.number, texts=row.held, last=row.text, first=row.state == "kept")
        found.setdefault(row.person, []).append(one)
    return found


def _note_held_told(connection: Connection, numbers: Sequence[int]) -> None:
    """What was held back of these alarms is told now, to the person who has them."""
    told = case((questions.c.told == "", questions.c.person), else_=questions.c.told)
    connection.execute(update(questions).where(questions.c.number.in_(numbers)).values(held=0, state="told", told=told))


@dataclass(frozen=True, slots=True)
class Kept:
    """The questions that nobody was told of singly: how many are open, since when one waits that was not counted yet, when it was last told."""

    count: int = 0
    waits_since: datetime | None = None
    noted_at: datetime | None = None


def read_kept(connection: Connection) -> Kept:
    """The questions that are kept."""
    row = connection.execute(
        select(
            func.count(),
            func.min(case((questions.c.noted_at.is_(None), questions.c.asked_at))),
            func.max(questions.c.noted_at),
        ).where(questions.c.state == "kept", questions.c.answered_at.is_(None), questions.c.reason != "danger")
    ).one()
    return Kept(*row)


def _note_kept_told(connection: Connection, now: datetime) -> None:
    """The number of kept questions is told now."""
    connection.execute(
        update(questions)
        .where(and_(questions.c.state == "kept", questions.c.answered_at.is_(None), questions.c.reason != "danger"))
        .values(noted_at=now)
    )


def floods_due(connection: Connection, since: datetime, until: datetime) -> list[datetime]:
    """When something that was held back may fall due between two times, for a club whose time is let go by in steps."""
    moments: list[datetime] = []
    for person in read_held(connection):
        told = told_of_alarms(connection, person)
        moments += [told + ALARMS_EVERY] if told is not None else []
    kept = read_kept(connection)
    if kept.waits_since is not None:
        moments.append(kept.waits_since + KEPT_AFTER)
        moments += [kept.noted_at + KEPT_EVERY] if kept.noted_at is not None else []
    return [moment for moment in moments if since < moment <= until]
