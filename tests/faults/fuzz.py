"""`python -m tests.faults.fuzz --texts 1000000`: made-up texts through the turn; no exception, none over 100 ms.

A text is a way of asking torn, doubled and mixed with others, or one that is hard for patterns, from somebody of whom this and that is known.
The time is that of the processor, as a busy machine would else be measured too. Run by hand; a small run is a test.
"""

import argparse
import random
import sys
import time
import traceback
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from datetime import timedelta
from functools import cache, partial
from multiprocessing import Pool

from clubbot.handbook.book import Handbook, open_handbook
from clubbot.handbook.learning import usual_folder
from clubbot.handbook.loading import load_or_fault
from clubbot.model.choices import any_of
from clubbot.model.club import Overlay
from clubbot.model.dialogue import DialogueState
from clubbot.model.effects import OpenChoice
from clubbot.model.known import Known, Question, Sender, Thread
from clubbot.model.rsvps import DayCount, DayId, Rsvp
from tests.builders import KIM, a_text
from tests.conftest import NOON, ROOT

TOO_SLOW = 0.1
_LONGEST = 1600
_A_BATCH = 500
_JONAS = "+19025550103"
_LETTERS = "abcdefghijklmnopqrstuvwxyz      0123456789,.!?'\"#@:;-()éèàçêœ’«»\n\t\u200d\u00a0🙂👍🥏漢字עברית\u0301"
_ROWS = (
    "a ",
    "1 ",
    "wed ",
    "the 4th ",
    "no ",
    "and ",
    "l'",
    "q",
    '"',
    " ",
    ",",
    "vas ",
    "in for ",
    "me + 2 ",
    "hole 3 ",
    "mardi ",
    "🙂",
    "?",
)


@dataclass
class Seen:
    """What a batch showed: the slowest texts with their seconds, and the exceptions."""

    texts: int = 0
    slow: int = 0
    slowest: list[tuple[float, str]] = field(default_factory=list)
    faults: list[str] = field(default_factory=list)

    def add(self, other: "Seen") -> None:
        self.texts += other.texts
        self.slow += other.slow
        self.slowest = sorted([*self.slowest, *other.slowest], reverse=True)[:10]
        self.faults += other.faults


@cache
def _handbook(with_encoder: bool) -> Handbook:
    return open_handbook(ROOT / "knowledge", usual_folder(), with_encoder=with_encoder)


@cache
def _ways() -> tuple[str, ...]:
    return tuple(one.text for one in load_or_fault(ROOT / "knowledge").examples)


def made_up(chance: random.Random) -> str:
    """A text that nobody would write, of what people write."""
    kind = chance.randrange(10)
    if kind < 4:  # a few ways of asking, joined
        text = chance.choice((" ", ", ", " and ", ". ", "\n", " et ")).join(
            chance.choices(_ways(), k=chance.randint(1, 4))
        )
    elif kind < 7:  # one torn: words left out, doubled, in another order
        words = " ".join(chance.choices(_ways(), k=2)).split()
        chance.shuffle(words)
        text = " ".join(word * chance.choice((1, 1, 1, 2)) for word in words if chance.random() < 0.8)
    elif kind < 8:  # letters
        text = "".join(chance.choices(_LETTERS, k=chance.choice((5, 40, 300, _LONGEST))))
    elif kind < 9:  # a row of something, and what might follow it
        row = chance.choice(_ROWS) * chance.choice((3, 50, 800))
        text = (
            chance.choice(_ways())[: chance.randint(0, 30)]
            + row
            + chance.choice(("", "!", "1", "?", chance.choice(_ways())))
        )
    else:  # several rows
        text = "".join(chance.choice(_ROWS) * chance.randint(1, 60) for _ in range(chance.randint(1, 12)))
    return text[:_LONGEST]


def _known(chance: random.Random) -> Known:
    """Nobody, somebody who has just spoken with us, or a helper with a question open."""
    sort = chance.randrange(4)
    if sort == 0:
        return Known(sender=Sender(number=KIM))
    league, day = DayId("dusk-league", (NOON + timedelta(days=2)).date()), DayCount(coming=3, version=4)
    mine = {league: Rsvp(number=KIM, state="coming", people=3, turn=1)}
    if sort == 1:
        return Known(sender=Sender(number=KIM, introduced=True, language="en"), days={league: day}, rsvps=mine)
    if sort == 2:
        asked = OpenChoice(
            choices=any_of(("borrow", "buy")), about="discs", language="en", until=NOON + timedelta(minutes=20)
        )
        return Known(
            sender=Sender(number=KIM, introduced=True),
            dialogue=DialogueState(asked=asked),
            thread=Thread(number=1, person="jonas"),
        )
    question = Question(number=1, language="en", words="any campground?", told=("jonas",), asked_at=NOON)
    return Known(sender=Sender(number=_JONAS, introduced=True), questions={1: question}, code="12345678")


def batch(number: int, seed: int, with_encoder: bool) -> Seen:
    """One batch, the same each time for the same numbers."""
    chance = random.Random(f"{seed} {number}")
    book, seen = _handbook(with_encoder), Seen()
    for _ in range(_A_BATCH):
        text, known = made_up(chance), _known(chance)
        message = a_text(text, sender=known.sender.number)
        began = time.process_time()
        try:
            if known.questions:
                book.audience(message, None, Overlay())
            book.decide(message, known, Overlay(), NOON)
        except Exception:  # noqa: BLE001  (that is what it looks for)
            seen.faults.append(f"{text!r}\n{traceback.format_exc(limit=-3)}")
        took = time.process_time() - began
        seen.texts += 1
        seen.slow += took > TOO_SLOW
        seen.slowest.append((took, text))
    seen.slowest = sorted(seen.slowest, reverse=True)[:10]
    return seen


def results(texts: int, seed: int, processes: int, with_encoder: bool) -> Iterator[Seen]:
    """The batches, as they are done."""
    numbers = range(max(1, texts // _A_BATCH))
    doing = partial(batch, seed=seed, with_encoder=with_encoder)
    if processes == 1:
        yield from map(doing, numbers)
        return
    with Pool(processes) as pool:
        yield from pool.imap_unordered(doing, numbers)


def main(arguments: Sequence[str] | None = None) -> int:
    """0 where no text raised anything or took too long."""
    parser = argparse.ArgumentParser(prog="python -m tests.faults.fuzz", description=__doc__)
    parser.add_argument("--texts", type=int, default=10_000)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--processes", type=int, default=2)
    parser.add_argument("--by-words", action="store_true", help="without the sentence model")
    asked = parser.parse_args(arguments)
    _ways()
    _handbook(not asked.by_words)
    began, seen = time.monotonic(), Seen()
    try:
        for one in results(asked.texts, asked.seed, asked.processes, not asked.by_words):
            seen.add(one)
            if seen.texts % 100_000 == 0:
                print(
                    f"{seen.texts} texts, {seen.slow} over {TOO_SLOW * 1000:g} ms, {len(seen.faults)} faults",
                    flush=True,
                )
    except KeyboardInterrupt:
        print("stopped before its end; so far:")
    print(
        f"{seen.texts} texts in {time.monotonic() - began:.0f} s: {seen.slow} over {TOO_SLOW * 1000:g} ms, {len(seen.faults)} faults"
    )
    for took, text in seen.slowest:
        print(f"{took * 1000:6.1f} ms  {len(text):4} letters  {text[:100]!r}")
    for fault in seen.faults[:10]:
        print(fault, file=sys.stderr)
    return 1 if seen.slow or seen.faults else 0


if __name__ == "__main__":
    raise SystemExit(main())
