"""What the clock brings about, on a real file: reminders, changes of a day, offers of places; each once, none at night, none stale."""

import asyncio
import itertools
import random
import sqlite3
from collections import Counter
from collections.abc import AsyncIterator, Awaitable, Callable, Iterator
from contextlib import asynccontextmanager, closing, contextmanager
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, time, timedelta
from pathlib import Path
from typing import Any

import pytest
from sqlalchemy import Engine, event

from clubbot.conversation.occasions import quiet_hours, reminders_for
from clubbot.events.choosing import id_of
from clubbot.events.days import EventDay, as_told, find
from clubbot.handbook.wordings import shipped
from clubbot.mailroom.falling_due import FallingDue
from clubbot.mailroom.sending import Sending
from clubbot.model.club import Club, Course, EventChange, EventRule, Knowledge
from clubbot.model.effects import ClockEffect, KeepLanguage, KeepRsvp, OptOut, PlanReminders
from clubbot.model.messages import LANGUAGES, Language, Said
from clubbot.model.rsvps import DayId, Planned, Rsvp, State
from clubbot.store.apply import carry_out
from clubbot.store.outbox import claim_due, mark_sent, release_claims
from clubbot.store.revisions import read_revisions
from clubbot.store.rsvps import read_count, read_mine
from clubbot.store.store import Store, open_engine, read
from clubbot.store.tables import outbox, reminders, rsvps
from tests.builders import KIM, OUR_NUMBER
from tests.conftest import HALIFAX
from tests.fakes import DEADLINE, HandClock, Line
from tests.store.builders import JONAS, LEE, PRIYA, SAM, a_pen, done, numbered, rows

SECOND = timedelta(seconds=1)
MINUTE = timedelta(minutes=1)
HOUR = timedelta(hours=1)
DAY = timedelta(days=1)
BOATHOUSE = Said(en="the boathouse", fr="le hangar")
PIER = Said(en="the pier", fr="le quai")
WEDNESDAY = date(2027, 6, 9)


def june(day: int, hour: int, minute: int = 0) -> datetime:
    """7 June 2027 is a Monday."""
    return datetime(2027, 6, day, hour, minute, tzinfo=HALIFAX)


def utc(month: int, day: int, hour: int, minute: int = 0) -> datetime:
    return datetime(2027, month, day, hour, minute, tzinfo=UTC)


LONG_BEFORE = june(4, 12)
EVENING, HOURS, STARTS = june(8, 18), june(9, 16, 15), june(9, 18, 15)


def an_event(id: str = "league", **different: Any) -> EventRule:
    """Wednesdays in June at 18:15, reminders as usual."""
    usual: dict[str, Any] = {
        "topic": id,
        "name": Said(en=f"the {id}", fr=f"la {id}"),
        "repeats": "FREQ=WEEKLY;BYDAY=WE",
        "first": date(2027, 6, 2),
        "last": date(2027, 6, 30),
        "starts": time(18, 15),
        "meet": BOATHOUSE,
    }
    return EventRule(id=id, **usual | different)


def a_club(*events: EventRule, quiet: tuple[time, time] = (time(21), time(8))) -> Knowledge:
    club = Club(
        name="A Club",
        short_name="AC",
        number=OUR_NUMBER,
        country="CA",
        time_zone="America/Halifax",
        languages=("en", "fr"),
        emergency_number="911",
        quiet_from=quiet[0],
        quiet_until=quiet[1],
    )
    return Knowledge(
        club=club,
        course=Course(latitude=44.9, longitude=-62.5, largest_group=5, loops=(), holes=(), rounds=()),
        events=events or (an_event(),),
        people=(),
        duty=(),
        lists=(),
        answers={},
        wording={language: shipped(language) for language in LANGUAGES},
        facts={},
        examples=(),
    )


def changed(knowledge: Knowledge, day: date = WEDNESDAY, **change: Any) -> Knowledge:
    """The files after somebody has written a change of one day into them."""
    written = EventChange(day=day, **change)
    events = tuple(
        replace(one, change=(*(other for other in one.change if other.day != day), written)) for one in knowledge.events
    )
    return replace(knowledge, events=events)


async def all_of(some: Callable[[], Awaitable[int]]) -> int:
    """Until nothing is left to do; how many things were done."""

    async def drain() -> int:
        total = 0
        while more := await some():
            total += more
        return total

    return await asyncio.wait_for(drain(), DEADLINE)


_STARTS = itertools.count(1)


