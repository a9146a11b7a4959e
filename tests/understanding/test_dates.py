"""The day and hour that a text speaks of. The clock is Monday 7 June 2027, 12:00 in Halifax, where no other is given.

The phrases and what they are taken to mean are our own: the policy is that of the module, there is no outside source for it.
"""

from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

import pytest

from clubbot.handbook.language_files import shipped_days
from clubbot.understanding.dates import plain_for_dates
from clubbot.understanding.days import aware

HALIFAX = ZoneInfo("America/Halifax")
NOON = datetime(2027, 6, 7, 12, tzinfo=HALIFAX)
when = shipped_days("CA").when


def read(text: str, now: datetime = NOON) -> str | None:
    """ "2027-06-12", with " 10:00" where an hour is meant, ".." and the last day where several are."""
    found = when(plain_for_dates(text), now, HALIFAX)
    if found is None:
        return None
    last = f"..{found.last}" if found.last != found.first else ""
    return f"{found.first}{last}{f' {found.at:%H:%M}' if found.at else ''}"


ENGLISH = [
    ("is it open today", "2027-06-07"),
    ("open right now?", "2027-06-07"),
    ("are you open tonight", "2027-06-07 18:00"),
    ("this afternoon any good", "2027-06-07 14:00"),
    ("anything this evening", "2027-06-07 18:00"),
    ("tomorrow", "2027-06-08"),
    ("tmr around 6", "2027-06-08 18:00"),
    ("tmrw at 6:15 pm", "2027-06-08 18:15"),
    ("8am tomorrow", "2027-06-08 08:00"),
    ("tomorrow at half past 5", "2027-06-08 17:30"),
    ("quarter to 7 tomorrow", "2027-06-08 18:45"),
    ("tomorrow night", "2027-06-08 18:00"),
    ("at six tomorrow", "2027-06-08 18:00"),
    ("the day after tomorrow", "2027-06-09"),
    ("monday", "2027-06-07"),
    ("mon or tues", "2027-06-07"),
    ("next monday", "2027-06-14"),
    ("tuesday", "2027-06-08"),
    ("weds 6", "2027-06-09 18:00"),
    ("weds 9", "2027-06-09"),
    ("next wednesday", "2027-06-16"),
    ("wednesday next week", "2027-06-16"),
    ("wed the 17th", "2027-06-17"),
    ("thurs after work", "2027-06-10 18:00"),
    ("fri at 5:30", "2027-06-11 17:30"),
    ("next fri @ 6", "2027-06-18 18:00"),
    ("friday night", "2027-06-11 18:00"),
    ("sat morning", "2027-06-12 09:00"),
    ("sat 10", "2027-06-12 10:00"),
    ("sat the 19th", "2027-06-19"),
    ("saturday at 10am with my two kids", "2027-06-12 10:00"),
    ("at noon on saturday", "2027-06-12 12:00"),
    ("Saturday 12 June at 2pm", "2027-06-12 14:00"),
    ("a week from saturday", "2027-06-19"),
    ("last saturday", "2027-06-05"),
    ("sunday at 10, kids welcome?", "2027-06-13 10:00"),
    ("sun 10am", "2027-06-13 10:00"),
    ("sunday afternoon", "2027-06-13 14:00"),
    ("this weekend", "2027-06-12..2027-06-13"),
    ("next weekend", "2027-06-19..2027-06-20"),
    ("this week", "2027-06-07..2027-06-13"),
    ("next week", "2027-06-14..2027-06-20"),
    ("next month", "2027-07-01..2027-07-31"),
    ("in 3 days", "2027-06-10"),
    ("we'll be there in 2 hours", "2027-06-07 14:00"),
    ("july 1st", "2027-07-01"),
    ("the 1st of july", "2027-07-01"),
    ("july 1 2028", "2028-07-01"),
    ("2027-09-11", "2027-09-11"),
    ("the 12th", "2027-06-12"),
    ("on the 5th", "2027-07-05"),
    ("the 31st", "2027-07-31"),
    ("5 sept", "2027-09-05"),
    ("dec 31", "2027-12-31"),
    ("january 2nd", "2028-01-02"),
    ("5 may", "2028-05-05"),
    ("feb 29", "2028-02-29"),
    ("in august", "2027-08-01..2027-08-31"),
    ("rest of june", "2027-06-07..2027-06-30"),
    ("in may", "2028-05-01..2028-05-31"),
    ("can we be there by 7", "2027-06-07 19:00"),
    ("at 14:00", "2027-06-07 14:00"),
    ("tonight till 9", "2027-06-07 21:00"),
    ("yesterday", "2027-06-06"),
]

