"""Lines that begin with a colon are for the terminal: the clock, the phone, what is known of it."""

from datetime import timedelta

from clubbot.chatting import Chat
from clubbot.handbook.book import Handbook
from tests.builders import KIM
from tests.conftest import NOON


def _lines(handbook: Handbook, *typed: str) -> list[str]:
    chat = Chat(handbook, KIM, NOON)
    return [told for line in typed for told in chat.line(line)]


def test_the_clock_runs_on_and_what_is_sent_meanwhile_is_shown(handbook: Handbook) -> None:
    said = _lines(handbook, "in for wednesday", ":at 2027-06-08 19:00")
    assert any("Tomorrow" in line for line in said)
    assert any("19:00" in line for line in said)


def test_an_hour_that_is_over_is_tomorrows(handbook: Handbook) -> None:
    chat = Chat(handbook, KIM, NOON)
    list(chat.line(":at 9:00"))
    assert chat.now == NOON + timedelta(hours=21)


def test_a_day_that_is_over_and_no_time_are_said(handbook: Handbook) -> None:
    said = _lines(handbook, ":at 2020-01-01 9:00", ":at nine")
    assert "only runs on" in said[0]
    assert "no such time" in said[1]


def test_another_phone_and_what_is_known_of_it(handbook: Handbook) -> None:
    said = " ".join(
        _lines(handbook, "my name is Robin Vail", "in for wednesday", ":who", ":as +19025550103", ":who", ":as 7")
    )
    for told in ("Robin Vail", "coming, 1", "course keeper", "nothing, it has not texted yet", "no phone number"):
        assert told in said


def test_a_smiley_is_said_to_the_club(handbook: Handbook) -> None:
    assert _lines(handbook, ":help")[0].startswith(":at")
    assert not any(line.startswith(":at") for line in _lines(handbook, ":D", ":)"))
