"""When a calendar entry has changed: RFC 5545, 3.8.7.4 (SEQUENCE) begins at 0 and counts up by one with each significant revision."""

from dataclasses import replace
from datetime import date, time

import pytest

from clubbot.events.entries import Entry, revised
from clubbot.model.club import EventChange, EventRule
from clubbot.model.messages import Said
from tests.events.test_days import an_event

JUNE_9, JUNE_16 = date(2027, 6, 9), date(2027, 6, 16)
OFF = EventChange(day=JUNE_9, called_off=True)
LEAGUE = an_event("FREQ=WEEKLY;BYDAY=WE")


class Kept:
    """The entries as they were last seen, and what each look at the events brought."""

    def __init__(self, *events: EventRule) -> None:
        self.known: dict[Entry, tuple[str, int]] = {}
        self.look(*events)

    def look(self, *events: EventRule) -> dict[Entry, int]:
        """What counted up, and to what."""
        found = revised(events, self.known)
        self.known |= {(one.event, one.day): (one.words, one.sequence) for one in found}
        assert len({(one.event, one.day) for one in found}) == len(found)
        return {(one.event, one.day): one.sequence for one in found}

    @property
    def sequences(self) -> dict[Entry, int]:
        return {entry: sequence for entry, (_, sequence) in self.known.items()}


def test_what_is_seen_for_the_first_time_begins_at_nought() -> None:
    women = an_event(id="women")

    assert Kept(LEAGUE, women).sequences == {("league", None): 0, ("women", None): 0}
    assert Kept().look() == {}


def test_nothing_counts_up_while_nothing_has_changed() -> None:
    kept = Kept(replace(LEAGUE, change=(OFF,)))

    assert kept.look(replace(LEAGUE, change=(OFF,))) == {}
    assert kept.look(an_event("FREQ=WEEKLY;BYDAY=WE", change=(EventChange(day=JUNE_9, called_off=True),))) == {}


def test_the_same_change_counts_once_however_often_it_is_looked_at() -> None:
    kept, later = Kept(LEAGUE), replace(LEAGUE, starts=time(19))

    assert [kept.look(later), kept.look(later), kept.look(later)] == [{("league", None): 1}, {}, {}]


@pytest.mark.parametrize(
    "changed",
    [
        replace(LEAGUE, name=Said(en="night league", fr="ligue de nuit")),
        replace(LEAGUE, repeats="FREQ=WEEKLY;BYDAY=TU"),
        replace(LEAGUE, first=date(2027, 5, 12)),
        replace(LEAGUE, last=date(2027, 9, 22)),
        replace(LEAGUE, starts=time(18)),
        replace(LEAGUE, ends=time(21)),
        replace(LEAGUE, sign_up=time(17, 45)),
        replace(LEAGUE, meet=Said(en="the gate", fr="l'entrée")),
        replace(LEAGUE, meet=replace(LEAGUE.meet, fr="le quai")),  # the French calendar alone
        replace(LEAGUE, places=40),
        replace(LEAGUE, price=5),
        replace(LEAGUE, member_price=3),
        replace(LEAGUE, rsvp_opens=date(2027, 5, 1)),
        replace(LEAGUE, rsvp_closes=time(17)),
    ],
)
def test_whatever_a_calendar_shows_of_an_event_counts_up_when_it_changes(changed: EventRule) -> None:
    assert Kept(LEAGUE).look(changed) == {("league", None): 1}


@pytest.mark.parametrize(
    "changed",
    [
        replace(LEAGUE, also_called=("league night",)),
        replace(LEAGUE, offer_minutes=30),
        replace(LEAGUE, remind_evening_before=False),
        replace(LEAGUE, check_by=date(2027, 8, 1)),
    ],
)
def test_what_no_calendar_shows_counts_nothing_up(changed: EventRule) -> None:
    assert Kept(LEAGUE).look(changed) == {}


def test_each_change_counts_one_further() -> None:
    kept = Kept(LEAGUE)
    hours = [kept.look(replace(LEAGUE, starts=time(hour)))["league", None] for hour in (17, 19, 20, 17)]

    assert hours == [1, 2, 3, 4]


def test_an_event_changed_back_is_changed_again() -> None:
    kept = Kept(LEAGUE)
    kept.look(replace(LEAGUE, starts=time(19)))

    assert kept.look(LEAGUE) == {("league", None): 2}


def test_one_event_that_changes_leaves_the_others_alone() -> None:
    women = an_event(id="women")

    assert Kept(LEAGUE, women).look(LEAGUE, replace(women, starts=time(18))) == {("women", None): 1}


def test_a_changed_day_has_an_entry_of_its_own_and_raises_the_rules() -> None:
    kept = Kept(LEAGUE)

    assert kept.look(replace(LEAGUE, change=(OFF,))) == {("league", None): 1, ("league", JUNE_9): 0}


@pytest.mark.parametrize(
    "change",
    [
        EventChange(day=JUNE_9),
        EventChange(day=JUNE_9, called_off=True, moved_to=date(2027, 6, 10)),
        EventChange(day=JUNE_9, called_off=True, starts=time(19)),
        EventChange(day=JUNE_9, called_off=True, ends=time(21)),
        EventChange(day=JUNE_9, called_off=True, meet=Said(en="the gate", fr="l'entrée")),
        EventChange(day=JUNE_9, called_off=True, reason=Said(en="thunder", fr="orage")),
    ],
)
def test_whatever_is_said_of_a_changed_day_counts_up_when_it_changes(change: EventChange) -> None:
    kept = Kept(replace(LEAGUE, change=(OFF,)))

    assert kept.look(replace(LEAGUE, change=(change,))) == {("league", None): 1, ("league", JUNE_9): 1}


def test_a_second_changed_day_leaves_the_first_as_it_is() -> None:
    kept = Kept(replace(LEAGUE, change=(OFF,)))
    both = (OFF, EventChange(day=JUNE_16, starts=time(19)))

    assert kept.look(replace(LEAGUE, change=both)) == {("league", None): 1, ("league", JUNE_16): 0}


def test_a_changed_day_changes_with_the_rule_where_it_keeps_the_rules_hour() -> None:
    """It meets elsewhere; its hour is the rule's, and its entry shows it."""
    elsewhere = (EventChange(day=JUNE_9, meet=Said(en="the gate", fr="l'entrée")),)
    kept = Kept(replace(LEAGUE, change=elsewhere))
    later = kept.look(replace(LEAGUE, starts=time(19), change=elsewhere))

    assert later == {("league", None): 1, ("league", JUNE_9): 1}


def test_a_change_that_is_taken_back_raises_the_rules_entry() -> None:
    """The day has no entry of its own any more that could say so."""
    kept = Kept(replace(LEAGUE, change=(OFF,)))

    assert kept.look(LEAGUE) == {("league", None): 1}


def test_a_change_taken_back_and_made_again_raises_the_rules_entry_each_time() -> None:
    kept, off = Kept(LEAGUE), replace(LEAGUE, change=(OFF,))
    looks = [kept.look(one)["league", None] for one in (off, LEAGUE, off)]

    assert looks == [1, 2, 3]


def test_an_event_that_is_gone_and_comes_back_as_it_was_has_not_changed() -> None:
    kept = Kept(LEAGUE)

    assert kept.look() == {}
    assert kept.look(LEAGUE) == {}
