"""Days and hours as people text them, in English and French. The clock is Monday 7 June 2027, 12:00 in Halifax, where no other is given.

The phrases and what they are taken to mean are our own: the policy is that of `days`, there is no outside source for it. Which weekday a date
is comes from the standard library's calendar.
"""

from datetime import datetime
from zoneinfo import ZoneInfo

import pytest

from clubbot.handbook.book import Handbook
from clubbot.handbook.language_files import shipped_days, shipped_words
from clubbot.model.messages import Language
from clubbot.understanding.dates import plain_for_dates
from clubbot.understanding.days import Spoken

HALIFAX = ZoneInfo("America/Halifax")
NOON = datetime(2027, 6, 7, 12, tzinfo=HALIFAX)


def spoken(text: str, country: str = "CA", now: datetime = NOON) -> Spoken:
    days = shipped_days(country)
    return days.said(plain_for_dates(text), now, HALIFAX)


def read(text: str, country: str = "CA") -> str | None:
    """ "06-12", with " 10:00" where an hour is meant, ".." and the last day where several are; the year where it is not 2027."""
    return as_told(spoken(text, country))


def as_told(said: Spoken) -> str | None:
    """What was understood, in that form."""
    found = said.when
    if found is None:
        return None
    last = f"..{found.last:%m-%d}" if found.last != found.first else ""
    year = f"{found.first:%Y}-" if found.first.year != 2027 else ""
    until = f"-{found.until:%H:%M}" if found.until else ""
    return f"{year}{found.first:%m-%d}{last}{f' {found.at:%H:%M}' if found.at else ''}{until}"


SLIPS = [
    ("thrusday", "06-10"),
    ("in for thurday", "06-10"),
    ("see ya thirsday", "06-10"),
    ("wedsnday works", "06-09"),
    ("wenesday at 6", "06-09 18:00"),
    ("wednsday night", "06-09 18:00"),
    ("wendesday", "06-09"),
    ("tuseday", "06-08"),
    ("teusday morning", "06-08 09:00"),
    ("firday", "06-11"),
    ("fridya at 5:30", "06-11 17:30"),
    ("saterday 10am", "06-12 10:00"),
    ("satruday", "06-12"),
    ("sudnay", "06-13"),
    ("sundya", "06-13"),
    ("modnay", "06-07"),
    ("tomorrwo", "06-08"),
    ("tommorrow at 6", "06-08 18:00"),
    ("mecredi", "06-09"),
    ("mercerdi soir", "06-09 18:00"),
    ("jeuid", "06-10"),
    ("vendrdi", "06-11"),
    ("samdi", "06-12"),
    ("samedy", "06-12"),
    ("dimnache", "06-13"),
    ("dimamche", "06-13"),
    ("12 septmber", "09-12"),
    ("auguts 3", "08-03"),
    ("3 juilet", "07-03"),
]

