"""Texts to many people, on a real file: whom they reach, in one transaction, at their pace, held, gone on with, told of; also when killed."""

import asyncio
import itertools
import random
import signal
from collections import Counter
from collections.abc import AsyncIterator, Awaitable, Callable, Iterable, Sequence
from dataclasses import replace
from datetime import date, datetime, time, timedelta
from functools import partial
from pathlib import Path

import pytest
from sqlalchemy import Connection, Engine, insert

from clubbot.conversation.occasions import quiet_hours
from clubbot.handbook.book import Handbook
from clubbot.mailroom.answering import Answering
from clubbot.mailroom.falling_due import FallingDue, let_fall_due
from clubbot.mailroom.sending import Sending
from clubbot.model.effects import KeepLanguage, KeepRsvp, OptOut, StartBroadcast, Subscribe
from clubbot.model.messages import Language, Refused
from clubbot.model.orders import Audience
from clubbot.model.quiet import QuietHours
from clubbot.model.rsvps import DayId, Rsvp, State
from clubbot.serving import wall_clock
from clubbot.store.apply import Pen, carry_out
from clubbot.store.broadcasts import go_on, hold, read_reach, start_broadcast
from clubbot.store.inbox import put_down
from clubbot.store.rsvps import read_count
from clubbot.store.store import Store, run_group
from clubbot.store.tables import broadcasts, drafts, inbox, outbox, people, subscriptions
from tests.builders import KIM, OUR_NUMBER, a_text
from tests.conftest import HALIFAX, NOON
from tests.fakes import DEADLINE, HandClock, Line, Sent, a_gateway, until
from tests.store.builders import JONAS, LEE, PRIYA, SAM, Row, a_database, a_pen, done, numbered, rows
from tests.test_kill import START_DEADLINE, Killing, a_life, look

SECOND, MINUTE, HOUR, DAY = timedelta(seconds=1), timedelta(minutes=1), timedelta(hours=1), timedelta(days=1)
ODILE, FEMI, CALLUM = "+19025550101", "+19025550102", "+19025550105"
HELPERS = (ODILE, FEMI, JONAS, PRIYA, CALLUM)
DOT, EVE, FAY, GUS = "+19025550145", "+19025550146", "+19025550147", "+19025550148"
LEAGUE = DayId("dusk-league", date(2027, 6, 9))
COURSE_NEWS = Audience("list", list_id="course-news")
WORDS: dict[Language, str] = {"en": "New baskets.", "fr": "Nouveaux paniers."}
FAILED = Refused("the gateway answered 500")
CROWD = [f"+19025551{number:03}" for number in range(70)]


def june(day: int, hour: int, minute: int = 0, second: int = 0) -> datetime:
    """7 June 2027 is a Monday."""
    return datetime(2027, 6, day, hour, minute, second, tzinfo=HALIFAX)


async def all_of(some: Callable[[], Awaitable[int]]) -> None:
    """Until nothing is left to do."""

    async def drain() -> None:
        while await some():
            pass

    await asyncio.wait_for(drain(), DEADLINE)


