"""What the club's people do by text: drafts that wait for a code, wrong codes, phones that take no orders, swapped turns, the record of it all."""

from datetime import datetime
from typing import Any, assert_never, get_args

from pydantic import TypeAdapter
from sqlalchemy import Connection, Row, bindparam, delete, exists, or_, select
from sqlalchemy.dialects.sqlite import insert

from clubbot.model.club import DutyDay, Overlay, Person, Retired, Role, Swap
from clubbot.model.deeds import Deed, Draft
from clubbot.model.effects import (
    BringBack,
    CloseDraft,
    ClubEffect,
    KeepDuty,
    KeepPerson,
    KeepRoles,
    OpenDraft,
    Propose,
    Record,
    RetirePerson,
    Suspend,
    SwapDuty,
    TryCode,
)
from clubbot.people.codes import LOOKS_BACK
from clubbot.store.pen import Decided, Pen, send
from clubbot.store.questions import forget_sent_answers
from clubbot.store.tables import (
    added_events,
    deeds,
    drafts,
    duty_days,
    duty_swaps,
    event_changes,
    retired,
    role_changes,
    roster_changes,
    suspended,
    wrong_codes,
)

_DEED: TypeAdapter[Deed] = TypeAdapter(Deed)
_PERSON: TypeAdapter[Person] = TypeAdapter(Person)
_PROPOSED = " proposed"

# Every text is answered through these, so they are put together once.
_DRAFT = select(drafts).where(drafts.c.number == bindparam("of"))
_SUSPENDED = select(suspended.c.number)
_SWAPS = select(duty_swaps)
_ROLES = select(role_changes).order_by(role_changes.c.id)
_RETIRED = select(retired).order_by(retired.c.at, retired.c.id)
_DUTY_DAYS = select(duty_days).order_by(duty_days.c.day)
# Whether anything at all was changed by text: asked before every text is read, and seldom so.
_LAID_OVER = (duty_swaps, suspended, roster_changes, role_changes, retired, duty_days, event_changes, added_events)
_ANY_LAID_OVER = select(or_(*(exists().select_from(table) for table in _LAID_OVER)))


def write_club(connection: Connection, effect: ClubEffect, decided: Decided, pen: Pen, now: datetime) -> None:
    """What one of the club's people has begun, agreed to or done."""
    number = decided.message.sender
    match effect:
        case OpenDraft(draft=draft):
            _open_draft(connection, number, draft)
        case Propose(number=theirs, draft=draft, text=text, asks_consent=asks):
            _open_draft(connection, _proposed_to(theirs), draft)
            send(connection, f"proposed:{decided.inbox_id}", theirs, text, asks, pen, now)
        case TryCode():
            _keep_wrong_code(connection, number, now)
        case CloseDraft(proposal=proposal):
            _close_draft(connection, _proposed_to(number) if proposal else number)
        case Suspend(person=person, number=theirs, by=by):
            _suspend(connection, theirs or number, by, now)
            forget_sent_answers(connection, person)
        case BringBack(number=theirs):
            _bring_back(connection, theirs or number)
        case KeepPerson(person=one):
            _keep_person(connection, one, now)
        case KeepRoles(person=one, roles=roles):
            _keep_roles(connection, one, roles, now)
        case RetirePerson(retired=gone):
            _retire(connection, gone, now)
        case KeepDuty(on=on):
            _keep_duty(connection, on)
        case SwapDuty(swap=swap):
            _keep_swap(connection, swap)
        case Record(person=person, what=what):
            _record(connection, person, what, decided.inbox_id, now)
        case _:
            assert_never(effect)


def read_draft(connection: Connection, number: str) -> Draft | None:
    """The deed of this phone that waits for its code."""
    row = connection.execute(_DRAFT, {"of": number}).one_or_none()
    if row is None:
        return None
    return _draft(row)


def _draft(row: Row[Any]) -> Draft:
    earlier = tuple((row.earlier or "").split())
    return Draft(code=row.code, deed=_DEED.validate_json(row.deed), until=row.until, earlier=earlier)


def _proposed_to(number: str) -> str:
    """Under what a deed waits that somebody else has put to this phone, beside the phone's own."""
    return f"{number}{_PROPOSED}"


def read_proposals(connection: Connection) -> dict[str, Draft]:
    """What somebody else has put to phones of the club, by phone."""
    rows = connection.execute(select(drafts).where(drafts.c.number.endswith(_PROPOSED, autoescape=True)))
    return {row.number.removesuffix(_PROPOSED): _draft(row) for row in rows}


def read_invitation(connection: Connection, number: str) -> dict[str, Draft]:
    """What somebody of the club has put to this one phone, which is none of the club's yet."""
    draft = read_draft(connection, _proposed_to(number))
    return {} if draft is None else {number: draft}


def _open_draft(connection: Connection, number: str, draft: Draft) -> None:
    """It waits from now; another of the same phone is dropped."""
    values = {
        "code": draft.code,
        "deed": _DEED.dump_json(draft.deed).decode(),
        "until": draft.until,
        "earlier": " ".join(draft.earlier) or None,
    }
    row = insert(drafts).values({"number": number, **values})
    connection.execute(row.on_conflict_do_update(index_elements=["number"], set_=values))


def _keep_wrong_code(connection: Connection, number: str, now: datetime) -> None:
    """A wrong code came; those that nothing looks at any more are swept."""
    connection.execute(delete(wrong_codes).where(wrong_codes.c.at <= now - LOOKS_BACK))
    connection.execute(insert(wrong_codes).values(number=number, at=now))


