"""Turns that are swapped, and who comes after whom where nobody answers: on the pure rules, and by text."""

import re
from dataclasses import replace
from datetime import date, datetime, time

import pytest
from sqlalchemy import select

from clubbot.handbook.book import Handbook
from clubbot.model.club import Duty, Knowledge, Person, Role, Swap
from clubbot.people.duty import next_after, on_duty
from clubbot.rehearsal import Heard, Rehearsal
from clubbot.store.tables import duty_swaps
from tests.conftest import HALIFAX, NOON
from tests.store.builders import JONAS, PRIYA

ODILE, FEMI, CALLUM, ANA = "+19025550101", "+19025550102", "+19025550105", "+19025550150"
CAMPGROUND = "can you recommend a campground"
THURSDAY, FRIDAY, SATURDAY = date(2027, 6, 10), date(2027, 6, 11), date(2027, 6, 12)


def june(day: int, hour: int, minute: int = 0) -> datetime:
    """7 June 2027 is a Monday."""
    return datetime(2027, 6, day, hour, minute, tzinfo=HALIFAX)


@pytest.fixture
def roster(handbook: Handbook) -> Knowledge:
    """Jonas on Monday and Friday, Femi on Tuesday, Priya on Wednesday, Callum on Thursday and Saturday, Odile, the organiser, on Sunday."""
    return handbook.knowledge


def with_swaps(roster: Knowledge, *swaps: Swap) -> Knowledge:
    return replace(roster, swaps=swaps)


def priya_for_callum(day: date = THURSDAY) -> Swap:
    return Swap(day=day, instead_of="callum", taker="priya")


# Who is on duty


@pytest.mark.parametrize(
    ("now", "person"),
    [
        (june(10, 8), "priya"),
        (june(10, 20, 59), "priya"),
        (june(12, 12), "callum"),  # Saturday is another turn
        (june(17, 12), "callum"),  # and so is the next Thursday
        (june(9, 12), "priya"),
        (june(11, 12), "jonas"),
    ],
)
def test_a_swap_is_for_that_turn_alone(roster: Knowledge, now: datetime, person: str) -> None:
    assert on_duty(with_swaps(roster, priya_for_callum()), now).person.id == person


def test_a_swap_of_somebody_who_has_no_turn_that_day_changes_nothing(roster: Knowledge) -> None:
    swap = Swap(day=FRIDAY, instead_of="callum", taker="priya")

    assert on_duty(with_swaps(roster, swap), june(11, 12)).person.id == "jonas"


def test_whoever_takes_the_next_turn_is_told_in_the_night_before_and_after_midnight(roster: Knowledge) -> None:
    swapped = with_swaps(roster, priya_for_callum())

    for night in (june(9, 23), june(10, 3)):
        assert (on_duty(swapped, night).person.id, on_duty(swapped, night).resumes) == ("priya", june(10, 8))


def test_only_the_swapped_of_two_turns_of_a_day_changes_hands(roster: Knowledge) -> None:
    halves = (
        Duty(days=("thu",), since=time(8), until=time(12), person="callum"),
        Duty(days=("thu",), since=time(12), until=time(18), person="femi"),
    )
    swapped = with_swaps(replace(roster, duty=halves), priya_for_callum())

    assert [on_duty(swapped, june(10, hour)).person.id for hour in (9, 13)] == ["priya", "femi"]


# Who comes next


def order_of(roster: Knowledge, now: datetime, *told: str) -> list[str]:
    """Everybody in the order in which a question goes round, from whoever has it."""
    found = list(told)
    while (taker := next_after(roster, tuple(found), now)) is not None:
        found.append(taker.id)
    return found


@pytest.mark.parametrize(
    ("now", "order"),
    [
        (june(7, 12), ["jonas", "femi", "priya", "callum", "odile"]),
        (june(9, 12), ["priya", "callum", "jonas", "femi", "odile"]),
        (june(12, 12), ["callum", "jonas", "femi", "priya", "odile"]),  # Odile's own turn, tomorrow, is no hurry
        (june(9, 23), ["callum", "priya", "jonas", "femi", "odile"]),  # at night the next turn's first
    ],
)
def test_a_question_goes_round_by_the_turns_to_come_and_at_last_to_the_organiser(
    roster: Knowledge, now: datetime, order: list[str]
) -> None:
    assert order_of(roster, now) == order


def test_on_her_own_day_the_organiser_is_asked_first_and_not_again(roster: Knowledge) -> None:
    assert on_duty(roster, june(13, 12)).person.id == "odile"
    assert order_of(roster, june(13, 12), "odile") == ["odile", "jonas", "femi", "priya", "callum"]


def test_nobody_is_told_twice_and_after_everybody_there_is_nobody(roster: Knowledge) -> None:
    everybody = tuple(one.id for one in roster.people)

    assert next_after(roster, everybody, NOON) is None
    assert sorted(order_of(roster, NOON)) == sorted(everybody)


def test_whoever_takes_the_turn_is_the_first_to_be_told(roster: Knowledge) -> None:
    swap = Swap(day=june(7, 12).date(), instead_of="jonas", taker="callum")

    assert order_of(with_swaps(roster, swap), june(7, 12))[0] == "callum"


def test_whoever_gave_the_turn_away_is_not_the_second_to_be_told(roster: Knowledge) -> None:
    assert order_of(with_swaps(roster, priya_for_callum()), june(10, 12))[1] != "callum"