FRENCH = [
    ("c'est ouvert aujourd'hui", "2027-06-07"),
    ("mtn", "2027-06-07"),
    ("ce soir", "2027-06-07 18:00"),
    ("cet après-midi", "2027-06-07 14:00"),
    ("vers 19h", "2027-06-07 19:00"),
    ("ajd 16h", "2027-06-07 16:00"),
    ("dem 18h30", "2027-06-08 18:30"),
    ("demain matin", "2027-06-08 09:00"),
    ("à 6h30 demain matin", "2027-06-08 06:30"),
    ("demain à 6 h", "2027-06-08 18:00"),
    ("demain à 10", "2027-06-08 10:00"),
    ("après-demain", "2027-06-09"),
    ("mardi midi", "2027-06-08 12:00"),
    ("mardi en huit", "2027-06-15"),
    ("mercredi soir", "2027-06-09 18:00"),
    ("mer soir", "2027-06-09 18:00"),
    ("mercredi prochain", "2027-06-09"),
    ("mercredi de la semaine prochaine", "2027-06-16"),
    ("lundi prochain", "2027-06-14"),
    ("jeudi 10 juin", "2027-06-10"),
    ("jeudi vers 6 h et demie", "2027-06-10 18:30"),
    ("vendredi à 17 h", "2027-06-11 17:00"),
    ("ven 17h", "2027-06-11 17:00"),
    ("samedi 19", "2027-06-19"),
    ("ce samedi à 14h30", "2027-06-12 14:30"),
    ("sam 10h", "2027-06-12 10:00"),
    ("mon chien et moi samedi", "2027-06-12"),
    ("dimanche après-midi", "2027-06-13 14:00"),
    ("dimanche 13 à 10h", "2027-06-13 10:00"),
    ("le dimanche 27", "2027-06-27"),
    ("cette fin de semaine", "2027-06-12..2027-06-13"),
    ("la semaine prochaine", "2027-06-14..2027-06-20"),
    ("le mois prochain", "2027-07-01..2027-07-31"),
    ("dans 3 jours", "2027-06-10"),
    ("on sera là dans une heure", "2027-06-07 13:00"),
    ("le 14", "2027-06-14"),
    ("le 5", "2027-07-05"),
    ("le 31", "2027-07-31"),
    ("le 1er juillet", "2027-07-01"),
    ("le 24 juin à 9h", "2027-06-24 09:00"),
    ("le 29 février", "2028-02-29"),
    ("fin août", "2027-08-01..2027-08-31"),
    ("hier", "2027-06-06"),
]

NO_DATE = [
    "hole 12 is flooded",
    "may i bring my dog",
    "this may be a silly question",
    "is it free",
    "the sun is out",
    "too much sun for grandma",
    "we sat down",
    "my disc sat on the roof",
    "sat nav address please",
    "18 holes",
    "how long for 3 people",
    "the 3rd hole is tricky",
    "is the 1st tee near the water",
    "may 3 of us play together",
    "18 may be too long for us",
    "hi this is april",
    "how do you march up that hill",
    "see you later",
    "is it ok for a 6 year old",
    "kids from 8 to 12",
    "do i need to be 18",
    "by 6 of the baskets",
    "from hole 7 to 12",
    "i want to get wed at the park",
    "i am new",
    "mon chien",
    "mon fils a 9 ans",
    "c'est pour 4 adultes",
    "on peut jouer à 5 ?",
    "le trou 12 est inondé",
    "du 7 au 12 c'est inondé",
    "18 trous en 2 h",
    "la boucle de 6 trous",
    "la mer est haute",
    "je cherche le jeu de 3 disques",
    "moi c'est Sam",
]


