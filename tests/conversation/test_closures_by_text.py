"""Closed, on hold, noted and called off by text: who is told what, until when, and who says that it is over."""

import re
from collections.abc import Sequence
from datetime import UTC, date, datetime, timedelta
from typing import Any

import pytest

from clubbot.handbook.book import Handbook
from clubbot.rehearsal import Heard, Rehearsal
from clubbot.store.tables import closures, deeds, reminders
from tests.builders import KIM
from tests.conftest import HALIFAX, NOON
from tests.store.builders import JONAS, LEE, PRIYA, SAM, Row, rows, the_row

ODILE, FEMI, ANA = "+19025550101", "+19025550102", "+19025550145"
SECOND, MINUTE, HOUR, DAY = timedelta(seconds=1), timedelta(minutes=1), timedelta(hours=1), timedelta(days=1)
TWO = datetime(2027, 6, 7, 14, tzinfo=HALIFAX)
CAUTION = "Play is on hold: thunder near the course. Leave the course now"
ATTENTION = "Le jeu est suspendu: orage. Quittez le parcours"
STAYS_CLOSED = "It stays closed until somebody says so"


def local(month: int, day: int, hour: int, minute: int = 0) -> datetime:
    """An hour by the club's clock, handed in as the service does: in UTC. Of a repeated hour it is the first."""
    return datetime(2027, month, day, hour, minute, tzinfo=HALIFAX).astimezone(UTC)


class Club:
    """The demo club, texted from its people's phones."""

    def __init__(self, handbook: Handbook) -> None:
        self.rehearsal = Rehearsal(handbook)

    def text(self, sender: str, text: str, at: datetime = NOON) -> str:
        """What the sender is told."""
        return to(sender, self.rehearsal.text(sender, text, at))

    def code(self, sender: str, order: str, at: datetime = NOON) -> str:
        (code,) = re.findall(r"(?:YES|OUI) (\d{8})", self.text(sender, order, at))
        return str(code)

    def obeyed(self, sender: str, order: str, at: datetime = NOON) -> str:
        """An order and its code; what the sender is told in the end."""
        return self.text(sender, f"yes {self.code(sender, order, at)}", at)

    def rows(self, table: Any) -> list[Row]:
        return list(rows(self.rehearsal.engine, table))

    @property
    def closure(self) -> Row:
        return the_row(self.rehearsal.engine, closures)


@pytest.fixture
def club(handbook: Handbook) -> Club:
    return Club(handbook)


def to(recipient: str, heard: Sequence[Heard]) -> str:
    """All that one phone hears."""
    return " | ".join(one.text for one in heard if one.recipient == recipient)


def is_closed(said: str) -> bool:
    return said.startswith(("No, ", "Non: "))


# The lightning clock. Environment Canada, lightning safety: stay in shelter 30 minutes after the last thunder (READ-2); the sport's
# competition manual 1.07 and its rules body's event policy wait the same 30 minutes (READ): the team's standards, section 7.


@pytest.mark.parametrize("words", ["thunder", "hold play", "orage", "I hear thunder", "suspendre le jeu"])
def test_play_is_held_at_once_without_a_code(club: Club, words: str) -> None:
    assert "YES" not in club.text(PRIYA, words, TWO)

    assert ("course", "held", TWO, None) == tuple(
        club.closure[column] for column in ("what", "kind", "since", "ended_at")
    )
    assert [("priya", TWO, 1)] == [(row["person"], row["at"], row["inbox_id"]) for row in club.rows(deeds)]


def test_while_play_is_held_everybody_who_asks_gets_the_caution(club: Club) -> None:
    club.text(PRIYA, "thunder", TWO)

    for asked in ("is it open", "is the course closed?", "can i play hole 3", "is the marsh loop open"):
        assert CAUTION in club.text(KIM, asked, TWO + MINUTE), asked
    for asked in ("c'est ouvert?", "le parcours est ouvert?", "le trou 8 est ouvert?"):
        assert ATTENTION in club.text(LEE, asked, TWO + MINUTE), asked
    assert CAUTION in club.text(FEMI, "is it open", TWO + MINUTE)
    assert "911" in club.text(KIM, "is it open", TWO + MINUTE)


