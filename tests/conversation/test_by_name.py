"""People by their names, on the organiser's word: put down without a phone, taken off, written to. A member's own sign-up stays what it was, unless it
is plainly the one that was named.
"""

from datetime import date, datetime, timedelta

import pytest
from sqlalchemy import select

from clubbot.conversation.phrasing import Voice
from clubbot.conversation.sheet import as_csv, as_text
from clubbot.events.choosing import day_of
from clubbot.handbook.book import Handbook
from clubbot.model.rsvps import BY_NAME, DayId
from clubbot.store.rsvps import read_count, read_names
from clubbot.store.tables import event_days, outbox, reminders, rsvps
from tests.builders import KIM
from tests.conftest import HALIFAX, NOON
from tests.conversation.test_orders_and_codes import ANA, CALLUM, FEMI, MINUTE, ODILE, Club, code_in, to
from tests.store.builders import JONAS, LEE, PRIYA

WED = date(2027, 6, 9)
LEAGUE, CLINIC = DayId("dusk-league", WED), DayId("starter-clinic", date(2027, 6, 12))


def june(day: int, hour: int, minute: int = 0) -> datetime:
    """That hour of a day of June 2027, as the club's clock says it."""
    return datetime(2027, 6, day, hour, minute, tzinfo=HALIFAX)


@pytest.fixture
def club(handbook: Handbook) -> Club:
    return Club(handbook)


def names(club: Club, on: DayId = LEAGUE) -> list[str | None]:
    """The names of a list, of those who come."""
    with club.rehearsal.engine.connect() as connection:
        return [one.name for one in read_names(connection, on.day).get(on, ()) if one.state == "coming"]


def coming(club: Club, on: DayId = LEAGUE) -> int:
    with club.rehearsal.engine.connect() as connection:
        return read_count(connection, on).coming


def is_in(club: Club, number: str, name: str, text: str = "in for league wed", at: datetime = NOON) -> None:
    """Somebody signs up from their own phone and gives a name."""
    club.text(number, text, at)
    club.text(number, name, at)


def fifteen_for_the_clinic(club: Club) -> None:
    """All places but one of the clinic are taken."""
    club.text(KIM, "10 of us for the clinic saturday, scouts")
    club.text(ANA, "me and my 4 kids for the clinic sat")


# Put down


def test_who_is_put_down_is_counted_and_named_to_role_holders_only(club: Club) -> None:
    club.obeyed(PRIYA, "put Bob Smith and Ana Roy down for league wed")

    assert names(club) == ["Ana Roy", "Bob Smith"] or names(club) == ["Bob Smith", "Ana Roy"]
    assert coming(club) == 2
    assert "Bob Smith" in to(PRIYA, club.text(PRIYA, "who's coming to league?", NOON + MINUTE))
    said = to(KIM, club.text(KIM, "how many are coming to league wed?", NOON + MINUTE))
    assert "2 coming" in said
    assert "Bob" not in said


@pytest.mark.parametrize("text", ["inscris Bob Tremblay pour mercredi", "mets Bob Tremblay sur la liste de la ligue"])
def test_the_same_in_french(club: Club, text: str) -> None:
    said = to(ODILE, club.text(ODILE, f"oui {club.code(ODILE, text)}"))

    assert "C'est fait" in said
    assert names(club) == ["Bob Tremblay"]


def test_they_are_on_the_sheet(club: Club, handbook: Handbook) -> None:
    club.obeyed(PRIYA, "sign up bob smith for wed")
    with club.rehearsal.engine.connect() as connection:
        listed = read_names(connection, WED)[LEAGUE]
    day = day_of(LEAGUE, handbook.knowledge)
    assert day is not None

    for printed in (as_text, as_csv):
        sheet = printed(day, listed, Voice(handbook.knowledge, "en"))
        assert "Bob Smith" in sheet
        assert BY_NAME not in sheet


def test_nothing_is_done_without_the_code(club: Club) -> None:
    shown = to(PRIYA, club.text(PRIYA, "sign up bob smith for wed"))

    assert code_in(shown)
    assert names(club) == []
    club.text(PRIYA, "no")
    assert names(club) == []


@pytest.mark.parametrize("who", [JONAS, FEMI])
def test_who_may_not_is_refused(club: Club, who: str) -> None:
    assert "isn't among" in to(who, club.text(who, "sign up bob smith for wed"))
    assert "isn't among" in to(who, club.text(who, "take bob off league wed"))
    assert "isn't among" in to(who, club.text(who, "text bob: hello"))


