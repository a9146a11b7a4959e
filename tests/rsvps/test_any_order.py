"""Whatever happens in whatever order, places are never given twice and the line is fair: on the pure rules, and on the whole service.

What is fair is the club's own policy (DEVELOPERS.md, clubbot/rsvps/places.py): no outside source.
"""

from collections import Counter
from collections.abc import Sequence
from dataclasses import replace
from datetime import UTC, date, datetime, time, timedelta
from functools import cache
from typing import Any

import pytest
from hypothesis import Phase, settings
from hypothesis import strategies as some
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, precondition, rule
from sqlalchemy import Row, Table, select

from clubbot.conversation.flood import LIMITS
from clubbot.events.days import EventDay, as_told, find
from clubbot.handbook.book import Handbook, open_handbook
from clubbot.handbook.learning import usual_folder
from clubbot.model.club import EventChange
from clubbot.model.effects import KeepRsvp
from clubbot.model.messages import Said
from clubbot.model.rsvps import DayCount, InLine, Rsvp, State
from clubbot.rehearsal import Heard, Rehearsal
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
# One phone answers so often in an hour and no more, which is tested in tests/conversation/test_flood.py.
PAUSE = next(limit.within / limit.most for limit in LIMITS if limit.kind == "rsvp")
PHONES = [f"+1902555014{place}" for place in range(8)]
a_phone = some.sampled_from(PHONES)
a_party = some.integers(1, 9)


def would_do(party: "Rsvp | Row[Any]", room: int) -> bool:
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
        assert (change.outcome == "coming") is self.may_come(before, people)
        self.settle(change)
        assert change.mine.people == people or change.mine == before
        if change.outcome in {"coming", "waiting", "part offered"}:
            assert (change.mine.state == "coming") is (change.outcome == "coming")
            assert (change.mine.offer is not None) is (change.outcome == "part offered")
        else:
            assert change.mine == before
            assert change.outcome in {"no room for more", "more than offered"}
        self.must_keep_what_it_had(before)

    @precondition(lambda self: self.holders)
    @rule(choice=some.data(), people=some.integers(1, 4))
    def yes_to_an_offer(self, choice: some.DataObject, people: int) -> None:
        self.yes(choice.draw(some.sampled_from(self.holders)), people)

    @rule(number=a_phone)
    def yes_without_a_number(self, number: str) -> None:
        before = self.party(number)
        offer = before.offer if before.offer is not None and self.now < before.offer.until else None
        change = say_yes(self.standing(number), None, self.hold, self.now)
        assert (change.outcome == "coming") is self.may_come(before, offer.people if offer else max(1, before.people))
        self.settle(change)
        if offer is not None:
            assert (change.outcome, change.mine.people) == ("coming", offer.people)
        else:
            assert change.mine.people == max(1, before.people)
        self.must_keep_what_it_had(before)

    @rule(number=a_phone)
    def no(self, number: str) -> None:
        self.settle(say_no(self.standing(number), self.hold))
        assert self.party(number) == Rsvp(number=number, state="off", people=0)

    @rule(number=a_phone, people=a_party)
    def perhaps(self, number: str, people: int) -> None:
        self.settle(say_maybe(self.standing(number), people, self.hold))
        assert (self.party(number).state, self.party(number).people) == ("maybe", people)

    @precondition(lambda self: self.holders)
    @rule(choice=some.data())
    def no_to_an_offer(self, choice: some.DataObject) -> None:
        number = choice.draw(some.sampled_from(self.holders))
        before = self.party(number)
        self.settle(decline(self.standing(number), self.hold))
        kept = self.party(number)
        assert before.offer is not None
        if before.offer.people < before.people:
            assert kept == replace(before, offer=None, passed_over=before.offer.people)
            self.looked = False  # where all of its places are free by now, the next look offers them
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
    def holders(self) -> list[str]:
        return sorted(one.number for one in self.parties.values() if one.offer)

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
        self.offer_on(change.offers, but=change.mine.number)

    def offer_on(self, offers: Sequence[InLine], but: str = "") -> None:
        """Each in its turn: whoever asked before one that is offered places, and is not, has let as many go."""
        assert not (self.night and offers)
        turns = [one.rsvp.turn for one in offers]
        assert turns == sorted(turns)
        chosen = {one.rsvp.number: one.rsvp for one in offers}
        room = free(self.places, self.count)
        for one in self.line() if offers else ():
            if one.rsvp.number == but:
                continue
            held = chosen.get(one.rsvp.number)
            if held is not None and held.offer is not None:
                assert held == replace(one.rsvp, offer=held.offer)
                assert held.offer.people > one.rsvp.passed_over
                assert held.offer.people == (held.people if room is None else min(room, held.people))
                room = None if room is None else room - held.offer.people
            elif room is not None:
                assert not would_do(one.rsvp, room)
        for one in offers:
            self.put(one.rsvp)

    def must_keep_what_it_had(self, before: Rsvp) -> None:
        """Whoever asks for another number keeps his places, his offer while it is open, and his turn."""
        after_it = self.party(before.number)
        if before.state == "coming":
            assert after_it.state == "coming"
        elif before.offer is not None and self.now < before.offer.until:
            assert after_it.state == "coming" or after_it == before
        elif before.state == "waiting":
            assert after_it.state == "coming" or after_it.turn == before.turn

    def may_come(self, mine: Rsvp, people: int) -> bool:
        """Whether so many have their places: as many as are theirs, or free with nobody before them for whom these would do."""
        more = people - (mine.people if mine.state == "coming" else mine.offer.people if mine.offer else 0)
        if self.places is None or more <= 0:
            return True
        room = self.places - self.count.coming - self.count.offered
        ahead = [one.rsvp for one in self.line() if mine.state != "waiting" or one.rsvp.turn < mine.turn]
        return more <= room and not any(would_do(one, room) for one in ahead)


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
    EventChange(day=DAY, starts=time(14), ends=time(15, 30)),
    EventChange(day=DAY, starts=time(9)),
    EventChange(day=DAY, moved_to=date(2027, 6, 13), meet=GATE),
    EventChange(day=DAY, moved_to=date(2027, 6, 11), starts=time(15), ends=time(16, 30)),
]


