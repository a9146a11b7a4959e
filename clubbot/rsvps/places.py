"""Places of one event day: who gets one, who waits, who is offered one that came free.

Places are counted in people. A party that does not fit waits, in order of asking; part of it is never split off without being
asked. Everything here is a plain function of how the day stands; what comes of it is a `Change`: the parties as they now are.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Literal

from clubbot.model.rsvps import DayCount, InLine, Offer, Rsvp
from clubbot.rsvps.guests import fitting

Outcome = Literal[
    "coming",  # the party has its places
    "waiting",  # it is on the waiting list
    "part offered",  # on the list, and some places are held for it until it says yes
    "no room for more",  # it stays as it was: there is not room for so many
    "more than offered",  # it said yes to more people than were offered; the offer stands
    "maybe",
    "off",
    "kept in line",  # it let an offer of part of its places go, and still waits
]


@dataclass(frozen=True, slots=True, kw_only=True)
class Standing:
    """How a day stands for one sender: `places` None where there is no limit; `line` are the parties that wait without an offer,
    in order of asking.
    """

    places: int | None
    count: DayCount
    mine: Rsvp
    line: Sequence[InLine] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Hold:
    """How offers are made now: held `until` then; None where none can be made, at night or after sign-up has closed."""

    until: datetime | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """The sender's party as it now is, and those that are offered places because of it."""

    outcome: Outcome
    mine: Rsvp
    offers: tuple[InLine, ...] = ()


def free(places: int | None, count: DayCount) -> int | None:
    """Places that are neither taken nor held; None where there is no limit, 0 where the limit was lowered below what is taken."""
    return None if places is None else max(0, places - count.coming - count.offered)


def say_yes(standing: Standing, people: int | None, hold: Hold, now: datetime) -> Change:
    """Coming with so many people; None where the text says no number: as many as were offered or as before, else one."""
    mine = standing.mine
    offer = _open(mine, now)
    if offer is not None and (people is None or people <= offer.people):
        return _settled("coming", _coming(mine, people or offer.people), standing, hold)
    wanted = people or max(1, mine.people)
    if offer is not None and not _fits(wanted - offer.people, standing):
        # So many were not offered. A party of three that is offered two and wants three still waits for three.
        return Change(outcome="more than offered", mine=mine)
    if mine.state == "coming" and not _fits(wanted - mine.people, standing):
        return Change(outcome="no room for more", mine=mine)
    if _fits(wanted - _held(mine), standing):
        return _settled("coming", _coming(mine, wanted), standing, hold)
    return _wait(standing, wanted, hold)


def say_no(standing: Standing, hold: Hold) -> Change:
    """Not coming, and off the waiting list."""
    off = Rsvp(number=standing.mine.number, state="off", people=0)
    return _settled("off", off, standing, hold)


def say_maybe(standing: Standing, people: int, hold: Hold) -> Change:
    """Perhaps; a place is not kept for it."""
    who = fitting(standing.mine.who, people)
    maybe = replace(standing.mine, state="maybe", people=people, turn=0, offer=None, passed_over=0, who=who)
    return _settled("maybe", maybe, standing, hold)


def decline(standing: Standing, hold: Hold) -> Change:
    """No to an offer: of all its places, the party leaves the list; of some, it goes on waiting for all."""
    offer = standing.mine.offer
    if offer is None or offer.people >= standing.mine.people:
        return say_no(standing, hold)
    kept = replace(standing.mine, offer=None, passed_over=offer.people)
    return _settled("kept in line", kept, standing, hold)


def lapse(party: Rsvp, now: datetime) -> Rsvp | None:
    """The party after its offer's time is over; None where it has none that is over. It stays in line, passed over."""
    if party.offer is None or now < party.offer.until:
        return None
    return replace(party, offer=None, passed_over=max(party.passed_over, party.offer.people))


