"""Which texts of the teaching material may be of a danger or a risk, though nobody labelled them so: `python -m tests.learning.doubts`.

Most of the material was written before risks were labelled, and calls a cry for help not for the club. Where a rule finds one, that label
does not count while learning.
"""

import json

from clubbot.handbook.book import open_handbook
from clubbot.handbook.learning import usual_folder
from clubbot.handbook.phrasebook import shipped_examples
from clubbot.understanding.caution import cautions
from clubbot.understanding.danger import sounds_like_danger
from clubbot.understanding.encoder import output_of
from clubbot.understanding.noticing import Noticed
from tests.conftest import ROOT
from tests.learning.texts import DOUBTS, MATERIAL


def may_be(noticed: Noticed) -> list[str]:
    """The outputs of the sentence model that a text may be labelled with by the rules."""
    return [*(["danger"] if sounds_like_danger(noticed) else []), *map(output_of, cautions(noticed))]


def main() -> None:
    """Write the file anew."""
    notice = open_handbook(ROOT / "knowledge", usual_folder(), with_encoder=False).reader.notice
    rows = [
        json.loads(line) for file in sorted(MATERIAL.glob("*.jsonl")) for line in file.read_text("utf-8").splitlines()
    ]
    texts = [*(row["text"] for row in rows if "risk" not in row), *(one.text for one in shipped_examples())]
    found = {text: doubts for text in dict.fromkeys(texts) if (doubts := may_be(notice(text)))}
    lines = (json.dumps({"text": text, "may be": doubts}, ensure_ascii=False) for text, doubts in found.items())
    DOUBTS.write_text("\n".join(lines) + "\n", "utf-8")
    print(f"{len(found)} of {len(set(texts))} texts")


if __name__ == "__main__":
    main()
