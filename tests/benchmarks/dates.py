"""How well days and hours are read: right, silently wrong, not understood.

`python -m tests.benchmarks.dates FILE [--wrong]`

FILE holds phrases with the day or the instant that they mean, one JSON object a line; the rules of scoring are in the README beside it. What
differs by our own stated policy alone is counted by itself, with the reason.
"""

import argparse
import json
import time
from collections import Counter
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

from clubbot.handbook.language_files import shipped_days
from clubbot.understanding.dates import plain_for_dates
from clubbot.understanding.days import Spoken

# Two hours behind UTC, as the phrases of the set are.
_ZONE = ZoneInfo("Etc/GMT+2")


@dataclass(frozen=True)
class Phrase:
    """One phrase and what it means."""

    text: str
    language: str
    now: datetime
    day: date
    at: datetime | None


def phrases(file: Path) -> list[Phrase]:
    """The phrases of a file."""
    found = []
    for line in file.read_text("utf-8").splitlines():
        one = json.loads(line)
        at = datetime.fromisoformat(one["at"]) if "at" in one else None
        day = at.date() if at else date.fromisoformat(one["day"])
        found.append(Phrase(one["text"], one["lang"], datetime.fromisoformat(one["now"]), day, at))
    return found


def outcome(phrase: Phrase, spoken: Spoken) -> str:
    """ "right", "not understood", a difference by policy, or "wrong"."""
    when = spoken.when
    if when is None:
        return "not understood"
    at = when.at.astimezone(_ZONE).replace(tzinfo=None) if when.at is not None else None
    if phrase.at is None:
        return "right" if when.first == phrase.day else _policy_of_day(phrase, when.first)
    if at is None:
        return "hour not understood" if when.first == phrase.day else "wrong"
    return "right" if at == phrase.at else _policy_of_hour(phrase, at)


def _policy_of_day(phrase: Phrase, day: date) -> str:
    weekday = phrase.text.strip(".").isalpha()
    return "policy: a weekday may be today" if weekday and day == phrase.now.date() else "wrong"


def _policy_of_hour(phrase: Phrase, at: datetime) -> str:
    assert phrase.at is not None
    over = at <= phrase.now.replace(tzinfo=None)
    if over and phrase.at - at == timedelta(days=1):
        return "policy: an hour that is over stays with its day"
    early = 1 <= phrase.at.hour <= 7 and at.time() == (phrase.at + timedelta(hours=12)).time()
    if early and timedelta(0) <= phrase.at - at + timedelta(hours=12) <= timedelta(days=1):
        return "policy: a bare 1 to 7 is after noon"
    return "wrong"


def main() -> None:
    """Print the shares by language."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("file", type=Path)
    parser.add_argument("--country", default="CA")
    parser.add_argument("--wrong", action="store_true", help="list what was not right")
    asked = parser.parse_args()
    days = shipped_days(asked.country)
    counted: dict[str, Counter[str]] = {}
    began = time.perf_counter()
    all_of_them = phrases(asked.file)
    for phrase in all_of_them:
        spoken = days.said(plain_for_dates(phrase.text), phrase.now, _ZONE)
        said = outcome(phrase, spoken)
        counted.setdefault(phrase.language, Counter())[said] += 1
        if asked.wrong and said != "right":
            when = spoken.when
            print(
                f"{said:20} {phrase.at or phrase.day} {(when.at or when.first) if when else spoken.unclear} | {phrase.text}"
            )
    took = 1e6 * (time.perf_counter() - began) / max(1, len(all_of_them))
    for language, outcomes in sorted(counted.items()):
        total = outcomes.total()
        print(
            f"{language} n={total}  "
            + "  ".join(f"{name} {100 * n / total:.1f}%" for name, n in outcomes.most_common())
        )
    print(f"{took:.0f} microseconds a phrase")


if __name__ == "__main__":
    main()
