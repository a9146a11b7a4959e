"""One memory of each conversation in place of three tables: what was said last, what was spoken of, and the question that was left open."""

import json
from datetime import UTC, datetime
from typing import Any

import sqlalchemy as sa
from alembic import op

from clubbot.store.tables import Moment

revision = "0006"
down_revision = "0005"


def upgrade() -> None:
    """What was remembered is remembered still."""
    op.create_table(
        "dialogues",
        sa.Column("number", sa.String(length=80), nullable=False),
        sa.Column("state", sa.Text(), nullable=False),
        sa.Column("said_at", Moment(), nullable=True),
        sa.Column("at", Moment(), nullable=False),
        sa.PrimaryKeyConstraint("number", name=op.f("pk_dialogues")),
    )
    op.create_index("ix_dialogues_said_at", "dialogues", ["said_at"], unique=False)
    op.create_index("ix_dialogues_at", "dialogues", ["at"], unique=False)
    _move()
    op.drop_index("ix_exchanges_at", table_name="exchanges")
    for table in ("open_choices", "exchanges", "talks"):
        op.drop_table(table)


def _move() -> None:
    connection = op.get_bind()
    states: dict[str, dict[str, Any]] = {}
    times: dict[str, list[float]] = {}
    said_at: dict[str, float] = {}
    for row in connection.execute(sa.text("SELECT * FROM open_choices")).mappings():
        states.setdefault(row["number"], {})["asked"] = {
            "choices": row["choices"].split("\n"),
            "about": row["about"],
            "language": row["language"],
            "until": _iso(row["until"]),
            "again": bool(row["again"]),
        }
        times.setdefault(row["number"], []).append(row["until"])
    for row in connection.execute(sa.text("SELECT * FROM exchanges")).mappings():
        said = {
            "text": row["text"],
            "language": row["language"],
            "wants": json.loads(row["wants"]),
            "others": row["others"].split("\n") if row["others"] else [],
            "at": _iso(row["at"]),
        }
        states.setdefault(row["number"], {})["exchanges"] = [said]
        times.setdefault(row["number"], []).append(row["at"])
        said_at[row["number"]] = row["at"]
    for row in connection.execute(sa.text("SELECT * FROM talks")).mappings():
        states.setdefault(row["number"], {})["talk"] = _talk(row)
        times.setdefault(row["number"], []).append(row["at"])
    for number, state in states.items():
        connection.execute(
            sa.text("INSERT INTO dialogues (number, state, said_at, at) VALUES (:number, :state, :said_at, :at)"),
            {
                "number": number,
                "state": json.dumps(state),
                "said_at": said_at.get(number),
                "at": max(times[number]),
            },
        )


def _talk(row: Any) -> dict[str, Any]:
    before = None
    if row["state_before"] is not None:
        before = {"number": row["number"], "state": row["state_before"], "people": row["people_before"]}
    return {
        "on": {"event": row["event"], "day": row["day"]},
        "want": row["want"],
        "at": _iso(row["at"]),
        "awaits": row["awaits"],
        "people": row["people"],
        "before": before,
    }


def _iso(seconds: float) -> str:
    return datetime.fromtimestamp(seconds, UTC).isoformat()
