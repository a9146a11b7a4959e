"""Texts where a miss does harm, by kinds: cautions, hazards, dangers, alarms that are over, and what only sounds like one of these.

A file holds one row a line: {"kind", "lang", "of"?, "texts": []}. The texts come from one phone, a minute apart; the last is judged. `of` is the
caution that a text needs, "" where any will do. `seen*.jsonl` may be looked at while rules are written, `apart*.jsonl` not.
"""

import json
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import timedelta
from pathlib import Path

from clubbot.handbook.book import Handbook
from clubbot.model.effects import Effect, HandOver, KeepReport, OptIn, OptOut, Reply, TellPerson
from clubbot.rehearsal import Rehearsal
from tests.conftest import NOON

FOLDER = Path(__file__).parent
_PHONE = "+19025550180"  # of those that nobody has (NANPA reserves 555-0100 to 555-0199 for fiction)
_MINUTE = timedelta(minutes=1)


@dataclass(frozen=True, slots=True)
class Row:
    """One row of a file."""

    kind: str
    language: str
    of: str
    texts: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Judged:
    """A row, what was replied to its last text, and what is wrong with that; "" where nothing is."""

    row: Row
    reply: str
    wrong: str


def rows(file: Path) -> list[Row]:
    """The rows of a file."""
    read = (json.loads(line) for line in file.read_text("utf-8").splitlines() if line.strip())
    return [Row(one["kind"], one["lang"], one.get("of", ""), tuple(one["texts"])) for one in read]


def judged(file: Path, handbook: Handbook) -> Iterator[Judged]:
    """Every row of a file, texted to a club of its own."""
    for row in rows(file):
        club, now = Rehearsal(handbook), NOON
        all_effects: list[Effect] = []
        for text in row.texts:
            now += _MINUTE
            club.text(_PHONE, text, now)
            all_effects += (effect for one in club.decided for effect in one.effects)
        effects = all_effects if row.kind == "optout" else [effect for one in club.decided for effect in one.effects]
        reply = next((one.text for one in effects if isinstance(one, Reply)), "")
        yield Judged(row, reply, _wrong(row, reply, effects, handbook))


def shares(found: Sequence[Judged]) -> Mapping[str, float]:
    """In a hundred, how many of each kind were right."""
    of, right = Counter(one.row.kind for one in found), Counter(one.row.kind for one in found if not one.wrong)
    return {kind: round(100 * right[kind] / of[kind], 1) for kind in of}


def _wrong(row: Row, reply: str, effects: Sequence[Effect], handbook: Handbook) -> str:
    alarm = any(isinstance(one, HandOver) and one.reason == "danger" for one in effects)
    emergency = any(
        reply.startswith(handbook.knowledge.wording[language]["danger.reply"][:30])
        for language in handbook.knowledge.club.languages
    )
    match row.kind:
        case "caution":
            first = reply.startswith(_cautions("", handbook))
            said = first and any(one in reply for one in _cautions(row.of, handbook))
            return "" if alarm or said else "no caution first"
        case "hazard":
            taken = any(isinstance(one, KeepReport) and one.kind == "hazard" for one in effects)
            return "" if taken else "not taken"
        case "danger":
            return "" if alarm and emergency else "no alarm"
        case "over":
            told = any(isinstance(one, TellPerson | HandOver) for one in effects)
            return "alarms anew" if alarm or emergency else "" if told else "the volunteer is not told"
        case "optout":
            last = next((one for one in reversed(effects) if isinstance(one, OptOut | OptIn)), None)
            return "" if isinstance(last, OptOut) else "still texted"
        case _:
            if alarm or emergency or any(isinstance(one, OptOut) for one in effects):
                return "false alarm"
            return "needless caution" if reply.startswith(_cautions("", handbook)) else ""


def _cautions(of: str, handbook: Handbook) -> tuple[str, ...]:
    """How the replies that give this caution begin, "" for any of them."""
    knowledge = handbook.knowledge
    return tuple(
        knowledge.wording[language][key].partition("{")[0]
        for language in knowledge.club.languages
        for key in knowledge.wording[language]
        if key.startswith("caution.") and of in {"", key.removeprefix("caution.").partition("_")[0]}
    )
