"""Answers that are true now and for whoever asks: the light for their round, what they owe, their event's hours, what is open at this moment."""

from dataclasses import replace
from datetime import datetime, timedelta

import pytest

from clubbot.handbook.book import Handbook
from clubbot.model.club import Knowledge
from clubbot.model.messages import LANGUAGES
from clubbot.rehearsal import Rehearsal
from tests.builders import KIM
from tests.conftest import HALIFAX

# Sunset at the demo course on 7 June 2027 is at 20:53, on the 8th at 20:54 (tests/course/test_daylight holds that against the almanac).
EVENING = datetime(2027, 6, 7, 18, 40, tzinfo=HALIFAX)
NOON = datetime(2027, 6, 7, 12, tzinfo=HALIFAX)
TUESDAY = datetime(2027, 6, 8, 14, tzinfo=HALIFAX)
AFTER_CLOSING = datetime(2027, 6, 9, 17, 20, tzinfo=HALIFAX)


def last_reply(handbook: Handbook, texts: list[str], now: datetime) -> str:
    """What the last of these texts, half a minute apart, is answered."""
    club = Rehearsal(handbook)
    heard = ""
    for number, text in enumerate(texts):
        replies = club.text(KIM, text, now + timedelta(seconds=30 * number))
        heard = next((one.text for one in replies if one.recipient == KIM), "")
    return heard


def with_knowledge(handbook: Handbook, knowledge: Knowledge) -> Handbook:
    return replace(handbook, knowledge=knowledge)


FOUR = "4 of us just parked, can we get 18 in before dark"
QUATRE = "on est 4, on vient d'arriver, on peut tu faire 18 trous avant la noirceur"


@pytest.mark.parametrize(
    ("texts", "said"),
    [
        ([FOUR], "Not all 18: they take 4 people about 2.5 hours, and the sun sets at 20:53. 6 or 12 holes would fit."),
        (
            [FOUR, "just the shore loop then?"],
            "Yes: 6 holes take 4 people about 40 minutes, and the sun sets at 20:53.",
        ),
        ([FOUR, "6 first?"], "Yes: 6 holes take 4 people"),
        ([FOUR, "and 12?"], "Yes: 12 holes take 4 people"),
        ([FOUR, "what if it's 3 of us"], "18 holes take 3 people about 2 hours"),
        (
            [FOUR, "and if we come back tomorrow for all 18, when must we start"],
            "Start by 18:05 Tue 8 June: 18 holes take 4",
        ),
        (["we're 5, where's the first tee", "do we have time for 18 before it gets dark"], "18: they take 5 people"),
        (["if we start at 7 can 3 of us do 12", "and 18?"], "Not all 18: they take 3 people about 2 hours"),
        (["is there time for 6 holes before dark"], "Yes: 6 holes take about 40 minutes, and"),
        (["what's the latest we can start a full round"], "Start by 18:35"),
        (
            [QUATRE],
            "Pas les 18 trous : ils prennent environ 2 h 30 à 4 personnes, et le soleil se couche à 20 h 53. 6 ou 12",
        ),
        ([QUATRE, "juste la boucle du rivage d'abord?"], "Oui : 6 trous prennent environ 40 minutes à 4 personnes"),
        ([QUATRE, "6 d'abord?"], "Oui : 6 trous prennent environ 40 minutes à 4 personnes"),
        (
            [QUATRE, "et si on revient demain pour les 18, faut commencer à quelle heure"],
            "Partez au plus tard à 18 h 05",
        ),
    ],
)
def test_a_round_is_held_against_the_light_for_as_many_as_were_told_of(
    texts: list[str], said: str, handbook: Handbook
) -> None:
    now = EVENING if "latest" not in texts[0] else EVENING.replace(hour=16)
    assert said in last_reply(handbook, texts, now)


@pytest.mark.parametrize(
    ("minute", "said"), [(55, "Yes: 6 holes"), (59, "It'd be tight: 6 holes"), (75, "No: 6 holes")]
)
def test_a_round_that_ends_within_a_quarter_of_an_hour_of_sunset_is_tight(
    minute: int, said: str, handbook: Handbook
) -> None:
    now = EVENING.replace(hour=19, minute=0) + timedelta(minutes=minute)
    assert said in last_reply(handbook, ["is there time for 6 holes before dark"], now)