@cache
def demo_club() -> Handbook:
    """The demo club, where no crowd of new numbers is asked to confirm: that is tested in tests/conversation/test_crowds.py."""
    book = open_handbook(ROOT / "knowledge", usual_folder())
    club = replace(book.knowledge.club, many_new_sign_ups=1_000_000)
    return replace(book, knowledge=replace(book.knowledge, club=club))


def with_places(handbook: Handbook, places: int) -> Handbook:
    """The club's handbook after somebody has written another number of places for the clinic into it."""
    knowledge = handbook.knowledge
    events = tuple(replace(one, places=places) if one.id == CLINIC else one for one in knowledge.events)
    return replace(handbook, knowledge=replace(knowledge, events=events))


def kept(club: Rehearsal) -> list[tuple[State, int]]:
    """What the last text did to answers."""
    return [(one.rsvp.state, one.rsvp.people) for one in club.decided[0].effects if isinstance(one, KeepRsvp)]


@pytest.mark.parametrize("now", [NOON, NOON + timedelta(days=3, hours=11), NOON + timedelta(days=4, hours=21)])
def test_the_texts_used_here_are_read_as_they_are_meant(now: datetime) -> None:
    club = Rehearsal(demo_club())

    phones = (f"+190255502{place}" for place in range(10, 40))

    def answers(text: str) -> list[tuple[State, int]]:
        """How it is taken from somebody who has answered nothing yet; then it is taken back."""
        phone = next(phones)
        club.text(phone, text, now)
        found = kept(club)
        club.text(phone, CANCEL, now)
        assert kept(club) == [("off", 0)]
        return found

    for people in range(1, 10):
        assert answers(YES_TO_SOME[people]) == answers(MAKE_IT[people]) == [("coming", people)]
    assert answers(MAYBE) == [("maybe", 1)]
    assert answers(YES) == [("coming", 1)]
    club.engine.dispose()


Answer = tuple[State, int]


def predicted(mine: "Row[Any] | None", said: State, people: int, room: int, way_is_clear: bool) -> Answer:
    """The model: how an answer leaves the party `mine`, with so much room and perhaps nobody before it for whom that would do."""
    has = had(mine) if mine is not None else 0
    if said != "coming":
        return said, people
    if people <= has or (way_is_clear and people - has <= room):
        return "coming", people
    if mine is not None and has:
        return mine.state, mine.people  # what one has is not given up for more
    return "waiting", people


