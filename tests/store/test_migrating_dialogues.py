"""A database of the schema before keeps what was said last, what was spoken of and the question that is open."""

from datetime import date, timedelta
from importlib.resources import as_file, files
from pathlib import Path

import pytest
from alembic import command
from alembic.config import Config
from sqlalchemy import Engine, text

from clubbot.model.choices import any_of
from clubbot.model.dialogue import DialogueState
from clubbot.model.effects import OpenChoice
from clubbot.model.exchange import Exchange, Spoken
from clubbot.model.rsvps import DayId, Rsvp, Talk
from clubbot.store.dialogues import read_dialogue
from clubbot.store.migrating import migrate
from clubbot.store.store import open_engine
from tests.builders import KIM
from tests.conftest import NOON
from tests.store.builders import LEE

UNTIL = NOON + timedelta(minutes=20)
_ROWS = (
    (
        "INSERT INTO open_choices VALUES (:number, :choices, 'discs?', 'en', :until, 1)",
        {"number": KIM, "choices": "borrow\nbuy", "until": UNTIL.timestamp()},
    ),
    (
        "INSERT INTO exchanges VALUES (:number, 'how much', 'fr', :wants, 'buy', :at)",
        {"number": KIM, "wants": '[{"want": "cost", "event": "dusk-league"}]', "at": NOON.timestamp()},
    ),
    (
        "INSERT INTO talks VALUES (:number, 'dusk-league', '2027-06-09', 'rsvp-yes', 'offer', 3, 'waiting', 2, :at)",
        {"number": KIM, "at": NOON.timestamp()},
    ),
    (
        "INSERT INTO talks VALUES (:number, 'clinic', '2027-06-12', 'places', '', 0, NULL, NULL, :at)",
        {"number": LEE, "at": NOON.timestamp()},
    ),
)


@pytest.fixture
def older(tmp_path: Path) -> Engine:
    """A database of schema 0005 with conversations in it."""
    engine = open_engine(f"sqlite:///{tmp_path / 'club.db'}")
    with as_file(files("clubbot.store") / "migrations") as folder, engine.connect() as connection:
        config = Config()
        config.set_main_option("script_location", str(folder))
        config.attributes["connection"] = connection
        command.upgrade(config, "0005")
        for statement, values in _ROWS:
            connection.execute(text(statement), values)
        connection.commit()
    return engine


def test_what_was_remembered_is_remembered_after_the_migration(older: Engine) -> None:
    migrate(older)

    with older.connect() as connection:
        kim, lee = read_dialogue(connection, KIM), read_dialogue(connection, LEE)
    said = Exchange(
        text="how much", language="fr", wants=(Spoken(want="cost", event="dusk-league"),), others=("buy",), at=NOON
    )
    assert kim == DialogueState(
        exchanges=(said,),
        asked=OpenChoice(choices=any_of(("borrow", "buy")), about="discs?", language="en", until=UNTIL, again=True),
        talk=Talk(
            on=DayId("dusk-league", date(2027, 6, 9)),
            want="rsvp-yes",
            at=NOON,
            awaits="offer",
            people=3,
            before=Rsvp(number=KIM, state="waiting", people=2),
        ),
    )
    assert lee == DialogueState(talk=Talk(on=DayId("clinic", date(2027, 6, 12)), want="places", at=NOON))
    older.dispose()
