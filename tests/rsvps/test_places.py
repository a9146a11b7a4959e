"""Who gets a place, who waits, who is offered one that came free. What is fair here is the club's own policy: no outside source."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest

from clubbot.model.rsvps import DayCount, InLine, Offer, Rsvp
from clubbot.rsvps.places import (
    Change,
    Hold,
    Standing,
    after,
    decline,
    free,
    lapse,
    move_up,
    say_maybe,
    say_no,
    say_yes,
)

NOW = datetime(2027, 6, 7, 15, tzinfo=UTC)
LATER = NOW + timedelta(hours=2)
DAY, NIGHT = Hold(until=LATER), Hold(until=None)
ME = "+19025550142"


def coming(people: int, number: str = ME) -> Rsvp:
    return Rsvp(number=number, state="coming", people=people)


def waiting(people: int, turn: int = 1, number: str = "", offer: int = 0, passed_over: int = 0) -> Rsvp:
    """A party in line, named for its turn where it has no name; `offer` is how many places are held for it until two hours from now."""
    held = Offer(people=offer, until=LATER) if offer else None
    number = number or f"party {turn}"
    return Rsvp(number=number, state="waiting", people=people, turn=turn, offer=held, passed_over=passed_over)


def me_waiting(people: int, turn: int = 1, offer: int = 0, passed_over: int = 0) -> Rsvp:
    return waiting(people, turn, ME, offer, passed_over)


NOBODY = Rsvp(number=ME, state="off", people=0)


def standing(places: int | None, *others: Rsvp, mine: Rsvp = NOBODY) -> Standing:
    """How a day stands on which these have answered, and I."""
    count = DayCount()
    for one in (*others, mine):
        count = after(count, Rsvp(number=one.number, state="off", people=0), one)
    line = sorted((one for one in others if one.state == "waiting" and one.offer is None), key=lambda one: one.turn)
    return Standing(places=places, count=count, mine=mine, line=line_of(*line))


def line_of(*parties: Rsvp) -> tuple[InLine, ...]:
    return tuple(InLine(rsvp=one, language="en") for one in parties)


def yes(day: Standing, people: int | None = None, hold: Hold = DAY, now: datetime = NOW) -> Change:
    return say_yes(day, people, hold, now)


def offers_of(offers: Sequence[InLine]) -> dict[str, int]:
    """Who is offered how many, in order."""
    return {one.rsvp.number: one.rsvp.offer.people for one in offers if one.rsvp.offer is not None}


OTHERS = "somebody else"


# free


@pytest.mark.parametrize(
    ("places", "taken", "held", "left"),
    [
        (16, 0, 0, 16),
        (16, 10, 0, 6),
        (16, 10, 4, 2),
        (16, 12, 4, 0),
        (10, 16, 0, 0),
        (10, 8, 4, 0),
        (0, 0, 0, 0),
        (None, 400, 3, None),
    ],
)
def test_what_is_free_is_neither_taken_nor_held_and_never_less_than_nothing(
    places: int | None, taken: int, held: int, left: int | None
) -> None:
    assert free(places, DayCount(coming=taken, offered=held)) == left


def test_who_waits_or_is_undecided_takes_no_place() -> None:
    assert free(16, DayCount(waiting=9, maybe=9)) == 16


# a yes


@pytest.mark.parametrize("people", [1, 5, 6])
def test_a_party_for_which_there_is_room_is_coming(people: int) -> None:
    change = yes(standing(16, coming(10, OTHERS)), people)

    assert change == Change(outcome="coming", mine=coming(people))


def test_one_more_than_the_last_places_is_not_split_but_offered_the_part() -> None:
    change = yes(standing(16, coming(10, OTHERS)), 7)

    assert (change.outcome, change.mine, change.offers) == ("part offered", me_waiting(7, offer=6), ())


def test_a_party_waits_where_nothing_is_free() -> None:
    change = yes(standing(16, coming(16, OTHERS)), 1)

    assert change == Change(outcome="waiting", mine=me_waiting(1))


def test_who_comes_new_waits_at_the_end_of_the_line() -> None:
    day = standing(16, coming(16, OTHERS), waiting(2, turn=4), waiting(1, turn=7))

    assert yes(day, 2).mine == me_waiting(2, turn=8)


def test_a_turn_is_never_given_out_twice() -> None:
    """Whoever left the line had the last one."""
    day = standing(16, coming(16, OTHERS))
    day = replace(day, count=replace(day.count, last_turn=3))

    assert yes(day, 1).mine.turn == 4


def test_there_is_always_room_without_a_limit() -> None:
    assert yes(standing(None, coming(400, OTHERS)), 20).mine == coming(20)


def test_nobody_gets_in_where_the_limit_was_lowered_below_what_is_taken() -> None:
    assert yes(standing(10, coming(16, OTHERS)), 1).outcome == "waiting"


def test_places_that_are_held_for_somebody_are_not_free() -> None:
    day = standing(16, coming(12, OTHERS), waiting(4, turn=1, offer=4))

    assert yes(day, 1).mine == me_waiting(1, turn=2)


@pytest.mark.parametrize(
    ("mine", "people"), [(NOBODY, 1), (coming(3), 3), (Rsvp(number=ME, state="maybe", people=2), 2)]
)
def test_a_yes_without_a_number_is_for_as_many_as_before_else_for_one(mine: Rsvp, people: int) -> None:
    assert yes(standing(16, mine=mine)).mine == coming(people)


def test_a_maybe_that_becomes_a_yes_waits_where_nothing_is_free() -> None:
    maybe = Rsvp(number=ME, state="maybe", people=2)

    assert yes(standing(16, coming(16, OTHERS), mine=maybe)).mine == me_waiting(2)


def test_the_same_yes_twice_changes_nothing() -> None:
    day = standing(16, coming(13, OTHERS), mine=coming(3))

    assert yes(day, 3) == yes(day) == Change(outcome="coming", mine=coming(3))


def test_the_same_yes_twice_changes_nothing_either_where_others_wait_for_what_is_free() -> None:
    day = standing(16, coming(10, OTHERS), waiting(3), mine=coming(3))

    assert yes(day, 3, NIGHT) == Change(outcome="coming", mine=coming(3))


# newcomers and those who wait


@pytest.mark.parametrize(
    ("first_in_line", "outcome"),
    [
        (waiting(2), "waiting"),  # all of it would fit into the three
        (waiting(5), "waiting"),  # a part would
        (waiting(5, passed_over=2), "waiting"),  # three are more than what it let go
        (waiting(5, passed_over=3), "coming"),
        (waiting(5, passed_over=4), "coming"),
        (waiting(2, passed_over=2), "coming"),
    ],
)
def test_a_newcomer_never_overtakes_a_party_for_which_the_free_places_would_do(
    first_in_line: Rsvp, outcome: str
) -> None:
    """Three are free since the night."""
    assert yes(standing(16, coming(13, OTHERS), first_in_line), 1, NIGHT).outcome == outcome


def test_a_newcomer_does_not_overtake_the_second_in_line_either() -> None:
    day = standing(16, coming(14, OTHERS), waiting(5, turn=1, passed_over=2), waiting(2, turn=2))

    assert yes(day, 1).outcome == "waiting"


def test_by_day_those_before_a_newcomer_are_offered_what_is_free_and_what_is_left_is_the_newcomers() -> None:
    change = yes(standing(16, coming(12, OTHERS), waiting(2, turn=1)), 3)

    assert (change.outcome, change.mine) == ("part offered", me_waiting(3, turn=2, offer=2))
    assert offers_of(change.offers) == {"party 1": 2}


def test_a_party_behind_in_line_does_not_hold_up_one_that_asked_before_it() -> None:
    day = standing(16, coming(14, OTHERS), waiting(1, turn=1), waiting(1, turn=3), mine=me_waiting(5, turn=2))

    assert yes(day, 2, NIGHT).outcome == "waiting"  # for whoever has the first turn it would do
    assert yes(replace(day, line=line_of(waiting(1, turn=3))), 2, NIGHT).outcome == "coming"


def test_whoever_holds_an_offer_is_behind_nobody() -> None:
    day = standing(16, coming(12, OTHERS), waiting(1, turn=1), mine=me_waiting(2, turn=2, offer=2))

    assert yes(day, hold=NIGHT).mine == coming(2)


# growing and shrinking


def test_a_party_that_is_coming_grows_into_what_is_free() -> None:
    assert yes(standing(16, coming(10, OTHERS), mine=coming(2)), 6).mine == coming(6)


def test_a_party_that_cannot_grow_so_far_stays_as_it_was() -> None:
    day = standing(16, coming(10, OTHERS), mine=coming(2))

    assert yes(day, 7) == Change(outcome="no room for more", mine=coming(2))


def test_a_party_does_not_grow_past_those_who_wait() -> None:
    day = standing(16, coming(10, OTHERS), waiting(1), mine=coming(2))

    assert yes(day, 3, NIGHT).outcome == "no room for more"


def test_a_party_that_shrinks_gives_its_places_to_the_next_in_line() -> None:
    change = yes(standing(16, coming(10, OTHERS), waiting(3), mine=coming(6)), 2)

    assert (change.outcome, change.mine) == ("coming", coming(2))
    assert offers_of(change.offers) == {"party 1": 3}


def test_a_party_may_shrink_where_the_limit_was_lowered_and_gives_nobody_a_place_by_it() -> None:
    change = yes(standing(10, coming(10, OTHERS), waiting(1), mine=coming(6)), 2)

    assert change == Change(outcome="coming", mine=coming(2))


@pytest.mark.parametrize("people", [1, 5])
def test_a_party_that_waits_keeps_its_turn_when_its_number_changes(people: int) -> None:
    day = standing(16, coming(16, OTHERS), waiting(1, turn=2), mine=me_waiting(3, turn=1))

    assert yes(day, people) == Change(outcome="waiting", mine=me_waiting(people, turn=1))


def test_a_party_that_waits_comes_once_it_has_become_small_enough() -> None:
    change = yes(standing(16, coming(14, OTHERS), mine=me_waiting(5, passed_over=2)), 2)

    assert (change.outcome, change.mine) == ("coming", coming(2))


# a yes to an offer


@pytest.mark.parametrize(("said", "people"), [(None, 3), (3, 3), (2, 2), (1, 1)])
def test_a_yes_to_an_offer_takes_what_is_held_or_fewer(said: int | None, people: int) -> None:
    day = standing(16, coming(13, OTHERS), mine=me_waiting(5, offer=3))

    assert yes(day, said) == Change(outcome="coming", mine=coming(people))


def test_what_is_left_of_an_offer_goes_to_the_next_in_line() -> None:
    change = yes(standing(16, coming(13, OTHERS), waiting(4, turn=2), mine=me_waiting(3, offer=3)), 1)

    assert offers_of(change.offers) == {"party 2": 2}


@pytest.mark.parametrize("said", [4, 5, 6])
def test_a_yes_to_more_than_was_offered_leaves_the_offer_as_it_is(said: int) -> None:
    mine = me_waiting(5, offer=3)

    assert yes(standing(16, coming(13, OTHERS), mine=mine), said) == Change(outcome="more than offered", mine=mine)


def test_a_yes_to_more_than_was_offered_gets_it_where_so_many_are_free_by_now() -> None:
    assert yes(standing(16, coming(11, OTHERS), mine=me_waiting(5, offer=3)), 5).mine == coming(5)


def test_an_offer_that_was_made_is_kept_though_the_limit_was_lowered() -> None:
    assert yes(standing(4, coming(13, OTHERS), mine=me_waiting(3, offer=3))).mine == coming(3)


@pytest.mark.parametrize(("now", "outcome"), [(LATER - timedelta(seconds=1), "coming"), (LATER, "part offered")])
def test_an_offer_holds_until_its_time_is_over(now: datetime, outcome: str) -> None:
    day = standing(16, coming(13, OTHERS), mine=me_waiting(5, offer=3))

    assert yes(day, hold=Hold(until=LATER + timedelta(hours=2)), now=now).outcome == outcome


def test_a_late_yes_to_all_of_a_partys_places_gets_them_while_nobody_else_has() -> None:
    assert yes(standing(16, coming(13, OTHERS), mine=me_waiting(3, offer=3)), now=LATER).mine == coming(3)


def test_a_late_yes_goes_on_waiting_with_its_turn_where_the_places_are_gone() -> None:
    change = yes(standing(16, coming(16, OTHERS), mine=me_waiting(3, turn=2, passed_over=3)), now=LATER)

    assert change == Change(outcome="waiting", mine=me_waiting(3, turn=2))


# no, and perhaps


@pytest.mark.parametrize("mine", [coming(3), me_waiting(5, offer=3, passed_over=2)])
def test_a_no_leaves_nothing_behind_and_frees_the_places(mine: Rsvp) -> None:
    change = say_no(standing(16, coming(13, OTHERS), waiting(4, turn=2), mine=mine), DAY)

    assert (change.outcome, change.mine) == ("off", NOBODY)
    assert offers_of(change.offers) == {"party 2": 3}


def test_a_no_of_somebody_who_waits_frees_no_place() -> None:
    day = standing(16, coming(16, OTHERS), waiting(1, turn=2), mine=me_waiting(3))

    assert say_no(day, DAY) == Change(outcome="off", mine=NOBODY)


@pytest.mark.parametrize("mine", [coming(3), me_waiting(3, offer=3, passed_over=2)])
def test_no_place_is_kept_for_a_maybe(mine: Rsvp) -> None:
    change = say_maybe(standing(16, coming(13, OTHERS), waiting(4, turn=2), mine=mine), 3, DAY)

    assert (change.outcome, change.mine) == ("maybe", Rsvp(number=ME, state="maybe", people=3))
    assert offers_of(change.offers) == {"party 2": 3}


# no to an offer, and silence


@pytest.mark.parametrize("offer", [3, 4])
def test_a_party_that_declines_all_of_its_places_leaves_the_line(offer: int) -> None:
    change = decline(standing(16, coming(12, OTHERS), waiting(3, turn=2), mine=me_waiting(3, offer=offer)), DAY)

    assert (change.outcome, change.mine) == ("off", NOBODY)
    assert offers_of(change.offers) == {"party 2": 3}


def test_a_party_that_declines_a_part_goes_on_waiting_for_all_with_its_turn() -> None:
    change = decline(standing(16, coming(14, OTHERS), waiting(1, turn=2), mine=me_waiting(5, offer=2)), DAY)

    assert (change.outcome, change.mine) == ("kept in line", me_waiting(5, passed_over=2))
    assert offers_of(change.offers) == {"party 2": 1}


def test_a_no_without_an_offer_leaves_the_line() -> None:
    assert decline(standing(16, coming(16, OTHERS), mine=me_waiting(5)), DAY).mine == NOBODY


def test_an_offer_that_is_let_go_is_over_and_the_party_stays_in_line() -> None:
    assert lapse(waiting(5, offer=3, passed_over=1), LATER) == waiting(5, passed_over=3)


def test_a_smaller_offer_that_is_let_go_does_not_count_for_less_than_a_larger_one() -> None:
    assert lapse(waiting(5, offer=2, passed_over=4), LATER) == waiting(5, passed_over=4)


@pytest.mark.parametrize(
    ("party", "now"),
    [(waiting(5, offer=3), LATER - timedelta(seconds=1)), (waiting(5), LATER), (coming(5), LATER), (NOBODY, LATER)],
)
def test_nothing_lapses_before_its_time_or_where_nothing_was_offered(party: Rsvp, now: datetime) -> None:
    assert lapse(party, now) is None


def test_whoever_let_an_offer_go_may_say_yes_later() -> None:
    let_go = lapse(me_waiting(3, offer=3), LATER)
    assert let_go is not None

    assert yes(standing(16, coming(13, OTHERS), mine=let_go), now=LATER).mine == coming(3)


# moving up


@pytest.mark.parametrize(
    ("room", "line", "offered"),
    [
        (3, [waiting(3, 1), waiting(1, 2)], {"party 1": 3}),
        (4, [waiting(3, 1), waiting(1, 2), waiting(1, 3)], {"party 1": 3, "party 2": 1}),
        (4, [waiting(3, 1), waiting(2, 2)], {"party 1": 3, "party 2": 1}),
        (2, [waiting(3, 1), waiting(2, 2)], {"party 1": 2}),
        (9, [waiting(3, 1), waiting(2, 2)], {"party 1": 3, "party 2": 2}),
        (0, [waiting(3, 1)], {}),
        (3, [], {}),
        (None, [waiting(30, 1), waiting(20, 2)], {"party 1": 30, "party 2": 20}),
        # what was let go is not offered again, a larger part is
        (2, [waiting(3, 1, passed_over=2), waiting(2, 2)], {"party 2": 2}),
        (3, [waiting(5, 1, passed_over=2), waiting(2, 2)], {"party 1": 3}),
        (9, [waiting(3, 1, passed_over=3), waiting(2, 2)], {"party 2": 2}),
        (None, [waiting(3, 1, passed_over=3), waiting(2, 2)], {"party 2": 2}),
        # what is left once others have been served may be what was let go
        (5, [waiting(3, 1), waiting(3, 2, passed_over=2), waiting(2, 3)], {"party 1": 3, "party 3": 2}),
    ],
)
def test_free_places_are_offered_in_order_of_asking_and_never_more_than_there_are(
    room: int | None, line: list[Rsvp], offered: dict[str, int]
) -> None:
    found = move_up(room, line_of(*line), DAY)

    assert list(offers_of(found).items()) == list(offered.items())
    assert all(one.rsvp.offer is not None and one.rsvp.offer.until == LATER for one in found)


def test_an_offer_changes_nothing_else_about_a_party_and_speaks_its_language() -> None:
    party = replace(waiting(5, turn=3, passed_over=1), stand_in="Dana")
    (found,) = move_up(2, (InLine(rsvp=party, language="fr"),), DAY)

    assert found == InLine(rsvp=replace(party, offer=Offer(people=2, until=LATER)), language="fr")


def test_nothing_is_offered_at_night() -> None:
    day = standing(16, coming(10, OTHERS), waiting(1), mine=coming(6))

    assert move_up(6, line_of(waiting(1)), NIGHT) == ()
    assert say_no(day, NIGHT).offers == ()
    assert say_maybe(day, 6, NIGHT).offers == ()
    assert yes(day, 2, NIGHT).offers == ()
    assert decline(standing(16, waiting(1, turn=2), mine=me_waiting(5, offer=2)), NIGHT).offers == ()


def test_a_party_too_large_for_what_is_free_waits_at_night_and_is_offered_no_part() -> None:
    assert yes(standing(16, coming(14, OTHERS)), 5, NIGHT) == Change(outcome="waiting", mine=me_waiting(5))


def test_nobody_is_offered_what_he_has_just_given_back() -> None:
    """The list that was read may still hold the sender."""
    day = standing(16, coming(14, OTHERS), mine=me_waiting(2))
    day = replace(day, line=line_of(me_waiting(2)))

    assert say_no(day, DAY).offers == ()
    assert say_maybe(day, 2, DAY).offers == ()


# stand-in


def test_whoever_comes_in_somebodys_place_is_kept_while_there_is_a_place_or_a_turn_to_keep() -> None:
    dana = replace(coming(2), stand_in="Dana")
    dana_waits = replace(me_waiting(2, offer=2), stand_in="Dana")
    full = standing(16, coming(16, OTHERS), mine=replace(me_waiting(1), stand_in="Dana"))

    assert yes(standing(16, mine=dana), 3).mine.stand_in == "Dana"
    assert yes(standing(16, mine=dana_waits)).mine.stand_in == "Dana"
    assert yes(full, 2).mine.stand_in == "Dana"
    assert say_maybe(standing(16, mine=dana), 2, DAY).mine.stand_in == "Dana"
    let_go = lapse(dana_waits, LATER)
    assert let_go is not None
    assert let_go.stand_in == "Dana"


def test_nobody_comes_in_the_place_of_somebody_who_has_none() -> None:
    dana = replace(coming(2), stand_in="Dana")
    dana_waits = replace(me_waiting(2, offer=2), stand_in="Dana")

    assert say_no(standing(16, mine=dana), DAY).mine.stand_in is None
    assert decline(standing(16, mine=dana_waits), DAY).mine.stand_in is None


# the counts


@pytest.mark.parametrize(
    ("old", "new", "counts"),
    [
        (NOBODY, coming(3), DayCount(coming=13, maybe=10, waiting=10, offered=10)),
        (NOBODY, replace(NOBODY, state="maybe", people=2), DayCount(coming=10, maybe=12, waiting=10, offered=10)),
        (coming(3), NOBODY, DayCount(coming=7, maybe=10, waiting=10, offered=10)),
        (coming(3), coming(5), DayCount(coming=12, maybe=10, waiting=10, offered=10)),
        (coming(3), replace(coming(3), state="maybe"), DayCount(coming=7, maybe=13, waiting=10, offered=10)),
        (me_waiting(3), me_waiting(3, offer=2), DayCount(coming=10, maybe=10, waiting=10, offered=12)),
        (me_waiting(3, offer=2), coming(2), DayCount(coming=12, maybe=10, waiting=7, offered=8)),
        (me_waiting(3, offer=2), me_waiting(3, passed_over=2), DayCount(coming=10, maybe=10, waiting=10, offered=8)),
        (me_waiting(3, offer=2), NOBODY, DayCount(coming=10, maybe=10, waiting=7, offered=8)),
        (NOBODY, NOBODY, DayCount(coming=10, maybe=10, waiting=10, offered=10)),
    ],
)
def test_counts_follow_a_party_from_what_it_was_to_what_it_is(old: Rsvp, new: Rsvp, counts: DayCount) -> None:
    before = DayCount(coming=10, maybe=10, waiting=10, offered=10, came=4, new_faces=2, version=6, last_turn=9)

    assert after(before, old, new) == replace(counts, came=4, new_faces=2, version=7, last_turn=9)


@pytest.mark.parametrize(("turn", "last"), [(10, 10), (4, 9)])
def test_the_last_turn_given_out_is_remembered(turn: int, last: int) -> None:
    assert after(DayCount(last_turn=9), NOBODY, me_waiting(1, turn=turn)).last_turn == last
    assert after(DayCount(last_turn=9), me_waiting(1, turn=9), NOBODY).last_turn == 9