class House:
    """One process of the service on a file, as far as the clock drives it; `line` is what reaches the phones."""

    def __init__(self, file: Path, clock: HandClock, knowledge: Knowledge, *, own_thread: bool = False) -> None:
        self.clock, self.knowledge = clock, knowledge
        self.engine = open_engine(f"sqlite:///{file}")
        self.store = Store(self.engine, own_thread=own_thread)
        self.line = Line()
        self.rung = 0
        self.pen = a_pen(numbered(f"msg_{next(_STARTS)}_"))
        self.due = FallingDue(
            self.engine, self.store, lambda: self.knowledge, lambda: self.pen, clock, None, self._ring
        )
        self.sending = Sending(self.store, self.line.send, clock, clock.steady)

    def _ring(self) -> None:
        self.rung += 1

    async def look(self, now: datetime) -> int:
        """Everything that is due then is done."""
        self.clock.now = now
        return await all_of(self.due.do_some)

    async def texts(self, now: datetime) -> list[tuple[str, str]]:
        """Everything that is due then is done and sent; who got which text."""
        await self.look(now)
        before = len(self.line.handed)
        await all_of(self.sending.send_due)
        return [(one.recipient, one.text) for one in self.line.handed[before:]]

    async def told(self, now: datetime) -> list[str]:
        """Who got a text then, by number."""
        return sorted(recipient for recipient, _ in await self.texts(now))

    async def close(self) -> None:
        await self.store.close()
        self.engine.dispose()


@asynccontextmanager
async def a_house(
    file: Path, clock: HandClock, knowledge: Knowledge, *, own_thread: bool = False
) -> AsyncIterator[House]:
    house = House(file, clock, knowledge, own_thread=own_thread)
    try:
        yield house
    finally:
        await house.close()


@pytest.fixture
def clock() -> HandClock:
    return HandClock(LONG_BEFORE)


@pytest.fixture
async def house(engine: Engine, file: Path, clock: HandClock) -> AsyncIterator[House]:
    """The service on the file that `engine` made."""
    async with a_house(file, clock, a_club()) as house:
        yield house


def day_of(knowledge: Knowledge, day: date = WEDNESDAY, event_id: str = "league") -> EventDay:
    one = find(knowledge.event(event_id), day, knowledge.club.zone)
    assert one is not None
    return one


def meet(engine: Engine, number: str, language: Language = "en", *, at: datetime = LONG_BEFORE) -> None:
    """Somebody has texted us in their language."""
    done(engine, KeepLanguage(language=language), sender=number, id=f"hello from {number}", at=at)


def answered(
    house: House,
    number: str,
    state: State = "coming",
    people: int = 1,
    *,
    turn: int = 0,
    day: date = WEDNESDAY,
    event_id: str = "league",
    at: datetime = LONG_BEFORE,
) -> None:
    """Somebody has answered, was told of the day as the files have it, and has the reminders that come of it."""
    one = day_of(house.knowledge, day, event_id)
    rsvp = Rsvp(number=number, state=state, people=0 if state == "off" else people, turn=turn)
    with house.engine.begin() as connection:
        seen = read_count(connection, id_of(one)).version
        effects: list[ClockEffect] = [
            KeepRsvp(on=id_of(one), rsvp=rsvp, seen=seen, told=as_told(one)),
            reminders_for(one, rsvp, house.knowledge, at),
        ]
        assert carry_out(connection, effects, house.pen, at)


def asked_for(house: House, number: str, due: datetime) -> None:
    """Somebody has asked for a reminder of Wednesday."""
    plan = PlanReminders(
        on=DayId("league", WEDNESDAY), number=number, kinds=("asked",), planned=(Planned(kind="asked", due=due),)
    )
    with house.engine.begin() as connection:
        assert carry_out(connection, [plan], house.pen, house.clock.now)


def became(house: House, number: str = KIM) -> dict[str, tuple[str, str | None]]:
    """State and reason of somebody's reminders, by kind."""
    return {
        row["kind"]: (row["state"], row["reason"]) for row in rows(house.engine, reminders) if row["number"] == number
    }


def dues(house: House, number: str = KIM) -> dict[str, datetime]:
    """When somebody's reminders come that still wait."""
    return {
        row["kind"]: row["due_at"]
        for row in rows(house.engine, reminders)
        if row["number"] == number and row["state"] == "waiting"
    }


@contextmanager
def begun_to_write(engine: Engine) -> Iterator[list[str]]:
    """The transactions that take the lock of the one writer."""
    found: list[str] = []

    def note(_: Any, __: Any, statement: str, *___: Any) -> None:
        if statement == "BEGIN IMMEDIATE":
            found.append(statement)

    event.listen(engine, "before_cursor_execute", note)
    yield found
    event.remove(engine, "before_cursor_execute", note)


# Reminders


async def test_a_reminder_comes_at_its_moment_and_once(house: House) -> None:
    answered(house, KIM)
    assert await house.told(EVENING - SECOND) == []
    assert await house.told(EVENING) == [KIM]
    assert await house.told(EVENING) == []
    assert await house.told(HOURS - SECOND) == []
    assert await house.told(HOURS) == [KIM]
    for later in (HOURS + MINUTE, STARTS, STARTS + DAY):
        assert await house.told(later) == []

    assert became(house) == {"evening": ("told", None), "hours": ("told", None)}


async def test_it_says_when_where_and_how_many_in_the_language_of_each(house: House) -> None:
    meet(house.engine, KIM, "en")
    meet(house.engine, LEE, "fr")
    answered(house, KIM, people=3)
    answered(house, LEE)
    evening = dict(await house.texts(EVENING))
    hours = dict(await house.texts(HOURS))

    assert all(words in evening[KIM] for words in ("Tomorrow", "the league", "18:15", "the boathouse", "3 people"))
    assert all(words in evening[LEE] for words in ("Demain", "la league", "18 h 15", "le hangar", "1 personne"))
    assert hours[KIM].startswith("Today 18:15")
    assert hours[LEE].startswith("Aujourd'hui 18 h 15")


