"""Who is in a party and what a text does to it. Whom a text takes off is the club's own policy: no outside source."""

import pytest

from clubbot.model.rsvps import SENDER, Guest, Said
from clubbot.rsvps.guests import Changed, NotAmong, Now, Unsure, about_others, changed, count, fitting, told

DAUGHTER = Guest(kind="kin", label="daughter", akin="child")
SON = Guest(kind="kin", label="son", akin="child")
KID = Guest(kind="kin", label="kid", akin="child")
WIFE = Guest(kind="kin", label="wife", akin="partner")
ELLA = Guest(kind="kin", label="daughter", name="Ella", akin="child")
BOB, ANA, ELLA_BY_NAME = (Guest(kind="name", name=name) for name in ("Bob", "Ana", "ella"))
ONE = Guest(kind="others")
SOMEBODY_ELSE = Guest(kind="kin", label="uncle", akin="relative")


def friends(people: int) -> Guest:
    return Guest(kind="kin", label="friend", people=people, akin="friend")


LAD = Guest(kind="kin", label="lad", akin="friend")


@pytest.mark.parametrize(
    ("who", "people", "said", "then"),
    [
        ((SENDER, DAUGHTER), 2, Said(out=(DAUGHTER,)), Now(1, (SENDER,))),
        ((SENDER, DAUGHTER), 2, Said(out=(KID,)), Now(1, (SENDER,))),  # another word for the same
        ((SENDER, ELLA), 2, Said(out=(ELLA_BY_NAME,)), Now(1, (SENDER,))),
        ((SENDER, BOB), 2, Said(out=(BOB,), instead=(ANA,)), Now(2, (SENDER, ANA))),
        ((SENDER, BOB), 2, Said(instead=(ANA,)), Now(2, (SENDER, ANA))),
        ((SENDER, BOB), 2, Said(out=(BOB,), comes=(ANA,)), Now(2, (SENDER, ANA))),
        ((SENDER, WIFE, SON), 3, Said(out=(WIFE,), comes=(SON,)), Now(2, (SENDER, SON))),
        ((SENDER, friends(2)), 3, Said(out=(LAD,)), Now(2, (SENDER, friends(1)))),
        ((SENDER, friends(2)), 3, Said(out=(friends(2),)), Now(1, (SENDER,))),
        ((SENDER, WIFE), 2, Said(out=(ONE,)), Now(1, (SENDER,))),  # "one of us is sick"
        ((SENDER, WIFE, BOB), 3, Said(out=(ONE,)), Now(2, (SENDER,))),  # and not said which
        ((SENDER, WIFE), 2, Said(sender_out=True, comes=(WIFE,)), Now(1, (WIFE,))),
        ((SENDER,), 3, Said(sender_out=True, comes=(WIFE,)), Now(2, (WIFE,))),  # she was one of the three
        ((SENDER,), 2, Said(out=(BOB,), instead=(ANA,)), Now(2, (SENDER, ANA))),  # no place is given away
        ((), 2, Said(out=(ONE,)), Now(1, (SENDER,))),  # nothing is known of those who answered before
    ],
)
def test_the_right_people_leave_or_come_instead(who: tuple[Guest, ...], people: int, said: Said, then: Changed) -> None:
    assert changed(who, people, said) == then


@pytest.mark.parametrize(
    ("who", "people", "said", "then"),
    [
        ((SENDER,), 4, Said(out=(WIFE,)), Unsure(3)),
        ((), 2, Said(out=(WIFE,)), Unsure(1)),
        ((SENDER, DAUGHTER, SON), 3, Said(out=(KID,)), NotAmong()),  # which of the two
        ((SENDER, WIFE), 2, Said(out=(SOMEBODY_ELSE,)), NotAmong()),
        ((SENDER,), 1, Said(out=(WIFE,)), NotAmong()),
        ((), 1, Said(out=(BOB,)), NotAmong()),
        ((SENDER, BOB, WIFE), 3, Said(instead=(ANA,)), NotAmong()),
    ],
)
def test_no_place_is_guessed_away(who: tuple[Guest, ...], people: int, said: Said, then: Changed) -> None:
    assert changed(who, people, said) == then


@pytest.mark.parametrize("out", [DAUGHTER, BOB, ONE, friends(3), SOMEBODY_ELSE])
@pytest.mark.parametrize("who", [(), (SENDER,), (SENDER, DAUGHTER), (SENDER, BOB, friends(2))])
def test_a_text_about_somebody_else_never_takes_the_sender_off(who: tuple[Guest, ...], out: Guest) -> None:
    for people in range(max(1, count(who)), 6):
        found = changed(who, people, Said(out=(out,)))
        if isinstance(found, Now):
            assert found.people < 1 or SENDER in found.who
            assert count(found.who) <= found.people


@pytest.mark.parametrize(
    ("before", "said", "people", "then"),
    [
        ((), Said(comes=(SENDER, DAUGHTER)), 2, (SENDER, DAUGHTER)),
        ((), Said(comes=(friends(2),)), 3, (SENDER, friends(2))),
        ((), Said(comes=(SON,)), 1, (SON,)),  # the children are put down, and nobody else
        ((), Said(), 4, (SENDER,)),
        ((SENDER, DAUGHTER), Said(out=(DAUGHTER,), comes=(SENDER,)), 1, (SENDER,)),
        ((SENDER, DAUGHTER), Said(), 4, (SENDER, DAUGHTER)),
        ((SENDER, DAUGHTER, SON), Said(), 2, (SENDER,)),
    ],
)
def test_a_number_goes_with_those_who_were_told_of(
    before: tuple[Guest, ...], said: Said, people: int, then: tuple[Guest, ...]
) -> None:
    assert told(before, said, people) == then


def test_who_comes_too_joins_those_who_were_coming() -> None:
    assert told((SENDER, WIFE), Said(comes=(SON,)), 3, more=True) == (SENDER, WIFE, SON)


def test_of_a_party_with_fewer_places_only_the_sender_is_known() -> None:
    assert fitting((SENDER, WIFE, SON), 2) == (SENDER,)
    assert fitting((WIFE, SON), 1) == ()


@pytest.mark.parametrize(
    ("said", "others"),
    [
        (Said(out=(WIFE,)), True),
        (Said(instead=(ANA,)), True),
        (Said(sender_out=True, comes=(WIFE,)), True),
        (Said(sender_out=True), False),
        (Said(out=(WIFE,), sender_out=True), False),
        (Said(all_out=True), False),
        (Said(), False),
    ],
)
def test_whether_a_text_is_about_others_alone(said: Said, others: bool) -> None:
    assert about_others(said) == others
