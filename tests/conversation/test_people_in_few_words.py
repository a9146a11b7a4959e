"""What the club's people text in few words, in both languages: somebody off a list that is not named, who the helpers are, open questions, a turn that
somebody is asked to take, an event that is off.
"""

from datetime import date

import pytest

from clubbot.handbook.book import Handbook
from clubbot.store.tables import drafts, duty_swaps, event_changes, retired, rsvps
from tests.builders import KIM
from tests.conftest import NOON
from tests.conversation.test_by_name import coming, is_in, june, names
from tests.conversation.test_orders_and_codes import CALLUM, HELEN, MINUTE, ODILE, Club, code_in, to
from tests.store.builders import JONAS, LEE, PRIYA

ROSA = "+19025550176"
THURSDAY = date(2027, 6, 10)


@pytest.fixture
def club(handbook: Handbook) -> Club:
    return Club(handbook)


def joined(club: Club) -> None:
    club.obeyed(ODILE, "add helper Rosa Lee 902 555 0176")
    club.text(ROSA, "yes", NOON)


# Off a list that is not named


@pytest.mark.parametrize(
    "text",
    ["take Paul off", "take paul off please", "can you take paul off", "remove Paul", "take paul off the list", "enlève Paul", "retire Paul", "peux-tu désinscrire paul"],
)  # fmt: skip
def test_the_one_coming_list_that_has_the_name_is_found_and_shown(club: Club, text: str) -> None:
    club.obeyed(PRIYA, "put Paul Roy down for league wed")
    shown = to(PRIYA, club.text(PRIYA, text, NOON + MINUTE))
    assert "Paul Roy" in shown
    assert "9 J" in shown.upper()
    assert coming(club) == 1
    club.text(PRIYA, f"yes {code_in(shown)}", NOON + MINUTE)

    assert coming(club) == 0


def test_on_several_lists_it_is_asked_which_and_the_one_that_is_picked_goes(club: Club) -> None:
    club.obeyed(PRIYA, "put Paul Roy down for league wed")
    club.obeyed(PRIYA, "put Paul Roy down for the clinic saturday")
    asked = to(PRIYA, club.text(PRIYA, "take paul off", NOON + MINUTE))
    assert "1 Paul Roy, Dusk League" in asked
    assert "2 Paul Roy, starter clinic" in asked
    shown = to(PRIYA, club.text(PRIYA, "2", NOON + MINUTE))
    club.text(PRIYA, f"yes {code_in(shown)}", NOON + MINUTE)

    assert names(club) == ["Paul Roy"]
    assert [row["state"] for row in club.rows(rsvps) if row["event"] == "starter-clinic"] == ["off"]


def test_whose_own_phone_it_was_is_told_though_the_list_was_not_named(club: Club) -> None:
    is_in(club, KIM, "Paul Test")
    heard = club.obeyed(PRIYA, "take paul off", NOON + MINUTE)

    assert "taken off the list" in to(KIM, heard)


@pytest.mark.parametrize(("text", "said"), [("take zed off", "no coming list has Zed"), ("enlève Zed", "aucune liste")])
def test_on_no_list_nothing_is_done_and_the_event_is_asked(club: Club, text: str, said: str) -> None:
    club.text(ODILE, "in for league wed")
    answer = to(ODILE, club.text(ODILE, text, NOON + MINUTE))

    assert said in answer
    assert coming(club) == 1
    assert club.rows(drafts) == []


def test_somebody_of_the_club_is_not_retired_by_it_and_how_is_said(club: Club) -> None:
    assert "RETIRE CALLUM" in to(ODILE, club.text(ODILE, "take callum off"))


@pytest.mark.parametrize("who", [PRIYA, JONAS])
def test_whom_the_sender_brings_is_the_senders_own_change(club: Club, who: str) -> None:
    club.text(who, "in for league wed, me and Paul")
    said = to(who, club.text(who, "take paul off", NOON + MINUTE))

    assert "off the list for Dusk League" in said
    assert "NOT done" not in said
    assert club.rows(drafts) == []


