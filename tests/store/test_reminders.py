"""Reminders as rows: one of a kind for each person and event day; planned, planned anew, dropped, told."""

from datetime import date, datetime, timedelta

import pytest
from sqlalchemy import Engine, insert
from sqlalchemy.exc import IntegrityError

from clubbot.model.effects import KeepLanguage, OptOut, PlanReminders
from clubbot.model.rsvps import DayId, Offer, Planned, ReminderKind, Rsvp, State
from clubbot.store.reminders import DueReminder, any_due, due_between, plan, read_asked, read_due, settle
from clubbot.store.rsvps import keep_rsvp, note_told
from clubbot.store.store import read
from clubbot.store.tables import reminders
from tests.builders import KIM
from tests.conftest import NOON
from tests.store.builders import LEE, SAM, done, rows, the_row

LEAGUE = DayId("dusk-league", date(2027, 6, 9))
NEXT_LEAGUE = DayId("dusk-league", date(2027, 6, 16))
HOUR = timedelta(hours=1)
SECOND = timedelta(seconds=1)
OWN: tuple[ReminderKind, ...] = ("evening", "hours")


def planned(
    engine: Engine,
    kinds: tuple[ReminderKind, ...] = OWN,
    *,
    number: str = KIM,
    on: DayId = LEAGUE,
    at: datetime = NOON,
    **due: datetime,
) -> None:
    """What is planned, by kind; what of `kinds` is not named is not wanted."""
    wanted = tuple(Planned(kind=kind, due=due[kind]) for kind in kinds if kind in due)
    with engine.begin() as connection:
        plan(connection, PlanReminders(on=on, number=number, kinds=kinds, planned=wanted), at)


def settled(engine: Engine, kind: str, reason: str | None = None, *, at: datetime = NOON) -> None:
    (id_of,) = [row["id"] for row in rows(engine, reminders) if row["kind"] == kind]
    with engine.begin() as connection:
        settle(connection, id_of, reason, at)


def answered(
    engine: Engine, state: State = "coming", people: int = 1, *, number: str = KIM, at: datetime = NOON
) -> None:
    with engine.begin() as connection:
        keep_rsvp(connection, LEAGUE, Rsvp(number=number, state=state, people=people), "at six", at)


def states(engine: Engine) -> dict[str, tuple[str, str | None]]:
    """State and reason, by kind."""
    return {row["kind"]: (row["state"], row["reason"]) for row in rows(engine, reminders)}


def due(engine: Engine, now: datetime, most: int = 100) -> list[DueReminder]:
    return list(read(engine, lambda connection: read_due(connection, now, most)))


def anything_due(engine: Engine, now: datetime) -> bool:
    return read(engine, lambda connection: any_due(connection, now))


# Planning


def test_what_is_planned_waits_for_its_time(engine: Engine) -> None:
    planned(engine, evening=NOON + HOUR, hours=NOON + 2 * HOUR)

    assert [
        (row["number"], row["event"], row["day"], row["kind"], row["due_at"], row["state"])
        for row in rows(engine, reminders)
    ] == [
        (KIM, LEAGUE.event, LEAGUE.day, "evening", NOON + HOUR, "waiting"),
        (KIM, LEAGUE.event, LEAGUE.day, "hours", NOON + 2 * HOUR, "waiting"),
    ]


def test_planned_again_there_is_still_one_of_each_kind_at_its_new_time(engine: Engine) -> None:
    planned(engine, evening=NOON + HOUR, hours=NOON + 2 * HOUR)
    planned(engine, evening=NOON + 3 * HOUR, hours=NOON + 4 * HOUR)

    assert [(row["kind"], row["due_at"], row["state"]) for row in rows(engine, reminders)] == [
        ("evening", NOON + 3 * HOUR, "waiting"),
        ("hours", NOON + 4 * HOUR, "waiting"),
    ]


def test_the_database_itself_holds_one_of_a_kind_for_each_person_and_day(engine: Engine) -> None:
    planned(engine, evening=NOON)
    row = {key: value for key, value in the_row(engine, reminders).items() if key != "id"}
    with pytest.raises(IntegrityError), engine.begin() as connection:
        connection.execute(insert(reminders).values(row))


