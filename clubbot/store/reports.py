"""Reports of damage, of lost and found discs, and the people who were put in touch because of them."""

from datetime import datetime, timedelta
from typing import Any, assert_never

from sqlalchemy import Connection, and_, bindparam, delete, func, or_, select, update
from sqlalchemy.dialects.sqlite import insert

from clubbot.model.effects import DiscEffect, KeepReport, OpenReport, PutInTouch, Relay, SettleReport
from clubbot.model.intents import REPORTS, ReportKind
from clubbot.model.known import Contact, DiscNote, ReportNote
from clubbot.model.messages import LANGUAGES, Language
from clubbot.store.pen import Decided, Pen, send
from clubbot.store.tables import outbox, people, questions, relays, reports

# Found discs are kept so long; a report of more than that ago fits nothing any more.
_KEPT = timedelta(days=60)
_MOST = 200
# So long a report that was said to be dealt with can be opened again by text.
UNDONE_WITHIN = timedelta(days=1)
# So long a reporter's next text may be about what they reported.
JUST_REPORTED = timedelta(minutes=30)

# Every text is answered through these, so they are put together once.
_LAST_NUMBER = select(func.max(reports.c.number))
_DISCS = (
    select(reports)
    .where(
        reports.c.kind.in_(["lost-disc", "found-disc"]),
        reports.c.at > bindparam("since"),
        reports.c.fits.is_(None),
        reports.c.done_at.is_(None),
    )
    .order_by(reports.c.number.desc())
    .limit(_MOST)
)
_LISTED = (
    select(reports)
    .where(
        reports.c.fits.is_(None),
        or_(reports.c.done_at.is_(None), reports.c.done_at > bindparam("done_since")),
        or_(reports.c.kind == "hazard", reports.c.at > bindparam("since")),
    )
    .order_by(reports.c.number)
)
_MINE = (
    select(reports)
    .where(
        reports.c.reporter == bindparam("reporter"),
        reports.c.kind == "hazard",
        reports.c.done_at.is_(None),
        reports.c.at > bindparam("since"),
    )
    .order_by(reports.c.number.desc())
    .limit(1)
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
        case SettleReport(number=number):
            _settle(connection, effect, f"report:{number}:{decided.inbox_id}", pen, now)
        case OpenReport(number=number):
            _open(connection, effect, f"report:{number}:{decided.inbox_id}", pen, now)
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


def read_reports(connection: Connection, now: datetime) -> tuple[ReportNote, ...]:
    """What is open, by number, and what was dealt with of late."""
    rows = connection.execute(_LISTED, {"since": now - _KEPT, "done_since": now - UNDONE_WITHIN})
    return tuple(_as_note(row) for row in rows)


def read_my_report(connection: Connection, reporter: str, now: datetime) -> ReportNote | None:
    """The damage that somebody has just told of."""
    row = connection.execute(_MINE, {"reporter": reporter, "since": now - JUST_REPORTED}).one_or_none()
    return None if row is None else _as_note(row)


def number_is_free(connection: Connection, report: KeepReport) -> bool:
    """Whether a report can still have the number that its note names."""
    return report.again or report.number >= next_report(connection)


def keep_report(connection: Connection, report: KeepReport, reporter: str, language: Language, now: datetime) -> None:
    """Take a report down, or more words for one. Where its number was taken meanwhile it gets the next."""
    if report.again:
        of = (reports.c.number == report.number, reports.c.reporter == reporter)
        connection.execute(update(reports).where(*of).values(words=report.words, hole=report.hole))
        return
    number = max(report.number, next_report(connection))
    connection.execute(
        insert(reports).values(
            number=number,
            kind=report.kind,
            hole=report.hole,
            part=report.part,
            words=report.words,
            reporter=reporter,
            language=language,
            at=now,
        )
    )


def link_report(connection: Connection, report: KeepReport, inbox_id: int) -> None:
    """A report and the question that went to a person with it, once both are written."""
    passed = select(questions.c.number).where(questions.c.inbox_id == inbox_id).scalar_subquery()
    connection.execute(update(reports).where(reports.c.number == report.number).values(question=passed))


def _settle(connection: Connection, effect: SettleReport, key: str, pen: Pen, now: datetime) -> None:
    """Dealt with, once; its reporter is told."""
    still = (reports.c.number == effect.number, reports.c.done_at.is_(None))
    reporter = connection.execute(select(reports.c.reporter).where(*still)).scalar_one_or_none()
    if reporter is None:
        return
    connection.execute(update(reports).where(*still).values(done_at=now, done_by=effect.person))
    if effect.text is not None:
        send(connection, f"{key}:done", reporter, effect.text, True, pen, now, effect.due)


def _open(connection: Connection, effect: OpenReport, key: str, pen: Pen, now: datetime) -> None:
    """Open again: what was to be told of it and has not gone does not go, what has gone is put right."""
    done = (reports.c.number == effect.number, reports.c.done_at.is_not(None))
    row = connection.execute(select(reports.c.reporter, reports.c.done_at).where(*done)).one_or_none()
    if row is None:
        return
    connection.execute(update(reports).where(*done).values(done_at=None, done_by=None))
    told = and_(
        outbox.c.recipient == row.reporter,
        outbox.c.created_at >= row.done_at,
        outbox.c.key.startswith(f"report:{effect.number}:", autoescape=True),
        outbox.c.key.endswith(":done"),
    )
    waits = and_(told, outbox.c.state == "waiting", outbox.c.claimed_until.is_(None))
    if connection.execute(delete(outbox).where(waits)).rowcount or effect.text is None:
        return
    if connection.execute(select(func.count()).select_from(outbox).where(told)).scalar_one():
        send(connection, f"{key}:open", row.reporter, effect.text, True, pen, now, effect.due)


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


def _as_note(row: Any) -> ReportNote:
    kind: ReportKind = next((one for one in REPORTS if one == row.kind), "hazard")
    return ReportNote(
        number=row.number,
        kind=kind,
        hole=row.hole,
        part=row.part,
        words=row.words,
        reporter=row.reporter,
        language=_language(row.language),
        at=row.at,
        question=row.question,
        done_at=row.done_at,
        done_by=row.done_by,
    )


def _language(found: str) -> Language:
    return next((one for one in LANGUAGES if one == found), LANGUAGES[0])