@pytest.mark.parametrize(("text", "expected"), ENGLISH)
def test_an_english_phrase_means_its_day_and_hour(text: str, expected: str) -> None:
    assert read(text) == expected


@pytest.mark.parametrize(("text", "expected"), FRENCH)
def test_a_french_phrase_means_its_day_and_hour(text: str, expected: str) -> None:
    assert read(text) == expected


@pytest.mark.parametrize("text", NO_DATE)
def test_words_that_only_look_like_a_day_or_hour_are_none(text: str) -> None:
    assert read(text) is None


@pytest.mark.parametrize("text", [text for text, _ in (*ENGLISH, *FRENCH)])
def test_capitals_and_marks_change_nothing(text: str) -> None:
    assert read(f"  {text.upper()}!! ") == read(text)


def on(day: int, hour: int = 12, month: int = 6, year: int = 2027) -> datetime:
    return datetime(year, month, day, hour, tzinfo=HALIFAX)


@pytest.mark.parametrize(
    ("text", "now", "expected"),
    [
        # the weekend, said within it
        ("this weekend", on(12), "2027-06-12..2027-06-13"),
        ("this weekend", on(13), "2027-06-13"),
        ("next weekend", on(12), "2027-06-19..2027-06-20"),
        ("next weekend", on(13), "2027-06-19..2027-06-20"),
        ("next weekend", on(11), "2027-06-19..2027-06-20"),
        ("cette fin de semaine", on(13), "2027-06-13"),
        # "next" a weekday, said on that day and on a Sunday
        ("wednesday", on(9), "2027-06-09"),
        ("next wednesday", on(9), "2027-06-16"),
        ("mercredi prochain", on(9), "2027-06-16"),
        ("next monday", on(13), "2027-06-14"),
        ("next sunday", on(13), "2027-06-20"),
        ("this week", on(13), "2027-06-13"),
        ("next week", on(13), "2027-06-14..2027-06-20"),
        # ends of months and years
        ("tomorrow", on(30), "2027-07-01"),
        ("the 30th", on(30), "2027-06-30"),
        ("the 29th", on(30), "2027-07-29"),
        ("the 31st", on(1, month=2), "2027-03-31"),
        ("demain", on(31, month=12), "2028-01-01"),
        ("new year, jan 1", on(31, month=12), "2028-01-01"),
        ("saturday", on(31, month=12), "2028-01-01"),
        ("next week", on(31, month=12), "2028-01-03..2028-01-09"),
        ("in december", on(31, month=12), "2027-12-31"),
        ("next month", on(31, month=12), "2028-01-01..2028-01-31"),
        ("le mois prochain", on(31, month=1, year=2028), "2028-02-01..2028-02-29"),
        # 29 February
        ("feb 29", on(1, month=3, year=2028), "2032-02-29"),
        ("feb 29", on(29, month=2, year=2028), "2028-02-29"),
        ("the day after tomorrow", on(28, month=2, year=2028), "2028-03-01"),
        ("the 29th", on(1, month=2), "2027-03-29"),
        # hours that are over, and the evening that has begun
        ("open till 9", on(7, 8), "2027-06-07 09:00"),
        ("open till 9", on(7, 13), "2027-06-07 21:00"),
        ("at 9 this morning", on(7, 13), "2027-06-07 09:00"),
        ("tonight", on(7, 20), "2027-06-07"),
        ("ce soir", on(7, 20), "2027-06-07"),
        ("this morning", on(7, 8), "2027-06-07 09:00"),
        ("this morning", on(7, 12), "2027-06-07"),
    ],
)
def test_the_same_words_said_on_another_day_mean_another_day(text: str, now: datetime, expected: str) -> None:
    assert read(text, now) == expected


