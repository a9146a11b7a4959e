"""Answers to event days as rows: written and changed, counted, in line, named, told; who came; what was last spoken of."""

from collections import Counter
from datetime import date, datetime, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as some
from sqlalchemy import Engine, delete

from clubbot.model.effects import KeepLanguage, KeepName
from clubbot.model.rsvps import SENDER, DayCount, DayId, Guest, Named, Offer, Rsvp, State
from clubbot.store.migrating import make_ready
from clubbot.store.rsvps import (
    keep_rsvp,
    note_told,
    read_came,
    read_count,
    read_counts,
    read_lapsed,
    read_line,
    read_mine,
    read_names,
    read_untold,
    sign_in,
    still_at,
)
from clubbot.store.store import open_engine, read
from clubbot.store.tables import attendance, event_days, rsvps
from tests.builders import KIM
from tests.conftest import NOON
from tests.fakes import numbers_in
from tests.store.builders import JONAS, LEE, PRIYA, SAM, done, the_row

LEAGUE = DayId("dusk-league", date(2027, 6, 9))
NEXT_LEAGUE = DayId("dusk-league", date(2027, 6, 16))
CLINIC = DayId("starter-clinic", date(2027, 6, 12))
LATER = NOON + timedelta(hours=2)
SECOND = timedelta(seconds=1)


def test_who_is_in_a_party_is_kept_with_it_and_shown_to_role_holders(engine: Engine) -> None:
    ella = Guest(kind="kin", label="daughter", name="Ella", akin="child")
    who = (SENDER, ella, Guest(kind="others", people=2))
    party = Rsvp(number=KIM, state="coming", people=4, who=who)
    with engine.begin() as connection:
        keep_rsvp(connection, LEAGUE, party, None, NOON)

    with engine.connect() as connection:
        assert read_mine(connection, KIM, LEAGUE.day) == {LEAGUE: party}
        (line,) = read_names(connection, LEAGUE.day)[LEAGUE]
    assert line.who == who


def a_party(
    number: str = KIM,
    state: State = "coming",
    people: int = 1,
    *,
    turn: int = 0,
    offered: int = 0,
    until: datetime = LATER,
    passed_over: int = 0,
    stand_in: str | None = None,
) -> Rsvp:
    offer = Offer(people=offered, until=until) if offered else None
    return Rsvp(
        number=number,
        state=state,
        people=people,
        turn=turn,
        offer=offer,
        passed_over=passed_over,
        stand_in=stand_in,
    )


def waiting(number: str, turn: int, people: int = 1, *, offered: int = 0, passed_over: int = 0) -> Rsvp:
    return a_party(number, "waiting", people, turn=turn, offered=offered, passed_over=passed_over)


def written(engine: Engine, *parties: Rsvp, on: DayId = LEAGUE, told: str | None = None, at: datetime = NOON) -> None:
    """Each party's answer is written, in this order."""
    with engine.begin() as connection:
        for party in parties:
            keep_rsvp(connection, on, party, told, at)


def count_of(engine: Engine, on: DayId = LEAGUE) -> DayCount:
    return read(engine, lambda connection: read_count(connection, on))


def mine(engine: Engine, number: str = KIM, since: date = LEAGUE.day) -> dict[DayId, Rsvp]:
    return read(engine, lambda connection: read_mine(connection, number, since))


def line(engine: Engine, on: DayId = LEAGUE) -> list[str]:
    return [one.rsvp.number for one in read(engine, lambda connection: read_line(connection, on))]


def here(engine: Engine, people: int = 1, *, number: str = KIM, on: DayId = LEAGUE, at: datetime = NOON) -> None:
    """So many of a party have signed in."""
    with engine.begin() as connection:
        sign_in(connection, on, number, people, at)


def names(
    engine: Engine, *, since: date = LEAGUE.day, days: list[DayId] | None = None
) -> dict[DayId, tuple[Named, ...]]:
    return read(engine, lambda connection: read_names(connection, since, days))


