"""Facts by name in both languages: money, hours, days, lists, and what is worked out from the tables."""

from datetime import date, datetime, time

import pytest

from clubbot.handbook.book import Handbook
from clubbot.handbook.facts import Filler, UnknownFact, facts_of, names_in
from clubbot.handbook.wordings import shipped
from clubbot.model.club import Course, EventRule, Hole, Loop, Person, Role, RoundTime
from clubbot.model.messages import Language, Said
from clubbot.texting.wording import (
    days_span,
    joined,
    money,
    months_span,
    on_date,
    on_day,
    span,
    spoken_minutes,
    spoken_time,
)

COURSE = Course(
    latitude=44.9,
    longitude=-62.5,
    largest_group=5,
    loops=(Loop(id="tall-trees", name=Said(en="Tall loop", fr="grande boucle"), first_hole=3, last_hole=4),),
    holes=(
        Hole(hole=1, par=3, long=80, short=60),
        Hole(hole=2, par=5, long=200, short=150),
        Hole(hole=3, par=3, long=70, short=65),
        Hole(hole=4, par=4, long=150, short=50),
    ),
    rounds=(RoundTime(id="full-large", holes=18, people=5, minutes=150),),
)


def an_event(repeats: str, first: date, last: date, id: str = "dusk-league") -> EventRule:
    words = Said(en=id, fr=id)
    return EventRule(
        id=id, topic=id, name=words, repeats=repeats, first=first, last=last, starts=time(18, 15), meet=words
    )


def a_person(name: str, *roles: Role) -> Person:
    return Person(id=name, name=name, number="+19025550101", roles=roles)


def facts(
    table: dict[str, object] | None = None,
    language: Language = "en",
    events: tuple[EventRule, ...] = (),
    people: tuple[Person, ...] = (),
) -> dict[str, str]:
    return facts_of([table or {}], COURSE, events, people, shipped(language), language)


# English Canada writes $25 and 18:15; French Canada 25 $ and 18 h 15 (Public Services and Procurement Canada, The Canadian
# Style and Le guide du rédacteur: MEMORY). What is a fact is told by its place in the tables.
@pytest.mark.parametrize(
    ("table", "name", "english", "french"),
    [
        ({"prices": {"membership": 25}}, "prices.membership", "$25", "25 $"),
        ({"event": [{"id": "dusk-league", "price": 5}]}, "events.dusk_league.price", "$5", "5 $"),
        ({"event": [{"id": "open", "member_price": 3}]}, "events.open.member_price", "$3", "3 $"),
        ({"parking": {"spaces": 40}}, "parking.spaces", "40", "40"),
        ({"parking": {"gate": time(21)}}, "parking.gate", "21:00", "21 h"),
        ({"event": [{"id": "a", "starts": time(18, 15)}]}, "events.a.starts", "18:15", "18 h 15"),
        ({"event": [{"id": "a", "starts": time(9, 5)}]}, "events.a.starts", "9:05", "9 h 05"),
        ({"event": [{"id": "a", "rsvp_opens": date(2027, 7, 1)}]}, "events.a.rsvp_opens", "1 July", "1er juillet"),
        ({"rules": {"check_by": date(2027, 12, 31)}}, "rules.check_by", "31 December", "31 décembre"),
        ({"a": {"at": datetime(2027, 6, 5, 8, 30)}}, "a.at", "5 June 8:30", "5 juin 8 h 30"),  # noqa: DTZ001, local as in the file
        ({"course": {"owner": {"en": "the town", "fr": "la ville"}}}, "course.owner", "the town", "la ville"),
        ({"course": {"crossing": [3, 11]}}, "course.crossing", "3 and 11", "3 et 11"),
        ({"course": {"crossing": [3, 7, 11]}}, "course.crossing", "3, 7 and 11", "3, 7 et 11"),
        ({"rules": {"time": {"number": "802.03"}}}, "rules.time.number", "802.03", "802.03"),
        ({"loop": [{"id": "x-y", "name": {"en": "X", "fr": "Y"}}]}, "loops.x_y.name", "X", "Y"),
    ],
)
def test_a_fact_is_said_as_its_language_writes_it(
    table: dict[str, object], name: str, english: str, french: str
) -> None:
    assert facts(table)[name] == english
    assert facts(table, "fr")[name] == french


