"""The sample conversations hold: what comes back is what is written, and so is how things stand afterwards."""

from pathlib import Path

import pytest

from clubbot.demo import NEWCOMER
from clubbot.handbook.book import Handbook
from clubbot.transcripts import play, read_transcript
from tests.conftest import ROOT

FILES = sorted((ROOT / "sample_conversations").glob("*.txt"))
# Put under a reply that is played as it comes today and should be another.
KNOWN_TO_BE_WRONG = "# Wrong:"


@pytest.mark.parametrize("file", FILES, ids=lambda file: file.stem)
def test_a_sample_conversation_goes_as_it_is_written(file: Path, handbook: Handbook) -> None:
    differences = play(read_transcript(file), handbook).differences
    assert not differences, "\n".join(differences)


def test_every_conversation_that_the_demo_plays_is_there() -> None:
    assert set(NEWCOMER) <= {file.stem for file in FILES}


@pytest.mark.parametrize("file", FILES, ids=lambda file: file.stem)
def test_every_sample_conversation_ends_with_what_must_hold(file: Path) -> None:
    assert read_transcript(file).lines[-1].kind == "Then"


@pytest.mark.parametrize("file", FILES, ids=lambda file: file.stem)
def test_no_reply_of_a_sample_conversation_is_known_to_be_wrong(file: Path) -> None:
    wrong = [
        f"{file}:{number}: {line}"
        for number, line in enumerate(file.read_text("utf-8").splitlines(), start=1)
        if line.startswith(KNOWN_TO_BE_WRONG)
    ]
    assert not wrong, "\n".join(wrong)
