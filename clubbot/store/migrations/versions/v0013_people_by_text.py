"""The club's people are changed by text: their roles, who has retired, who is on duty on which day."""

import sqlalchemy as sa
from alembic import op

from clubbot.store.tables import Moment

revision = "0013"
down_revision = "0012"


def upgrade() -> None:
    """New tables; what was changed before stays as it is."""
    op.create_table(
        "role_changes",
        sa.Column("id", sa.String(80), nullable=False),
        sa.Column("roles", sa.Text(), nullable=False),
        sa.Column("at", Moment(), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_role_changes")),
    )
    op.create_table(
        "retired",
        sa.Column("id", sa.String(80), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("number", sa.String(80), nullable=False),
        sa.Column("at", Moment(), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_retired")),
    )
    op.create_table(
        "duty_days",
        sa.Column("day", sa.Date(), nullable=False),
        sa.Column("person", sa.String(80), nullable=False),
        sa.PrimaryKeyConstraint("day", name=op.f("pk_duty_days")),
    )