def had(one: "Row[Any]") -> int:
    """The places that are a party's."""
    people: int = one.people if one.state == "coming" else one.offered
    return people


def is_quiet(moment: datetime) -> bool:
    """From 21:00 to 8:00 at the club."""
    return not time(8) <= moment.astimezone(HALIFAX).time() < time(21)


class ServiceInAnyOrder(RuleBasedStateMachine):
    """Eight phones text about the clinic; the clock, the day and its number of places change. Everything is read from the tables."""

    def __init__(self) -> None:
        super().__init__()
        self.club, self.now = Rehearsal(demo_club()), NOON
        self.day = self.the_day()
        self.starts: dict[str, datetime] = {as_told(self.day): self.day.starts}
        self.rows: dict[str, Row[Any]] = {}
        self.texts: Sequence[Row[Any]] = ()
        self.changes: Counter[str] = Counter()
        self.planned: dict[str, str] = {}  # by phone, the day for which its reminders were planned last
        self.taken = 0

    def teardown(self) -> None:
        self.club.engine.dispose()

    # what happens

    @initialize(
        days=some.integers(0, 5),
        hour=some.sampled_from([9, 12, 16, 20]),
        parties=some.lists(some.integers(4, 9), min_size=2, max_size=4),
    )
    def some_are_in_already(self, days: int, hour: int, parties: list[int]) -> None:
        self.now = NOON.replace(day=NOON.day + days, hour=hour)
        if self.open:
            for number, people in zip(PHONES, parties, strict=False):
                self.yes_to_some(number, people, anew=True)

    @precondition(lambda self: self.open)
    @rule(number=a_phone, people=a_party, anew=some.booleans())
    def yes_to_some(self, number: str, people: int, anew: bool) -> None:
        self.let_pass(PAUSE)
        mine = self.rows.get(number)
        goes = people <= self.places or (mine is not None and people <= had(mine))
        self.text(number, (YES_TO_SOME if anew else MAKE_IT)[people], "coming", people, goes=goes)

    @precondition(lambda self: self.open)
    @rule(number=a_phone)
    def yes(self, number: str) -> None:
        self.let_pass(PAUSE)
        mine = self.rows.get(number)
        before = mine.offered or mine.people if mine is not None and mine.state in {"coming", "waiting", "maybe"} else 1
        self.text(number, YES, "coming", before)

    @precondition(lambda self: self.open)
    @rule(number=a_phone)
    def perhaps(self, number: str) -> None:
        self.let_pass(PAUSE)
        mine = self.rows.get(number)
        self.text(number, MAYBE, "maybe", max(1, mine.people) if mine is not None else 1)

    @precondition(lambda self: self.open and self.listed)
    @rule(choice=some.data())
    def cancelled(self, choice: some.DataObject) -> None:
        number = choice.draw(some.sampled_from(self.listed))
        self.let_pass(PAUSE)
        self.text(number, CANCEL, "off", 0, always=True)

    @precondition(lambda self: self.open and self.offered)
    @rule(choice=some.data(), said=some.sampled_from(["yes", "no"]))
    def answer_to_an_offer(self, choice: some.DataObject, said: str) -> None:
        number = choice.draw(some.sampled_from(self.offered))
        self.let_pass(PAUSE)
        mine = self.rows[number]
        if not mine.offered:
            return  # its time is just over
        if said == "yes":
            self.text(number, "yes", "coming", mine.offered)
        elif mine.offered < mine.people:
            self.text(number, NO, "waiting", mine.people, always=True)
        else:
            self.text(number, NO, "off", 0, always=True)

    @rule(minutes=some.sampled_from([10, 60, 125, 360, 780, 2000]))
    def time_passes(self, minutes: int) -> None:
        self.let_pass(minutes * MINUTE)

    @precondition(lambda self: self.open)
    @rule(change=some.sampled_from(CHANGES))
    def the_day_changes(self, change: EventChange) -> None:
        self.let_pass(MINUTE)
        old = self.club.handbook
        self.club.change_day(CLINIC, change)
        if self.the_day().starts <= self.now:  # nobody moves a day into the past
            self.club.handbook = old
            return
        self.day = self.the_day()
        self.starts[as_told(self.day)] = self.day.starts
        self.club.send(self.now)
        self.look()

    @rule(places=some.sampled_from([4, 9, 16, 20]))
    def the_number_of_places_changes(self, places: int) -> None:
        self.let_pass(MINUTE)
        self.club.handbook = with_places(self.club.handbook, places)
        self.club.send(self.now)
        self.look()

    # what is so after each of these

    def counts_are_the_sums_of_the_answers(self) -> None:
        if not self.rows:
            return
        (count,) = self.read(event_days)
        for state in ("coming", "waiting", "maybe"):
            assert getattr(count, state) == sum(one.people for one in self.rows.values() if one.state == state)
        assert count.offered == sum(one.offered for one in self.rows.values())

    def nobody_gets_in_beyond_the_places(self) -> None:
        taken = sum(had(one) for one in self.rows.values())
        assert taken <= max(self.places, self.taken)
        self.taken = taken

    def the_line_is_in_order(self) -> None:
        waiting = [one for one in self.rows.values() if one.state == "waiting"]
        assert len({one.turn for one in waiting}) == len(waiting)
        assert all(one.turn > 0 and one.people > 0 for one in waiting)
        assert not any(one.turn or one.offered for one in self.rows.values() if one.state != "waiting")
        assert all((one.offered_until is not None) is (one.offered > 0) for one in waiting)
        assert all(one.offered <= one.people for one in waiting)

    def nobody_waits_for_what_is_free(self) -> None:
        if not (self.quiet or self.day.called_off or self.now >= self.day.starts):
            assert not any(would_do(one, self.room) for one in self.line)

    def offers_are_told_and_end(self) -> None:
        told = {(one.recipient, one.created_at) for one in self.texts}
        for one in self.rows.values():
            if one.offered:
                assert one.offered_until > self.now
                capped = one.offered_until in self.starts.values()
                assert capped or (one.number, one.offered_until - 2 * HOUR) in told

    def only_who_comes_or_may_come_is_reminded(self) -> None:
        waiting = {(one.number, one.kind): one.due_at for one in self.read(reminders) if one.state == "waiting"}
        states = {number: one.state for number, one in self.rows.items()}
        wanted = {("coming", "evening"), ("coming", "hours"), ("maybe", "evening")}
        assert all((states[number], kind) in wanted for number, kind in waiting)
        evening = datetime.combine(self.day.starts.date() - timedelta(days=1), time(18), HALIFAX)
        hours = self.day.starts - 2 * HOUR
        for number, one in self.rows.items():
            if not one.told == self.planned[number] == as_told(self.day) or self.day.called_off:
                continue  # the night's change is told in the morning
            if one.state in {"coming", "maybe"} and self.now < evening:
                assert waiting[number, "evening"] == evening
            if one.state == "coming" and self.now < hours and hours.time() >= time(8):
                assert waiting[number, "hours"] == hours

    def everybody_in_the_list_knows_the_day_as_it_is(self) -> None:
        for one in self.rows.values():
            if one.state != "off" and self.must_have_heard(one.told, self.now):
                assert one.told == as_told(self.day)

    def texts_are_few(self) -> None:
        """Each is there once; by night nobody hears anything but replies and changes of the next morning; nothing needed a person."""
        ours = [(one.key.partition(":")[0], one.created_at) for one in self.texts if one.recipient in PHONES]
        kinds, by_night = {kind for kind, _ in ours}, {kind for kind, at in ours if is_quiet(at)}
        assert len({one.key for one in self.texts}) == len(self.texts)
        assert not any(one.key.startswith("question:") for one in self.texts)
        assert kinds <= {"reply", "change", "offer", "reminder"}
        assert by_night <= {"reply", "change"}

    # how it is made to happen, and looked at

    def let_pass(self, while_: timedelta) -> None:
        self.club.pass_time(self.now, self.now + while_)
        self.now += while_
        self.look()

    def text(
        self, number: str, words: str, said: State, people: int, *, goes: bool = True, always: bool = False
    ) -> None:
        """It is answered once, and leaves the sender's party as the model has it; `goes` where the answer can be taken at all,
        `always` where it is taken though the day is called off.
        """
        mine, line, room = self.rows.get(number), self.line, self.room
        ahead = [one for one in line if mine is None or mine.state != "waiting" or one.turn < mine.turn]
        heard = self.club.text(number, words, self.now)
        assert heard[0].recipient == number
        self.look(sender=number)
        before: Answer = (mine.state, mine.people) if mine is not None else ("off", 0)
        if goes and (always or not self.day.called_off):
            before = predicted(mine, said, people, room, not any(would_do(one, room) for one in ahead))
        after_it = self.rows.get(number)
        assert ((after_it.state, after_it.people) if after_it is not None else ("off", 0)) == before

    def look(self, sender: str | None = None) -> None:
        """Read the tables again. Whoever's record of what he was told has changed without his texting has had one text of a change."""
        old, self.rows = self.rows, {one.number: one for one in self.read(rsvps)}
        self.texts = self.read(outbox)
        told_at = {one.recipient: one.created_at for one in self.texts if one.key.startswith("change:")}
        heard = Counter(one.recipient for one in self.texts if one.key.startswith("change:"))
        for number, one in self.rows.items():
            news = number != sender and number in old and one.told != old[number].told
            assert heard[number] - self.changes[number] == int(news)
            assert not news or self.must_have_heard(old[number].told, told_at[number])
            if news or (number == sender and one != old.get(number)):
                self.planned[number] = as_told(self.day)
        for number, one in self.rows.items():
            self.must_have_come_in_turn(number, one, old, sender)
        self.changes = heard
        self.counts_are_the_sums_of_the_answers()
        self.nobody_gets_in_beyond_the_places()
        self.the_line_is_in_order()
        self.nobody_waits_for_what_is_free()
        self.offers_are_told_and_end()
        self.only_who_comes_or_may_come_is_reminded()
        self.everybody_in_the_list_knows_the_day_as_it_is()
        self.texts_are_few()

    def must_have_come_in_turn(
        self, number: str, one: "Row[Any]", old: "dict[str, Row[Any]]", sender: str | None
    ) -> None:
        """A new offer goes past nobody who has waited all along and for whom it would do."""
        if not one.offered or (number in old and old[number].offered_until == one.offered_until):
            return
        for other in self.line:
            if other.turn < one.turn and other.number != sender and other == old.get(other.number):
                assert not would_do(other, one.offered)

    def read(self, table: Table) -> "Sequence[Row[Any]]":
        with self.club.engine.connect() as connection:
            return connection.execute(select(table)).all()

    def must_have_heard(self, told: str, now: datetime) -> bool:
        """Not of a day that is over; and by night only of one that begins within two hours of the morning."""
        starts = {self.day.starts, self.starts[told]}
        if max(starts) <= now:
            return False
        morning = datetime.combine(now.astimezone(HALIFAX).date(), time(8), HALIFAX)
        if now > morning:
            morning += timedelta(days=1)
        return not is_quiet(now) or min(starts) - morning < 2 * HOUR

    def the_day(self) -> EventDay:
        found = find(self.club.handbook.knowledge.event(CLINIC), DAY, HALIFAX)
        assert found is not None
        return found

    @property
    def places(self) -> int:
        return self.club.handbook.knowledge.event(CLINIC).places or 0

    @property
    def room(self) -> int:
        return self.places - sum(had(one) for one in self.rows.values())

    @property
    def line(self) -> "list[Row[Any]]":
        return [one for one in self.rows.values() if one.state == "waiting" and not one.offered]

    @property
    def offered(self) -> list[str]:
        return sorted(number for number, one in self.rows.items() if one.offered)

    @property
    def listed(self) -> list[str]:
        return sorted(number for number, one in self.rows.items() if one.state != "off")

    @property
    def quiet(self) -> bool:
        return is_quiet(self.now)

    @property
    def open(self) -> bool:
        """Whether the day, called "12 june", is still ahead for a while."""
        return self.now + 5 * MINUTE < self.day.starts and self.now.date() <= DAY


