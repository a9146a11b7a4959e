"""The calendar feed, read back by other programs: every day as it is, and every line as RFC 5545 wants it."""

from dataclasses import replace
from datetime import UTC, date, datetime, time, timedelta
from typing import Any
from uuid import UUID
from zoneinfo import ZoneInfo

import pytest
import recurring_ical_events  # type: ignore[import-untyped]  # it ships no types
from dateutil.rrule import rrulestr
from dateutil.tz import gettz
from icalendar import Calendar

from clubbot.events.days import EventDay, event_days, rule_days
from clubbot.handbook.book import Handbook
from clubbot.model.calendar import Revision
from clubbot.model.club import EventChange, EventRule, Knowledge
from clubbot.model.messages import Language, Said
from clubbot.site.feed import Revisions, feed
from tests.conftest import HALIFAX, NOON
from tests.events.test_days import an_event

WEDNESDAY = date(2027, 6, 9)
Entry = Any  # icalendar's type of a value is a union of thirty, to be narrowed at every look


# The shipped sentences, for a tree whose wording files do not have them yet; those of the files come first.
@pytest.fixture
def club(handbook: Handbook) -> Knowledge:
    return handbook.knowledge


def with_events(club: Knowledge, *events: EventRule, zone: str = "America/Halifax") -> Knowledge:
    return replace(club, events=events, club=replace(club.club, time_zone=zone))


def league(club: Knowledge, *changes: EventChange) -> EventRule:
    return replace(club.event("dusk-league"), change=changes)


def season(club: Knowledge) -> Knowledge:
    """The demo club's season with a change of every kind."""
    changes = (
        EventChange(day=date(2027, 5, 12), called_off=True, reason=Said(en="thunder", fr="orage")),
        EventChange(day=date(2027, 5, 19), moved_to=date(2027, 5, 20)),
        EventChange(day=date(2027, 5, 26), meet=Said(en="the second tee", fr="le deuxième départ")),
        EventChange(day=date(2027, 6, 2), starts=time(17), ends=time(19)),
        EventChange(day=date(2027, 6, 9), moved_to=date(2027, 6, 8), called_off=True),
        EventChange(day=date(2027, 9, 29), moved_to=date(2027, 10, 6)),
    )
    others = [event for event in club.events if event.id != "dusk-league"]
    return replace(club, events=(league(club, *changes), *others))


def read(
    club: Knowledge, language: Language = "en", revisions: Revisions | None = None, now: datetime = NOON
) -> Calendar:
    return Calendar.from_ical(feed(club, revisions or {}, language, now))


def entries(calendar: Calendar) -> list[Entry]:
    return list(calendar.events)


def single_entry(club: Knowledge, event: EventRule, language: Language = "en") -> Entry:
    (entry,) = entries(read(with_events(club, event), language))
    return entry


def changed_entry(club: Knowledge, change: EventChange, language: Language = "en") -> Entry:
    _, entry = entries(read(with_events(club, league(club, change)), language))
    return entry


def content_lines(written: bytes) -> list[str]:
    """Unfolded by hand, as RFC 5545, 3.1 says: CRLF and one space are taken out."""
    return written.decode().replace("\r\n ", "").split("\r\n")


Day = tuple[str, datetime, datetime | None, str, str]


def as_told(day: EventDay) -> Day:
    return (
        day.event.id,
        day.starts.astimezone(UTC),
        day.ends.astimezone(UTC) if day.ends else None,
        day.meet.en,
        "CANCELLED" if day.called_off else "CONFIRMED",
    )


def as_read(entry: Entry, ids: dict[str, str]) -> Day:
    ends = entry["DTEND"].dt.astimezone(UTC) if "DTEND" in entry else None
    return (
        ids[str(entry["UID"])],
        entry["DTSTART"].dt.astimezone(UTC),
        ends,
        str(entry["LOCATION"]),
        str(entry["STATUS"]),
    )


def expanded(club: Knowledge, first: date = date(2026, 12, 1), last: date = date(2028, 2, 1)) -> list[Day]:
    calendar = read(club)
    # Rules come first in the feed, in the order of the file.
    rules = [entry for entry in entries(calendar) if "RECURRENCE-ID" not in entry]
    ids = {str(entry["UID"]): event.id for entry, event in zip(rules, club.events, strict=True)}
    return sorted(as_read(entry, ids) for entry in recurring_ical_events.of(calendar).between(first, last))


def really(club: Knowledge) -> list[Day]:
    return sorted(as_told(day) for event in club.events for day in event_days(event, club.club.zone))


