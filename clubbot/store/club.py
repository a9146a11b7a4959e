"""What the club's people changed by text: drafts that wait for a code, wrong codes, closures, days called off, and the record of it all."""

from collections.abc import Mapping
from datetime import datetime, timedelta

from pydantic import TypeAdapter
from sqlalchemy import Connection, bindparam, delete, or_, select, update
from sqlalchemy.dialects.sqlite import insert

from clubbot.model.club import Closure, EventChange, Swap
from clubbot.model.deeds import Deed, Draft, TeachDeed
from clubbot.model.known import Question, SentAnswer, Taught
from clubbot.model.messages import Said
from clubbot.model.rsvps import DayId
from clubbot.people.codes import LOOKS_BACK
from clubbot.store.tables import (
    closures,
    deeds,
    drafts,
    duty_swaps,
    event_changes,
    inbox,
    questions,
    sent_answers,
    suspended,
    taught,
    wrong_codes,
)

_DEED: TypeAdapter[Deed] = TypeAdapter(Deed)
_PROPOSED = " proposed"
# So far back NOT ME takes answers back.
ANSWERS_KEPT = timedelta(days=1)

# Every text is answered through these, so they are put together once.
_DRAFT = select(drafts).where(drafts.c.number == bindparam("of"))
_SUSPENDED = select(suspended.c.number)
_CHANGES = select(event_changes).order_by(event_changes.c.event, event_changes.c.day)
_SWAPS = select(duty_swaps)
_TAUGHT = select(taught).where(taught.c.forgotten_at.is_(None)).order_by(taught.c.number)


def read_draft(connection: Connection, number: str) -> Draft | None:
    """The deed of this phone that waits for its code."""
    row = connection.execute(_DRAFT, {"of": number}).one_or_none()
    if row is None:
        return None
    return Draft(code=row.code, deed=_DEED.validate_json(row.deed), until=row.until)


def proposed_to(number: str) -> str:
    """Under what a deed waits that somebody else has put to this phone, beside the phone's own."""
    return f"{number}{_PROPOSED}"


def read_proposals(connection: Connection) -> dict[str, Draft]:
    """What somebody else has put to phones of the club, by phone."""
    rows = connection.execute(select(drafts).where(drafts.c.number.endswith(_PROPOSED, autoescape=True)))
    return {
        row.number.removesuffix(_PROPOSED): Draft(code=row.code, deed=_DEED.validate_json(row.deed), until=row.until)
        for row in rows
    }


def open_draft(connection: Connection, number: str, draft: Draft) -> None:
    """It waits from now; another of the same phone is dropped."""
    values = {
        "code": draft.code,
        "deed": _DEED.dump_json(draft.deed).decode(),
        "until": draft.until,
    }
    row = insert(drafts).values({"number": number, **values})
    connection.execute(row.on_conflict_do_update(index_elements=["number"], set_=values))


def keep_wrong_code(connection: Connection, number: str, now: datetime) -> None:
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


def suspend(connection: Connection, number: str, person: str, now: datetime) -> None:
    """The phone takes no orders; what was answered from it has been taken back."""
    connection.execute(insert(suspended).values(number=number, since=now).on_conflict_do_nothing())
    connection.execute(delete(sent_answers).where(sent_answers.c.person == person))


def bring_back(connection: Connection, number: str) -> None:
    """The phone takes orders again."""
    connection.execute(delete(suspended).where(suspended.c.number == number))


def read_suspended(connection: Connection) -> frozenset[str]:
    """The phones that take no orders."""
    return frozenset(connection.execute(_SUSPENDED).scalars())


def keep_sent_answer(connection: Connection, question: int, person: str, now: datetime) -> None:
    """Somebody of the club has answered; what is too old to be taken back is swept."""
    connection.execute(delete(sent_answers).where(sent_answers.c.at <= now - ANSWERS_KEPT))
    connection.execute(insert(sent_answers).values(question=question, person=person, at=now))


def read_sent_answers(connection: Connection, now: datetime) -> tuple[SentAnswer, ...]:
    """What was answered within a day, the oldest first."""
    rows = connection.execute(
        select(sent_answers.c.question, sent_answers.c.person, questions.c.asker)
        .join(questions, questions.c.number == sent_answers.c.question)
        .where(sent_answers.c.at > now - ANSWERS_KEPT)
        .order_by(sent_answers.c.id)
    )
    return tuple(SentAnswer(question=row.question, person=row.person, asker=row.asker) for row in rows)


def close_draft(connection: Connection, number: str) -> None:
    """It is done, or dropped."""
    connection.execute(delete(drafts).where(drafts.c.number == number))


def record(connection: Connection, person: str, what: str, inbox_id: int, now: datetime) -> None:
    """Keep what somebody did, for good."""
    connection.execute(insert(deeds).values(person=person, at=now, what=what, inbox_id=inbox_id))


