"""Which detail of a topic a text asks about, told by its words."""

from collections.abc import Callable

import pytest

from clubbot.handbook.book import Handbook
from clubbot.model.messages import Language
from clubbot.understanding.once import Reading
from tests.conftest import NOON

Asked = Callable[..., str | None]


@pytest.fixture
def asked(handbook: Handbook) -> Asked:
    """The heading of the detail that a text asks about."""

    def asked(text: str, topic: str, language: Language = "en", *, going_on: bool = False) -> str | None:
        reading: Reading = handbook.reader.read(text, NOON, language)
        found = reading.detail(topic, language, going_on=going_on)
        return None if found is None else handbook.knowledge.answers[topic].points[language][found.place].asked[0]

    return asked


@pytest.mark.parametrize(
    ("text", "topic", "language", "heading"),
    [
        ("would a passport be accepted for the photo card", "borrow", "en", "What counts as a photo card?"),
        ("ok and may we keep the discs overnight", "borrow", "en", "When do they have to be back?"),
        ("hello, any benches on the course?", "facilities", "en", "Is there anywhere to sit?"),
        ("it hit the chains but fell out again", "rules-basic", "en", "What if it bounces out?"),
        ("what number is the bus", "where", "en", "Which bus?"),
        ("is the path ok w a stroller", "access", "en", "Is it all right with a pushchair?"),
        ("do I need to bring cash", "pay", "en", "Do I need cash?"),
        ("may my boyfriend come too or is it girls only", "women", "en", "Can men or boys come?"),
        ("is there a minimum age", "children", "en", "Is there a lower age?"),
        ("la poussette, ça passe?", "access", "fr", "Est-ce bon avec une poussette?"),
        ("est-ce que les membres paient aussi", "cost", "fr", "Les membres paient-ils aussi?"),
        ("y a-t-il des tables à pique-nique", "facilities", "fr", "Y a-t-il où s'asseoir?"),
    ],
)
def test_a_narrow_question_finds_its_detail(
    text: str, topic: str, language: Language, heading: str, asked: Asked
) -> None:
    assert asked(text, topic, language) == heading


@pytest.mark.parametrize(
    ("text", "topic", "language"),
    [
        ("can i borrow discs", "borrow", "en"),
        ("dog ok?", "dogs", "en"),
        ("are there toilets", "facilities", "en"),
        ("how many holes", "holes", "en"),
        ("how do i join the club", "membership", "en"),
        ("where can i park", "parking", "en"),
        ("ok", "league", "en"),
        ("3", "league", "en"),
        ("c'est quand la ligue", "league", "fr"),
        ("y a-t-il des toilettes", "facilities", "fr"),
    ],
)
def test_a_question_in_general_finds_none(text: str, topic: str, language: Language, asked: Asked) -> None:
    assert asked(text, topic, language) is None


def test_after_the_general_answer_less_will_do(asked: Asked) -> None:
    text = "is there a bench near the first tee"
    assert asked(text, "facilities") is None
    assert asked(text, "facilities", going_on=True) == "Is there anywhere to sit?"


def test_a_topic_without_details_finds_none(asked: Asked) -> None:
    assert asked("is a passport ok", "land") is None


@pytest.mark.parametrize("language", ["en", "fr"])
def test_every_wording_finds_its_own_detail(handbook: Handbook, asked: Asked, language: Language) -> None:
    wrong = [
        (topic, wording, found)
        for topic, answer in handbook.knowledge.answers.items()
        for point in answer.points[language]
        for wording in point.asked[1:]
        if (found := asked(wording, topic, language, going_on=True)) != point.asked[0]
    ]
    assert wrong == []
