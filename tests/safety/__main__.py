"""Count what is said while it matters: `python -m tests.safety FILE [--show]`; how many texts of each kind were right, and which were not."""

import argparse
import sys
from pathlib import Path

from clubbot.handbook.book import open_handbook
from clubbot.handbook.learning import usual_folder
from tests.conftest import ROOT
from tests.safety.counting import judged, shares


def main() -> int:
    """Print the shares of a file by kind and language."""
    parser = argparse.ArgumentParser(prog="python -m tests.safety", description=__doc__)
    parser.add_argument("file", type=Path)
    parser.add_argument("--show", action="store_true", help="show each text that is not right")
    asked = parser.parse_args()
    found = list(judged(asked.file, open_handbook(ROOT / "knowledge", usual_folder())))
    for one in found:
        if asked.show and one.wrong:
            row = one.row
            print(f"{row.kind} {row.of} {row.language} {' >> '.join(row.texts)}\n  {one.wrong}: {one.reply[:140]}")
    for language in ("en", "fr"):
        print(language, dict(shares([one for one in found if one.row.language == language])))
    print("all", dict(shares(found)), len(found))
    return 0


if __name__ == "__main__":
    sys.exit(main())