async def test_each_gets_what_their_answer_brings(house: House) -> None:
    answered(house, KIM, "coming")
    answered(house, LEE, "maybe")
    answered(house, SAM, "waiting", turn=1)
    answered(house, JONAS, "off")
    house.knowledge = a_club(an_event(places=1))

    assert await house.told(EVENING) == sorted([KIM, LEE])
    assert await house.told(HOURS) == [KIM]


async def test_who_has_said_no_since_is_not_reminded(house: House) -> None:
    answered(house, KIM)
    answered(house, KIM, "off", at=june(8, 12))

    assert await house.told(EVENING) == []
    assert became(house) == {
        "evening": ("dropped", "no longer wanted"),
        "hours": ("dropped", "no longer wanted"),
    }


async def test_who_has_opted_out_is_not_reminded(house: House) -> None:
    answered(house, KIM)
    done(house.engine, OptOut(words="stop"), sender=KIM, at=june(8, 12))

    assert await house.told(EVENING) == []
    assert became(house)["evening"] == ("dropped", "opted out")


async def test_who_answered_a_moment_ago_is_not_told_the_same_again(house: House) -> None:
    answered(house, KIM, at=EVENING - HOUR + SECOND)
    answered(house, LEE, at=EVENING - HOUR)

    assert await house.told(EVENING) == [LEE]
    assert became(house, KIM)["evening"] == ("dropped", "told already")


async def test_a_crowd_larger_than_one_transaction_is_told_in_full(house: House) -> None:
    crowd = [f"+19025551{number:03}" for number in range(130)]
    for number in crowd:
        answered(house, number)

    assert await house.told(EVENING) == crowd
    assert len(rows(house.engine, outbox)) == len(crowd)


async def test_an_event_that_is_gone_from_the_files_reminds_of_nothing(house: House) -> None:
    answered(house, KIM)
    house.knowledge = a_club(an_event("clinic"))

    assert await house.told(EVENING) == []
    assert became(house)["evening"] == ("dropped", "called off")


async def test_two_reminders_of_a_day_at_the_same_moment_are_one_text(house: House) -> None:
    """ "Remind me" without an hour is for 18:00 the evening before, as is the event's own."""
    answered(house, KIM)
    asked_for(house, KIM, EVENING)

    assert await house.told(EVENING) == [KIM]


async def test_an_evening_that_had_a_reminder_gets_no_second_one_after_a_change_of_the_answer(house: House) -> None:
    house.knowledge = a_club(an_event(starts=time(9, 30)))
    answered(house, KIM)
    assert await house.told(EVENING) == [KIM]
    answered(house, KIM, people=2, at=EVENING + HOUR)

    assert await house.told(june(8, 20, 30)) == []


# Once


@pytest.mark.parametrize("own_thread", [False, True])
async def test_two_processes_that_look_at_the_same_moment_tell_everybody_once(
    house: House, file: Path, clock: HandClock, own_thread: bool
) -> None:
    """Without threads both have seen that something is due before either writes."""
    crowd = [f"+19025551{number:03}" for number in range(20)]
    for number in crowd:
        answered(house, number)
    async with (
        a_house(file, clock, house.knowledge, own_thread=own_thread) as one,
        a_house(file, clock, house.knowledge, own_thread=own_thread) as other,
    ):
        await asyncio.gather(one.look(EVENING - SECOND), other.look(EVENING - SECOND))
        clock.now = EVENING
        done_by = await asyncio.gather(one.due.do_some(), other.due.do_some())
        await asyncio.gather(all_of(one.due.do_some), all_of(other.due.do_some))
        assert sorted(done_by) == [0, len(crowd)]
        assert sorted([one.rung, other.rung]) == [0, 1]
        await asyncio.gather(all_of(one.sending.send_due), all_of(other.sending.send_due))
        handed = [*one.line.handed, *other.line.handed]

    assert sorted(text.recipient for text in handed) == crowd
    assert len(rows(house.engine, outbox)) == len(crowd)


@pytest.mark.parametrize("claimed", [False, True])
async def test_killed_between_writing_and_sending_it_is_sent_once_after_the_restart(
    house: House, file: Path, clock: HandClock, claimed: bool
) -> None:
    answered(house, KIM)
    await house.look(EVENING)
    if claimed:
        await house.store.write(lambda connection: claim_due(connection, EVENING, EVENING + 2 * MINUTE, 100))
    await house.close()
    async with a_house(file, clock, house.knowledge) as restarted:
        (text,) = rows(restarted.engine, outbox)
        assert (text["recipient"], text["state"]) == (KIM, "waiting")
        await restarted.store.write(release_claims)

        assert await restarted.told(EVENING + MINUTE) == [KIM]
        assert await restarted.told(EVENING + 2 * MINUTE) == []
        assert [text.id for text in restarted.line.handed] == [text["id"]]


