"""What is kept of somebody goes when they say so: rows are deleted, or have neither number nor words any more where the figures need them.
What stays is an opt-out that holds, with its proof; nameless also what tells of damage on the course that nobody has mended.
"""

from collections.abc import Iterable, Sequence
from datetime import datetime
from typing import Any

from sqlalchemy import ColumnElement, Connection, Table, and_, delete, func, or_, select, update

from clubbot.conversation.helping import quoted
from clubbot.model.messages import NAMELESS
from clubbot.store.pen import Decided
from clubbot.store.tables import (
    attendance,
    broadcasts,
    consents,
    dialogues,
    doubts,
    drafts,
    inbox,
    outbox,
    people,
    questions,
    relays,
    reminders,
    reports,
    retired,
    roster_changes,
    rsvps,
    subscriptions,
    suspended,
    wrong_codes,
)
from clubbot.texting.alphabet import plain_letters, plain_marks
from clubbot.texting.parts import count

# What is still on its way when all is erased is found by this key, so that it loses number and words once it has gone.
_LAST = "erased:"
# Whatever has so many letters of a text in it quotes it; a word or two anybody may have said.
_QUOTED, _SHORTEST = 20, 8
_UNDER_WAY = ("waiting", "held")
_URGENT = -1
_OF_A_NUMBER: Sequence[Table] = (rsvps, attendance, reminders, subscriptions, dialogues)


def erase(connection: Connection, decided: Decided, now: datetime, *, of_the_club: bool) -> None:
    """Nothing of the sender is kept from now on; `decided` is the yes to it, whose reply still goes out."""
    number, nameless = decided.message.sender, f"{NAMELESS}{decided.inbox_id}"
    person = connection.execute(select(people).where(people.c.number == number)).one_or_none()
    texts = connection.execute(select(inbox.c.id, inbox.c.text).where(inbox.c.sender == number)).all()
    names = [person.name] if person is not None and person.name else []
    said = _snippets([row.text for row in texts], names)
    _outbox(connection, decided, nameless, [row.id for row in texts], said, of_the_club=of_the_club)
    _doubts(connection, said)
    _questions(connection, number, nameless, now)
    _reports(connection, number, nameless, now)
    connection.execute(update(inbox).where(inbox.c.sender == number).values(sender=nameless, text=""))
    for table in _OF_A_NUMBER:
        connection.execute(delete(table).where(table.c.number == number))
    connection.execute(delete(relays).where(or_(relays.c.owner == number, relays.c.finder == number)))
    _consent(connection, number, opted_out=person is not None and bool(person.opted_out))
    if not of_the_club:
        _former_role(connection, number, nameless)


def any_gone(connection: Connection) -> bool:
    """Whether something that was on its way when all was erased has gone, and still has number or words."""
    return connection.execute(select(outbox.c.seq).where(_gone()).limit(1)).scalar() is not None


def forget_gone(connection: Connection) -> None:
    """What has gone keeps neither its number nor its words."""
    _blank(connection, connection.execute(select(outbox.c.seq, outbox.c.text).where(_gone())).all(), recipient=NAMELESS)


def _gone() -> ColumnElement[bool]:
    after_all_such_keys = f"{_LAST[:-1]};"
    return and_(
        outbox.c.key >= _LAST,
        outbox.c.key < after_all_such_keys,
        outbox.c.state.not_in(_UNDER_WAY),
        outbox.c.recipient != NAMELESS,
    )


def _snippets(texts: Iterable[str], names: Iterable[str]) -> tuple[str, ...]:
    """The beginnings and ends of what somebody said, as anything that quotes it has them; a name as a word of its own."""
    words = [_plain(quoted(one)) for one in texts]
    parts = [part for one in words if len(one) >= _SHORTEST for part in (one[:_QUOTED], one[-_QUOTED:])]
    return tuple(dict.fromkeys([*parts, *(f" {_plain(one)} " for one in names)]))


def _plain(text: str) -> str:
    """As quoted texts are compared, whatever was made plain to save a part."""
    return plain_letters(plain_marks(text)).casefold()


def _quotes(text: str, said: Sequence[str]) -> bool:
    plain = f" {_plain(text)} "
    apart = "".join(letter if letter.isalnum() else " " for letter in plain)
    return any(one in (apart if one.startswith(" ") else plain) for one in said)


