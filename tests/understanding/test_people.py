"""How many people a text says are coming: own cases by hand, and the team's own 420 texts as a measure that must not sink."""

import json
from collections.abc import Iterator
from typing import Any

import pytest

from clubbot.handbook.language_files import shipped_people
from clubbot.handbook.loading import load_or_fault
from clubbot.model.intents import Party
from clubbot.understanding.mentions import as_event
from clubbot.understanding.people import People
from tests.conftest import ROOT

OWN_TEXTS = ROOT / "tests" / "understanding" / "rsvp_texts.jsonl"
# What the grammar reads rightly of its own texts today; of texts by others see DEVELOPERS.md.
LEAST_RIGHT = 0.97


EVENTS = load_or_fault(ROOT / "knowledge").events


def people_coming(text: str) -> People:
    """As the reader asks: whatever the club calls its events is "event" to the grammar."""
    return shipped_people()(as_event(text, EVENTS))


def own_texts() -> Iterator[dict[str, Any]]:
    for line in OWN_TEXTS.read_text("utf-8").splitlines():
        yield json.loads(line)


@pytest.mark.parametrize(
    ("text", "total"),
    [
        ("in for wed, me + 2", 3),
        ("we are twenty one", 21),
        ("half a dozen of us for sunday", 6),
        ("three (3) persons please", 3),
        ("me and the mrs for sunday", 2),
        ("moé pis mes deux cousins", 3),
        ("twenty two people for sunday", 22),
        ("both of us", 2),
        ("make that 3 not 2", 3),
        ("my two kids and I", 3),
        ("on sera quatre", 4),
        ("moi pis ma blonde", 2),
        ("me, my wife and our 2 kids", 4),
        ("two adults three kids", 5),
        ("from 4 to 3", 3),
        ("just me after all", 1),
        ("my daughter is coming, not me", 1),
        ("5 of us, two adults three kids", 5),
        ("I said 3 but one dropped out", 2),
        ("in for league, 500 of us", 500),
        ("nobody, make it 0", 0),
    ],
)
def test_the_whole_number_is_read(text: str, total: int) -> None:
    assert people_coming(text).party == Party(total=total)


@pytest.mark.parametrize(("text", "more"), [("one more please", 1), ("2 less", -2), ("un de moins", -1), ("add 2", 2)])
def test_a_change_of_the_number_is_read(text: str, more: int) -> None:
    assert people_coming(text).party == Party(more=more)


@pytest.mark.parametrize(
    "text",
    [
        "is it open saturday",
        "in for the 12th",
        "at 6",
        "can we play 18 holes",
        "hole 3 is flooded",
        "my 9 year old",
        "50/50 for thursday",
        "bus 6",
        "mercredi c'est un oui",
    ],
)
def test_a_number_that_counts_something_else_is_none_of_people(text: str) -> None:
    assert people_coming(text).party.total is None


def test_the_kids_and_i_is_more_than_one_without_a_number() -> None:
    assert people_coming("the kids and i are in").party == Party(unclear=True)


@pytest.mark.parametrize(
    ("text", "name"),
    [
        ("Bjorn is going instead of me", "Bjorn"),
        ("give my spot in the clinic to Léa", "Léa"),
        ("c'est mon frère Marc qui vient à ma place", "Marc"),
        ("Transfer my fog horn place to Amara please", "Amara"),
        ("can I bring Sam", None),
    ],
)
def test_who_comes_instead_is_read(text: str, name: str | None) -> None:
    assert people_coming(text).stand_in == name


def test_of_the_own_texts_the_number_is_right_in_nearly_all() -> None:
    right = total = 0
    for one in own_texts():
        if one["want"][0] not in {"rsvp-yes", "rsvp-maybe", "rsvp-change"}:
            continue
        said = people_coming(one["text"]).party
        found = said.total
        if found is None and one["want"][0] != "rsvp-change" and not said.unclear:
            found = 1 + max(0, said.more or 0)
        total += 1
        right += found == one["party"]

    assert total > 250
    assert right / total >= LEAST_RIGHT
