"""A message is put into form once and heard as a whole once, whatever looks at it."""

from dataclasses import replace
from datetime import datetime, timedelta
from typing import Any, cast

import pytest

from clubbot.handbook.book import Handbook
from clubbot.model.messages import Language
from clubbot.rehearsal import Rehearsal
from clubbot.texting.parts import LONGEST_TEXT
from clubbot.understanding.noticing import Noticed
from clubbot.understanding.once import NOTHING_SAID, Reading, Understood
from clubbot.understanding.reading import Reader
from tests.conftest import NOON

KIM = "+19025550142"
SOON = NOON + timedelta(minutes=1)


@pytest.mark.parametrize(
    "text", ["how do i get to the first tee then", "is it open and where do we park", "quit texting me now please"]
)
def test_a_message_is_put_into_form_once(text: str, handbook: Handbook) -> None:
    notice = cast(Any, handbook.reader.notice)  # it remembers the last few texts, and counts those that it did not
    notice.cache_clear()
    Rehearsal(handbook).text(KIM, text, NOON)

    assert notice.cache_info().misses == 1
    assert notice.cache_info().hits >= 1


def heard_by(handbook: Handbook) -> tuple[Handbook, list[str]]:
    """The same handbook, and the texts that it hears as a whole, as they are heard."""
    heard: list[str] = []
    means = cast(Any, handbook.reader)._means

    def understood(text: str, now: datetime, usual: Language, about_event: bool, marks: tuple[str, ...]) -> Understood:
        heard.append(text)
        return cast(Understood, means.understood(text, now, usual, about_event, marks))

    reader = Reader.__new__(Reader)
    reader.__dict__.update(handbook.reader.__dict__)
    reader.__dict__["_means"] = replace(means, understood=understood)
    return Handbook(handbook.knowledge, reader), heard


@pytest.mark.parametrize("second", ["in for wed, me + 2", "no that's not it", "can i bring a friend who never played"])
def test_a_message_is_heard_as_a_whole_once(second: str, handbook: Handbook) -> None:
    counting, heard = heard_by(handbook)
    club = Rehearsal(counting)
    club.text(KIM, "is the league on this week", NOON)
    club.text(KIM, second, SOON)

    assert heard.count(second) <= 1
    assert heard.count("is the league on this week") == 1


def test_what_may_be_an_answer_to_an_asker_or_a_question_of_ones_own_is_heard_once(handbook: Handbook) -> None:
    counting, heard = heard_by(handbook)
    club = Rehearsal(counting)
    on_duty = next(one.recipient for one in club.text(KIM, "i want to talk to a person", NOON) if one.recipient != KIM)
    club.text(on_duty, "is the course open", SOON)

    assert heard.count("is the course open") == 1


@pytest.mark.parametrize("text", ["STOP", "AIDE", "2", "here"])
def test_a_short_text_that_is_certain_is_not_heard_as_a_whole(text: str, handbook: Handbook) -> None:
    counting, heard = heard_by(handbook)
    club = Rehearsal(counting)
    club.text(KIM, "in for wed", NOON)
    club.text(KIM, text, SOON)

    assert text not in heard


@pytest.mark.parametrize("end", ["", "STOP", "help he broke his leg and is bleeding", "please stop texting me"])
def test_of_a_text_that_is_too_long_only_the_two_ends_are_put_into_form(end: str, handbook: Handbook) -> None:
    lengths: list[int] = []
    means = cast(Any, handbook.reader)._means

    def notice(text: str) -> Noticed:
        lengths.append(len(text))
        return cast(Noticed, means.notice(text))

    reader = Reader.__new__(Reader)
    reader.__dict__.update(handbook.reader.__dict__)
    reader.__dict__["_means"] = replace(means, notice=notice)
    Rehearsal(Handbook(handbook.knowledge, reader)).text(KIM, f"{'so then we went on ' * 500}. {end}", NOON)

    assert lengths
    assert max(lengths) <= LONGEST_TEXT


def test_other_words_are_read_without_what_was_said_before(handbook: Handbook) -> None:
    first = handbook.reader.read("no i meant wednesday", NOON, "en")

    assert first.anew("wednesday").answer == handbook.reader.read("wednesday", NOON, "en", NOTHING_SAID).answer
    assert first.both_ends is first
    assert isinstance(handbook.reader.read("and " * 500, NOON, "en").both_ends, Reading)
    assert len(handbook.reader.read("and " * 500, NOON, "en").both_ends.text) < 1000


def test_noise_of_as_many_marks_as_letters_is_read_by_its_ends_too(handbook: Handbook) -> None:
    noise = "?a! " * 150

    assert len(handbook.reader.read(noise, NOON, "en").both_ends.text) < len(noise)
