"""How many people a text says are coming, the sender included, and who.

People are mentions, each with its part (`people_parts`); here they are counted. What was said of the number of all holds before those told
one by one, and of several such numbers the last, since that is how people correct themselves.
"""

from collections import Counter
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

from clubbot.model.intents import Party
from clubbot.model.rsvps import NOTHING_SAID, SENDER, Guest, Said
from clubbot.understanding.people_parts import mentions
from clubbot.understanding.people_places import stand_in
from clubbot.understanding.people_row import Mention, row_of
from clubbot.understanding.people_words import PeopleWords
from clubbot.understanding.text import Word

_NOBODY_NAMED = Party()
_LONGEST_NAME = 30  # letters: it is said back in a text


@dataclass(frozen=True, slots=True)
class People:
    """What a text says of people coming: how many, who instead of the sender, whether one number takes the place of another, and who."""

    party: Party = _NOBODY_NAMED
    stand_in: str | None = None
    corrected: bool = False
    said: Said = NOTHING_SAID


def people_coming(written: str, words: Sequence[Word], lists: PeopleWords) -> People:
    """How many come, who, and who comes instead of the sender, as far as the words of a text say."""
    row = row_of(written, words, lists)
    return counted(mentions(row), stand_in(row), lists.akin)


def counted(found: Sequence[Mention], instead_of_sender: str | None, akin: Callable[[str], str]) -> People:
    """Plain arithmetic over the mentions of one text."""
    said = _said(found, instead_of_sender, akin)
    corrected = any(one.part == "refused" for one in found)
    total, was = _last(found, "total"), _last(found, "was")
    # "room for one more? a friend wants in": the same person.
    more = max(_sum(found, "more", told=True), _sum(found, "more", told=False))
    less = sum(one.many or 0 for one in found if one.part == "less")
    out = sum(one.many or 0 for one in found if one.part == "out" and one.kind in {"kin", "name", "heads", "some"})
    if was is not None and total is None and (more or less or out):  # "I said 3 but one dropped out"
        return People(Party(total=max(0, was + more - less - out)), instead_of_sender, corrected=True, said=said)
    others, unclear = _beside_the_sender(found)
    if total is None and was is not None and not others:  # "no, I said 3"
        total, corrected = was, True
    if total is not None:
        return People(Party(total=total), instead_of_sender, corrected, said)
    if any(one.alone and one.part != "out" for one in found) and not others:
        return People(Party(total=1 + more), instead_of_sender, corrected, said)
    if more or less:
        return People(Party(more=more - less), instead_of_sender, corrected, said)
    if instead_of_sender is None and unclear:
        return People(Party(unclear=True), None, corrected, said)
    if instead_of_sender is None and others:
        return People(Party(total=others + _sender_among(found, said)), None, corrected, said)
    return People(_NOBODY_NAMED, instead_of_sender, corrected, said)


def _sum(found: Sequence[Mention], part: str, *, told: bool) -> int:
    """How many people in all have this part, of those who are told who they are, or of bare numbers."""
    return sum(one.many or 0 for one in found if one.part == part and (one.kind in {"kin", "name"}) == told)


def speaks_of_others(people: People) -> bool:
    """Whether it is said of others that they do not come, or of the sender alone, and others do."""
    said = people.said
    return not said.all_out and bool(said.out or said.instead or (said.sender_out and said.comes))


def only_others_out(people: People) -> bool:
    """Whether it is said of somebody else that they do not come, and not of the sender: "my wife can't make it after all"."""
    said = people.said
    return bool(said.out) and not (said.all_out or said.everybody or said.sender_out)


def _last(found: Sequence[Mention], part: str) -> int | None:
    numbers = [one.many for one in found if one.part == part and one.many is not None]
    return numbers[-1] if numbers else None


