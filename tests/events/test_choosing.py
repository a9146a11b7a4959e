"""Which event day a text means, in the demo club's season, seen from Monday 7 June 2027 at noon.

That week: league Wed 9, women and girls Thu 10, clinic Sat 12. The next: league Wed 16, women and girls Thu 17. Then the work morning on
Sat 26 June, Family Sunday on 4 July, the Fog Horn Open on 11 and 12 September.
"""

import calendar
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, time, timedelta

import pytest

from clubbot.events.choosing import (
    Chosen,
    DaysNamed,
    Hints,
    Meant,
    Nothing,
    NotThen,
    Over,
    Several,
    choose,
    id_of,
)
from clubbot.events.days import EventDay
from clubbot.handbook.book import Handbook
from clubbot.model.club import EventChange, EventRule
from clubbot.model.rsvps import DayId
from tests.conftest import HALIFAX, NOON

LEAGUE, CLINIC, WOMEN, FAMILY, WORK, OPEN = (
    "dusk-league",
    "starter-clinic",
    "women-girls",
    "family-sunday",
    "work-morning",
    "fog-horn-open",
)
Span = tuple[date, date]


def june(day: int) -> date:
    return date(2027, 6, day)


def on(day: date) -> Span:
    return (day, day)


def at(day: int, hour: int, minute: int = 0) -> datetime:
    return datetime(2027, 6, day, hour, minute, tzinfo=HALIFAX)


TODAY = june(7)
MONDAY = at(7, 12)


@dataclass(frozen=True)
class Season:
    """The demo club's events, to be asked about."""

    events: tuple[EventRule, ...]

    def meant(
        self,
        event: str | None = None,
        span: Span | None = None,
        *,
        weekday: bool = False,
        of_a_kind: bool = False,
        spoken: DayId | None = None,
        mine: Sequence[DayId] = (),
        only_mine: bool = False,
        now: datetime = MONDAY,
    ) -> Chosen:
        hints = Hints(spoken=spoken, mine=mine, only_mine=only_mine)
        rule = self.rule(event) if event is not None else None
        named = DaysNamed(*span, weekday, of_a_kind) if span is not None else None
        return choose(rule, named, self.events, hints, now, HALIFAX)

    def rule(self, event: str) -> EventRule:
        return next(one for one in self.events if one.id == event)

    def with_change(self, event: str, *changes: EventChange) -> "Season":
        return Season(tuple(replace(one, change=changes) if one.id == event else one for one in self.events))

    def without(self, *events: str) -> "Season":
        return Season(tuple(one for one in self.events if one.id not in events))

    def only(self, *events: str) -> "Season":
        return Season(tuple(one for one in self.events if one.id in events))


@pytest.fixture
def season(handbook: Handbook) -> Season:
    return Season(handbook.knowledge.events)


def day_of(chosen: Chosen) -> DayId:
    """The day that it is."""
    assert isinstance(chosen, Meant), chosen
    return id_of(chosen.day)


def days_of(chosen: Chosen) -> list[DayId]:
    """The days that it may be."""
    assert isinstance(chosen, Several), chosen
    return [id_of(one) for one in chosen.days]


def nearest_of(chosen: Chosen) -> DayId | None:
    assert isinstance(chosen, NotThen | Over), chosen
    return id_of(chosen.nearest) if chosen.nearest is not None else None


def held(chosen: Chosen) -> datetime:
    assert isinstance(chosen, Meant), chosen
    return chosen.day.starts


# The dates of the head of this file, from the standard library's calendar: which weekdays they are.
def test_the_days_of_these_tests_are_the_weekdays_that_they_are_called() -> None:
    named = {
        (6, 9): "Wed",
        (6, 10): "Thu",
        (6, 12): "Sat",
        (6, 26): "Sat",
        (7, 4): "Sun",
        (7, 10): "Sat",
        (9, 11): "Sat",
    }
    found = {(month, day): calendar.day_abbr[calendar.weekday(2027, month, day)] for month, day in named}

    assert (found, NOON) == (named, MONDAY)
    assert calendar.weekday(2027, 6, 7) == calendar.MONDAY


# by name


@pytest.mark.parametrize(
    ("event", "day"),
    [
        (LEAGUE, june(9)),
        (CLINIC, june(12)),
        (WOMEN, june(10)),
        (WORK, june(26)),
        (FAMILY, date(2027, 7, 4)),
        (OPEN, date(2027, 9, 11)),
    ],
)
def test_an_event_named_is_its_next_day_however_far_off(season: Season, event: str, day: date) -> None:
    assert day_of(season.meant(event)) == DayId(event, day)


