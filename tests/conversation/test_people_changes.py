"""The club's people by text: joined with their own yes, retired, given roles, put on duty; live with the next text."""

from datetime import timedelta

import pytest

from clubbot.handbook.book import Handbook
from clubbot.store.tables import deeds, drafts, duty_days, people, retired, role_changes, roster_changes
from tests.conftest import NOON
from tests.conversation.test_orders_and_codes import CALLUM, FEMI, MINUTE, ODILE, Club, code_in, to
from tests.store.builders import JONAS, PRIYA

SAM, MIA = "+19025550176", "+19025550150"
ADD_SAM = "add helper Sam Cole 902 555 0176, league director"
CALL_OFF = "call off league wednesday, wind"


@pytest.fixture
def club(handbook: Handbook) -> Club:
    return Club(handbook)


# Joining


def test_a_new_phone_has_no_role_before_its_yes(club: Club) -> None:
    heard = club.obeyed(ODILE, ADD_SAM)

    assert "Reply YES" in to(SAM, heard)
    assert "league director" in to(SAM, heard)
    assert "YES" not in to(SAM, club.text(SAM, CALL_OFF, NOON + MINUTE))
    assert club.rows(roster_changes) == []


@pytest.mark.parametrize("yes", ["yes", "YES", "Yes please", "ok", "sure, happy to", "oui", "yes 61803399", "I accept"])
def test_with_its_yes_the_role_is_live_and_the_organiser_hears_of_it(club: Club, yes: str) -> None:
    club.obeyed(ODILE, ADD_SAM)
    heard = club.text(SAM, yes, NOON + MINUTE)

    assert "Sam" in to(ODILE, heard)
    assert code_in(to(SAM, club.text(SAM, CALL_OFF, NOON + 2 * MINUTE)))
    assert [row["number"] for row in club.rows(drafts)] == [SAM]  # the order of theirs, and no invitation


@pytest.mark.parametrize("no", ["no", "no sorry", "non", "wrong number", "I'd rather not"])
def test_with_its_no_nothing_changes_and_the_organiser_hears_of_it(club: Club, no: str) -> None:
    club.obeyed(ODILE, ADD_SAM)
    heard = club.text(SAM, no, NOON + MINUTE)

    assert to(ODILE, heard)
    assert club.rows(drafts) == []
    assert "Welcome" not in to(SAM, club.text(SAM, "yes", NOON + 2 * MINUTE))


def test_the_invitation_is_over_after_a_day(club: Club) -> None:
    club.obeyed(ODILE, ADD_SAM)
    club.text(SAM, "yes", NOON + timedelta(days=1, minutes=1))

    assert club.rows(roster_changes) == []


def test_a_phone_that_stopped_all_texts_is_asked_nothing(club: Club) -> None:
    club.text(SAM, "stop", NOON - MINUTE)

    assert to(SAM, club.obeyed(ODILE, ADD_SAM)) == ""


def test_stop_from_the_new_phone_is_stop(club: Club) -> None:
    club.obeyed(ODILE, ADD_SAM)
    club.text(SAM, "stop", NOON + MINUTE)

    (row,) = [row for row in club.rows(people) if row["number"] == SAM]
    assert row["opted_out"]
    assert club.rows(roster_changes) == []


def test_a_question_or_a_sign_up_is_no_yes(club: Club) -> None:
    club.obeyed(ODILE, ADD_SAM)

    assert "open" in to(SAM, club.text(SAM, "is it open?", NOON + MINUTE))
    assert "down for" in to(SAM, club.text(SAM, "in for league wednesday", NOON + 2 * MINUTE))
    assert club.rows(roster_changes) == []


def test_what_is_said_besides_is_quoted_back(club: Club) -> None:
    assert '"He has a truck"' in to(ODILE, club.text(ODILE, f"{ADD_SAM}. He has a truck"))


def test_without_a_number_it_is_asked_for(club: Club) -> None:
    assert "NOT done" in to(ODILE, club.text(ODILE, "add helper Sam Cole"))