def _coming(found: Sequence[Mention]) -> list[Mention]:
    """Those told one by one who come with the sender: in one run with him, or beside him by the words around."""
    with_sender = {one.run for one in found if one.kind == "sender" and one.part == "comes"}
    beside = {one.run for one in found if one.beside}
    counts = {one.run for one in found if one.grown or one.signed}
    every = any(one.kind == "sender" and one.beside for one in found)  # "me too"
    without_sender = any(one.kind == "sender" and one.part == "out" for one in found)
    return [
        one
        for one in found
        if one.kind in {"kin", "name", "heads"}
        and one.part == "comes"
        and (every or one.run in with_sender | beside | counts or (without_sender and one.coming))
    ]


def _beside_the_sender(found: Sequence[Mention]) -> tuple[int, bool]:
    coming = _coming(found)
    others = sum(one.many or 0 for one in _each_once(coming))
    runs = {one.run for one in found if one.kind == "sender" or one.beside or one.signed}
    unclear = any(one.kind == "many" and one.part == "comes" and (not one.label or one.run in runs) for one in found)
    return others, unclear or (not others and _a_family(found))


def _a_family(found: Sequence[Mention]) -> bool:
    """ "my dad and my sister for sunday": whether the sender comes too is not said."""
    runs = Counter(one.run for one in found if one.kind in {"kin", "heads"} and one.part == "comes")
    return any(times > 1 for times in runs.values())


def _each_once(found: Iterable[Mention]) -> list[Mention]:
    """Somebody named twice is one; "mon chum" and "son chum" are two."""
    return list({_who(one): one for one in found}.values())


def _who(one: Mention) -> tuple[str | int | None, ...]:
    return (one.label, one.name, *one.words.split()[:1]) if one.label or one.name else (one.first,)


def _sender_among(found: Sequence[Mention], said: Said) -> int:
    """1 where the sender comes too: "two adults and three kids" leaves nobody out, nor does "not me"."""
    coming = _coming(found)
    with_sender = any(
        one.kind == "sender" and one.part == "comes" and one.run in {each.run for each in coming} for one in found
    )
    leaves_nobody_out = any(one.grown for one in coming) or (
        any(one.signed for one in coming) and not any(one.beside for one in coming)
    )
    if said.sender_out or (leaves_nobody_out and not with_sender):
        return 0
    return 1


def _said(found: Sequence[Mention], instead_of_sender: str | None, akin: Callable[[str], str]) -> Said:
    senders = [one for one in found if one.kind in {"sender", "us"}]
    everybody = any(one.part == "out" and one.kind == "everybody" for one in found)
    all_out = everybody or any(one.part == "out" and one.kind == "us" for one in found)
    out = tuple(_guest(one, akin) for one in found if _told_out(one))
    instead = (
        ()
        if instead_of_sender
        else tuple(_guest(one, akin) for one in found if one.part == "instead" and one.kind in {"kin", "name"})
    )
    coming = [one for one in found if one.kind in {"kin", "name", "heads"} and one.part in {"comes", "more"}]
    beside = {id(one) for one in _coming(found)}
    comes = tuple(
        _guest(one, akin) for one in _each_once(one for one in coming if id(one) in beside or one.part == "more")
    )
    sender_out = any(one.part == "out" and one.kind == "sender" for one in senders)
    if any(one.kind == "sender" and one.part == "comes" for one in found) and not sender_out:
        comes = (SENDER, *comes)
    unsure = any(one.part == "perhaps" for one in found)
    return Said(
        comes=comes,
        out=out,
        instead=instead,
        all_out=all_out,
        everybody=everybody,
        sender_out=sender_out,
        unsure=unsure,
    )


def _told_out(one: Mention) -> bool:
    return (one.part == "out" and one.kind in {"kin", "name", "heads", "some"}) or (one.part == "less")


def _guest(one: Mention, akin: Callable[[str], str]) -> Guest:
    name = one.name[:_LONGEST_NAME] if one.name else None
    if one.kind == "name":
        return Guest(kind="name", name=name)
    if one.label:
        return Guest(kind="kin", people=one.many or 1, label=one.label, name=name, akin=akin(one.label))
    return Guest(kind="others", people=one.many or 1)
