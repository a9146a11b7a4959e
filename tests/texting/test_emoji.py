"""What emoji are taken to mean is our own choice; there is no outside source for it."""

import pytest

from clubbot.texting.emoji import in_words


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("can i bring my 🐶", "can i bring my dog"),
        ("👍", "yes"),
        ("👍🏽", "yes"),
        ("👍👍👍", "yes"),
        ("♿️ ok", "wheelchair ok"),
        ("open in the ❄️", "open in the snow"),
        ("🚻❓", "toilet ?"),
    ],
)
def test_an_emoji_that_stands_for_a_word_is_read_as_the_word(text: str, words: str) -> None:
    assert " ".join(in_words(text).split()) == words


@pytest.mark.parametrize("text", ["😀 great round", "see you ❤️", "🔥🔥", "plain words"])
def test_faces_and_hearts_stay_as_they_are(text: str) -> None:
    assert in_words(text) == text
