"""The memory of a conversation calls what a text asks for its intents, and keeps each choice of an open question as a value."""

import json
from typing import Any

import sqlalchemy as sa
from alembic import op

revision = "0010"
down_revision = "0009"

_NEW_NAMES = {"want": "intent", "wants": "intents"}


def upgrade() -> None:
    """Each row is written anew."""
    connection = op.get_bind()
    for row in connection.execute(sa.text("SELECT number, state FROM dialogues")).mappings().all():
        state = _with_choices(_renamed(json.loads(row["state"])))
        connection.execute(
            sa.text("UPDATE dialogues SET state = :state WHERE number = :number"),
            {"number": row["number"], "state": json.dumps(state)},
        )


def _renamed(kept: Any) -> Any:
    if isinstance(kept, dict):
        return {_NEW_NAMES.get(name, name): _renamed(value) for name, value in kept.items()}
    return [_renamed(one) for one in kept] if isinstance(kept, list) else kept


def _with_choices(state: dict[str, Any]) -> dict[str, Any]:
    asked = state.get("asked")
    if asked:
        asked["choices"] = [_as_value(choice) for choice in asked["choices"]]
    return state


def _as_value(choice: Any) -> Any:
    """A choice that was written in words: "rsvp-yes league 2027-06-09"."""
    if not isinstance(choice, str):
        return choice
    match choice.split(" "):
        case [intent, event, day]:
            return {"intent": intent, "on": {"event": event, "day": day}}
        case [intent, list_id]:
            return {"intent": intent, "list_id": list_id}
        case _:
            return {"intent": choice}
