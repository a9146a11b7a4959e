"""How often each calendar entry has changed: counted up, kept over restarts, the rule beside its changed days."""

from datetime import date, datetime, timedelta
from pathlib import Path

from sqlalchemy import Engine

from clubbot.model.calendar import Revision
from clubbot.model.effects import KeepRevision
from clubbot.store.revisions import keep_revision, read_revisions, read_words
from clubbot.store.store import read
from clubbot.store.tables import revisions
from tests.conftest import NOON
from tests.store.builders import a_database, rows

LATER = NOON + timedelta(hours=1)
DAY = date(2027, 6, 9)


def kept(
    engine: Engine, words: str, sequence: int, *, event: str = "league", day: date | None = None, at: datetime = NOON
) -> None:
    with engine.begin() as connection:
        keep_revision(connection, KeepRevision(event=event, day=day, words=words, sequence=sequence), at)


def test_at_first_there_is_none(engine: Engine) -> None:
    assert read(engine, read_revisions) == {}
    assert read(engine, read_words) == {}


def test_an_entry_is_kept_with_its_words_how_often_it_changed_and_when(engine: Engine) -> None:
    kept(engine, "at six", 0)

    assert read(engine, read_words) == {("league", None): ("at six", 0)}
    assert read(engine, read_revisions) == {("league", None): Revision(sequence=0, changed_at=NOON)}


def test_a_changed_entry_takes_the_place_of_what_it_was(engine: Engine) -> None:
    kept(engine, "at six", 0)
    kept(engine, "at seven", 1, at=LATER)

    assert read(engine, read_words) == {("league", None): ("at seven", 1)}
    assert read(engine, read_revisions) == {("league", None): Revision(sequence=1, changed_at=LATER)}
    assert len(rows(engine, revisions)) == 1


def test_a_rule_its_changed_days_and_other_events_are_entries_of_their_own(engine: Engine) -> None:
    kept(engine, "the rule", 0)
    kept(engine, "the day", 0, day=DAY)
    kept(engine, "the clinic", 0, event="clinic")
    kept(engine, "the day, called off", 1, day=DAY, at=LATER)

    assert read(engine, read_words) == {
        ("league", None): ("the rule", 0),
        ("league", DAY): ("the day, called off", 1),
        ("clinic", None): ("the clinic", 0),
    }


def test_they_outlive_a_restart(engine: Engine, file: Path) -> None:
    kept(engine, "at seven", 3, day=DAY)
    engine.dispose()
    again = a_database(file)

    assert read(again, read_revisions) == {("league", DAY): Revision(sequence=3, changed_at=NOON)}
    again.dispose()