@pytest.mark.parametrize(
    ("now", "day"), [(at(9, 18, 14), 9), (at(9, 18, 15), 16), (at(9, 20), 16), (at(9, 21), 16), (at(10, 0), 16)]
)
def test_an_event_that_has_begun_is_not_its_next(season: Season, now: datetime, day: int) -> None:
    assert day_of(season.meant(LEAGUE, now=now)) == DayId(LEAGUE, june(day))


def test_the_last_of_the_season_is_meant_while_it_runs(season: Season) -> None:
    last = datetime(2027, 9, 29, 19, tzinfo=HALIFAX)

    assert day_of(season.meant(LEAGUE, now=last)) == DayId(LEAGUE, date(2027, 9, 29))


def test_a_day_called_off_is_not_the_next_one(season: Season) -> None:
    off = season.with_change(LEAGUE, EventChange(day=june(9), called_off=True))

    assert day_of(off.meant(LEAGUE)) == DayId(LEAGUE, june(16))


def test_where_all_that_is_left_is_called_off_the_first_of_it_is_meant(season: Season) -> None:
    """So that its being off can be said."""
    now = datetime(2027, 9, 20, 12, tzinfo=HALIFAX)
    left = (EventChange(day=date(2027, 9, day), called_off=True) for day in (22, 29))
    chosen = season.with_change(LEAGUE, *left).meant(LEAGUE, now=now)

    assert day_of(chosen) == DayId(LEAGUE, date(2027, 9, 22))


# by day


@pytest.mark.parametrize(("day", "event"), [(9, LEAGUE), (10, WOMEN), (12, CLINIC), (16, LEAGUE), (26, WORK)])
def test_a_day_alone_is_the_event_on_it(season: Season, day: int, event: str) -> None:
    assert day_of(season.meant(span=on(june(day)))) == DayId(event, june(day))


def test_a_day_with_two_events_is_asked_about(season: Season) -> None:
    both = season.with_change(CLINIC, EventChange(day=june(12), moved_to=june(9)))

    assert days_of(both.meant(span=on(june(9)))) == [DayId(CLINIC, june(12)), DayId(LEAGUE, june(9))]


def test_of_two_events_on_a_day_it_is_the_one_spoken_of(season: Season) -> None:
    both = season.with_change(CLINIC, EventChange(day=june(12), moved_to=june(9)))
    spoken = DayId(LEAGUE, june(16))  # another day of the league will do: "and wednesday?"

    assert day_of(both.meant(span=on(june(9)), spoken=spoken)) == DayId(LEAGUE, june(9))
    assert len(days_of(both.meant(span=on(june(9)), spoken=DayId(WORK, june(26))))) == 2


def test_a_week_is_asked_about_with_three_choices_at_most(season: Season) -> None:
    """Five fall into it."""
    asked = days_of(season.meant(span=(june(7), june(17))))

    assert asked == [DayId(LEAGUE, june(9)), DayId(WOMEN, june(10)), DayId(CLINIC, june(12))]


def test_a_weekend_with_one_event_is_that_event(season: Season) -> None:
    assert day_of(season.meant(span=(june(12), june(13)))) == DayId(CLINIC, june(12))


def test_the_days_of_a_span_count_with_both_its_ends(season: Season) -> None:
    assert day_of(season.meant(span=(june(8), june(9)))) == DayId(LEAGUE, june(9))
    assert day_of(season.meant(span=(june(12), june(15)))) == DayId(CLINIC, june(12))


# by both


@pytest.mark.parametrize("day", [9, 16, 23, 30])
def test_an_event_named_with_a_day_is_the_event_on_that_day(season: Season, day: int) -> None:
    assert day_of(season.meant(LEAGUE, on(june(day)))) == DayId(LEAGUE, june(day))


def test_an_event_named_with_a_month_is_its_next_day_in_it(season: Season) -> None:
    month = (june(1), june(30))

    assert day_of(season.meant(LEAGUE, month)) == DayId(LEAGUE, june(9))
    assert day_of(season.meant(LEAGUE, (date(2027, 7, 1), date(2027, 7, 31)))) == DayId(LEAGUE, date(2027, 7, 7))


