"""Whether a closure was in force when it was told: those of before that had begun by the last text that came in."""

import sqlalchemy as sa
from alembic import op

revision = "0008"
down_revision = "0007"


def upgrade() -> None:
    """A new column, filled from what is known."""
    op.add_column("closures", sa.Column("begun", sa.Boolean(), nullable=False, server_default=sa.false()))
    op.execute("UPDATE closures SET begun = true WHERE since <= (SELECT max(received_at) FROM inbox)")