def breaks_after(texts: int) -> Callable[[], str]:
    """Ids for so many texts, then a fault."""
    count = itertools.count(1)

    def new_id() -> str:
        number = next(count)
        if number > texts:
            raise RuntimeError("the pen broke")
        return f"msg_{number}"

    return new_id


async def test_killed_in_the_middle_of_writing_nothing_is_half_done(house: House) -> None:
    """The pen breaks after two of three texts, as a kill would end the transaction."""
    for number in (KIM, LEE, SAM):
        answered(house, number)
    await house.look(EVENING - SECOND)
    whole, house.pen = house.pen, a_pen(breaks_after(2))
    with pytest.raises(RuntimeError, match="the pen broke"):
        await house.look(EVENING)
    assert rows(house.engine, outbox) == []
    assert {row["state"] for row in rows(house.engine, reminders)} == {"waiting"}

    house.pen = whole
    assert await house.told(EVENING + MINUTE) == sorted([KIM, LEE, SAM])


async def test_with_nothing_due_nothing_is_written(house: House) -> None:
    answered(house, KIM)
    answered(house, LEE, "waiting", turn=1)
    house.knowledge = a_club(an_event(places=1))
    await house.look(LONG_BEFORE)
    with begun_to_write(house.engine) as begun:
        assert await house.look(EVENING - SECOND) == 0
        assert begun == []
        assert await house.look(EVENING) == 1
        assert begun != []


async def test_sending_is_woken_when_there_is_something_to_send(house: House) -> None:
    answered(house, KIM)
    await house.look(EVENING - SECOND)
    assert house.rung == 0
    await house.look(EVENING)
    assert house.rung == 1


# The machine slept


async def test_an_outage_of_a_day_ends_without_a_flood(house: House) -> None:
    """Asleep from before the evening's until shortly before the event: those are stale, the ones two hours before it are not."""
    crowd = [f"+19025551{number:03}" for number in range(40)]
    for number in crowd:
        answered(house, number)
    await house.look(EVENING - MINUTE)

    assert await house.texts(EVENING - MINUTE + DAY - 2 * HOUR) == []
    assert all(became(house, number)["evening"] == ("dropped", "too late") for number in crowd)
    assert await house.told(HOURS) == crowd


async def test_after_an_outage_over_the_event_nobody_hears_of_it_but_of_the_next(house: House) -> None:
    answered(house, KIM)
    answered(house, KIM, day=date(2027, 6, 16))

    assert await house.told(STARTS + 3 * DAY) == []
    assert {row["reason"] for row in rows(house.engine, reminders) if row["day"] == WEDNESDAY} == {"begun"}
    assert await house.told(EVENING + 7 * DAY) == [KIM]


@pytest.mark.parametrize(("late", "told"), [(2 * HOUR, [KIM]), (2 * HOUR + SECOND, [])])
async def test_up_to_two_hours_late_a_reminder_still_comes(house: House, late: timedelta, told: list[str]) -> None:
    answered(house, KIM)

    assert await house.told(EVENING + late) == told


async def test_what_an_outage_held_up_into_the_night_does_not_come_at_night(house: House) -> None:
    house.knowledge = a_club(an_event(remind_evening_before=time(20, 30)))
    answered(house, KIM)

    assert await house.told(june(8, 21)) == []
    assert became(house)["evening"] == ("dropped", "quiet hours")


# Clock changes. Source: IANA tzdata, rule "Canada" (Nova Scotia: Time Definition Act): in Halifax clocks go on at 6:00 UTC on
# 14 March 2027, from 2:00 to 3:00, and back at 5:00 UTC on 7 November 2027, from 2:00 to 1:00. A club without quiet hours.


Wish = dict[str, Any]
NIGHTS = [
    # 2:30 of the night before Monday 15 March is left out: 3:30 by the new time.
    (date(2027, 3, 15), time(18), {"remind_evening_before": time(2, 30), "remind_hours_before": 0}, utc(3, 14, 6, 30)),
    (date(2027, 3, 15), time(18), {"remind_evening_before": time(1, 50), "remind_hours_before": 0}, utc(3, 14, 5, 50)),
    (date(2027, 3, 14), time(4), {"remind_evening_before": False, "remind_hours_before": 2}, utc(3, 14, 5)),
    (date(2027, 3, 14), time(5), {"remind_evening_before": False, "remind_hours_before": 2}, utc(3, 14, 6)),
    # 1:30 of the night before Monday 8 November comes twice.
    (date(2027, 11, 8), time(18), {"remind_evening_before": time(1, 30), "remind_hours_before": 0}, utc(11, 7, 4, 30)),
    (date(2027, 11, 8), time(18), {"remind_evening_before": time(2), "remind_hours_before": 0}, utc(11, 7, 6)),
    (date(2027, 11, 7), time(2, 30), {"remind_evening_before": False, "remind_hours_before": 2}, utc(11, 7, 4, 30)),
    (date(2027, 11, 7), time(3, 30), {"remind_evening_before": False, "remind_hours_before": 2}, utc(11, 7, 5, 30)),
]


