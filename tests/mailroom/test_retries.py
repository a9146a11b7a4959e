"""When a text that was not taken is tried again, and when it is given up."""

from datetime import datetime, timedelta

import pytest

from clubbot.mailroom.retries import DELAYS, Again, GiveUp, after_refusal
from clubbot.model.messages import Outgoing, Refused
from tests.builders import KIM, OUR_NUMBER
from tests.conftest import NOON

SECOND, MINUTE, HOUR = timedelta(seconds=1), timedelta(minutes=1), timedelta(hours=1)


def a_text_out(*, failed: int = 0, created: datetime = NOON) -> Outgoing:
    """A text that was not taken `failed` times before."""
    return Outgoing(
        id="msg_1",
        recipient=KIM,
        sender=OUR_NUMBER,
        text="Yes, open.",
        parts=("Yes, open.",),
        attempts=failed,
        created_at=created,
    )


def after(refused: Refused, **text: datetime | int) -> Again | GiveUp:
    return after_refusal(a_text_out(**text), refused, NOON)  # type: ignore[arg-type]  # each is one or the other


# Common practice, no source: quick at first, then ever slower.
@pytest.mark.parametrize(
    ("failed_before", "delay"),
    [
        (0, 5 * SECOND),
        (1, 30 * SECOND),
        (2, 2 * MINUTE),
        (3, 5 * MINUTE),
        (4, 15 * MINUTE),
        (5, 30 * MINUTE),
        (6, 1 * HOUR),
        (7, 2 * HOUR),
        (8, 4 * HOUR),
    ],
)
def test_each_failure_is_followed_by_a_longer_wait(failed_before: int, delay: timedelta) -> None:
    assert after(Refused("the gateway answered 500"), failed=failed_before) == Again(NOON + delay, counts=True)


def test_after_the_tenth_failure_it_is_given_up_with_the_reason() -> None:
    assert after(Refused("the gateway answered 500"), failed=9) == GiveUp(
        "not taken after 10 attempts: the gateway answered 500"
    )


def test_all_attempts_together_take_a_working_day_and_no_longer() -> None:
    assert 7 * HOUR < sum(DELAYS, timedelta()) < 9 * HOUR


# RFC 9110, 10.2.3: Retry-After is a number of seconds or a date. READ. The least and the longest are ours.
@pytest.mark.parametrize(
    ("asked_for", "waited"),
    [
        (0, SECOND),
        (0.2, SECOND),
        (-5, SECOND),
        (1, SECOND),
        (120, 2 * MINUTE),
        (3600, HOUR),
        (3601, HOUR),
        (86_400, HOUR),
        (1e9, HOUR),
        (1e15, HOUR),
        (float("9" * 400), HOUR),
    ],
)
def test_a_wait_that_was_asked_for_is_kept_within_a_second_and_an_hour(asked_for: float, waited: timedelta) -> None:
    refused = Refused("the gateway answered 429", wait=asked_for, everyone=True)

    assert after(refused) == Again(NOON + waited, counts=False)


@pytest.mark.parametrize("failed", [0, 9, 50])
def test_a_wait_that_was_asked_for_is_granted_however_often_it_failed(failed: int) -> None:
    assert after(Refused("busy", wait=60), failed=failed) == Again(NOON + MINUTE, counts=False)


@pytest.mark.parametrize(
    "refused", [Refused("busy", wait=60, everyone=True), Refused("the gateway answered 500")], ids=["wait", "failure"]
)
@pytest.mark.parametrize(
    ("left", "given_up"), [(2 * MINUTE, False), (MINUTE, False), (4 * SECOND, True), (-HOUR, True)]
)
def test_nothing_is_tried_once_it_is_24_hours_old(refused: Refused, left: timedelta, given_up: bool) -> None:
    """`left` is what is missing to 24 hours now; the next attempt, in 60 or 5 seconds, must still be within them."""
    decision = after(refused, created=NOON - 24 * HOUR + left)

    assert isinstance(decision, GiveUp) == given_up
    if isinstance(decision, GiveUp):
        assert decision.reason == f"not taken within 24 hours: {refused.reason}"


@pytest.mark.parametrize(("over", "given_up"), [(timedelta(0), False), (timedelta(microseconds=1), True)])
def test_exactly_24_hours_is_still_in_time(over: timedelta, given_up: bool) -> None:
    decision = after(Refused("failed"), created=NOON + 5 * SECOND - 24 * HOUR - over)

    assert isinstance(decision, GiveUp) == given_up
