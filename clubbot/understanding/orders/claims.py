"""Whom a text says to come from: "this is Sam on my sister's phone". Whether there is such a person, and an order in it, is told elsewhere."""

from dataclasses import dataclass

from clubbot.model.club import Role
from clubbot.understanding.orders.club_people import ROLES
from clubbot.understanding.orders.heard import Heard
from clubbot.understanding.rules import Match

_LONGEST_NAME = 3
_MOST_CLAUSES = 6


@dataclass(frozen=True, slots=True)
class Claim:
    """Who it may be: a role, or the words in which a name stands. `sure` where it cannot be how a newcomer gives their own name; `rests` are
    the texts in which an order is looked for beside the whole.
    """

    role: Role | None
    words: tuple[str, ...]
    sure: bool
    rests: tuple[str, ...]


def claimed(heard: Heard) -> Claim | None:
    """The claim of a text; None where it makes none."""
    other = heard.first("other phone")
    for says in ("claims", "claims self", "claims here"):
        for core in heard.all(says):
            before = says == "claims here"
            first, end = (
                (max(0, core.first - _LONGEST_NAME), core.first) if before else (core.end, core.end + _LONGEST_NAME)
            )
            end = min(end, len(heard.words))
            if first == end:
                continue
            role = next((one for one in ROLES if _role_at(one, first, heard)), None)
            sure = says != "claims self" or other is not None or role is not None
            return Claim(role, (heard.said(first, end),), sure, tuple(_clauses(heard, core.end, other)))
    return None


def _clauses(heard: Heard, after: int, other: Match | None) -> list[str]:
    """What follows the claim: behind the name, behind the words about the phone, and from each clause on."""
    begins = [at for at in range(after, len(heard.words)) if at in {after + 1, after + 2} or heard.breaks(at)]
    if other is not None:
        begins.insert(0, other.end)
    return [rest for at in begins[:_MOST_CLAUSES] if (rest := heard.rest(at))]


def _role_at(role: Role, at: int, heard: Heard) -> bool:
    """Whether a role is named there, an article aside."""
    group = f"order_role_{role.replace(' ', '_')}"
    return role != "helper" and any(heard.end(group, place) is not None for place in (at, at + 1))
