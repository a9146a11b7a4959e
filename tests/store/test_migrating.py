"""The schema: made at the first start, the same as the tables, and nothing else is touched."""

import sqlite3
from contextlib import closing
from datetime import date, timedelta
from pathlib import Path

import pytest
from alembic.autogenerate import compare_metadata
from alembic.migration import MigrationContext
from alembic.script import ScriptDirectory
from sqlalchemy import Engine, event, insert

from clubbot.model.effects import KeepRsvp
from clubbot.model.errors import SchemaFault
from clubbot.model.rsvps import DayId, Rsvp
from clubbot.store import migrations
from clubbot.store.migrating import HEAD, make_ready, migrate, version
from clubbot.store.rsvps import read_mine
from clubbot.store.store import open_engine
from clubbot.store.tables import closures, metadata, people
from tests.builders import KIM
from tests.conftest import NOON
from tests.store.builders import done, rows

LEAGUE = DayId("dusk-league", date(2027, 6, 9))


def version_of(engine: Engine) -> str | None:
    with engine.connect() as connection:
        return version(connection)


def tables_of(file: Path) -> set[str]:
    with closing(sqlite3.connect(file)) as other:
        return {str(name) for (name,) in other.execute("SELECT name FROM sqlite_master WHERE type = 'table'")}


def at_version(file: Path, found: str) -> None:
    with closing(sqlite3.connect(file)) as other:
        other.execute("UPDATE alembic_version SET version_num = ?", (found,))
        other.commit()


def before_0012(other: sqlite3.Connection) -> None:
    """Take away what schemas 0012 and later brought."""
    other.execute("ALTER TABLE drafts DROP COLUMN earlier")
    for column in ("late", "unreminded"):
        other.execute(f"ALTER TABLE rsvps DROP COLUMN {column}")
    for table in ("role_changes", "retired", "duty_days"):
        other.execute(f"DROP TABLE {table}")
    for index in ("ix_reports_done_at", "ix_reports_reporter"):
        other.execute(f"DROP INDEX {index}")
    for column in ("part", "question", "done_at", "done_by"):
        other.execute(f"ALTER TABLE reports DROP COLUMN {column}")


def before_0011(other: sqlite3.Connection) -> None:
    """Take away what schema 0011 brought, and all since."""
    before_0012(other)
    for column in ("moved_to", "meet_en", "meet_fr"):
        other.execute(f"ALTER TABLE event_changes DROP COLUMN {column}")
    other.execute("ALTER TABLE suspended DROP COLUMN by")
    for table in ("added_events", "roster_changes"):
        other.execute(f"DROP TABLE {table}")


def test_a_missing_file_is_made_at_the_first_start(tmp_path: Path) -> None:
    file = tmp_path / "new.db"
    engine = open_engine(f"sqlite:///{file}")
    make_ready(engine)
    engine.dispose()

    assert tables_of(file) == {*metadata.tables, "alembic_version"}


def test_an_empty_file_is_taken_for_a_new_one(tmp_path: Path) -> None:
    file = tmp_path / "new.db"
    file.touch()
    engine = open_engine(f"sqlite:///{file}")
    make_ready(engine)

    assert version_of(engine) == HEAD
    engine.dispose()


def test_a_database_in_memory_gets_the_schema_too() -> None:
    engine = open_engine("sqlite://")
    make_ready(engine)

    assert version_of(engine) == HEAD
    engine.dispose()


def test_the_steps_make_exactly_the_tables_of_the_code(engine: Engine) -> None:
    with engine.connect() as connection:
        context = MigrationContext.configure(connection, opts={"compare_type": True, "compare_server_default": True})

        assert compare_metadata(context, metadata) == []


def test_the_version_that_the_code_asks_for_is_that_of_the_last_step() -> None:
    (folder,) = migrations.__path__

    assert ScriptDirectory(folder).get_heads() == [HEAD]