TestServiceInAnyOrder = ServiceInAnyOrder.TestCase
# Without shrinking, which would play whole weeks again for minutes; a failure is seen at once, and shrunk by hand with Phase.shrink.
TestServiceInAnyOrder.settings = settings(
    max_examples=30, stateful_step_count=30, deadline=None, derandomize=True, phases=[Phase.generate]
)


# What came up besides, each by itself


def a_club(*parties: int, now: datetime = NOON) -> Rehearsal:
    """The clinic with parties of so many already in, from the first phone on."""
    club = Rehearsal(demo_club())
    for number, people in zip(PHONES, parties, strict=False):
        club.text(number, YES_TO_SOME[people], now)
    return club


def words_to(number: str, heard: Sequence[Heard]) -> str:
    return " ".join(one.text for one in heard if one.recipient == number)


def in_june(day: int, hour: int) -> datetime:
    return datetime(2027, 6, day, hour, tzinfo=HALIFAX)


def test_a_day_moved_to_the_next_week_and_then_called_off_is_told() -> None:
    club = a_club(2)
    club.change_day(CLINIC, EventChange(day=DAY, moved_to=date(2027, 6, 19)))
    assert "moves to Sat 19 June" in words_to(PHONES[0], club.send(NOON + HOUR))
    club.change_day(CLINIC, EventChange(day=DAY, moved_to=date(2027, 6, 19), called_off=True))

    assert "called off" in words_to(PHONES[0], club.send(in_june(15, 12)))