def test_the_caution_goes_before_an_ordinary_closure(club: Club) -> None:
    club.obeyed(JONAS, "close the marsh loop, flooded", TWO)
    club.text(PRIYA, "thunder", TWO)

    assert CAUTION in club.text(KIM, "is the marsh loop open", TWO + MINUTE)


@pytest.mark.parametrize(("minutes", "may"), [(0, False), (29, False), (30, True), (45, True)])
def test_reopening_is_refused_before_thirty_minutes_after_the_thunder(club: Club, minutes: int, may: bool) -> None:
    """Environment Canada: 30 minutes after the last thunder (READ-2)."""
    club.text(PRIYA, "thunder", TWO)
    said = club.text(JONAS, "reopen", TWO + minutes * MINUTE)

    assert may == ("reply YES" in said)
    assert may != ("not before 14:30" in said)


def test_a_second_thunder_begins_the_thirty_minutes_again(club: Club) -> None:
    """The team's standards, section 7 (own): thunder 14:00 then 14:20, reopening not before 14:50, not 14:30."""
    club.text(PRIYA, "thunder", TWO)
    club.text(FEMI, "thunder again", TWO + 20 * MINUTE)

    for minutes in (30, 40, 49):
        assert "not before 14:50" in club.text(JONAS, "reopen", TWO + minutes * MINUTE)
    assert "not before 14:50" in club.text(ODILE, "reopen the course", TWO + 50 * MINUTE - SECOND)
    assert TWO + 20 * MINUTE == club.closure["since"]
    club.obeyed(JONAS, "reopen", TWO + 50 * MINUTE)
    assert "Yes, the course is open" in club.text(KIM, "is it open", TWO + 51 * MINUTE)


def test_a_thunder_while_reopening_waits_for_its_code_holds_play_on(club: Club) -> None:
    club.text(PRIYA, "thunder", TWO)
    code = club.code(JONAS, "reopen", TWO + 30 * MINUTE)
    club.text(PRIYA, "thunder", TWO + 32 * MINUTE)
    club.text(JONAS, f"yes {code}", TWO + 33 * MINUTE)

    assert CAUTION in club.text(KIM, "is it open", TWO + 34 * MINUTE)


def test_reopening_is_offered_to_a_person_once_after_the_last_thunder(club: Club) -> None:
    club.text(PRIYA, "thunder", TWO)
    club.text(PRIYA, "thunder", TWO + 20 * MINUTE)
    early = [club.rehearsal.send(TWO + 30 * MINUTE), club.rehearsal.send(TWO + 50 * MINUTE - SECOND)]
    (offer,) = club.rehearsal.send(TWO + 50 * MINUTE)
    late = [club.rehearsal.send(TWO + minutes * MINUTE) for minutes in (51, 80, 110, 200)]

    assert [[], []] == early
    assert PRIYA == offer.recipient  # who may hold may release
    assert "30 minutes since the last thunder you told of, at 14:20" in offer.text
    assert [[]] * 4 == late


def test_a_thunder_after_the_offer_begins_it_all_again(club: Club) -> None:
    club.text(PRIYA, "thunder", TWO)
    assert club.rehearsal.send(TWO + 30 * MINUTE)
    club.text(PRIYA, "thunder", TWO + 40 * MINUTE)

    assert [] == club.rehearsal.send(TWO + 69 * MINUTE)
    assert "at 14:40" in to(PRIYA, club.rehearsal.send(TWO + 70 * MINUTE))
    assert [] == club.rehearsal.send(TWO + 71 * MINUTE)


@pytest.mark.parametrize("who", [ODILE, JONAS, FEMI])
def test_it_is_offered_to_whoever_held_play(club: Club, who: str) -> None:
    club.text(who, "thunder", TWO)

    assert [who] == [one.recipient for one in club.rehearsal.send(TWO + 30 * MINUTE)]


def test_the_clock_never_reopens(club: Club) -> None:
    club.text(PRIYA, "thunder", TWO)
    club.rehearsal.pass_time(TWO, TWO + 2 * DAY)

    assert CAUTION in club.text(KIM, "is it open", TWO + 2 * DAY)
    assert club.closure["ended_at"] is None


def test_drafting_to_reopen_is_not_reopening(club: Club) -> None:
    club.text(PRIYA, "thunder", TWO)
    club.code(JONAS, "reopen", TWO + 30 * MINUTE)

    assert CAUTION in club.text(KIM, "is it open", TWO + 31 * MINUTE)