@pytest.mark.parametrize("who", [ODILE, PRIYA, CALLUM])
def test_who_may_is_shown_it(club: Club, who: str) -> None:
    assert code_in(to(who, club.text(who, "sign up bob smith for wed")))


def test_a_member_who_texts_the_same_puts_nobody_down_by_name(club: Club) -> None:
    club.text(KIM, "sign up bob smith for wed")
    club.text(KIM, "inscris Bob Tremblay pour mercredi")

    assert not [row for row in club.rows(rsvps) if row["number"].startswith(BY_NAME)]


def test_a_full_event_takes_nobody_by_name(club: Club) -> None:
    fifteen_for_the_clinic(club)
    assert code_in(to(PRIYA, club.text(PRIYA, "sign up bob smith for the clinic")))

    said = to(PRIYA, club.text(PRIYA, "sign up bob smith and ana roy for the clinic"))
    assert "nobody was put down" in said
    assert coming(club, CLINIC) == 15


def test_the_last_place_is_not_given_twice(club: Club) -> None:
    fifteen_for_the_clinic(club)
    code = club.code(PRIYA, "sign up bob smith for the clinic")
    club.text(LEE, "in for the clinic saturday", NOON + MINUTE)

    assert "nobody was put down" in to(PRIYA, club.text(PRIYA, f"yes {code}", NOON + 2 * MINUTE))
    assert coming(club, CLINIC) == 16


def test_nobody_goes_before_those_who_wait(club: Club) -> None:
    fifteen_for_the_clinic(club)
    club.text(LEE, "2 of us for the clinic saturday")

    assert "people waiting" in to(PRIYA, club.text(PRIYA, "sign up bob smith for the clinic", NOON + MINUTE))


def test_nobody_is_put_down_twice_by_one_name(club: Club) -> None:
    club.obeyed(PRIYA, "sign up bob smith for wed")

    assert "already" in to(PRIYA, club.text(PRIYA, "sign up Bob SMITH for wed", NOON + MINUTE))
    assert coming(club) == 1


def test_a_member_of_that_name_is_named_and_stays(club: Club) -> None:
    is_in(club, KIM, "Bob Smith")
    shown = to(PRIYA, club.text(PRIYA, "sign up bob smith for wed", NOON + MINUTE))
    assert "On that list already: Bob Smith" in shown
    club.text(PRIYA, f"yes {code_in(shown)}", NOON + MINUTE)

    assert coming(club) == 2
    assert "You're down for" in to(KIM, club.text(KIM, "what am i down for", NOON + MINUTE))


def test_what_was_not_used_is_said_back_and_a_condition_is_not_taken(club: Club) -> None:
    shown = to(PRIYA, club.text(PRIYA, "sign up bob for wed, he brings a friend"))
    assert 'I did not use: "he brings a friend"' in shown

    assert "NOT done" in to(PRIYA, club.text(PRIYA, "sign up bob for wed if it is dry"))
    assert "NOT done" in to(PRIYA, club.text(PRIYA, "put down ana and her dad for saturday"))


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("sign up bob for the open", "opens on 1 July"),
        ("sign up bob for dusk league friday", "can't find an event"),
        ("put bob down for it, thanks", "by name and for one event"),
    ],
)
def test_where_the_day_cannot_be_taken_nothing_is_shown(club: Club, text: str, said: str) -> None:
    assert said in to(PRIYA, club.text(PRIYA, text))


def test_nobody_is_put_down_for_what_has_begun_or_is_off(club: Club) -> None:
    code = club.code(PRIYA, "sign up bob for league tonight", june(9, 18, 10))
    assert "NOT done" in to(PRIYA, club.text(PRIYA, f"yes {code}", june(9, 18, 16)))

    club.obeyed(PRIYA, "call off the clinic saturday, wind", june(10, 12))
    assert "called off" in to(PRIYA, club.text(PRIYA, "sign up bob for the clinic saturday", june(10, 13)))


