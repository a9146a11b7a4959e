"""The table of what one phone may do how often, line by line."""

from datetime import timedelta
from typing import get_args

import pytest

from clubbot.conversation.flood import LIMITS, LOOK_BACK, Kind, Limit, kind_of, quiet_reason, too_many
from clubbot.model.effects import AddToAlarm, HandOver, KeepName, KeepReport, Relay, Reply
from clubbot.model.known import Earlier, Known, Sender
from tests.builders import KIM

M, H = timedelta(minutes=1), timedelta(hours=1)
SECOND = timedelta(seconds=1)


def test_the_table_is_what_is_written_here() -> None:
    """Common practice, no source: figures that a person does not reach and a machine does at once."""
    assert [(one.kind, one.most, one.within, one.above, one.hears) for one in LIMITS] == [
        ("stop", 3, 10 * M, "done, not answered", "nobody"),
        ("start", 3, 5 * M, "done, not answered", "nobody"),
        ("help", 3, 5 * M, "left alone", "nobody"),
        ("danger", 5, 10 * M, "counted", "the person on duty"),
        ("detail", 2, 10 * M, "counted", "the person on duty"),
        ("hazard", 3, H, "added", "the sender"),
        ("disc", 4, H, "added", "the sender"),
        ("question", 8, H, "added", "the sender"),
        ("relay", 10, H, "told once", "the sender"),
        ("name", 4, H, "told once", "the sender"),
        ("rsvp", 20, H, "told once", "the sender"),
        ("answer", 40, 10 * M, "told once", "the sender and the organiser"),
        ("order", 30, 10 * M, "told once", "the sender and the organiser"),
        ("any", 20, 5 * M, "left alone", "the person on duty"),
        ("any", 100, H, "left alone", "the person on duty"),
        ("club's", 60, 5 * M, "left alone", "the sender and the organiser"),
        ("club's", 300, H, "left alone", "the sender and the organiser"),
    ]


def test_every_kind_of_text_has_a_line() -> None:
    """What was left alone and what is none of these counts with all texts together."""
    assert set(get_args(Kind)) - {"flood", "other"} <= {limit.kind for limit in LIMITS}


def test_enough_texts_are_looked_at_for_the_longest_line() -> None:
    assert max(limit.most for limit in LIMITS) < LOOK_BACK


def known(limit: Limit, texts: int, ago: timedelta, kind: str | None = None) -> Known:
    """So many texts of the line's kind before this one."""
    of = kind or ("other" if limit.kind in {"any", "club's"} else limit.kind)
    return Known(sender=Sender(number=KIM), earlier=tuple(Earlier(kind=of, ago=ago) for _ in range(texts)))


@pytest.mark.parametrize("limit", LIMITS, ids=lambda one: f"{one.most} {one.kind}")
def test_up_to_its_number_a_text_is_within_the_line_and_one_more_is_above(limit: Limit) -> None:
    ago = limit.within - SECOND

    assert too_many(limit.kind, known(limit, limit.most - 1, ago)) is None
    assert too_many(limit.kind, known(limit, limit.most, ago)) == limit


@pytest.mark.parametrize("limit", LIMITS, ids=lambda one: f"{one.most} {one.kind}")
def test_what_is_longer_ago_does_not_count(limit: Limit) -> None:
    assert too_many(limit.kind, known(limit, limit.most, limit.within)) not in {limit}


@pytest.mark.parametrize(
    "limit", [one for one in LIMITS if one.kind not in {"any", "club's"}], ids=lambda one: one.kind
)
def test_texts_of_another_kind_do_not_count(limit: Limit) -> None:
    assert too_many(limit.kind, known(limit, limit.most + 1, SECOND, kind="other")) is None


def test_a_phone_of_the_clubs_people_may_text_more_before_it_is_left_alone() -> None:
    busy = known(LIMITS[-1], 40, M)

    assert quiet_reason("yes, come at six", busy) == "flood"
    assert quiet_reason("yes, come at six", busy, of_the_club=True) is None


def test_a_text_counts_as_what_costs_others_most() -> None:
    lost = KeepReport(number=1, kind="lost-disc", hole=None, words="red")
    note = HandOver(reason="lost-disc", person="jonas", number="+19025550103", note="a disc")

    assert kind_of([Reply(text="noted"), KeepName(name="Kim"), lost, note]) == "disc"
    assert kind_of([Relay(number=KIM, text="hi"), KeepName(name="Kim")]) == "relay"
    assert kind_of([AddToAlarm(number=1)]) == "detail"
    assert kind_of([Reply(text="open")]) == "other"