def close_course(connection: Connection, closure: Closure, person: str) -> None:
    """Closed, on hold or with a note. A hold that is on already begins again: the wait counts from the last thunder."""
    if closure.kind == "held":
        again = connection.execute(
            update(closures)
            .where(closures.c.kind == "held", closures.c.ended_at.is_(None))
            .values(since=closure.since, asked_at=None, made_by=person)
        )
        if again.rowcount:
            return
    if closure.kind in {"danger", "planned"}:  # closed again with a new time: the old one is over
        connection.execute(
            update(closures)
            .where(
                closures.c.what == closure.what,
                closures.c.kind.in_(["danger", "planned"]),
                closures.c.since <= closure.since,
                closures.c.ended_at.is_(None),
                or_(closures.c.until.is_(None), closures.c.until >= closure.since, closures.c.kind == "danger"),
            )
            .values(ended_at=closure.since)
        )
    connection.execute(
        insert(closures).values(
            what=closure.what,
            since=closure.since,
            until=closure.until,
            reason_en=closure.reason.en,
            reason_fr=closure.reason.fr,
            kind=closure.kind,
            made_by=person,
        )
    )


def reopen_course(connection: Connection, numbers: tuple[int, ...], now: datetime) -> None:
    """These are over."""
    connection.execute(
        update(closures).where(closures.c.id.in_(numbers), closures.c.ended_at.is_(None)).values(ended_at=now)
    )


def call_off_day(connection: Connection, on: DayId, reason: Said, now: datetime) -> None:
    """A day of an event is called off."""
    values = {"called_off": 1, "reason_en": reason.en, "reason_fr": reason.fr, "at": now}
    row = insert(event_changes).values({"event": on.event, "day": on.day, **values})
    connection.execute(row.on_conflict_do_update(index_elements=["event", "day"], set_=values))


def read_changes(connection: Connection) -> Mapping[str, tuple[EventChange, ...]]:
    """The days that were changed by text, by event."""
    found: dict[str, tuple[EventChange, ...]] = {}
    for row in connection.execute(_CHANGES):
        change = EventChange(
            day=row.day, called_off=bool(row.called_off), reason=Said(en=row.reason_en, fr=row.reason_fr)
        )
        found[row.event] = (*found.get(row.event, ()), change)
    return found


def read_to_ask(
    connection: Connection, now: datetime, last_thunder_before: datetime
) -> list[tuple[Closure, str | None]]:
    """Closures about which a person has to be asked now, with who made them: a danger whose time is over, a hold whose wait is."""
    rows = connection.execute(
        select(closures).where(
            closures.c.ended_at.is_(None),
            closures.c.asked_at.is_(None),
            or_(
                (closures.c.kind == "danger") & (closures.c.until <= now),
                (closures.c.kind == "held") & (closures.c.since <= last_thunder_before),
            ),
        )
    )
    return [
        (
            Closure(
                what=row.what,
                since=row.since,
                until=row.until,
                reason=Said(en=row.reason_en, fr=row.reason_fr),
                kind=row.kind,
                number=row.id,
            ),
            row.made_by,
        )
        for row in rows
    ]


def note_asked(connection: Connection, closure: int, now: datetime) -> None:
    """Somebody has been asked about it."""
    connection.execute(update(closures).where(closures.c.id == closure).values(asked_at=now))


def keep_swap(connection: Connection, swap: Swap) -> None:
    """Somebody takes somebody's turn on a day."""
    row = insert(duty_swaps).values(day=swap.day, instead_of=swap.instead_of, taker=swap.taker)
    connection.execute(row.on_conflict_do_update(index_elements=["day", "instead_of"], set_={"taker": swap.taker}))


def read_swaps(connection: Connection) -> tuple[Swap, ...]:
    """The turns that somebody else takes; those of days that are over matter to nobody."""
    rows = connection.execute(_SWAPS)
    return tuple(Swap(day=row.day, instead_of=row.instead_of, taker=row.taker) for row in rows)


def read_unanswered(connection: Connection, now: datetime, most: int) -> list[Question]:
    """Questions that nobody has answered in time and that go to one more person now."""
    rows = connection.execute(
        select(questions, inbox.c.text)
        .join(inbox, inbox.c.id == questions.c.inbox_id)
        .where(questions.c.answered_at.is_(None), questions.c.next_at <= now)
        .order_by(questions.c.number)
        .limit(most)
    )
    return [
        Question(
            number=row.number,
            language=row.language,
            words=row.so_far + row.text,
            told=tuple(row.told.split()) or (row.person,),
            asked_at=row.asked_at,
            reason=row.reason,
        )
        for row in rows
    ]


def goes_no_further(connection: Connection, number: int) -> None:
    """Everybody has been told; the digest lists it."""
    connection.execute(update(questions).where(questions.c.number == number).values(next_at=None))


def wait_until(connection: Connection, number: int, moment: datetime) -> None:
    """It is night: the next is told when the next turn begins."""
    connection.execute(update(questions).where(questions.c.number == number).values(next_at=moment))


def read_taught(connection: Connection) -> tuple[Taught, ...]:
    """What was taught and is not forgotten."""
    rows = connection.execute(_TAUGHT)
    return tuple(
        Taught(number=row.number, topic=row.topic, asked=row.asked, language=row.language, answer=row.answer)
        for row in rows
    )


def keep_taught(connection: Connection, deed: TeachDeed, now: datetime) -> None:
    """It is known from now on."""
    connection.execute(
        insert(taught).values(
            topic=deed.topic, asked=deed.asked, language=deed.language, answer=deed.answer, by=deed.taught_by, at=now
        )
    )


def forget_taught(connection: Connection, number: int, now: datetime) -> None:
    """It is not known any more; the row stays."""
    connection.execute(update(taught).where(taught.c.number == number).values(forgotten_at=now))