def test_who_may_not_takes_nobody_off(club: Club) -> None:
    club.obeyed(PRIYA, "put Paul Roy down for league wed")

    assert "isn't among" in to(JONAS, club.text(JONAS, "take paul off", NOON + MINUTE))
    assert coming(club) == 1


# Who the helpers are, what is open


@pytest.mark.parametrize("text", ["who r the helpers", "who are the volunteers", "show me the team", "who's on the committee?", "liste des bénévoles", "qui sont les bénévoles", "c'est qui les bénévoles"])  # fmt: skip
def test_the_people_of_now_are_named_with_their_roles(club: Club, text: str) -> None:
    joined(club)
    club.obeyed(ODILE, "retire callum")
    said = to(PRIYA, club.text(PRIYA, text, NOON + MINUTE))

    assert "Odile Marchand" in said
    assert "Rosa Lee (helper)" in said or "Rosa Lee (bénévole)" in said
    assert "Callum" not in said


def test_a_member_who_asks_gets_the_clubs_answer(club: Club) -> None:
    assert "non-profit" in to(KIM, club.text(KIM, "who are the volunteers"))


@pytest.mark.parametrize("text", ["any open qs", "any open qs?", "open qs", "are there any unanswered qs", "any questions waiting", "y a-tu des questions ouvertes", "reste-t-il des questions sans réponse?"])  # fmt: skip
def test_open_questions_are_listed(club: Club, text: str) -> None:
    club.text(LEE, "is there a place to store my kayak overnight")

    assert "kayak" in to(ODILE, club.text(ODILE, text, NOON + MINUTE))


# Retired in passing


@pytest.mark.parametrize(
    "text",
    [
        "rosas leaving, retire her", "Rosa is moving away, please take her off the roster", "Rosa left so remove her from the team", "rosa's leaving us. retire her",
        "retire rosa", "Rosa s'en va, retire-la", "Rosa nous quitte, enlève-la de l'équipe", "Rosa a déménagé, raye-la du tableau",
    ],
)  # fmt: skip
def test_who_leaves_is_retired_on_the_code(club: Club, text: str) -> None:
    joined(club)
    shown = to(ODILE, club.text(ODILE, text, NOON + MINUTE))
    assert "Rosa Lee" in shown
    assert "not use" not in shown
    assert "pas servi" not in shown
    club.text(ODILE, f"yes {code_in(shown)}", NOON + MINUTE)

    assert [row["name"] for row in club.rows(retired)] == ["Rosa Lee"]


@pytest.mark.parametrize("text", ["the old basket is bent, retire it", "le panier est brisé, retire-le", "Zed is leaving, retire him"])  # fmt: skip
def test_nobody_of_the_club_is_nobody_to_retire(club: Club, text: str) -> None:
    assert "leaves the club" not in to(ODILE, club.text(ODILE, text))
    assert club.rows(drafts) == []


# A turn that somebody is asked to take


@pytest.mark.parametrize(
    "text",
    [
        "Callum, could you take my duty next week", "callum can you cover for me sunday 20 june?", "would you mind doing my shift sunday 20 june, Callum",
        "Callum, peux-tu prendre ma garde la semaine prochaine", "Callum pourrais-tu me remplacer dimanche 20 juin?",
    ],
)  # fmt: skip
def test_callum_is_asked_and_the_turn_is_his_with_his_yes(club: Club, text: str) -> None:
    heard = club.text(ODILE, text)
    assert "Callum" in to(ODILE, heard)
    assert "20 June" in to(CALLUM, heard)
    assert club.rows(duty_swaps) == []
    told = club.text(CALLUM, f"yes {code_in(to(CALLUM, heard))}", NOON + MINUTE)

    assert [(row["day"], row["taker"]) for row in club.rows(duty_swaps)] == [(date(2027, 6, 20), "callum")]
    assert "Callum" in to(ODILE, told)


