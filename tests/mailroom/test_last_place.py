"""Two ask for the last place at the same moment: one gets it, the other waits; nobody is lost, no place is given twice."""

from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from pathlib import Path
from threading import Barrier

import pytest
from sqlalchemy import Engine

from clubbot.handbook.book import Handbook
from clubbot.mailroom.answering import decide_some, write_all
from clubbot.serving import new_id
from clubbot.store.apply import Pen
from clubbot.store.inbox import put_down
from clubbot.store.tables import event_days, inbox, outbox, rsvps
from tests.builders import OUR_NUMBER, a_text
from tests.conftest import NOON
from tests.store.builders import a_database, rows

TAKEN = 15  # of the clinic's sixteen places
PEN = Pen(our_number=OUR_NUMBER, new_id=new_id, plain_letters=True)
CLINIC = "put me down for the clinic"


def phone(number: int) -> str:
    return f"+19025550{number}"


def comes_in(engine: Engine, sender: str, text: str) -> None:
    with engine.begin() as connection:
        assert put_down(connection, a_text(text, sender=sender, id=f"{sender} {text}"))


def all_answered(engine: Engine, handbook: Handbook) -> None:
    while decided := decide_some(engine, handbook, NOON):
        with engine.begin() as connection:
            write_all(connection, decided, handbook, PEN, NOON)


def states(engine: Engine) -> dict[str, tuple[str, int]]:
    return {row["number"]: (row["state"], row["people"]) for row in rows(engine, rsvps)}


@pytest.fixture
def handbook(handbook: Handbook) -> Handbook:
    """The demo club, where one phone may sign up so many and no crowd of new numbers is asked to confirm."""
    events = tuple(replace(one, most_per_sign_up=TAKEN) for one in handbook.knowledge.events)
    club = replace(handbook.knowledge.club, many_new_sign_ups=1_000)
    return replace(handbook, knowledge=replace(handbook.knowledge, events=events, club=club))


@pytest.fixture
def nearly_full(engine: Engine, handbook: Handbook) -> Engine:
    """One place is left."""
    comes_in(engine, phone(110), f"{CLINIC}, {TAKEN} of us")
    all_answered(engine, handbook)
    assert states(engine) == {phone(110): ("coming", TAKEN)}
    return engine


def test_of_two_connections_racing_for_the_last_place_one_gets_it(
    nearly_full: Engine, file: Path, handbook: Handbook
) -> None:
    """Both decide on the same snapshot, in a thread and on a connection of its own, before either writes."""
    comes_in(nearly_full, phone(111), CLINIC)
    comes_in(nearly_full, phone(112), CLINIC)
    both_decided = Barrier(2, timeout=30)

    def race(place: int) -> int:
        engine = a_database(file)
        decided = decide_some(engine, handbook, NOON)[place : place + 1]
        both_decided.wait()
        with engine.begin() as connection:
            written = write_all(connection, decided, handbook, PEN, NOON)
        engine.dispose()
        return written

    with ThreadPoolExecutor(2) as threads:
        assert list(threads.map(race, (0, 1))) == [1, 1]

    won = sorted(states(nearly_full).values())
    assert won == [("coming", 1), ("coming", TAKEN), ("waiting", 1)]
    day = rows(nearly_full, event_days)[0]
    assert (day["coming"], day["waiting"]) == (TAKEN + 1, 1)
    assert {row["state"] for row in rows(nearly_full, inbox)} == {"answered"}
    assert sum("waiting list" in row["text"] for row in rows(nearly_full, outbox)) == 1


def test_of_a_handful_decided_at_once_no_more_get_in_than_there_are_places(
    nearly_full: Engine, handbook: Handbook
) -> None:
    for number in range(120, 130):
        comes_in(nearly_full, phone(number), CLINIC)

    decided = decide_some(nearly_full, handbook, NOON)
    assert len(decided) == 10
    with nearly_full.begin() as connection:
        write_all(connection, decided, handbook, PEN, NOON)

    found = list(states(nearly_full).values())
    assert sum(people for state, people in found if state == "coming") == TAKEN + 1
    assert [state for state, _ in found].count("waiting") == 9
    turns = sorted(row["turn"] for row in rows(nearly_full, rsvps) if row["state"] == "waiting")
    assert turns == list(range(1, 10))