@pytest.mark.parametrize(
    ("text", "month", "day"), [("june 31", 6, 30), ("31 avril", 4, 30), ("feb 30", 2, 29), ("le 31 novembre", 11, 30)]
)
def test_a_day_that_no_month_has_is_never_taken_for_a_date(text: str, month: int, day: int) -> None:
    found = read(text)

    assert found is None or found.endswith(f"-{month:02}-{day}")  # the month may still be meant


def test_the_local_day_counts_and_not_that_of_greenwich() -> None:
    late = datetime(2027, 6, 8, 2, tzinfo=UTC)  # 23:00 on the 7th in Halifax

    assert read("today", late) == "2027-06-07"
    assert read("tomorrow", late) == "2027-06-08"


def test_an_hour_is_an_aware_local_time() -> None:
    found = when("friday at 5:30", NOON, HALIFAX)

    assert found is not None
    assert found.at == datetime(2027, 6, 11, 20, 30, tzinfo=UTC)


def test_the_words_stay_with_what_they_mean() -> None:
    found = when("friday at 5:30", NOON, HALIFAX)

    assert found is not None
    assert found.words == "friday at 5:30"


# Source: RFC 5545, 3.3.5, with the rows for Halifax in reference/standards.md section 5 (READ; CALC zoneinfo).
@pytest.mark.parametrize(
    ("day", "hour", "utc", "by_the_clock"),
    [
        (date(2026, 11, 1), time(1, 30), datetime(2026, 11, 1, 4, 30, tzinfo=UTC), time(1, 30)),
        (date(2026, 3, 8), time(2, 30), datetime(2026, 3, 8, 6, 30, tzinfo=UTC), time(3, 30)),
        (date(2026, 3, 8), time(12), datetime(2026, 3, 8, 15, tzinfo=UTC), time(12)),
        (date(2026, 11, 1), time(12), datetime(2026, 11, 1, 16, tzinfo=UTC), time(12)),
    ],
)
def test_a_missing_hour_is_read_by_the_old_offset_and_a_repeated_one_is_its_first(
    day: date, hour: time, utc: datetime, by_the_clock: time
) -> None:
    found = aware(day, hour, HALIFAX)

    assert (found.astimezone(UTC), found.time()) == (utc, by_the_clock)


# Source: tzdata for America/Halifax: at 2026-03-08 2:00 the clock goes to 3:00.
@pytest.mark.parametrize(
    ("now", "expected"),
    [
        (datetime(2026, 3, 8, 1, 30, tzinfo=HALIFAX), datetime(2026, 3, 8, 3, 30, tzinfo=HALIFAX)),
        (datetime(2026, 11, 1, 0, 30, tzinfo=HALIFAX), datetime(2026, 11, 1, 1, 30, tzinfo=HALIFAX)),
        (datetime(2026, 11, 1, 1, 30, tzinfo=HALIFAX), datetime(2026, 11, 1, 1, 30, fold=1, tzinfo=HALIFAX)),
    ],
)
def test_in_an_hour_is_sixty_minutes_later_whatever_the_clock_does(now: datetime, expected: datetime) -> None:
    found = when("be there in an hour", now, HALIFAX)

    assert found is not None
    assert found.at is not None
    assert found.at.astimezone(UTC) == expected.astimezone(UTC)
    assert found.at.astimezone(UTC) - now.astimezone(UTC) == timedelta(hours=1)


@pytest.mark.parametrize(
    ("text", "plain"),
    [
        ("L'après-midi, à 6.30?", "l apres midi a 6:30"),
        ("Aujourd’hui — 18 h 15", "aujourd hui 18 h 15"),
        ("hole #7!!", "hole #7"),
        ("Zoë's FÊTE at 10:00.", "zoe s fete at 10:00"),
        ("🥏", ""),
    ],
)
def test_plain_words_have_no_accents_and_no_marks_but_those_of_hours_and_holes(text: str, plain: str) -> None:
    assert plain_for_dates(text) == plain