def test_a_day_moved_by_two_weeks_is_still_answered_to() -> None:
    club = a_club(2)
    club.change_day(CLINIC, EventChange(day=DAY, moved_to=date(2027, 6, 26)))
    club.send(NOON + HOUR)
    club.text(PHONES[0], "cancel the clinic", in_june(21, 12))

    assert kept(club) == [("off", 0)]


def test_a_party_shrinks_though_the_places_were_lowered_below_what_it_shrinks_to() -> None:
    club = a_club(9)
    club.handbook = with_places(club.handbook, 4)
    club.text(PHONES[0], MAKE_IT[6], NOON + HOUR)

    assert kept(club) == [("coming", 6)]


def test_nobody_becomes_a_maybe_once_the_day_has_begun() -> None:
    club = a_club(2)
    club.text(PHONES[0], MAYBE, in_june(12, 11))

    assert kept(club) == []


def test_a_late_no_to_a_part_waits_for_all_as_the_offer_promised() -> None:
    club = a_club(9, 4)
    heard = club.text(PHONES[2], YES_TO_SOME[5], NOON)
    assert "NO to wait for all" in words_to(PHONES[2], heard)
    club.pass_time(NOON, NOON + 3 * HOUR)
    club.text(PHONES[2], NO, NOON + 3 * HOUR)

    assert ("off", 0) not in kept(club)