# Answers


@pytest.mark.parametrize(
    "party",
    [
        a_party(people=3),
        a_party(state="maybe", people=2),
        a_party(state="off", people=0),
        a_party(people=1, stand_in="Lee"),
        a_party(state="waiting", people=4, turn=7, offered=2, passed_over=1),
    ],
)
def test_an_answer_is_read_as_it_was_written(engine: Engine, party: Rsvp) -> None:
    written(engine, party)

    assert mine(engine) == {LEAGUE: party}


def test_a_change_takes_the_place_of_what_was_before(engine: Engine) -> None:
    written(engine, waiting(KIM, turn=1, people=2, offered=2), at=NOON)
    written(engine, a_party(people=3), at=LATER)

    assert mine(engine) == {LEAGUE: a_party(people=3)}
    assert (the_row(engine, rsvps)["since"], the_row(engine, rsvps)["changed_at"]) == (NOON, LATER)


def test_answers_of_other_people_and_other_days_are_left_alone(engine: Engine) -> None:
    written(engine, a_party(KIM), a_party(LEE, people=2))
    written(engine, a_party(KIM, people=3), on=NEXT_LEAGUE)
    written(engine, a_party(KIM, people=4), on=CLINIC)
    written(engine, a_party(KIM, "off", 0), on=NEXT_LEAGUE)

    assert mine(engine, KIM) == {
        LEAGUE: a_party(KIM),
        NEXT_LEAGUE: a_party(KIM, "off", 0),
        CLINIC: a_party(KIM, people=4),
    }
    assert mine(engine, LEE) == {LEAGUE: a_party(LEE, people=2)}


def test_answers_to_days_long_over_are_not_read(engine: Engine) -> None:
    written(engine, a_party(), on=LEAGUE)
    written(engine, a_party(), on=NEXT_LEAGUE)

    assert set(mine(engine, since=LEAGUE.day)) == {LEAGUE, NEXT_LEAGUE}
    assert set(mine(engine, since=LEAGUE.day + timedelta(days=1))) == {NEXT_LEAGUE}
    later = read(engine, lambda connection: read_counts(connection, LEAGUE.day + timedelta(days=1)))
    assert set(later) == {NEXT_LEAGUE}


# Counts


def test_a_day_that_nobody_has_answered_to_counts_nothing(engine: Engine) -> None:
    assert count_of(engine) == DayCount()
    assert read(engine, lambda connection: read_counts(connection, LEAGUE.day)) == {}


def test_people_are_counted_and_not_parties(engine: Engine) -> None:
    written(
        engine,
        a_party(KIM, people=3),
        a_party(LEE, "maybe", 2),
        waiting(SAM, turn=1, people=4, offered=2),
        a_party(JONAS, people=1),
        a_party(PRIYA, "off", 0),
    )

    assert count_of(engine) == DayCount(coming=4, maybe=2, waiting=4, offered=2, version=5, last_turn=1)


def test_a_change_moves_the_count(engine: Engine) -> None:
    written(engine, waiting(KIM, turn=1, people=2, offered=2), a_party(KIM, people=2))
    assert count_of(engine) == DayCount(coming=2, version=2, last_turn=1)

    written(engine, a_party(KIM, "off", 0))
    assert count_of(engine) == DayCount(version=3, last_turn=1)


def test_the_counts_of_one_day_are_not_those_of_another(engine: Engine) -> None:
    written(engine, a_party(people=2), on=LEAGUE)
    written(engine, a_party(people=3), on=CLINIC)

    assert read(engine, lambda connection: read_counts(connection, LEAGUE.day)) == {
        LEAGUE: DayCount(coming=2, version=1),
        CLINIC: DayCount(coming=3, version=1),
    }


