"""Reports of damage, of lost and found discs, and the people who were put in touch because of them."""

from datetime import datetime, timedelta
from typing import Any, assert_never

from sqlalchemy import Connection, bindparam, func, select, update
from sqlalchemy.dialects.sqlite import insert

from clubbot.model.effects import DiscEffect, KeepReport, PutInTouch, Relay
from clubbot.model.known import Contact, DiscNote
from clubbot.model.messages import LANGUAGES, Language
from clubbot.store.pen import Decided, Pen, send
from clubbot.store.tables import people, relays, reports

# Found discs are kept so long; a report of more than that ago fits nothing any more.
_KEPT = timedelta(days=60)
_MOST = 200

# Every text is answered through these, so they are put together once.
_LAST_NUMBER = select(func.max(reports.c.number))
_DISCS = (
    select(reports)
    .where(
        reports.c.kind.in_(["lost-disc", "found-disc"]),
        reports.c.at > bindparam("since"),
        reports.c.fits.is_(None),
    )
    .order_by(reports.c.number.desc())
    .limit(_MOST)
)


def _in_touch(other: Any, mine: Any) -> Any:
    """The latest of those whom "mine" is in touch with."""
    return (
        select(other.label("number"), people.c.language)
        .outerjoin(people, people.c.number == other)
        .where(mine == bindparam("mine"), relays.c.until > bindparam("now"))
        .order_by(relays.c.until.desc())
        .limit(1)
    )


_FINDER = _in_touch(relays.c.finder, relays.c.owner)
_OWNER = _in_touch(relays.c.owner, relays.c.finder)


def write_disc(connection: Connection, effect: DiscEffect, decided: Decided, pen: Pen, now: datetime) -> None:
    """What was reported, and what two people who are in touch hear."""
    match effect:
        case KeepReport():
            keep_report(connection, effect, decided.message.sender, decided.language, now)
        case PutInTouch():
            put_in_touch(connection, effect)
            touch = f"touch:{effect.lost}:{effect.found}"
            send(connection, f"{touch}:owner", effect.owner, effect.to_owner, True, pen, now)
            send(connection, f"{touch}:finder", effect.finder, effect.to_finder, True, pen, now)
        case Relay(number=theirs, text=text):
            send(connection, f"relay:{decided.inbox_id}", theirs, text, True, pen, now)
        case _:
            assert_never(effect)


def next_report(connection: Connection) -> int:
    """The number of the next report."""
    return 1 + (connection.execute(_LAST_NUMBER).scalar() or 0)


def read_discs(connection: Connection, now: datetime) -> tuple[DiscNote, ...]:
    """The discs lost and found of late that are not matched, the newest first."""
    rows = connection.execute(_DISCS, {"since": now - _KEPT})
    return tuple(
        DiscNote(
            number=row.number,
            found=row.kind == "found-disc",
            hole=row.hole,
            words=row.words,
            reporter=row.reporter,
            language=_language(row.language),
            at=row.at,
        )
        for row in rows
    )


def keep_report(connection: Connection, report: KeepReport, reporter: str, language: Language, now: datetime) -> None:
    """Take a report down. Where its number was taken meanwhile it gets the next."""
    number = max(report.number, next_report(connection))
    connection.execute(
        insert(reports).values(
            number=number,
            kind=report.kind,
            hole=report.hole,
            words=report.words,
            reporter=reporter,
            language=language,
            at=now,
        )
    )


def put_in_touch(connection: Connection, effect: PutInTouch) -> None:
    """The two reports are one disc, and their people may write to each other through the club."""
    for one, other in ((effect.lost, effect.found), (effect.found, effect.lost)):
        connection.execute(update(reports).where(reports.c.number == one).values(fits=other))
    row = insert(relays).values(owner=effect.owner, finder=effect.finder, until=effect.until)
    connection.execute(row.on_conflict_do_update(index_elements=["owner", "finder"], set_={"until": effect.until}))


def read_finder(connection: Connection, owner: str, now: datetime) -> Contact | None:
    """Whoever found this person's disc, as long as the two are in touch."""
    return _contact(connection, _FINDER, owner, now)


def read_owner(connection: Connection, finder: str, now: datetime) -> Contact | None:
    """Whose disc this person found, as long as the two are in touch."""
    return _contact(connection, _OWNER, finder, now)


def _contact(connection: Connection, latest: Any, mine: str, now: datetime) -> Contact | None:
    row = connection.execute(latest, {"mine": mine, "now": now}).one_or_none()
    return None if row is None else Contact(row.number, _language(row.language or LANGUAGES[0]))


def _language(found: str) -> Language:
    return next((one for one in LANGUAGES if one == found), LANGUAGES[0])