@pytest.mark.parametrize("text", [MAYBE, f"{MAKE_IT[2]}. can i bring my dog?"])
def test_a_new_place_is_told_to_whoever_texts_before_the_morning(text: str) -> None:
    club = a_club(1)
    club.change_day(CLINIC, EventChange(day=DAY, meet=GATE))
    heard = [*club.text(PHONES[0], text, in_june(8, 23)), *club.pass_time(in_june(8, 23), in_june(9, 12))]

    assert GATE.en in words_to(PHONES[0], heard)


def test_a_change_of_the_night_that_is_taken_back_in_the_night_costs_nobody_a_reminder() -> None:
    """With the start at 9:00 there is none two hours before. The change was never told, so its end is not either."""
    club = a_club(2)
    club.change_day(CLINIC, EventChange(day=DAY, starts=time(9)))
    club.send(in_june(8, 22))
    club.text(PHONES[0], MAKE_IT[3], in_june(8, 23))
    club.change_day(CLINIC, EventChange(day=DAY))
    club.send(in_june(9, 0))

    assert words_to(PHONES[0], club.pass_time(in_june(12, 8), in_june(12, 9))) != ""


def test_whoever_has_just_been_told_the_hour_in_answer_is_not_reminded_of_it() -> None:
    """The reminder is due at 18:00 on Friday."""
    club = a_club(2)
    just_before = in_june(11, 17) + 50 * MINUTE
    assert "Sat 12 June 10:30" in words_to(PHONES[0], club.text(PHONES[0], MAKE_IT[3], just_before))

    assert club.pass_time(just_before, in_june(11, 19)) == []


def test_a_day_with_places_left_is_not_called_full() -> None:
    """At night no part is offered: three are left, five want to come."""
    club = a_club(9, 4)
    heard = club.text(PHONES[2], YES_TO_SOME[5], in_june(8, 23))

    assert kept(club) == [("waiting", 5)]
    assert "is full" not in words_to(PHONES[2], heard)