def _outbox(
    connection: Connection,
    decided: Decided,
    nameless: str,
    inbox_ids: Sequence[int],
    said: Sequence[str],
    *,
    of_the_club: bool,
) -> None:
    """What went to the sender and what quotes the sender's words keeps neither number nor words; what has not gone does not go."""
    number = decided.message.sender
    because = _because_of(connection, number, inbox_ids)
    columns = (outbox.c.seq, outbox.c.key, outbox.c.recipient, outbox.c.text, outbox.c.state, outbox.c.after)
    gone: list[Any] = []
    for row in connection.execute(select(*columns).where(or_(outbox.c.text != "", outbox.c.recipient == number))).all():
        theirs, of_them = row.recipient == number, row.key.startswith(because)
        waits = row.state in _UNDER_WAY
        if waits and (row.key.startswith(f"reply:{decided.inbox_id}:") or (of_them and row.after == _URGENT)):
            _key(connection, row.seq, f"{_LAST}{row.seq}")
        elif waits and (of_them or (theirs and not of_the_club)):
            _key(connection, row.seq, row.key, state="dropped", reason="erased", claimed_until=None)
            gone.append(row)
        elif not waits and (theirs or of_them or _quotes(row.text, said)):
            gone.append(row)
    _blank(connection, [row for row in gone if row.recipient == number], recipient=nameless)
    _blank(connection, [row for row in gone if row.recipient != number])
    named = outbox.c.key.endswith(f":{number}", autoescape=True)
    if not of_the_club:
        connection.execute(update(outbox).where(named).values(key=func.replace(outbox.c.key, number, nameless)))


def _because_of(connection: Connection, number: str, inbox_ids: Sequence[int]) -> tuple[str, ...]:
    """How the keys begin of what others were told because of the sender's texts."""
    asked = connection.execute(select(questions.c.number).where(questions.c.asker == number)).scalars()
    return (
        *(f"{what}:{one}:" for one in inbox_ids for what in ("tell", "reply")),
        *(f"relay:{one}" for one in inbox_ids),
        *(key for one in asked for key in (f"question:{one}:", f"answer:{one}:")),
    )


def _key(connection: Connection, seq: int, key: str, **values: object) -> None:
    connection.execute(update(outbox).where(outbox.c.seq == seq).values(key=key, **values))


def _blank(connection: Connection, found: Sequence[Any], **values: object) -> None:
    """Without their words; what was paid for is a figure, and stays."""
    for row in found:
        parts = {"parts": count(row.text)} if row.text else {}
        connection.execute(update(outbox).where(outbox.c.seq == row.seq).values(text="", **parts, **values))


def _doubts(connection: Connection, said: Sequence[str]) -> None:
    found = [row.id for row in connection.execute(select(doubts.c.id, doubts.c.text)) if _quotes(row.text, said)]
    connection.execute(delete(doubts).where(doubts.c.id.in_(found)))


def _questions(connection: Connection, number: str, nameless: str, now: datetime) -> None:
    """Nobody waits for an answer any more."""
    mine = questions.c.asker == number
    done = {"answered_at": now, "answered_by": questions.c.person, "next_at": None}
    connection.execute(update(questions).where(mine, questions.c.answered_at.is_(None)).values(**done))
    connection.execute(update(questions).where(mine).values(asker=nameless, so_far="", answer=None))


def _reports(connection: Connection, number: str, nameless: str, now: datetime) -> None:
    """Discs are looked for no more; damage that nobody has mended stays on the list, without who told of it."""
    mine = reports.c.reporter == number
    discs = and_(mine, reports.c.kind != "hazard")
    connection.execute(update(reports).where(discs, reports.c.done_at.is_(None)).values(done_at=now))
    connection.execute(update(reports).where(mine, reports.c.done_at.is_not(None)).values(words="", reporter=nameless))
    connection.execute(update(reports).where(mine).values(reporter=nameless))


def _consent(connection: Connection, number: str, *, opted_out: bool) -> None:
    """Of an opt-out that holds the last word stays, and the number by which it is kept to."""
    if not opted_out:
        connection.execute(delete(people).where(people.c.number == number))
        connection.execute(delete(consents).where(consents.c.number == number))
        return
    last = select(func.max(consents.c.id)).where(consents.c.number == number, consents.c.what == "stop")
    connection.execute(delete(consents).where(consents.c.number == number, consents.c.id != last.scalar_subquery()))
    kept = {"name": None, "quiet_reason": None, "introduced": 1}
    connection.execute(update(people).where(people.c.number == number).values(**kept))


def _former_role(connection: Connection, number: str, nameless: str) -> None:
    """Of somebody who has left the club's people, what they did stays under their name there; not their number."""
    for table in (drafts, wrong_codes, suspended):
        connection.execute(delete(table).where(table.c.number == number))
    connection.execute(update(retired).where(retired.c.number == number).values(number=nameless))
    connection.execute(update(broadcasts).where(broadcasts.c.number == number).values(number=nameless))
    was = roster_changes.c.person
    connection.execute(
        update(roster_changes)
        .where(was.contains(number, autoescape=True))
        .values(person=func.replace(was, number, nameless))
    )