# Every day as it is


def test_the_whole_season_is_read_back_day_for_day(club: Knowledge) -> None:
    assert len(really(club)) > 50
    assert expanded(club) == really(club)


def test_a_season_with_changes_is_read_back_day_for_day(club: Knowledge) -> None:
    changed = season(club)
    assert expanded(changed) == really(changed)
    assert [day[4] for day in really(changed)].count("CANCELLED") == 2


def test_every_rule_alone_gives_the_days_that_another_reader_of_rules_finds(club: Knowledge) -> None:
    rules = entries(read(club))
    for event, entry in zip(club.events, rules, strict=True):
        start = entry["DTSTART"].dt.replace(tzinfo=gettz("America/Halifax"))
        found = [one.date() for one in rrulestr(entry["RRULE"].to_ical().decode(), dtstart=start)]
        assert found == rule_days(event)


def test_a_rule_ends_with_its_last_day_in_utc(club: Knowledge) -> None:
    entry = single_entry(club, league(club))
    # RFC 5545, 3.3.10: with a DTSTART in a time zone, UNTIL is in UTC. 29 September 2027, 18:15 with three hours to UTC.
    assert entry["RRULE"].to_ical() == b"FREQ=WEEKLY;UNTIL=20270929T211500Z;BYDAY=WE"


def test_a_count_stays_and_gets_no_until(club: Knowledge) -> None:
    # RFC 5545, 3.3.10: COUNT and UNTIL must not occur in the same rule.
    assert single_entry(club, club.event("fog-horn-open"))["RRULE"].to_ical() == b"FREQ=DAILY;COUNT=2"


def test_a_count_that_the_season_cuts_short_becomes_an_until(club: Knowledge) -> None:
    event = an_event("FREQ=WEEKLY;COUNT=10", first=date(2027, 9, 1), last=date(2027, 9, 20), ends=time(20))
    assert single_entry(club, event)["RRULE"].to_ical() == b"FREQ=WEEKLY;UNTIL=20270915T211500Z"
    assert expanded(with_events(club, event)) == really(with_events(club, event))


def test_an_until_of_the_rule_itself_is_written_as_the_last_day_in_utc(club: Knowledge) -> None:
    event = an_event("FREQ=WEEKLY;UNTIL=20270520")
    assert single_entry(club, event)["RRULE"].to_ical() == b"FREQ=WEEKLY;UNTIL=20270519T211500Z"


def test_an_event_without_a_rule_is_one_entry_without_one(club: Knowledge) -> None:
    entry = single_entry(club, an_event(repeats="", ends=time(20)))
    assert "RRULE" not in entry
    assert entry["DTSTART"].dt == datetime(2027, 5, 5, 18, 15, tzinfo=HALIFAX)
    assert entry["DTEND"].dt == datetime(2027, 5, 5, 20, tzinfo=HALIFAX)


def test_a_change_of_an_event_with_one_day_changes_its_only_entry(club: Knowledge) -> None:
    change = EventChange(day=date(2027, 5, 5), moved_to=date(2027, 5, 6), starts=time(17))
    entry = single_entry(club, an_event(repeats="", change=(change,)))
    assert "RECURRENCE-ID" not in entry
    assert entry["DTSTART"].dt == datetime(2027, 5, 6, 17, tzinfo=HALIFAX)


def test_an_event_without_an_end_has_none(club: Knowledge) -> None:
    assert "DTEND" not in single_entry(club, an_event(ends=None))


def test_an_end_that_a_later_start_has_overtaken_is_left_out(club: Knowledge) -> None:
    # RFC 5545, 3.8.2.2: the end must be later than the start.
    assert "DTEND" not in changed_entry(club, EventChange(day=WEDNESDAY, starts=time(21)))


# One day that differs


def test_a_moved_day_names_the_day_it_takes_the_place_of(club: Knowledge) -> None:
    rule, moved = entries(read(with_events(club, league(club, EventChange(day=WEDNESDAY, moved_to=date(2027, 6, 10))))))
    # RFC 5545, 3.8.4.4: the original start, in the form of DTSTART, with the UID of the rule.
    assert moved["RECURRENCE-ID"].to_ical() == b"20270609T181500"
    assert moved["RECURRENCE-ID"].params["TZID"] == "America/Halifax"
    assert moved["UID"] == rule["UID"]
    assert moved["DTSTART"].dt == datetime(2027, 6, 10, 18, 15, tzinfo=HALIFAX)
    assert moved["DTEND"].dt == datetime(2027, 6, 10, 20, 30, tzinfo=HALIFAX)
    assert moved["STATUS"] == "CONFIRMED"
    assert "RRULE" not in moved


