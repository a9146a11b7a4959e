"""Who is in a party, beside how many: nothing was said of those who answered before."""

import sqlalchemy as sa
from alembic import op

revision = "0007"
down_revision = "0006"


def upgrade() -> None:
    """A new column; nothing kept before is touched."""
    op.add_column("rsvps", sa.Column("who", sa.Text(), nullable=False, server_default=sa.text("'[]'")))