RELATIVE = [
    ("in two weeks", "06-21"),
    ("in a week", "06-14"),
    ("in a couple of weeks", "06-21"),
    ("in three days", "06-10"),
    ("in a fortnight", "06-21"),
    ("in a month", "07-07"),
    ("three days from now", "06-10"),
    ("two weeks from today", "06-21"),
    ("a week today", "06-14"),
    ("a week tomorrow", "06-15"),
    ("a week from tomorrow", "06-15"),
    ("thursday week", "06-17"),
    ("sat week", "06-19"),
    ("friday fortnight", "06-25"),
    ("a week from friday", "06-18"),
    ("a week on saturday", "06-19"),
    ("week from wed", "06-16"),
    ("two weeks from sunday", "06-27"),
    ("friday in two weeks", "06-25"),
    ("not this wed the one after", "06-16"),
    ("not this wednesday but the next one", "06-16"),
    ("not this friday, next friday", "06-18"),
    ("not this thursday but the week after", "06-17"),
    ("day after tomorrow", "06-09"),
    ("the day after tomorrow at 7", "06-09 19:00"),
    ("the day after june 12", "06-13"),
    ("the day before july 1", "06-30"),
    ("the week after june 9", "06-16"),
    ("week of june 23", "06-21..06-27"),
    ("this thursday", "06-10"),
    ("this coming sat", "06-12"),
    ("next tuesday", "06-15"),
    ("next fri 6", "06-18 18:00"),
    ("friday next week", "06-18"),
    ("next week friday", "06-18"),
    ("friday of this week", "06-11"),
    ("is wednesday on next week", "06-16"),
    ("week after next", "06-21..06-27"),
    ("thursday the week after next", "06-24"),
    ("this weekend", "06-12..06-13"),
    ("the weekend", "06-12..06-13"),
    ("next wknd", "06-19..06-20"),
    ("weekend after next", "06-26..06-27"),
    ("last weekend", "06-05..06-06"),
    ("last friday", "06-04"),
    ("wednesday through friday", "06-09..06-11"),
    ("end of the month", "06-07..06-30"),
    ("early july", "07-01..07-31"),
    ("mid august", "08-01..08-31"),
    ("beginning of september", "09-01..09-30"),
    ("next month", "07-01..07-31"),
    ("june 2028", "2028-06-01..06-30"),
    ("dans deux semaines", "06-21"),
    ("dans une semaine", "06-14"),
    ("dans 3 jours", "06-10"),
    ("dans quinze jours", "06-21"),
    ("dans un mois", "07-07"),
    ("mardi en 8", "06-15"),
    ("mardi en huit", "06-15"),
    ("jeudi en quinze", "06-24"),
    ("samedi en 15", "06-26"),
    ("pas ce mercredi, celui d'après", "06-16"),
    ("pas ce jeudi mais le suivant", "06-17"),
    ("après-demain", "06-09"),
    ("apres demain vers 18h", "06-09 18:00"),
    ("le lendemain du 12 juin", "06-13"),
    ("la veille du 1er juillet", "06-30"),
    ("semaine du 23 juin", "06-21..06-27"),
    ("vendredi prochain", "06-11"),
    ("le prochain samedi", "06-12"),
    ("vendredi de la semaine prochaine", "06-18"),
    ("la semaine prochaine jeudi", "06-17"),
    ("jeudi cette semaine", "06-10"),
    ("la semaine d'après", "06-14..06-20"),
    ("samedi dernier", "06-05"),
    ("vendredi passé", "06-04"),
    ("à soir", "06-07 18:00"),
    ("la prochaine fin de semaine", "06-12..06-13"),
    ("la fin de semaine prochaine", "06-19..06-20"),
    ("fin du mois", "06-07..06-30"),
    ("début juillet", "07-01..07-31"),
    ("mi août", "08-01..08-31"),
]

DATES = [
    ("the 24th", "06-24"),
    ("the 24", "06-24"),
    ("on the 3rd", "07-03"),
    ("on 24th", "06-24"),
    ("for the 15th", "06-15"),
    ("june 9", "06-09"),
    ("June 9th", "06-09"),
    ("9 june", "06-09"),
    ("9th of june", "06-09"),
    ("the ninth of june", "06-09"),
    ("the twenty first of june", "06-21"),
    ("june twenty-first", "06-21"),
    ("wed june 16", "06-16"),
    ("Wed, June 16 at 6", "06-16 18:00"),
    ("sat 12 june", "06-12"),
    ("aug 3 2028", "2028-08-03"),
    ("2027-07-04", "07-04"),
    ("4/25", "2028-04-25"),
    ("25/4", "2028-04-25"),
    ("in for 6/23", "06-23"),
    ("23/6 works", "06-23"),
    ("fri 6/11", "06-11"),
    ("fri 11/6", "06-11"),
    ("6/6", "2028-06-06"),
    ("23/06/2027", "06-23"),
    ("06/23/2027", "06-23"),
    ("2027/08/14", "08-14"),
    ("first saturday of july", "07-03"),
    ("the last sunday of june", "06-27"),
    ("second tuesday in august", "08-10"),
    ("first friday of next month", "07-02"),
    ("the 5th of next month", "07-05"),
    ("july 3 to 5", "07-03..07-05"),
    ("3 to 5 july", "07-03..07-05"),
    ("from june 10 to 12", "06-10..06-12"),
    ("sat the 19th", "06-19"),
    ("canada day", "07-01"),
    ("open on christmas?", "12-25"),
    ("9 juin", "06-09"),
    ("le 9 juin", "06-09"),
    ("mercredi le 16 juin", "06-16"),
    ("le 1er août", "08-01"),
    ("le premier août", "08-01"),
    ("le vingt et un juin", "06-21"),
    ("vingt-quatre juin", "06-24"),
    ("3 sept", "09-03"),
    ("le 3 juil", "07-03"),
    ("le 14", "06-14"),
    ("samedi 19", "06-19"),
    ("le 3/7", "07-03"),
    ("le 23/6 à 18h", "06-23 18:00"),
    ("du 3 au 5 juillet", "07-03..07-05"),
    ("le premier samedi de juillet", "07-03"),
    ("le 5 du mois prochain", "07-05"),
    ("la fête du Canada", "07-01"),
    ("à la saint-jean", "06-24"),
]

