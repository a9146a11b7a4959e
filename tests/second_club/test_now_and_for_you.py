"""A club of other names, hours and fees gets the same answers for the moment and for whoever asks, from its own facts."""

from datetime import datetime, timedelta

import pytest

from clubbot.handbook.book import Handbook, open_handbook
from clubbot.handbook.learning import usual_folder
from clubbot.rehearsal import Rehearsal
from tests.second_club.test_the_same_conversations import SECOND

PLAYER = "+12085550177"


@pytest.fixture(scope="module")
def second() -> Handbook:
    return open_handbook(SECOND, usual_folder())


# 2027-06-08 is a Tuesday (any calendar); sunset is told by its place.
@pytest.mark.parametrize(
    ("texts", "hour", "said"),
    [
        (
            ["5 of us just parked, can we get 18 in before dark", "just the meadow loop then?"],
            20,
            "6 holes take 5 people about 45 minutes",
        ),
        (["5 of us just parked, can we get 18 in before dark"], 20, "Not all 18: they take 5 people about 2:45 hours"),
        (
            ["in for thursday, 3 of us", "what do I owe"],
            12,
            "for 3: US$21 (US$7 each), or US$12 if all are members (US$4 each).",
        ),
        (["in for thursday, 3 of us", "when does it finish"], 12, "it ends at 21:10."),
        (["when is the rattle", "what time should we be there"], 12, "be at the water tower from 18:30"),
        (["any room left for the lantern classic"], 12, "opens on 2 July"),
        (["can I borrow now"], 12, "Not today. The hut desk: next open Sat 12 June 9:00-16:00."),
        (["is the kiosk open"], 12, "The kiosk: next open Sat 12 June 10:30-15:30."),
        (["when does the gate close tonight"], 12, "locked at 22:00 today."),
        (["can we book the course for our picnic"], 12, "No, the course can't be booked or closed"),
    ],
)
def test_the_second_club_tells_its_own(texts: list[str], hour: int, said: str, second: Handbook) -> None:
    club, now = Rehearsal(second), datetime(2027, 6, 8, hour, tzinfo=second.knowledge.club.zone)
    replies = [club.text(PLAYER, text, now + timedelta(seconds=number)) for number, text in enumerate(texts)]

    assert any(said in one.text for one in replies[-1]), replies[-1]


def test_room_is_not_told_after_its_own_hour(second: Handbook) -> None:
    now = datetime(2027, 6, 10, 17, 40, tzinfo=second.knowledge.club.zone)
    heard = Rehearsal(second).text(PLAYER, "room for one more tonight?", now)

    assert "closed at 17:30" in heard[0].text
    assert "64" not in heard[0].text


def test_a_club_writes_details_of_its_own(second: Handbook) -> None:
    club, now = Rehearsal(second), datetime(2027, 6, 8, 12, tzinfo=second.knowledge.club.zone)
    texts = ("are the discs that you lend ok for a lefty", "may i put stickers on a borrowed disc")
    first, then = (club.text(PLAYER, text, now + timedelta(minutes=number)) for number, text in enumerate(texts))

    assert "fly the other way round" in first[0].text
    assert any("stickers" in one.text for one in then if one.recipient != PLAYER)