@pytest.mark.parametrize(
    ("thunder", "over"),
    [(local(3, 14, 1, 50), "3:20"), (local(11, 7, 1, 50), "1:20")],
    ids=["clocks go forward at 2:00", "clocks go back at 2:00"],
)
def test_thirty_minutes_are_thirty_minutes_across_a_clock_change(club: Club, thunder: datetime, over: str) -> None:
    """Halifax, 14 March and 7 November 2027: one hour forward, one back, at 2:00 local (tz database, Canada rules)."""
    club.text(PRIYA, "thunder", thunder)

    assert f"not before {over}" in club.text(JONAS, "reopen", thunder + 30 * MINUTE - SECOND)
    assert "reply YES" in club.text(JONAS, "reopen", thunder + 30 * MINUTE)


def test_those_coming_today_are_told_on_the_code_at_night_too(club: Club) -> None:
    club.text(KIM, "in for league wednesday", NOON)
    late = datetime(2027, 6, 9, 21, 20, tzinfo=HALIFAX)
    code = club.code(FEMI, "thunder", late)

    assert CAUTION in to(KIM, club.rehearsal.text(FEMI, f"yes {code}", late))


# Course, loop, hole


@pytest.mark.parametrize(
    ("order", "closed", "still_open"),
    [
        ("close the course, flooded", ("it", "the marsh loop", "hole 3"), ()),
        ("close the marsh loop, flooded", ("the marsh loop", "hole 8"), ("it", "the shore loop", "hole 3")),
        ("close hole 8, fallen tree", ("hole 8",), ("it", "the marsh loop", "hole 9")),
        ("fermez la boucle du marais, inondation", ("the marsh loop", "hole 7"), ("hole 13",)),
    ],
)
def test_what_is_closed_is_closed_and_the_rest_is_open(
    club: Club, order: str, closed: tuple[str, ...], still_open: tuple[str, ...]
) -> None:
    club.obeyed(JONAS, order)

    for place in closed:
        assert is_closed(club.text(KIM, f"is {place} open")), place
    for place in still_open:
        assert club.text(KIM, f"is {place} open").startswith("Yes, "), place


def test_who_asks_about_the_course_hears_which_parts_are_closed(club: Club) -> None:
    club.obeyed(JONAS, "close the marsh loop, flooded")
    club.obeyed(JONAS, "close hole 3, fallen tree")

    said = club.text(KIM, "is it open")
    assert "except the Marsh loop (holes 7-12), closed until further notice (flooded)" in said
    assert "hole 3, closed until further notice (fallen tree)" in said


@pytest.mark.parametrize(
    ("order", "english", "french"),
    [
        ("close the course till 7pm, ice on the boardwalks", "(ice on the boardwalks)", "(glace)"),
        ("fermez le parcours jusqu'à 19 h, glace sur les passerelles", "(ice)", "(glace sur les passerelles)"),
    ],
)
def test_the_reason_is_told_in_each_language(club: Club, order: str, english: str, french: str) -> None:
    club.obeyed(ODILE, order)

    assert f"closed until 19:00 {english}" in club.text(KIM, "is it open")
    assert f"jusqu'à 19 h {french}" in club.text(LEE, "c'est ouvert?")


def test_one_part_is_reopened_and_the_other_stays_closed(club: Club) -> None:
    club.obeyed(JONAS, "close the marsh loop, flooded")
    club.obeyed(JONAS, "close hole 3, fallen tree")
    club.obeyed(JONAS, "reopen hole 3")

    assert not is_closed(club.text(KIM, "is hole 3 open"))
    assert is_closed(club.text(KIM, "is the marsh loop open"))


def test_rouvre_reopens_all_that_is_closed(club: Club) -> None:
    club.obeyed(ODILE, "fermez la boucle du marais, inondation")
    club.obeyed(ODILE, "rouvre le parcours")

    assert club.text(LEE, "c'est ouvert?").startswith("Oui, le parcours: c'est ouvert")


def test_what_is_over_already_is_not_closed_but_asked_again(club: Club) -> None:
    assert "11:00 is over already" in club.text(JONAS, "close the course till 11am today, ice")
    assert [] == club.rows(closures)


def test_who_reopens_a_part_of_a_closed_course_is_not_told_that_nothing_is_closed(club: Club) -> None:
    club.obeyed(JONAS, "close the course, ice")

    assert "Nothing that was closed by text is closed now" not in club.text(JONAS, "reopen the marsh loop")