HOURS = [
    ("6:30pm", "06-07 18:30"),
    ("6.30 pm", "06-07 18:30"),
    ("at 630pm", "06-07 18:30"),
    ("be there at 1830", "06-07 18:30"),
    ("7p", "06-07 19:00"),
    ("fri 8a", "06-11 08:00"),
    ("18h30", "06-07 18:30"),
    ("half six", "06-07 18:30"),
    ("half past 6", "06-07 18:30"),
    ("quarter to 7", "06-07 18:45"),
    ("quarter past five", "06-07 17:15"),
    ("quarter to one", "06-07 12:45"),
    ("tomorrow at quarter to 8", "06-08 19:45"),
    ("10 past 6", "06-07 18:10"),
    ("20 minutes to 7", "06-07 18:40"),
    ("20 to 7", "06-07 18:40"),
    ("six thirty", "06-07 18:30"),
    ("seven fifteen tomorrow", "06-08 19:15"),
    ("6 o'clock", "06-07 18:00"),
    ("noon", "06-07 12:00"),
    ("quarter past noon", "06-07 12:15"),
    ("sat at midday", "06-12 12:00"),
    ("6ish", "06-07 18:00"),
    ("around 6ish on thurs", "06-10 18:00"),
    ("5 to 7", "06-07 17:00-19:00"),
    ("5 to 7pm", "06-07 17:00-19:00"),
    ("sat 10 to 12", "06-12 10:00-12:00"),
    ("from 9 till noon tomorrow", "06-08 09:00-12:00"),
    ("between 5 and 7 tomorrow", "06-08 17:00-19:00"),
    ("tonight at 8", "06-07 20:00"),
    ("8 tonight", "06-07 20:00"),
    ("at 9 in the morning tomorrow", "06-08 09:00"),
    ("in an hour", "06-07 13:00"),
    ("there in half an hour", "06-07 12:30"),
    ("coming in 20 minutes", "06-07 12:20"),
    ("friday after work", "06-11 18:00"),
    ("tomorrow night", "06-08 18:00"),
    ("midi", "06-07 12:00"),
    ("midi et demi", "06-07 12:30"),
    ("midi et quart", "06-07 12:15"),
    ("samedi midi", "06-12 12:00"),
    ("18 h", "06-07 18:00"),
    ("18 heures", "06-07 18:00"),
    ("dix-huit heures", "06-07 18:00"),
    ("dix-huit heures trente", "06-07 18:30"),
    ("6 h et demie", "06-07 18:30"),
    ("six heures et quart", "06-07 18:15"),
    ("7 h moins quart", "06-07 18:45"),
    ("sept heures moins le quart", "06-07 18:45"),
    ("vers 6 heures du soir demain", "06-08 18:00"),
    ("demain à 8 h du matin", "06-08 08:00"),
    ("jeudi vers 18h", "06-10 18:00"),
    ("demain de 17h à 19h", "06-08 17:00-19:00"),
    ("samedi entre 10h et midi", "06-12 10:00-12:00"),
    ("samedi 12 à 14h", "06-12 14:00"),
    ("demain avant-midi", "06-08 09:00"),
    ("ce soir à 8 h", "06-07 20:00"),
    ("dans une heure et demie", "06-07 13:30"),
]

NO_TIME = [
    "sun is out",
    "the sun feels great",
    "no sun at all",
    "we sat down on hole 4",
    "mon chien est gentil",
    "mon fils joue aussi",
    "march on",
    "may i bring my dog",
    "may 3 of us join",
    "i got wed",
    "i remember the members",
    "the domain is down",
    "open 24/7?",
    "my card says par 3/4",
    "we are 5 to 7 people",
    "2 or 3 of us",
    "kids 8 to 12",
    "half the group",
    "18 holes in 2 hours",
    "what am i down for",
    "twenty players",
    "moins vingt et",
    "vingt et quelques",
    "play the 18",
    "the first tee",
    "i'm the first one here",
    "la mer est belle",
    "le jeu est long",
    "le marais est plein",
    "on est deux",
    "au dix-sept",
    "lequel des trois",
    "le domaine est beau",
    "je marche vite",
    "c'est Sam",
]

UNCLEAR = [
    "june 31",
    "feb 30",
    "31 avril",
    "le 31 juin",
    "the 32nd",
    "31/6",
    "on 3/4",
    "4/7",
    "le 30/2",
    "in for the friday after next",
    "in a few days",
    "dans quelques jours",
    "labour day",
    "la fête du travail",
    "easter",
    "jeudi 29",
    "next friday 23",
    "the closest saturday to june 5",
    "le lendemain",
    "the next day",
    "un de ces jours",
]


