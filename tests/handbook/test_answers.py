"""The answer files: a heading a language with a label, one or two paragraphs, more ways of asking."""

from pathlib import Path

import pytest

from clubbot.handbook.answers import AnswerFile, read_answer
from clubbot.handbook.book import Handbook
from clubbot.handbook.findings import Finding
from clubbot.handbook.phrasebook import shipped_examples
from clubbot.model.intent_kinds import BUILT_IN
from clubbot.model.messages import LANGUAGES, Language
from clubbot.understanding.plain import words_of
from tests.conftest import ROOT

# The topics of scenario/labels.md, table "Topics".
TOPICS = (
    "start",
    "what-is-it",
    "where",
    "parking",
    "first-tee",
    "cost",
    "hours",
    "borrow",
    "buy",
    "which-disc",
    "holes",
    "layout",
    "duration",
    "busy",
    "group-size",
    "children",
    "access",
    "dogs",
    "park-rules",
    "facilities",
    "bring",
    "rules-basic",
    "rules-ob",
    "rules-mando",
    "rules-lost",
    "rules-lie",
    "rules-time",
    "rules-score",
    "etiquette",
    "safety",
    "night",
    "winter",
    "membership",
    "pay",
    "donate",
    "volunteer",
    "league",
    "clinic",
    "family-day",
    "women",
    "tournament",
    "handicap",
    "groups",
    "land",
    "who-runs",
    "weather-policy",
    "improve-throw",
    "privacy",
)
# Issue 2, section 1: at least so many ways of asking for each topic.
LEAST_WAYS: dict[Language, int] = {"en": 40, "fr": 25}

PARKING = """\
# parking

## English: parking

The car park has {parking.spaces} spaces,
and it is free.

If it's full, park at the ball field.

## Français : le stationnement

Le stationnement est gratuit.

## Ways of asking

- en: can I leave the van
- fr: où laisser l'auto
"""


def written(tmp_path: Path, text: str, name: str = "parking.md") -> tuple[AnswerFile, list[Finding]]:
    """An answer file of that text, read, and what was found wrong with it."""
    file = tmp_path / name
    file.write_text(text, "utf-8")
    findings: list[Finding] = []
    return read_answer(file, findings), findings


def test_the_parts_of_an_answer_are_read_with_their_lines(tmp_path: Path) -> None:
    answer, findings = written(tmp_path, PARKING)

    assert findings == []
    assert answer.topic == "parking"
    assert answer.labels == {"en": "parking", "fr": "le stationnement"}
    assert answer.paragraphs["en"] == [
        (5, "The car park has {parking.spaces} spaces, and it is free."),
        (8, "If it's full, park at the ball field."),
    ]
    assert answer.paragraphs["fr"] == [(12, "Le stationnement est gratuit.")]


def test_a_clubs_own_ways_of_asking_are_read_with_their_lines(tmp_path: Path) -> None:
    answer, _ = written(tmp_path, PARKING)

    assert [(line, one.language, one.text, one.intent) for line, one in answer.examples] == [
        (16, "en", "can I leave the van", "parking"),
        (17, "fr", "où laisser l'auto", "parking"),
    ]


@pytest.mark.parametrize("heading", ["## Français : x", "## Francais: x", "## FRANÇAIS :  x  ", "## français:x"])
def test_the_french_heading_may_be_written_in_several_ways(tmp_path: Path, heading: str) -> None:
    answer, findings = written(tmp_path, f"## English: y\n\nYes.\n\n{heading}\n\nOui.\n")

    assert findings == []
    assert answer.labels == {"en": "y", "fr": "x"}


# What is wrong, and the line on which it stands.
@pytest.mark.parametrize(
    ("text", "line", "wrong", "mend"),
    [
        ("## English: a\n\nYes.\n", 0, "no answer in fr", "## Français"),
        ("## Français : a\n\nOui.\n", 0, "no answer in en", "## English"),
        ("## English: a\n\n## Français : a\n\nOui.\n", 0, "no answer in en", "## English"),
        ("## English\n\nYes.\n\n## Français : a\n\nOui.\n", 1, "no label", "colon"),
        ("## English: \n\nYes.\n\n## Français : a\n\nOui.\n", 1, "no label", "colon"),
        ("## English: a\n\nYes.\n\n## Français : a\n\nOui.\n\n## Deutsch: a\n\nJa.\n", 9, "Deutsch", "## English"),
        ("## English: a\n\nYes.\n\n## Français : a\n\nOui.\n\n## Ways of asking\n\n- de: wo\n", 11, "de: wo", "- en:"),
        ("## English: a\n\nYes.\n\n## Français : a\n\nOui.\n\n## Ways of asking\n\n- where\n", 11, "where", "- en:"),
    ],
)
def test_an_answer_file_that_is_not_in_form_is_told_by_its_line(
    tmp_path: Path, text: str, line: int, wrong: str, mend: str
) -> None:
    _, findings = written(tmp_path, text)

    assert [(one.severity, one.file, one.line) for one in findings] == [("error", tmp_path / "parking.md", line)]
    assert wrong in findings[0].wrong
    assert mend in findings[0].mend