def test_reopening_now_leaves_a_closure_of_another_day(club: Club) -> None:
    club.obeyed(JONAS, "close the course from saturday 9am till saturday 12pm, tournament")
    club.obeyed(JONAS, "close the course, ice")
    club.obeyed(JONAS, "reopen")

    assert "Sat 12 June: no" in club.text(KIM, "is it open saturday at 10am")


# Until when


@pytest.mark.parametrize("reason", ["mowing", "tournament", "maintenance"])
def test_what_is_planned_reopens_by_itself_and_nobody_is_asked(club: Club, reason: str) -> None:
    shown = club.text(JONAS, f"close the marsh loop till 3pm, {reason}")
    assert "It reopens by itself" in shown
    club.obeyed(JONAS, f"close the marsh loop till 3pm, {reason}")
    three = NOON + 3 * HOUR

    assert is_closed(club.text(KIM, "is the marsh loop open", three - SECOND))
    assert "Yes, the Marsh loop" in club.text(KIM, "is the marsh loop open", three)
    assert [] == club.rehearsal.pass_time(three, three + 4 * HOUR)


def test_what_is_planned_without_an_end_does_not_promise_to_reopen_by_itself(club: Club) -> None:
    assert "It reopens by itself" not in club.text(JONAS, "close the marsh loop, mowing")
    club.obeyed(JONAS, "close the marsh loop, mowing")

    assert is_closed(club.text(KIM, "is the marsh loop open", NOON + DAY))


@pytest.mark.parametrize(("who", "asked"), [(JONAS, "text REOPEN"), (ODILE, "écrivez ROUVRE")])
def test_of_a_danger_its_closer_is_asked_once_when_its_time_is_over_and_it_stays_closed(
    club: Club, who: str, asked: str
) -> None:
    club.obeyed(who, "close the course till 3pm, ice on the boardwalks")
    three = NOON + 3 * HOUR
    before, then = club.rehearsal.send(three - SECOND), club.rehearsal.send(three)
    after = [club.rehearsal.send(three + MINUTE), club.rehearsal.send(three + 4 * HOUR)]

    assert [] == before
    assert [who] == [one.recipient for one in then]
    assert asked in then[0].text
    assert [[], []] == after
    assert is_closed(club.text(KIM, "is it open", three + 4 * HOUR))
    club.obeyed(JONAS, "reopen", three + 4 * HOUR)
    assert not is_closed(club.text(KIM, "is it open", three + 4 * HOUR))


def test_what_was_reopened_early_is_not_asked_about(club: Club) -> None:
    club.obeyed(JONAS, "close the course till 3pm, ice")
    club.obeyed(JONAS, "reopen", NOON + HOUR)

    assert [] == club.rehearsal.pass_time(NOON + HOUR, NOON + 5 * HOUR)


def test_closed_again_with_a_new_time_it_is_closed_until_then(club: Club) -> None:
    """The question to the keeper says: "or close it again with a new time"."""
    club.obeyed(JONAS, "close the course till 3pm, ice")
    club.rehearsal.send(NOON + 3 * HOUR)
    club.obeyed(JONAS, "close the course till 5pm, ice", NOON + 3 * HOUR)

    assert "closed until 17:00 (ice)" in club.text(KIM, "is it open", NOON + 3 * HOUR)


def test_a_closure_goes_on_over_midnight(club: Club) -> None:
    ten = local(6, 7, 22)
    shown = club.text(JONAS, "close the course till tomorrow 6am, ice", ten)
    club.obeyed(JONAS, "close the course till tomorrow 6am, ice", ten)

    assert "until Tue 8 June 6:00" in shown
    assert is_closed(club.text(KIM, "is it open", ten + 2 * HOUR - MINUTE))
    assert "closed until 6:00" in club.text(KIM, "is it open", ten + 2 * HOUR + MINUTE)
    assert STAYS_CLOSED in to(JONAS, club.rehearsal.pass_time(ten + 2 * HOUR, ten + 8 * HOUR))
    assert is_closed(club.text(KIM, "is it open", ten + 9 * HOUR))


