"""A club of other names, days, hours and prices, in one language, hears the demo club's conversations in its own words: what is understood
and done is the same, only the wording differs.
"""

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

from clubbot.events.days import event_days
from clubbot.handbook.book import Handbook, open_handbook
from clubbot.handbook.checking import check
from clubbot.handbook.learning import usual_folder
from clubbot.model.effects import Effect, KeepRsvp
from clubbot.rehearsal import Rehearsal

SECOND = Path(__file__).parent / "knowledge"
# The second club does everything a day later in the week: its league is on a Thursday, so its Monday noon is a Tuesday noon.
MONDAY, LATER = date(2027, 6, 7), timedelta(days=1)

# The demo club's words in the second club's.
NAMES: Mapping[str, str] = {
    "dusk league": "copper rattle",
    "league night": "rattle night",
    "league": "rattle",
    "starter clinic": "first fling",
    "clinic": "first fling",
    "beginner class": "fling class",
    "family sunday": "juniper",
    "women and girls": "moth hour",
    "women's night": "moth hour",
    "work morning": "rake social",
    "fog horn open": "lantern classic",
    "fog horn": "lantern",
    "shore loop": "meadow loop",
    "marsh loop": "quarry loop",
    "hill loop": "ridge loop",
    "marsh": "quarry",
    "hill": "ridge",
    "boathouse": "water tower",
    "monday": "tuesday",
    "tuesday": "wednesday",
    "wednesday": "thursday",
    "wed": "thu",
    "thursday": "friday",
    "thu": "fri",
    "friday": "saturday",
    "saturday": "sunday",
    "sat": "sun",
    "sunday": "monday",
    "12th": "13th",
    "16th": "17th",
    "26th": "27th",
    "callum": "saoirse",
    "priya": "dmitri",
    "femi": "wendell",
    "jonas": "marisol",
    "odile": "thessaly",
    "course news": "ground news",
    "event news": "fixture news",
}
IDS: Mapping[str, str] = {
    "dusk-league": "copper-rattle",
    "starter-clinic": "first-fling",
    "family-sunday": "juniper",
    "women-girls": "moth-hour",
    "work-morning": "rake-social",
    "fog-horn-open": "lantern-classic",
}
# Whoever texts without a role, and the club's people by what they do.
PLAYER = "a player"


@dataclass(frozen=True)
class Said:
    """One text: from whom, and how long after noon of the Monday, or before an event's start of its week."""

    text: str
    who: str = PLAYER
    before: tuple[str, int] | None = None


def before(event: str, minutes: int, text: str, who: str = PLAYER) -> Said:
    return Said(text, who, (event, minutes))


def by(role: str, text: str) -> Said:
    return Said(text, role)