class House:
    """The loops of the service on a file, moved by hand; `line` is what reaches the phones."""

    def __init__(self, engine: Engine, handbook: Handbook, clock: HandClock) -> None:
        self.engine, self.handbook, self.clock = engine, handbook, clock
        self.store, self.line, self.pen = Store(engine, own_thread=False), Line(), a_pen()
        codes = itertools.count(10_000_001)
        self.sending = Sending(
            self.store, self.line.send, clock, clock.steady, quiet=lambda: quiet_hours(self.handbook.knowledge)
        )
        self.answering = Answering(
            engine, self.store, lambda: self.handbook, lambda: self.pen, clock, None, _nothing, lambda: f"{next(codes)}"
        )
        self.due = FallingDue(
            engine, self.store, lambda: self.handbook.knowledge, lambda: self.pen, clock, None, _nothing
        )
        self._texts = itertools.count(1)

    def comes_in(self, sender: str, text: str) -> None:
        known_as = f"t{next(self._texts)}"
        with self.engine.begin() as connection:
            assert put_down(connection, a_text(text, sender=sender, id=known_as, at=self.clock.now))

    async def text(self, sender: str, text: str) -> str:
        """A text comes in and is answered; the reply, which goes out with all that is due."""
        self.comes_in(sender, text)
        await all_of(self.answering.answer_some)
        return " ".join(text for recipient, text in await self.go() if recipient == sender)

    async def obeyed(self, sender: str, order: str) -> str:
        """An order and its code."""
        return await self.text(sender, f"yes {code_in(await self.text(sender, order))}")

    async def go(self, now: datetime | None = None) -> list[tuple[str, str]]:
        """All that is due now is done and sent; who got which text."""
        self.clock.now = now or self.clock.now
        before = len(self.line.handed)
        await all_of(self.due.do_some)
        await all_of(self.sending.send_due)
        await all_of(self.due.do_some)
        await all_of(self.sending.send_due)
        return [(one.recipient, one.text) for one in self.line.handed[before:]]

    async def told(self, now: datetime | None = None) -> list[str]:
        """Who then got one of the many texts, in order."""
        return [recipient for recipient, text in await self.go(now) if any(words in text for words in WORDS.values())]


def _nothing() -> None:
    """Nobody is woken: the loops are moved by hand."""


@pytest.fixture
def clock() -> HandClock:
    return HandClock(NOON)


@pytest.fixture
async def house(engine: Engine, handbook: Handbook, clock: HandClock) -> AsyncIterator[House]:
    house = House(engine, handbook, clock)
    yield house
    await house.store.close()


# Who is there


def meet(engine: Engine, number: str, *lists: str, language: Language | None = "en", at: datetime = NOON) -> None:
    """Somebody has texted us and asked for these lists."""
    effects: list[KeepLanguage | Subscribe] = [Subscribe(list_id=one, words=f"put me on {one}") for one in lists]
    if language is not None:
        effects.append(KeepLanguage(language=language))
    done(engine, *effects, sender=number, id=f"hello from {number}", at=at)


def a_crowd(engine: Engine, numbers: Iterable[str] = CROWD) -> None:
    """All of them on the list for course news."""
    listed = [
        {"number": number, "language": "en", "opted_out": 0, "introduced": 1, "first_seen_at": NOON}
        for number in numbers
    ]
    with engine.begin() as connection:
        connection.execute(insert(people), listed)
        connection.execute(
            insert(subscriptions),
            [{"number": one["number"], "list_id": "course-news", "since": NOON} for one in listed],
        )


def answered(engine: Engine, number: str, state: State) -> None:
    """Somebody has answered to Wednesday's league."""
    with engine.begin() as connection:
        seen = read_count(connection, LEAGUE).version
        rsvp = Rsvp(number=number, state=state, people=int(state != "off"), turn=int(state == "waiting"))
        assert carry_out(connection, [KeepRsvp(on=LEAGUE, rsvp=rsvp, seen=seen)], a_pen(), NOON)


def ended_in(engine: Engine, number: str, state: str, at: datetime) -> None:
    """A text of ours to that phone ended so."""
    row = {
        "id": f"{number} {at}",
        "key": f"old {number} {at}",
        "recipient": number,
        "sender": OUR_NUMBER,
        "text": "old",
    }
    times = {"created_at": at, "due_at": at, "attempts": 1, "asks_consent": 1, "state": state}
    with engine.begin() as connection:
        connection.execute(insert(outbox).values(row | times))


def a_broadcast(
    audience: Audience = COURSE_NEWS,
    *,
    on: DayId | None = None,
    quiet: QuietHours | None = None,
    per_minute: int = 60,
    words: dict[Language, str] | None = None,
) -> StartBroadcast:
    return StartBroadcast(
        person="callum",
        audience=audience,
        on=on,
        texts=words or WORDS,
        quiet=quiet,
        per_minute=per_minute,
        helpers=HELPERS,
    )


