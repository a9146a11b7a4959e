"""Who is in a party, as far as it was said, and what a text does to it. A text about somebody else never takes the sender off; where it is not
known whether somebody is in the party, no place is guessed away.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from clubbot.model.rsvps import SENDER, Guest, Said

Who = tuple[Guest, ...]


@dataclass(frozen=True, slots=True)
class Now:
    """So many come now, and who of them is known."""

    people: int
    who: Who


@dataclass(frozen=True, slots=True)
class Unsure:
    """So many would come; somebody it was said of may be among those whom nobody has named: to be asked."""

    people: int


@dataclass(frozen=True, slots=True)
class NotAmong:
    """Somebody it was said of is not in the party."""


Changed = Now | Unsure | NotAmong


def about_others(said: Said) -> bool:
    """Whether a text tells that somebody does not come or is replaced, and the sender is not taken off with them."""
    if said.all_out:
        return False
    return (bool(said.out or said.instead) and not said.sender_out) or (said.sender_out and bool(said.comes))


def told(before: Who, said: Said, people: int, *, more: bool = False) -> Who:
    """Who a party of `people` is, as the text says it beside the number; `more` where they come beside those who were coming."""
    coming = without(before, said.out)[0] if more or not said.comes or said.comes == (SENDER,) else ()
    for guest in (*said.comes, *said.instead):
        if _place(coming, guest) is None:
            coming = (*coming, guest)
    if SENDER not in coming and not said.sender_out and count(coming) < people:
        coming = (SENDER, *coming)
    return fitting(coming, people)


def changed(before: Who, people: int, said: Said) -> Changed:
    """What becomes of a party of `people` by a text that names who does not come, without a number of all."""
    out = (SENDER, *said.out) if said.sender_out else said.out
    known = before or (SENDER,)
    left, unknown, gone = without_known(known, out)
    still = _new(left, said.comes)
    if count(still) <= people - count(known) - unknown:  # they were among those whom nobody had named
        left, still = (*left, *still), ()
    instead = (*_new(left, said.instead), *still)
    if not out:  # "Ana instead": of the only other one
        others = [guest for guest in left if guest != SENDER]
        if len(others) != 1 or count(left) != people:
            return NotAmong()
        left, gone = tuple(guest for guest in left if guest == SENDER), others[0].people
    now = people - gone - unknown + count(instead)
    if now < 1 and SENDER not in out:
        return NotAmong()  # whoever does not come is none of those who have places
    if unknown > people - count(known):
        return NotAmong()
    if unknown and now != people:
        return Unsure(now) if now else NotAmong()
    return Now(now, fitting((*left, *instead), now))


def _new(left: Who, guests: Iterable[Guest]) -> Who:
    """Those of them who are not known to be in the party."""
    return tuple(guest for guest in guests if guest != SENDER and _place(left, guest) is None)


def without_known(who: Who, out: Sequence[Guest]) -> tuple[Who, int, int]:
    """The party without those; how many of them are not known to be in it, and how many are gone. So many without a name ("one of us") are
    in it in any case.
    """
    left, unknown, gone = list(who), 0, 0
    for guest in out:
        place = _place(left, guest)
        if place is None and guest.kind == "others":
            others = [one for one in left if one.kind != "sender"]
            if sum(one.people for one in others) <= guest.people:
                left = [one for one in left if one.kind == "sender"]
            elif others:  # one of several, and not said which
                left = [SENDER] if SENDER in left else []
            gone += guest.people
        elif place is None:
            unknown += guest.people
        else:
            fewer = min(guest.people, left[place].people)
            gone += fewer
            rest = left[place].people - fewer
            left[place : place + 1] = [replace(left[place], people=rest)] if rest else []
    return tuple(left), unknown, gone


def without(who: Who, out: Sequence[Guest]) -> tuple[Who, int]:
    """The party without those, and how many of them it is not known of."""
    left, unknown, _ = without_known(who, out)
    return left, unknown


def fitting(who: Who, people: int) -> Who:
    """Who is known of a party that has this number now: where they are more than it, and nobody said who left, only the sender is."""
    if count(who) <= people:
        return who
    return (SENDER,) if SENDER in who and people else ()


def count(who: Iterable[Guest]) -> int:
    """How many people they are."""
    return sum(guest.people for guest in who)


def _place(who: Sequence[Guest], guest: Guest) -> int | None:
    """Which of a party is meant: by name, by the same word for kin, else by another word for the same where only one can be meant."""
    if guest.kind == "sender":
        return next((at for at, one in enumerate(who) if one.kind == "sender"), None)
    if guest.name is not None:
        same = [
            at for at, one in enumerate(who) if one.name is not None and one.name.casefold() == guest.name.casefold()
        ]
        if same or guest.kind == "name":
            return same[0] if same else None
    if not guest.label:
        return None
    same = [at for at, one in enumerate(who) if one.label == guest.label]
    akin = same or [at for at, one in enumerate(who) if one.akin and one.akin == guest.akin]
    return akin[0] if len(akin) == 1 else None
