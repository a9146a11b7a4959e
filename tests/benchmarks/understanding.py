"""How well labelled messages are understood: `python -m tests.benchmarks.understanding FILE [--wrong]`.

Rules of scoring: the README beside the labelled messages. Prints the share of each outcome for messages about the club and for
those that are not, by language, and, of the exact ones, how many are by passing the request on to a named person.
"""

import argparse
import json
import time
from collections import Counter
from datetime import datetime
from pathlib import Path

from clubbot.handbook.book import open_handbook
from clubbot.handbook.learning import usual_folder
from clubbot.trying import try_one

_IGNORED_BESIDE = {"greeting", "thanks"}


def outcome(want: set[str], served: set[str], offered: set[str], handed_over: bool) -> str:
    """The outcome of one message by the rules of scoring."""
    if want == {"outside"}:
        return "wrong" if served else "teased" if offered else "caught"
    if len(want) > 1:
        want = want - _IGNORED_BESIDE or want
    if len(served) > 1 or (served and not want & served):
        served = served - _IGNORED_BESIDE or served
    if served:
        return "exact" if served == want else "partial" if served & want else "wrong"
    if offered:
        return "asked" if offered & want else "silent"
    return "passed on" if handed_over else "silent"


def main() -> None:
    """Print the table."""
    parser = argparse.ArgumentParser()
    parser.add_argument("file", type=Path)
    parser.add_argument("--now", default="2027-06-07T12:00")
    parser.add_argument("--wrong", action="store_true", help="list what was not exact, with scores")
    asked = parser.parse_args()
    handbook = open_handbook(Path(__file__).parents[2] / "knowledge", usual_folder())
    now = datetime.fromisoformat(asked.now).replace(tzinfo=handbook.knowledge.club.zone)
    counted: dict[str, Counter[str]] = {}
    by_name, languages, events = 0, Counter[bool](), Counter[bool]()
    seconds: list[float] = []
    for line in asked.file.read_text("utf-8").splitlines():
        label = json.loads(line)
        began = time.perf_counter()
        tried = try_one(label["text"], handbook, "+19025550142", now)
        seconds.append(time.perf_counter() - began)
        turned, want = tried.turned, set(label["want"])
        found = outcome(want, set(turned.served), set(turned.offered), turned.handed_over)
        kind = "outside" if want == {"outside"} else "club"
        counted.setdefault(f"{kind} {label['lang']}", Counter())[found] += 1
        counted.setdefault(f"{kind} both", Counter())[found] += 1
        languages[turned.language == label["lang"]] += 1
        if found == "exact" and want & {"my-membership"}:
            by_name += 1
        if "event" in label and want & set(turned.served):
            events[turned.event == label["event"]] += 1
        if asked.wrong and found not in {"exact", "caught"}:
            scores = turned.reading.scores[:4] if turned.reading else ()
            shown = " ".join(f"{name}:{score:.2f}" for name, score in scores)
            print(f"{found:9} {sorted(want)} {turned.served or turned.offered} | {label['text'][:110]} | {shown}")
    for name, counts in sorted(counted.items()):
        total = sum(counts.values())
        shares = "  ".join(f"{key} {100 * value / total:.1f}%" for key, value in counts.most_common())
        print(f"{name:13} n={total:3}  {shares}")
    print(
        f"exact by passing a request on to a named person: {by_name}; language right {languages[True]}/{languages.total()}; event right {events[True]}/{events.total()}"
    )
    seconds.sort()
    print(
        f"per text: median {1000 * seconds[len(seconds) // 2]:.1f} ms, p99 {1000 * seconds[int(0.99 * len(seconds))]:.1f} ms"
    )


if __name__ == "__main__":
    main()
