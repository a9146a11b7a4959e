"""Every pair of an order and a state of the club: what is shown or done, and what is not."""

from datetime import timedelta

import pytest

from clubbot.handbook.book import Handbook
from tests.conftest import NOON
from tests.conversation.test_orders_and_codes import PHONES
from tests.orders.judging import texted
from tests.orders.states import a_club

MARSH, COURSE = "reopen marsh", "reopen course"
NOTHING = "nothing"
# The course: open, closed in part, wholly, on hold, on hold and closed in part, on hold and wholly closed.
COURSES = ["", "marsh closed", "course closed", "hold", "marsh closed + hold", "course closed + hold"]
# What follows each order in each of these, in the same order.
ON_THE_COURSE: dict[str, tuple[str, ...]] = {
    "thunder": ("hold",) * 6,
    "all clear": (NOTHING, NOTHING, NOTHING, COURSE, COURSE, COURSE),
    "reopen": (NOTHING, MARSH, COURSE, COURSE, COURSE, COURSE),
    "reopen marsh": (NOTHING, MARSH, COURSE, NOTHING, MARSH, COURSE),
    "reopen the course": (NOTHING, MARSH, COURSE, COURSE, COURSE, COURSE),
    "reopen marsh at 5pm": (NOTHING,) * 6,
    "close hole 3, ice": ("close 3",) * 6,
    "close the course until 5pm, wind": ("close course",) * 6,
    "close the course when it rains": (NOTHING,) * 6,
    "stop sending": (NOTHING,) * 6,
    "status": (NOTHING,) * 6,
}
BESIDE = ["", "question", "draft", "opted out"]
# The same holds with a question open, a draft open, and on a phone that wants no texts; but for what a draft changes.
PAIRS = [
    (order, f"{course} + {beside}".strip(" +"), follows)
    for order, row in ON_THE_COURSE.items()
    for course, follows in zip(COURSES, row, strict=True)
    for beside in BESIDE
]


@pytest.mark.parametrize(("order", "before", "follows"), PAIRS)
def test_on_the_course(handbook: Handbook, order: str, before: str, follows: str) -> None:
    made = a_club(handbook, before, "jonas")
    outcome = texted(made, order)
    deeds = [one.partition(" why=")[0].partition(" until=")[0] for one in outcome.deeds if one != "tell of the hold"]

    assert outcome.said, "the phone hears what became of it"
    assert outcome.changed == ()
    assert deeds == ([] if follows == NOTHING else [follows])


# Before, during and after the event, which is Wednesday 9 June, 18:15 to 20:30 or so.
BEFORE, DURING, AFTER = (timedelta(days=2, hours=hours) for hours in (5, 7, 11))
OFF, MOVED, ON = "calloff dusk-league", "move dusk-league", "undo dusk-league"
AROUND: list[tuple[str, str, timedelta, str]] = [
    ("call off league, lightning", "list", BEFORE, f"{OFF} 9"),
    ("call off league, lightning", "list", DURING, f"{OFF} 9"),
    ("call off league, lightning", "list", AFTER, f"{OFF} 16"),
    ("call off league, lightning", "off", BEFORE, NOTHING),
    ("league at 7 tonight", "list", BEFORE, f"{MOVED} 9 19:00"),
    ("league at 7 tonight", "list", DURING, NOTHING),
    ("league at 7 tonight", "list", AFTER, NOTHING),
    ("league at 7 tonight", "off", BEFORE, NOTHING),
    ("league is on after all", "list", BEFORE, NOTHING),
    ("league is on after all", "off", BEFORE, f"{ON} 9"),
    ("league is on after all", "off", DURING, NOTHING),
    ("postpone league to thursday", "list", BEFORE, f"{MOVED} 9 to 10"),
]


@pytest.mark.parametrize(("order", "before", "after", "follows"), AROUND)
def test_around_the_event(handbook: Handbook, order: str, before: str, after: timedelta, follows: str) -> None:
    made = a_club(handbook, before, "priya")
    made.club.rehearsal.pass_time(NOON, NOON + after)
    made.now = NOON + after
    outcome = texted(made, order)

    assert outcome.said
    assert outcome.changed == ()
    assert [one.partition(" why=")[0] for one in outcome.deeds] == ([] if follows == NOTHING else [follows])


@pytest.mark.parametrize("who", PHONES)
def test_whoever_may_hold_may_release(handbook: Handbook, who: str) -> None:
    made = a_club(handbook, "hold", who)

    assert texted(made, "all clear").deeds == ("reopen course",)


@pytest.mark.parametrize("order", ["all clear", "we can play again", "reopen", "on peut rejouer"])
def test_nobody_releases_within_half_an_hour_of_the_last_thunder(handbook: Handbook, order: str) -> None:
    outcome = texted(a_club(handbook, "fresh hold", "jonas"), order)

    assert outcome.deeds == ()
    assert outcome.asked_back
