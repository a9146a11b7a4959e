"""What the club's people do by text: closures with their kind, codes that are waited for, a record, days that were called off."""

import sqlalchemy as sa
from alembic import op

from clubbot.store.tables import Moment

revision = "0003"
down_revision = "0002"


def upgrade() -> None:
    """New tables and columns; closures made before are planned ones, which end by themselves."""
    op.add_column("closures", sa.Column("kind", sa.String(length=10), nullable=False, server_default="planned"))
    op.add_column("closures", sa.Column("made_by", sa.String(length=60), nullable=True))
    op.add_column("closures", sa.Column("asked_at", Moment(), nullable=True))
    op.add_column("questions", sa.Column("told", sa.Text(), nullable=False, server_default=sa.text("''")))
    op.add_column("questions", sa.Column("next_at", Moment(), nullable=True))
    op.add_column("questions", sa.Column("answer", sa.Text(), nullable=True))
    op.add_column("questions", sa.Column("so_far", sa.Text(), nullable=False, server_default=sa.text("''")))
    op.create_index("ix_questions_next_at", "questions", ["next_at"], unique=False)
    op.create_index("ix_questions_asker", "questions", ["asker"], unique=False)
    op.add_column("outbox", sa.Column("after", sa.Integer(), nullable=False, server_default="0"))
    op.add_column("outbox", sa.Column("by_day", sa.Integer(), nullable=False, server_default="0"))
    op.add_column("outbox", sa.Column("broadcast", sa.Integer(), nullable=True))
    op.create_index("ix_outbox_broadcast_state", "outbox", ["broadcast", "state"], unique=False)
    op.create_table(
        "broadcasts",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("person", sa.String(length=60), nullable=False),
        sa.Column("number", sa.String(length=80), nullable=False),
        sa.Column("audience", sa.String(length=120), nullable=False),
        sa.Column("words_en", sa.Text(), nullable=False),
        sa.Column("words_fr", sa.Text(), nullable=False),
        sa.Column("begun_at", Moment(), nullable=False),
        sa.Column("people", sa.Integer(), nullable=False),
        sa.Column("left_out", sa.Integer(), nullable=False),
        sa.Column("state", sa.String(length=10), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_broadcasts")),
    )
    op.create_index("ix_broadcasts_state", "broadcasts", ["state"], unique=False)
    op.create_table(
        "duty_swaps",
        sa.Column("day", sa.Date(), nullable=False),
        sa.Column("instead_of", sa.String(length=60), nullable=False),
        sa.Column("taker", sa.String(length=60), nullable=False),
        sa.PrimaryKeyConstraint("day", "instead_of", name=op.f("pk_duty_swaps")),
    )
    op.create_table(
        "reports",
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("kind", sa.String(length=12), nullable=False),
        sa.Column("hole", sa.Integer(), nullable=True),
        sa.Column("words", sa.Text(), nullable=False),
        sa.Column("reporter", sa.String(length=80), nullable=False),
        sa.Column("language", sa.String(length=2), nullable=False),
        sa.Column("at", Moment(), nullable=False),
        sa.Column("fits", sa.Integer(), nullable=True),
        sa.PrimaryKeyConstraint("number", name=op.f("pk_reports")),
    )
    op.create_index("ix_reports_kind_at", "reports", ["kind", "at"], unique=False)
    op.create_table(
        "relays",
        sa.Column("owner", sa.String(length=80), nullable=False),
        sa.Column("finder", sa.String(length=80), nullable=False),
        sa.Column("until", Moment(), nullable=False),
        sa.PrimaryKeyConstraint("owner", "finder", name=op.f("pk_relays")),
    )
    op.create_table(
        "digests",
        sa.Column("day", sa.Date(), nullable=False),
        sa.Column("at", Moment(), nullable=False),
        sa.PrimaryKeyConstraint("day", name=op.f("pk_digests")),
    )
    op.create_table(
        "taught",
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("topic", sa.String(length=60), nullable=True),
        sa.Column("asked", sa.Text(), nullable=False),
        sa.Column("language", sa.String(length=2), nullable=False),
        sa.Column("answer", sa.Text(), nullable=True),
        sa.Column("by", sa.String(length=60), nullable=False),
        sa.Column("at", Moment(), nullable=False),
        sa.Column("forgotten_at", Moment(), nullable=True),
        sa.PrimaryKeyConstraint("number", name=op.f("pk_taught")),
    )
    op.create_table(
        "drafts",
        sa.Column("number", sa.String(length=80), nullable=False),
        sa.Column("code", sa.String(length=4), nullable=False),
        sa.Column("deed", sa.Text(), nullable=False),
        sa.Column("until", Moment(), nullable=False),
        sa.Column("tries", sa.Integer(), nullable=False),
        sa.PrimaryKeyConstraint("number", name=op.f("pk_drafts")),
    )
    op.create_table(
        "deeds",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("person", sa.String(length=60), nullable=False),
        sa.Column("at", Moment(), nullable=False),
        sa.Column("what", sa.Text(), nullable=False),
        sa.Column("inbox_id", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(["inbox_id"], ["inbox.id"], name=op.f("fk_deeds_inbox_id_inbox")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_deeds")),
    )
    op.create_table(
        "event_changes",
        sa.Column("event", sa.String(length=60), nullable=False),
        sa.Column("day", sa.Date(), nullable=False),
        sa.Column("called_off", sa.Integer(), nullable=False),
        sa.Column("reason_en", sa.Text(), nullable=False),
        sa.Column("reason_fr", sa.Text(), nullable=False),
        sa.Column("at", Moment(), nullable=False),
        sa.PrimaryKeyConstraint("event", "day", name=op.f("pk_event_changes")),
    )