def test_a_day_named_counts_for_more_than_what_was_spoken_of(season: Season) -> None:
    spoken = DayId(LEAGUE, june(9))

    assert day_of(season.meant(LEAGUE, on(june(16)), spoken=spoken)) == DayId(LEAGUE, june(16))
    assert day_of(season.meant(span=on(june(12)), spoken=spoken)) == DayId(CLINIC, june(12))


# by what was spoken of last


def test_what_was_spoken_of_last_is_meant_where_nothing_is_named(season: Season) -> None:
    spoken = DayId(WORK, june(26))

    assert day_of(season.meant(spoken=spoken)) == spoken


def test_an_event_named_is_the_day_of_it_that_was_spoken_of(season: Season) -> None:
    spoken = DayId(LEAGUE, june(23))

    assert day_of(season.meant(LEAGUE, spoken=spoken)) == spoken
    assert day_of(season.meant(CLINIC, spoken=spoken)) == DayId(CLINIC, june(12))


def test_what_was_spoken_of_is_meant_though_it_has_begun_or_is_called_off(season: Season) -> None:
    spoken = DayId(LEAGUE, june(9))
    off = season.with_change(LEAGUE, EventChange(day=june(9), called_off=True))

    assert day_of(season.meant(spoken=spoken, now=at(9, 19))) == spoken
    assert day_of(off.meant(LEAGUE, spoken=spoken)) == spoken


def test_what_is_over_is_spoken_of_no_longer(season: Season) -> None:
    spoken = DayId(LEAGUE, june(9))

    assert day_of(season.meant(LEAGUE, spoken=spoken, now=at(10, 9))) == DayId(LEAGUE, june(16))


def test_what_was_spoken_of_counts_for_more_than_what_the_sender_is_down_for(season: Season) -> None:
    spoken, mine = DayId(WORK, june(26)), [DayId(LEAGUE, june(9))]

    assert day_of(season.meant(spoken=spoken, mine=mine, only_mine=True)) == spoken


# a "no" or a change


def test_a_no_is_about_what_the_sender_is_down_for(season: Season) -> None:
    mine = [DayId(WORK, june(26))]

    assert day_of(season.meant(mine=mine, only_mine=True)) == mine[0]
    assert len(days_of(season.meant(mine=mine))) == 3


def test_a_no_is_asked_about_where_the_sender_is_down_for_several(season: Season) -> None:
    mine = [DayId(LEAGUE, june(23)), DayId(CLINIC, june(12)), DayId(WORK, june(26)), DayId(OPEN, date(2027, 9, 11))]

    assert days_of(season.meant(mine=mine, only_mine=True)) == [mine[1], mine[0], mine[2]]


def test_a_no_to_an_event_is_about_the_day_of_it_that_the_sender_is_down_for(season: Season) -> None:
    mine = [DayId(LEAGUE, june(23)), DayId(CLINIC, june(12))]

    assert day_of(season.meant(LEAGUE, mine=mine, only_mine=True)) == mine[0]
    assert day_of(season.meant(LEAGUE, mine=mine)) == DayId(LEAGUE, june(9))


def test_a_no_within_some_days_is_about_what_the_sender_is_down_for_then(season: Season) -> None:
    week, mine = (june(7), june(13)), [DayId(CLINIC, june(12)), DayId(LEAGUE, june(16))]

    assert day_of(season.meant(span=week, mine=mine, only_mine=True)) == mine[0]
    assert len(days_of(season.meant(span=week, mine=mine))) == 3


def test_a_no_to_an_event_this_month_is_about_the_day_that_the_sender_is_down_for(season: Season) -> None:
    mine = [DayId(LEAGUE, june(23))]

    assert day_of(season.meant(LEAGUE, (june(1), june(30)), mine=mine, only_mine=True)) == mine[0]


def test_a_no_of_somebody_down_for_nothing_is_read_like_a_yes(season: Season) -> None:
    assert season.meant(only_mine=True) == season.meant()
    assert day_of(season.meant(LEAGUE, only_mine=True)) == DayId(LEAGUE, june(9))


# without a hint


def test_without_a_hint_what_is_on_soon_is_asked_about_one_day_of_each_event(season: Season) -> None:
    assert days_of(season.meant()) == [DayId(LEAGUE, june(9)), DayId(WOMEN, june(10)), DayId(CLINIC, june(12))]


def test_the_only_thing_it_can_be_is_meant(season: Season) -> None:
    assert day_of(season.only(CLINIC, FAMILY).meant()) == DayId(CLINIC, june(12))


