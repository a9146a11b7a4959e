"""Slips of days and months are mended, whatever the word."""

import pytest

from clubbot.handbook.language_files import shipped_language_files
from clubbot.understanding.day_slips import DaySlips


@pytest.mark.parametrize("word", ["tomoro", "tommorow", "tomrow", "tmorrow"])
def test_a_word_that_is_itself_a_known_slip_is_mended(word: str) -> None:
    assert DaySlips(shipped_language_files().lexicons.values()).mend(word) == "tomorrow"
