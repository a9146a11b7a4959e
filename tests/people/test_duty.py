"""Who is told: by weekday and hour, between turns, over clock changes."""

from datetime import UTC, datetime, time
from zoneinfo import ZoneInfo

import pytest

from clubbot.model.club import WEEKDAYS, Club, Course, Duty, Knowledge, Person, Role, Weekday
from clubbot.people.duty import on_duty, organiser

HALIFAX = ZoneInfo("America/Halifax")


def a_person(id: str, *roles: Role) -> Person:
    return Person(id=id, name=f"{id.capitalize()} Test", number="+19025550101", roles=roles)


def a_turn(person: str, *days: Weekday, since: time = time(8), until: time = time(21)) -> Duty:
    return Duty(days=days, since=since, until=until, person=person)


def a_club(*duty: Duty, people: tuple[Person, ...] = ()) -> Knowledge:
    club = Club(
        name="A Club",
        short_name="AC",
        number="+19025550100",
        country="CA",
        time_zone="America/Halifax",
        languages=("en", "fr"),
        emergency_number="911",
    )
    return Knowledge(
        club=club,
        course=Course(latitude=44.9, longitude=-62.5, largest_group=5, loops=(), holes=(), rounds=()),
        events=(),
        people=people
        or (a_person("odile", "organiser"), a_person("jonas", "course keeper"), a_person("femi", "treasurer")),
        duty=duty,
        lists=(),
        answers={},
        wording={},
        facts={},
        examples=(),
    )


def june(day: int, hour: int, minute: int = 0, second: int = 0) -> datetime:
    """7 June 2027 is a Monday."""
    return datetime(2027, 6, day, hour, minute, second, tzinfo=HALIFAX)


ROSTER = a_club(a_turn("jonas", "mon", "fri"), a_turn("femi", "tue", since=time(12), until=time(18)))


@pytest.mark.parametrize(
    ("now", "person"),
    [
        (june(7, 12), "jonas"),
        (june(8, 12), "femi"),
        (june(11, 20, 59), "jonas"),
        (june(7, 8), "jonas"),
        (june(7, 20, 59, 59), "jonas"),
        (june(7, 12).astimezone(UTC), "jonas"),
        (datetime(2027, 6, 12, 23, 30, tzinfo=UTC).astimezone(HALIFAX), "jonas"),
        (datetime(2027, 6, 8, 2, 0, tzinfo=UTC), "femi"),  # still Monday, 23:00, in Halifax
    ],
)
def test_the_person_of_the_weekday_and_hour_is_on_duty(now: datetime, person: str) -> None:
    assert on_duty(ROSTER, now).person.id == person


@pytest.mark.parametrize(
    ("now", "resumes"),
    [
        (june(7, 7, 59), june(7, 8)),
        (june(7, 21), june(8, 12)),
        (june(8, 11, 59), june(8, 12)),
        (june(8, 18), june(11, 8)),
        (june(9, 12), june(11, 8)),
        (june(11, 21), june(14, 8)),
        (june(13, 12), june(14, 8)),
    ],
)
def test_between_turns_the_next_is_told_and_askers_hear_when_that_turn_begins(now: datetime, resumes: datetime) -> None:
    found = on_duty(ROSTER, now)

    assert (found.person.id, found.resumes) == ("femi" if resumes.weekday() == 1 else "jonas", resumes)


@pytest.mark.parametrize("now", [june(7, 8), june(7, 20, 59), june(8, 12)])
def test_during_a_turn_nothing_has_to_resume(now: datetime) -> None:
    assert on_duty(ROSTER, now).resumes is None


def test_the_only_turn_of_the_week_comes_again_a_week_later() -> None:
    once_a_week = a_club(a_turn("jonas", "mon"))

    assert on_duty(once_a_week, june(7, 21)).resumes == june(14, 8)


def test_without_a_roster_the_organiser_is_told_and_nobody_promises_when() -> None:
    found = on_duty(a_club(), june(7, 12))

    assert (found.person.id, found.resumes) == ("odile", None)


def test_of_two_turns_at_once_the_first_in_the_file_counts() -> None:
    both = a_club(a_turn("femi", "mon"), a_turn("jonas", "mon"))

    assert on_duty(both, june(7, 12)).person.id == "femi"


@pytest.mark.parametrize("day", range(7))
def test_a_turn_for_all_days_covers_each_day_of_the_week(day: int) -> None:
    always = a_club(a_turn("jonas", *WEEKDAYS))

    assert on_duty(always, june(7 + day, 12)).person.id == "jonas"


def test_the_first_organiser_is_the_organiser() -> None:
    people = (a_person("femi", "treasurer"), a_person("odile", "treasurer", "organiser"), a_person("kim", "organiser"))

    assert organiser(a_club(people=people)).id == "odile"


# Source: tzdata for America/Halifax: -04:00 until 2026-03-08 2:00, then -03:00; -04:00 again from 2026-11-01 2:00.
@pytest.mark.parametrize(
    ("now", "resumes"),
    [
        (datetime(2026, 3, 8, 5, tzinfo=UTC), datetime(2026, 3, 8, 11, tzinfo=UTC)),
        (datetime(2026, 3, 7, 5, tzinfo=UTC), datetime(2026, 3, 8, 11, tzinfo=UTC)),
        (datetime(2026, 11, 1, 3, 30, tzinfo=UTC), datetime(2026, 11, 1, 12, tzinfo=UTC)),
    ],
)
def test_a_turn_begins_at_its_local_hour_on_the_days_when_clocks_change(now: datetime, resumes: datetime) -> None:
    sundays = a_club(a_turn("jonas", "sun"))

    assert on_duty(sundays, now).resumes == resumes


@pytest.mark.parametrize(
    ("now", "begun"),
    [
        (datetime(2026, 3, 8, 10, 59, tzinfo=UTC), False),
        (datetime(2026, 3, 8, 11, 0, tzinfo=UTC), True),
        (datetime(2026, 11, 1, 11, 59, tzinfo=UTC), False),
        (datetime(2026, 11, 1, 12, 0, tzinfo=UTC), True),
    ],
)
def test_duty_follows_the_clock_on_the_wall(now: datetime, begun: bool) -> None:
    sundays = a_club(a_turn("jonas", "sun"))

    assert (on_duty(sundays, now).resumes is None) == begun
