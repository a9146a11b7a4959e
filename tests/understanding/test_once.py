"""A message is put into form once, whatever looks at it."""

from typing import Any, cast

import pytest

from clubbot.handbook.book import Handbook
from clubbot.rehearsal import Rehearsal
from tests.conftest import NOON

KIM = "+19025550142"


@pytest.mark.parametrize(
    "text", ["how do i get to the first tee then", "is it open and where do we park", "quit texting me now please"]
)
def test_a_message_is_put_into_form_once(text: str, handbook: Handbook) -> None:
    notice = cast(Any, handbook.reader.notice)  # it remembers the last few texts, and counts those that it did not
    notice.cache_clear()
    Rehearsal(handbook).text(KIM, text, NOON)

    assert notice.cache_info().misses == 1
    assert notice.cache_info().hits > 1
