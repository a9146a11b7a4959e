"""Keeps the schema: `migrate` brings a database to this version's, `known_schema` tells whether it is there."""

from importlib.resources import as_file, files
from pathlib import Path

from sqlalchemy import Connection, Engine, inspect

from clubbot.files import refuse_unless_file
from clubbot.model.errors import SchemaFault
from clubbot.store.faults import file_of, plainly
from clubbot.store.tables import metadata

HEAD = "0015"


def migrate(engine: Engine) -> None:
    """Run every step that the database lacks; SchemaFault where it is not clubbot's or a later clubbot's. Slow to import, so only done here
    and at a first start.
    """
    from alembic import command
    from alembic.config import Config

    found, names = found_in(engine)
    if found is None and names:
        raise _not_ours(engine)
    if found is not None and found not in known_schemas():
        raise SchemaFault(
            f"{_where(engine)} has schema {found}, which this clubbot does not know; start the clubbot version that it belongs to"
        )
    with plainly(file_of(engine.url)), as_file(files("clubbot.store") / "migrations") as folder:
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


def found_in(engine: Engine) -> tuple[str | None, set[str]]:
    """The schema version of the database, and the tables that are there; DatabaseFault where it cannot be used at all."""
    file = file_of(engine.url)
    with plainly(file):
        if file is not None and file.exists():
            refuse_unless_file(file.stat())  # SQLite would wait at a pipe for ever
        with engine.connect() as connection:
            return version(connection), set(inspect(connection).get_table_names())


def known_schemas() -> frozenset[str]:
    """Every schema that this version can bring to its own."""
    return frozenset(f"{number:04}" for number in range(1, int(HEAD) + 1))


def make_ready(engine: Engine) -> None:
    """Make the schema in an empty database; SchemaFault where there is one that this version does not know."""
    found, names = found_in(engine)
    if found == HEAD:
        missing = sorted(metadata.tables.keys() - names)
        if missing:
            raise SchemaFault(
                f"{_where(engine)} lacks the table {missing[0]}; bring back a backup with `clubbot restore`"
            )
        return
    if found is None and not names:
        migrate(engine)
        return
    raise _not_ours(engine) if found is None else _unknown(engine, found)


def _not_ours(engine: Engine) -> SchemaFault:
    return SchemaFault(
        f"{_where(engine)} holds tables that are not clubbot's; name another file in CLUBBOT_DATABASE_URL"
    )


def _unknown(engine: Engine, found: str) -> SchemaFault:
    return SchemaFault(
        f"{_where(engine)} has schema {found}, this clubbot knows {HEAD}; make a copy of the file, then run "
        "`clubbot migrate`, or start the clubbot version that it belongs to"
    )


def _where(engine: Engine) -> str:
    return engine.url.render_as_string(hide_password=True)
