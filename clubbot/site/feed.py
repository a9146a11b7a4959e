"""The club's events as a calendar that phones and computers subscribe to (RFC 5545, with names and refresh of RFC 7986).

An event is one entry with its rule; a changed day is a second entry with the same UID that takes that day's place. Hours are
written as the club's clock shows them, so that 18:15 stays 18:15 when the clock changes.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from itertools import pairwise
from uuid import NAMESPACE_URL, uuid5
from zoneinfo import ZoneInfo

from icalendar import Calendar, Event, Timezone, TimezoneDaylight, TimezoneStandard, vDuration, vRecur

from clubbot.events.days import EventDay, event_days, rule_days
from clubbot.model.calendar import Revision
from clubbot.model.club import Club, EventRule, Knowledge
from clubbot.model.messages import Language
from clubbot.texting.wording import money, on_date, spoken_time

Revisions = Mapping[tuple[str, date | None], Revision]

REFRESH = timedelta(hours=1)  # how often a subscriber should look again


def feed(knowledge: Knowledge, revisions: Revisions, language: Language, now: datetime) -> bytes:
    """The whole calendar in one language. `now` dates the entries that have no revision yet."""
    calendar = Calendar()
    calendar.add("VERSION", "2.0")
    calendar.add("PRODID", f"-//clubbot//Club calendar//{language.upper()}")
    calendar.add("NAME", knowledge.club.name)
    calendar.add("X-WR-CALNAME", knowledge.club.name)  # the name for programs older than RFC 7986
    calendar.add("REFRESH-INTERVAL", vDuration(REFRESH), parameters={"VALUE": "DURATION"})
    calendar.add("X-PUBLISHED-TTL", vDuration(REFRESH))
    calendar.add_component(_time_zone(knowledge.club.zone, *_span(knowledge, now)))
    writer = _Writer(knowledge, revisions, language, now)
    for event in knowledge.events:
        for entry in writer.entries(event):
            calendar.add_component(entry)
    written: bytes = calendar.to_ical()
    return written


@dataclass(frozen=True, slots=True)
class _Writer:
    knowledge: Knowledge
    revisions: Revisions
    language: Language
    now: datetime

    def entries(self, event: EventRule) -> Iterator[Event]:
        """The entry of the rule, then one for each day that differs; a single day is one entry, changed or not."""
        days = event_days(event, self.knowledge.club.zone)
        changed = {change.day for change in event.change}
        if not event.repeats:
            yield self._entry(days[0], self._single_revision(event))
            return
        if days:
            yield self._rule(event)
        for day in days:
            if day.day in changed:
                yield self._changed_day(day)

    def _rule(self, event: EventRule) -> Event:
        zone, days = self.knowledge.club.zone, rule_days(event)
        starts = datetime.combine(days[0], event.starts, zone)
        ends = datetime.combine(days[0], event.ends, zone) if event.ends else None
        first = EventDay(event=event, day=days[0], starts=starts, ends=ends, meet=event.meet)
        entry = self._entry(first, self._revision(event, None))
        entry.add("RRULE", _recurrence(event.repeats, days, event.starts, zone))
        return entry

    def _changed_day(self, day: EventDay) -> Event:
        entry = self._entry(day, self._revision(day.event, day.day))
        entry.add("RECURRENCE-ID", datetime.combine(day.day, day.event.starts, self.knowledge.club.zone))
        return entry

    def _entry(self, day: EventDay, revision: Revision) -> Event:
        changed_at = revision.changed_at.astimezone(UTC)
        spoken: dict[str, str] = {"LANGUAGE": self.language}
        entry = Event()
        entry.add("UID", _uid(self.knowledge.club, day.event))
        entry.add("DTSTAMP", changed_at)
        entry.add("LAST-MODIFIED", changed_at)
        entry.add("SEQUENCE", revision.sequence)
        entry.add("DTSTART", day.starts)
        if (
            day.ends and day.ends > day.starts
        ):  # a changed start can lie after the rule's end; RFC 5545, 3.8.2.2 forbids that
            entry.add("DTEND", day.ends)
        entry.add("STATUS", "CANCELLED" if day.called_off else "CONFIRMED")
        entry.add("SUMMARY", self._summary(day), parameters=spoken)
        entry.add("LOCATION", day.meet.to(self.language), parameters=spoken)
        entry.add("DESCRIPTION", "\n".join(self._description(day)), parameters=spoken)
        return entry

    def _revision(self, event: EventRule, day: date | None) -> Revision:
        return self.revisions.get((event.id, day)) or Revision(0, self.now)

    def _single_revision(self, event: EventRule) -> Revision:
        """Of an event with one day: rule and day are the same entry, so a change of either one counts for it."""
        rule, day = self._revision(event, None), self.revisions.get((event.id, event.first))
        if day is None:
            return rule
        # The day's first revision is itself a change of the entry that was there before: hence one more.
        return Revision(rule.sequence + day.sequence + 1, max(rule.changed_at, day.changed_at))

    def _summary(self, day: EventDay) -> str:
        name = day.event.name.to(self.language)
        said = self._say("called_off", event=name) if day.called_off else name
        return said[:1].upper() + said[1:]

    def _description(self, day: EventDay) -> Iterator[str]:
        if day.called_off:
            yield self._say("day_called_off")
        if day.reason:
            yield self._say("reason", reason=day.reason.to(self.language))
        if not day.called_off:
            yield from self._terms(day)
        yield self._say("number")

    def _terms(self, day: EventDay) -> Iterator[str]:
        """Sign-up, price, places. An hour after the start is left out: a changed day that starts earlier has its own."""
        event, words, starts = day.event, self.knowledge.wording[self.language], day.starts.time()
        if event.sign_up and event.sign_up <= starts:
            yield self._say("sign_up", time=spoken_time(event.sign_up, words))
        yield self._price(event)
        if event.places is not None:
            yield self._say("places", places=event.places)
        if event.rsvp_opens:
            yield words["events.entries_open"].format(date=on_date(event.rsvp_opens, words))
        if event.rsvp_closes and event.rsvp_closes <= starts:
            yield self._say("closes", time=spoken_time(event.rsvp_closes, words))

    def _price(self, event: EventRule) -> str:
        words = self.knowledge.wording[self.language]
        if not event.price:
            return self._say("free")
        price = money(event.price, words)
        if event.member_price is None or event.member_price == event.price:
            return self._say("price", price=price)
        if not event.member_price:
            return self._say("members_free", price=price)
        return self._say("member_price", price=price, member_price=money(event.member_price, words))

    def _say(self, key: str, **values: object) -> str:
        return self.knowledge.wording[self.language][f"feed.{key}"].format(**values)


def _uid(club: Club, event: EventRule) -> str:
    """The same for ever, whatever else of the event changes: from the club's number, the event's id and its year."""
    number = "".join(letter for letter in club.number if letter.isdigit())
    return str(uuid5(NAMESPACE_URL, f"tel:+{number}/{event.id}/{event.first.year}"))


def _recurrence(repeats: str, days: list[date], starts: time, zone: ZoneInfo) -> vRecur:
    """The rule, ended: by its own COUNT, or by UNTIL where it has none or where the season ends before it is used up."""
    rule: vRecur = vRecur.from_ical(repeats.upper().removeprefix("RRULE:"))
    if rule.get("COUNT") != [len(days)]:  # RFC 5545, 3.3.10: COUNT and UNTIL never together
        rule.pop("COUNT", None)
        rule["UNTIL"] = [datetime.combine(days[-1], starts, zone).astimezone(UTC)]
    return rule


def _span(knowledge: Knowledge, now: datetime) -> tuple[int, int]:
    """The first and last year of anything in the calendar."""
    zone = knowledge.club.zone
    years = {day.starts.year for event in knowledge.events for day in event_days(event, zone)}
    years |= {event.first.year for event in knowledge.events} or {now.year}
    return min(years), max(years)


def _time_zone(zone: ZoneInfo, first_year: int, last_year: int) -> Timezone:
    """What the club's clock does in these years.

    Not icalendar's own: it begins daylight time at 3:00, while RFC 5545, 3.6.5 wants the hour as the clock showed it before: 2:00.
    """
    # A day of room on each side, for zones that are ahead of UTC or behind it.
    first, last = datetime(first_year, 1, 1, tzinfo=UTC), datetime(last_year + 1, 1, 2, tzinfo=UTC)
    first -= timedelta(days=1)
    timezone = Timezone()
    timezone.add("TZID", zone.key)
    timezone.add_component(_observance(first, first, zone))
    for change in _clock_changes(zone, first, last):
        timezone.add_component(_observance(change, change - timedelta(seconds=1), zone))
    return timezone


def _observance(since: datetime, before: datetime, zone: ZoneInfo) -> TimezoneStandard | TimezoneDaylight:
    local, offset_before = since.astimezone(zone), _offset(before, zone)
    observance = TimezoneDaylight() if local.dst() else TimezoneStandard()
    observance.add("DTSTART", (since + offset_before).replace(tzinfo=None))
    observance.add("TZOFFSETFROM", offset_before)
    observance.add("TZOFFSETTO", _offset(since, zone))
    observance.add("TZNAME", local.tzname() or zone.key)
    return observance


def _clock_changes(zone: ZoneInfo, first: datetime, last: datetime) -> Iterator[datetime]:
    """The instants from which another offset holds."""
    days = [first + timedelta(days=number) for number in range((last - first).days + 1)]
    for before, after in pairwise(days):
        if _offset(before, zone) != _offset(after, zone):
            yield _first_second(before, after, zone)


def _first_second(before: datetime, after: datetime, zone: ZoneInfo) -> datetime:
    """The first second with the offset of `after`, by halving."""
    old, seconds = _offset(before, zone), int((after - before).total_seconds())
    low, high = 0, seconds
    while high - low > 1:
        middle = (low + high) // 2
        if _offset(before + timedelta(seconds=middle), zone) == old:
            low = middle
        else:
            high = middle
    return before + timedelta(seconds=high)


def _offset(instant: datetime, zone: ZoneInfo) -> timedelta:
    return instant.astimezone(zone).utcoffset() or timedelta()