@pytest.mark.parametrize(("day", "starts", "wish", "due"), NIGHTS)
async def test_in_the_night_of_a_clock_change_a_reminder_comes_once_at_its_instant(
    house: House, file: Path, day: date, starts: time, wish: Wish, due: datetime
) -> None:
    event = an_event(repeats="", first=day, last=day, starts=starts, **wish)
    house.knowledge = a_club(event, quiet=(time(0), time(0)))
    answered(house, KIM, day=day, at=due - 3 * DAY)
    with closing(sqlite3.connect(file)) as other:
        assert other.execute("SELECT due_at FROM reminders").fetchall() == [(due.timestamp(),)]

    told: list[datetime] = []
    now = due - 3 * HOUR
    while now <= due + 6 * HOUR:
        told += [now] * len(await house.texts(now))
        now += 10 * MINUTE
    assert told == [due]


@pytest.mark.parametrize(
    ("day", "morning"),
    [
        (date(2027, 3, 14), utc(3, 14, 11)),  # 8:00, -03:00
        (date(2027, 11, 7), utc(11, 7, 12)),  # 8:00, -04:00
    ],
)
async def test_after_the_night_of_a_clock_change_news_comes_at_eight_by_the_new_time(
    house: House, day: date, morning: datetime
) -> None:
    house.knowledge = a_club(an_event(repeats="", first=day, last=day, starts=time(14)))
    answered(house, KIM, day=day, at=morning - 3 * DAY)
    await house.texts(morning - 13 * HOUR)
    house.knowledge = changed(house.knowledge, day, called_off=True)

    assert await house.told(morning - 8 * HOUR) == []
    assert await house.told(morning - SECOND) == []
    assert await house.told(morning) == [KIM]


# Changes of a day


CHANGES: list[tuple[dict[str, Any], str, str]] = [
    ({"called_off": True, "reason": Said(en="fog", fr="brume")}, "called off (fog)", "annulé (brume)"),
    ({"moved_to": date(2027, 6, 10)}, "moves to Thu 10 June 18:15", "remis au jeudi 10 juin 18 h 15"),
    ({"starts": time(19)}, "now begins at 19:00", "commence maintenant à 19 h"),
    ({"meet": PIER}, "is at the pier", "le quai"),
]


@pytest.mark.parametrize(("change", "english", "french"), CHANGES)
async def test_everybody_on_the_list_hears_of_a_change_once_in_their_language(
    house: House, change: dict[str, Any], english: str, french: str
) -> None:
    house.knowledge = a_club(an_event(places=2))
    states: dict[str, tuple[State, Language]] = {
        KIM: ("coming", "en"),
        LEE: ("waiting", "fr"),
        SAM: ("maybe", "fr"),
        JONAS: ("off", "en"),
    }
    for number, (state, language) in states.items():
        meet(house.engine, number, language)
        answered(house, number, state, 2, turn=int(state == "waiting"))
    assert await house.texts(june(7, 12)) == []
    house.knowledge = changed(house.knowledge, **change)
    texts = await house.texts(june(7, 13))

    assert sorted(number for number, _ in texts) == sorted([KIM, LEE, SAM])
    said = {number: text.replace("\u2019", "'") for number, text in texts}
    assert english in said[KIM]
    assert plain(french) in plain(said[LEE])
    assert plain(french) in plain(said[SAM])
    for later in (june(7, 13), june(7, 14), june(8, 12)):
        assert await house.texts(later) == []


def plain(text: str) -> str:
    """Letters without their marks, as a text may be sent to save a part."""
    return text.translate(str.maketrans("éèêàâîôûç", "eeeaaiouc"))


async def test_a_change_that_is_nothing_to_the_people_is_not_told(house: House) -> None:
    answered(house, KIM)
    await house.look(june(7, 12))
    house.knowledge = changed(house.knowledge, ends=time(21), reason=Said(en="long", fr="long"))

    assert await house.texts(june(7, 13)) == []


async def test_a_change_of_another_day_is_not_told(house: House) -> None:
    answered(house, KIM)
    house.knowledge = changed(house.knowledge, date(2027, 6, 16), called_off=True)

    assert await house.texts(june(7, 13)) == []


async def test_a_change_that_is_taken_back_is_told_too_and_the_reminders_come(house: House) -> None:
    answered(house, KIM)
    as_it_was = house.knowledge
    house.knowledge = changed(house.knowledge, called_off=True)
    await house.texts(june(7, 13))
    assert dues(house) == {}
    house.knowledge = as_it_was
    ((_, text),) = await house.texts(june(7, 15))

    assert "takes place after all" in text
    assert dues(house) == {"evening": EVENING, "hours": HOURS}


async def test_two_changes_within_one_look_are_one_text(house: House) -> None:
    answered(house, KIM)
    await house.look(june(7, 12))
    house.knowledge = changed(house.knowledge, starts=time(19))
    house.knowledge = changed(house.knowledge, starts=time(19, 30), meet=PIER)
    ((_, text),) = await house.texts(june(7, 13))

    assert "19:30, at the pier" in text


