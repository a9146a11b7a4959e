"""How alembic runs our steps: on the connection that it is handed, with tables copied where SQLite cannot alter them."""

from alembic import context

from clubbot.store.tables import metadata

connection = context.config.attributes["connection"]
# All steps in one transaction: a start that is killed between two of them has done none.
context.configure(
    connection=connection,
    target_metadata=metadata,
    render_as_batch=True,
    transactional_ddl=True,
    transaction_per_migration=False,
)
with context.begin_transaction():
    context.run_migrations()