def test_what_is_in_a_database_of_schema_0006_is_kept(tmp_path: Path) -> None:
    file = tmp_path / "before.db"
    engine = open_engine(f"sqlite:///{file}")
    make_ready(engine)
    done(engine, KeepRsvp(on=LEAGUE, rsvp=Rsvp(number=KIM, state="coming", people=3, stand_in="Ana"), seen=0))
    engine.dispose()
    # As schema 0006 had it: without the columns.
    with closing(sqlite3.connect(file)) as other:
        other.execute("ALTER TABLE rsvps DROP COLUMN who")
        other.execute("ALTER TABLE closures DROP COLUMN begun")
        other.execute("ALTER TABLE event_changes DROP COLUMN starts")
        other.execute("ALTER TABLE event_changes DROP COLUMN ends")
        before_0011(other)
        other.execute("UPDATE alembic_version SET version_num = '0006'")
        other.commit()
        before = other.execute("SELECT * FROM rsvps").fetchall()
        texts = other.execute("SELECT * FROM outbox").fetchall()
    again = open_engine(f"sqlite:///{file}")
    migrate(again)

    with again.connect() as connection:
        assert read_mine(connection, KIM, LEAGUE.day) == {
            LEAGUE: Rsvp(number=KIM, state="coming", people=3, stand_in="Ana", who=())
        }
    again.dispose()
    with closing(sqlite3.connect(file)) as other:
        assert [row[: len(before[0])] for row in other.execute("SELECT * FROM rsvps")] == before
        assert other.execute("SELECT * FROM outbox").fetchall() == texts


def test_what_was_closed_before_the_last_text_is_kept_as_begun(tmp_path: Path) -> None:
    file = tmp_path / "before.db"
    engine = open_engine(f"sqlite:///{file}")
    make_ready(engine)
    done(engine)  # a text that came in at noon
    with engine.begin() as connection:
        for what, since in (("marsh", NOON), ("hill", NOON + timedelta(hours=1))):
            row = {"what": what, "since": since, "reason_en": "flooded", "reason_fr": "inondé"}
            connection.execute(insert(closures).values(row))
    engine.dispose()
    with closing(sqlite3.connect(file)) as other:  # as schema 0007 had it
        other.execute("ALTER TABLE closures DROP COLUMN begun")
        other.execute("ALTER TABLE event_changes DROP COLUMN starts")
        other.execute("ALTER TABLE event_changes DROP COLUMN ends")
        before_0011(other)
        other.execute("UPDATE alembic_version SET version_num = '0007'")
        other.commit()
    again = open_engine(f"sqlite:///{file}")
    migrate(again)

    assert {row["what"]: row["begun"] for row in rows(again, closures)} == {"marsh": True, "hill": False}
    again.dispose()


def test_a_second_start_changes_nothing(engine: Engine) -> None:
    done(engine)
    before = rows(engine, people)
    make_ready(engine)
    migrate(engine)

    assert rows(engine, people) == before
    assert version_of(engine) == HEAD


@pytest.mark.parametrize("found", ["9999", "0000"])
def test_a_schema_that_is_not_known_is_refused_with_what_to_do(engine: Engine, file: Path, found: str) -> None:
    done(engine)
    at_version(file, found)
    before = rows(engine, people)
    with pytest.raises(SchemaFault) as fault:
        make_ready(engine)

    for told in (str(file), found, HEAD, "make a copy", "clubbot migrate"):
        assert told in str(fault.value)
    assert rows(engine, people) == before


def test_tables_of_somebody_else_are_refused_and_left_alone(tmp_path: Path) -> None:
    file = tmp_path / "recipes.db"
    with closing(sqlite3.connect(file)) as other:
        other.execute("CREATE TABLE recipes (name)")
    engine = open_engine(f"sqlite:///{file}")
    with pytest.raises(SchemaFault, match=r"not clubbot's; name another file in CLUBBOT_DATABASE_URL") as fault:
        make_ready(engine)
    engine.dispose()

    assert str(file) in str(fault.value)
    assert tables_of(file) == {"recipes"}


def test_a_first_start_that_was_killed_between_any_two_steps_is_made_up_for_by_the_next(tmp_path: Path) -> None:
    """A fault in the middle ends the process's transaction just as a kill does."""
    statements = 0
    for kill_at in range(1, 200):
        file = tmp_path / f"killed at {kill_at}.db"
        seen = 0

        def kill(*_: object) -> None:
            nonlocal seen
            seen += 1
            if seen == kill_at:  # noqa: B023  (used within its own round)
                raise KeyboardInterrupt

        engine = open_engine(f"sqlite:///{file}")
        event.listen(engine, "before_cursor_execute", kill)
        event.listen(engine, "commit", kill)
        try:
            make_ready(engine)
        except KeyboardInterrupt:
            statements = kill_at
        engine.dispose()
        again = open_engine(f"sqlite:///{file}")
        make_ready(again)
        assert version_of(again) == HEAD
        again.dispose()
        if statements < kill_at:
            break

    assert statements > len(metadata.tables)
