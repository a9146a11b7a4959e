"""What each role may do by text. One table; everything that is not in it is allowed to nobody."""

from collections.abc import Mapping
from typing import Literal, get_args

from clubbot.model.club import Person, Role

Permit = Literal[
    "answer questions",
    "see names",
    "hold play",
    "close and reopen",
    "call off events",
    "tell people",
    "sign people up",
    "swap duty",
    "approve teaching",
    "change people",
    "get the digest",
]
PERMITS: tuple[Permit, ...] = get_args(Permit)

_EVERYBODY: frozenset[Permit] = frozenset({"answer questions", "see names", "hold play", "swap duty"})
MAY: Mapping[Role, frozenset[Permit]] = {
    "organiser": frozenset(PERMITS),
    "treasurer": _EVERYBODY,
    "course keeper": _EVERYBODY | {"close and reopen"},
    "league director": _EVERYBODY | {"call off events", "tell people", "sign people up"},
    "outreach lead": _EVERYBODY | {"tell people", "sign people up"},
    "helper": _EVERYBODY - {"swap duty"},
}


def may(person: Person | None, permit: Permit) -> bool:
    """Whether any of the person's roles allows it."""
    return person is not None and any(permit in MAY[role] for role in person.roles)


def as_table() -> str:
    """The table for reading: a line a permit, a column a role."""
    roles = tuple(MAY)
    width = max(len(permit) for permit in PERMITS) + 2
    head = " " * width + "  ".join(roles)
    lines = [
        f"{permit:<{width}}" + "  ".join(("yes" if permit in MAY[role] else "-").ljust(len(role)) for role in roles)
        for permit in PERMITS
    ]
    return "\n".join([head, *(line.rstrip() for line in lines)])
