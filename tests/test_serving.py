"""The whole service: a signed text comes in, its reply goes out, once; nothing is lost over restarts; no log shows a number."""

import asyncio
import contextlib
import logging
import re
import shutil
import sqlite3
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager, closing
from dataclasses import dataclass
from datetime import UTC, timedelta
from pathlib import Path

import aiohttp
import pytest

from clubbot.handbook.beside import HandbookBeside
from clubbot.handbook.book import Handbook
from clubbot.logs import MaskingFormatter
from clubbot.model.errors import KnowledgeFault, SchemaFault, SettingsFault
from clubbot.serving import Clock, Serving, new_id, serving, wall_clock
from clubbot.settings import DemoClock, Settings, read_settings
from clubbot.texting.numbers import to_e164
from clubbot.texting.parts import count
from tests.builders import KIM, OUR_NUMBER, rewrite
from tests.conftest import NOON, ROOT
from tests.fakes import DEADLINE, GATEWAY_SECRET, INBOUND_SECRET, FakeGateway, Phone, a_gateway, numbers_in, until
from tests.store.builders import JONAS, LEE, PRIYA, SAM

pytestmark = pytest.mark.usefixtures("handbook")  # learns the ways of asking where nobody has yet


@pytest.fixture
async def gateway() -> AsyncIterator[FakeGateway]:
    async with a_gateway() as gateway:
        yield gateway


@pytest.fixture
def settings(tmp_path: Path, gateway: FakeGateway) -> Settings:
    """A Monday in June at noon, sixty times as fast, so that a second try comes at the next tick."""
    return some_settings(tmp_path, gateway)


def some_settings(folder: Path, gateway: FakeGateway, **others: str) -> Settings:
    usual = {
        "knowledge": str(ROOT / "knowledge"),
        "database_url": f"sqlite:///{folder}/club.db",
        "port": "0",
        "inbound_secret": INBOUND_SECRET,
        "gateway_url": gateway.url,
        "gateway_secret": GATEWAY_SECRET,
        "clock": "2027-06-07T12:00:00-03:00@60",
    }
    return read_settings({f"CLUBBOT_{name.upper()}": value for name, value in (usual | others).items()})


@dataclass(frozen=True)
class Club:
    """A running service, with a phone to text it from and a look into its file."""

    service: Serving
    phone: Phone
    file: Path

    def ask(self, sql: str) -> list[tuple[object, ...]]:
        """What a connection of its own sees as committed."""
        with closing(sqlite3.connect(self.file)) as other:
            return list(other.execute(sql))

    @property
    def is_done(self) -> bool:
        """Whether nothing waits to be answered or sent."""
        (((texts_in,), (texts_out,))) = self.ask(
            "SELECT count(*) FROM inbox WHERE state = 'waiting' "
            "UNION ALL SELECT count(*) FROM outbox WHERE state = 'waiting'"
        )
        return (texts_in, texts_out) == (0, 0)

    async def done(self) -> None:
        await until(lambda: self.is_done)


@asynccontextmanager
async def running(settings: Settings) -> AsyncIterator[Club]:
    async with serving(settings) as service, aiohttp.ClientSession() as session:
        phone = Phone(session=session, url=f"http://{service.host}:{service.port}/inbound")
        yield Club(service, phone, Path(settings.database_url.removeprefix("sqlite:///")))


# A text in, the reply out


async def test_a_signed_text_comes_out_at_the_gateway_as_a_signed_reply(
    settings: Settings, gateway: FakeGateway
) -> None:
    async with running(settings) as club:
        assert await club.phone.text("can i bring my dog?", id="text-1") == 200
        await club.done()
    (sent,) = gateway.asked

    assert (sent.to, sent.sender, sent.parts, sent.signed) == (KIM, OUR_NUMBER, count(sent.text), True)
    assert "on a lead" in sent.text


