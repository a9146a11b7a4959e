"""GET /calendar.ics: languages, what is sent again and what is not."""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import date, datetime, timedelta

import pytest
from aiohttp import web
from aiohttp.test_utils import TestClient
from icalendar import Calendar
from pytest_aiohttp.plugin import AiohttpClient

from clubbot.model.calendar import Revision
from clubbot.model.club import Knowledge
from clubbot.site.calendar import CalendarFeed
from tests.conftest import NOON
from tests.site.test_feed import club as club  # the fixture

Client = TestClient[web.Request, web.Application]


@dataclass
class Office:
    """What the feed asks for; a test may change any of it between two requests."""

    knowledge: Knowledge
    now: datetime = NOON
    revisions: dict[tuple[str, date | None], Revision] = field(default_factory=dict)

    async def read_revisions(self) -> Mapping[tuple[str, date | None], Revision]:
        return self.revisions


@pytest.fixture
def office(club: Knowledge) -> Office:
    return Office(club)


@pytest.fixture
async def client(office: Office, aiohttp_client: AiohttpClient) -> Client:
    app = web.Application()
    app.add_routes(CalendarFeed(lambda: office.knowledge, office.read_revisions, lambda: office.now).routes())
    return await aiohttp_client(app)


async def language_for(client: Client, accept: str | None, query: str = "") -> str:
    headers = {} if accept is None else {"Accept-Language": accept}
    answer = await client.get(f"/calendar.ics{query}", headers=headers)
    assert answer.status == 200
    return answer.headers["Content-Language"]


async def test_the_calendar_is_served_with_all_that_caches_and_readers_need(client: Client) -> None:
    answer = await client.get("/calendar.ics")
    assert answer.status == 200
    assert answer.headers["Content-Type"] == "text/calendar; charset=utf-8"  # RFC 5545, 8.1
    assert answer.headers["Cache-Control"] == "public, max-age=900"  # RFC 9111, 5.2.2
    assert answer.headers["Content-Disposition"] == 'inline; filename="calendar.ics"'  # RFC 6266, 4
    assert answer.headers["Vary"] == "Accept-Language"  # RFC 9110, 12.5.5
    calendar = Calendar.from_ical(await answer.read())
    assert len(calendar.events) == 6


async def test_head_has_the_headers_of_get_and_no_body(client: Client) -> None:
    get, head = await client.get("/calendar.ics"), await client.head("/calendar.ics")
    assert head.status == 200
    assert await head.read() == b""
    # RFC 9110, 9.3.2
    for name in ("Content-Type", "Content-Length", "ETag", "Cache-Control", "Content-Language", "Vary"):
        assert head.headers[name] == get.headers[name]


@pytest.mark.parametrize("lang", ["en", "fr", "FR"])
async def test_the_address_chooses_the_language_over_all_else(client: Client, lang: str) -> None:
    assert await language_for(client, "en, fr", f"?lang={lang}") == lang.lower()
    answer = await client.get("/calendar.ics", params={"lang": lang})
    name = "Ligue du soir" if lang.lower() == "fr" else "Dusk League"
    assert f":{name}\r\n" in await answer.text()


# RFC 9110, 12.5.4 and 12.4.2: weights from 0 to 1, 0 is "not acceptable", * is any other language.
@pytest.mark.parametrize(
    ("accept", "language"),
    [
        (None, "en"),
        ("", "en"),
        ("fr", "fr"),
        ("fr-CA", "fr"),
        ("FR-ca", "fr"),
        ("fr-CA,fr;q=0.9,en;q=0.8", "fr"),
        ("en;q=0.5, fr;q=0.7", "fr"),
        ("en ; q=0.5 , fr", "fr"),
        ("de, fr;q=0.3", "fr"),
        ("de", "en"),
        ("*", "en"),
        ("en;q=0, *", "fr"),
        ("fr;q=0, en;q=0", "en"),
        ("frr, en;q=0.1", "en"),
        ("fr;q=lots, en;q=0.1", "en"),
        (",,;;=", "en"),
    ],
)
async def test_else_the_caller_chooses_else_the_club(client: Client, accept: str | None, language: str) -> None:
    assert await language_for(client, accept) == language


async def test_a_club_whose_first_language_is_french_answers_in_french(client: Client, office: Office) -> None:
    club = office.knowledge
    office.knowledge = replace(club, club=replace(club.club, languages=("fr", "en")))
    assert await language_for(client, None) == "fr"


@pytest.mark.parametrize("lang", ["de", "", "en-fr"])
async def test_an_unknown_language_is_refused_with_what_to_do(client: Client, lang: str) -> None:
    answer = await client.get("/calendar.ics", params={"lang": lang})
    assert answer.status == 400
    assert answer.content_type == "text/plain"
    assert await answer.text() == "There is no calendar in that language: use ?lang=en or ?lang=fr, or no lang.\n"


async def test_who_has_it_already_is_told_so(client: Client, office: Office) -> None:
    first = await client.get("/calendar.ics")
    office.now += timedelta(days=1)
    again = await client.get("/calendar.ics", headers={"If-None-Match": f'"other", {first.headers["ETag"]}'})
    assert again.status == 304
    assert await again.read() == b""
    # RFC 9110, 15.4.5: what a 304 repeats.
    for name in ("ETag", "Cache-Control", "Vary"):
        assert again.headers[name] == first.headers[name]


async def test_any_copy_is_good_enough_for_a_star(client: Client) -> None:
    # RFC 9110, 13.1.2
    assert (await client.get("/calendar.ics", headers={"If-None-Match": "*"})).status == 304


async def test_the_tag_is_weak_for_the_stamp_of_new_entries_follows_the_clock(client: Client, office: Office) -> None:
    first = await client.get("/calendar.ics")
    office.now += timedelta(days=1)
    second = await client.get("/calendar.ics")
    # RFC 9110, 8.8.1: a strong tag would promise the same bytes.
    assert first.headers["ETag"].startswith('W/"')
    assert first.headers["ETag"] == second.headers["ETag"]
    assert await first.read() != await second.read()


async def test_the_tag_changes_with_the_facts_the_revisions_and_the_language(client: Client, office: Office) -> None:
    tags = [(await client.get("/calendar.ics")).headers["ETag"]]
    office.revisions[("dusk-league", None)] = Revision(1, NOON)
    tags.append((await client.get("/calendar.ics")).headers["ETag"])
    office.knowledge = replace(office.knowledge, events=office.knowledge.events[:3])
    tags.append((await client.get("/calendar.ics")).headers["ETag"])
    tags.append((await client.get("/calendar.ics?lang=fr")).headers["ETag"])
    assert len(set(tags)) == 4
    stale = await client.get("/calendar.ics", headers={"If-None-Match": tags[0]})
    assert stale.status == 200