def test_whoever_decided_on_older_counts_can_tell(engine: Engine) -> None:
    def stands(version: int) -> bool:
        return read(engine, lambda connection: still_at(connection, LEAGUE, version))

    assert stands(0)
    written(engine, a_party())
    assert (stands(0), stands(1)) == (False, True)
    here(engine)
    assert (stands(1), stands(2)) == (False, True)


_NUMBERS = [KIM, LEE, SAM, PRIYA]
_PARTIES = some.builds(
    lambda number, state, people, held: a_party(
        number,
        state,
        0 if state == "off" else people,
        turn=people if state == "waiting" else 0,
        offered=min(held, people) if state == "waiting" else 0,
    ),
    some.sampled_from(_NUMBERS),
    some.sampled_from(["coming", "waiting", "maybe", "off"]),
    some.integers(1, 9),
    some.integers(0, 9),
)


def test_in_whatever_order_answers_come_the_counts_are_the_sums() -> None:
    engine = open_engine("sqlite://")
    make_ready(engine)

    @settings(deadline=None)  # a busy machine is no fault
    @given(
        some.lists(some.one_of(_PARTIES, some.tuples(some.sampled_from(_NUMBERS), some.integers(0, 9))), max_size=30)
    )
    def sums(steps: list[Rsvp | tuple[str, int]]) -> None:
        with engine.begin() as connection:
            for table in (event_days, rsvps, attendance):
                connection.execute(delete(table))
        kept: dict[str, Rsvp] = {}
        came: dict[str, int] = {}
        for step in steps:
            if isinstance(step, Rsvp):
                written(engine, step)
                kept[step.number] = step
            else:
                here(engine, step[1], number=step[0])
                came[step[0]] = step[1]
        people: Counter[str] = Counter()
        for one in kept.values():
            people[one.state] += one.people
        expected = DayCount(
            coming=people["coming"],
            maybe=people["maybe"],
            waiting=people["waiting"],
            offered=sum(one.offer.people for one in kept.values() if one.offer),
            came=sum(came.values()),
            new_faces=sum(came.values()),
            version=len(steps),
            last_turn=max((step.turn for step in steps if isinstance(step, Rsvp)), default=0),
        )
        with engine.connect() as connection:
            assert read_count(connection, LEAGUE) == expected

    sums()
    engine.dispose()


# The line


def test_the_line_is_in_order_of_asking(engine: Engine) -> None:
    written(engine, waiting(SAM, turn=3), waiting(KIM, turn=1), waiting(LEE, turn=2))

    assert line(engine) == [KIM, LEE, SAM]


def test_only_who_waits_for_this_day_is_in_line(engine: Engine) -> None:
    written(engine, a_party(KIM), a_party(LEE, "maybe"), a_party(SAM, "off", 0), waiting(JONAS, turn=1))
    written(engine, waiting(PRIYA, turn=1), on=NEXT_LEAGUE)

    assert line(engine) == [JONAS]


def test_who_holds_an_offer_or_has_let_all_of_one_go_is_not_in_line(engine: Engine) -> None:
    written(
        engine,
        waiting(KIM, turn=1, people=2, offered=1),
        waiting(LEE, turn=2, people=2, passed_over=2),
        waiting(SAM, turn=3, people=2, passed_over=1),
    )

    assert line(engine) == [SAM]


def test_each_in_line_has_the_language_that_they_write_in(engine: Engine) -> None:
    done(engine, KeepLanguage(language="fr"), id="text-1", sender=KIM)
    done(engine, id="text-2", sender=LEE)
    written(engine, waiting(KIM, turn=1), waiting(LEE, turn=2), waiting(SAM, turn=3))
    found = read(engine, lambda connection: read_line(connection, LEAGUE))

    assert [(one.rsvp.number, one.language) for one in found] == [(KIM, "fr"), (LEE, "en"), (SAM, "en")]


