"""Of a party's answer: when those who come late are expected, and that no reminder is wished for."""

import sqlalchemy as sa
from alembic import op

from clubbot.store.tables import Moment

revision = "0015"
down_revision = "0014"


def upgrade() -> None:
    """Nobody is late yet, and everybody is reminded as before."""
    op.add_column("rsvps", sa.Column("late", Moment(), nullable=True))
    op.add_column("rsvps", sa.Column("unreminded", sa.Integer(), nullable=False, server_default=sa.text("0")))