@pytest.mark.parametrize("now", [at(12, 9), at(12, 8, 59)])
def test_soon_is_within_two_weeks_to_the_minute(season: Season, now: datetime) -> None:
    """The work morning begins at 9:00 on Saturday 26 June."""
    chosen = season.only(FAMILY, WORK).meant(now=now)

    # Where nothing is soon, the first of each event is asked about.
    if now == at(12, 9):
        assert day_of(chosen) == DayId(WORK, june(26))
    else:
        assert days_of(chosen) == [DayId(WORK, june(26)), DayId(FAMILY, date(2027, 7, 4))]


def test_what_is_called_off_or_has_begun_is_not_what_an_answer_without_a_hint_is_for(season: Season) -> None:
    two = season.only(LEAGUE, WOMEN)
    off = two.with_change(LEAGUE, *(EventChange(day=june(day), called_off=True) for day in (9, 16)))

    assert day_of(off.meant()) == DayId(WOMEN, june(10))
    assert days_of(two.meant(now=at(9, 19))) == [DayId(WOMEN, june(10)), DayId(LEAGUE, june(16))]


# a day without one


@pytest.mark.parametrize(
    ("day", "nearest"),
    [
        (8, DayId(LEAGUE, june(9))),
        (11, DayId(CLINIC, june(12))),  # the tenth is as near: of two the later
        (14, DayId(LEAGUE, june(16))),  # the clinic on Saturday is as near
        (13, DayId(CLINIC, june(12))),
        (28, DayId(LEAGUE, june(30))),  # the work morning on Saturday is as near
    ],
)
def test_on_a_day_without_an_event_the_nearest_is_named(season: Season, day: int, nearest: DayId) -> None:
    chosen = season.meant(span=on(june(day)))

    assert isinstance(chosen, NotThen)
    assert (chosen.day, chosen.event, nearest_of(chosen)) == (june(day), None, nearest)


@pytest.mark.parametrize(("day", "nearest"), [(8, 9), (12, 9), (13, 16), (15, 16)])
def test_of_an_event_that_is_not_on_the_day_named_its_nearest_day_is(season: Season, day: int, nearest: int) -> None:
    chosen = season.meant(LEAGUE, on(june(day)))

    assert isinstance(chosen, NotThen)
    assert (chosen.day, chosen.event) == (june(day), season.rule(LEAGUE))
    assert nearest_of(chosen) == DayId(LEAGUE, june(nearest))


def test_what_is_called_off_or_has_begun_is_not_the_nearest(season: Season) -> None:
    off = season.with_change(LEAGUE, EventChange(day=june(9), called_off=True))

    assert nearest_of(off.meant(LEAGUE, on(june(8)))) == DayId(LEAGUE, june(16))
    assert nearest_of(season.meant(LEAGUE, on(june(10)), now=at(9, 19))) == DayId(LEAGUE, june(16))


def test_after_the_last_day_there_is_no_nearest(season: Season) -> None:
    now = datetime(2027, 10, 4, 12, tzinfo=HALIFAX)
    chosen = season.meant(LEAGUE, on(date(2027, 10, 6)), now=now)

    assert chosen == NotThen(date(2027, 10, 6), season.rule(LEAGUE), None)


# days that are over


def test_a_day_that_is_over_is_said_to_be_over_and_the_next_is_named(season: Season) -> None:
    chosen = season.meant(LEAGUE, on(june(2)))

    assert isinstance(chosen, Over)
    assert (chosen.day, chosen.event, nearest_of(chosen)) == (june(2), season.rule(LEAGUE), DayId(LEAGUE, june(9)))


def test_a_day_alone_that_is_over_says_which_event_was_on_it(season: Season) -> None:
    """Family Sunday was yesterday."""
    chosen = season.meant(span=on(june(6)))

    assert isinstance(chosen, Over)
    assert (chosen.event, nearest_of(chosen)) == (season.rule(FAMILY), DayId(LEAGUE, june(9)))


def test_a_past_day_without_an_event_is_over_too(season: Season) -> None:
    assert season.meant(CLINIC, on(june(1))) == Over(june(1), season.rule(CLINIC), self_nearest(season, CLINIC))
    assert season.without(WOMEN).meant(span=on(june(3))) == Over(june(3), None, self_nearest(season, LEAGUE))


def self_nearest(season: Season, event: str) -> EventDay:
    chosen = season.meant(event)
    assert isinstance(chosen, Meant)
    return chosen.day


