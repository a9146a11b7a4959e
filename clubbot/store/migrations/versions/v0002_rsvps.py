"""Who is coming: answers, waiting lists, reminders, sign-in, and what the calendar feed has shown."""

import sqlalchemy as sa
from alembic import op

from clubbot.store.tables import Moment

revision = "0002"
down_revision = "0001"


def upgrade() -> None:
    """New tables only; nothing kept before is touched."""

    op.create_table('attendance',
    sa.Column('event', sa.String(length=60), nullable=False),
    sa.Column('day', sa.Date(), nullable=False),
    sa.Column('number', sa.String(length=80), nullable=False),
    sa.Column('people', sa.Integer(), nullable=False),
    sa.Column('new_face', sa.Integer(), nullable=False),
    sa.Column('came_at', Moment(), nullable=False),
    sa.PrimaryKeyConstraint('event', 'day', 'number', name=op.f('pk_attendance'))
    )
    op.create_index('ix_attendance_number', 'attendance', ['number'], unique=False)
    op.create_table('event_days',
    sa.Column('event', sa.String(length=60), nullable=False),
    sa.Column('day', sa.Date(), nullable=False),
    sa.Column('coming', sa.Integer(), nullable=False),
    sa.Column('maybe', sa.Integer(), nullable=False),
    sa.Column('waiting', sa.Integer(), nullable=False),
    sa.Column('offered', sa.Integer(), nullable=False),
    sa.Column('came', sa.Integer(), nullable=False),
    sa.Column('new_faces', sa.Integer(), nullable=False),
    sa.Column('version', sa.Integer(), nullable=False),
    sa.Column('last_turn', sa.Integer(), nullable=False),
    sa.PrimaryKeyConstraint('event', 'day', name=op.f('pk_event_days'))
    )
    op.create_index('ix_event_days_day', 'event_days', ['day'], unique=False)
    op.create_table('reminders',
    sa.Column('id', sa.Integer(), nullable=False),
    sa.Column('number', sa.String(length=80), nullable=False),
    sa.Column('event', sa.String(length=60), nullable=False),
    sa.Column('day', sa.Date(), nullable=False),
    sa.Column('kind', sa.String(length=10), nullable=False),
    sa.Column('due_at', Moment(), nullable=False),
    sa.Column('state', sa.String(length=10), nullable=False),
    sa.Column('reason', sa.String(length=80), nullable=True),
    sa.Column('ended_at', Moment(), nullable=True),
    sa.PrimaryKeyConstraint('id', name=op.f('pk_reminders')),
    sa.UniqueConstraint('number', 'event', 'day', 'kind', name=op.f('uq_reminders_number_event_day_kind'))
    )
    op.create_index('ix_reminders_state_due_at', 'reminders', ['state', 'due_at'], unique=False)
    op.create_table('revisions',
    sa.Column('event', sa.String(length=60), nullable=False),
    sa.Column('day', sa.Date(), nullable=False),
    sa.Column('words', sa.Text(), nullable=False),
    sa.Column('sequence', sa.Integer(), nullable=False),
    sa.Column('changed_at', Moment(), nullable=False),
    sa.PrimaryKeyConstraint('event', 'day', name=op.f('pk_revisions'))
    )
    op.create_table('rsvps',
    sa.Column('event', sa.String(length=60), nullable=False),
    sa.Column('day', sa.Date(), nullable=False),
    sa.Column('number', sa.String(length=80), nullable=False),
    sa.Column('state', sa.String(length=10), nullable=False),
    sa.Column('people', sa.Integer(), nullable=False),
    sa.Column('turn', sa.Integer(), nullable=False),
    sa.Column('offered', sa.Integer(), nullable=False),
    sa.Column('offered_until', Moment(), nullable=True),
    sa.Column('passed_over', sa.Integer(), nullable=False),
    sa.Column('stand_in', sa.String(length=80), nullable=True),
    sa.Column('told', sa.String(length=200), nullable=True),
    sa.Column('told_at', Moment(), nullable=True),
    sa.Column('since', Moment(), nullable=False),
    sa.Column('changed_at', Moment(), nullable=False),
    sa.PrimaryKeyConstraint('event', 'day', 'number', name=op.f('pk_rsvps'))
    )
    op.create_index('ix_rsvps_event_day_state_turn', 'rsvps', ['event', 'day', 'state', 'turn'], unique=False)
    op.create_index('ix_rsvps_number_day', 'rsvps', ['number', 'day'], unique=False)
    op.create_index('ix_rsvps_offered_until', 'rsvps', ['offered_until'], unique=False)
    op.create_table('talks',
    sa.Column('number', sa.String(length=80), nullable=False),
    sa.Column('event', sa.String(length=60), nullable=False),
    sa.Column('day', sa.Date(), nullable=False),
    sa.Column('want', sa.String(length=20), nullable=False),
    sa.Column('awaits', sa.String(length=10), nullable=False),
    sa.Column('people', sa.Integer(), nullable=False),
    sa.Column('state_before', sa.String(length=10), nullable=True),
    sa.Column('people_before', sa.Integer(), nullable=True),
    sa.Column('at', Moment(), nullable=False),
    sa.PrimaryKeyConstraint('number', name=op.f('pk_talks'))
    )