def test_all_turns_of_the_time_are_asked_for_at_once(club: Club) -> None:
    heard = club.text(CALLUM, "jonas, could you take my duty next week?")
    assert "Thu 17 June" in to(JONAS, heard)
    assert "Sat 19 June" in to(JONAS, heard)
    club.text(JONAS, f"yes {code_in(to(JONAS, heard))}", NOON + MINUTE)

    assert {row["day"] for row in club.rows(duty_swaps)} == {date(2027, 6, 17), date(2027, 6, 19)}
    assert {row["taker"] for row in club.rows(duty_swaps)} == {"jonas"}


def test_with_a_no_nothing_changes(club: Club) -> None:
    club.text(CALLUM, "Jonas could you take my thursday")
    heard = club.text(JONAS, "no", NOON + MINUTE)

    assert to(CALLUM, heard)
    assert club.rows(duty_swaps) == []


@pytest.mark.parametrize(
    ("who", "text", "said"),
    [
        (PRIYA, "could you take my duty wed", "who is to take your turn"),
        (PRIYA, "Zed could you take my duty wed", "who is to take your turn"),
        (PRIYA, "Callum could you take my duty thursday", "Priya has no turn"),
        (HELEN, "Callum could you take my duty thursday", "doesn't swap turns"),
    ],
)  # fmt: skip
def test_where_nobody_can_be_asked_it_is_said(club: Club, who: str, text: str, said: str) -> None:
    heard = club.text(who, text)

    assert said in to(who, heard)
    assert to(CALLUM, heard) == ""


def test_somebody_who_joined_by_text_is_asked_too(club: Club) -> None:
    club.obeyed(ODILE, "add helper Rosa Lee 902 555 0176, treasurer")
    club.text(ROSA, "yes", NOON)

    assert "asks you to take Thu 10 June" in to(
        ROSA, club.text(CALLUM, "Rosa, could you take my thursday?", NOON + MINUTE)
    )


@pytest.mark.parametrize("text", ["can you take my name off the list", "Callum, can you cover hole 7?"])
def test_what_asks_for_something_else_asks_nobody_for_a_turn(club: Club, text: str) -> None:
    assert "asks you to take" not in to(CALLUM, club.text(PRIYA, text))


# Off, told in passing


@pytest.mark.parametrize(
    "text",
    ["yes, it is off tonight", "it's off tonight, thunder", "yeah it's called off tonight", "yes tonight is off", "oui c'est annulé ce soir", "ouais, c'est annulé pour ce soir, orage", "ce soir c'est annulé"],
)  # fmt: skip
def test_it_is_off_is_shown_with_a_code_and_done_on_it(club: Club, text: str) -> None:
    shown = to(PRIYA, club.text(PRIYA, text, june(9, 15)))
    assert "mercredi 9 juin" in shown or "Wed 9 June" in shown
    assert club.rows(event_changes) == []
    club.text(PRIYA, f"yes {code_in(shown)}", june(9, 15, 1))

    assert [row["event"] for row in club.rows(event_changes)] == ["dusk-league"]


def test_with_a_question_open_how_it_goes_to_the_asker_is_said_too(club: Club) -> None:
    club.text(LEE, "is there a place to store my kayak overnight", june(9, 14))
    shown = to(PRIYA, club.text(PRIYA, "yes, it is off tonight", june(9, 15)))

    assert code_in(shown)
    assert "Q1" in shown


def test_on_a_day_without_an_event_it_is_asked_back(club: Club) -> None:
    assert "can't find an event" in to(PRIYA, club.text(PRIYA, "yes, it is off tonight"))
    assert club.rows(drafts) == []


@pytest.mark.parametrize(
    "text", ["is it off tonight", "i'm off tonight", "my phone is off tonight", "it is on tonight"]
)
def test_what_is_no_such_word_calls_nothing_off(club: Club, text: str) -> None:
    club.text(PRIYA, text, june(9, 15))

    assert club.rows(drafts) == []


def test_whoever_may_not_call_off_is_not_refused_for_telling_it(club: Club) -> None:
    heard = club.text(JONAS, "yes, it is off tonight", june(9, 15))

    assert "isn't among" not in to(JONAS, heard)
    assert to(ODILE, heard) == ""
    assert club.rows(drafts) == []
