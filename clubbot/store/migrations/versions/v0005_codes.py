"""Longer codes, wrong ones counted by phone, phones that take no orders, and who answered what within a day."""

import sqlalchemy as sa
from alembic import op

from clubbot.store.tables import Moment

revision = "0005"
down_revision = "0004"


def upgrade() -> None:
    """New tables. What waited for a code of four digits is dropped: such codes can be guessed, and are good for minutes only."""
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