@pytest.mark.parametrize("who", [PRIYA, JONAS, FEMI, CALLUM])
@pytest.mark.parametrize("order", [ADD_SAM, "retire jonas", "make callum treasurer"])
def test_only_the_organiser_changes_the_people(club: Club, who: str, order: str) -> None:
    heard = club.text(who, order)

    assert "NOT done" in to(who, heard)
    assert to(ODILE, heard)


# Retiring


def test_whoever_retired_gives_no_more_orders_and_is_told(club: Club) -> None:
    heard = club.obeyed(ODILE, "retire priya")

    assert "Priya" in to(PRIYA, heard)
    assert "YES" not in to(PRIYA, club.text(PRIYA, CALL_OFF, NOON + MINUTE))
    assert [row["id"] for row in club.rows(retired)] == ["priya"]


def test_their_open_question_goes_to_the_next_on_duty_and_the_asker_hears_of_it(club: Club) -> None:
    club.text(MIA, "can you recommend a campground", NOON - MINUTE)
    shown = to(ODILE, club.text(ODILE, "retire jonas"))
    heard = club.text(ODILE, f"yes {code_in(shown)}", NOON)

    assert "1" in shown
    assert "campground" in to(ODILE, heard)
    assert "Odile" in to(MIA, heard)
    answered = club.text(ODILE, "Q1 The one by the lighthouse.", NOON + MINUTE)
    assert "lighthouse" in to(MIA, answered)


def test_what_somebody_else_has_too_is_not_passed_on(club: Club) -> None:
    club.text(MIA, "can you recommend a campground", NOON - 2 * MINUTE)
    club.text(JONAS, "pass Q1 to Femi", NOON - MINUTE)

    assert "campground" not in to(ODILE, club.obeyed(ODILE, "retire jonas"))


def test_their_turns_are_the_organisers(club: Club) -> None:
    club.obeyed(ODILE, "retire jonas")

    assert "Odile" in to(FEMI, club.text(FEMI, "who's on duty", NOON + MINUTE))


def test_a_turn_that_was_agreed_on_stays_with_whoever_took_it(club: Club) -> None:
    club.text(PRIYA, f"yes {code_in(to(PRIYA, club.text(CALLUM, 'Priya takes my thursday')))}")
    club.obeyed(ODILE, "retire callum", NOON + MINUTE)

    assert "Priya" in to(FEMI, club.text(FEMI, "who's on duty thursday", NOON + 2 * MINUTE))


def test_a_code_that_waited_on_the_phone_does_nothing_any_more(club: Club) -> None:
    code = club.code(PRIYA, CALL_OFF)
    club.obeyed(ODILE, "retire priya")
    club.text(PRIYA, f"yes {code}", NOON + MINUTE)

    assert not [row for row in club.rows(deeds) if row["person"] == "priya"]


def test_a_swap_that_was_proposed_by_somebody_who_retired_is_not_made(club: Club) -> None:
    code = code_in(to(PRIYA, club.text(CALLUM, "Priya takes my thursday")))
    club.obeyed(ODILE, "retire callum", NOON + MINUTE)

    assert "Noted" not in to(PRIYA, club.text(PRIYA, f"yes {code}", NOON + 2 * MINUTE))


@pytest.mark.parametrize("order", ["retire odile", "odile is no longer organiser", "make odile a helper"])
def test_the_last_organiser_stays(club: Club, order: str) -> None:
    heard = to(ODILE, club.text(ODILE, order))

    assert "last organiser" in heard or "dernière personne" in heard


def test_one_of_two_organisers_may_go(club: Club) -> None:
    club.obeyed(ODILE, "make femi organiser please")
    club.obeyed(FEMI, "retire odile", NOON + MINUTE)

    assert code_in(to(FEMI, club.text(FEMI, ADD_SAM, NOON + 2 * MINUTE)))


