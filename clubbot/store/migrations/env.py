"""How alembic runs our steps: on the connection that it is handed, with tables copied where SQLite cannot alter them."""

from alembic import context

from clubbot.store.tables import metadata

connection = context.config.attributes["connection"]
context.configure(connection=connection, target_metadata=metadata, render_as_batch=True)
with context.begin_transaction():
    context.run_migrations()
