from collections.abc import Mapping
from pathlib import Path

import numpy as np

from clubbot.handbook.answers import AnswerFile
from clubbot.handbook.pulling import pulling
from clubbot.model.club import Example
from clubbot.understanding.plain import words_of
from clubbot.understanding.scoring import Scorer

COMMON = [Example(text=text, intent="parking", language="en") for text in ("where do i park", "any parking near")]


def _own(topic: str, *texts: str) -> AnswerFile:
    file = AnswerFile(topic=topic, file=Path(f"{topic}.md"))
    file.examples = [(10 + place, Example(text=text, intent=topic, language="en")) for place, text in enumerate(texts)]
    return file


def _scorer(read_as: Mapping[str, str]) -> Scorer:
    """A scorer of one word a text, which reads each text as told."""
    intents = sorted(set(read_as.values()))
    vocabulary = [f"w:{words_of(text)[-1]}" for text in read_as]
    weights = np.array([[9.0 * (intent == read) for intent in intents] for read in read_as.values()], dtype=np.float16)
    none = np.zeros(len(intents), dtype=np.float32)
    return Scorer(intents, vocabulary, np.ones(len(vocabulary), dtype=np.float32), weights, none, {}, frozenset())


def test_ways_of_asking_that_stand_apart_are_not_named() -> None:
    read_as = {"where do i park": "parking", "any parking near": "parking", "is there a sauna": "sauna"}
    assert pulling([_own("sauna", "is there a sauna")], COMMON, _scorer(read_as)) == []


def test_a_way_that_is_read_as_another_topic_is_named_with_file_and_line() -> None:
    read_as = {"where do i park": "parking", "any parking near": "parking", "is there a sauna": "sauna"}
    read_as |= {"where to leave the car": "parking"}
    (found,) = pulling([_own("sauna", "is there a sauna", "where to leave the car")], COMMON, _scorer(read_as))
    assert "sauna.md:11" in str(found)
    assert '"where to leave the car" is read as "parking"' in str(found)


def test_a_way_that_draws_others_to_a_topic_of_the_clubs_own_is_named_with_what_it_draws() -> None:
    read_as = {
        "where do i park": "valet",
        "any parking near": "valet",
        "somebody parks for you": "valet",
        "a": "parking",
    }
    (found,) = pulling([_own("valet", "somebody parks for you")], COMMON, _scorer(read_as))
    assert "valet.md:10" in str(found)
    assert 'draws others to it: "where do i park" (asks for "parking")' in str(found)
