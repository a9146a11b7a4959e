"""Keeps the schema: `migrate` brings a database to this version's, `known_schema` tells whether it is there."""

from importlib.resources import as_file, files
from pathlib import Path

from sqlalchemy import Connection, Engine, inspect

from clubbot.model.errors import SchemaFault

HEAD = "0005"


def migrate(engine: Engine) -> None:
    """Run every step that the database lacks. Slow to import, so only done here and at a first start."""
    from alembic import command
    from alembic.config import Config

    with as_file(files("clubbot.store") / "migrations") as folder:
        config = Config()
        config.set_main_option("script_location", str(Path(folder)).replace("%", "%%"))
        with engine.connect() as connection:
            config.attributes["connection"] = connection
            command.upgrade(config, "head")
            connection.commit()


def version(connection: Connection) -> str | None:
    """The schema version of the database; None for an empty one."""
    if not inspect(connection).has_table("alembic_version"):
        return None
    return connection.exec_driver_sql("SELECT version_num FROM alembic_version").scalar()


def make_ready(engine: Engine) -> None:
    """Make the schema in an empty database; SchemaFault where there is one that this version does not know."""
    with engine.connect() as connection:
        found = version(connection)
        empty = not inspect(connection).get_table_names()
    if found == HEAD:
        return
    if found is None and empty:
        migrate(engine)
        return
    where = engine.url.render_as_string(hide_password=True)
    if found is None:
        raise SchemaFault(f"{where} holds tables that are not clubbot's; name another file in CLUBBOT_DATABASE_URL")
    raise SchemaFault(
        f"{where} has schema {found}, this clubbot knows {HEAD}; make a copy of the file, then run `clubbot migrate`, "
        "or start the clubbot version that it belongs to"
    )
