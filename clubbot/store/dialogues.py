"""The memory of each conversation, one row a sender; words that nobody can lean on any more are swept, and so is what nobody speaks of."""

from collections.abc import Iterable
from datetime import datetime, timedelta

from pydantic import TypeAdapter
from sqlalchemy import Connection, bindparam, literal, select
from sqlalchemy.dialects.sqlite import insert

from clubbot.model.dialogue import WORDS_KEPT, DialogueEffect, DialogueState, after, set_back
from clubbot.model.exchange import LEANS_FOR
from clubbot.store.tables import dialogues

_STATE: TypeAdapter[DialogueState] = TypeAdapter(DialogueState)

# Every text is answered through these, so they are put together once.
_READ = select(dialogues.c.state).where(dialogues.c.number == bindparam("of"))
_KEEP = insert(dialogues)
_KEEP = _KEEP.on_conflict_do_update(
    index_elements=["number"], set_={name: _KEEP.excluded[name] for name in ("state", "said_at", "at")}
)


def as_json(state: DialogueState) -> str:
    """The memory as its row has it."""
    return _STATE.dump_json(state).decode()


def from_json(kept: str) -> DialogueState:
    """The memory that a row has."""
    return _STATE.validate_json(kept)


def read_dialogue(connection: Connection, number: str) -> DialogueState:
    """What is remembered of the conversation with somebody."""
    kept = connection.execute(_READ, {"of": number}).scalar()
    return DialogueState() if kept is None else from_json(kept)


def keep_dialogue(connection: Connection, number: str, state: DialogueState, now: datetime) -> None:
    """What is remembered now takes the place of what was before."""
    said_at = state.exchange.at if state.exchange is not None else None
    row = {"number": number, "state": as_json(state), "said_at": said_at, "at": now}
    connection.execute(_KEEP, row)


def write_dialogue(connection: Connection, number: str, effects: Iterable[DialogueEffect], now: datetime) -> None:
    """What effects change of the memory: read once, written once, where there are any."""
    changes = list(effects)
    if not changes:
        return
    before = state = read_dialogue(connection, number)
    for effect in changes:
        state = after(state, effect, now)
    if state != before:
        keep_dialogue(connection, number, state, now)


def any_too_old(connection: Connection, now: datetime) -> bool:
    """Whether words have long been kept that nobody can lean on; a little late, so that the writer is not taken for each."""
    old = select(literal(1)).where(dialogues.c.said_at <= now - WORDS_KEPT).limit(1)
    return connection.execute(old).scalar() is not None


def sweep_words(connection: Connection, now: datetime) -> None:
    """Forget the words that nobody can lean on any more."""
    old = select(dialogues).where(dialogues.c.said_at <= now - LEANS_FOR)
    for row in connection.execute(old).all():
        keep_dialogue(connection, row.number, from_json(row.state).lately(now), row.at)


def set_dialogues_back(connection: Connection, now: datetime, by: timedelta | None) -> None:
    """The clock was set back: what was said ahead of it is brought into the present."""
    for row in connection.execute(select(dialogues).where(dialogues.c.at > now)).all():
        keep_dialogue(connection, row.number, set_back(from_json(row.state), now, by), now)
