"""The forms of the grammar of days and hours: roles one after the other, "weekday? the? d", as `time_words` marks them in a text."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from clubbot.understanding.time_words import Marked

# What each role of a form is worth; the second of the same name has a 2 behind it.
Worth = Mapping[str, float]


@dataclass(frozen=True, slots=True)
class _Step:
    roles: tuple[str, ...]
    optional: bool


@dataclass(frozen=True, slots=True)
class Form:
    """A form ready to be looked for. "a|b" is one of these, "a?" may be left out; `needed` are the steps that may not."""

    steps: tuple[_Step, ...]
    needed: tuple[tuple[str, ...], ...]

    def ends(self, marked: Marked, place: int) -> Sequence[tuple[int, Worth]]:
        """Where it ends when it begins at this word, the first way first: by the order of a step's roles, with what may be left out."""
        found: list[tuple[int, Worth]] = []
        at, steps = marked.at, self.steps
        open_ways: list[tuple[int, int, Worth]] = [(place, 0, {})]
        while open_ways:
            here, step, worth = open_ways.pop()
            if step == len(steps):
                found.append((here, worth))
                continue
            now = steps[step]
            if now.optional:
                open_ways.append((here, step + 1, worth))
            if here < len(at):
                marks = at[here]
                for role in reversed(now.roles):
                    if role in marks:
                        value, end = marks[role]
                        open_ways.append((end, step + 1, {**worth, f"{role}2" if role in worth else role: value}))
        return found

    def first_roles(self) -> frozenset[str]:
        """The roles that it can begin with."""
        found: set[str] = set()
        for step in self.steps:
            found.update(step.roles)
            if not step.optional:
                break
        return frozenset(found)

    def roles(self) -> frozenset[str]:
        """All roles that it names."""
        return frozenset(role for step in self.steps for role in step.roles)


@dataclass(frozen=True, slots=True)
class FirstRoles:
    """Which of some forms may begin with a role."""

    forms: Sequence[Form]
    by_role: Mapping[str, Sequence[int]]

    def candidates(self, marked: Marked) -> Sequence[Sequence[int]]:
        """The numbers of the forms that may begin at each word, those left out of which a step is said nowhere."""
        able: dict[int, bool] = {}
        found: list[Sequence[int]] = []
        for marks in marked.at:
            here: list[int] = []
            for role in marks:
                for number in self.by_role.get(role, ()):
                    if number not in able:
                        able[number] = True
                        for needed in self.forms[number].needed:
                            if marked.said.isdisjoint(needed):
                                able[number] = False
                                break
                    if able[number] and number not in here:
                        here.append(number)
            found.append(here)
        return found


def first_roles(forms: Sequence[Form]) -> FirstRoles:
    """Of these forms."""
    by_role: dict[str, list[int]] = {}
    for number, one in enumerate(forms):
        for role in one.first_roles():
            by_role.setdefault(role, []).append(number)
    return FirstRoles(forms, by_role)


def form(written: str) -> Form:
    """The form of such a line."""
    steps = tuple(_Step(tuple(step.rstrip("?").split("|")), step.endswith("?")) for step in written.split())
    return Form(steps, tuple(step.roles for step in steps if not step.optional))