def test_who_has_no_phone_gets_no_text_and_the_organiser_is_told_so(club: Club) -> None:
    club.obeyed(PRIYA, "sign up bob smith for wed")
    shown = to(PRIYA, club.text(PRIYA, "call off league wed, wind", NOON + MINUTE))
    done = to(PRIYA, club.text(PRIYA, f"yes {code_in(shown)}", NOON + MINUTE))
    club.rehearsal.pass_time(NOON + MINUTE, NOON + timedelta(days=3))

    assert "for you to tell: Bob Smith" in shown
    assert "for you to tell: Bob Smith" in done
    assert not [row for row in club.rows(outbox) if row["recipient"].startswith(BY_NAME)]
    assert not [row for row in club.rows(reminders) if row["number"].startswith(BY_NAME)]


# Taken off


def test_just_that_one_is_taken_off(club: Club) -> None:
    is_in(club, KIM, "Kim Test")
    club.obeyed(PRIYA, "put Bob Smith and Ana Roy down for league wed")
    heard = club.obeyed(PRIYA, "take bob off wed", NOON + MINUTE)

    assert {one.recipient for one in heard} == {PRIYA}
    assert set(names(club)) == {"Ana Roy", "Kim Test"}
    assert coming(club) == 2


def test_two_of_the_name_are_told_apart_without_numbers(club: Club) -> None:
    is_in(club, KIM, "Bob Tremblay")
    club.obeyed(PRIYA, "sign up bob smith for wed")
    asked = to(PRIYA, club.text(PRIYA, "take bob off wed", NOON + MINUTE))
    assert "1 Bob Tremblay" in asked
    assert "2 Bob Smith" in asked
    assert "YES" not in asked

    shown = to(PRIYA, club.text(PRIYA, "2", NOON + MINUTE))
    club.text(PRIYA, f"yes {code_in(shown)}", NOON + MINUTE)
    assert names(club) == ["Bob Tremblay"]


@pytest.mark.parametrize("answer", ["bob smith", "the 2", "smith"])
def test_which_of_two_is_said_by_number_or_name(club: Club, answer: str) -> None:
    is_in(club, KIM, "Bob Tremblay")
    club.obeyed(PRIYA, "sign up bob smith for wed")
    club.text(PRIYA, "take bob off wed", NOON + MINUTE)

    assert "Take Bob Smith off" in to(PRIYA, club.text(PRIYA, answer, NOON + MINUTE))


def test_a_yes_to_which_of_two_asks_again_and_a_no_drops_it(club: Club) -> None:
    is_in(club, KIM, "Bob Tremblay")
    club.obeyed(PRIYA, "sign up bob smith for wed")
    club.text(PRIYA, "take bob off wed", NOON + MINUTE)

    assert "Which Bob" in to(PRIYA, club.text(PRIYA, "yes", NOON + MINUTE))
    assert "Dropped, NOT done" in to(PRIYA, club.text(PRIYA, "no", NOON + MINUTE))
    assert coming(club) == 2


def test_the_whole_name_needs_no_question(club: Club) -> None:
    is_in(club, KIM, "Bob Tremblay")
    club.obeyed(PRIYA, "sign up bob smith for wed")

    assert "Take Bob Smith off" in to(PRIYA, club.text(PRIYA, "take bob smith off wed", NOON + MINUTE))


@pytest.mark.parametrize(("who", "text"), [(PRIYA, "take zed off wed"), (ODILE, "enlève Zed de mercredi")])
def test_nobody_of_the_name_is_said_and_nothing_done(club: Club, who: str, text: str) -> None:
    is_in(club, KIM, "Kim")
    said = to(who, club.text(who, text, NOON + MINUTE))

    assert "Zed" in said
    assert "NOT done" in said or "PAS fait" in said
    assert names(club) == ["Kim"]


def test_a_sign_up_from_ones_own_phone_goes_only_where_it_is_the_one_named_and_its_owner_is_told(club: Club) -> None:
    is_in(club, KIM, "Bob Tremblay")
    shown = to(PRIYA, club.text(PRIYA, "take bob tremblay off wed", NOON + MINUTE))
    assert "it gets a text" in shown
    heard = club.text(PRIYA, f"yes {code_in(shown)}", NOON + MINUTE)

    assert "league director: you were taken off the list for Dusk League" in to(KIM, heard)
    assert coming(club) == 0
    assert not [row for row in club.rows(reminders) if row["state"] == "waiting"]
    assert "You're down for Dusk League" in to(KIM, club.text(KIM, "in for league wed", NOON + 2 * MINUTE))