def test_an_offer_lapses_the_moment_its_time_is_over(engine: Engine) -> None:
    def lapsed(now: datetime) -> list[str]:
        return [one.number for one in read(engine, lambda connection: read_lapsed(connection, LEAGUE, now))]

    written(
        engine,
        a_party(KIM, "waiting", turn=1, offered=1, until=LATER),
        a_party(LEE, "waiting", turn=2, offered=1, until=LATER + SECOND),
        waiting(SAM, turn=3),
    )
    written(engine, a_party(PRIYA, "waiting", turn=1, offered=1, until=NOON), on=NEXT_LEAGUE)

    assert lapsed(LATER - SECOND) == []
    assert lapsed(LATER) == [KIM]
    assert lapsed(LATER + SECOND) == [KIM, LEE]


# Names


def test_the_list_has_names_and_never_a_number(engine: Engine) -> None:
    done(engine, KeepName(name="Kim"), id="text-1", sender=KIM)
    written(engine, a_party(KIM, people=2, stand_in="Ana"), a_party(LEE, "maybe"))
    here(engine, 2, number=KIM)
    found = names(engine)

    assert found == {
        LEAGUE: (
            Named(name="Kim", state="coming", people=2, came=2, new_face=True, stand_in="Ana"),
            Named(name=None, state="maybe", people=1),
        )
    }
    assert numbers_in([repr(found)], [KIM, LEE]) == []


def test_who_said_no_is_not_on_the_list_unless_they_came(engine: Engine) -> None:
    for number, name in ((KIM, "Kim"), (LEE, "Lee")):
        done(engine, KeepName(name=name), id=f"name of {name}", sender=number)
        written(engine, a_party(number, "off", 0))
    assert names(engine) == {}

    here(engine, number=LEE)
    assert names(engine) == {LEAGUE: (Named(name="Lee", state="off", people=0, came=1, new_face=True),)}


def test_who_waits_is_listed_in_line_and_the_others_as_they_answered(engine: Engine) -> None:
    order = {"Kim": KIM, "Lee": LEE, "Sam": SAM, "Priya": PRIYA}
    for name, number in order.items():
        done(engine, KeepName(name=name), id=f"name of {name}", sender=number)
    written(engine, waiting(KIM, turn=2), waiting(LEE, turn=1))
    written(engine, a_party(SAM), at=LATER)
    written(engine, a_party(PRIYA), at=NOON)

    assert [one.name for one in names(engine)[LEAGUE]] == ["Priya", "Sam", "Lee", "Kim"]


def test_names_are_read_of_the_days_that_are_asked_about(engine: Engine) -> None:
    for on in (LEAGUE, CLINIC, NEXT_LEAGUE):
        written(engine, a_party(), on=on)

    assert set(names(engine)) == {LEAGUE, CLINIC, NEXT_LEAGUE}
    assert set(names(engine, since=CLINIC.day)) == {CLINIC, NEXT_LEAGUE}
    assert set(names(engine, days=[LEAGUE, NEXT_LEAGUE])) == {LEAGUE, NEXT_LEAGUE}
    assert names(engine, days=[]) == {}


# What was told


def untold(engine: Engine, now_so: str) -> list[str]:
    return [one.number for one in read(engine, lambda connection: read_untold(connection, LEAGUE, now_so, 100))]


def test_who_was_told_something_else_is_found_until_they_are_told(engine: Engine) -> None:
    written(engine, a_party(KIM), waiting(LEE, turn=1), a_party(SAM, "maybe"), told="at six")
    assert (untold(engine, "at six"), set(untold(engine, "at seven"))) == ([], {KIM, LEE, SAM})

    with engine.begin() as connection:
        note_told(connection, LEAGUE, LEE, "at seven", LATER)
    assert set(untold(engine, "at seven")) == {KIM, SAM}


def test_who_said_no_or_was_never_told_of_the_day_has_nothing_to_hear_again(engine: Engine) -> None:
    written(engine, a_party(KIM, "off", 0), told="at six")
    written(engine, a_party(LEE), told=None)
    written(engine, a_party(SAM), told="at six", on=NEXT_LEAGUE)

    assert untold(engine, "at seven") == []