def test_each_person_and_each_day_has_its_own(engine: Engine) -> None:
    planned(engine, number=KIM, evening=NOON)
    planned(engine, number=LEE, evening=NOON)
    planned(engine, number=KIM, on=NEXT_LEAGUE, evening=NOON)
    planned(engine, number=KIM)

    assert {(row["number"], row["day"], row["state"]) for row in rows(engine, reminders)} == {
        (KIM, LEAGUE.day, "dropped"),
        (LEE, LEAGUE.day, "waiting"),
        (KIM, NEXT_LEAGUE.day, "waiting"),
    }


def test_what_is_no_longer_planned_is_dropped_with_the_reason_kept(engine: Engine) -> None:
    planned(engine, evening=NOON + HOUR, hours=NOON + 2 * HOUR)
    planned(engine, hours=NOON + 2 * HOUR, at=NOON + SECOND)

    assert states(engine) == {"evening": ("dropped", "no longer wanted"), "hours": ("waiting", None)}
    assert [row["ended_at"] for row in rows(engine, reminders)] == [NOON + SECOND, None]


def test_kinds_that_the_plan_is_not_about_are_left_alone(engine: Engine) -> None:
    planned(engine, ("asked",), asked=NOON + HOUR)
    planned(engine, OWN, evening=NOON + HOUR, hours=NOON + HOUR)
    planned(engine, OWN)

    assert {kind: state for kind, (state, _) in states(engine).items()} == {
        "asked": "waiting",
        "evening": "dropped",
        "hours": "dropped",
    }


@pytest.mark.parametrize(("reason", "state"), [(None, "told"), ("too late", "dropped")])
def test_what_is_done_with_is_not_dropped_once_more(engine: Engine, reason: str | None, state: str) -> None:
    planned(engine, evening=NOON)
    settled(engine, "evening", reason)
    planned(engine, at=NOON + HOUR)

    assert states(engine) == {"evening": (state, reason)}


@pytest.mark.parametrize("reason", [None, "too late"])
def test_what_is_done_with_waits_again_when_it_is_planned_anew(engine: Engine, reason: str | None) -> None:
    """As when a day is moved after its first reminder."""
    planned(engine, evening=NOON)
    settled(engine, "evening", reason)
    planned(engine, evening=NOON + HOUR)
    row = the_row(engine, reminders)

    assert (row["state"], row["due_at"], row["reason"], row["ended_at"]) == ("waiting", NOON + HOUR, None, None)


# Falling due


def test_a_reminder_is_due_from_its_very_moment_on(engine: Engine) -> None:
    planned(engine, evening=NOON)
    for now, expected in ((NOON - SECOND, False), (NOON, True), (NOON + HOUR, True)):
        assert anything_due(engine, now) is expected
        assert bool(due(engine, now)) is expected


def test_what_was_told_or_dropped_is_not_due_any_more(engine: Engine) -> None:
    planned(engine, evening=NOON, hours=NOON)
    settled(engine, "evening")
    settled(engine, "hours", "begun")

    assert due(engine, NOON) == []
    assert not anything_due(engine, NOON)


def test_the_longest_due_come_first_and_only_so_many(engine: Engine) -> None:
    for number, ago in ((KIM, 1), (LEE, 3), (SAM, 2)):
        planned(engine, number=number, evening=NOON - ago * HOUR)

    assert [one.number for one in due(engine, NOON)] == [LEE, SAM, KIM]
    assert [one.number for one in due(engine, NOON, most=2)] == [LEE, SAM]


def test_what_is_due_says_how_things_stand_now(engine: Engine) -> None:
    done(engine, KeepLanguage(language="fr"), sender=KIM)
    planned(engine, evening=NOON)
    answered(engine, "maybe", 3, at=NOON - HOUR)
    (found,) = due(engine, NOON)

    assert found == DueReminder(
        id=1,
        number=KIM,
        on=LEAGUE,
        kind="evening",
        due=NOON,
        state="maybe",
        people=3,
        opted_out=False,
        language="fr",
        told_at=NOON - HOUR,
    )