def move_up(standing_free: int | None, line: Sequence[InLine], hold: Hold) -> tuple[InLine, ...]:
    """Those who are offered places now, in order of asking: all of a party's, or what there is. Nobody is offered again what he let go."""
    if hold.until is None:
        return ()
    offered: list[InLine] = []
    left = standing_free
    for one in line:
        if left == 0:
            break
        party = one.rsvp
        held = party.people if left is None else min(party.people, left)
        if held > party.passed_over:
            offered.append(replace(one, rsvp=replace(party, offer=Offer(people=held, until=hold.until))))
            left = None if left is None else left - held
    return tuple(offered)


def after(count: DayCount, old: Rsvp, new: Rsvp) -> DayCount:
    """The counts of a day once a party has changed from `old` to `new`."""
    before, now = _counted(old), _counted(new)
    return replace(
        count,
        coming=count.coming + now["coming"] - before["coming"],
        maybe=count.maybe + now["maybe"] - before["maybe"],
        waiting=count.waiting + now["waiting"] - before["waiting"],
        offered=count.offered + now["offered"] - before["offered"],
        last_turn=max(count.last_turn, new.turn),
        version=count.version + 1,
    )


def _counted(party: Rsvp) -> dict[str, int]:
    counted = {"coming": 0, "maybe": 0, "waiting": 0, "offered": party.offer.people if party.offer else 0}
    if party.state != "off":
        counted[party.state] = party.people
    return counted


def _open(party: Rsvp, now: datetime) -> Offer | None:
    return party.offer if party.offer is not None and now < party.offer.until else None


def _held(party: Rsvp) -> int:
    """The places that are already this party's."""
    if party.state == "coming":
        return party.people
    return party.offer.people if party.offer is not None else 0


def _fits(extra: int, standing: Standing) -> bool:
    """Whether so many more people have places, with nobody before them in line for whom these would do."""
    room = free(standing.places, standing.count)
    if room is None or extra <= 0:
        return True
    if extra > room:
        return False
    ahead = [one for one in standing.line if _before(one.rsvp, standing.mine)]
    return not any(min(one.rsvp.people, room) > one.rsvp.passed_over for one in ahead)


def _before(other: Rsvp, mine: Rsvp) -> bool:
    return other.number != mine.number and (mine.state != "waiting" or other.turn < mine.turn)


def _coming(mine: Rsvp, people: int) -> Rsvp:
    who = fitting(mine.who, people)
    return replace(mine, state="coming", people=people, turn=0, offer=None, passed_over=0, who=who)


def _wait(standing: Standing, people: int, hold: Hold) -> Change:
    """To the end of the line, or, where it waits already, with its turn kept; what is free is offered where nobody is before it."""
    mine = standing.mine
    turn = mine.turn if mine.state == "waiting" else standing.count.last_turn + 1
    who = fitting(mine.who, people)
    waiting = replace(mine, state="waiting", people=people, turn=turn, offer=None, passed_over=0, who=who)
    line = [one for one in standing.line if one.rsvp.number != mine.number]
    place = sum(one.rsvp.turn < turn for one in line)
    line.insert(place, InLine(rsvp=waiting, language="en"))
    counted = after(standing.count, mine, waiting)
    offers = move_up(free(standing.places, counted), line, hold)
    own = next((one.rsvp for one in offers if one.rsvp.number == mine.number), None)
    others = tuple(one for one in offers if one.rsvp.number != mine.number)
    if own is not None:
        return Change(outcome="part offered", mine=own, offers=others)
    return Change(outcome="waiting", mine=waiting, offers=others)


def _settled(outcome: Outcome, mine: Rsvp, standing: Standing, hold: Hold) -> Change:
    """The change with the places that it frees offered to the next in line."""
    counted = after(standing.count, standing.mine, mine)
    line = [one for one in standing.line if one.rsvp.number != mine.number]
    return Change(outcome=outcome, mine=mine, offers=move_up(free(standing.places, counted), line, hold))
