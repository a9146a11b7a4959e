"""The steps of the schema, run by alembic."""