async def test_who_has_opted_out_hears_of_no_change_and_the_reason_is_kept(house: House) -> None:
    answered(house, KIM)
    answered(house, LEE)
    done(house.engine, OptOut(words="stop"), sender=KIM, at=june(7, 12))
    house.knowledge = changed(house.knowledge, called_off=True)

    assert await house.told(june(7, 13)) == [LEE]
    assert {row["recipient"]: (row["state"], row["reason"]) for row in rows(house.engine, outbox)} == {
        KIM: ("dropped", "opted out"),
        LEE: ("sent", None),
    }


async def test_a_change_is_told_to_a_crowd_larger_than_one_transaction(house: House) -> None:
    crowd = [f"+19025551{number:03}" for number in range(130)]
    for number in crowd:
        answered(house, number)
    house.knowledge = changed(house.knowledge, called_off=True)

    assert await house.told(june(7, 13)) == crowd


async def test_a_day_that_the_rule_no_longer_has_is_told_as_called_off(house: House) -> None:
    answered(house, KIM)
    house.knowledge = a_club(an_event(first=date(2027, 6, 16)))
    ((_, text),) = await house.texts(june(7, 13))

    assert "on Wed 9 June is called off" in text
    assert await house.texts(june(7, 14)) == []
    assert set(became(house).values()) == {("dropped", "no longer wanted")}


async def test_once_it_has_begun_a_change_is_not_told_any_more(house: House) -> None:
    answered(house, KIM)
    await house.texts(HOURS)
    house.knowledge = changed(house.knowledge, starts=time(18, 10))

    assert await house.told(STARTS) == []


async def test_that_it_is_off_is_told_until_it_is_over(house: House) -> None:
    answered(house, KIM)
    await house.texts(HOURS)
    house.knowledge = changed(house.knowledge, called_off=True)

    assert await house.told(STARTS + 30 * MINUTE) == [KIM]


async def test_that_it_is_off_is_told_to_nobody_afterwards(house: House) -> None:
    answered(house, KIM)
    await house.texts(HOURS)
    house.knowledge = changed(house.knowledge, called_off=True)

    assert await house.told(STARTS + timedelta(hours=6)) == []


async def test_just_before_it_begins_a_change_is_still_told(house: House) -> None:
    answered(house, KIM)
    await house.texts(HOURS)
    house.knowledge = changed(house.knowledge, called_off=True)

    assert await house.told(STARTS - SECOND) == [KIM]


@pytest.mark.parametrize(
    ("starts", "at_night"),
    [(time(18, 15), False), (time(10), False), (time(9, 59), True), (time(8, 30), True)],
)
async def test_at_night_a_change_is_told_only_where_less_than_two_hours_would_be_left_in_the_morning(
    house: House, starts: time, at_night: bool
) -> None:
    house.knowledge = a_club(an_event(starts=starts))
    answered(house, KIM)
    await house.texts(june(8, 20, 45))
    house.knowledge = changed(house.knowledge, called_off=True)

    assert await house.told(june(8, 23)) == ([KIM] if at_night else [])
    assert await house.told(june(9, 7, 59)) == []
    assert await house.told(june(9, 8)) == ([] if at_night else [KIM])


async def test_reminders_follow_a_day_that_moves(house: House) -> None:
    answered(house, KIM)
    answered(house, LEE, "maybe")
    house.knowledge = changed(house.knowledge, moved_to=date(2027, 6, 12), starts=time(14))
    assert await house.told(june(7, 13)) == sorted([KIM, LEE])
    assert dues(house, KIM) == {"evening": june(11, 18), "hours": june(12, 12)}
    assert dues(house, LEE) == {"evening": june(11, 18)}

    assert await house.told(EVENING) == []
    assert await house.told(HOURS) == []
    assert await house.told(june(11, 18)) == sorted([KIM, LEE])
    assert await house.told(june(12, 12)) == [KIM]


async def test_after_its_evening_reminder_a_day_that_moves_reminds_of_the_new_evening(house: House) -> None:
    answered(house, KIM)
    assert await house.told(EVENING) == [KIM]
    house.knowledge = changed(house.knowledge, moved_to=date(2027, 6, 12))
    assert await house.told(june(9, 9)) == [KIM]

    assert await house.told(HOURS) == []
    assert await house.told(june(11, 18)) == [KIM]
    assert await house.told(june(12, 16, 15)) == [KIM]


async def test_of_a_day_that_is_called_off_nobody_is_reminded(house: House) -> None:
    answered(house, KIM)
    asked_for(house, KIM, june(9, 12))
    house.knowledge = changed(house.knowledge, called_off=True)
    await house.texts(june(7, 13))

    assert dues(house) == {}
    for due in (EVENING, june(9, 12), HOURS):
        assert await house.told(due) == []


async def test_a_day_that_was_moved_by_a_week_can_still_be_called_off_after_its_first_date(house: House) -> None:
    answered(house, KIM)
    house.knowledge = changed(house.knowledge, moved_to=date(2027, 6, 18))
    assert await house.told(june(7, 13)) == [KIM]
    house.knowledge = changed(house.knowledge, moved_to=date(2027, 6, 18), called_off=True)

    assert await house.told(june(14, 12)) == [KIM]


# Places that came free