@pytest.mark.parametrize(
    "texts", [["which loops are there", "just the shore loop then?"], ["4 of us just parked, is it open"]]
)
def test_the_light_is_not_told_where_nobody_asked_about_it(texts: list[str], handbook: Handbook) -> None:
    assert "about 40 minutes, and the sun" not in last_reply(handbook, texts, EVENING)


IN = "in for wednesday, 3 of us"
INSCRIT = "je viens mercredi avec mon frère"
OWED = "for 3: CA$15 (CA$5 each), or CA$9 if all are members (CA$3 each)."
DU = "pour 2 : 10 $ CA (5 $ CA par personne), ou 6 $ CA si tous sont membres (3 $ CA par personne)."


@pytest.mark.parametrize(
    ("texts", "said"),
    [
        ([IN, "what do I owe"], OWED),
        ([IN, "whats the damage"], OWED),
        ([IN, "where do we park", "what do we owe"], OWED),
        (["when is league", "how much for us three"], OWED),
        (["how much is league for 3"], OWED),
        (["what's it for the wednesday"], "Dusk League on Wed 9 June: CA$5, members CA$3."),
        (["in for saturday, 4 of us", "what do i owe"], "free for all 4 of you"),
        (["is the clinic free"], "Starter clinic on Sat 12 June: free."),
        (["is the clinic free", "how much for 2 adults and 2 kids"], "free for all 4 of you"),
        (["how much is the fog horn open for 2 of us"], "for 2: CA$80 (CA$40 each)."),
        ([INSCRIT, "combien pour les deux"], DU),
        ([INSCRIT, "combien je dois"], DU),
        (["combien coûte la ligue pour 2"], DU),
        (["est-ce que l'initiation est gratuite"], "c'est gratuit."),
    ],
)
def test_what_is_owed_is_the_fee_of_that_event_for_so_many(texts: list[str], said: str, handbook: Handbook) -> None:
    assert said in last_reply(handbook, texts, NOON)


def test_what_is_owed_is_told_days_later_to_whoever_is_down_for_one_event(handbook: Handbook) -> None:
    club = Rehearsal(handbook)
    club.text(KIM, IN, NOON)
    heard = club.text(KIM, "what do I owe", NOON + timedelta(days=1, hours=20))

    assert any(OWED in one.text for one in heard)


@pytest.mark.parametrize(
    "texts",
    [
        ["how much is it"],
        ["how much does it cost to play"],
        [IN, "how much does it cost to play"],
        ["combien ça coûte"],
    ],
)
def test_where_no_event_is_spoken_of_the_general_price_is_told(texts: list[str], handbook: Handbook) -> None:
    reply = last_reply(handbook, texts, NOON)
    assert "It's free to play" in reply or "C'est gratuit, sans réservation" in reply


@pytest.mark.parametrize(
    "texts", [[IN, "how much is a membership"], [IN, "how much is a starter set"], [IN, "where do i pay"]]
)
def test_the_price_of_something_else_stays_its_own(texts: list[str], handbook: Handbook) -> None:
    assert "for 3:" not in last_reply(handbook, texts, NOON)