def read_wrong_codes(connection: Connection, now: datetime) -> dict[str, tuple[datetime, ...]]:
    """The wrong codes of the last days by phone, the oldest first."""
    found: dict[str, tuple[datetime, ...]] = {}
    rows = connection.execute(
        select(wrong_codes).where(wrong_codes.c.at > now - LOOKS_BACK).order_by(wrong_codes.c.at, wrong_codes.c.id)
    )
    for row in rows:
        found[row.number] = (*found.get(row.number, ()), row.at)
    return found


def _suspend(connection: Connection, number: str, by: str | None, now: datetime) -> None:
    """The phone takes no orders; since somebody else's word even where NOT ME came before."""
    row = insert(suspended).values(number=number, since=now, by=by)
    if by is None:
        connection.execute(row.on_conflict_do_nothing())
    else:
        connection.execute(row.on_conflict_do_update(index_elements=["number"], set_={"by": by}))


def _bring_back(connection: Connection, number: str) -> None:
    """The phone takes orders again."""
    connection.execute(delete(suspended).where(suspended.c.number == number))


def read_suspended(connection: Connection) -> frozenset[str]:
    """The phones that take no orders."""
    return frozenset(connection.execute(_SUSPENDED).scalars())


def read_locked(connection: Connection) -> dict[str, str]:
    """By whom a phone was suspended, where not by its own NOT ME."""
    rows = connection.execute(select(suspended.c.number, suspended.c.by).where(suspended.c.by.is_not(None)))
    return {row.number: row.by for row in rows}


def _keep_person(connection: Connection, person: Person, now: datetime) -> None:
    """Somebody as they are from now on."""
    values = {"person": _PERSON.dump_json(person).decode(), "at": now}
    row = insert(roster_changes).values(id=person.id, **values)
    connection.execute(row.on_conflict_do_update(index_elements=["id"], set_=values))


def read_people(connection: Connection) -> tuple[Person, ...]:
    """The club's people who have another number, or joined, by text."""
    rows = connection.execute(select(roster_changes).order_by(roster_changes.c.id))
    return tuple(_PERSON.validate_json(row.person) for row in rows)


def _keep_roles(connection: Connection, person: str, roles: tuple[Role, ...], now: datetime) -> None:
    """Somebody's roles from now on."""
    values = {"roles": ",".join(roles), "at": now}
    row = insert(role_changes).values(id=person, **values)
    connection.execute(row.on_conflict_do_update(index_elements=["id"], set_=values))


def _retire(connection: Connection, gone: Retired, now: datetime) -> None:
    """Somebody is none of the club's people any more; nothing waits for a code on that phone."""
    row = insert(retired).values(id=gone.id, name=gone.name, number=gone.number, at=now)
    connection.execute(row.on_conflict_do_nothing())
    for waits in (gone.number, _proposed_to(gone.number)):
        _close_draft(connection, waits)


def _keep_duty(connection: Connection, on: DutyDay) -> None:
    """Somebody has all turns of a day; swaps of that day from before are over."""
    connection.execute(delete(duty_swaps).where(duty_swaps.c.day == on.day))
    row = insert(duty_days).values(day=on.day, person=on.person)
    connection.execute(row.on_conflict_do_update(index_elements=["day"], set_={"person": on.person}))


def anything_changed(connection: Connection) -> bool:
    """Whether anything was changed by text that lies over the files."""
    return bool(connection.execute(_ANY_LAID_OVER).scalar_one())


def read_people_changed(connection: Connection) -> Overlay:
    """All that was changed by text of the club's people and of who is on duty."""
    gone = connection.execute(_RETIRED).all()
    return Overlay(
        swaps=read_swaps(connection),
        suspended=read_suspended(connection),
        locked=read_locked(connection),
        people=read_people(connection),
        roles={row.id: _roles(row.roles) for row in connection.execute(_ROLES)},
        retired=tuple(Retired(id=row.id, name=row.name, number=row.number) for row in gone),
        duty_days=tuple(DutyDay(day=row.day, person=row.person) for row in connection.execute(_DUTY_DAYS)),
    )


def _roles(written: str) -> tuple[Role, ...]:
    """The roles as they are kept; one that a later version had is left out."""
    known: tuple[Role, ...] = get_args(Role)
    return tuple(one for one in known if one in written.split(","))


def _close_draft(connection: Connection, number: str) -> None:
    """It is done, or dropped."""
    connection.execute(delete(drafts).where(drafts.c.number == number))


def _record(connection: Connection, person: str, what: str, inbox_id: int, now: datetime) -> None:
    """Keep what somebody did, for good."""
    connection.execute(insert(deeds).values(person=person, at=now, what=what, inbox_id=inbox_id))


def _keep_swap(connection: Connection, swap: Swap) -> None:
    """Somebody takes somebody's turn on a day."""
    row = insert(duty_swaps).values(day=swap.day, instead_of=swap.instead_of, taker=swap.taker)
    connection.execute(row.on_conflict_do_update(index_elements=["day", "instead_of"], set_={"taker": swap.taker}))


def read_swaps(connection: Connection) -> tuple[Swap, ...]:
    """The turns that somebody else takes; those of days that are over matter to nobody."""
    rows = connection.execute(_SWAPS)
    return tuple(Swap(day=row.day, instead_of=row.instead_of, taker=row.taker) for row in rows)
