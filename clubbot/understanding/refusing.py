"""Texts that refuse what we made of the one before: "no the other one", "thanks but i meant borrow", "pas ça, le stationnement"."""

from dataclasses import dataclass

from clubbot.understanding.noticing import Noticed

_LONGEST = 18


@dataclass(frozen=True, slots=True, kw_only=True)
class Refusal:
    """What we read was wrong. `meant` are the words that tell what was meant, empty where none do; `other` where the other of two is."""

    meant: str = ""
    other: bool = False


def refusal(said: Noticed) -> Refusal | None:
    """What a text says against how we read the one before; None where it says nothing of that kind."""
    if len(said.text.written.split()) > _LONGEST:
        return None
    if said.says("the other"):
        return Refusal(other=True)
    meant = said.first("meant")
    if meant is not None and said.after(meant):
        return Refusal(meant=said.after(meant))
    if said.says("not that"):
        return Refusal()
    for refused in said.all("not that, then"):
        rest = said.after(refused)
        if rest and said.words(refused)[-1].pause:
            return Refusal(meant=rest)
    return None


def said_after_no(said: Noticed) -> str | None:
    """The rest of a text that begins with "no": it mends what we read where it is nothing but a detail."""
    found = said.first("no, then")
    return said.after(found) or None if found is not None else None