@pytest.mark.parametrize(
    ("language", "summary", "description"),
    [
        (
            "en",
            "Called off: Dusk League",
            "This day is called off.\nReason: thunder.\nOur text number: +1 902 555 0100.",
        ),
        (
            "fr",
            "Annulé: ligue du soir",
            "C'est annulé ce jour-là.\nRaison: orage.\nNotre numéro pour les textos: +1 902 555 0100.",
        ),
    ],
)
def test_a_day_called_off_says_so_and_why(club: Knowledge, language: Language, summary: str, description: str) -> None:
    change = EventChange(day=WEDNESDAY, called_off=True, reason=Said(en="thunder", fr="orage"))
    entry = changed_entry(club, change, language)
    # RFC 5545, 3.8.1.11
    assert entry["STATUS"] == "CANCELLED"
    assert entry["SUMMARY"] == summary
    assert entry["DESCRIPTION"] == description
    assert entry["DTSTART"].dt == datetime(2027, 6, 9, 18, 15, tzinfo=HALIFAX)


def test_a_day_at_another_place_keeps_its_hours(club: Knowledge) -> None:
    entry = changed_entry(club, EventChange(day=WEDNESDAY, meet=Said(en="the second tee", fr="le deuxième départ")))
    assert entry["LOCATION"] == "the second tee"
    assert entry["SUMMARY"] == "Dusk League"
    assert entry["DTSTART"].dt == datetime(2027, 6, 9, 18, 15, tzinfo=HALIFAX)
    assert entry["DTEND"].dt == datetime(2027, 6, 9, 20, 30, tzinfo=HALIFAX)


def test_a_day_at_other_hours_keeps_its_place_and_leaves_out_hours_after_its_start(club: Knowledge) -> None:
    entry = changed_entry(club, EventChange(day=WEDNESDAY, starts=time(17, 30), ends=time(19)))
    assert entry["LOCATION"] == "the boathouse"
    assert entry["DTSTART"].dt == datetime(2027, 6, 9, 17, 30, tzinfo=HALIFAX)
    assert entry["DTEND"].dt == datetime(2027, 6, 9, 19, tzinfo=HALIFAX)
    assert "Sign-up: 17:45" not in entry["DESCRIPTION"]
    assert "until 17:00" in entry["DESCRIPTION"]


# What an entry says


@pytest.mark.parametrize(
    ("language", "name", "place", "said"),
    [
        (
            "en",
            "Dusk League",
            "the boathouse",
            "Sign-up: 17:45.\nPrice: CA$5, members CA$3.\nPlaces: 72.\nSign-up by text until 17:00 that day.\n"
            "Our text number: +1 902 555 0100.",
        ),
        (
            "fr",
            "Ligue du soir",
            "le hangar à bateaux",
            "Inscription: 17 h 45.\nPrix: 5 $ CA, membres 3 $ CA.\nPlaces: 72.\n"
            "Inscription par texto jusqu'à 17 h ce jour-là.\nNotre numéro pour les textos: +1 902 555 0100.",
        ),
    ],
)
def test_an_entry_says_what_somebody_who_comes_has_to_know(
    club: Knowledge, language: Language, name: str, place: str, said: str
) -> None:
    entry = single_entry(club, league(club), language)
    assert (entry["SUMMARY"], entry["LOCATION"]) == (name, place)
    assert entry["DESCRIPTION"].replace("\u00a0", " ") == said
    # RFC 5545, 3.2.10
    assert entry["SUMMARY"].params["LANGUAGE"] == language


def test_what_is_free_says_so_and_what_is_not_known_is_not_said(club: Knowledge) -> None:
    entry = single_entry(club, club.event("work-morning"))
    assert entry["DESCRIPTION"] == "Free.\nOur text number: +1 902 555 0100."


def test_a_price_that_members_do_not_pay_says_so(club: Knowledge) -> None:
    event = replace(an_event(), price=5, member_price=0)
    assert "Price: CA$5, members free." in single_entry(club, event)["DESCRIPTION"]


def test_entries_that_open_later_say_when(club: Knowledge) -> None:
    said = single_entry(club, club.event("fog-horn-open"))["DESCRIPTION"]
    assert "Price: CA$40." in said
    assert "Entries open 1 July." in said