@pytest.mark.parametrize(
    ("texts", "said"),
    [
        (["when is league", "when does it finish"], "Dusk League, Wed 9 June 18:15: it ends at 20:30."),
        ([IN, "is there an actual end time"], "it ends at 20:30."),
        (["when is the family sunday over"], "Family Sunday, Sun 4 July 10:00: it ends at 11:30."),
        ([IN, "what time should we be there"], "be at the boathouse from 17:45 for sign-up. It starts at 18:15."),
        (["how early should i show up for the clinic"], "be at the boathouse by 10:30, when it starts."),
        ([IN, "when's sign-up"], "text us how many you are by 17:00 that day. Sign-up at the boathouse is from 17:45"),
        (["when is sign-up for the tournament"], "sign-up by text opens on 1 July."),
        ([INSCRIT, "jusqu'à quelle heure"], "fin à 20 h 30."),
        ([INSCRIT, "y a-t-il une heure de fin précise"], "fin à 20 h 30."),
        ([INSCRIT, "à quelle heure il faut être là"], "dès 17 h 45 pour l'inscription. Début à 18 h 15."),
        (
            [INSCRIT, "l'inscription c'est à quelle heure"],
            "au plus tard à 17 h ce jour-là. Inscription sur place dès 17 h 45",
        ),
    ],
)
def test_the_hours_of_an_event_are_told_from_its_facts(texts: list[str], said: str, handbook: Handbook) -> None:
    assert said in last_reply(handbook, texts, NOON)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("when does league finish", "no end time is set. A round of 18 holes takes about 2 hours."),
        (
            "la ligue finit à quelle heure",
            "aucune heure de fin n'est fixée. Une partie de 18 trous prend environ 2 heures.",
        ),
    ],
)
def test_where_no_end_is_known_that_is_said(text: str, said: str, handbook: Handbook) -> None:
    known = handbook.knowledge
    events = tuple(replace(one, ends=None) if one.topic == "league" else one for one in known.events)

    assert said in last_reply(with_knowledge(handbook, replace(known, events=events)), [text], NOON)


@pytest.mark.parametrize(
    ("text", "closed", "come", "following"),
    [
        ("room for one more tonight?", "closed at 17:00", "Come to the boathouse at 17:45 and ask", "Wed 16 June"),
        ("reste-t-il de la place ce soir?", "close depuis 17 h", "Venez à 17 h 45", "mercredi 16 juin"),
    ],
)
def test_room_is_not_told_where_sign_up_by_text_is_over(
    text: str, closed: str, come: str, following: str, handbook: Handbook
) -> None:
    reply = last_reply(handbook, [text], AFTER_CLOSING)

    assert closed in reply
    assert come in reply
    assert following in reply
    assert "72" not in reply


def test_before_the_hour_it_is(handbook: Handbook) -> None:
    assert "72 of 72 places left" in last_reply(
        handbook, ["room for one more tonight?"], AFTER_CLOSING.replace(hour=16)
    )


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("any room left for the tournament", "opens on 1 July. Text us then and I'll put you down. 90 places in all."),
        ("y a-t-il de la place au tournoi", "L'inscription ouvre le 1er juillet"),
    ],
)
def test_places_of_what_is_not_open_for_entries_are_told_with_the_day(text: str, said: str, handbook: Handbook) -> None:
    reply = last_reply(handbook, [text], NOON)

    assert said in reply
    assert "90 of 90" not in reply


def test_who_asks_how_many_come_hears_it_after_the_hour_too(handbook: Handbook) -> None:
    club = Rehearsal(handbook)
    club.text(KIM, IN, NOON)
    heard = club.text(KIM, "how many are coming tonight", AFTER_CLOSING)

    assert any("3 people on the list" in one.text for one in heard)