CONVERSATIONS: Mapping[str, tuple[Said, ...]] = {
    "one alone": (Said("in for dusk league"), Said("am i down for wednesday?"), Said("can't make it, sorry")),
    "a number for an event": (Said("2 for league"), Said("make that 4"), Said("one less"), Said("who's coming")),
    "a number and an event, longer": (Said("3 for the starter clinic please"), Said("actually just me")),
    "a name like a first name": (Said("2 for family sunday"), Said("family sunday is off for us, sorry")),
    "me and mine": (Said("me and my two kids for family sunday"), Said("my daughter's sick so make it 2")),
    "with friends": (Said("count me in for dusk league with 2 friends"), Said("cancel league")),
    "an event and parking": (Said("count me in for league, and where do i park"),),
    "by the day": (Said("in for wed, me + 2"), Said("skip wednesday")),
    "another day": (Said("in for thursday"), Said("cancel thursday"), Said("in for saturday")),
    "two events": (Said("in for league and the clinic"), Said("what am i signed up for")),
    "one not the other": (Said("in for league not clinic"), Said("can't do league")),
    "women and girls": (Said("put me and my sister down for women's night"), Said("make it 3 for women's night")),
    "the cleanup": (Said("ill help at the work morning"), Said("remind me of the work morning the day before")),
    "the tournament": (Said("count me in for the fog horn open"), Said("how much is the fog horn open")),
    "perhaps": (Said("maybe saturday for the clinic"), Said("ok im in for the clinic, 2 of us")),
    "a stand-in": (Said("in for league"), Said("Bjorn is going instead of me")),
    "a change with the name": (Said("3 for league"), Said("make league 5"), Said("we are 2 for league now")),
    "that date": (Said("yes for the 16th"), Said("not coming on the 16th after all")),
    "open": (Said("is it open"), Said("is the marsh loop open"), Said("is hole 8 open")),
    "about the events": (
        Said("what is dusk league"),
        Said("when is the next league night"),
        Said("is there a lesson for beginners"),
        Said("what's family sunday"),
        Said("how many spots left for the clinic"),
    ),
    "general questions": (
        Said("how do i get there"),
        Said("can i bring my dog"),
        Said("can i borrow discs"),
        Said("how much is a membership"),
        Said("who runs the club"),
        Said("how long does 18 holes take"),
        Said("when does it get dark"),
    ),
    "a follow-up": (Said("what is dusk league"), Said("how much is it"), Said("and the clinic?")),
    "lists": (Said("text me when the course is closed"), Said("take me off course news"), Said("STOP"), Said("START")),
    "reports": (Said("lost my orange putter on hole 7 yesterday"), Said("there's a tree down on hole 4")),
    "not for us": (Said("do you know if the ferry runs on sundays"), Said("can you recommend a campground")),
    "here": (
        Said("in for league"),
        before("dusk-league", 20, "here for dusk league, 2 of us"),
    ),
    "here at the place": (Said("in for league"), before("dusk-league", 10, "made it at the boathouse")),
    "here without a word before": (before("dusk-league", 15, "here for league"),),
    "the keeper closes a loop": (
        by("course keeper", "close the marsh loop till friday, flooded"),
        by("course keeper", "yes {code}"),
        Said("is the marsh loop open"),
        Said("is hole 8 open"),
        Said("is the hill loop open"),
        by("course keeper", "reopen the marsh loop"),
        by("course keeper", "yes {code}"),
        Said("is the marsh loop open"),
    ),
    "the director calls off": (
        Said("2 for league"),
        by("league director", "call off dusk league wednesday, lightning"),
        by("league director", "yes {code}"),
        Said("is league on this wednesday"),
    ),
    "telling who comes": (
        Said("2 for league"),
        by("league director", "tell league we start at the boathouse"),
        by("league director", "yes {code}"),
        by("league director", "who's coming to league"),
    ),
    "a swap of duty": (by("outreach lead", "Priya takes my thursday"), by("outreach lead", "yes {code}")),
}


class Played:
    """A club whose conversations are played in its own words, at its own hours."""

    def __init__(self, handbook: Handbook, *, second: bool) -> None:
        self._second = second
        self._handbook = handbook
        self._zone: ZoneInfo = handbook.knowledge.club.zone

    def outcomes(self, conversation: tuple[Said, ...]) -> list[object]:
        """What was understood and done at each text, in the demo club's ids."""
        club, now, code = Rehearsal(self._handbook), self._noon(), ""
        found: list[object] = []
        for said in conversation:
            now = self._before(*said.before) if said.before else now + timedelta(minutes=1)
            text = (in_other_words(said.text) if self._second else said.text).replace("{code}", code)
            heard = club.text(self._number(said.who), text, now)
            codes = [re.search(r"\bYES (\d+)", one.text) for one in heard]
            code = next((one[1] for one in codes if one), code)
            decided = club.decided[0]
            found.append((said.text, decided.outcome, decided.served, sorted(self._kinds(decided.effects)), len(heard)))
        return found

    def _kinds(self, effects: tuple[Effect, ...]) -> Iterator[str]:
        mine = {theirs: ours for ours, theirs in IDS.items()} if self._second else {one: one for one in IDS}
        for effect in effects:
            told = type(effect).__name__
            if isinstance(effect, KeepRsvp):
                day = effect.on.day - LATER if self._second else effect.on.day
                told += f" {mine[effect.on.event]} {day} {effect.rsvp.state} {effect.rsvp.people}"
            yield told

    def _number(self, who: str) -> str:
        if who == PLAYER:
            return "+12085550177" if self._second else "+19025550177"
        return next(one.number for one in self._handbook.knowledge.people if who in one.roles)

    def _noon(self) -> datetime:
        day = MONDAY + LATER if self._second else MONDAY
        return datetime(day.year, day.month, day.day, 12, tzinfo=self._zone)

    def _before(self, event: str, minutes: int) -> datetime:
        named = self._handbook.knowledge.event(IDS[event] if self._second else event)
        starts = [one.starts for one in event_days(named, self._zone) if one.starts > self._noon()]
        return min(starts) - timedelta(minutes=minutes)


