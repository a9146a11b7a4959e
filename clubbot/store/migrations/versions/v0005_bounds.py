"""What makes it hold: the kind of each text, questions that are kept and alarms that are counted; how many parts a text was sent in once its
words are no longer kept; what is due found class by class, urgent texts first.
"""

import sqlalchemy as sa
from alembic import op

from clubbot.store.tables import Moment

revision = "0005"
down_revision = "0004"


def upgrade() -> None:
    """New tables, columns and indexes; nothing kept before is touched."""
    op.create_index("ix_outbox_state_after_due_at", "outbox", ["state", "after", "due_at"], unique=False)
    op.drop_index("ix_outbox_state_due_at", table_name="outbox")
    op.add_column("outbox", sa.Column("parts", sa.Integer(), nullable=True))
    op.add_column("inbox", sa.Column("kind", sa.String(length=12), nullable=True))
    op.add_column(
        "questions", sa.Column("state", sa.String(length=8), nullable=False, server_default=sa.text("'told'"))
    )
    op.add_column("questions", sa.Column("held", sa.Integer(), nullable=False, server_default="0"))
    op.add_column("questions", sa.Column("cried_at", Moment(), nullable=True))
    op.add_column("questions", sa.Column("noted_at", Moment(), nullable=True))
    op.create_index("ix_questions_held", "questions", ["held"], unique=False)
    op.create_index("ix_questions_state_answered_at", "questions", ["state", "answered_at"], unique=False)
    op.create_table(
        "alarms_told",
        sa.Column("person", sa.String(length=60), nullable=False),
        sa.Column("at", Moment(), nullable=False),
        sa.PrimaryKeyConstraint("person", name=op.f("pk_alarms_told")),
    )
    op.create_table(
        "let_through",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("kind", sa.String(length=80), nullable=False),
        sa.Column("people", sa.Integer(), nullable=False),
        sa.Column("at", Moment(), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_let_through")),
    )
    op.create_index("ix_let_through_at", "let_through", ["at"], unique=False)
