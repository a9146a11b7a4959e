"""The forms of the grammar of days and hours: roles one after the other, "weekday? the? d", as `time_words` marks them in a text."""

from collections.abc import Iterator, Mapping
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
    """A form ready to be looked for. "a|b" is one of these, "a?" may be left out."""

    steps: tuple[_Step, ...]

    def ends(self, marked: Marked, place: int) -> Iterator[tuple[int, Worth]]:
        """Where it ends when it begins at this word, the longest way first."""
        return self._from(marked, place, 0, {})

    def _from(self, marked: Marked, place: int, step: int, worth: dict[str, float]) -> Iterator[tuple[int, Worth]]:
        if step == len(self.steps):
            yield place, worth
            return
        now = self.steps[step]
        if place < len(marked.at):
            for role in now.roles:
                mark = marked.at[place].get(role)
                if mark is not None:
                    name = f"{role}2" if role in worth else role
                    yield from self._from(marked, mark[1], step + 1, {**worth, name: mark[0]})
        if now.optional:
            yield from self._from(marked, place, step + 1, worth)

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


def form(written: str) -> Form:
    """The form of such a line."""
    return Form(tuple(_Step(tuple(step.rstrip("?").split("|")), step.endswith("?")) for step in written.split()))
