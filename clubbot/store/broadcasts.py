"""Texts to many people: whom they reach, written down in one transaction, held, gone on with, and what became of them."""

from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta
from itertools import islice
from typing import Any, assert_never

from sqlalchemy import Connection, Select, and_, bindparam, func, literal, or_, select, union_all, update
from sqlalchemy.dialects.sqlite import insert

from clubbot.broadcasts.pace import due_times
from clubbot.model.effects import (
    BroadcastEffect,
    EndBroadcast,
    GoOnWithBroadcasts,
    HoldBroadcasts,
    StartBroadcast,
)
from clubbot.model.known import Called, Reach
from clubbot.model.messages import LANGUAGES, Language
from clubbot.model.orders import Audience
from clubbot.model.quiet import QuietHours
from clubbot.model.rsvps import DayId
from clubbot.people.names import called
from clubbot.store.pen import Pen, send
from clubbot.store.tables import attendance, broadcasts, inbox, outbox, people, rsvps, subscriptions

# Rows that are in memory at once; all are in one transaction.
_CHUNK = 2_000
# "Whoever asked today": who wrote within this time.
LATELY = timedelta(days=1)


def write_broadcast(connection: Connection, effect: BroadcastEffect, sender: str, pen: Pen, now: datetime) -> None:
    """What somebody, whose number `sender` is, begins or stops, or hears of its end."""
    match effect:
        case StartBroadcast():
            start_broadcast(connection, effect, sender, pen.new_id, pen.our_number, now)
        case HoldBroadcasts():
            hold(connection)
        case GoOnWithBroadcasts(per_minute=per_minute, quiet=quiet):
            go_on(connection, per_minute, quiet, now)
        case EndBroadcast():
            end_broadcast(connection, effect, pen, now)
        case _:
            assert_never(effect)


@dataclass(frozen=True, slots=True)
class Ended:
    """What became of a broadcast of which nothing waits any more."""

    id: int
    number: str
    person: str
    left_out: int
    counts: Mapping[str, int]


def read_reach(
    connection: Connection, audience: Audience, on: DayId | None, helpers: tuple[str, ...], now: datetime
) -> Reach:
    """Whom a text to this audience would reach now."""
    found = _audience(audience, on, helpers, now).subquery()
    rows = connection.execute(
        select(found.c.language, found.c.opted_out, _unreachable(found), func.count()).group_by(
            found.c.language, found.c.opted_out, _unreachable(found)
        )
    ).all()
    counts: dict[Language, int] = dict.fromkeys(LANGUAGES, 0)
    opted_out = unreachable = 0
    for language, out, lost, count in rows:
        if out:
            opted_out += count
        elif lost:
            unreachable += count
        else:
            counts[_language(language)] += count
    return Reach(people=counts, opted_out=opted_out, unreachable=unreachable)


def read_called(
    connection: Connection, names: Collection[str], of_the_club: Mapping[str, tuple[str, Language]], now: datetime
) -> tuple[Called, ...]:
    """Whoever may be meant by one of the names: who gave it as theirs, and the club's own people, by number with name and language."""
    known = connection.execute(select(people, _unreachable(people).label("lost")).where(people.c.name.is_not(None)))
    theirs = connection.execute(
        select(people, _unreachable(people).label("lost")).where(people.c.number.in_(list(of_the_club)))
    )
    rows = {row.number: row for row in (*known, *theirs)}
    named = {number: (row.name or "", _language(row.language)) for number, row in rows.items()} | dict(of_the_club)
    found = [number for number, (name, _) in named.items() if any(called(one, name) for one in names)]
    return tuple(
        Called(
            number=number,
            name=named[number][0],
            language=named[number][1],
            opted_out=number in rows and bool(rows[number].opted_out),
            unreachable=number in rows and bool(rows[number].lost),
            down_for=_down_for(connection, number, now),
        )
        for number in found
    )