def test_whoever_joined_by_text_is_retired_by_text(club: Club) -> None:
    club.obeyed(ODILE, ADD_SAM)
    club.text(SAM, "yes", NOON + MINUTE)
    club.obeyed(ODILE, "Sam is no longer a helper", NOON + 2 * MINUTE)

    assert "YES" not in to(SAM, club.text(SAM, CALL_OFF, NOON + 3 * MINUTE))


def test_nobody_is_retired_whose_name_nobody_has(club: Club) -> None:
    assert "nobody" in to(ODILE, club.text(ODILE, "retire Bertram please"))
    assert '"Jonas Smith"' in to(ODILE, club.text(ODILE, "retire Jonas Smith"))


def test_a_condition_is_not_taken_up(club: Club) -> None:
    assert "NOT done" in to(ODILE, club.text(ODILE, "retire callum if he agrees"))


# Roles


def test_a_role_goes_over_both_are_told_and_answers_name_who_has_it(club: Club) -> None:
    heard = club.obeyed(ODILE, "priya takes over from femi as treasurer")

    assert "treasurer" in to(PRIYA, heard)
    assert "helper" in to(FEMI, heard)
    assert "Priya Raman" in to(MIA, club.text(MIA, "how do i pay for membership", NOON + MINUTE))
    roles = {row["id"]: row["roles"] for row in club.rows(role_changes)}
    assert roles == {"priya": "league director,treasurer", "femi": "helper"}


def test_a_role_that_is_given_may_be_used_at_once_and_the_one_that_was_taken_not(club: Club) -> None:
    club.obeyed(ODILE, "make jonas league director")

    assert code_in(to(JONAS, club.text(JONAS, CALL_OFF, NOON + MINUTE)))
    assert "NOT done" in to(PRIYA, club.text(PRIYA, CALL_OFF, NOON + MINUTE))


def test_a_role_may_be_held_by_two(club: Club) -> None:
    club.obeyed(ODILE, "make jonas league director as well")

    assert code_in(to(PRIYA, club.text(PRIYA, CALL_OFF, NOON + MINUTE)))


def test_an_answer_is_said_without_a_role_that_nobody_has(club: Club) -> None:
    club.obeyed(ODILE, "femi is no longer treasurer")
    said = to(MIA, club.text(MIA, "how do i pay for membership", NOON + MINUTE))

    assert "cash" in said
    assert "Femi" not in said


def test_what_is_so_already_is_said(club: Club) -> None:
    assert "already" in to(ODILE, club.text(ODILE, "make femi treasurer"))
    assert "isn't" in to(ODILE, club.text(ODILE, "callum is no longer treasurer"))


# Duty


def test_the_organiser_puts_somebody_on_duty_with_dates_and_a_code(club: Club) -> None:
    shown = to(ODILE, club.text(ODILE, "priya has duty sat and sun"))
    heard = club.text(ODILE, f"yes {code_in(shown)}")

    assert "Sat 12 June and Sun 13 June" in shown
    assert "Callum" in shown
    assert "Sat 12 June" in to(PRIYA, heard)
    assert "Priya" in to(CALLUM, heard)
    assert [str(row["day"]) for row in club.rows(duty_days)] == ["2027-06-12", "2027-06-13"]
    assert "Priya" in to(FEMI, club.text(FEMI, "who's on duty saturday", NOON + MINUTE))


def test_questions_go_to_whoever_was_put_on_duty(club: Club) -> None:
    club.obeyed(ODILE, "priya is on duty today")

    assert "campground" in to(PRIYA, club.text(MIA, "can you recommend a campground", NOON + MINUTE))


def test_anybody_else_asks_the_person_who_agrees_with_a_code(club: Club) -> None:
    heard = club.text(CALLUM, "jonas is on duty tomorrow")

    assert club.rows(duty_days) == []
    agreed = club.text(JONAS, f"yes {code_in(to(JONAS, heard))}", NOON + MINUTE)
    assert [row["person"] for row in club.rows(duty_days)] == ["jonas"]
    assert to(CALLUM, agreed)
    assert "Jonas" in to(FEMI, agreed)