@pytest.mark.parametrize("language", ["en", "fr"])
def test_nobodys_own_number_is_told(club: Knowledge, language: Language) -> None:
    written = "".join(content_lines(feed(season(club), {}, language, NOON)))
    digits = "".join(letter for letter in written if letter.isdigit())
    assert club.people
    for person in club.people:
        assert "".join(letter for letter in person.number if letter.isdigit())[-10:] not in digits
        assert person.name not in written


# Versions


def test_an_entry_carries_its_revision(club: Knowledge) -> None:
    first, second = NOON - timedelta(days=9), NOON - timedelta(days=2)
    revisions: dict[tuple[str, date | None], Revision] = {
        ("dusk-league", None): Revision(3, first),
        ("dusk-league", WEDNESDAY): Revision(7, second),
    }
    one_day = EventChange(day=WEDNESDAY, called_off=True)
    rule, changed = entries(read(with_events(club, league(club, one_day)), revisions=revisions))
    assert (rule["SEQUENCE"], changed["SEQUENCE"]) == (3, 7)
    # RFC 5545, 3.8.7.2: without METHOD, DTSTAMP is when the entry was last revised, as LAST-MODIFIED is; both in UTC.
    for entry, at in ((rule, first), (changed, second)):
        assert entry["DTSTAMP"].to_ical() == entry["LAST-MODIFIED"].to_ical()
        assert entry["DTSTAMP"].to_ical().decode() == f"{at.astimezone(UTC):%Y%m%dT%H%M%SZ}"


def test_an_entry_without_a_revision_is_the_first_of_now(club: Knowledge) -> None:
    entry = single_entry(club, league(club))
    assert entry["SEQUENCE"] == 0
    assert entry["DTSTAMP"].dt == NOON


def test_the_only_entry_of_a_single_day_counts_changes_of_the_event_and_of_the_day(club: Knowledge) -> None:
    day = date(2027, 5, 5)
    event = an_event(repeats="", id="social", change=(EventChange(day=day, called_off=True),))
    known = with_events(club, event)
    before: dict[tuple[str, date | None], Revision] = {("social", None): Revision(2, NOON - timedelta(days=2))}
    after = {**before, ("social", day): Revision(0, NOON - timedelta(days=1))}
    (entry,) = entries(read(known, revisions=before))
    assert entry["SEQUENCE"] == 2
    (entry,) = entries(read(known, revisions=after))
    # RFC 5545, 3.8.7.4: a significant change counts up, and calling off is one.
    assert entry["SEQUENCE"] == 3
    assert entry["LAST-MODIFIED"].dt == NOON - timedelta(days=1)


def test_a_uid_is_a_uuid_that_stays(club: Knowledge) -> None:
    before = single_entry(club, league(club))["UID"]
    event = replace(
        league(club, EventChange(day=WEDNESDAY, called_off=True)),
        name=Said(en="Twilight League", fr="ligue du crépuscule"),
        repeats="FREQ=WEEKLY;BYDAY=TH",
        first=date(2027, 5, 6),
        starts=time(18),
    )
    later = entries(read(with_events(club, event), "fr", now=NOON + timedelta(days=30)))
    assert {entry["UID"] for entry in later} == {before}
    # RFC 7986, 5.3: UIDs should be UUIDs. RFC 9562, 5.5: version 5 is made from a name.
    assert UUID(before).version == 5
    # Written down once: another UID would show every subscriber every event twice.
    assert before == "aef02260-199c-541f-8953-c6396637d5cd"


def test_no_two_events_share_a_uid_nor_the_same_event_of_two_years(club: Knowledge) -> None:
    next_year = replace(league(club), first=date(2028, 5, 3), last=date(2028, 9, 27))
    found = [entry["UID"] for entry in entries(read(with_events(club, *club.events, next_year)))]
    assert len(set(found)) == len(found) == len(club.events) + 1


# The calendar itself


@pytest.mark.parametrize("language", ["en", "fr"])
def test_the_calendar_says_what_it_is(club: Knowledge, language: Language) -> None:
    lines = content_lines(feed(club, {}, language, NOON))
    assert lines[0] == "BEGIN:VCALENDAR"
    assert "VERSION:2.0" in lines  # RFC 5545, 3.7.4
    assert f"PRODID:-//clubbot//Club calendar//{language.upper()}" in lines  # RFC 5545, 3.7.3
    assert "NAME:Tern Harbour Disc Golf Club" in lines  # RFC 7986, 5.1
    assert "X-WR-CALNAME:Tern Harbour Disc Golf Club" in lines
    assert "REFRESH-INTERVAL;VALUE=DURATION:PT1H" in lines  # RFC 7986, 5.7
    assert "X-PUBLISHED-TTL:PT1H" in lines
    assert not [line for line in lines if line.startswith(("METHOD", "URL", "CATEGORIES"))]


