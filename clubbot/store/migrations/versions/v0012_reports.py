"""Reports of damage and of discs are listed until somebody says that they are dealt with."""

import sqlalchemy as sa
from alembic import op

from clubbot.store.tables import Moment

revision = "0012"
down_revision = "0011"


def upgrade() -> None:
    """What was reported before is open, as far as nobody has matched it."""
    op.add_column("reports", sa.Column("part", sa.String(60), nullable=True))
    op.add_column("reports", sa.Column("question", sa.Integer(), nullable=True))
    op.add_column("reports", sa.Column("done_at", Moment(), nullable=True))
    op.add_column("reports", sa.Column("done_by", sa.String(60), nullable=True))
    op.create_index("ix_reports_done_at", "reports", ["done_at"])
    op.create_index("ix_reports_reporter", "reports", ["reporter"])
