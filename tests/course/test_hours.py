"""When a desk, a kitchen or a gate is open: by the days of the week and the months of its rows."""

from datetime import date, time

import pytest

from clubbot.course.hours import Open, next_open, on_day
from clubbot.model.club import Hours, Month, Weekday
from clubbot.model.messages import Said

NAME = Said(en="the desk", fr="le comptoir")


def a_row(
    days: tuple[Weekday, ...] = (), months: tuple[Month, Month] | None = None, closes: time = time(17), thing: str = ""
) -> Hours:
    return Hours(
        id=f"row-{closes}",
        topic="borrow",
        name=NAME,
        closes=closes,
        opens=time(10),
        days=days,
        months=months,
        thing=thing,
    )


WEEKENDS = a_row(("fri", "sat", "sun"), ("may", "oct"))


# 2027-06-08 is a Tuesday (any calendar).
@pytest.mark.parametrize(
    ("day", "opens_next"),
    [
        (date(2027, 6, 8), date(2027, 6, 11)),
        (date(2027, 6, 11), date(2027, 6, 11)),
        (date(2027, 6, 13), date(2027, 6, 13)),
        (date(2027, 6, 14), date(2027, 6, 18)),
        (date(2027, 11, 1), date(2028, 5, 5)),
    ],
)
def test_the_next_day_is_one_of_its_days_in_its_months(day: date, opens_next: date) -> None:
    assert next_open([WEEKENDS], day) == Open(opens_next, time(10), time(17))


@pytest.mark.parametrize(
    ("day", "closes"),
    [
        (date(2027, 4, 1), time(21)),
        (date(2027, 10, 31), time(21)),
        (date(2027, 11, 1), time(18)),
        (date(2027, 1, 1), time(18)),
        (date(2027, 3, 31), time(18)),
    ],
)
def test_seasons_take_turns_also_over_the_new_year(day: date, closes: time) -> None:
    rows = [a_row(months=("apr", "oct"), closes=time(21)), a_row(months=("nov", "mar"), closes=time(18))]
    found = on_day(rows, day)

    assert found is not None
    assert found.closes == closes


def test_what_is_closed_that_day_has_no_hours() -> None:
    assert on_day([WEEKENDS], date(2027, 6, 8)) is None


def test_without_days_and_months_it_is_open_every_day() -> None:
    assert on_day([a_row()], date(2027, 2, 2)) == Open(date(2027, 2, 2), time(10), time(17))
