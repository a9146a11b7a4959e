"""Days of events that begin at another hour by text."""

import sqlalchemy as sa
from alembic import op

revision = "0009"
down_revision = "0008"


def upgrade() -> None:
    """Two new columns; nothing kept before is touched."""
    op.add_column("event_changes", sa.Column("starts", sa.Time(), nullable=True))
    op.add_column("event_changes", sa.Column("ends", sa.Time(), nullable=True))