def test_at_night_its_owner_is_told_in_the_morning(club: Club) -> None:
    is_in(club, KIM, "Bob Tremblay")
    heard = club.obeyed(PRIYA, "take bob tremblay off wed", june(7, 23))

    assert to(KIM, heard) == ""
    assert "taken off" in to(KIM, club.rehearsal.pass_time(june(7, 23), june(8, 9)))


def test_a_party_is_shown_with_its_number(club: Club) -> None:
    is_in(club, KIM, "Bob Tremblay", "3 of us for league wed")

    assert "Bob Tremblay (3 people)" in to(PRIYA, club.text(PRIYA, "take bob off wed", NOON + MINUTE))


def test_somebody_in_anothers_party_is_left_to_who_brings_them(club: Club) -> None:
    is_in(club, KIM, "Kim Test", "in for league wed, me and Ana")
    said = to(PRIYA, club.text(PRIYA, "take ana off wed", NOON + MINUTE))

    assert "NOT done" in said
    assert "Ana comes with Kim Test" in said
    assert coming(club) == 2


def test_a_place_that_comes_free_goes_to_who_waits(club: Club) -> None:
    fifteen_for_the_clinic(club)
    club.obeyed(PRIYA, "sign up bob smith for the clinic")
    club.text(LEE, "in for the clinic saturday", NOON + MINUTE)
    heard = club.obeyed(PRIYA, "take bob off the clinic", NOON + 2 * MINUTE)

    assert "a place for you" in to(LEE, heard)


def test_counts_stand_by_what_is_listed(club: Club) -> None:
    is_in(club, KIM, "Kim")
    club.obeyed(PRIYA, "put bob and ana down for league wed")
    club.obeyed(PRIYA, "take ana off wed", NOON + MINUTE)
    with club.rehearsal.engine.connect() as connection:
        listed = connection.execute(select(rsvps).where(rsvps.c.state == "coming")).all()
        count = connection.execute(select(event_days.c.coming)).scalar_one()

    assert count == sum(row.people for row in listed) == 2


# Written to


def test_one_person_is_written_to_under_the_role_and_can_write_back(club: Club) -> None:
    is_in(club, KIM, "Mia Test")
    shown = to(PRIYA, club.text(PRIYA, "tell Mia: the desk opens at 5", NOON + MINUTE))
    heard = club.text(PRIYA, f"yes {code_in(shown)}", NOON + MINUTE)

    assert "league director: The desk opens at 5. To answer, text PRIYA and your words." in to(KIM, heard)
    back = club.text(KIM, "priya: ok see you", NOON + 2 * MINUTE)
    assert 'Q1 goes on: "ok see you"' in to(PRIYA, back)
    assert "bring discs" in to(KIM, club.text(PRIYA, "Q1 bring discs", NOON + 3 * MINUTE))


def test_nothing_goes_out_without_the_code(club: Club) -> None:
    is_in(club, KIM, "Mia")
    assert to(KIM, club.text(PRIYA, "tell Mia: the desk opens at 5", NOON + MINUTE)) == ""
    assert to(KIM, club.text(PRIYA, "no", NOON + MINUTE)) == ""


def test_the_frame_is_in_the_language_of_who_gets_it(club: Club) -> None:
    club.text(KIM, "inscris-moi pour la ligue mercredi")
    club.text(KIM, "Mia")

    heard = club.obeyed(PRIYA, "tell Mia: the desk opens at 5", NOON + MINUTE)
    assert "Pour répondre, écrivez PRIYA" in to(KIM, heard)


def test_two_of_the_name_are_told_apart_by_what_they_are_down_for(club: Club) -> None:
    is_in(club, KIM, "Bob", "in for the clinic saturday")
    is_in(club, LEE, "Bob")
    asked = to(PRIYA, club.text(PRIYA, "text bob the desk opens at 5", NOON + MINUTE))
    assert "Bob, in for starter clinic on Sat 12 June" in asked
    assert "Bob, in for Dusk League on Wed 9 June" in asked

    place = "1" if asked.index("clinic") < asked.index("League") else "2"
    shown = to(PRIYA, club.text(PRIYA, place, NOON + MINUTE))
    heard = club.text(PRIYA, f"yes {code_in(shown)}", NOON + MINUTE)
    assert {one.recipient for one in heard} == {PRIYA, KIM}