def a_full_day(house: House, *, places: int = 1, **event: Any) -> None:
    """Kim has all places; Lee, Sam and Priya wait in this order."""
    house.knowledge = a_club(an_event(places=places, **event))
    answered(house, KIM, people=places)
    for turn, number in enumerate((LEE, SAM, PRIYA), start=1):
        answered(house, number, "waiting", turn=turn)


async def test_a_place_that_came_free_is_offered_to_the_first_in_line_and_to_nobody_else(house: House) -> None:
    a_full_day(house)
    assert await house.texts(june(7, 12)) == []
    answered(house, KIM, "off", at=june(7, 13))
    ((number, text),) = await house.texts(june(7, 13))

    assert number == LEE
    assert "Reply YES by 15:00" in text
    assert await house.texts(june(7, 14)) == []


async def test_an_offer_that_lapses_goes_on_to_the_next_until_the_line_is_through(house: House) -> None:
    a_full_day(house)
    answered(house, KIM, "off", at=june(7, 10))

    assert await house.told(june(7, 10)) == [LEE]
    assert await house.told(june(7, 12) - SECOND) == []
    assert await house.told(june(7, 12)) == [SAM]
    assert await house.told(june(7, 14)) == [PRIYA]
    assert await house.told(june(7, 16)) == []
    assert await house.told(june(8, 12)) == []
    count = read(house.engine, lambda connection: read_count(connection, DayId("league", WEDNESDAY)))
    assert (count.waiting, count.offered, count.coming) == (3, 0, 0)


async def test_more_places_are_offered_to_more_people_and_parts_of_a_party_too(house: House) -> None:
    house.knowledge = a_club(an_event(places=3))
    answered(house, KIM, people=3)
    answered(house, LEE, "waiting", 2, turn=1)
    answered(house, SAM, "waiting", 4, turn=2)
    answered(house, KIM, "off", at=june(7, 13))
    texts = dict(await house.texts(june(7, 13)))

    assert "2 people" in texts[LEE]
    assert "1 of your 4 places" in texts[SAM]


async def test_places_that_the_club_adds_are_offered(house: House) -> None:
    a_full_day(house)
    await house.look(june(7, 12))
    house.knowledge = a_club(an_event(places=3))

    assert await house.told(june(7, 13)) == sorted([LEE, SAM])


async def test_no_place_is_offered_at_night(house: House) -> None:
    a_full_day(house)
    answered(house, KIM, "off", at=june(7, 22))

    for night in (june(7, 22), june(8, 3), june(8, 8) - SECOND):
        assert await house.texts(night) == []
    assert await house.told(june(8, 8)) == [LEE]


async def test_an_offer_that_lapses_at_night_goes_on_in_the_morning(house: House) -> None:
    a_full_day(house)
    answered(house, KIM, "off", at=june(7, 20))

    assert await house.told(june(7, 20)) == [LEE]
    assert await house.told(june(7, 22)) == []
    assert await house.told(june(8, 8)) == [SAM]


async def test_a_place_is_held_no_longer_than_sign_up_is_open_and_then_offered_no_more(house: House) -> None:
    a_full_day(house, rsvp_closes=time(17))
    answered(house, KIM, "off", at=june(9, 16))
    ((number, text),) = await house.texts(june(9, 16))

    assert number == LEE
    assert "Reply YES by 17:00" in text
    assert await house.texts(june(9, 17)) == []
    kept = read(house.engine, lambda connection: read_mine(connection, LEE, WEDNESDAY))
    assert kept[DayId("league", WEDNESDAY)].offer is None


async def test_a_day_that_is_called_off_offers_no_places(house: House) -> None:
    a_full_day(house)
    answered(house, KIM, "off", at=june(7, 13))
    house.knowledge = changed(house.knowledge, called_off=True)

    assert all("called off" in text for _, text in await house.texts(june(7, 13)))
    assert await house.texts(june(8, 12)) == []


async def test_two_processes_offer_a_place_once(house: House, file: Path, clock: HandClock) -> None:
    a_full_day(house)
    async with a_house(file, clock, house.knowledge) as other:
        await asyncio.gather(house.look(june(7, 12)), other.look(june(7, 12)))
        answered(house, KIM, "off", at=june(7, 13))
        clock.now = june(7, 13)
        await asyncio.gather(house.due.do_some(), other.due.do_some())

    assert [row["recipient"] for row in rows(house.engine, outbox)] == [LEE]


# The calendar


async def test_entries_of_the_calendar_are_counted_up_with_the_files_and_only_then(house: House) -> None:
    def sequences() -> dict[tuple[str, date | None], int]:
        return {entry: found.sequence for entry, found in read(house.engine, read_revisions).items()}

    await house.look(june(7, 12))
    assert sequences() == {("league", None): 0}
    house.knowledge = replace(house.knowledge)  # read anew, and the same
    await house.look(june(7, 13))
    assert sequences() == {("league", None): 0}
    house.knowledge = changed(house.knowledge, called_off=True)
    await house.look(june(7, 14))
    assert sequences() == {("league", None): 1, ("league", WEDNESDAY): 0}


# The season


CROWD = [f"+19025551{number:03}" for number in range(40)]
WEDNESDAYS = [date(2027, 6, day) for day in (2, 9, 16, 23, 30)]


