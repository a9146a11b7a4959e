"""What each role may do by text: one table, written down here a second time, so that nothing slips into it unseen."""

import pytest

from clubbot.model.club import Person, Role
from clubbot.people.roles import MAY, PERMITS, Permit, as_table, may

EVERYBODY: tuple[Role, ...] = (
    "organiser",
    "treasurer",
    "course keeper",
    "league director",
    "outreach lead",
    "helper",
)
ALLOWED: dict[Permit, tuple[Role, ...]] = {
    "answer questions": EVERYBODY,
    "see names": EVERYBODY,
    "hold play": EVERYBODY,
    "close and reopen": ("organiser", "course keeper"),
    "call off events": ("organiser", "league director"),
    "tell people": ("organiser", "league director", "outreach lead"),
    "sign people up": ("organiser", "league director", "outreach lead"),
    "swap duty": ("organiser", "treasurer", "course keeper", "league director", "outreach lead"),
    "approve teaching": ("organiser",),
    "change people": ("organiser",),
    "get the digest": ("organiser",),
}


def a_person(*roles: Role) -> Person:
    return Person(id="kit", name="Kit Test", number="+19025550101", roles=roles)


def test_every_permit_and_every_role_is_in_the_table() -> None:
    assert set(PERMITS) == set(ALLOWED)
    assert set(MAY) == set(EVERYBODY)


@pytest.mark.parametrize("permit", PERMITS)
@pytest.mark.parametrize("role", EVERYBODY)
def test_a_role_may_do_what_the_table_says_and_nothing_else(role: Role, permit: Permit) -> None:
    assert may(a_person(role), permit) == (role in ALLOWED[permit])


@pytest.mark.parametrize("permit", PERMITS)
def test_a_stranger_and_a_person_without_a_role_may_do_nothing(permit: Permit) -> None:
    assert not may(None, permit)
    assert not may(a_person(), permit)


def test_who_has_two_roles_may_do_what_either_allows() -> None:
    both = a_person("course keeper", "league director")

    assert may(both, "close and reopen")
    assert may(both, "call off events")
    assert not may(both, "approve teaching")


def test_everybody_with_a_role_may_hold_play_because_it_is_the_safe_direction() -> None:
    assert all(may(a_person(role), "hold play") for role in EVERYBODY)


def test_nothing_is_allowed_to_somebody_else_that_the_organiser_may_not_do() -> None:
    assert all(permits <= MAY["organiser"] for permits in MAY.values())


def test_the_table_for_reading_says_what_the_rules_say() -> None:
    head, *lines = as_table().splitlines()
    columns = {role: head.index(role) for role in EVERYBODY}

    assert [line[: head.index("organiser")].strip() for line in lines] == list(PERMITS)
    for permit, line in zip(PERMITS, lines, strict=True):
        allowed = {role for role, column in columns.items() if line[column:].startswith("yes")}
        refused = {role for role, column in columns.items() if line[column:].startswith("-")}
        assert (allowed, refused) == (set(ALLOWED[permit]), set(EVERYBODY) - set(ALLOWED[permit]))
