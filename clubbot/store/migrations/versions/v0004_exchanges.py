"""What was last said with somebody, and the texts that were misread."""

import sqlalchemy as sa
from alembic import op

from clubbot.store.tables import Moment

revision = "0004"
down_revision = "0003"


def upgrade() -> None:
    """New tables and a column; nothing kept before is touched."""
    op.add_column("open_choices", sa.Column("again", sa.Integer(), nullable=False, server_default="0"))
    op.create_table(
        "exchanges",
        sa.Column("number", sa.String(length=80), nullable=False),
        sa.Column("text", sa.Text(), nullable=False),
        sa.Column("language", sa.String(length=2), nullable=False),
        sa.Column("wants", sa.Text(), nullable=False),
        sa.Column("others", sa.Text(), nullable=False),
        sa.Column("at", Moment(), nullable=False),
        sa.PrimaryKeyConstraint("number", name=op.f("pk_exchanges")),
    )
    op.create_index("ix_exchanges_at", "exchanges", ["at"], unique=False)
    op.create_table(
        "doubts",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("text", sa.Text(), nullable=False),
        sa.Column("read_as", sa.String(length=80), nullable=False),
        sa.Column("meant", sa.String(length=80), nullable=True),
        sa.Column("at", Moment(), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_doubts")),
    )
    op.create_index("ix_doubts_at", "doubts", ["at"], unique=False)
