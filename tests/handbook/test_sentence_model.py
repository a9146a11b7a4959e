import logging
from importlib.resources import files
from pathlib import Path

import pytest

from clubbot.handbook import sentence_model
from clubbot.handbook.book import Handbook, open_handbook
from clubbot.handbook.learning import usual_folder
from clubbot.handbook.sentence_model import encoder_in, shipped_encoder
from clubbot.trying import try_one
from tests.conftest import NOON, ROOT


def test_the_model_that_ships_hears_what_a_plain_question_is_about() -> None:
    encoder = shipped_encoder()
    assert encoder is not None
    assert max(encoder.hear("can i bring my dog", "en").intents.items(), key=lambda one: one[1])[0] == "dogs"
    assert max(encoder.hear("je peux amener mon chien", "fr").intents.items(), key=lambda one: one[1])[0] == "dogs"


def test_the_model_knows_every_intent_that_ships(handbook: Handbook) -> None:
    encoder = shipped_encoder()
    assert encoder is not None
    assert set(encoder.hear("hello", "en").intents) == set(handbook.reader.intents) - {"outside"}


@pytest.mark.parametrize("name", [sentence_model.VECTORS, sentence_model.LAYERS])
@pytest.mark.parametrize("content", [None, b"", b"half a file", b"PK\x03\x04 and no more"])
def test_a_model_that_is_missing_or_broken_is_said_and_no_fault(
    name: str, content: bytes | None, tmp_path: Path, caplog: pytest.LogCaptureFixture
) -> None:
    for file in (sentence_model.VECTORS, sentence_model.LAYERS):
        (tmp_path / file).write_bytes((files("clubbot.handbook") / file).read_bytes())
    (tmp_path / name).unlink()
    if content is not None:
        (tmp_path / name).write_bytes(content)
    with caplog.at_level(logging.WARNING):
        assert encoder_in(tmp_path) is None
    assert "texts are read by their words alone" in caplog.text


@pytest.mark.parametrize(
    ("text", "served"),
    [
        ("can i bring my dog", ("dogs",)),
        ("is the course open", ("status",)),
        ("count me in for league wednesday", ("rsvp-yes",)),
        ("c'est combien pour jouer", ("cost",)),
        ("STOP", ("stop",)),
    ],
)
def test_the_club_is_answered_for_without_the_model_too(text: str, served: tuple[str, ...]) -> None:
    by_words = open_handbook(ROOT / "knowledge", usual_folder(), with_encoder=False)
    assert try_one(text, by_words, "+19025550142", NOON).turned.served == served