_BEGUN = itertools.count(1)


def begun(engine: Engine, effect: StartBroadcast, *, at: datetime = NOON, pen: Pen | None = None) -> None:
    """Callum has sent the code back."""
    number = next(_BEGUN)
    pen = pen or a_pen(numbered(f"begun_{number}_"))
    done(engine, effect, sender=CALLUM, id=f"yes {number}", at=at, pen=pen)


def texts_of(engine: Engine, number: int = 1) -> list[Row]:
    """The rows of a broadcast, in the order they were written."""
    return [row for row in rows(engine, outbox) if row["broadcast"] == number]


def recipients(engine: Engine, number: int = 1) -> list[str]:
    return sorted(row["recipient"] for row in texts_of(engine, number))


@pytest.fixture
def club(engine: Engine) -> Engine:
    """Kim and Lee get course news, Lee and Sam event news, Dot, Eve and Fay have answered to the league, Gus wrote two days ago."""
    meet(engine, KIM, "course-news", at=NOON - 2 * DAY)
    meet(engine, LEE, "course-news", "event-news", language="fr", at=NOON - 2 * DAY)
    meet(engine, SAM, "event-news", language=None, at=NOON - 2 * DAY)
    for number in (DOT, EVE, FAY):
        meet(engine, number, at=NOON - HOUR)
    meet(engine, GUS, at=NOON - 2 * DAY)
    for number in (JONAS, FEMI):
        meet(engine, number, at=NOON - 2 * DAY)
    answered(engine, DOT, "coming")
    answered(engine, EVE, "off")
    answered(engine, FAY, "waiting")
    return engine


# Whom it reaches


@pytest.mark.parametrize(
    ("audience", "on", "reached"),
    [
        (Audience("list", list_id="course-news"), None, [KIM, LEE]),
        (Audience("list", list_id="event-news"), None, [LEE, SAM]),
        (Audience("list", list_id="no-such-list"), None, []),
        (Audience("everyone"), None, [KIM, LEE, SAM]),
        (Audience("event", event="dusk-league"), LEAGUE, [DOT, FAY]),
        (Audience("event", event="dusk-league"), DayId("dusk-league", date(2027, 6, 16)), []),
        (Audience("event", event="dusk-league"), None, []),
        (Audience("helpers"), None, [f"+190255501{number:02}" for number in range(1, 6)]),  # also who never wrote
        (Audience("lately"), None, [DOT, EVE, FAY, CALLUM]),  # who sends it has just written too
    ],
    ids=lambda value: value.kind if isinstance(value, Audience) else None,
)
def test_each_audience_is_who_it_says_and_each_is_counted_and_written_once(
    club: Engine, audience: Audience, on: DayId | None, reached: list[str]
) -> None:
    begun(club, a_broadcast(audience, on=on))

    assert recipients(club) == sorted(reached)
    with club.connect() as connection:
        reach = read_reach(connection, audience, on, HELPERS, NOON)
    assert sum(reach.people.values()) == len(reached)
    (kept,) = rows(club, broadcasts)
    assert (kept["people"], kept["left_out"], kept["person"], kept["number"]) == (len(reached), 0, "callum", CALLUM)


def test_a_text_to_the_helpers_reaches_also_those_who_never_wrote(club: Engine) -> None:
    begun(club, a_broadcast(Audience("helpers")))

    assert recipients(club) == sorted(HELPERS)


def test_who_asked_more_than_a_day_ago_is_not_who_asked_lately(engine: Engine) -> None:
    meet(engine, KIM, at=NOON - DAY + SECOND)
    meet(engine, LEE, at=NOON - DAY)
    begun(engine, a_broadcast(Audience("lately")))

    assert recipients(engine) == sorted([KIM, CALLUM])