@pytest.mark.parametrize(
    ("name", "english", "french"),
    [
        ("course.holes", "4", "4"),
        ("course.par", "15", "15"),
        ("course.loops", "1", "1"),
        ("course.length", "500", "500"),
        ("course.length_short", "325", "325"),
        ("course.longest.hole", "2", "2"),
        ("course.longest.par", "5", "5"),
        ("course.longest.long", "200", "200"),
        ("course.shortest.hole", "3", "3"),
        ("course.shortest.short", "65", "65"),
        ("loops.tall_trees.holes", "holes 3-4", "trous 3 à 4"),
        ("rounds.full_large.time", "2.5 hours", "2 h 30"),
    ],
)
def test_what_follows_from_the_holes_and_loops_is_worked_out(name: str, english: str, french: str) -> None:
    assert facts()[name] == english
    assert facts(language="fr")[name] == french


@pytest.mark.parametrize(
    ("repeats", "first", "last", "english", "french"),
    [
        ("FREQ=WEEKLY;BYDAY=WE", date(2027, 5, 5), date(2027, 9, 29), "Wednesdays", "le mercredi"),
        ("FREQ=MONTHLY;BYDAY=2SA", date(2027, 4, 10), date(2027, 10, 31), "the second Saturday of the month", "le deuxième samedi du mois"),
        ("FREQ=MONTHLY;BYDAY=-1SA", date(2027, 4, 24), date(2027, 10, 31), "the last Saturday of the month", "le dernier samedi du mois"),
        ("FREQ=MONTHLY;BYDAY=1SU", date(2027, 5, 2), date(2027, 10, 31), "the first Sunday of the month", "le premier dimanche du mois"),
        ("FREQ=DAILY;COUNT=2", date(2027, 9, 11), date(2027, 9, 12), "11-12 September", "les 11 et 12 septembre"),
        ("", date(2027, 7, 1), date(2027, 7, 1), "1 July", "1er juillet"),
        ("FREQ=WEEKLY;INTERVAL=2;COUNT=2", date(2027, 7, 1), date(2027, 9, 1), "1 July and 15 July", "1er juillet et 15 juillet"),
    ],
)  # fmt: skip
def test_the_days_of_an_event_are_said_in_words(
    repeats: str, first: date, last: date, english: str, french: str
) -> None:
    event = an_event(repeats, first, last)

    assert facts(events=(event,))["events.dusk_league.days"] == english
    assert facts(language="fr", events=(event,))["events.dusk_league.days"] == french


def test_the_season_of_an_event_runs_from_its_first_day_to_its_last() -> None:
    event = an_event("FREQ=MONTHLY;BYDAY=2SA", date(2027, 4, 10), date(2027, 10, 31))
    english, french = facts(events=(event,)), facts(language="fr", events=(event,))

    assert (english["events.dusk_league.season"], english["events.dusk_league.months"]) == (
        "10 April-9 October",
        "April-October",
    )
    assert french["events.dusk_league.season"] == "du 10 avril au 9 octobre"
    assert french["events.dusk_league.months"] == "d'avril à octobre"


def test_people_are_told_by_their_role() -> None:
    found = facts(
        people=(a_person("Odile", "organiser"), a_person("Ben", "helper"), a_person("Jo", "helper", "course keeper"))
    )

    assert (found["people.organiser"], found["people.helper"], found["people.course_keeper"]) == (
        "Odile",
        "Ben and Jo",
        "Jo",
    )


def test_nobodys_number_is_a_fact_of_the_demo_club(handbook: Handbook) -> None:
    numbers = {person.number[-4:] for person in handbook.knowledge.people}
    told = {
        name: fact
        for words in handbook.knowledge.facts.values()
        for name, fact in words.items()
        if any(number in fact for number in numbers)
    }

    assert told == {}