@pytest.mark.parametrize(
    ("texts", "now", "said"),
    [
        (["can I borrow now"], TUESDAY, "Not today. The lending desk: next open Fri 11 June 10:00-17:00."),
        (["can i borrow discs", "and saturday?"], TUESDAY, "The lending desk: open Sat 12 June 10:00-17:00."),
        (["is it open on saturday", "can i borrow discs that day"], TUESDAY, "The lending desk: open Sat 12 June"),
        (["can we borrow discs saturday at 9"], TUESDAY, "Not at 9:00. The lending desk: open Sat 12 June"),
        (
            ["can i borrow discs today"],
            TUESDAY.replace(day=11, hour=9),
            "Not yet. The lending desk: open today 10:00-17:00.",
        ),
        (["can i borrow discs now"], TUESDAY.replace(day=11), "The lending desk: open now, until 17:00."),
        (
            ["can i borrow discs now"],
            TUESDAY.replace(day=11, hour=17),
            "Not any more today. The lending desk: next open Sat",
        ),
        (["is the snack bar open"], TUESDAY, "The snack hatch: next open Sat 3 July 11:00-16:00."),
        (["are the toilets open now"], TUESDAY, "The toilets: open now, until 20:00."),
        (["are the toilets open in december"], TUESDAY, "Not then. The toilets: next open"),
        (["when does the gate close tonight"], TUESDAY, "The car park gate: locked at 21:00 today."),
        (["is the gate locked"], TUESDAY.replace(hour=21, minute=30), "The car park gate: locked since 21:00."),
        (["when does the gate close tonight"], TUESDAY.replace(month=12), "The car park gate: locked at 18:00 today."),
        (
            ["je peux emprunter des disques là"],
            TUESDAY,
            "Pas aujourd'hui. Le comptoir d'emprunt : prochaine ouverture vendredi 11",
        ),
        (["est-ce que les toilettes sont ouvertes"], TUESDAY, "Les toilettes : c'est ouvert, jusqu'à 20 h."),
        (["à quelle heure ferme la barrière ce soir"], TUESDAY, "fermeture à 21 h aujourd'hui."),
    ],
)
def test_what_is_open_is_told_for_the_moment_that_is_asked_about(
    texts: list[str], now: datetime, said: str, handbook: Handbook
) -> None:
    assert said in last_reply(handbook, texts, now)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("can i borrow discs", "Borrowing is free"),
        ("where are the toilets", "Toilets are in the boathouse"),
        ("est-ce qu'on peut emprunter des disques", "C'est gratuit : 3 disques"),
    ],
)
def test_what_is_asked_in_general_is_told_in_general(text: str, said: str, handbook: Handbook) -> None:
    assert said in last_reply(handbook, [text], TUESDAY)


def test_a_club_that_wrote_no_hours_says_what_it_says_in_general(handbook: Handbook) -> None:
    known = handbook.knowledge
    bare = with_knowledge(handbook, replace(known, course=replace(known.course, hours=())))

    assert "Borrowing is free" in last_reply(bare, ["can I borrow now"], TUESDAY)


@pytest.mark.parametrize(
    ("text", "said", "then"),
    [
        (
            "birthday party for ten 8 year olds on the 19th, can I book the course?",
            "No, the course can't be booked",
            "lends 30 discs",
        ),
        ("can you close the park for our staff party on 30 july", "No, the course can't be booked", "lends 30 discs"),
        (
            "fête d'enfants le 19, est-ce qu'on peut réserver le parcours?",
            "Non, le parcours ne se réserve pas",
            "fournit 30 disques",
        ),
    ],
)
def test_that_the_course_is_not_booked_comes_before_what_the_club_offers(
    text: str, said: str, then: str, handbook: Handbook
) -> None:
    reply = last_reply(handbook, [text], TUESDAY)

    assert reply.startswith(said)
    assert then in reply


def test_a_day_too_near_for_the_clubs_help_is_said_to_be(handbook: Handbook) -> None:
    assert "Sat 19 June is less than 3 weeks away" in last_reply(
        handbook, ["can I book the course on the 19th"], TUESDAY
    )


def test_a_group_that_wants_no_course_of_its_own_is_welcome(handbook: Handbook) -> None:
    assert last_reply(handbook, ["can i bring my class of 25 kids"], TUESDAY).startswith("Groups are welcome")


def test_a_club_that_does_not_say_whether_the_course_is_booked_gives_its_own_answer(handbook: Handbook) -> None:
    known = handbook.knowledge
    facts = {language: {**known.facts[language]} for language in LANGUAGES}
    for language in LANGUAGES:
        facts[language].pop("groups.bookable")
    bare = with_knowledge(handbook, replace(known, facts=facts))

    assert last_reply(bare, ["can we book the course for our picnic"], TUESDAY).startswith("Groups are welcome")


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("league wed still on?", "Dusk League, Wed 9 June 18:15 is on, as far as we know."),
        ("la ligue mercredi ca tient?", "mercredi 9 juin 18 h 15 a lieu, à notre connaissance."),
    ],
)
def test_whether_one_event_is_on_is_told_of_that_one(text: str, says: str, handbook: Handbook) -> None:
    said = last_reply(handbook, [text], EVENING)
    assert says in said
    assert "60 km/h" not in said


def test_what_would_call_it_off_is_told_where_the_weather_is_spoken_of(handbook: Handbook) -> None:
    assert "60 km/h" in last_reply(handbook, ["is the clinic on if it rains"], EVENING)
