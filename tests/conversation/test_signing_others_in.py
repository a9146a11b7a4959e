"""On the day somebody of the club signs people in by their names: those without a phone count as ones who came."""

import pytest

from clubbot.handbook.book import Handbook
from clubbot.store.tables import attendance, deeds, outbox, rsvps
from tests.builders import KIM
from tests.conftest import NOON
from tests.conversation.test_by_name import is_in, june
from tests.conversation.test_orders_and_codes import CALLUM, FEMI, Club, to
from tests.store.builders import JONAS, PRIYA

AT_LEAGUE = june(9, 18)


@pytest.fixture
def club(handbook: Handbook) -> Club:
    return Club(handbook)


def came(club: Club) -> dict[str, int]:
    return {row["number"].removeprefix("name:"): row["people"] for row in club.rows(attendance)}


@pytest.mark.parametrize(
    "text",
    [
        "bob smith is here", "Bob is here", "sign in bob", "sign bob smith in", "sign in bob smith please", "mark bob as here", "bob showed up",
        "check in Bob Smith for league", "bob has arrived", "note bob présent", "bob smith est là", "bob vient d'arriver", "pointe bob",
    ],
)  # fmt: skip
def test_who_has_no_phone_is_signed_in_and_counts_as_one_who_came(club: Club, text: str) -> None:
    club.obeyed(PRIYA, "sign up bob smith for wed")
    said = to(PRIYA, club.text(PRIYA, text, AT_LEAGUE))

    assert "Bob Smith" in said
    assert came(club) == {"bob smith": 1}
    assert "1 here, 1 expected" in to(JONAS, club.text(JONAS, "who's here", AT_LEAGUE))


def test_then_nobody_is_missing_and_no_text_goes_to_the_name(club: Club) -> None:
    club.obeyed(PRIYA, "put Bob Smith and Ana Roy down for league wed")
    assert "Bob Smith" in to(PRIYA, club.text(PRIYA, "no-shows", june(9, 18, 30)))
    club.text(PRIYA, "bob and ana are here", june(9, 18, 31))

    assert came(club) == {"bob smith": 1, "ana roy": 1}
    assert "has signed in" in to(PRIYA, club.text(PRIYA, "no-shows", june(9, 18, 32)))
    assert not [row for row in club.rows(outbox) if row["recipient"].startswith("name:")]
    assert any("signed in at dusk-league" in str(row["what"]) for row in club.rows(deeds))


def test_said_twice_they_count_once(club: Club) -> None:
    club.obeyed(PRIYA, "sign up bob smith for wed")
    club.text(PRIYA, "bob is here", AT_LEAGUE)
    club.text(FEMI, "sign in bob smith", AT_LEAGUE)

    assert came(club) == {"bob smith": 1}
    assert "1 here" in to(JONAS, club.text(JONAS, "who's here", AT_LEAGUE))


def test_a_party_from_a_phone_is_signed_in_whole_and_its_owner_may_do_so_again(club: Club) -> None:
    is_in(club, KIM, "Kim Test", "3 of us for league wed")
    assert "Kim Test (3 people)" in to(PRIYA, club.text(PRIYA, "kim is here", AT_LEAGUE))
    club.text(KIM, "here", AT_LEAGUE)

    assert came(club) == {KIM: 3}


def test_who_is_on_no_list_is_put_down_at_the_tee_by_whoever_may(club: Club) -> None:
    said = to(PRIYA, club.text(PRIYA, "sign in bob smith", AT_LEAGUE))
    assert "New on the list: Bob Smith" in said
    assert came(club) == {"bob smith": 1}
    assert [row["state"] for row in club.rows(rsvps)] == ["coming"]

    assert "no Ana Roy on the list" in to(JONAS, club.text(JONAS, "sign in ana roy", AT_LEAGUE))
    assert came(club) == {"bob smith": 1}


def test_two_of_the_name_are_not_guessed_at(club: Club) -> None:
    club.obeyed(PRIYA, "put Bob Smith and Bob Roy down for league wed")
    said = to(PRIYA, club.text(PRIYA, "bob is here", AT_LEAGUE))
    assert "which Bob is here" in said
    assert came(club) == {}

    club.text(PRIYA, "bob roy is here", AT_LEAGUE)
    assert came(club) == {"bob roy": 1}


def test_before_the_hour_nobody_is_signed_in(club: Club) -> None:
    club.obeyed(PRIYA, "sign up bob smith for wed")

    assert "Nothing is open for sign-in" in to(PRIYA, club.text(PRIYA, "bob is here", NOON))
    assert "Nothing is open for sign-in" in to(PRIYA, club.text(PRIYA, "sign in zed", NOON))
    assert came(club) == {}


@pytest.mark.parametrize("text", ["the ambulance is here", "summer is here", "is bob here", "nobody is here"])
def test_what_is_no_name_of_a_list_signs_nobody_in(club: Club, text: str) -> None:
    club.obeyed(PRIYA, "sign up bob smith for wed")
    club.text(CALLUM, text, AT_LEAGUE)

    assert came(club) == {}


def test_a_phone_of_nobody_of_the_club_signs_no_other_in(club: Club) -> None:
    club.obeyed(PRIYA, "sign up bob smith for wed")
    club.text(KIM, "sign in bob smith", AT_LEAGUE)
    club.text(KIM, "bob smith is here", AT_LEAGUE)

    assert "bob smith" not in came(club)
