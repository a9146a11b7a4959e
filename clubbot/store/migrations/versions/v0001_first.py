"""The first schema: what comes in, what goes out, people, consent, questions, closures."""

import sqlalchemy as sa
from alembic import op

from clubbot.store.tables import Moment

revision = "0001"
down_revision = None


def upgrade() -> None:
    """From nothing to the first tables."""

    op.create_table('closures',
    sa.Column('id', sa.Integer(), nullable=False),
    sa.Column('what', sa.String(length=60), nullable=False),
    sa.Column('since', Moment(), nullable=False),
    sa.Column('until', Moment(), nullable=True),
    sa.Column('reason_en', sa.Text(), nullable=False),
    sa.Column('reason_fr', sa.Text(), nullable=False),
    sa.Column('ended_at', Moment(), nullable=True),
    sa.PrimaryKeyConstraint('id', name=op.f('pk_closures'))
    )
    op.create_table('inbox',
    sa.Column('id', sa.Integer(), nullable=False),
    sa.Column('channel', sa.String(length=40), nullable=False),
    sa.Column('their_id', sa.String(length=255), nullable=False),
    sa.Column('delivery_id', sa.String(length=255), nullable=False),
    sa.Column('sender', sa.String(length=80), nullable=False),
    sa.Column('recipient', sa.String(length=80), nullable=False),
    sa.Column('text', sa.Text(), nullable=False),
    sa.Column('received_at', Moment(), nullable=False),
    sa.Column('state', sa.String(length=10), nullable=False),
    sa.Column('answered_at', Moment(), nullable=True),
    sa.Column('outcome', sa.String(length=60), nullable=True),
    sa.Column('served', sa.String(length=200), nullable=True),
    sa.PrimaryKeyConstraint('id', name=op.f('pk_inbox')),
    sa.UniqueConstraint('channel', 'delivery_id', name=op.f('uq_inbox_channel_delivery_id')),
    sa.UniqueConstraint('channel', 'their_id', name=op.f('uq_inbox_channel_their_id'))
    )
    op.create_index('ix_inbox_sender_received_at', 'inbox', ['sender', 'received_at'], unique=False)
    op.create_index('ix_inbox_state_id', 'inbox', ['state', 'id'], unique=False)
    op.create_table('open_choices',
    sa.Column('number', sa.String(length=80), nullable=False),
    sa.Column('choices', sa.Text(), nullable=False),
    sa.Column('about', sa.Text(), nullable=False),
    sa.Column('language', sa.String(length=2), nullable=False),
    sa.Column('until', Moment(), nullable=False),
    sa.PrimaryKeyConstraint('number', name=op.f('pk_open_choices'))
    )
    op.create_table('outbox',
    sa.Column('seq', sa.Integer(), nullable=False),
    sa.Column('id', sa.String(length=60), nullable=False),
    sa.Column('key', sa.String(length=120), nullable=False),
    sa.Column('recipient', sa.String(length=80), nullable=False),
    sa.Column('sender', sa.String(length=80), nullable=False),
    sa.Column('text', sa.Text(), nullable=False),
    sa.Column('created_at', Moment(), nullable=False),
    sa.Column('due_at', Moment(), nullable=False),
    sa.Column('claimed_until', Moment(), nullable=True),
    sa.Column('state', sa.String(length=12), nullable=False),
    sa.Column('attempts', sa.Integer(), nullable=False),
    sa.Column('asks_consent', sa.Integer(), nullable=False),
    sa.Column('sent_at', Moment(), nullable=True),
    sa.Column('reason', sa.Text(), nullable=True),
    sa.PrimaryKeyConstraint('seq', name=op.f('pk_outbox')),
    sa.UniqueConstraint('id', name=op.f('uq_outbox_id')),
    sa.UniqueConstraint('key', name=op.f('uq_outbox_key'))
    )
    op.create_index('ix_outbox_recipient_created_at', 'outbox', ['recipient', 'created_at'], unique=False)
    op.create_index('ix_outbox_recipient_state_seq', 'outbox', ['recipient', 'state', 'seq'], unique=False)
    op.create_index('ix_outbox_state_due_at', 'outbox', ['state', 'due_at'], unique=False)
    op.create_table('people',
    sa.Column('number', sa.String(length=80), nullable=False),
    sa.Column('language', sa.String(length=2), nullable=True),
    sa.Column('name', sa.String(length=80), nullable=True),
    sa.Column('opted_out', sa.Integer(), nullable=False),
    sa.Column('introduced', sa.Integer(), nullable=False),
    sa.Column('quiet_reason', sa.String(length=20), nullable=True),
    sa.Column('first_seen_at', Moment(), nullable=False),
    sa.PrimaryKeyConstraint('number', name=op.f('pk_people'))
    )
    op.create_table('subscriptions',
    sa.Column('number', sa.String(length=80), nullable=False),
    sa.Column('list_id', sa.String(length=60), nullable=False),
    sa.Column('since', Moment(), nullable=False),
    sa.PrimaryKeyConstraint('number', 'list_id', name=op.f('pk_subscriptions'))
    )
    op.create_table('consents',
    sa.Column('id', sa.Integer(), nullable=False),
    sa.Column('number', sa.String(length=80), nullable=False),
    sa.Column('at', Moment(), nullable=False),
    sa.Column('what', sa.String(length=20), nullable=False),
    sa.Column('list_id', sa.String(length=60), nullable=True),
    sa.Column('channel', sa.String(length=40), nullable=False),
    sa.Column('words', sa.Text(), nullable=False),
    sa.Column('inbox_id', sa.Integer(), nullable=False),
    sa.ForeignKeyConstraint(['inbox_id'], ['inbox.id'], name=op.f('fk_consents_inbox_id_inbox')),
    sa.PrimaryKeyConstraint('id', name=op.f('pk_consents'))
    )
    op.create_index('ix_consents_number_at', 'consents', ['number', 'at'], unique=False)
    op.create_table('questions',
    sa.Column('number', sa.Integer(), nullable=False),
    sa.Column('inbox_id', sa.Integer(), nullable=False),
    sa.Column('asker', sa.String(length=80), nullable=False),
    sa.Column('language', sa.String(length=2), nullable=False),
    sa.Column('reason', sa.String(length=60), nullable=False),
    sa.Column('person', sa.String(length=60), nullable=False),
    sa.Column('asked_at', Moment(), nullable=False),
    sa.Column('answered_at', Moment(), nullable=True),
    sa.Column('answered_by', sa.String(length=60), nullable=True),
    sa.ForeignKeyConstraint(['inbox_id'], ['inbox.id'], name=op.f('fk_questions_inbox_id_inbox')),
    sa.PrimaryKeyConstraint('number', name=op.f('pk_questions')),
    sa.UniqueConstraint('inbox_id', name=op.f('uq_questions_inbox_id'))
    )
    op.create_index('ix_questions_answered_at', 'questions', ['answered_at'], unique=False)

