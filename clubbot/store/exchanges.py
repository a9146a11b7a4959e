"""What was last said with each sender, kept an hour at most, with the choice that was left open; and the texts that were misread, kept two weeks."""

from datetime import datetime, timedelta
from typing import assert_never

from pydantic import TypeAdapter
from sqlalchemy import Connection, bindparam, delete, literal, select
from sqlalchemy.dialects.sqlite import insert

from clubbot.model.digest import Doubt
from clubbot.model.effects import CloseChoice, KeepExchange, NoteDoubt, OpenChoice, SpeakOf, SpokenEffect
from clubbot.model.exchange import LEANS_FOR, Exchange, Spoken
from clubbot.store.rsvps import keep_talk
from clubbot.store.tables import doubts, exchanges, open_choices

_WANTS: TypeAdapter[tuple[Spoken, ...]] = TypeAdapter(tuple[Spoken, ...])
_EXCHANGE = select(exchanges).where(exchanges.c.number == bindparam("of"), exchanges.c.at > bindparam("since"))
_KEPT = insert(exchanges)
_KEPT = _KEPT.on_conflict_do_update(
    index_elements=["number"],
    set_={name: _KEPT.excluded[name] for name in ("text", "language", "wants", "others", "at")},
)
_NO_CHOICE = delete(open_choices).where(open_choices.c.number == bindparam("of"))
# A week's digest may name them, and one that an outage held up.
_DOUBTS_FOR = timedelta(days=14)
_MOST = 200


def write_spoken(connection: Connection, effect: SpokenEffect, number: str, now: datetime) -> None:
    """What is said now with the sender, whose number it is."""
    match effect:
        case OpenChoice():
            _open_choice(connection, effect, number)
        case CloseChoice():
            connection.execute(_NO_CHOICE, {"of": number})
        case KeepExchange():
            keep_exchange(connection, number, effect, now)
        case NoteDoubt():
            note_doubt(connection, effect, now)
        case SpeakOf(on=on, want=want, awaits=awaits, people=people, before=before):
            keep_talk(connection, number, on, want=want, awaits=awaits, people=people, before=before, now=now)
        case _:
            assert_never(effect)


def read_exchange(connection: Connection, number: str, now: datetime) -> Exchange | None:
    """What was last said with somebody; None where that is too long ago."""
    row = connection.execute(_EXCHANGE, {"of": number, "since": now - LEANS_FOR}).one_or_none()
    if row is None:
        return None
    return Exchange(
        text=row.text,
        language=row.language,
        wants=_WANTS.validate_json(row.wants),
        others=tuple(row.others.split("\n")) if row.others else (),
        at=row.at,
    )


def keep_exchange(connection: Connection, number: str, said: KeepExchange, now: datetime) -> None:
    """What was said now takes the place of what was before."""
    values = {
        "text": said.text,
        "language": said.language,
        "wants": _WANTS.dump_json(said.wants).decode(),
        "others": "\n".join(said.others),
        "at": now,
    }
    connection.execute(_KEPT, {"number": number, **values})


def forget_exchange(connection: Connection, number: str) -> None:
    """Nothing leans on it any more."""
    connection.execute(delete(exchanges).where(exchanges.c.number == number))


def any_too_old(connection: Connection, now: datetime) -> bool:
    """Whether something has long been kept that nobody can lean on; a little late, so that the writer is not taken for each."""
    old = select(literal(1)).where(exchanges.c.at <= now - 2 * LEANS_FOR).limit(1)
    doubted = select(literal(1)).where(doubts.c.at <= now - _DOUBTS_FOR).limit(1)
    return connection.execute(old).scalar() is not None or connection.execute(doubted).scalar() is not None


def sweep_exchanges(connection: Connection, now: datetime) -> None:
    """Forget all that nobody can lean on any more."""
    connection.execute(delete(exchanges).where(exchanges.c.at <= now - LEANS_FOR))
    connection.execute(delete(doubts).where(doubts.c.at <= now - _DOUBTS_FOR))


def note_doubt(connection: Connection, doubt: NoteDoubt, now: datetime) -> None:
    """A text was misread; those that every digest has had are forgotten."""
    connection.execute(delete(doubts).where(doubts.c.at <= now - _DOUBTS_FOR))
    row = {"text": doubt.text, "read_as": doubt.read_as, "meant": doubt.meant, "at": now}
    connection.execute(insert(doubts).values(row))


def read_doubts(connection: Connection, since: datetime, until: datetime) -> tuple[Doubt, ...]:
    """The texts that were misread between two times."""
    lately = select(doubts).where(doubts.c.at.between(since, until)).order_by(doubts.c.id).limit(_MOST)
    return tuple(Doubt(row.text, row.read_as, row.meant) for row in connection.execute(lately))


def _open_choice(connection: Connection, effect: OpenChoice, number: str) -> None:
    values = {
        "choices": "\n".join(effect.choices),
        "about": effect.about,
        "language": effect.language,
        "until": effect.until,
        "again": int(effect.again),
    }
    row = insert(open_choices).values({"number": number, **values})
    connection.execute(row.on_conflict_do_update(index_elements=["number"], set_=values))
