"""Whom words name, among the club's people of now: those of the files and those who joined by text."""

from collections.abc import Sequence
from dataclasses import dataclass

from clubbot.model.club import Knowledge, Person
from clubbot.understanding.plain import words_of

_SELF = frozenset({"i", "im", "me", "myself", "ill", "j", "je", "moi"})


@dataclass(frozen=True, slots=True)
class Named:
    """The person whom one of several rows of words names, and what else they say, as it was written."""

    person: Person
    rest: tuple[str, ...]


def named_in(said: Sequence[str], knowledge: Knowledge, sender: Person | None = None) -> Named | None:
    """The first person who is named; "me" is the sender. A name that two people share stands for nobody."""
    for place, row in enumerate(said):
        found = _in_row(row, knowledge, sender)
        if found is not None:
            person, rest = found
            return Named(person, tuple(one for one in (*said[:place], rest, *said[place + 1 :]) if one))
    return None


def _in_row(row: str, knowledge: Knowledge, sender: Person | None) -> tuple[Person, str] | None:
    pieces = row.split()
    for length in range(len(pieces), 0, -1):
        for at in range(len(pieces) - length + 1):
            said = " ".join(words_of(" ".join(pieces[at : at + length])))
            person = _called(said, knowledge) or (sender if said in _SELF else None)
            behind = pieces[at + length : at + length + 1]
            if person is not None and length == 1 and _another(pieces[at], behind, person):
                return None
            if person is not None:
                return person, " ".join((*pieces[:at], *pieces[at + length :])).strip(" ,.;:")
    return None


def _another(first: str, behind: Sequence[str], person: Person) -> bool:
    """Whether a first name goes on with a surname that is not this person's: "Sam Smith" is not Sam Cole."""
    ends = first[-1:] in {",", ".", ";", ":"}
    return bool(behind) and not ends and behind[0][:1].isupper() and words_of(behind[0]) != words_of(person.name)[-1:]


def _called(said: str, knowledge: Knowledge) -> Person | None:
    """The one person of that whole name or first name; also with the "s" of "Sam's"."""
    for names in (_whole, _first):
        for form in (said, said.removesuffix(" s"), said.removesuffix("s")):
            found = [one for one in knowledge.people if form and names(one) == form]
            if len(found) == 1:
                return found[0]
    return None


def _whole(person: Person) -> str:
    return " ".join(words_of(person.name))


def _first(person: Person) -> str:
    return " ".join(words_of(person.first_name))


def same_first_name(said: Sequence[str], knowledge: Knowledge) -> list[str]:
    """The whole names of people who share a first name that is said: which of them is meant is asked."""
    words = {word for row in said for word in words_of(row)}
    return [one.name for one in knowledge.people if _first(one) in words]
