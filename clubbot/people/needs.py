"""What everything that a person of the club may text needs before it is done: nothing, a code, or the other person's word. One table; an
order or a deed that is missing from it is a type error.

The rule behind it: a number can be forged, but the reply goes to the phone. So nothing that is kept, reaches more than one person, or
takes something from somebody happens on a text alone; what does happen at once is told to the phone that it is said to come from.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal, get_args

from clubbot.people.roles import Permit

Need = Literal["nothing", "a code", "their yes"]
Doing = Literal[
    "close",
    "reopen",
    "note on the course",
    "hold play",
    "release play",
    "tell of the hold",
    "call off",
    "hold after all",
    "another hour",
    "another day or place",
    "new event",
    "tell people",
    "tell one person",
    "put people down",
    "take people off",
    "sign people in",
    "which of several",
    "add the other language",
    "hold sending",
    "go on sending",
    "answer an asker",
    "pass a question",
    "done with a question",
    "done with a report",
    "a report open again",
    "swap a turn",
    "teach",
    "forget",
    "match discs",
    "who is here, with names",
    "see what waits",
    "see how things stand",
    "not taken up",
    "drop what waits",
    "a code",
    "suspend a phone",
    "restore a phone",
    "new number or helper",
    "join the club's people",
    "retire somebody",
    "change a role",
    "go on duty",
    "put on duty",
    "NOT ME",
    "back after NOT ME",
    "STOP",
    "START",
]
DOINGS: tuple[Doing, ...] = get_args(Doing)


@dataclass(frozen=True, slots=True)
class Needed:
    """What something needs, what a role must allow for it (None where nobody is asked), and why it is so."""

    need: Need
    permit: Permit | None
    why: str


NEEDS: Mapping[Doing, Needed] = {
    "close": Needed("a code", "close and reopen", "everybody who asks is told"),
    "reopen": Needed("a code", "close and reopen", "sends people onto the course"),
    "note on the course": Needed("a code", "close and reopen", "everybody who asks is told"),
    "hold play": Needed("nothing", "hold play", "the safe direction, and it is urgent; telling people takes the code"),
    "release play": Needed("a code", "hold play", "sends people onto the course; who may hold may release"),
    "tell of the hold": Needed("a code", "hold play", "reaches everybody who is coming"),
    "call off": Needed("a code", "call off events", "everybody on the list is told"),
    "hold after all": Needed("a code", "call off events", "everybody on the list is told"),
    "another hour": Needed("a code", "call off events", "everybody on the list is told"),
    "another day or place": Needed("a code", "call off events", "everybody on the list is told"),
    "new event": Needed("a code", "call off events", "everybody who asks what is on is told"),
    "tell people": Needed("a code", "tell people", "reaches many"),
    "tell one person": Needed("a code", "tell people", "goes out in the club's name to whoever the phone chooses"),
    "put people down": Needed("a code", "sign people up", "is kept, and takes places"),
    "take people off": Needed("a code", "sign people up", "takes somebody's place; whose phone it was from is told"),
    "sign people in": Needed("nothing", "see names", "only counts who came; the phone is told at once"),
    "which of several": Needed("nothing", None, "nothing is done: the one that is picked is shown with its code"),
    "add the other language": Needed(
        "a code", "tell people", "only changes what waits, which is shown with a new code"
    ),
    "hold sending": Needed(
        "nothing", "tell people", "a wrong text to many is stopped in seconds; all who may tell people hear of it"
    ),
    "go on sending": Needed("a code", "tell people", "reaches many"),
    "answer an asker": Needed(
        "nothing", "answer questions", "one person; the phone is told the words, and NOT ME undoes it"
    ),
    "pass a question": Needed("nothing", "answer questions", "stays open with all who have it; the phone is told"),
    "done with a question": Needed("a code", "answer questions", "nobody would look at the question again"),
    "done with a report": Needed(
        "nothing",
        "close and reopen",
        "one person is thanked; the phone is told, and can undo it for a day, as NOT ME does",
    ),
    "a report open again": Needed("nothing", "close and reopen", "the safe direction"),
    "swap a turn": Needed("their yes", "swap duty", "somebody gets a duty, somebody is rid of one: both agree"),
    "teach": Needed("their yes", "answer questions", "is kept and told to many: the organiser agrees with a code"),
    "forget": Needed("a code", "answer questions", "an answer that was agreed to is gone"),
    "match discs": Needed("a code", "answer questions", "reaches two people and lets them write to each other"),
    "who is here, with names": Needed("nothing", "see names", "the reply goes to the phone alone"),
    "see what waits": Needed("nothing", "answer questions", "the reply goes to the phone alone"),
    "see how things stand": Needed("nothing", None, "the reply goes to the phone alone"),
    "not taken up": Needed("nothing", None, "nothing is done: what was not understood is said back"),
    "drop what waits": Needed("nothing", None, "the safe direction"),
    "a code": Needed("nothing", None, "is itself the proof; wrong ones are counted"),
    "suspend a phone": Needed("a code", "answer questions", "would silence somebody's orders"),
    "restore a phone": Needed(
        "a code", "answer questions", "gives a phone its orders back; who exactly may, see phones.py"
    ),
    "new number or helper": Needed("a code", "change people", "gives another phone what a role may do"),
    "join the club's people": Needed(
        "nothing", None, "a plain yes from the phone that the organiser's code has asked; what it may do takes codes"
    ),
    "retire somebody": Needed("a code", "change people", "takes a phone's orders away"),
    "change a role": Needed("a code", "change people", "changes what a phone may do"),
    "go on duty": Needed("their yes", "swap duty", "whoever gets the duty agrees; the organiser's code does it too"),
    "put on duty": Needed("a code", "change people", "somebody gets a duty, and everybody's questions"),
    "NOT ME": Needed("nothing", None, "the safe direction: it only takes away what the phone may do"),
    "back after NOT ME": Needed("a code", None, "gives the phone its orders back"),
    "STOP": Needed("a code", None, "would silence somebody's orders"),
    "START": Needed("nothing", None, "texts go to the phone alone"),
}


def needs_as_table() -> str:
    """The table for reading: a line each."""
    widths = (
        max(map(len, DOINGS)) + 2,
        max(len(one) for one in get_args(Need)) + 2,
        max(len(one.permit or "-") for one in NEEDS.values()) + 2,
    )
    head = f"{'what is texted':<{widths[0]}}{'needs':<{widths[1]}}{'a role with':<{widths[2]}}because"
    lines = [
        f"{name:<{widths[0]}}{one.need:<{widths[1]}}{one.permit or '-':<{widths[2]}}{one.why}"
        for name, one in NEEDS.items()
    ]
    return "\n".join([head, *lines])