async def test_when_200_is_said_the_text_is_on_disk(settings: Settings) -> None:
    async with running(settings) as club:
        await club.phone.text("is it open", id="text-1")
        assert club.ask("SELECT their_id, sender, text FROM inbox") == [("text-1", KIM, "is it open")]


async def test_the_hour_is_that_of_the_clock_in_the_settings(tmp_path: Path, gateway: FakeGateway) -> None:
    async with running(some_settings(tmp_path, gateway, clock="2027-12-24T23:30:00-04:00")) as club:
        await club.phone.text("i want to talk to a real person", id="text-1")
        await until(lambda: bool(gateway.to(KIM)))  # the note to the volunteer waits for the morning

    assert "Sat 25 December" in gateway.to(KIM)[0].text


async def test_texts_of_one_sender_are_answered_in_order(settings: Settings, gateway: FakeGateway) -> None:
    async with running(settings) as club:
        for number, text in enumerate(("can i bring my dog", "how much is membership", "is there a toilet")):
            await club.phone.text(text, id=f"text-{number}")
        await club.done()
        served = club.ask("SELECT served FROM inbox ORDER BY id")

    assert [word in sent.text for word, sent in zip(("lead", "25", "oathouse"), gateway.to(KIM), strict=True)] == [
        True
    ] * 3
    assert served == [("dogs",), ("membership",), ("facilities",)]


async def test_the_person_on_duty_is_told_and_the_answer_goes_back(settings: Settings, gateway: FakeGateway) -> None:
    async with running(settings) as club:
        await club.phone.text("i want a refund, your volunteer was rude to my husband", id="text-1")
        await club.done()
        (note,) = gateway.to(JONAS)
        number = re.search(r"Q(\d+)", note.text)
        assert number
        await club.phone.text(f"Q{number[1]} I am sorry, let us talk", sender=JONAS, id="text-2")
        await club.done()

    assert "Jonas" in gateway.to(KIM)[0].text
    assert gateway.to(KIM)[1].text == "Jonas from Tern Harbour DGC: I am sorry, let us talk"


async def test_a_report_is_kept(settings: Settings, gateway: FakeGateway) -> None:
    async with running(settings) as club:
        await club.phone.text("is it open", id="text-1")
        await club.done()
        assert await club.phone.report("message.delivered", about=gateway.taken[0].id) == 200
        assert club.ask("SELECT state FROM outbox") == [("delivered",)]


# Once


@pytest.mark.parametrize("writer", ["thread", "loop"])
@pytest.mark.parametrize("same", ["webhook id", "message id", "both"])
async def test_fifty_posts_of_one_text_at_once_get_one_reply(
    tmp_path: Path, gateway: FakeGateway, writer: str, same: str
) -> None:
    """The webhook-id is the key of idempotency. Standard Webhooks: spec/standard-webhooks.md. READ"""
    async with running(some_settings(tmp_path, gateway, writer=writer)) as club:
        told = await asyncio.gather(
            *(
                club.phone.text(
                    "is it open",
                    id="text-1" if same != "webhook id" else f"text-{number}",
                    delivery="delivery-1" if same != "message id" else f"delivery-{number}",
                )
                for number in range(50)
            )
        )
        await club.done()
        assert club.ask("SELECT count(*) FROM inbox UNION ALL SELECT count(*) FROM outbox") == [(1,), (1,)]

    assert told == [200] * 50
    assert len(gateway.asked) == 1


async def test_the_same_again_after_a_restart_on_the_same_file_gets_no_second_reply(
    settings: Settings, gateway: FakeGateway
) -> None:
    async with running(settings) as club:
        await club.phone.text("is it open", id="text-1")
        await club.done()
    async with running(settings) as club:
        assert await club.phone.text("is it open", id="text-1") == 200
        assert await club.phone.text("is it open", id="text-2", delivery="delivery of text-1") == 200
        await club.phone.text("can i bring my dog", id="text-3")
        await club.done()

    assert ["open" in sent.text for sent in gateway.asked] == [True, False]
    assert len(gateway.times_taken) == 2


