"""Whatever happens in whatever order, places are never given twice and the line is fair: on the pure rules, and on the whole service.

What is fair is the club's own policy (DEVELOPERS.md, clubbot/rsvps/places.py): no outside source.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, time, timedelta
from functools import cache
from typing import Any

import pytest
from hypothesis import settings
from hypothesis import strategies as some
from hypothesis.stateful import RuleBasedStateMachine, invariant, precondition, rule
from sqlalchemy import Row, Table, select

from clubbot.events.days import EventDay, as_told, find
from clubbot.handbook.book import Handbook, open_handbook
from clubbot.handbook.learning import usual_folder
from clubbot.model.club import EventChange
from clubbot.model.effects import KeepRsvp
from clubbot.model.messages import Said
from clubbot.model.rsvps import DayCount, InLine, Rsvp, State
from clubbot.rehearsal import Rehearsal
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
from clubbot.store.tables import event_days, outbox, reminders, rsvps
from tests.conftest import HALIFAX, NOON, ROOT

MINUTE, HOUR = timedelta(minutes=1), timedelta(hours=1)
PHONES = [f"+1902555014{place}" for place in range(8)]
a_phone = some.sampled_from(PHONES)
a_party = some.integers(1, 9)


def would_do(party: Rsvp, room: int) -> bool:
    """Whether so many free places are something for a party that waits: more than it has let go already."""
    return room > 0 and min(party.people, room) > party.passed_over


# The rules alone


class PlacesInAnyOrder(RuleBasedStateMachine):
    """Parties of one day, as the service keeps them: the sender's and those offered places are put back, the counts follow each."""

    def __init__(self) -> None:
        super().__init__()
        self.now = datetime(2027, 6, 7, 15, tzinfo=UTC)
        self.night = False
        self.places: int | None = 16
        self.count = DayCount()
        self.parties: dict[str, Rsvp] = {}
        self.taken = 0
        self.looked = True  # whether all that the clock brings about has been done

    @rule(number=a_phone, people=a_party)
    def yes(self, number: str, people: int) -> None:
        before = self.party(number)
        change = say_yes(self.standing(number), people, self.hold, self.now)
        self.must_not_overtake(before, change.mine)
        self.settle(change)
        assert change.mine.people == people or change.mine == before
        if change.outcome in {"coming", "waiting", "part offered"}:
            assert (change.mine.state == "coming") is (change.outcome == "coming")
            assert (change.mine.offer is not None) is (change.outcome == "part offered")
        else:
            assert change.mine == before
            assert change.outcome in {"no room for more", "more than offered"}

    @rule(number=a_phone)
    def yes_without_a_number(self, number: str) -> None:
        before = self.party(number)
        offer = before.offer if before.offer is not None and self.now < before.offer.until else None
        change = say_yes(self.standing(number), None, self.hold, self.now)
        self.must_not_overtake(before, change.mine)
        self.settle(change)
        if offer is not None:
            assert (change.outcome, change.mine.people) == ("coming", offer.people)
        else:
            assert change.mine.people == max(1, before.people)

    @rule(number=a_phone)
    def no(self, number: str) -> None:
        self.settle(say_no(self.standing(number), self.hold))
        assert self.party(number) == Rsvp(number=number, state="off", people=0)

    @rule(number=a_phone, people=a_party)
    def perhaps(self, number: str, people: int) -> None:
        self.settle(say_maybe(self.standing(number), people, self.hold))
        assert (self.party(number).state, self.party(number).people) == ("maybe", people)

    @precondition(lambda self: any(one.offer for one in self.parties.values()))
    @rule(choice=some.data())
    def no_to_an_offer(self, choice: some.DataObject) -> None:
        number = choice.draw(some.sampled_from(sorted(one.number for one in self.parties.values() if one.offer)))
        before = self.party(number)
        self.settle(decline(self.standing(number), self.hold))
        kept = self.party(number)
        assert before.offer is not None
        if before.offer.people < before.people:
            assert kept == replace(before, offer=None, passed_over=before.offer.people)
        else:
            assert kept.state == "off"

    @rule(minutes=some.sampled_from([1, 30, 130, 400]))
    def time_passes(self, minutes: int) -> None:
        """Offers may be over before anybody has looked."""
        self.now += minutes * MINUTE
        self.looked = False

    @rule()
    def the_clock_is_looked_at(self) -> None:
        for before in list(self.parties.values()):
            party = lapse(before, self.now)
            over = before.offer is not None and before.offer.until <= self.now
            assert (party is not None) is over
            if party is not None:
                assert (party.offer, party.turn, party.people) == (None, before.turn, before.people)
                self.put(party)
        self.offer_on(move_up(free(self.places, self.count), self.line(), self.hold))
        self.looked = True

    @rule()
    def night_falls_or_day_breaks(self) -> None:
        self.night = not self.night
        self.looked = False

    @rule(places=some.sampled_from([None, 3, 9, 16, 20]))
    def the_limit_changes(self, places: int | None) -> None:
        self.places = places
        self.looked = False

    @invariant()
    def counts_are_the_sums_of_the_parties(self) -> None:
        for state in ("coming", "waiting", "maybe"):
            assert getattr(self.count, state) == sum(one.people for one in self.parties.values() if one.state == state)
        assert self.count.offered == sum(one.offer.people for one in self.parties.values() if one.offer)

    @invariant()
    def nobody_gets_in_beyond_the_limit(self) -> None:
        taken = self.count.coming + self.count.offered
        assert self.places is None or taken <= max(self.places, self.taken)
        self.taken = taken

    @invariant()
    def the_line_is_in_order(self) -> None:
        waiting = [one for one in self.parties.values() if one.state == "waiting"]
        assert len({one.turn for one in waiting}) == len(waiting)
        assert all(0 < one.turn <= self.count.last_turn for one in waiting)
        assert all(one.turn == 0 and not one.offer for one in self.parties.values() if one.state != "waiting")
        assert all(0 < one.offer.people <= one.people for one in waiting if one.offer)

    @invariant()
    def nobody_waits_for_what_is_free(self) -> None:
        if self.looked and not self.night and self.places is not None:
            room = self.places - self.count.coming - self.count.offered
            assert not any(would_do(one.rsvp, room) for one in self.line())

    @property
    def hold(self) -> Hold:
        return Hold(until=None if self.night else self.now + 2 * HOUR)

    def party(self, number: str) -> Rsvp:
        return self.parties.get(number) or Rsvp(number=number, state="off", people=0)

    def line(self) -> tuple[InLine, ...]:
        waiting = [one for one in self.parties.values() if one.state == "waiting" and one.offer is None]
        return tuple(InLine(rsvp=one, language="en") for one in sorted(waiting, key=lambda one: one.turn))

    def standing(self, number: str) -> Standing:
        return Standing(places=self.places, count=self.count, mine=self.party(number), line=self.line())

    def put(self, party: Rsvp) -> None:
        self.count = after(self.count, self.party(party.number), party)
        self.parties[party.number] = party

    def settle(self, change: Change) -> None:
        self.put(change.mine)
        assert change.mine.number not in {one.rsvp.number for one in change.offers}
        self.offer_on(change.offers)

    def offer_on(self, offers: Sequence[InLine]) -> None:
        """Each in its turn: whoever asked before one that is offered places, and is not, has let as many go."""
        assert not (self.night and offers)
        turns = [one.rsvp.turn for one in offers]
        assert turns == sorted(turns)
        chosen = {one.rsvp.number: one.rsvp for one in offers}
        room = free(self.places, self.count)
        for one in self.line() if offers else ():
            held = chosen.get(one.rsvp.number)
            if held is not None and held.offer is not None:
                assert held == replace(one.rsvp, offer=held.offer)
                assert held.offer.people == (held.people if room is None else min(room, held.people))
                room = None if room is None else room - held.offer.people
            elif room is not None:
                assert not would_do(one.rsvp, room)
        for one in offers:
            self.put(one.rsvp)

    def must_not_overtake(self, before: Rsvp, mine: Rsvp) -> None:
        """Free places are not taken past somebody who asked before and for whom they would do."""
        had = before.people if before.state == "coming" else before.offer.people if before.offer else 0
        if self.places is None or mine.state != "coming" or mine.people <= had:
            return
        room = self.places - self.count.coming - self.count.offered
        assert mine.people - had <= room
        ahead = [one.rsvp for one in self.line() if before.state != "waiting" or one.rsvp.turn < before.turn]
        assert not any(would_do(one, room) for one in ahead)