def test_who_has_opted_out_and_whom_nothing_reaches_are_left_out_and_counted(club: Engine) -> None:
    for number in (DOT, FAY, GUS):
        done(club, Subscribe(list_id="course-news", words="on"), sender=number, id=f"on {number}")
    done(club, OptOut(words="stop"), sender=KIM, id="stop")
    ended_in(club, DOT, "failed", NOON - HOUR)
    ended_in(club, GUS, "given up", NOON - HOUR)
    ended_in(club, FAY, "failed", NOON - 2 * HOUR)
    ended_in(club, FAY, "delivered", NOON - HOUR)
    ended_in(club, LEE, "sent", NOON - HOUR)
    with club.connect() as connection:
        reach = read_reach(connection, COURSE_NEWS, None, HELPERS, NOON)
    begun(club, a_broadcast())

    assert (reach.people, reach.opted_out, reach.unreachable) == ({"en": 1, "fr": 1}, 1, 2)
    assert recipients(club) == sorted([FAY, LEE])
    assert [row["left_out"] for row in rows(club, broadcasts)] == [3]


def test_each_gets_it_in_their_language_and_english_where_it_is_not_known(club: Engine) -> None:
    begun(club, a_broadcast(Audience("everyone")))

    assert {row["recipient"]: row["text"] for row in texts_of(club)} == {
        KIM: WORDS["en"],
        LEE: WORDS["fr"],
        SAM: WORDS["en"],
    }


async def test_what_is_shown_is_what_is_sent(house: House, club: Engine) -> None:
    done(club, Subscribe(list_id="course-news", words="on"), sender=DOT, id="on")
    done(club, OptOut(words="stop"), sender=DOT, id="stop")
    shown = await house.text(CALLUM, "course news: new baskets")
    assert all(
        words in shown for words in ("2 phones (1 English, 1 French)", "New baskets", "YES 10000001", "opted out")
    )
    assert texts_of(club) == []
    await house.text(CALLUM, "fr: nouveaux paniers")
    await house.text(CALLUM, "yes 10000002")
    await house.go(NOON + MINUTE)

    got = {one.recipient: one.text for one in house.line.handed if one.recipient in {KIM, LEE, DOT}}
    assert got == {KIM: "Tern Harbour DGC: New baskets", LEE: "Tern Harbour DGC: Nouveaux paniers"}


async def test_the_code_works_once_and_only_the_right_one(house: House, club: Engine) -> None:
    await house.text(CALLUM, "course news: new baskets")
    await house.text(CALLUM, "yes 9999")
    assert rows(club, broadcasts) == []
    await house.text(CALLUM, "yes 10000001")
    await house.text(CALLUM, "yes 10000001")

    assert len(rows(club, broadcasts)) == 1
    assert recipients(club) == [KIM, LEE]


# In one transaction


def test_each_person_has_one_text_by_its_key(club: Engine) -> None:
    begun(club, a_broadcast(Audience("everyone")))
    begun(club, a_broadcast(Audience("everyone")))

    for number in (1, 2):
        assert sorted(row["key"] for row in texts_of(club, number)) == sorted(
            f"broadcast:{number}:{phone}" for phone in (KIM, LEE, SAM)
        )


def failing_id(after: int) -> Callable[[], str]:
    """New ids, until the disk is full."""
    count = itertools.count(1)

    def new() -> str:
        number = next(count)
        if number > after:
            raise OSError("no space left on device")
        return f"bad_{number}"

    return new


@pytest.mark.parametrize("after", [1, 40, 70])
async def test_where_it_cannot_be_written_down_whole_nothing_is_and_the_code_still_works(
    house: House, engine: Engine, after: int
) -> None:
    a_crowd(engine)
    await house.text(CALLUM, "course news: new baskets")
    good, house.pen = house.pen, a_pen(failing_id(after))
    house.comes_in(CALLUM, "yes 10000001")
    assert await house.answering.answer_some() == 0
    assert (rows(engine, broadcasts), texts_of(engine), len(rows(engine, drafts))) == ([], [], 1)
    assert [row["state"] for row in rows(engine, inbox)] == ["answered", "waiting"]

    house.pen = good
    assert await house.answering.answer_some() == 1
    assert recipients(engine) == CROWD
    assert rows(engine, drafts) == []


