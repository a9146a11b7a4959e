"""Scripted conversations: one sender or several text a club of their own in memory, and each reply is checked for the facts that it must and
must not hold.

A file holds one conversation a line: {"lang", "now", "kind"?, "as"?, "turns": [{"text", "expect", "as"?, "now"?, "must": [], "mustnt": []}]}.
`now` is the club's local time; `as` is the first name of somebody of the club, or any other name for a stranger with a number of
their own. `must` and `mustnt` are regular expressions, looked for in all that the writer gets at once in answer to the text; case does not
matter. A turn with neither is played and not counted. What falls due while the clock runs on, and what others get, is not part of it.
"""

import json
import re
from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from pathlib import Path

from clubbot.handbook.book import Handbook
from clubbot.rehearsal import Rehearsal

_OF_A_TURN = frozenset({"text", "expect", "as", "now", "must", "mustnt"})
_NOBODY = ""
# Of the numbers that nobody has (NANPA reserves 555-0100 to 555-0199 for fiction); the club's own people have others.
_NEWCOMERS = [f"+190255501{last}" for last in range(80, 100)]
_A_TEXT_TAKES = timedelta(seconds=20)
_SAME = str.maketrans(dict.fromkeys("\u00a0\u202f\u2007", " ") | dict.fromkeys("\u2018\u2019\u02bc", "'"))


@dataclass(frozen=True, slots=True)
class Turn:
    """One text, what a good secretary would answer, and the facts that show it."""

    text: str
    expect: str = ""
    who: str = _NOBODY
    now: str = ""
    must: tuple[str, ...] = ()
    mustnt: tuple[str, ...] = ()

    @property
    def counted(self) -> bool:
        return bool(self.must or self.mustnt)


@dataclass(frozen=True, slots=True)
class Talk:
    """One conversation; `line` is where it stands in its file."""

    line: int
    language: str
    turns: tuple[Turn, ...]


@dataclass(frozen=True, slots=True)
class Came:
    """What the writer of a turn got, and what is wrong with it in words."""

    turn: Turn
    replies: tuple[str, ...]
    wrong: tuple[str, ...]


@dataclass(slots=True)
class Count:
    """Turns and whole conversations that were right, of those that were counted."""

    turns: int = 0
    right: int = 0
    talks: int = 0
    whole: int = 0
    languages: set[str] = field(default_factory=set)

    @property
    def share(self) -> float:
        return round(100 * self.right / self.turns, 1) if self.turns else 0.0


def read_talks(file: Path) -> list[Talk]:
    """The conversations of a file; ValueError with file and line where one cannot be read."""
    found = []
    for number, line in enumerate(file.read_text("utf-8").splitlines(), start=1):
        if not line.strip():
            continue
        try:
            found.append(_talk(json.loads(line), number))
        except (ValueError, KeyError, TypeError, re.error) as fault:
            raise ValueError(f"{file}:{number}: {fault!r}") from fault
    return found


def _talk(written: dict, number: int) -> Talk:  # type: ignore[type-arg]  # as JSON has it
    turns, now = [], written["now"]
    for one in written["turns"]:
        if unknown := sorted(one.keys() - _OF_A_TURN):
            raise ValueError(f"a turn has no {', '.join(unknown)}: {sorted(_OF_A_TURN)}")
        now = one.get("now", now)
        datetime.fromisoformat(now)
        must, mustnt = tuple(one.get("must") or ()), tuple(one.get("mustnt") or ())
        for pattern in (*must, *mustnt):
            re.compile(pattern)
        who = one.get("as") or written.get("as") or _NOBODY
        turns.append(Turn(" ".join(one["text"].split()), one.get("expect", ""), who, now, must, mustnt))
    return Talk(number, written["lang"], tuple(turns))


def play(talk: Talk, handbook: Handbook) -> list[Came]:
    """What came of every turn, on a club of the conversation's own; ValueError where its clock goes back."""
    club, zone = Rehearsal(handbook), handbook.knowledge.club.zone
    numbers = {name: person.number for person in handbook.knowledge.people for name in (person.first_name, person.id)}
    strangers = (number for number in _NEWCOMERS if number not in numbers.values())
    came: list[Came] = []
    now: datetime | None = None
    written = ""
    for turn in talk.turns:
        moment = datetime.fromisoformat(turn.now).replace(tzinfo=zone)
        if now is None:
            now = moment
        elif turn.now != written:
            if moment < now - _A_TEXT_TAKES:
                raise ValueError(f"line {talk.line}: the clock goes back to {turn.now}")
            club.pass_time(now, moment)
            now = moment
        written = turn.now
        if turn.who not in numbers:
            numbers[turn.who] = next(strangers)
        heard = club.text(numbers[turn.who], turn.text, now)
        replies = tuple(one.text for one in heard if one.recipient == numbers[turn.who])
        came.append(Came(turn, replies, tuple(wrong(turn, replies))))
        now += _A_TEXT_TAKES
    return came


def wrong(turn: Turn, replies: Sequence[str]) -> list[str]:
    """What a reply lacks and what it should not hold, in words."""
    told = "\n".join(replies).translate(_SAME)
    flags = re.IGNORECASE | re.DOTALL
    found = [f"not found: {pattern}" for pattern in turn.must if not re.search(pattern, told, flags)]
    for pattern in turn.mustnt:
        at = re.search(pattern, told, flags)
        if at is not None:
            found.append(f"found {at.group()[:60]!r}: {pattern}")
    return found


def counted(talks: Sequence[tuple[Talk, Sequence[Came]]]) -> Count:
    """How many turns and conversations were right."""
    count = Count()
    for talk, came in talks:
        those = [one for one in came if one.turn.counted]
        count.languages.add(talk.language)
        count.turns += len(those)
        count.right += sum(not one.wrong for one in those)
        count.talks += bool(those)
        count.whole += bool(those) and not any(one.wrong for one in those)
    return count