def in_other_words(text: str) -> str:
    """A text of the demo club in the second club's words, all in one go and the longest first."""
    names = "|".join(re.escape(name) for name in sorted(NAMES, key=len, reverse=True))
    return re.sub(rf"\b(?:{names})(?=s?\b)", lambda found: NAMES[found[0].casefold()], text, flags=re.IGNORECASE)


@pytest.fixture(scope="module")
def second() -> Handbook:
    return open_handbook(SECOND, usual_folder())


def test_the_second_club_passes_the_check() -> None:
    _, findings = check(SECOND, date(2027, 6, 8))
    assert [str(one) for one in findings if one.severity == "error"] == []


def test_the_second_club_shares_no_name_with_the_demo_club(handbook: Handbook, second: Handbook) -> None:
    def names(of: Handbook) -> set[str]:
        known = of.knowledge
        events = {name.casefold() for event in known.events for name in (event.id, event.name.en, *event.also_called)}
        loops = {name.casefold() for loop in known.course.loops for name in (loop.id, loop.name.en, *loop.also_called)}
        people = {part for person in known.people for part in (person.id, *person.name.casefold().split())}
        return events | loops | people

    assert not names(handbook) & names(second)
    assert not {event.starts for event in handbook.knowledge.events} & {e.starts for e in second.knowledge.events}
    assert not {e.price for e in handbook.knowledge.events if e.price} & {e.price for e in second.knowledge.events}


def test_there_are_enough_texts() -> None:
    assert sum(len(conversation) for conversation in CONVERSATIONS.values()) >= 30


@pytest.mark.parametrize("name", CONVERSATIONS)
def test_a_conversation_comes_to_the_same_in_both_clubs(name: str, handbook: Handbook, second: Handbook) -> None:
    ours = Played(handbook, second=False).outcomes(CONVERSATIONS[name])
    theirs = Played(second, second=True).outcomes(CONVERSATIONS[name])

    assert theirs == ours


@pytest.mark.parametrize(
    ("text", "event", "people"),
    [
        ("2 for copper rattle", "copper-rattle", 2),
        ("4 for the first fling", "first-fling", 4),
        ("2 for Juniper", "juniper", 2),
        ("3 for moth hour please", "moth-hour", 3),
        ("5 for rake social", "rake-social", 5),
        ("Me and Sam for Juniper", "juniper", 2),
        ("2 for the league", "copper-rattle", 2),
    ],
)
def test_a_number_for_an_event_is_read_whatever_it_is_called(
    text: str, event: str, people: int, second: Handbook
) -> None:
    club = Rehearsal(second)
    club.text("+12085550177", text, datetime(2027, 6, 8, 12, tzinfo=second.knowledge.club.zone))

    kept = [effect for effect in club.decided[0].effects if isinstance(effect, KeepRsvp)]
    assert [(one.on.event, one.rsvp.people) for one in kept] == [(event, people)]