def test_a_unit_that_runs_twice_because_of_another_writes_it_once(engine: Engine) -> None:
    a_crowd(engine)
    calls: list[str] = []

    def unit(connection: Connection) -> None:
        from_callum = a_text("yes", sender=CALLUM, id="yes")
        calls.append(from_callum.their_id)
        assert put_down(connection, from_callum)
        start_broadcast(connection, a_broadcast(), CALLUM, numbered("twice_"), OUR_NUMBER, NOON)

    def bad(connection: Connection) -> None:
        raise OSError("no space left on device")

    results = run_group(engine, [unit, bad])

    assert (calls, results[0], type(results[1])) == (["yes", "yes"], None, OSError)
    assert recipients(engine) == CROWD
    assert len(rows(engine, broadcasts)) == 1


# Pace and night


def test_the_texts_are_due_at_the_pace_in_the_order_they_were_written(engine: Engine) -> None:
    a_crowd(engine)
    begun(engine, a_broadcast(per_minute=30))

    assert [row["due_at"] for row in texts_of(engine)] == [NOON + place * 2 * SECOND for place in range(70)]


async def test_they_go_when_they_are_due_and_not_before(house: House, engine: Engine) -> None:
    a_crowd(engine)
    begun(engine, a_broadcast(per_minute=6))

    assert len(await house.told(NOON)) == 1
    assert len(await house.told(NOON + 9 * SECOND)) == 0
    assert len(await house.told(NOON + MINUTE)) == 6


async def test_what_does_not_go_out_before_the_night_goes_out_after_it(house: House, engine: Engine) -> None:
    a_crowd(engine)
    late = june(7, 20, 59)
    begun(engine, a_broadcast(quiet=quiet_hours(house.handbook.knowledge)), at=late)

    assert len(await house.told(late + 59 * SECOND)) == 60
    for night in (june(7, 21), june(7, 23), june(8, 7, 59, 59)):
        assert await house.told(night) == []
    assert await house.told(june(8, 8, 0, 9)) == CROWD[60:]


def code_in(shown: str) -> str:
    return shown.partition("reply YES ")[2][:8]


async def test_a_text_of_safety_to_those_coming_today_passes_the_night(house: House, club: Engine) -> None:
    house.clock.now = june(9, 21, 10)
    await house.text(PRIYA, f"yes {code_in(await house.text(PRIYA, 'thunder'))}")
    await house.go(june(9, 21, 10, 1))

    got = [one.recipient for one in house.line.handed if "Play is on hold: thunder near" in one.text]
    assert sorted(got) == [DOT, FAY]


async def test_any_other_text_to_those_coming_today_waits_for_the_morning(house: House, club: Engine) -> None:
    house.clock.now = june(9, 17)
    shown = await house.text(PRIYA, "tell dusk league: bring a jacket")
    assert "2 phones" in shown
    with club.begin() as connection:
        connection.execute(drafts.update().values(until=june(9, 23)))
    house.clock.now = june(9, 21, 10)
    await house.text(PRIYA, f"yes {code_in(shown)}")

    assert [row["due_at"] for row in texts_of(club)] == [june(10, 8), june(10, 8, 0, 1)]
    assert [recipient for recipient, text in await house.go(june(9, 23)) if "jacket" in text] == []


async def test_the_pace_is_the_one_in_the_files(house: House, engine: Engine) -> None:
    a_crowd(engine)
    knowledge = house.handbook.knowledge
    club = replace(knowledge.club, texts_a_minute=6)
    house.handbook = replace(house.handbook, knowledge=replace(knowledge, club=club))
    shown = await house.text(CALLUM, "course news: new baskets")
    assert "12 minutes" in shown
    await house.text(CALLUM, f"yes {code_in(shown)}")

    assert [row["due_at"] for row in texts_of(engine)] == [NOON + place * 10 * SECOND for place in range(70)]