def test_the_last_evening_of_the_season_is_over_and_nothing_is_near(season: Season) -> None:
    last, now = date(2027, 9, 29), datetime(2027, 9, 30, 12, tzinfo=HALIFAX)

    assert season.meant(LEAGUE, on(last), now=now) == Over(last, season.rule(LEAGUE), None)


@pytest.mark.parametrize(("now", "over"), [(at(9, 20, 29), False), (at(9, 20, 30), True)])
def test_todays_event_is_meant_until_it_has_ended(season: Season, now: datetime, over: bool) -> None:
    chosen = season.meant(LEAGUE, on(june(9)), now=now)

    if over:
        assert isinstance(chosen, Over)
        assert nearest_of(chosen) == DayId(LEAGUE, june(16))
    else:
        assert day_of(chosen) == DayId(LEAGUE, june(9))


# today's weekday


@pytest.mark.parametrize("event", [LEAGUE, None])
def test_a_weekday_named_once_todays_is_over_is_next_weeks(season: Season, event: str | None) -> None:
    """ "wednesday" late on Wednesday evening."""
    late = at(9, 21)

    assert day_of(season.meant(event, on(june(9)), weekday=True, now=late)) == DayId(LEAGUE, june(16))
    assert isinstance(season.meant(event, on(june(9)), now=late), Over)


def test_a_weekday_is_today_as_long_as_todays_is_not_over(season: Season) -> None:
    assert day_of(season.meant(LEAGUE, on(june(9)), weekday=True, now=at(9, 9))) == DayId(LEAGUE, june(9))


def test_todays_weekday_without_an_event_is_not_shifted(season: Season) -> None:
    chosen = season.meant(LEAGUE, on(TODAY), weekday=True)

    assert isinstance(chosen, NotThen)
    assert chosen.day == TODAY


def test_a_weekday_that_is_past_is_not_shifted(season: Season) -> None:
    """ "last wednesday"."""
    assert isinstance(season.meant(LEAGUE, on(june(2)), weekday=True), Over)


def test_next_weeks_weekday_without_the_event_is_said_to_have_none(season: Season) -> None:
    """The clinic is on the second Saturday of the month only."""
    chosen = season.meant(CLINIC, on(june(12)), weekday=True, now=at(12, 13))

    assert isinstance(chosen, NotThen)
    assert (chosen.day, nearest_of(chosen)) == (june(19), DayId(CLINIC, date(2027, 7, 10)))


def test_today_is_the_clubs_day_and_not_that_of_utc(season: Season) -> None:
    """At 22:00 in Halifax it is the tenth in UTC."""
    late = at(9, 22)

    assert day_of(season.meant(LEAGUE, on(june(9)), weekday=True, now=late)) == DayId(LEAGUE, june(16))
    assert late.utcoffset() == timedelta(hours=-3)


# moved days


@pytest.mark.parametrize("day", [9, 11])
@pytest.mark.parametrize("event", [LEAGUE, None])
def test_a_moved_day_is_found_by_its_old_date_and_its_new_one(season: Season, event: str | None, day: int) -> None:
    moved = season.with_change(LEAGUE, EventChange(day=june(9), moved_to=june(11), starts=time(19)))
    chosen = moved.meant(event, on(june(day)))

    assert (day_of(chosen), held(chosen)) == (DayId(LEAGUE, june(9)), at(11, 19))


def test_a_moved_day_is_spoken_of_and_answered_to_under_its_old_date(season: Season) -> None:
    moved = season.with_change(LEAGUE, EventChange(day=june(9), moved_to=june(11)))
    mine = DayId(LEAGUE, june(9))

    assert day_of(moved.meant(spoken=mine)) == mine
    assert day_of(moved.meant(mine=[mine], only_mine=True)) == mine


def test_of_two_days_of_an_event_on_one_date_the_earlier_one_is_meant(season: Season) -> None:
    moved = season.with_change(LEAGUE, EventChange(day=june(9), moved_to=june(16), starts=time(12)))

    assert day_of(moved.meant(LEAGUE, on(june(16)))) == DayId(LEAGUE, june(9))


@pytest.mark.parametrize("span", [None, on(june(12))])
def test_a_day_that_begins_after_its_usual_end_is_not_over_before_it_begins(season: Season, span: Span | None) -> None:
    """The clinic, 10:30 to 12:00, is put off to 14:00; nobody writes down a new end. It is 12:30."""
    later = season.with_change(CLINIC, EventChange(day=june(12), starts=time(14)))

    assert day_of(later.meant(CLINIC, span, now=at(12, 12, 30))) == DayId(CLINIC, june(12))