# Patience


@pytest.mark.parametrize("status", [400, 401, 404, 500, 502, 301])
async def test_a_reply_that_was_not_taken_is_sent_again_under_its_id(
    settings: Settings, gateway: FakeGateway, status: int
) -> None:
    gateway.fail_next(1, status)
    async with running(settings) as club:
        await club.phone.text("is it open", id="text-1")
        await club.done()

    assert [sent.status for sent in gateway.asked] == [status, 204]
    assert gateway.asked[0].id == gateway.asked[1].id


@pytest.mark.parametrize("status", [429, 503])
async def test_a_gateway_that_asks_for_time_gets_it_from_everybody(
    settings: Settings, gateway: FakeGateway, status: int
) -> None:
    """RFC 9110, 10.2.3: Retry-After in seconds. READ. Here they run sixty times as fast."""
    gateway.fail_next(1, status, {"Retry-After": "120"})
    async with running(settings) as club:
        await club.phone.text("is it open", id="text-1", sender=KIM)
        await until(lambda: len(gateway.asked) == 1)
        await until(lambda: club.ask("SELECT reason FROM outbox") == [(f"the gateway answered {status}",)])
        refused_at = club.service.clock()
        await club.phone.text("is it open", id="text-2", sender=LEE)
        await until(lambda: len(gateway.asked) > 1)
        waited = club.service.clock() - refused_at
        await club.done()
        attempts = club.ask("SELECT attempts FROM outbox")

    assert waited > timedelta(seconds=60)
    assert sorted(sent.to for sent in gateway.taken) == [KIM, LEE]
    assert attempts == [(1,), (1,)]


async def test_an_outage_of_the_gateway_loses_nothing(tmp_path: Path, gateway: FakeGateway) -> None:
    """The service is stopped while nobody listens at the gateway's address, and starts when somebody does."""
    nobody = some_settings(tmp_path, gateway, gateway_url="http://127.0.0.1:9/send")
    async with running(nobody) as club:
        for number, sender in enumerate((KIM, LEE, SAM)):
            await club.phone.text("is it open", id=f"text-{number}", sender=sender)
        await until(lambda: club.ask("SELECT count(*) FROM outbox WHERE attempts > 0") == [(3,)])
    # Later, so that what is to be tried again is due.
    async with running(some_settings(tmp_path, gateway, clock="2027-06-07T15:00:00-03:00")) as club:
        await club.done()

    assert sorted(sent.to for sent in gateway.taken) == [KIM, LEE, SAM]


async def test_what_was_on_its_way_when_the_service_stopped_goes_out_at_the_next_start_under_its_id(
    settings: Settings, gateway: FakeGateway
) -> None:
    gateway.open.clear()
    async with running(settings) as club:
        await club.phone.text("is it open", id="text-1")
        await until(lambda: len(gateway.asked) == 1)
    gateway.open.set()
    async with running(settings) as club:
        await club.done()

    assert len(gateway.asked) == 2
    assert len(gateway.times_taken) == 1


async def test_an_opt_out_is_confirmed_and_then_there_is_silence(settings: Settings, gateway: FakeGateway) -> None:
    async with running(settings) as club:
        for number, text in enumerate(("is it open", "stop", "is it open", "stop", "hello?")):
            await club.phone.text(text, id=f"text-{number}")
        await club.done()
        proof = club.ask("SELECT number, what, channel, words FROM consents WHERE what = 'stop'")

    assert ["no more texts" in sent.text for sent in gateway.to(KIM)] == [False, True]
    assert proof == [(KIM, "stop", "webhook", "stop")]


# Knowledge


@pytest.fixture
def knowledge(tmp_path: Path) -> Path:
    return Path(shutil.copytree(ROOT / "knowledge", tmp_path / "knowledge"))


async def looked_twice(handbook: HandbookBeside) -> None:
    """A file is taken up once it was still for one look."""
    for _ in range(2):
        await asyncio.to_thread(handbook.look)