async def test_what_is_tried_again_keeps_the_night_too(house: House, engine: Engine) -> None:
    a_crowd(engine, [KIM])
    late = june(7, 20, 59, 58)
    begun(engine, a_broadcast(quiet=quiet_hours(house.handbook.knowledge)), at=late)
    house.line.answers(KIM, FAILED)
    await house.told(late)

    assert await house.told(june(7, 22)) == []


@pytest.mark.parametrize(
    "again",
    [
        june(7, 20, 58),
        june(7, 22),
    ],
)
async def test_what_was_held_keeps_the_night_too(house: House, engine: Engine, again: datetime) -> None:
    many = [f"+1902556{number:04}" for number in range(200)]
    a_crowd(engine, many)
    begun(engine, a_broadcast(quiet=quiet_hours(house.handbook.knowledge)), at=june(7, 20, 50))
    house.clock.now = june(7, 20, 50)
    await house.text(CALLUM, "hold sending")
    house.clock.now = again
    await house.obeyed(CALLUM, "go on sending")
    house.line.handed.clear()

    assert await house.told(june(7, 22, 30)) == []


async def test_a_text_that_is_due_a_day_after_the_first_is_tried_again_as_any_other(
    house: House, engine: Engine
) -> None:
    a_crowd(engine, CROWD[:2])
    begun(engine, a_broadcast(per_minute=1), at=NOON)
    with engine.begin() as connection:  # as that of number 50,000 would be
        connection.execute(
            outbox.update()
            .where(outbox.c.recipient == CROWD[1])
            .values(due_at=NOON + 25 * HOUR, created_at=NOON + 25 * HOUR)
        )
    house.line.answers(CROWD[1], FAILED)
    await house.told(NOON)
    await house.told(NOON + 25 * HOUR)

    assert await house.told(NOON + 25 * HOUR + 5 * SECOND) == [CROWD[1]]


# Replies first


async def test_a_reply_overtakes_what_waits_also_to_the_same_phone(house: House, engine: Engine) -> None:
    a_crowd(engine)
    begun(engine, a_broadcast(per_minute=60_000))
    house.clock.forward(MINUTE)
    asker = CROWD[-1]
    house.comes_in(asker, "can i bring my dog")
    await all_of(house.answering.answer_some)
    await house.sending.send_due()

    assert house.line.handed[0].recipient == asker
    assert "on a lead" in house.line.handed[0].text
    await house.go()
    got = [one.text for one in house.line.handed if one.recipient == asker]
    assert len(got) == 2
    assert got[1] == WORDS["en"]


async def test_a_reply_does_not_wait_for_one_that_is_tried_again(house: House, engine: Engine) -> None:
    a_crowd(engine, [KIM])
    begun(engine, a_broadcast())
    house.line.answers(KIM, FAILED)
    await house.told(NOON)

    assert "on a lead" in await house.text(KIM, "can i bring my dog")
    assert await house.told(NOON + 5 * SECOND) == [KIM]


# Held


async def test_what_has_not_gone_is_held_and_goes_on_in_its_order_each_once(house: House, engine: Engine) -> None:
    a_crowd(engine)
    begun(engine, a_broadcast())
    first = await house.told(NOON + 19 * SECOND)
    await house.text(CALLUM, "hold sending")
    assert await house.told(NOON + 30 * MINUTE) == []
    await house.obeyed(CALLUM, "go on sending")
    rest: list[str] = []
    for second in range(60):
        rest += await house.told(NOON + 30 * MINUTE + second * SECOND)

    assert first == CROWD[:20]
    assert [*first, *[one.recipient for one in house.line.handed if one.text == WORDS["en"]][20:]] == CROWD
    assert len(rest) in {49, 50}
    assert Counter(row["state"] for row in texts_of(engine)) == {"sent": 70}