@pytest.mark.parametrize("order", ["close the course till 6am, ice", "close the course from 10pm till 6am, ice"])
def test_an_hour_after_midnight_is_that_of_the_next_day(club: Club, order: str) -> None:
    club.obeyed(JONAS, order, local(6, 7, 21, 30))

    assert local(6, 8, 6) == club.closure["until"]


@pytest.mark.parametrize(
    "order", ["close the course saturday from 9am till 3pm, event", "close the course tomorrow, snow"]
)
def test_a_day_before_the_hours_is_the_day_of_the_closure(club: Club, order: str) -> None:
    club.obeyed(JONAS, order)

    assert not is_closed(club.text(KIM, "is it open"))


def test_from_and_to_are_read_in_french(club: Club) -> None:
    club.obeyed(ODILE, "fermez la boucle de la colline de 18 h à 21 h, tournoi")

    assert (local(6, 7, 18), local(6, 7, 21)) == (club.closure["since"], club.closure["until"])


def test_a_closure_of_later_is_told_to_who_asks_ahead_and_not_before(club: Club) -> None:
    club.obeyed(JONAS, "close the marsh loop from 5pm till 7pm, event")

    assert (local(6, 7, 17), local(6, 7, 19)) == (club.closure["since"], club.closure["until"])
    assert not is_closed(club.text(KIM, "is the marsh loop open", local(6, 7, 17) - SECOND))
    assert is_closed(club.text(KIM, "is the marsh loop open", local(6, 7, 17)))
    assert not is_closed(club.text(KIM, "is the marsh loop open", local(6, 7, 19)))


def test_who_asks_whether_the_hill_loop_is_open_hears_that_it_is_closed(club: Club) -> None:
    club.obeyed(JONAS, "close the hill loop, fallen tree")

    assert is_closed(club.text(KIM, "is the hill loop open"))


# Halifax, tz database: in 2027 the clocks go from 2:00 to 3:00 on 14 March and from 2:00 back to 1:00 on 7 November.
@pytest.mark.parametrize(
    ("evening", "hours"), [(local(3, 13, 23), 9), (local(11, 6, 23), 11)], ids=["a short night", "a long night"]
)
def test_nine_in_the_morning_is_nine_by_the_clock_on_the_wall_across_a_clock_change(
    club: Club, evening: datetime, hours: int
) -> None:
    club.obeyed(JONAS, "close the course till tomorrow 9am, mowing", evening)
    nine = evening + hours * HOUR

    assert nine == club.closure["until"]
    assert "closed until 9:00" in club.text(KIM, "is it open", nine - MINUTE)
    assert not is_closed(club.text(KIM, "is it open", nine))


@pytest.mark.parametrize(
    ("evening", "order", "until"),
    [
        (local(3, 13, 23), "close the course till tomorrow 2:30am, ice", datetime(2027, 3, 14, 6, 30, tzinfo=UTC)),
        (local(11, 6, 23), "close the course till tomorrow 1:30am, ice", datetime(2027, 11, 7, 4, 30, tzinfo=UTC)),
    ],
    ids=["an hour that is left out", "an hour that comes twice"],
)
def test_an_hour_within_the_clock_change_is_read_as_calendars_do(
    club: Club, evening: datetime, order: str, until: datetime
) -> None:
    """RFC 5545, 3.3.5: an hour that is left out has the offset before it; one that comes twice is the first. READ"""
    club.obeyed(JONAS, order, evening)

    assert until == club.closure["until"]
    assert [] == club.rehearsal.send(until - SECOND)
    assert STAYS_CLOSED in to(JONAS, club.rehearsal.send(until))


# Notes


def test_a_note_closes_nothing_and_is_told_to_who_asks_about_that_part(club: Club) -> None:
    shown = club.text(JONAS, "hole 11 has a temporary basket")
    club.obeyed(JONAS, "hole 11 has a temporary basket")

    assert "Open, with a note on hole 11" in shown
    for place in ("it", "the marsh loop", "hole 11"):
        said = club.text(KIM, f"is {place} open")
        assert said.startswith("Yes, "), place
        assert "Hole 11: a temporary basket." in said
    for place in ("the shore loop", "hole 12"):
        assert "temporary basket" not in club.text(KIM, f"is {place} open"), place


def test_a_note_is_told_to_the_french_too_and_for_days(club: Club) -> None:
    club.obeyed(ODILE, "trou 11 a une corbeille temporaire")

    assert "Le trou 11: une corbeille temporaire." in club.text(LEE, "c'est ouvert?", NOON + 3 * DAY)
    assert [] == club.rehearsal.send(NOON + 3 * DAY + MINUTE)


