"""Answers to event days, read and written: the counts of a day, a party's answer, the line, who came, what was told."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from sqlalchemy import Connection, Row, and_, bindparam, or_, select, update
from sqlalchemy.dialects.sqlite import insert

from clubbot.model.messages import LANGUAGES, Language
from clubbot.model.rsvps import BY_NAME, DayCount, DayId, InLine, Named, Offer, Rsvp
from clubbot.rsvps.places import after
from clubbot.store.guests import as_guests, as_json
from clubbot.store.tables import attendance, event_days, people, rsvps

# Of a waiting list only the first can be moved up at once.
_LINE = 50
# What a role holder is shown is cut anyway: a text has few parts.
_MOST_NAMES = 400

_ON = and_(rsvps.c.event == bindparam("of_event"), rsvps.c.day == bindparam("of_day"))
_COUNT = select(event_days).where(event_days.c.event == bindparam("of_event"), event_days.c.day == bindparam("of_day"))
_COUNTS = select(event_days).where(event_days.c.day >= bindparam("since"))
_RSVP = select(rsvps).where(_ON, rsvps.c.number == bindparam("of_number"))
_MINE = select(rsvps).where(rsvps.c.number == bindparam("of_number"), rsvps.c.day >= bindparam("since"))
_CAME = select(attendance).where(attendance.c.number == bindparam("of_number"), attendance.c.day >= bindparam("since"))
_BY_NAME = (
    select(rsvps)
    .where(
        rsvps.c.number.startswith(BY_NAME, autoescape=True), rsvps.c.day >= bindparam("since"), rsvps.c.state != "off"
    )
    .order_by(rsvps.c.since, rsvps.c.number)
)
_LINE_OF = (
    select(rsvps, people.c.language)
    .outerjoin(people, people.c.number == rsvps.c.number)
    .where(_ON, rsvps.c.state == "waiting", rsvps.c.offered == 0, rsvps.c.passed_over < rsvps.c.people)
    .order_by(rsvps.c.turn)
    .limit(_LINE)
)


def read_counts(connection: Connection, since: date) -> dict[DayId, DayCount]:
    """The counts of every event day from `since` on that anybody has answered to."""
    return {_day_id(row): _count(row) for row in connection.execute(_COUNTS, {"since": since})}


def read_count(connection: Connection, on: DayId) -> DayCount:
    """The counts of one event day; all 0 where nobody has answered yet."""
    row = connection.execute(_COUNT, _of(on)).one_or_none()
    return DayCount() if row is None else _count(row)


def read_mine(connection: Connection, number: str, since: date) -> dict[DayId, Rsvp]:
    """Somebody's answers to event days from `since` on."""
    return {_day_id(row): _rsvp(row) for row in connection.execute(_MINE, {"of_number": number, "since": since})}


def read_came(connection: Connection, number: str, since: date) -> dict[DayId, int]:
    """How many of somebody's party have signed in, by event day."""
    return {_day_id(row): row.people for row in connection.execute(_CAME, {"of_number": number, "since": since})}


def read_line(connection: Connection, on: DayId) -> tuple[InLine, ...]:
    """The first who wait without an offer and have not let all of their places go, in order of asking."""
    rows = connection.execute(_LINE_OF, _of(on))
    return tuple(InLine(rsvp=_rsvp(row), language=_language(row.language)) for row in rows)


def read_lapsed(connection: Connection, on: DayId, now: datetime) -> list[Rsvp]:
    """Those whose offer's time is over."""
    found = connection.execute(
        select(rsvps).where(_ON, rsvps.c.state == "waiting", rsvps.c.offered > 0, rsvps.c.offered_until <= now), _of(on)
    )
    return [_rsvp(row) for row in found]


def read_names(
    connection: Connection, since: date, days: Iterable[DayId] | None = None
) -> dict[DayId, tuple[Named, ...]]:
    """The lists of event days from `since` on as role holders may see them, by name; those who signed in without an answer too."""
    found: dict[DayId, list[Named]] = {}
    wanted = None if days is None else set(days)
    statement = (
        select(
            rsvps,
            people.c.name,
            people.c.language,
            people.c.opted_out,
            attendance.c.people.label("came"),
            attendance.c.new_face,
        )
        .outerjoin(people, people.c.number == rsvps.c.number)
        .outerjoin(
            attendance,
            and_(
                attendance.c.event == rsvps.c.event,
                attendance.c.day == rsvps.c.day,
                attendance.c.number == rsvps.c.number,
            ),
        )
        .where(rsvps.c.day >= since, or_(rsvps.c.state != "off", attendance.c.people.is_not(None)))
        .order_by(rsvps.c.event, rsvps.c.day, rsvps.c.turn, rsvps.c.since)
        .limit(_MOST_NAMES if wanted is None else -1)
    )
    for row in connection.execute(statement):
        on = _day_id(row)
        if wanted is None or on in wanted:
            found.setdefault(on, []).append(
                Named(
                    name=row.name or _name_only(row),
                    state=row.state,
                    people=row.people,
                    came=row.came,
                    new_face=bool(row.new_face),
                    stand_in=row.stand_in,
                    who=as_guests(row.who),
                    late=row.late,
                    key=row.number,
                    language=_language(row.language),
                    opted_out=bool(row.opted_out),
                )
            )
    return {on: tuple(named) for on, named in found.items()}