@pytest.mark.parametrize(("text", "expected"), [*SLIPS, *RELATIVE, *DATES, *HOURS])
def test_a_phrase_means_its_day_and_hour(text: str, expected: str) -> None:
    assert read(text) == expected


@pytest.mark.parametrize("text", NO_TIME)
def test_words_that_only_look_like_a_day_or_hour_are_none(text: str) -> None:
    assert spoken(text) == Spoken()


@pytest.mark.parametrize("text", UNCLEAR)
def test_a_day_that_cannot_be_understood_is_never_another_day(text: str) -> None:
    found = spoken(text)

    assert found.when is None
    assert found.unclear


@pytest.mark.parametrize(
    ("country", "text", "expected"),
    [
        ("US", "on 7/4", "07-04"),
        ("GB", "on 7/4", "2028-04-07"),
        ("CA", "on 7/4", None),
        ("US", "25/7", "07-25"),
        ("GB", "7/25", "07-25"),
        ("CA", "le 4/7", "07-04"),
    ],
)
def test_figures_are_a_date_in_the_order_of_the_country(country: str, text: str, expected: str | None) -> None:
    assert read(text, country) == expected


def test_the_words_that_are_not_understood_are_told() -> None:
    assert spoken("put me down for june 31 please").unclear == "june 31"


def test_an_hour_of_another_time_zone_is_not_taken_for_ours() -> None:
    assert read("friday at 6pm eastern") == "06-11"


def test_how_long_before_is_told_in_both_languages() -> None:
    days = shipped_days("CA")
    minutes = [
        said.total_seconds() / 60 if (said := days.before(text)) else None
        for text in (
            "an hour before",
            "half an hour before",
            "2 h avant",
            "une heure avant",
            "one day ahead",
            "at noon",
        )
    ]

    assert minutes == [60, 30, 120, 60, 1440, None]


def test_there_are_texts_enough() -> None:
    assert len([*SLIPS, *RELATIVE, *DATES, *HOURS, *NO_TIME, *UNCLEAR]) >= 200


@pytest.mark.parametrize(
    ("language", "text", "expected"),
    [
        ("en", "in for thrusday at 6:30pm", "06-10 18:30"),
        ("en", "tmrw at 7", "06-08 19:00"),
        ("en", "not this wed, the one after", "06-16"),
        ("en", "sat the 19th", "06-19"),
        ("en", "2nite", "06-07 18:00"),
        ("en", "June 9th, 5 to 7pm", "06-09 17:00-19:00"),
        ("en", "fri 6/11 @ 5.30", "06-11 17:30"),
        ("fr", "j'arrive mecredi vers 18h30", "06-09 18:30"),
        ("fr", "après-demain à midi et demi", "06-09 12:30"),
        ("fr", "le 1er août", "08-01"),
        ("fr", "dem aprem", "06-08 14:00"),
    ],
)
def test_the_words_of_a_text_as_each_language_spells_them_are_read_alike(
    language: Language, text: str, expected: str, handbook: Handbook
) -> None:
    words = handbook.reader.notice(text).text.words(language)

    assert as_told(shipped_days("CA").spoken(words, NOON, HALIFAX, text)) == expected


@pytest.mark.parametrize(
    ("text", "part"), [("tonight", True), ("ce soir", True), ("at seven tonight", False), ("vers 18 h 30", False)]
)
def test_the_hour_of_a_part_of_the_day_is_told_from_one_that_was_named(text: str, part: bool) -> None:
    when = spoken(text).when

    assert when is not None
    assert when.at is not None
    assert part == when.part_of_day


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("move it to 7 please", "19:00 guessed, to 4"),
        ("move it to 7pm please", "19:00, to 5"),
        ("move it to 615 please", "18:15 guessed, to 4"),
        ("move it to 7:30 please", "19:30 guessed, to 4"),
        ("move it to 18h30", "18:30 guessed, to 6"),
        ("move it to noon please", "12:00, to 4"),
        ("move it to saturday please", None),
    ],
)
def test_the_hour_at_one_word_is_told_with_where_it_ends(text: str, expected: str | None) -> None:
    found = shipped_days("CA").hour_at(shipped_words().words(text), 3)
    shown = f"{found[0].at:%H:%M}{' guessed' * found[0].guessed}, to {found[1]}" if found else None

    assert shown == expected