async def test_what_goes_on_keeps_the_pace(house: House, engine: Engine) -> None:
    a_crowd(engine)
    begun(engine, a_broadcast())
    with engine.begin() as connection:
        hold(connection)
    house.clock.now = NOON + HOUR
    with engine.begin() as connection:
        go_on(connection, 60, QuietHours(time(21), time(8), HALIFAX), NOON + HOUR)

    assert [row["due_at"] for row in texts_of(engine)] == [NOON + HOUR + place * SECOND for place in range(70)]


async def test_held_twice_and_gone_on_with_twice_nothing_is_lost_or_doubled(house: House, engine: Engine) -> None:
    a_crowd(engine)
    begun(engine, a_broadcast())
    got: list[str] = []
    for minute, order in enumerate(["hold", "hold", "go on", "go on", "hold", "go on", "go on"]):
        house.clock.now = NOON + minute * 5 * SECOND
        await (house.obeyed if order == "go on" else house.text)(CALLUM, f"{order} sending")
    await house.go(NOON + HOUR)
    got = [one.recipient for one in house.line.handed if one.text == WORDS["en"]]

    assert got == CROWD


async def test_replies_go_while_texts_to_many_are_held(house: House, engine: Engine) -> None:
    a_crowd(engine, [KIM])
    begun(engine, a_broadcast(), at=NOON + MINUTE)
    await house.text(CALLUM, "hold sending")

    assert "on a lead" in await house.text(KIM, "can i bring my dog")
    assert await house.told(NOON + HOUR) == []


async def test_an_opt_out_while_it_is_sent_or_held_is_honoured(house: House, engine: Engine) -> None:
    a_crowd(engine, [KIM, LEE, SAM])
    begun(engine, a_broadcast(per_minute=1))
    assert await house.told(NOON) == [KIM]
    await house.text(LEE, "stop")
    assert await house.told(NOON + MINUTE) == []
    await house.text(CALLUM, "hold sending")
    await house.text(SAM, "stop")
    await house.obeyed(CALLUM, "go on sending")
    assert await house.told(NOON + HOUR) == []

    assert {row["recipient"]: (row["state"], row["reason"]) for row in texts_of(engine)} == {
        KIM: ("sent", None),
        LEE: ("dropped", "opted out"),
        SAM: ("dropped", "opted out"),
    }


# Told of


def ends(heard: Sequence[tuple[str, str]]) -> list[str]:
    return [text for recipient, text in heard if recipient == CALLUM and text.startswith("Your text is out")]


async def test_whoever_sent_it_hears_once_what_became_of_it(house: House, engine: Engine) -> None:
    a_crowd(engine, [KIM, LEE, SAM, DOT])
    done(engine, OptOut(words="stop"), sender=DOT, id="stop")
    begun(engine, a_broadcast(per_minute=1))
    house.line.answers(LEE, *[FAILED] * 10)
    assert ends(await house.go(NOON)) == []
    await house.text(SAM, "stop")
    assert ends(await house.go(NOON + 2 * MINUTE)) == []  # Lee's is tried again
    heard = [one for hour in range(14) for one in await house.go(NOON + (hour + 1) * HOUR)]

    assert ends(heard) == ["Your text is out: 1 sent, 0 delivered so far, 1 refused, 2 left out."]
    assert ends(await house.go(NOON + 2 * DAY)) == []
    assert [row["state"] for row in rows(engine, broadcasts)] == ["ended"]


async def test_of_two_each_end_is_told(house: House, engine: Engine) -> None:
    a_crowd(engine, [KIM])
    begun(engine, a_broadcast())
    begun(engine, a_broadcast())

    assert len(ends(await house.go(NOON + MINUTE))) == 2


async def test_while_it_is_held_its_end_is_not_told(house: House, engine: Engine) -> None:
    a_crowd(engine)
    begun(engine, a_broadcast())
    await house.told(NOON)
    await house.text(CALLUM, "hold sending")

    assert ends(await house.go(NOON + DAY)) == []