def test_an_answer_in_another_encoding_is_told(tmp_path: Path) -> None:
    file = tmp_path / "parking.md"
    file.write_bytes("## Français : fête".encode("latin-1"))
    findings: list[Finding] = []
    read_answer(file, findings)

    assert [one.severity for one in findings] == ["error"]
    assert "UTF-8" in findings[0].mend


def test_there_are_48_topics() -> None:
    assert len(TOPICS) == len(set(TOPICS)) == 48


@pytest.mark.parametrize("topic", TOPICS)
def test_the_demo_club_answers_every_topic_in_both_languages(handbook: Handbook, topic: str) -> None:
    answer = handbook.knowledge.answers[topic]

    for language in LANGUAGES:
        assert 1 <= len(answer.paragraphs[language]) <= 2
        assert all(answer.paragraphs[language])
        assert "{" not in "".join(answer.paragraphs[language])
    assert answer.paragraphs["en"] != answer.paragraphs["fr"]
    assert answer.label.en
    assert answer.label.fr


def test_the_choice_labels_of_the_demo_club_can_be_told_apart(handbook: Handbook) -> None:
    labels = [answer.label for answer in handbook.knowledge.answers.values()]

    assert len({label.en for label in labels}) == len(labels)
    assert len({label.fr for label in labels}) == len(labels)


def ways(intent: str, language: Language) -> list[str]:
    return [one.text for one in shipped_examples() if one.intent == intent and one.language == language]


@pytest.mark.parametrize("language", LANGUAGES)
@pytest.mark.parametrize("topic", TOPICS)
def test_every_topic_is_understood_in_many_different_words(topic: str, language: Language) -> None:
    different = {" ".join(word for word in words_of(text) if word != "?") for text in ways(topic, language)}
    file = ROOT / "clubbot" / "handbook" / "phrasebook" / language / f"{topic}.txt"
    written = file.read_text("utf-8").splitlines()  # two may come to the same once a club's names stand in them

    assert len(different) >= LEAST_WAYS[language]
    assert len(set(written)) == len(written)


@pytest.mark.parametrize("language", LANGUAGES)
@pytest.mark.parametrize("intent", BUILT_IN)
def test_everything_else_that_a_text_can_want_has_its_ways_of_asking(intent: str, language: Language) -> None:
    assert len(ways(intent, language)) >= LEAST_WAYS[language]


def test_the_ways_of_asking_are_for_topics_and_intents_that_there_are() -> None:
    assert {one.intent for one in shipped_examples()} == {*TOPICS, *BUILT_IN}


def test_no_way_of_asking_stands_under_two_intents() -> None:
    intents: dict[str, set[str]] = {}
    for one in shipped_examples():
        intents.setdefault(" ".join(word for word in words_of(one.text) if word != "?"), set()).add(one.intent)
    twice = {text: found for text, found in intents.items() if len(found) > 1}

    assert twice == {}


def test_no_way_of_asking_gives_away_the_demo_club() -> None:
    named = [
        one.text
        for one in shipped_examples()
        if "tern harbour" in one.text.casefold() or "quay road" in one.text.casefold()
    ]

    assert named == []


DETAILS = """\
# parking

## English: parking

It is free.

### Is there a charger?

- can i charge my car
- electric cars

Two, by the gate.

### Is it lit?

- lamps at night

## Français : le stationnement

C'est gratuit.

### Une borne?

- recharger l'auto
"""


def test_details_are_read_beneath_their_language(tmp_path: Path) -> None:
    answer, findings = written(tmp_path, DETAILS)

    assert findings == []
    assert answer.paragraphs["en"] == [(5, "It is free.")]
    charger, lit = answer.points["en"]
    assert charger.asked == [(7, "Is there a charger?"), (9, "can i charge my car"), (10, "electric cars")]
    assert charger.said == [(12, "Two, by the gate.")]
    assert (lit.asked[-1], lit.said) == ((16, "lamps at night"), [])
    assert [one.asked[0][1] for one in answer.points["fr"]] == ["Une borne?"]


def test_a_detail_outside_of_a_language_is_no_heading_of_an_answer_file(tmp_path: Path) -> None:
    _, findings = written(tmp_path, "# parking\n\n### Is it lit?\n\nYes.\n\n" + PARKING.removeprefix("# parking\n"))

    assert any('"Is it lit?" is no heading' in one.wrong for one in findings)
