"""What waits for its code knows the codes that were shown before it was had otherwise."""

import sqlalchemy as sa
from alembic import op

revision = "0014"
down_revision = "0013"


def upgrade() -> None:
    """What waits already has none."""
    op.add_column("drafts", sa.Column("earlier", sa.Text(), nullable=True))