def test_of_somebody_unknown_it_says_so(engine: Engine) -> None:
    planned(engine, evening=NOON)
    (found,) = due(engine, NOON)

    assert (found.state, found.people, found.opted_out, found.language, found.told_at) == (None, 0, False, "en", None)


def test_it_says_who_has_opted_out(engine: Engine) -> None:
    done(engine, OptOut(words="stop"), sender=KIM, id="text-1")
    done(engine, sender=LEE, id="text-2")
    for number in (KIM, LEE):
        planned(engine, number=number, evening=NOON)

    assert {one.number: one.opted_out for one in due(engine, NOON)} == {KIM: True, LEE: False}


def test_what_was_asked_for_is_not_spared_because_of_our_answer_but_because_of_a_reminder(engine: Engine) -> None:
    planned(engine, ("asked", "evening"), asked=NOON, evening=NOON - HOUR)
    answered(engine, at=NOON - SECOND)
    assert {one.kind: one.told_at for one in due(engine, NOON)} == {"asked": None, "evening": NOON - SECOND}

    settled(engine, "evening", at=NOON - HOUR)
    with engine.begin() as connection:
        note_told(connection, LEAGUE, KIM, None, NOON)
    (asked,) = due(engine, NOON)
    assert (asked.kind, asked.told_at) == ("asked", NOON - HOUR)


def test_a_reminder_that_was_dropped_tells_nothing(engine: Engine) -> None:
    planned(engine, ("asked", "evening"), asked=NOON, evening=NOON - HOUR)
    settled(engine, "evening", "too late", at=NOON - HOUR)

    assert [one.told_at for one in due(engine, NOON)] == [None]


# Done with


def test_a_reminder_is_told_or_dropped_for_a_reason(engine: Engine) -> None:
    planned(engine, evening=NOON, hours=NOON)
    settled(engine, "evening", at=NOON + SECOND)
    settled(engine, "hours", "begun", at=NOON + SECOND)

    assert states(engine) == {"evening": ("told", None), "hours": ("dropped", "begun")}
    assert {row["ended_at"] for row in rows(engine, reminders)} == {NOON + SECOND}


def test_what_is_done_with_stays_as_it_was_settled_first(engine: Engine) -> None:
    planned(engine, evening=NOON)
    settled(engine, "evening", at=NOON)
    settled(engine, "evening", "too late", at=NOON + HOUR)

    assert states(engine) == {"evening": ("told", None)}
    assert the_row(engine, reminders)["ended_at"] == NOON


# Looking ahead


def test_reminders_that_were_asked_for_and_still_wait_are_known(engine: Engine) -> None:
    planned(engine, ("asked", "evening"), asked=NOON + HOUR, evening=NOON)
    planned(engine, ("asked",), number=LEE, asked=NOON)
    planned(engine, ("asked",), on=NEXT_LEAGUE, asked=NOON + 2 * HOUR)

    def asked(since: date) -> dict[DayId, datetime]:
        return read(engine, lambda connection: read_asked(connection, KIM, since))

    assert asked(LEAGUE.day) == {LEAGUE: NOON + HOUR, NEXT_LEAGUE: NOON + 2 * HOUR}
    assert asked(NEXT_LEAGUE.day) == {NEXT_LEAGUE: NOON + 2 * HOUR}
    planned(engine, ("asked",), on=NEXT_LEAGUE)
    assert asked(NEXT_LEAGUE.day) == {}


def test_the_times_at_which_something_will_happen_can_be_told(engine: Engine) -> None:
    planned(engine, evening=NOON + HOUR, hours=NOON + 9 * HOUR)
    planned(engine, number=LEE, evening=NOON + 2 * HOUR)
    with engine.begin() as connection:
        held = Rsvp(number=SAM, state="waiting", people=1, turn=1, offer=Offer(people=1, until=NOON + 3 * HOUR))
        keep_rsvp(connection, LEAGUE, held, None, NOON)
    (lee,) = [row["id"] for row in rows(engine, reminders) if row["number"] == LEE]
    with engine.begin() as connection:
        settle(connection, lee, None, NOON)

    found = read(engine, lambda connection: due_between(connection, NOON, NOON + 4 * HOUR))
    assert sorted(found) == [NOON + HOUR, NOON + 3 * HOUR]