def test_an_answer_that_tells_nothing_leaves_what_was_told(engine: Engine) -> None:
    written(engine, a_party(people=1), told="at six", at=NOON)
    written(engine, a_party(people=2), told=None, at=LATER)

    assert (the_row(engine, rsvps)["told"], the_row(engine, rsvps)["told_at"]) == ("at six", NOON)


def test_a_text_about_the_day_may_say_nothing_new_of_it(engine: Engine) -> None:
    written(engine, a_party(), told="at six", at=NOON)
    with engine.begin() as connection:
        note_told(connection, LEAGUE, KIM, None, LATER)

    assert (the_row(engine, rsvps)["told"], the_row(engine, rsvps)["told_at"]) == ("at six", LATER)


def test_only_so_many_are_told_at_once_and_who_answered_first_is_first(engine: Engine) -> None:
    written(engine, a_party(SAM), told="at six", at=NOON)
    written(engine, a_party(KIM), a_party(LEE), told="at six", at=LATER)
    found = read(engine, lambda connection: read_untold(connection, LEAGUE, "at seven", 2))

    assert [one.number for one in found] == [SAM, KIM]


# Who came


def test_a_party_signs_in_once_however_often_it_says_so(engine: Engine) -> None:
    here(engine, 2)
    here(engine, 2, at=LATER)
    here(engine, 3, at=LATER)

    assert (count_of(engine).came, count_of(engine).new_faces) == (3, 3)
    assert read(engine, lambda connection: read_came(connection, KIM, LEAGUE.day)) == {LEAGUE: 3}


def test_said_again_with_fewer_the_last_number_holds(engine: Engine) -> None:
    here(engine, 4)
    here(engine, 1)

    assert (count_of(engine).came, count_of(engine).new_faces) == (1, 1)


def test_new_faces_are_those_of_a_phone_that_never_signed_in_before(engine: Engine) -> None:
    here(engine, 2, number=KIM, on=LEAGUE)
    here(engine, 3, number=LEE, on=CLINIC)
    here(engine, 2, number=KIM, on=CLINIC)
    here(engine, 1, number=KIM, on=NEXT_LEAGUE)

    counts = {on: (count_of(engine, on).came, count_of(engine, on).new_faces) for on in (LEAGUE, CLINIC, NEXT_LEAGUE)}
    assert counts == {LEAGUE: (2, 2), CLINIC: (5, 3), NEXT_LEAGUE: (1, 0)}


def test_a_new_face_that_says_so_again_after_another_event_stays_one_where_it_was_new(engine: Engine) -> None:
    here(engine, 1, on=LEAGUE)
    here(engine, 1, on=CLINIC)
    here(engine, 2, on=LEAGUE)

    assert (count_of(engine, LEAGUE).new_faces, count_of(engine, CLINIC).new_faces) == (2, 0)


def test_signing_in_leaves_the_other_counts(engine: Engine) -> None:
    written(engine, a_party(KIM, people=2), a_party(LEE, "maybe"), waiting(SAM, turn=1, people=2, offered=1))
    before = count_of(engine)
    here(engine, 2)

    assert count_of(engine) == DayCount(
        coming=before.coming,
        maybe=before.maybe,
        waiting=before.waiting,
        offered=before.offered,
        came=2,
        new_faces=2,
        version=before.version + 1,
        last_turn=before.last_turn,
    )


def test_who_came_is_kept_for_each_phone(engine: Engine) -> None:
    here(engine, 2, number=KIM)
    here(engine, 1, number=KIM, on=NEXT_LEAGUE)
    here(engine, 3, number=LEE)

    assert read(engine, lambda connection: read_came(connection, KIM, LEAGUE.day)) == {LEAGUE: 2, NEXT_LEAGUE: 1}
    assert read(engine, lambda connection: read_came(connection, KIM, NEXT_LEAGUE.day)) == {NEXT_LEAGUE: 1}