def read_by_name(connection: Connection, since: date) -> dict[DayId, tuple[str, ...]]:
    """Who was put down by name, without a phone, by event day."""
    found: dict[DayId, tuple[str, ...]] = {}
    for row in connection.execute(_BY_NAME, {"since": since}):
        found[_day_id(row)] = (*found.get(_day_id(row), ()), _name_only(row) or "")
    return found


def _name_only(row: Row[Any]) -> str | None:
    """The name of somebody who was put down without a phone."""
    guest = next(iter(as_guests(row.who)), None) if row.number.startswith(BY_NAME) else None
    return guest.name if guest is not None else None


def still_at(connection: Connection, on: DayId, version: int) -> bool:
    """Whether nobody has changed the day's counts since they were read."""
    return read_count(connection, on).version == version


def keep_rsvp(
    connection: Connection, on: DayId, rsvp: Rsvp, told: str | None, now: datetime, *, heard: bool = False
) -> None:
    """Write a party's answer and bring the day's counts up to date with it."""
    old_row = connection.execute(_RSVP, {**_of(on), "of_number": rsvp.number}).one_or_none()
    old = _rsvp(old_row) if old_row is not None else Rsvp(number=rsvp.number, state="off", people=0)
    values: dict[str, Any] = {
        "state": rsvp.state,
        "people": rsvp.people,
        "turn": rsvp.turn,
        "offered": rsvp.offer.people if rsvp.offer else 0,
        "offered_until": rsvp.offer.until if rsvp.offer else None,
        "passed_over": rsvp.passed_over,
        "stand_in": rsvp.stand_in,
        "who": as_json(rsvp.who),
        "late": rsvp.late,
        "unreminded": int(rsvp.unreminded),
        "changed_at": now,
    }
    if told is not None:
        values["told"] = told
    if told is not None or heard:
        values["told_at"] = now
    row = insert(rsvps).values({"event": on.event, "day": on.day, "number": rsvp.number, "since": now, **values})
    connection.execute(row.on_conflict_do_update(index_elements=["event", "day", "number"], set_=values))
    _keep_count(connection, on, after(read_count(connection, on), old, rsvp))


def note_told(connection: Connection, on: DayId, number: str, told: str | None, now: datetime) -> None:
    """Somebody has been told of the day now, and of what."""
    values: dict[str, Any] = {"told_at": now} if told is None else {"told_at": now, "told": told}
    connection.execute(update(rsvps).where(_ON, rsvps.c.number == number).values(values), _of(on))


def sign_in(connection: Connection, on: DayId, number: str, people_here: int, now: datetime) -> None:
    """So many of a party are here; said again, the last number holds. Keeps the day's counts of who came and of new faces."""
    here = attendance.c.number == number
    earlier = connection.execute(select(attendance).where(here)).all()
    this = next((row for row in earlier if _day_id(row) == on), None)
    new_face = bool(this.new_face) if this is not None else not earlier
    values = {"people": people_here, "new_face": int(new_face), "came_at": now}
    row = insert(attendance).values({"event": on.event, "day": on.day, "number": number, **values})
    connection.execute(row.on_conflict_do_update(index_elements=["event", "day", "number"], set_=values))
    more = people_here - (this.people if this is not None else 0)
    count = read_count(connection, on)
    _keep_count(
        connection,
        on,
        DayCount(
            coming=count.coming,
            maybe=count.maybe,
            waiting=count.waiting,
            offered=count.offered,
            came=count.came + more,
            new_faces=count.new_faces + (more if new_face else 0),
            version=count.version + 1,
            last_turn=count.last_turn,
        ),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Untold:
    """Somebody in a day's list who was last told something else of it."""

    number: str
    rsvp: Rsvp
    language: Language
    told: str


def read_untold(connection: Connection, on: DayId, now_so: str, most: int) -> Sequence[Untold]:
    """Up to so many who are coming, waiting or undecided and were last told something else than `now_so`."""
    rows = connection.execute(
        select(rsvps, people.c.language)
        .outerjoin(people, people.c.number == rsvps.c.number)
        .where(_ON, rsvps.c.state != "off", rsvps.c.told != now_so)
        .order_by(rsvps.c.since, rsvps.c.number)
        .limit(most),
        _of(on),
    )
    return [Untold(number=row.number, rsvp=_rsvp(row), language=_language(row.language), told=row.told) for row in rows]


def _keep_count(connection: Connection, on: DayId, count: DayCount) -> None:
    values = {name: getattr(count, name) for name in DayCount.__dataclass_fields__}
    row = insert(event_days).values({"event": on.event, "day": on.day, **values})
    connection.execute(row.on_conflict_do_update(index_elements=["event", "day"], set_=values))


def _of(on: DayId) -> Mapping[str, object]:
    return {"of_event": on.event, "of_day": on.day}


def _day_id(row: Row[Any]) -> DayId:
    return DayId(row.event, row.day)


def _count(row: Row[Any]) -> DayCount:
    return DayCount(**{name: row._mapping[name] for name in DayCount.__dataclass_fields__})


def _rsvp(row: Row[Any]) -> Rsvp:
    return Rsvp(
        number=row.number,
        state=row.state,
        people=row.people,
        turn=row.turn,
        offer=Offer(people=row.offered, until=row.offered_until) if row.offered else None,
        passed_over=row.passed_over,
        stand_in=row.stand_in,
        who=as_guests(row.who),
        late=row.late,
        unreminded=bool(row.unreminded),
    )


def _language(found: str | None) -> Language:
    return next((one for one in LANGUAGES if one == found), LANGUAGES[0])