# called off


@pytest.mark.parametrize("event", [LEAGUE, None])
def test_a_day_called_off_is_meant_where_it_is_named(season: Season, event: str | None) -> None:
    off = season.with_change(LEAGUE, EventChange(day=june(9), called_off=True))
    chosen = off.meant(event, on(june(9)))

    assert isinstance(chosen, Meant)
    assert (id_of(chosen.day), chosen.day.called_off) == (DayId(LEAGUE, june(9)), True)


# one entry for all days


SEPTEMBER_11, SEPTEMBER_12 = date(2027, 9, 11), date(2027, 9, 12)


@pytest.mark.parametrize("span", [None, on(SEPTEMBER_11), on(SEPTEMBER_12), (SEPTEMBER_11, SEPTEMBER_12)])
def test_there_is_one_entry_for_both_days_of_the_tournament(season: Season, span: Span | None) -> None:
    assert day_of(season.meant(OPEN, span)) == DayId(OPEN, SEPTEMBER_11)


def test_the_second_day_alone_is_the_tournaments_entry_too(season: Season) -> None:
    assert day_of(season.meant(span=on(SEPTEMBER_12))) == DayId(OPEN, SEPTEMBER_11)


def test_the_tournament_is_asked_about_once(season: Season) -> None:
    """The clinic is on the eleventh as well."""
    asked = days_of(season.meant(span=(SEPTEMBER_11, SEPTEMBER_12)))

    assert asked == [DayId(OPEN, SEPTEMBER_11), DayId(CLINIC, SEPTEMBER_11)]


# On the second morning the first day is over, and the second, for which the same entry is, has not begun.
@pytest.mark.parametrize(
    ("event", "span"), [(OPEN, None), (OPEN, on(SEPTEMBER_12)), (None, on(SEPTEMBER_12))], ids=["name", "both", "day"]
)
def test_the_tournament_is_not_over_before_its_last_day(season: Season, event: str | None, span: Span | None) -> None:
    second_morning = datetime(2027, 9, 12, 8, tzinfo=HALIFAX)

    assert day_of(season.meant(event, span, now=second_morning)) == DayId(OPEN, SEPTEMBER_11)


def test_the_tournaments_entry_stays_the_same_where_its_first_day_moves_behind_its_second(season: Season) -> None:
    """Saturday is rained out and played on Monday; who is in, is in under Saturday."""
    moved = season.with_change(OPEN, EventChange(day=SEPTEMBER_11, moved_to=date(2027, 9, 13)))

    assert day_of(moved.meant(OPEN)) == DayId(OPEN, SEPTEMBER_11)


# nothing left


def test_after_the_season_nothing_is_left_of_an_event_or_at_all(season: Season) -> None:
    autumn = datetime(2027, 10, 1, 12, tzinfo=HALIFAX)
    winter = datetime(2027, 11, 1, 12, tzinfo=HALIFAX)

    assert season.meant(LEAGUE, now=autumn) == Nothing(season.rule(LEAGUE))
    assert day_of(season.meant(CLINIC, now=autumn)) == DayId(CLINIC, date(2027, 10, 9))
    assert season.meant(now=winter) == Nothing(None)
    assert season.meant(LEAGUE, now=winter, spoken=DayId(LEAGUE, june(9)), only_mine=True) == Nothing(
        season.rule(LEAGUE)
    )


@pytest.mark.parametrize(
    ("event", "day", "meant"),
    [
        pytest.param("family-sunday", date(2027, 6, 13), DayId("family-sunday", date(2027, 7, 4)), id="named as well"),
        pytest.param(None, date(2027, 6, 13), DayId("family-sunday", date(2027, 7, 4)), id="always on that weekday"),
        pytest.param(None, date(2027, 6, 9), DayId("dusk-league", date(2027, 6, 9)), id="there is one on that day"),
    ],
)
def test_a_weekday_that_is_the_name_of_something_is_its_next_day(
    season: Season, event: str | None, day: date, meant: DayId
) -> None:
    assert day_of(season.meant(event, (day, day), weekday=True, of_a_kind=True)) == meant


def test_a_weekday_that_is_the_name_of_nothing_stays_that_day(season: Season) -> None:
    assert isinstance(season.meant("family-sunday", (date(2027, 6, 13),) * 2, weekday=True), NotThen)
    monday = (date(2027, 6, 14),) * 2
    assert isinstance(season.meant(None, monday, weekday=True, of_a_kind=True), NotThen)