async def test_the_end_is_told_also_where_it_was_held_when_the_last_had_just_gone(house: House, engine: Engine) -> None:
    a_crowd(engine, [KIM])
    begun(engine, a_broadcast())
    await all_of(house.sending.send_due)
    house.comes_in(CALLUM, "hold sending")
    await all_of(house.answering.answer_some)
    await house.obeyed(CALLUM, "go on sending")

    heard = [(one.recipient, one.text) for one in house.line.handed]
    assert len(ends([*heard, *await house.go(NOON + HOUR)])) == 1


def test_two_processes_tell_one_end(engine: Engine, handbook: Handbook) -> None:
    """Both have seen that it is over; the second to write finds it told."""
    a_crowd(engine, [KIM])
    begun(engine, a_broadcast())
    with engine.begin() as connection:
        connection.execute(outbox.update().values(state="sent"))
    for process in ("one_", "two_"):
        with engine.begin() as connection:
            let_fall_due(connection, handbook.knowledge, a_pen(numbered(process)), NOON + MINUTE)

    assert len([row for row in rows(engine, outbox) if row["key"] == "broadcast:1:ended"]) == 1


# Killed


KILLS = 2
MANY = [f"+1902557{number:04}" for number in range(KILLS * 64 + 60)]


def _happened(killing: Killing, _: Sent) -> None:
    killing.happened()


@pytest.mark.usefixtures("handbook")  # learns the ways of asking where nobody has yet
async def test_killed_again_and_again_while_sending_each_has_it_once(tmp_path: Path) -> None:
    """Three lives of the real service, two ended by SIGKILL at random moments of sending. Thirty-two are on their way at once; from the
    second life on it is killed after those, so that nobody's text is cut off twice.
    """
    chance, file = random.Random(20270608), tmp_path / "club.db"
    engine = a_database(file)
    a_crowd(engine, MANY)
    begun(engine, a_broadcast(per_minute=600_000), at=wall_clock())
    engine.dispose()
    handed: list[tuple[int, Sent]] = []  # with the life it happened in

    async with a_gateway() as gateway:
        for life_number in range(KILLS):
            async with a_life(file, gateway) as life:
                nth = chance.randint(1, 32) if life_number == 0 else chance.randint(33, 60)
                killing = Killing(life, nth, chance.choice([0.0, chance.uniform(0, 0.004)]))
                gateway.on_asked = partial(_happened, killing)
                await asyncio.wait_for(life.process.wait(), START_DEADLINE)
            gateway.on_asked = lambda _: None
            assert life.process.returncode == -signal.SIGKILL, life.log
            handed += [(life_number, sent) for sent in gateway.asked[len(handed) :]]

        async with a_life(file, gateway) as life:
            await until(lambda: look(file, "SELECT state FROM outbox WHERE key = 'broadcast:1:ended'") == [("sent",)])
            life.process.send_signal(signal.SIGTERM)
            assert await life.process.wait() == 0
        handed += [(KILLS, sent) for sent in gateway.asked[len(handed) :]]

    ours = [(life_number, sent) for life_number, sent in handed if sent.to in MANY]
    assert look(file, "SELECT state, count(*) FROM outbox WHERE broadcast = 1 GROUP BY 1") == [("sent", len(MANY))]
    assert {sent.to: sent.text for _, sent in ours} == dict.fromkeys(MANY, WORDS["en"])
    assert len({(sent.to, sent.id) for _, sent in ours}) == len(MANY)
    assert set(Counter((life_number, sent.id) for life_number, sent in ours).values()) == {1}
    assert set(Counter(sent.id for _, sent in ours).values()) == {1, 2}, "no kill came between, or one text went thrice"
    assert len([sent for _, sent in handed if sent.to == CALLUM and sent.text.startswith("Your text is out")]) == 1
    assert look(file, "PRAGMA integrity_check") == [("ok",)]
