"""Nothing of a number or of its words is left in the database but an opt-out that holds."""

from datetime import timedelta

import pytest
from sqlalchemy import Engine, select

from clubbot.handbook.book import Handbook
from clubbot.rehearsal import Rehearsal
from clubbot.store.tables import metadata
from tests.builders import KIM
from tests.conftest import NOON

LEE = "+19025550143"
JONAS = "+19025550103"
TEXTS = [
    "my name is Quillon Ferngate",
    "in for the clinic saturday, 2 of us",
    "send me course news",
    "remind me of the clinic",
    "lost my blue zephyr on hole 5, my initials are inside",
    "can you recommend a quiet campground for my caravan",
    "what about a windmill tour nearby then",
    "no i meant the heron colony",
]
WORDS = ["quillon", "ferngate", "initials", "zephyr", "campground", "caravan", "windmill", "heron", KIM]


def _everything(engine: Engine) -> dict[str, str]:
    """All that stands in each table, as one text."""
    with engine.connect() as connection:
        return {
            name: " ".join(str(value) for row in connection.execute(select(table)) for value in row).casefold()
            for name, table in metadata.tables.items()
        }


def _left(engine: Engine) -> set[tuple[str, str]]:
    found = _everything(engine)
    return {(table, word) for table, text in found.items() for word in WORDS if word in text}


@pytest.fixture
def club(handbook: Handbook) -> Rehearsal:
    """A club in which somebody has left traces wherever traces can be left."""
    club = Rehearsal(handbook)
    for minute, text in enumerate(TEXTS):
        club.text(KIM, text, NOON + timedelta(minutes=minute))
    later = NOON + timedelta(minutes=20)
    club.text(LEE, "found a blue disc on hole 5", later)
    club.text(JONAS, "list", later)
    club.text(JONAS, "who's coming saturday", later)
    club.text(JONAS, "reports", later)
    club.text(JONAS, f"Q{_asked(club, 'campground')} The one by the lighthouse", later)
    club.pass_time(later, NOON + timedelta(hours=9))  # the digest has gone, too
    return club


def _asked(club: Rehearsal, word: str) -> int:
    """The number of the question that has a word in it."""
    questions, inbox = metadata.tables["questions"], metadata.tables["inbox"]
    with club.engine.connect() as connection:
        rows = connection.execute(select(questions.c.number, questions.c.so_far, inbox.c.text).join(inbox)).all()
    return int(next(row.number for row in rows if word in row.so_far + row.text))


def _erase(club: Rehearsal) -> None:
    at = NOON + timedelta(days=1)
    club.text(KIM, "erase my data", at)
    club.text(KIM, "yes", at + timedelta(minutes=1))
    club.pass_time(at + timedelta(minutes=1), at + timedelta(hours=1))


def test_the_traces_were_there(club: Rehearsal) -> None:
    tables = {table for table, _ in _left(club.engine)}

    assert tables >= {"inbox", "outbox", "people", "consents", "subscriptions", "rsvps", "questions", "reports"}


def test_nothing_of_the_number_or_the_words_is_left(club: Rehearsal) -> None:
    _erase(club)

    assert _left(club.engine) == set()


def test_of_an_opt_out_its_proof_is_left_and_nothing_else(club: Rehearsal) -> None:
    club.text(KIM, "STOP", NOON + timedelta(hours=10))
    _erase(club)

    assert _left(club.engine) == {("people", KIM), ("consents", KIM)}
    with club.engine.connect() as connection:
        proof = connection.execute(
            select(metadata.tables["consents"]).where(metadata.tables["consents"].c.number == KIM)
        )
        (row,) = proof.all()
    assert (row.what, row.words) == ("stop", "STOP")


def test_the_figures_of_a_day_stay_true(club: Rehearsal) -> None:
    before = _counts(club.engine)
    _erase(club)
    after = _counts(club.engine)

    assert before["coming"] - after["coming"] == 2
    assert after["texts in"] == before["texts in"] + 2
    assert after["writers"] == before["writers"]


def _counts(engine: Engine) -> dict[str, int]:
    days, inbox = metadata.tables["event_days"], metadata.tables["inbox"]
    with engine.connect() as connection:
        return {
            "coming": sum(row.coming for row in connection.execute(select(days))),
            "texts in": len(connection.execute(select(inbox.c.id)).all()),
            "writers": len(connection.execute(select(inbox.c.sender).distinct()).all()),
        }


def test_what_others_wrote_stays(club: Rehearsal) -> None:
    _erase(club)
    found = _everything(club.engine)

    assert "found a blue disc on hole 5" in found["inbox"]
    assert LEE in found["people"]


def test_an_answer_that_comes_afterwards_goes_to_nobody(club: Rehearsal) -> None:
    number = _asked(club, "campground")
    _erase(club)
    heard = club.text(JONAS, f"Q{number} and bring a lamp", NOON + timedelta(days=1, hours=2))

    assert {one.recipient for one in heard} == {JONAS}


def test_damage_that_nobody_has_mended_stays_on_the_list_without_who_told(handbook: Handbook) -> None:
    club = Rehearsal(handbook)
    club.text(KIM, "the board by basket 10 is broken", NOON)
    club.text(KIM, "erase my data", NOON)
    club.text(KIM, "yes", NOON)
    (listed,) = club.text(JONAS, "reports", NOON + timedelta(minutes=1))
    assert "10" in listed.text

    club.text(JONAS, "done D1", NOON + timedelta(minutes=2))
    assert KIM not in _everything(club.engine)["outbox"]
