"""A database of the schema before keeps what was said last, what was spoken of and the question that is open."""

from collections.abc import Sequence
from datetime import date, timedelta
from importlib.resources import as_file, files
from pathlib import Path

from alembic import command
from alembic.config import Config
from sqlalchemy import Engine, text

from clubbot.model.choices import Choice, any_of
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


# A row as it was written on 29 and 30 November 2026, and one of the day after.
_IN_WORDS = (
    '{"exchanges":[],"asked":{"choices":["rsvp-yes dusk-league 2027-06-09","here dusk-league 2027-06-09",'
    '"notify-on course-news","borrow"],"about":"put me down","language":"en",'
    '"until":"2027-06-07T15:30:00Z","again":true},"talk":null}'
)
_AS_WANTS = (
    '{"exchanges":[{"text":"the wants of it","language":"en","wants":[{"want":"cost","event":"dusk-league"}],"others":["buy"],'
    '"at":"2027-06-07T15:00:00Z"}],"asked":{"choices":[{"want":"borrow"}],"about":"discs?","language":"en",'
    '"until":"2027-06-07T15:30:00Z"},"talk":{"on":{"event":"dusk-league","day":"2027-06-09"},"want":"rsvp-yes","at":"2027-06-07T15:00:00Z"}}'
)


def _of_schema(revision: str, tmp_path: Path, rows: Sequence[tuple[str, dict[str, object]]]) -> Engine:
    """A database of an older schema with conversations in it."""
    engine = open_engine(f"sqlite:///{tmp_path / 'club.db'}")
    with as_file(files("clubbot.store") / "migrations") as folder, engine.connect() as connection:
        config = Config()
        config.set_main_option("script_location", str(folder))
        config.attributes["connection"] = connection
        command.upgrade(config, revision)
        for statement, values in rows:
            connection.execute(text(statement), values)
        connection.commit()
    return engine


def _row(number: str, state: str) -> tuple[str, dict[str, object]]:
    values: dict[str, object] = {"number": number, "state": state, "at": NOON.timestamp()}
    return "INSERT INTO dialogues VALUES (:number, :state, NULL, :at)", values


def test_what_was_remembered_is_remembered_after_the_migration(tmp_path: Path) -> None:
    older = _of_schema("0005", tmp_path, _ROWS)
    migrate(older)

    with older.connect() as connection:
        kim, lee = read_dialogue(connection, KIM), read_dialogue(connection, LEE)
    said = Exchange(
        text="how much", language="fr", intents=(Spoken(intent="cost", event="dusk-league"),), others=("buy",), at=NOON
    )
    assert kim == DialogueState(
        exchanges=(said,),
        asked=OpenChoice(choices=any_of(("borrow", "buy")), about="discs?", language="en", until=UNTIL, again=True),
        talk=Talk(
            on=DayId("dusk-league", date(2027, 6, 9)),
            intent="rsvp-yes",
            at=NOON,
            awaits="offer",
            people=3,
            before=Rsvp(number=KIM, state="waiting", people=2),
        ),
    )
    assert lee == DialogueState(talk=Talk(on=DayId("clinic", date(2027, 6, 12)), intent="places", at=NOON))
    older.dispose()


def test_what_was_kept_as_wants_is_kept_as_intents(tmp_path: Path) -> None:
    older = _of_schema("0009", tmp_path, [_row(KIM, _IN_WORDS), _row(LEE, _AS_WANTS)])
    migrate(older)

    with older.connect() as connection:
        asked, lee = read_dialogue(connection, KIM).asked, read_dialogue(connection, LEE)
    day = DayId("dusk-league", date(2027, 6, 9))
    assert asked is not None
    assert (asked.about, asked.again, asked.until.isoformat()) == ("put me down", True, "2027-06-07T15:30:00+00:00")
    assert asked.choices == (
        Choice("rsvp-yes", day),
        Choice("here", day),
        Choice("notify-on", list_id="course-news"),
        Choice("borrow"),
    )
    assert lee.exchanges[0].text == "the wants of it"
    assert lee.exchanges[0].intents == (Spoken(intent="cost", event="dusk-league"),)
    assert lee.asked is not None
    assert lee.asked.choices == any_of(("borrow",))
    assert lee.talk == Talk(on=day, intent="rsvp-yes", at=NOON)