def _down_for(connection: Connection, number: str, now: datetime) -> tuple[DayId, ...]:
    """The days that somebody is in for or waits for, from yesterday on."""
    rows = connection.execute(
        select(rsvps.c.event, rsvps.c.day).where(
            rsvps.c.number == number, rsvps.c.state.in_(["coming", "waiting"]), rsvps.c.day >= (now - LATELY).date()
        )
    )
    return tuple(DayId(row.event, row.day) for row in rows)


def read_sending(connection: Connection) -> bool:
    """Whether some of a text to many has not gone yet."""
    waits = select(literal(1)).where(outbox.c.broadcast == broadcasts.c.id, outbox.c.state.in_(["waiting", "held"]))
    going = select(literal(1)).where(broadcasts.c.state.in_(["sending", "held"]), waits.exists()).limit(1)
    return connection.execute(going).scalar_one_or_none() is not None


def start_broadcast(
    connection: Connection, effect: StartBroadcast, sender: str, new_id: Any, our_number: str, now: datetime
) -> None:
    """Write every text of it down, due at its pace, in the caller's transaction."""
    reach = read_reach(connection, effect.audience, effect.on, effect.helpers, now)
    made = connection.execute(
        insert(broadcasts)
        .values(
            person=effect.person,
            number=sender,
            audience=_named(effect.audience, effect.on),
            words_en=effect.texts["en"],
            words_fr=effect.texts["fr"],
            begun_at=now,
            people=sum(reach.people.values()),
            left_out=reach.opted_out + reach.unreachable,
            state="sending",
        )
        .returning(broadcasts.c.id)
    ).scalar_one()
    found = _audience(effect.audience, effect.on, effect.helpers, now).subquery()
    reached = select(found.c.number, found.c.language).where(found.c.opted_out == 0, _unreachable(found) == 0)
    awake = effect.quiet.end_after if effect.quiet is not None else _at_once
    times = due_times(now, effect.per_minute, awake)
    rows = connection.execute(reached.order_by(found.c.number))
    statement = insert(outbox).on_conflict_do_nothing(index_elements=["key"])
    texts = _rows(made, rows.all(), effect, times, new_id, our_number, now)
    while chunk := list(islice(texts, _CHUNK)):
        connection.execute(statement, chunk)


def _rows(
    made: int,
    found: Any,
    effect: StartBroadcast,
    times: Iterator[datetime],
    new_id: Any,
    our_number: str,
    now: datetime,
) -> Iterator[dict[str, object]]:
    for row, due in zip(found, times, strict=False):
        yield {
            "id": new_id(),
            "key": f"broadcast:{made}:{row.number}",
            "recipient": row.number,
            "sender": our_number,
            "text": effect.texts[_language(row.language)],
            "created_at": due,  # how old it may become counts from when it is due
            "due_at": due,
            "state": "waiting",
            "attempts": 0,
            "asks_consent": 1,
            "after": 1,
            "by_day": int(effect.quiet is not None),
            "broadcast": made,
        }


def hold(connection: Connection) -> None:
    """What has not gone of any broadcast stays. A text that is on its way just now is not held."""
    connection.execute(
        update(outbox)
        .where(outbox.c.broadcast.is_not(None), outbox.c.state == "waiting", outbox.c.claimed_until.is_(None))
        .values(state="held")
    )
    waits = select(outbox.c.broadcast).where(outbox.c.state == "held")
    connection.execute(
        update(broadcasts).where(broadcasts.c.state == "sending", broadcasts.c.id.in_(waits)).values(state="held")
    )


def go_on(connection: Connection, per_minute: int, quiet: QuietHours, now: datetime) -> None:
    """What was held goes, in its order, from now at its pace, outside the quiet hours."""
    held = connection.execute(
        select(outbox.c.seq, outbox.c.due_at).where(outbox.c.state == "held").order_by(outbox.c.seq)
    )
    times = due_times(now, per_minute, quiet.end_after)
    moved = [{"of": row.seq, "due": max(row.due_at, due)} for row, due in zip(held.all(), times, strict=False)]
    if moved:
        connection.execute(
            update(outbox)
            .where(outbox.c.seq == bindparam("of"))
            .values(state="waiting", due_at=bindparam("due"), created_at=bindparam("due")),
            moved,
        )
    connection.execute(update(broadcasts).where(broadcasts.c.state == "held").values(state="sending"))