def test_without_a_roster_there_is_the_organiser_alone(roster: Knowledge) -> None:
    assert order_of(replace(roster, duty=()), NOON) == ["odile"]


# By text


@pytest.fixture
def club(handbook: Handbook) -> Rehearsal:
    return Rehearsal(handbook)


def kept(club: Rehearsal) -> list[tuple[date, str, str]]:
    with club.engine.connect() as connection:
        rows = connection.execute(select(duty_swaps).order_by(duty_swaps.c.day)).all()
    return [(row.day, row.instead_of, row.taker) for row in rows]


def words_to(number: str, heard: list[Heard]) -> str:
    return " ".join(one.text for one in heard if one.recipient == number)


def agreed(club: Rehearsal, sender: str, text: str, now: datetime) -> list[Heard]:
    """A swap is asked for, and whoever is asked says yes; what is heard of the last yes."""
    heard = club.text(sender, text, now)
    while asked := [(one.recipient, code) for one in heard for code in re.findall(r"(?:YES|OUI) (\d{8})", one.text)]:
        ((whom, code),) = asked
        heard = club.text(whom, f"yes {code}", now)
    return heard


@pytest.mark.parametrize(
    ("sender", "text", "swap"),
    [
        (CALLUM, "Priya takes my thursday", (THURSDAY, "callum", "priya")),
        (PRIYA, "i take callum's thursday", (THURSDAY, "callum", "priya")),
        (PRIYA, "I'll take Callum's saturday", (SATURDAY, "callum", "priya")),
        (FEMI, "priya takes callum's turn on 10 june", (THURSDAY, "callum", "priya")),
        (ODILE, "je prends le vendredi de Jonas", (FRIDAY, "jonas", "odile")),
        (JONAS, "Femi prend mon vendredi", (FRIDAY, "jonas", "femi")),
    ],
)
def test_a_swap_is_kept_with_who_whose_and_which_day_and_both_hear_of_it(
    club: Rehearsal, sender: str, text: str, swap: tuple[date, str, str]
) -> None:
    heard = agreed(club, sender, text, NOON)
    _, giver, taker = swap
    names = {one.id: one for one in club.handbook.knowledge.people}

    assert kept(club) == [swap]
    for person in (names[giver], names[taker]):
        said = words_to(person.number, heard)
        assert names[giver].first_name in said
        assert names[taker].first_name in said
        assert str(swap[0].day) in said
    assert len([one.recipient for one in heard]) == len({names[giver].number, names[taker].number, sender})


def test_the_turn_taken_is_the_one_that_gets_the_question(club: Rehearsal) -> None:
    agreed(club, CALLUM, "Priya takes my thursday", NOON)
    heard = club.text(ANA, CAMPGROUND, june(10, 12))

    assert "Priya" in words_to(ANA, heard)
    assert CAMPGROUND in words_to(PRIYA, heard)
    assert words_to(CALLUM, heard) == ""


@pytest.mark.parametrize(
    ("sender", "text", "name"), [(FEMI, "Priya takes my thursday", "Femi"), (JONAS, "i take Odile's friday", "Odile")]
)
def test_a_turn_that_is_none_is_not_swapped(club: Rehearsal, sender: str, text: str, name: str) -> None:
    heard = club.text(sender, text, NOON)

    assert kept(club) == []
    assert [one.recipient for one in heard] == [sender]
    assert f"{name} has no turn" in heard[0].text


def test_nobody_takes_a_turn_from_oneself(club: Rehearsal) -> None:
    heard = club.text(FEMI, "i take my tuesday", NOON)

    assert kept(club) == []
    assert "Who takes whose turn" in heard[0].text


def test_the_last_word_about_a_turn_counts(club: Rehearsal) -> None:
    agreed(club, CALLUM, "Priya takes my thursday", NOON)
    agreed(club, CALLUM, "Femi takes my thursday", june(7, 13))

    assert kept(club) == [(THURSDAY, "callum", "femi")]


def test_whoever_no_longer_takes_it_hears_of_it(club: Rehearsal) -> None:
    agreed(club, CALLUM, "Priya takes my thursday", NOON)

    assert words_to(PRIYA, agreed(club, CALLUM, "Femi takes my thursday", june(7, 13)))


def test_whoever_took_a_turn_may_give_it_on(club: Rehearsal) -> None:
    agreed(club, CALLUM, "Priya takes my thursday", NOON)
    agreed(club, PRIYA, "Femi takes my thursday", june(7, 13))

    assert words_to(FEMI, club.text(ANA, CAMPGROUND, june(10, 12)))


def with_role(handbook: Handbook, who: str, role: Role) -> Handbook:
    def changed(one: Person) -> Person:
        return replace(one, roles=(role,)) if one.id == who else one

    people = tuple(changed(one) for one in handbook.knowledge.people)
    return replace(handbook, knowledge=replace(handbook.knowledge, people=people))


def test_a_helper_without_a_turn_to_give_may_not_swap(handbook: Handbook) -> None:
    club = Rehearsal(with_role(handbook, "femi", "helper"))
    heard = club.text(FEMI, "Priya takes my tuesday", NOON)

    assert kept(club) == []
    assert [one.recipient for one in heard] == [FEMI]


def test_a_stranger_swaps_nothing(club: Rehearsal) -> None:
    club.text(ANA, "Priya takes Callum's thursday", NOON)

    assert kept(club) == []