async def test_a_changed_price_is_told_without_a_restart(tmp_path: Path, knowledge: Path, gateway: FakeGateway) -> None:
    async with running(some_settings(tmp_path, gateway, knowledge=str(knowledge))) as club:
        await club.phone.text("how much is membership", id="text-1", sender=KIM)
        await club.done()
        rewrite(knowledge / "club.toml", "membership = 25", "membership = 31")
        await looked_twice(club.service.handbook)
        await until(lambda: "$31" in club.service.handbook.knowledge.answers["membership"].paragraphs["en"][0])
        await club.phone.text("how much is membership", id="text-2", sender=LEE)
        await club.done()

    assert ["$31" in gateway.to(sender)[0].text for sender in (KIM, LEE)] == [False, True]


async def test_a_broken_file_is_refused_said_and_the_old_one_stays_until_it_is_mended(
    tmp_path: Path, knowledge: Path, gateway: FakeGateway, caplog: pytest.LogCaptureFixture
) -> None:
    async with running(some_settings(tmp_path, gateway, knowledge=str(knowledge))) as club:
        beside, before = club.service.handbook, club.service.handbook.knowledge
        rewrite(knowledge / "club.toml", "membership = 25", "membership = ")
        await looked_twice(beside)
        await until(lambda: bool(beside.refused))
        await club.phone.text("how much is membership", id="text-1", sender=KIM)
        await club.done()
        assert beside.knowledge is before

        rewrite(knowledge / "club.toml", "membership = ", "membership = 32")
        await looked_twice(beside)
        await until(lambda: not beside.refused)
        await club.phone.text("how much is membership", id="text-2", sender=LEE)
        await club.done()

    assert ["$25" in gateway.to(KIM)[0].text, "$32" in gateway.to(LEE)[0].text] == [True, True]
    assert "knowledge not taken up, the old one stays" in caplog.text
    assert "club.toml" in caplog.text


def test_a_file_that_is_still_being_written_is_left_for_the_next_look(knowledge: Path) -> None:
    with contextlib.closing(HandbookBeside(knowledge)) as beside:
        assert not beside.look()
        rewrite(knowledge / "club.toml", "membership = 25", "membership = 3")
        assert not beside.look()
        rewrite(knowledge / "club.toml", "membership = 3\n", "membership = 300\n")
        assert not beside.look()

        assert beside.look()
        assert "$300" in beside.knowledge.answers["membership"].paragraphs["en"][0]
        assert not beside.look()


async def test_the_service_looks_by_itself(tmp_path: Path, knowledge: Path, gateway: FakeGateway) -> None:
    async with running(some_settings(tmp_path, gateway, knowledge=str(knowledge))) as club:
        beside, before = club.service.handbook, club.service.handbook.knowledge
        rewrite(knowledge / "club.toml", "membership = 25", "membership = 33")
        await until(lambda: beside.knowledge is not before)


# Starting and stopping


async def test_a_database_that_is_not_ours_stops_the_start(tmp_path: Path, settings: Settings) -> None:
    with closing(sqlite3.connect(tmp_path / "club.db")) as other:
        other.execute("CREATE TABLE recipes (name)")
    with pytest.raises(SchemaFault, match="not clubbot's"):
        async with serving(settings):
            pass


async def test_broken_knowledge_stops_the_start_with_file_and_line(
    tmp_path: Path, knowledge: Path, gateway: FakeGateway
) -> None:
    rewrite(knowledge / "club.toml", "membership = 25", "membership = ")
    with pytest.raises(KnowledgeFault, match=r"club\.toml:\d+"):
        async with serving(some_settings(tmp_path, gateway, knowledge=str(knowledge))):
            pass