@pytest.mark.parametrize(
    ("text", "filled"),
    [
        ("It costs {prices.membership}.", "It costs $25."),
        ("{prices.membership} or {parking.spaces}", "$25 or 40"),
        ("no fact", "no fact"),
        ("braces {{kept}}", "braces {kept}"),
    ],
)
def test_facts_are_filled_in_by_name(text: str, filled: str) -> None:
    known = facts({"prices": {"membership": 25}, "parking": {"spaces": 40}})

    assert Filler(known).format(text) == filled


@pytest.mark.parametrize("text", ["{prices.member}", "{}", "{0}", "{prices}", "{prices.membership.__class__}"])
def test_a_name_that_no_fact_has_is_refused(text: str) -> None:
    with pytest.raises(UnknownFact):
        Filler(facts({"prices": {"membership": 25}})).format(text)


@pytest.mark.parametrize("text", ["{prices.membership", "prices.membership}", "{prices.membership!}"])
def test_a_brace_left_open_is_refused(text: str) -> None:
    with pytest.raises(ValueError):
        Filler(facts({"prices": {"membership": 25}})).format(text)


def test_the_names_in_a_text_are_those_in_braces() -> None:
    assert names_in("{a.b} and {c}, not {{d}}") == ["a.b", "c"]


def test_every_fact_has_words_in_both_languages(handbook: Handbook) -> None:
    english, french = handbook.knowledge.facts["en"], handbook.knowledge.facts["fr"]

    assert english.keys() == french.keys()
    assert all(english.values())
    assert all(french.values())


# The same things as the rooms say them, without a table around them.
@pytest.mark.parametrize(
    ("language", "expected"),
    [
        ("en", ["$5", "18:15", "9:00", "1 July", "Sat 12 June", "40 minutes", "1 hour", "2 hours", "2.5 hours", "1:45 hours"]),
        ("fr", ["5 $", "18 h 15", "9 h", "1er juillet", "samedi 12 juin", "40 minutes", "1 heure", "2 heures", "2 h 30", "1 h 45"]),
    ],
)  # fmt: skip
def test_money_hours_days_and_lengths_are_said_in_the_language(language: Language, expected: list[str]) -> None:
    words = shipped(language)
    said = [
        money(5, words),
        spoken_time(time(18, 15), words),
        spoken_time(time(9), words),
        on_date(date(2027, 7, 1), words),
        on_day(date(2027, 6, 12), words),
        *(spoken_minutes(minutes, words) for minutes in (40, 60, 120, 150, 105)),
    ]

    assert said == expected


@pytest.mark.parametrize(
    ("items", "english", "french"),
    [([], "", ""), (["a"], "a", "a"), (["a", "b"], "a and b", "a et b"), (["a", "b", "c"], "a, b and c", "a, b et c")],
)
def test_a_list_is_joined_with_and(items: list[str], english: str, french: str) -> None:
    assert (joined(items, shipped("en")), joined(items, shipped("fr"))) == (english, french)


@pytest.mark.parametrize(
    ("first", "last", "english", "french"),
    [
        (date(2027, 5, 5), date(2027, 9, 29), ("5 May-29 September", "May-September"), ("du 5 mai au 29 septembre", "de mai à septembre")),
        (date(2027, 8, 1), date(2027, 10, 1), ("1 August-1 October", "August-October"), ("du 1er août au 1er octobre", "d'août à octobre")),
    ],
)  # fmt: skip
def test_a_span_is_said_by_days_and_by_months(
    first: date, last: date, english: tuple[str, str], french: tuple[str, str]
) -> None:
    assert (span(first, last, shipped("en")), months_span(first, last, shipped("en"))) == english
    assert (span(first, last, shipped("fr")), months_span(first, last, shipped("fr"))) == french


def test_days_on_several_weekdays_are_told_by_date() -> None:
    days = [date(2027, 6, 8), date(2027, 6, 10)]

    assert days_span("FREQ=WEEKLY;BYDAY=TU,TH", days, shipped("en")) == "8 June and 10 June"
