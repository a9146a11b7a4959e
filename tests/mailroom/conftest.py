"""A database file for each test."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from sqlalchemy import Engine

from tests.store.builders import a_database


@pytest.fixture
def file(tmp_path: Path) -> Path:
    """Where the database is."""
    return tmp_path / "club.db"


@pytest.fixture
def engine(file: Path) -> Iterator[Engine]:
    """The database, with the schema in it."""
    engine = a_database(file)
    yield engine
    engine.dispose()
