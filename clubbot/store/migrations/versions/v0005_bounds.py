"""What makes it hold: longer codes and wrong ones counted by phone, phones that take no orders, who answered what within a day; the kind of each text, questions that are kept and alarms that are counted; how many parts a text was sent in once its
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
    # What waited for a code of four digits is dropped: such codes can be guessed, and are good for minutes only.
    op.drop_table("drafts")
    op.create_table(
        "drafts",
        sa.Column("number", sa.String(length=80), nullable=False),
        sa.Column("code", sa.String(length=8), nullable=False),
        sa.Column("deed", sa.Text(), nullable=False),
        sa.Column("until", Moment(), nullable=False),
        sa.PrimaryKeyConstraint("number", name=op.f("pk_drafts")),
    )
    op.create_table(
        "wrong_codes",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("number", sa.String(length=80), nullable=False),
        sa.Column("at", Moment(), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_wrong_codes")),
    )
    op.create_index("ix_wrong_codes_at", "wrong_codes", ["at"], unique=False)
    op.create_table(
        "suspended",
        sa.Column("number", sa.String(length=80), nullable=False),
        sa.Column("since", Moment(), nullable=False),
        sa.PrimaryKeyConstraint("number", name=op.f("pk_suspended")),
    )
    op.create_table(
        "sent_answers",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("question", sa.Integer(), nullable=False),
        sa.Column("person", sa.String(length=60), nullable=False),
        sa.Column("at", Moment(), nullable=False),
        sa.ForeignKeyConstraint(
            ["question"], ["questions.number"], name=op.f("fk_sent_answers_question_questions")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_sent_answers")),
    )
    op.create_index("ix_sent_answers_at", "sent_answers", ["at"], unique=False)