def test_the_clubs_own_people_are_known_by_their_names(club: Club) -> None:
    heard = club.obeyed(ODILE, "dis à Callum que la clé est au hangar")

    assert "La clé est au hangar" in to(CALLUM, heard)
    assert "I've passed it on" in to(CALLUM, club.text(CALLUM, "odile: thanks", NOON + MINUTE))


@pytest.mark.parametrize("text", ["text zed: hello", "text zed hello there", "dis à Zed que c'est ouvert"])
def test_nobody_of_the_name_is_said(club: Club, text: str) -> None:
    said = to(PRIYA, club.text(PRIYA, text))

    assert "Zed" in said
    assert "NOT done" in said or "PAS fait" in said


def test_who_has_stopped_our_texts_cannot_be_reached(club: Club) -> None:
    is_in(club, KIM, "Mia")
    code = club.code(PRIYA, "tell Mia: hello", NOON + MINUTE)
    club.text(KIM, "stop", NOON + MINUTE)

    assert "can't be reached" in to(PRIYA, club.text(PRIYA, "tell Mia: hello", NOON + 2 * MINUTE))
    assert to(KIM, club.text(PRIYA, f"yes {code}", NOON + 2 * MINUTE)) == ""


def test_who_is_on_a_list_by_name_only_has_no_phone(club: Club) -> None:
    club.obeyed(PRIYA, "sign up bob smith for wed")

    assert "no phone to text" in to(PRIYA, club.text(PRIYA, "text bob: hello", NOON + MINUTE))


def test_at_night_it_waits_for_the_morning(club: Club) -> None:
    is_in(club, KIM, "Mia")
    heard = club.obeyed(PRIYA, "tell Mia: hello", june(7, 23))

    assert to(KIM, heard) == ""
    assert "quiet hours" in to(PRIYA, heard)
    assert "Hello" in to(KIM, club.rehearsal.pass_time(june(7, 23), june(8, 9)))


def test_a_member_writes_to_nobody(club: Club) -> None:
    is_in(club, KIM, "Mia")
    heard = club.text(LEE, "text mia: hello", NOON + MINUTE)

    assert to(KIM, heard) == ""


# Who came, who did not


def an_evening(club: Club) -> None:
    """Kim and Ana were in for league, Kim signed in; Lee came without an answer."""
    for number in (KIM, ANA):
        club.text(number, "in for league wed")
    club.obeyed(PRIYA, "sign up bob smith for wed")
    for number in (KIM, LEE):
        club.text(number, "here", june(9, 18))


@pytest.mark.parametrize(
    ("who", "text"), [(PRIYA, "text who came last night: great evening"), (ODILE, "texte ceux qui sont venus hier soir: belle soirée")]
)  # fmt: skip
def test_those_who_signed_in_are_told(club: Club, who: str, text: str) -> None:
    an_evening(club)
    shown = to(who, club.text(who, text, june(10, 12)))
    assert "2 phones" in shown or "2 téléphones" in shown
    club.text(who, f"yes {code_in(shown)}", june(10, 12))
    heard = club.rehearsal.pass_time(june(10, 12), june(10, 13))
    told = {row["recipient"] for row in club.rows(outbox) if row["broadcast"] is not None}

    assert told == {KIM, LEE}, heard


@pytest.mark.parametrize(
    ("who", "text"), [(PRIYA, "text the no shows: we missed you"), (ODILE, "texte les absents: vous nous avez manqué")]
)
def test_those_who_did_not_sign_in_are_told_and_who_has_no_phone_is_named(club: Club, who: str, text: str) -> None:
    an_evening(club)
    shown = to(who, club.text(who, text, june(10, 12)))
    assert "one phone" in shown or "un téléphone" in shown
    assert "Bob Smith" in shown
    club.text(who, f"yes {code_in(shown)}", june(10, 12))
    told = {row["recipient"] for row in club.rows(outbox) if row["broadcast"] is not None}

    assert told == {ANA}


def test_who_came_on_wednesday_came_last_wednesday(club: Club) -> None:
    an_evening(club)

    assert "Wed 9 June" in to(PRIYA, club.text(PRIYA, "text the people who came wednesday: thanks", june(11, 12)))


def test_no_key_of_a_name_is_ever_said(club: Club) -> None:
    an_evening(club)
    is_in(club, JONAS, "Jo", at=NOON)

    assert not [row for row in club.rows(outbox) if BY_NAME in row["text"]]