def test_a_club_without_events_has_a_calendar_that_may_be_read(club: Knowledge) -> None:
    calendar = read(with_events(club))
    assert entries(calendar) == []
    # RFC 5545, 3.6: a calendar has at least one component.
    assert len(calendar.timezones) == 1


# Clock changes


@pytest.mark.parametrize("first", [date(2027, 3, 10), date(2027, 11, 3)])
def test_an_hour_stays_the_same_hour_when_the_clock_changes(club: Knowledge, first: date) -> None:
    # IANA tz database, northamerica, Rule Canada: second Sunday of March to first Sunday of November, 2:00.
    # In 2027 these are 14 March and 7 November.
    event = an_event("FREQ=WEEKLY;COUNT=2", first=first, last=first + timedelta(days=7), ends=time(20))
    known = with_events(club, event)
    found = recurring_ical_events.of(read(known)).between(first, first + timedelta(days=30))
    starts = [one["DTSTART"].dt.astimezone(HALIFAX) for one in found]
    assert [one.time() for one in starts] == [time(18, 15), time(18, 15)]
    assert starts[0].utcoffset() != starts[1].utcoffset()
    assert expanded(known) == really(known)


def test_the_time_zone_is_told_with_the_clock_as_it_stood_before_each_change(club: Knowledge) -> None:
    (zone,) = read(club).timezones
    keys = ("DTSTART", "TZOFFSETFROM", "TZOFFSETTO")
    found = [(one.name, *(one[key].to_ical() for key in keys)) for one in zone.subcomponents[1:]]
    # RFC 5545, 3.6.5: the onset is local time in terms of TZOFFSETFROM; its own example begins both at 2:00.
    # IANA tz database, northamerica, Rule Canada and Zone America/Halifax: 4:00 behind UTC, 3:00 in summer.
    assert found == [
        ("DAYLIGHT", b"20270314T020000", "-0400", "-0300"),
        ("STANDARD", b"20271107T020000", "-0300", "-0400"),
    ]


@pytest.mark.parametrize(
    "name", ["America/Halifax", "America/St_Johns", "Europe/Dublin", "Australia/Lord_Howe", "America/Regina"]
)
def test_the_time_zone_as_told_agrees_with_the_zone_through_the_year(club: Knowledge, name: str) -> None:
    calendar = read(with_events(club, an_event(), zone=name))
    zone = calendar.timezones[0].to_tz(lookup_tzid=False)
    for hour in range(6, 24 * 365, 12):  # never within the hours of a change, which readers read in their own way
        local = datetime.combine(date(2027, 1, 1), time()) + timedelta(hours=hour)
        assert zone.utcoffset(local) == ZoneInfo(name).utcoffset(local)


# The lines


def test_every_line_ends_with_crlf(club: Knowledge) -> None:
    written = feed(season(club), {}, "fr", NOON)
    # RFC 5545, 3.1: content lines are delimited by CRLF.
    assert written.endswith(b"END:VCALENDAR\r\n")
    assert written.count(b"\n") == written.count(b"\r") == written.count(b"\r\n")
    assert b"\r\n\r\n" not in written


@pytest.mark.parametrize("shift", range(8))
def test_long_lines_are_folded_at_75_octets_and_no_letter_is_cut(club: Knowledge, shift: int) -> None:
    # Accents take two octets and the emoji four; the shift brings each of them to the fold.
    name = "x" * shift + "éàçœùîï 🥏 " * 20
    event = replace(an_event(), name=Said(en="short", fr=name))
    written = feed(with_events(club, event), {}, "fr", NOON)
    # RFC 5545, 3.1: at most 75 octets without the line break; a fold must not stand inside a letter of UTF-8.
    for line in written.split(b"\r\n"):
        assert len(line) <= 75
        line.decode()
    assert f"SUMMARY;LANGUAGE=fr:{name[:1].upper()}{name[1:]}" in content_lines(written)


def test_commas_semicolons_backslashes_and_line_ends_are_escaped(club: Knowledge) -> None:
    place = Said(en="tee 1, by the oak; C:\\oak\nsecond gate", fr="départ 1")
    known = with_events(club, replace(an_event(), meet=place))
    # RFC 5545, 3.3.11
    expected = "LOCATION;LANGUAGE=en:tee 1\\, by the oak\\; C:\\\\oak\\nsecond gate"
    assert expected in content_lines(feed(known, {}, "en", NOON))
    assert entries(read(known))[0]["LOCATION"] == place.en
