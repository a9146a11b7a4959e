"""Which words are other people's business is our own choice; there is no outside source for it."""

import pytest

from clubbot.handbook.book import Handbook
from clubbot.understanding.elsewhere import of_another_world


@pytest.mark.parametrize(
    "text",
    [
        "Is softball cancelled?",
        "how do I get a dog licence",
        "où est le dépotoir",
        "my keys are on hole 3",
        "le foot c'est ouvert?",
    ],
)
def test_a_word_of_somebody_elses_business_is_seen(text: str, handbook: Handbook) -> None:
    assert of_another_world(handbook.reader.notice(text))


@pytest.mark.parametrize(
    "text",
    [
        "is the course open",
        "can I bring my dog",
        "who do i pay",
        "I lost a disc with my name on it",
        "jobs for helpers on saturday",
    ],
)
def test_the_clubs_own_words_are_none(text: str, handbook: Handbook) -> None:
    assert not of_another_world(handbook.reader.notice(text))