# Events that a closure covers

SUNDAY = local(7, 4, 7)


@pytest.mark.parametrize(
    ("order", "covers"),
    [
        ("close the course till 1pm, flooded", True),
        ("close the shore loop till 1pm, flooded", True),
        ("close the shore loop till 10:30am, flooded", True),
        ("close the shore loop till 10am, flooded", False),
        ("close the marsh loop till 1pm, flooded", False),
        ("close hole 3 till 1pm, flooded", False),
        ("note: hole 3 has a temporary basket", False),
    ],
)
def test_a_covered_event_is_named_with_how_many_are_coming(club: Club, order: str, covers: bool) -> None:
    """Family Sunday is on the Shore loop, 4 July 10:00 to 11:30."""
    club.text(KIM, "in for family sunday, 3 of us", SUNDAY - 2 * DAY)
    said = club.obeyed(JONAS, order, SUNDAY)

    assert covers == ("It covers Family Sunday, Sun 4 July 10:00, 3 coming." in said)
    assert covers == ("It covers" in said)


def test_a_covered_event_is_not_called_off_by_the_closure(club: Club) -> None:
    club.text(KIM, "in for family sunday, 3 of us", SUNDAY - 2 * DAY)
    club.obeyed(JONAS, "close the course till 1pm, flooded", SUNDAY)

    assert "called off" not in to(KIM, club.rehearsal.pass_time(SUNDAY, SUNDAY + 3 * HOUR))


def test_what_the_closure_says_to_text_does_call_it_off(club: Club) -> None:
    club.text(KIM, "in for family sunday, 3 of us", SUNDAY - 2 * DAY)
    said = club.obeyed(ODILE, "close the course till 1pm, flooded", SUNDAY)
    (order,) = re.findall(r"text (CALL OFF .+) and the day", said)

    assert "Call off Family Sunday, Sun 4 July 10:00" in club.text(ODILE, f"{order} sunday", SUNDAY)


def test_an_event_that_is_called_off_already_is_not_named(club: Club) -> None:
    club.obeyed(ODILE, "call off family sunday, flooded", SUNDAY)

    assert "It covers" not in club.obeyed(JONAS, "close the course till 1pm, flooded", SUNDAY)


# Called off

WEDNESDAY = date(2027, 6, 9)


def some_are_in_for_league(club: Club) -> None:
    """Kim and Lee are in, Sam may come, Ana was and is not."""
    club.text(KIM, "in for league wednesday, 2 of us")
    club.text(LEE, "je viens à la ligue mercredi")
    club.text(SAM, "might come to league on wednesday")
    club.text(ANA, "in for league wednesday")
    club.text(ANA, "can't make it to league wednesday", NOON + MINUTE)


def of_calling_off(heard: Sequence[Heard]) -> list[tuple[str, str]]:
    return sorted((one.recipient, one.text) for one in heard if "called off" in one.text or "annulé" in one.text)


TOLD = [
    (KIM, "Dusk League on Wed 9 June is called off (thunder)."),
    (LEE, "Ligue du soir, mercredi 9 juin: annulé (orage)."),
    (SAM, "Dusk League on Wed 9 June is called off (thunder)."),
]


def test_a_day_called_off_is_told_once_to_those_in_for_it_in_their_language_and_no_reminder_follows(club: Club) -> None:
    some_are_in_for_league(club)
    shown = club.text(PRIYA, "call off league wednesday, thunder", NOON + HOUR)
    assert "4 people on its list: they get a text" in shown  # Kim's two, Lee, Sam
    code = club.code(PRIYA, "call off league wednesday, thunder", NOON + HOUR)
    at_once = [
        one for one in club.rehearsal.text(PRIYA, f"yes {code}", NOON + HOUR) if one.recipient not in {PRIYA, ODILE}
    ]
    later = club.rehearsal.pass_time(NOON + HOUR, NOON + 3 * DAY)

    assert TOLD == of_calling_off(at_once)
    assert [] == [one for one in later if one.recipient in {KIM, LEE, SAM, ANA}]
    assert "waiting" not in {row["state"] for row in club.rows(reminders)}
    assert "called off already" in club.text(PRIYA, "call off league wednesday, thunder", NOON + DAY)


