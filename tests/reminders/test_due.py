"""Whether a reminder whose time has come is told or dropped, and for which reason."""

from dataclasses import replace
from datetime import datetime, timedelta
from typing import Any

import pytest

from clubbot.model.rsvps import ReminderKind, State
from clubbot.reminders.due import Circumstances, why_not
from tests.conftest import HALIFAX

DUE = datetime(2027, 6, 9, 12, tzinfo=HALIFAX)
STARTS = datetime(2027, 6, 9, 18, 15, tzinfo=HALIFAX)
SECOND = timedelta(seconds=1)
HOUR = timedelta(hours=1)

KINDS: tuple[ReminderKind, ...] = ("evening", "hours", "asked")
STATES: tuple[State | None, ...] = ("coming", "waiting", "maybe", "off", None)


def a_reminder(**different: Any) -> Circumstances:
    """One of somebody who is coming, told of the day long ago."""
    usual = Circumstances(
        kind="hours",
        due=DUE,
        starts=STARTS,
        called_off=False,
        state="coming",
        opted_out=False,
        told_at=DUE - timedelta(days=3),
    )
    return replace(usual, **different)


@pytest.mark.parametrize("kind", KINDS)
def test_somebody_who_is_coming_is_reminded(kind: ReminderKind) -> None:
    assert why_not(a_reminder(kind=kind), DUE) is None


def test_who_has_opted_out_is_not() -> None:
    assert why_not(a_reminder(opted_out=True), DUE) == "opted out"


def test_of_a_day_that_is_called_off_or_no_more_nobody_is_reminded() -> None:
    assert why_not(a_reminder(called_off=True), DUE) == "called off"
    assert why_not(a_reminder(starts=None), DUE) == "called off"


WANTED = {
    ("evening", "coming"),
    ("evening", "maybe"),
    ("hours", "coming"),
    *(("asked", state) for state in STATES if state != "off"),
}


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("state", STATES)
def test_who_wants_which(kind: ReminderKind, state: State | None) -> None:
    """A maybe wants the evening's only; what was asked for is wanted by whoever has not said no since."""
    expected = None if (kind, state) in WANTED else "not coming"

    assert why_not(a_reminder(kind=kind, state=state), DUE) == expected


def test_once_it_has_begun_it_is_too_late_for_anybody() -> None:
    begins_soon = a_reminder(starts=DUE + HOUR)

    assert why_not(begins_soon, DUE + HOUR - SECOND) is None
    assert why_not(begins_soon, DUE + HOUR) == "begun"


def test_two_hours_late_is_told_and_a_second_more_is_not() -> None:
    assert why_not(a_reminder(), DUE + 2 * HOUR) is None
    assert why_not(a_reminder(), DUE + 2 * HOUR + SECOND) == "too late"


@pytest.mark.parametrize("kind", KINDS)
def test_who_was_told_less_than_an_hour_ago_is_spared(kind: ReminderKind) -> None:
    assert why_not(a_reminder(kind=kind, told_at=DUE - HOUR), DUE) is None
    assert why_not(a_reminder(kind=kind, told_at=DUE - HOUR + SECOND), DUE) == "told already"
    assert why_not(a_reminder(kind=kind, told_at=DUE), DUE) == "told already"


def test_who_was_never_told_of_the_day_is_reminded() -> None:
    assert why_not(a_reminder(told_at=None), DUE) is None


def test_in_the_quiet_hours_nobody_is_reminded() -> None:
    assert why_not(a_reminder(quiet=True), DUE) == "quiet hours"


@pytest.mark.parametrize(
    ("different", "reason"),
    [
        ({}, "opted out"),
        ({"opted_out": False}, "called off"),
        ({"opted_out": False, "called_off": False}, "not coming"),
        ({"opted_out": False, "called_off": False, "state": "coming"}, "too late"),
        ({"opted_out": False, "called_off": False, "state": "coming", "due": DUE}, "told already"),
        ({"opted_out": False, "called_off": False, "state": "coming", "due": DUE, "told_at": None}, "quiet hours"),
    ],
)
def test_of_several_reasons_the_one_that_lasts_longest_is_kept(different: dict[str, Any], reason: str) -> None:
    all_at_once = a_reminder(
        opted_out=True, called_off=True, state="off", due=DUE - 3 * HOUR, told_at=DUE - SECOND, quiet=True
    )

    assert why_not(replace(all_at_once, **different), DUE) == reason