async def test_a_port_that_is_taken_stops_the_start_and_leaves_nothing_running(
    tmp_path: Path, settings: Settings, gateway: FakeGateway
) -> None:
    (tmp_path / "other").mkdir()
    async with serving(settings) as service:
        before = asyncio.all_tasks()
        with pytest.raises(SettingsFault, match="in use"):
            async with serving(some_settings(tmp_path / "other", gateway, port=str(service.port))):
                pass
        assert asyncio.all_tasks() <= before


async def test_once_stopped_nothing_runs_ticks_or_listens(settings: Settings, caplog: pytest.LogCaptureFixture) -> None:
    caplog.set_level(logging.INFO, "apscheduler")
    before = asyncio.all_tasks()
    async with running(settings) as club:
        url = club.phone.url
    async with aiohttp.ClientSession() as session:
        with pytest.raises(aiohttp.ClientConnectionError):
            await session.post(url)

    assert "Scheduler has been shut down" in caplog.text  # the scheduler's own words: nothing else shows that it rests
    assert asyncio.all_tasks() <= before


# The clock and ids


def test_the_clock_is_the_real_one_in_utc_where_no_other_is_set() -> None:
    before, told, after = wall_clock(), Clock(None)(), wall_clock()

    assert before <= told <= after
    assert told.tzinfo is UTC


def test_a_demo_clock_begins_where_it_is_told_and_runs_as_fast_as_it_is_told() -> None:
    begun = wall_clock()
    slow, fast = Clock(DemoClock(NOON, 1)), Clock(DemoClock(NOON, 1e5))
    one, other, real = slow(), fast(), wall_clock() - begun

    assert NOON <= one <= NOON + real
    assert NOON <= other <= NOON + real * 1e5
    assert other - NOON > one - NOON
    assert other.tzinfo is UTC


def test_ids_are_new_and_no_log_can_take_one_for_a_number() -> None:
    ids = {new_id() for _ in range(1000)}

    assert len(ids) == 1000
    assert all(re.fullmatch(r"msg_[a-p]{32}", one) for one in ids)


# The log


def test_the_search_for_numbers_finds_them() -> None:
    told = [KIM, "x9025550142x", "call (902) 555-0142 now", "902 555 01", "…42"]

    assert numbers_in(told, [KIM]) == told[:4]


WRITTEN = ["+1 902 555 0147", "(902) 555-0148", "9025550149"]


async def test_no_log_line_of_a_whole_run_shows_a_number(
    tmp_path: Path, knowledge: Path, gateway: FakeGateway, caplog: pytest.LogCaptureFixture, handbook: Handbook
) -> None:
    """Everything that is logged, from everywhere, before the log's own masking: several senders, volunteers, faults."""
    caplog.set_level(logging.DEBUG)
    texts = [
        "is it open",
        f"my number is {WRITTEN[0]}, please call me about my refund",
        f"stop texting {WRITTEN[1]}",
        "someone got hit in the head hole 3",
        f"i lost a disc, it has {WRITTEN[2]} on it",
        "stop",
        "start",
        "Q1 come by on Sunday",
        "\x00\ufffd",
    ]
    senders = [KIM, LEE, SAM, PRIYA, JONAS, "(902) 555-0145", "19025550146", OUR_NUMBER, "BANK", KIM * 2]
    gateway.fail_next(2, 500)
    gateway.fail_next(1, 429, {"Retry-After": "1"})
    gateway.fail_next(1, 301, {"Location": f"http://127.0.0.1:9/{KIM}"})
    async with running(some_settings(tmp_path, gateway, knowledge=str(knowledge))) as club:
        for round_number, text in enumerate(texts):
            for place, sender in enumerate(senders):
                known_as = f"{to_e164(sender, 'CA') or 'no number'} {round_number} {place}"
                await club.phone.text(text, sender=sender, id=known_as)
        for number in range(22):
            await club.phone.text(f"flood {number}", sender=KIM, id=f"flood {number}")
        await club.phone.text(texts[0], sender=KIM, id=f"{KIM} 0 0")
        await club.phone.report("message.failed", about=KIM)
        await club.phone.post({"type": f"message.{KIM}", "data": {}}, "delivery-1")
        await club.phone.post({"type": "message.received", "data": {"id": KIM, "from": LEE}}, "delivery-2")
        await club.phone.post({"type": "message.received", "data": {}}, "delivery-3", secret=GATEWAY_SECRET)
        rewrite(knowledge / "people.toml", '"+1 902 555 0105"', '"+1 902 555 0101"')
        rewrite(knowledge / "club.toml", "membership = 25", "membership = ")
        await looked_twice(club.service.handbook)
        await until(lambda: bool(club.service.handbook.refused))
        await club.done()
        await asyncio.wait_for(given_up(club, gateway), DEADLINE)
        # The line is written after the row: an end between the two would leave it out.
        await until(lambda: any("gave up" in record.getMessage() for record in caplog.records))
    everybody = (*senders, *WRITTEN, *(person.number for person in handbook.knowledge.people))
    numbers = [e164 for one in everybody if (e164 := to_e164(one, "CA"))]
    lines = [line for record in caplog.records for line in as_logged(record).splitlines()]

    assert len(lines) > 100
    assert numbers_in(lines, numbers) == []