def test_called_off_at_night_it_is_told_in_the_morning_once(club: Club) -> None:
    """The demo club's quiet hours: 21:00 to 8:00."""
    some_are_in_for_league(club)
    late, eight = local(6, 8, 22), local(6, 9, 8)
    club.rehearsal.pass_time(NOON + MINUTE, late)
    code = club.code(PRIYA, "call off league wednesday, thunder", late)
    at_night = club.rehearsal.text(PRIYA, f"yes {code}", late)

    assert [] == [one for one in at_night if one.recipient in {KIM, LEE, SAM, ANA}]
    assert "called off (thunder)" in club.text(ANA, "is league on tomorrow?", late + MINUTE)
    assert [] == of_calling_off(club.rehearsal.pass_time(late, eight - SECOND))
    assert TOLD == of_calling_off(club.rehearsal.send(eight))
    assert [] == of_calling_off(club.rehearsal.pass_time(eight, eight + DAY))


def test_called_off_at_night_shortly_before_it_begins_it_is_told_at_once(club: Club) -> None:
    club.text(KIM, "in for the work morning", local(6, 25, 12))
    seven = local(6, 26, 7)
    code = club.code(ODILE, "call off the work morning today, flooded", seven)

    assert "called off (flooded)" in to(KIM, club.rehearsal.text(ODILE, f"yes {code}", seven))


def test_annule_calls_off_too(club: Club) -> None:
    some_are_in_for_league(club)
    code = club.code(ODILE, "annule la ligue mercredi, orage", NOON + HOUR)

    assert TOLD == of_calling_off(
        [one for one in club.rehearsal.text(ODILE, f"oui {code}", NOON + HOUR) if one.recipient != ODILE]
    )


def test_another_day_of_the_same_event_stays_on(club: Club) -> None:
    club.text(KIM, "in for league 16 june")
    club.obeyed(PRIYA, "call off league wednesday, ice")

    assert [] == of_calling_off(club.rehearsal.pass_time(NOON, NOON + 2 * DAY))
    assert "Wed 16 June" in club.text(KIM, "when is league next", NOON + HOUR)


def test_who_asks_whether_a_day_is_on_by_its_weekday_hears_that_it_is_called_off(club: Club) -> None:
    club.obeyed(PRIYA, "call off league wednesday, ice")

    assert "called off (ice)" in club.text(KIM, "is league on wednesday?")


def test_an_event_of_several_days_is_called_off_whole(club: Club) -> None:
    asked = club.text(ODILE, "call off the fog horn open, hurricane", local(9, 9, 12))
    assert "Which is off" in asked
    club.obeyed(ODILE, "both", local(9, 9, 12))

    assert "Fog Horn Open 9:00" not in club.text(KIM, "what's on sunday", local(9, 9, 13))


def test_whoever_may_text_everybody_sees_that_a_closure_alone_texts_nobody(club: Club) -> None:
    said = club.obeyed(ODILE, "close the course till 7pm, ice, and tell everyone")
    assert "write TELL EVERYONE and your words" in said
    assert "TELL EVERYONE" not in club.obeyed(JONAS, "close hole 3, fallen tree")
    assert "TELL EVERYONE" not in club.obeyed(ODILE, "hole 11 has a temporary basket")


@pytest.mark.parametrize(
    "order", ["close the marsh loop, flooded", "close the course, wasps at 3", "ferme la boucle du marais, inondée"]
)
def test_what_is_closed_from_now_is_closed_on_a_clock_that_was_set_back(club: Club, order: str) -> None:
    club.obeyed(JONAS, order, TWO)

    assert is_closed(club.text(KIM, "is the marsh loop open?", TWO - HOUR))


def test_what_was_ordered_before_the_clock_was_set_back_is_closed_when_its_code_comes(club: Club) -> None:
    code = club.code(JONAS, "close the marsh loop, flooded", TWO)
    club.text(JONAS, f"yes {code}", TWO - MINUTE)

    assert is_closed(club.text(KIM, "is the marsh loop open?", TWO - MINUTE))


def test_play_on_hold_stays_so_on_a_clock_that_was_set_back(club: Club) -> None:
    club.text(JONAS, "hold play", TWO)

    assert CAUTION.split(":", maxsplit=1)[0] in club.text(KIM, "is the course open?", TWO - HOUR)
