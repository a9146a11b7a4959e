"""How many parts a text was sent in is kept when its words no longer are."""

import sqlalchemy as sa
from alembic import op

revision = "0005"
down_revision = "0004"


def upgrade() -> None:
    """A new column; nothing kept before is touched."""
    op.add_column("outbox", sa.Column("parts", sa.Integer(), nullable=True))
