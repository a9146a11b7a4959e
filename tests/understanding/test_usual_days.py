"""A club plays on any day: the sentence model hears of each as of one that it knows."""

import pytest

from clubbot.handbook.language_files import shipped_language_files
from clubbot.model.messages import Language
from clubbot.understanding.usual_days import UsualDays


@pytest.fixture(scope="module")
def days() -> UsualDays:
    return UsualDays({language: one.weekdays for language, one in shipped_language_files().lexicons.items()})


@pytest.mark.parametrize(
    ("text", "language", "heard"),
    [
        ("in for friday", "en", "in for wednesday"),
        ("in for fri, not tuesday", "en", "in for wednesday, not saturday"),
        ("not wednesday, Friday", "en", "not wednesday, saturday"),
        ("in for wed", "en", "in for wed"),
        ("sun goes down when", "en", "sun goes down when"),
        ("on sera trois lundi", "fr", "on sera trois mercredi"),
        ("je vois la mer", "fr", "je vois la mer"),
    ],
)
def test_a_day_that_few_speak_of_is_heard_as_one_that_many_do(
    text: str, language: Language, heard: str, days: UsualDays
) -> None:
    assert days.told(text, language) == heard
