"""How often one phone may do what: one table, a line a kind of text, and when a sender is not answered at all. Two machines must not talk
for ever, and whoever forges a number must not drown the person behind it, nor the club's people.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import timedelta
from typing import Literal

from clubbot.model.effects import (
    AddToAlarm,
    AnswerQuestion,
    Effect,
    HandOver,
    KeepName,
    KeepReport,
    KeepRsvp,
    Relay,
    SignIn,
)
from clubbot.model.known import Known
from clubbot.texting.keywords import bare

# What a text was, as far as it is counted. "detail" goes on with an alarm without being a cry itself, "flood" was left alone.
Kind = Literal[
    "stop",
    "start",
    "help",
    "danger",
    "detail",
    "hazard",
    "disc",
    "question",
    "relay",
    "name",
    "rsvp",
    "answer",
    "order",
    "flood",
    "other",
]
# Any text at all, of a phone that is none of the club's and of one of the club's people.
Any = Literal["any", "club's"]
Above = Literal[
    "done, not answered",  # what it asks takes effect at once, without a further reply
    "left alone",  # no effect, no reply
    "told once",  # no effect; the sender hears so once an hour
    "counted",  # an alarm: added to the one that is on, and told of with its count within two minutes
    "added",  # kept with the question that is open, told to nobody singly
]
Hears = Literal["nobody", "the sender", "the person on duty", "the sender and the organiser"]

MINUTES = timedelta(minutes=1)
# Within this time texts count as one flood, and what we said counts as just said.
LATELY = 5 * MINUTES
# So far back the texts of a phone are counted.
LONGEST = 60 * MINUTES


@dataclass(frozen=True, slots=True)
class Limit:
    """So many texts of a kind within a time from one phone; what happens to those above, and who hears of it."""

    kind: Kind | Any
    most: int
    within: timedelta
    above: Above
    hears: Hears


LIMITS = (
    Limit("stop", 3, 10 * MINUTES, "done, not answered", "nobody"),
    Limit("start", 3, 5 * MINUTES, "done, not answered", "nobody"),
    Limit("help", 3, 5 * MINUTES, "left alone", "nobody"),
    Limit("danger", 5, 10 * MINUTES, "counted", "the person on duty"),
    Limit("detail", 2, 10 * MINUTES, "counted", "the person on duty"),
    Limit("hazard", 3, 60 * MINUTES, "added", "the sender"),
    Limit("disc", 4, 60 * MINUTES, "added", "the sender"),
    Limit("question", 8, 60 * MINUTES, "added", "the sender"),
    Limit("relay", 10, 60 * MINUTES, "told once", "the sender"),
    Limit("name", 4, 60 * MINUTES, "told once", "the sender"),
    Limit("rsvp", 20, 60 * MINUTES, "told once", "the sender"),
    Limit("answer", 40, 10 * MINUTES, "told once", "the sender and the organiser"),
    Limit("order", 30, 10 * MINUTES, "told once", "the sender and the organiser"),
    Limit("any", 20, LATELY, "left alone", "the person on duty"),
    Limit("any", 100, LONGEST, "left alone", "the person on duty"),
    Limit("club's", 60, LATELY, "left alone", "the sender and the organiser"),
    Limit("club's", 300, LONGEST, "left alone", "the sender and the organiser"),
)
MOST_TEXTS = next(limit.most for limit in LIMITS if limit.kind == "any")
# More texts of one phone than any line counts need not be looked at.
LOOK_BACK = 1 + max(limit.most for limit in LIMITS)
# The same text so often in a row is a machine's, such as an "I am driving" reply.
MOST_SAME = 3
# A short text may be ours by chance, or one of the choices we offered; an echo is a good part of a text of ours.
_LEAST_ECHO = 20
_ECHO_SHARE = 0.4


def too_many(kind: Kind | Any, known: Known) -> Limit | None:
    """The line that this text, being of this kind, is above; None where it is within all of them."""
    return next((one for one in LIMITS if one.kind == kind and _so_many(one, known) > one.most), None)


def _so_many(limit: Limit, known: Known) -> int:
    """How many there were within the time, this one included."""
    of_all = limit.kind in {"any", "club's"}
    counted = 1 + sum(one.ago < limit.within and (of_all or one.kind == limit.kind) for one in known.earlier)
    return max(counted, known.texts_lately) if of_all and limit.within >= LATELY else counted


def told_before(kind: Kind, known: Known) -> bool:
    """Whether the sender has heard within the hour that there were too many of this kind."""
    return any(one.told and one.kind == kind for one in known.earlier)


def kind_of(effects: Sequence[Effect]) -> Kind:
    """What a text was, by what it brings about: what costs others most counts."""
    found = {kind for effect in effects if (kind := _kind(effect)) is not None}
    return next((kind for kind in _COSTLY_FIRST if kind in found), "other")


_COSTLY_FIRST: tuple[Kind, ...] = ("danger", "detail", "relay", "hazard", "disc", "question", "answer", "rsvp", "name")


def _kind(effect: Effect) -> Kind | None:
    match effect:
        case HandOver(reason=reason):
            return handed_kind(reason)
        case KeepReport(kind=report):
            return "hazard" if report == "hazard" else "disc"
        case AddToAlarm():
            return "detail"
        case Relay():
            return "relay"
        case KeepRsvp() | SignIn():
            return "rsvp"
        case KeepName():
            return "name"
        case AnswerQuestion():
            return "answer"
        case _:
            return None


def handed_kind(reason: str) -> Kind:
    """What is passed to a person, by why it is."""
    match reason:
        case "danger" | "detail" | "hazard":
            return reason
        case "lost-disc" | "found-disc":
            return "disc"
        case _:
            return "question"


def quiet_reason(text: str, known: Known, *, of_the_club: bool = False) -> str | None:
    """Why this text is not answered: "flood", "hours" of it, "echo", "same"; None where it is. Each ends by itself once the texts stop."""
    above = too_many("club's" if of_the_club else "any", known)
    if above is not None:
        return "flood" if above.within == LATELY else "hours"
    if known.same_in_a_row > MOST_SAME:
        return "same"
    said = bare(text)
    return (
        "echo" if len(said) >= _LEAST_ECHO and any(_is_echo(said, bare(ours)) for ours in known.said_lately) else None
    )


def is_ours(text: str, known: Known) -> bool:
    """Whether a text is one of ours that comes back, whole or in part, with nothing of theirs in it."""
    said = bare(text)
    return len(said) >= _LEAST_ECHO and any(
        said in ours and len(said) >= _ECHO_SHARE * len(ours) for ours in map(bare, known.said_lately)
    )


def _is_echo(said: str, ours: str) -> bool:
    """Whether it is ours again, whole or cut short, or with something of theirs around it."""
    return (said in ours and len(said) >= _ECHO_SHARE * len(ours)) or (ours in said and len(ours) >= _LEAST_ECHO)