def read_ended(connection: Connection) -> list[Ended]:
    """Broadcasts of which nothing waits any more and whose sender has not been told."""
    found: list[Ended] = []
    for row in connection.execute(select(broadcasts).where(broadcasts.c.state == "sending")).all():
        waits = select(literal(1)).where(outbox.c.broadcast == row.id, outbox.c.state.in_(["waiting", "held"]))
        if connection.execute(waits.limit(1)).scalar() is not None:
            continue
        counted = connection.execute(
            select(outbox.c.state, func.count()).where(outbox.c.broadcast == row.id).group_by(outbox.c.state)
        )
        counts = {str(state): int(count) for state, count in counted}
        found.append(Ended(row.id, row.number, row.person, row.left_out, counts))
    return found


def end_broadcast(connection: Connection, ended: EndBroadcast, pen: Pen, now: datetime) -> None:
    """Its sender is told."""
    send(connection, f"broadcast:{ended.broadcast}:ended", ended.number, ended.text, False, pen, now)
    connection.execute(update(broadcasts).where(broadcasts.c.id == ended.broadcast).values(state="ended"))


def _audience(audience: Audience, on: DayId | None, helpers: tuple[str, ...], now: datetime) -> Select[Any]:
    everyone = select(people.c.number, people.c.language, people.c.opted_out)
    match audience.kind:
        case "everyone":  # who asked for no texts gets none: everyone is everyone on a list
            return everyone.where(people.c.number.in_(select(subscriptions.c.number)))
        case "list":
            listed = select(subscriptions.c.number).where(subscriptions.c.list_id == audience.list_id)
            return everyone.where(people.c.number.in_(listed))
        case "event" if on is not None:
            answered = select(rsvps.c.number).where(
                and_(rsvps.c.event == on.event, rsvps.c.day == on.day), rsvps.c.state != "off"
            )
            return everyone.where(people.c.number.in_(answered))
        case "came" if on is not None:
            return everyone.where(people.c.number.in_(_there(on)))
        case "missed" if on is not None:
            said = and_(rsvps.c.event == on.event, rsvps.c.day == on.day, rsvps.c.state == "coming")
            in_for_it = select(rsvps.c.number).where(said)
            return everyone.where(people.c.number.in_(in_for_it), people.c.number.not_in(_there(on)))
        case "lately":
            wrote = select(inbox.c.sender).where(inbox.c.received_at > now - LATELY)
            return everyone.where(people.c.number.in_(wrote))
        case "helpers":
            # The club's own people may never have written.
            named = union_all(*(select(literal(number).label("number")) for number in helpers)).subquery()
            return select(
                named.c.number, people.c.language, func.coalesce(people.c.opted_out, 0).label("opted_out")
            ).select_from(named.outerjoin(people, people.c.number == named.c.number))
        case _:
            return everyone.where(literal(0) == 1)


def _there(on: DayId) -> Select[Any]:
    """The phones that signed in on the day."""
    return select(attendance.c.number).where(attendance.c.event == on.event, attendance.c.day == on.day)


def _unreachable(found: Any) -> Any:
    """Whether the last text to that phone did not arrive."""
    last = (
        select(outbox.c.state)
        .where(outbox.c.recipient == found.c.number, outbox.c.state.in_(["sent", "delivered", "failed", "given up"]))
        .order_by(outbox.c.seq.desc())
        .limit(1)
        .scalar_subquery()
    )
    return func.coalesce(or_(last == "failed", last == "given up"), 0)


def _named(audience: Audience, on: DayId | None) -> str:
    return " ".join([audience.kind, audience.list_id or "", f"{on.event} {on.day}" if on else ""]).strip()


def _language(found: str | None) -> Language:
    return next((one for one in LANGUAGES if one == found), LANGUAGES[0])


def _at_once(moment: datetime) -> datetime:
    return moment
