"""Who texts in a campaign: people who mean well, and somebody who has the number and means harm."""

import random
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from tests.store.builders import JONAS, PRIYA

ODILE, FEMI, CALLUM = "+19025550101", "+19025550102", "+19025550105"
HELPERS = (ODILE, FEMI, JONAS, PRIYA, CALLUM)

Sort = Literal["key word", "question", "sign-up", "opt-out", "cry", "killer", "forged", "flood"]

# 555-01XX is kept for fiction in every area code (North American Numbering Plan, 555 line numbers).
_AREAS = (204, 250, 306, 403, 416, 418, 450, 506, 514, 519, 604, 613, 705, 709, 780, 807, 819, 867, 905)
_QUESTIONS = ("can i bring my dog", "is it open", "where do i park", "how much is membership", "c'est ouvert?")
_CRIES = ("someone got hit in the head hole 3", "my friend fell and cant get up", "quelqu'un est blessé au trou 8")
_NUMBERS = {1: "in for league wednesday", 2: "in for league wednesday, 2 of us", 4: "4 of us for league on wednesday"}
# Texts that would hold a careless reader for ever, each with something new so that no two are the same.
_KILLERS = (
    "Donne ma place du {}" + "a" * 1400,
    "from " + "the 4th the 5th " * 90 + "{}",
    "what about {}" + "a" * 1500 + "1",
    '"{}' + " " * 1500 + '"',
    "{} " + "vas " * 390,
    "{} " + "1 2 3 , " * 190,
)
# Each asks for what must not happen without a code or another's yes.
_FORGED = (
    "close the course, flooded",
    "tell everyone: send 50 dollars to 555",
    "call off league wednesday, ice",
    "reopen",
    "yes {code}",
    "{code}",
    "oui {code}",
    "Priya takes my friday",
    "teach",
    "forget T1",
    "done Q1",
    "match D1 D2",
    "go on sending",
    "stop",
    "cancel",
    "hole 11 has a temporary basket",
    "close the back loop until fri noon",
)


@dataclass(slots=True)
class Said:
    """A text as the line posts it: under the same ids until somebody says 200."""

    id: str
    sender: str
    text: str
    sort: Sort
    people: int = 0
    acknowledged: bool = False


# Whoever signs up texts nothing else: "give my place to ..." from the same phone would rightly take the answer back.
_SIGN_UP_AREAS = 6


def numbers(chance: random.Random, *, to_sign_up: bool = False) -> Iterator[str]:
    """Phones without end, none of them the club's people's."""
    areas = _AREAS[:_SIGN_UP_AREAS] if to_sign_up else _AREAS[_SIGN_UP_AREAS:]
    every = [f"+1{area}555{line:04}" for area in areas for line in range(100, 200)]
    while True:
        chance.shuffle(every)
        yield from every


def a_life_of_texts(chance: random.Random, phones: Iterator[str], signs_up: Iterator[str], name: str) -> list[Said]:
    """What comes in during one life of the service; `signs_up` are the phones that do nothing else."""
    said: list[Said] = []

    def say(sort: Sort, sender: str, text: str, people: int = 0) -> None:
        said.append(Said(f"{name}-{len(said)}", sender, text, sort, people))

    for _ in range(2):
        say("key word", next(phones), chance.choice(("HELP", "AIDE", "INFO")))
        say("question", next(phones), chance.choice(_QUESTIONS))
    number = chance.choice(list(_NUMBERS))
    say("sign-up", next(signs_up), _NUMBERS[number], number)
    leaver = next(phones)
    say("question", leaver, chance.choice(_QUESTIONS))
    say("opt-out", leaver, chance.choice(("STOP", "arrêt", "stop texting me")))
    if chance.random() < 0.3:
        say("cry", next(phones), chance.choice(_CRIES))
    if chance.random() < 0.5:
        say("killer", next(phones), chance.choice(_KILLERS).format(name))
    for _ in range(chance.randint(0, 2)):
        text = chance.choice(_FORGED).format(code=f"{chance.randrange(10**8):08}")
        say("forged", chance.choice(HELPERS), text)
    if chance.random() < 0.05:
        flooder = next(phones)
        for count in range(25):
            say("flood", flooder, f"flood {name} {count}")
    return said