async def given_up(club: Club, gateway: FakeGateway) -> None:
    """One more text, which the gateway does not take in a day."""
    with closing(sqlite3.connect(club.file)) as other:
        other.execute("BEGIN IMMEDIATE")
        other.execute(
            "INSERT INTO outbox (id, key, recipient, sender, text, created_at, due_at, state, attempts, asks_consent) "
            "VALUES ('msg_old', 'old', ?, ?, 'old', 0, 0, 'waiting', 0, 0)",
            (KIM, OUR_NUMBER),
        )
        gateway.fail_next(1, 500)
        other.execute("COMMIT")
    await until(lambda: club.ask("SELECT state FROM outbox WHERE id = 'msg_old'") == [("given up",)])


def as_logged(record: logging.LogRecord) -> str:
    """The line without its time, and the trace under it; the message as it was before any masking."""
    trace = MaskingFormatter().formatException(record.exc_info) if record.exc_info and record.exc_info[0] else ""
    return f"{record.getMessage()}\n{trace}"


# Events


async def test_the_calendar_is_served_beside_the_webhook(settings: Settings) -> None:
    async with running(settings) as club, aiohttp.ClientSession() as session:
        url = f"http://{club.service.host}:{club.service.port}/calendar.ics"
        async with session.get(url) as answer:
            english = await answer.text()
        async with session.get(url, params={"lang": "fr"}) as answer:
            french = await answer.text()

    assert english.startswith("BEGIN:VCALENDAR\r\n")
    assert "Dusk League" in english
    assert "igue du soir" in french


async def test_an_answer_to_an_event_is_kept_over_a_restart_and_reminded_of_once(
    tmp_path: Path, gateway: FakeGateway
) -> None:
    """Three hundred times as fast: the evening before comes within a few real seconds. The service is stopped in between."""
    await _answer(some_settings(tmp_path, gateway, clock="2027-06-08T17:40:00-03:00@1"))
    after = some_settings(tmp_path, gateway, clock="2027-06-08T17:58:00-03:00@120")
    async with running(after) as club:
        await until(lambda: club.ask("SELECT count(*) FROM reminders WHERE state = 'told'") == [(1,)])
        await club.done()

    told = [sent.text for sent in gateway.to(KIM) if sent.text.startswith("Tomorrow")]
    assert len(told) == 1
    assert "(3 people)" in told[0]


async def _answer(settings: Settings) -> None:
    async with running(settings) as club:
        await club.phone.text("in for wed, me + 2", id="text-1")
        await club.done()
        # What has just been said is not said again: the hour of "told already" is over in the file.
        with closing(sqlite3.connect(club.file)) as other:
            other.execute("UPDATE rsvps SET told_at = told_at - 7200")
            other.commit()