@dataclass(frozen=True)
class Text:
    """A text as it reached a phone."""

    at: datetime
    recipient: str
    text: str


async def sent_now(house: House) -> list[Text]:
    """Claim what is due and mark it sent, as the rehearsal does."""
    now = house.clock.now
    found: list[Text] = []
    while True:
        with house.engine.begin() as connection:
            claimed = claim_due(connection, now, now + 2 * MINUTE, 100)
            for one in claimed:
                mark_sent(connection, one.id, now)
        if not claimed:
            return found
        found += [Text(now, one.recipient, one.text) for one in claimed]


async def test_through_a_season_everything_planned_is_told_once_or_dropped_for_a_reason(house: House) -> None:
    """40 people down for 5 Wednesdays each, a look every ten minutes from June to July: people change their minds, a day is called
    off, another is moved, the machine sleeps for a day.
    """
    chance = random.Random(20270601)
    start, end, asleep, awake = june(1, 8), june(30, 23), june(21, 12), june(22, 23)
    for number in CROWD:
        for day in WEDNESDAYS:
            answered(house, number, chance.choice(["coming", "coming", "coming", "maybe"]), day=day, at=start)
    changes: dict[datetime, Callable[[], object]] = {
        june(7, 12): lambda: done(house.engine, OptOut(words="stop"), sender=CROWD[0], at=june(7, 12)),
        june(8, 12): lambda: answered(house, CROWD[1], "off", day=date(2027, 6, 9), at=june(8, 12)),
        june(8, 17, 30): lambda: answered(house, CROWD[2], "coming", 2, day=date(2027, 6, 9), at=june(8, 17, 30)),
    }
    files = {
        june(14, 12): changed(house.knowledge, date(2027, 6, 16), called_off=True),
        june(14, 15): changed(
            changed(house.knowledge, date(2027, 6, 16), called_off=True), date(2027, 6, 30), moved_to=date(2027, 6, 29)
        ),
    }
    sent: list[Text] = []
    now = start
    while now <= end:
        if now in changes:
            changes[now]()
        house.knowledge = files.get(now, house.knowledge)
        if not asleep <= now < awake:
            sent += await sent_now(house) if await house.look(now) else []
        now += 10 * MINUTE

    kept = rows(house.engine, reminders)
    assert len(kept) == len({(row["number"], row["day"], row["kind"]) for row in kept})
    assert {row["state"] for row in kept} == {"told", "dropped"}
    assert all((row["reason"] is None) == (row["state"] == "told") for row in kept)
    of_which = {row["id"]: (row["number"], row["day"], row["kind"]) for row in kept}
    texts = [row for row in rows(house.engine, outbox) if row["key"].startswith("reminder:")]
    told = [of_which[int(row["key"].split(":")[1])] for row in texts]
    assert Counter(told).most_common(1)[0][1] == 1
    assert set(told) == {of_which[row["id"]] for row in kept if row["state"] == "told"}

    # Each day has a story of its own; whoever is coming to it hears twice, a maybe once.
    reasons = {day: Counter(row["reason"] for row in kept if row["day"] == day) for day in WEDNESDAYS}
    coming = Counter(row["day"] for row in rows(house.engine, rsvps) if row["state"] == "coming")
    maybe = Counter(row["day"] for row in rows(house.engine, rsvps) if row["state"] == "maybe")
    both = {day: 2 * coming[day] + maybe[day] for day in WEDNESDAYS}
    of_out = {day: sum(key[:2] == (CROWD[0], day) for key in of_which.values()) for day in WEDNESDAYS}
    assert reasons[date(2027, 6, 2)] == {None: both[date(2027, 6, 2)]}
    assert set(reasons[date(2027, 6, 9)]) == {None, "opted out", "no longer wanted", "told already"}
    assert reasons[date(2027, 6, 9)]["told already"] == 1
    assert set(reasons[date(2027, 6, 16)]) == {"no longer wanted"}
    # The day before Wednesday 23 June the machine slept until eleven at night.
    late = coming[date(2027, 6, 23)] + maybe[date(2027, 6, 23)] - 1
    assert reasons[date(2027, 6, 23)]["too late"] == late
    assert reasons[date(2027, 6, 23)][None] == both[date(2027, 6, 23)] - late - of_out[date(2027, 6, 23)]
    assert reasons[date(2027, 6, 30)][None] == both[date(2027, 6, 30)] - of_out[date(2027, 6, 30)]

    # Nobody got the same text twice on one day, was texted at night or after having opted out; changes were told once to each.
    assert Counter((one.at.date(), one.recipient, one.text) for one in sent).most_common(1)[0][1] == 1
    quiet = quiet_hours(house.knowledge)
    assert not [one for one in sent if quiet.at(one.at)]
    assert not [one for one in sent if one.recipient == CROWD[0] and one.at >= june(7, 12)]
    assert sum("called off" in one.text for one in sent) == len(CROWD) - 1
    assert sum("moves to Tue 29 June" in one.text for one in sent) == len(CROWD) - 1
    assert len(sent) == len(texts) + 2 * (len(CROWD) - 1)
    assert {row["state"] for row in rows(house.engine, outbox)} == {"sent", "dropped"}
