"""Days of events are moved to another day or place by text, events of one day are added, a phone is suspended by somebody else and has another number."""

import sqlalchemy as sa
from alembic import op

from clubbot.store.tables import Moment

revision = "0011"
down_revision = "0010"


def upgrade() -> None:
    """What was changed before stays as it is."""
    op.add_column("event_changes", sa.Column("moved_to", sa.Date(), nullable=True))
    op.add_column("event_changes", sa.Column("meet_en", sa.Text(), nullable=True))
    op.add_column("event_changes", sa.Column("meet_fr", sa.Text(), nullable=True))
    op.add_column("suspended", sa.Column("by", sa.String(40), nullable=True))
    op.create_table(
        "added_events",
        sa.Column("id", sa.String(60), nullable=False),
        sa.Column("event", sa.Text(), nullable=False),
        sa.Column("at", Moment(), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_added_events")),
    )
    op.create_table(
        "roster_changes",
        sa.Column("id", sa.String(80), nullable=False),
        sa.Column("person", sa.Text(), nullable=False),
        sa.Column("at", Moment(), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_roster_changes")),
    )
