"""What is due is found class by class: what waits behind nothing, replies, texts to many."""

from alembic import op

revision = "0005"
down_revision = "0004"


def upgrade() -> None:
    """Another order of the same columns; no row is touched."""
    op.create_index("ix_outbox_state_after_due_at", "outbox", ["state", "after", "due_at"], unique=False)
    op.drop_index("ix_outbox_state_due_at", table_name="outbox")