def test_whoever_goes_on_duty_takes_a_code_of_their_own(club: Club) -> None:
    club.obeyed(PRIYA, "i'm on duty tomorrow")

    assert [row["person"] for row in club.rows(duty_days)] == ["priya"]


def test_a_day_of_duty_can_be_swapped_on(club: Club) -> None:
    club.obeyed(ODILE, "priya is on duty saturday")
    code = code_in(to(JONAS, club.text(PRIYA, "Jonas takes my saturday", NOON + MINUTE)))
    club.text(JONAS, f"yes {code}", NOON + 2 * MINUTE)

    assert "Jonas" in to(FEMI, club.text(FEMI, "who's on duty saturday", NOON + 3 * MINUTE))


def test_without_days_they_are_asked_for(club: Club) -> None:
    assert "which days" in to(ODILE, club.text(ODILE, "jonas is on duty"))


def test_the_roster_of_a_week_is_shown_with_dates(club: Club) -> None:
    said = to(FEMI, club.text(FEMI, "who's on duty this week"))

    assert "Mon 7 June Jonas" in said
    assert "Sun 13 June Odile" in said


# Somebody's name


@pytest.mark.parametrize(
    "text",
    [
        "this is jonas on my wifes phone, close the course", "jonas here, close the course", "it's jonas. reopen the course", "its jonas on a borrowed phone pls suspend play",
        "hi this is jonas from another number, tell everyone the course is closed", "this is the course keeper, close hole 7", "im jonas, my phone died, close the marsh loop",
        "this is jonas close the course", "jonas speaking: retire callum",
        "c'est jonas sur le cell de ma femme, fermez le parcours", "ici jonas, ferme le parcours", "jonas à l'appareil, rouvrez le parcours", "je suis le responsable du parcours, ferme le trou 7",
        "c'est jonas d'un autre numéro, annule la ligue de mercredi", "bonjour, c'est jonas, fermez la boucle du marais", "je suis jonas, j'ai perdu mon téléphone, ferme le parcours", "c'est jonas, dis à tout le monde que c'est fermé",
    ],
)  # fmt: skip
def test_an_order_in_somebodys_name_is_refused_and_they_hear_of_it_with_its_words(club: Club, text: str) -> None:
    before = club.done()
    heard = club.text(MIA, text)

    assert {one.recipient for one in heard} == {MIA, JONAS}
    assert "the club's own phones" in to(MIA, heard) or "seuls les téléphones du club" in to(MIA, heard)
    assert f'"{text[:20]}' in to(JONAS, heard)
    assert club.done() == before


def test_they_hear_of_it_once_an_hour_at_most(club: Club) -> None:
    def claimed(after: int) -> str:
        return to(JONAS, club.text(MIA, "this is jonas, close the course", NOON + after * MINUTE))

    assert claimed(0)
    assert not claimed(5)
    assert not claimed(55)
    assert claimed(66)


@pytest.mark.parametrize(
    "text",
    [
        "hi im jonas, cancel league for me",
        "im jonas and i want to sign up 2 for league wed",
        "this is jonas, is the course closed?",
        "this is a great course",
        "hi this is priya's friend, is it open?",
    ],
)
def test_whoever_only_shares_a_name_is_served(club: Club, text: str) -> None:
    assert "the club's own phones" not in to(MIA, club.text(MIA, text))


def test_a_cry_for_help_goes_before(club: Club) -> None:
    said = to(MIA, club.text(MIA, "this is jonas on my wifes phone, someone is hurt bad on hole 3, close the course"))

    assert "911" in said


def test_a_suspended_phone_is_not_told_but_the_organiser_is(club: Club) -> None:
    club.obeyed(PRIYA, "suspend jonas's phone")
    heard = club.text(MIA, "this is jonas on my wifes phone, close the course", NOON + MINUTE)

    assert {one.recipient for one in heard} == {MIA, ODILE}
