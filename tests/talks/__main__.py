"""Play scripted conversations: `python -m tests.talks FILE [--show | --all]`; how many turns were right, and with --show which were not."""

import argparse
import sys
from pathlib import Path

from clubbot.handbook.book import open_handbook
from clubbot.handbook.learning import usual_folder
from tests.conftest import ROOT
from tests.talks.playing import Came, Talk, counted, play, read_talks


def main() -> int:
    """Play the conversations of a file and print how many turns were right."""
    parser = argparse.ArgumentParser(prog="python -m tests.talks", description=__doc__)
    parser.add_argument("file", type=Path, help="conversations, one JSON object a line")
    parser.add_argument("--show", action="store_true", help="show each turn that is not right")
    parser.add_argument("--all", action="store_true", help="show every turn")
    parser.add_argument("--knowledge", type=Path, default=ROOT / "knowledge")
    asked = parser.parse_args()
    try:
        talks = read_talks(asked.file)
    except (OSError, ValueError) as fault:
        print(fault, file=sys.stderr)
        return 1
    handbook = open_handbook(asked.knowledge, usual_folder())
    played = []
    for talk in talks:
        came = play(talk, handbook)
        played.append((talk, came))
        for place, one in enumerate(came, start=1):
            if asked.all or (asked.show and one.turn.counted and one.wrong):
                print(_shown(talk, place, one), flush=True)
    for language in (*sorted({talk.language for talk in talks}), None):
        count = counted([one for one in played if language in {None, one[0].language}])
        print(
            f"{language or 'all'}: turns {count.turns}, right {count.right} ({count.share} %); "
            f"conversations {count.talks}, right from end to end {count.whole}"
        )
    return 0


def _shown(talk: Talk, place: int, came: Came) -> str:
    turn = came.turn
    verdict = "not counted" if not turn.counted else "NOT RIGHT" if came.wrong else "right"
    who = f"{turn.who} " if turn.who else ""
    lines = [f"--- {talk.line}.{place} {talk.language} {turn.now}: {verdict}", f"  {who}> {turn.text}"]
    lines += [f"  {who}< {text}" for text in came.replies or ("(no answer)",)]
    lines.append(f"  expected: {turn.expect}")
    return "\n".join([*lines, *(f"  {one}" for one in came.wrong if turn.counted)])


if __name__ == "__main__":
    sys.exit(main())