TestPlacesInAnyOrder = PlacesInAnyOrder.TestCase
TestPlacesInAnyOrder.settings = settings(max_examples=200, stateful_step_count=40, deadline=None, derandomize=True)


# The whole service


CLINIC, DAY = "starter-clinic", date(2027, 6, 12)
ON = "clinic on 12 june"
YES_TO_SOME = {1: f"put me down for the {ON}, just me"} | {
    people: f"put me down for the {ON}, {people} of us" for people in range(2, 10)
}
MAKE_IT = {people: f"make it {people} for the {ON}" for people in range(1, 10)}
YES, NO, CANCEL, MAYBE = f"put me down for the {ON}", "no", f"cancel the {ON}", f"maybe the {ON}"

MEETS = Said(en="the boathouse", fr="le hangar à bateaux")
GATE = Said(en="the gate", fr="l'entrée")
CHANGES = [
    EventChange(day=DAY),
    EventChange(day=DAY, called_off=True),
    EventChange(day=DAY, meet=GATE),
    EventChange(day=DAY, starts=time(14)),
    EventChange(day=DAY, starts=time(9)),
    EventChange(day=DAY, moved_to=date(2027, 6, 13), meet=GATE),
    EventChange(day=DAY, moved_to=date(2027, 6, 11), starts=time(15)),
]


@cache
def demo_club() -> Handbook:
    return open_handbook(ROOT / "knowledge", usual_folder())


def kept(club: Rehearsal) -> list[tuple[State, int]]:
    """What the last text did to answers."""
    return [(one.rsvp.state, one.rsvp.people) for one in club.decided[0].effects if isinstance(one, KeepRsvp)]


@pytest.mark.parametrize("now", [NOON, NOON + timedelta(days=3, hours=11), NOON + timedelta(days=4, hours=21)])
def test_the_texts_used_here_are_read_as_they_are_meant(now: datetime) -> None:
    club = Rehearsal(demo_club())

    def answers(text: str) -> list[tuple[State, int]]:
        """How it is taken from somebody who has answered nothing yet, once it is taken back."""
        club.text(PHONES[0], text, now)
        found = kept(club)
        club.text(PHONES[0], CANCEL, now)
        assert kept(club) == [("off", 0)]
        return found

    for people in range(1, 10):
        assert answers(YES_TO_SOME[people]) == answers(MAKE_IT[people]) == [("coming", people)]
    assert answers(MAYBE) == [("maybe", 1)]
    assert answers(YES) == [("coming", 1)]
    club.engine.dispose()
