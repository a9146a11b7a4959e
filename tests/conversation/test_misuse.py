"""What a forger of a helper's number can and cannot do, line by line of the table of what each thing needs; wrong codes; NOT ME; swaps;
a no to what was shown. A forger sends with the phone's number and never sees what comes back to it.
"""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import timedelta

import pytest

from clubbot.handbook.book import Handbook
from clubbot.people.needs import DOINGS, NEEDS, Doing, needs_as_table
from clubbot.rehearsal import Heard
from clubbot.store.tables import closures, duty_swaps, people, questions, suspended, taught
from tests.builders import KIM
from tests.conftest import NOON
from tests.conversation.test_orders_and_codes import (
    CALLUM,
    FEMI,
    MINUTE,
    ODILE,
    Club,
    a_text_is_held_half_way,
    a_text_is_on_its_way,
    code_in,
    kim_is_in_for_league,
    marsh_is_closed,
    nothing_more,
    to,
    two_are_on_a_list,
)
from tests.store.builders import JONAS, PRIYA
from tests.understanding.test_likeness import ANSWERS_EN, ANSWERS_FR, ORDERS_EN, ORDERS_FR

MIA = "+19025550150"
KIT = "+19025550177"
CAMPGROUND = "can you recommend a campground"
HOUR = timedelta(hours=1)


@pytest.fixture
def club(handbook: Handbook) -> Club:
    return Club(handbook)


def mia_asks(club: Club) -> None:
    club.text(MIA, "im Mia", NOON - MINUTE)
    club.text(MIA, CAMPGROUND, NOON - MINUTE)


def jonas_answered(club: Club) -> None:
    mia_asks(club)
    club.text(JONAS, "Q1 The one by the lighthouse.")


def it_was_taught(club: Club) -> None:
    jonas_answered(club)
    club.text(ODILE, f"oui {code_in(to(ODILE, club.text(JONAS, 'teach')))}")


def a_disc_was_lost_and_found(club: Club) -> None:
    club.text(KIM, "i lost a red destroyer on hole 8", NOON - MINUTE)
    club.text(MIA, "found a red destroyer on hole 8", NOON - MINUTE)


def kim_reported(club: Club) -> None:
    club.text(KIM, "the basket on hole 8 is bent", NOON - MINUTE)


def jonas_mended(club: Club) -> None:
    kim_reported(club)
    club.text(JONAS, "done D1")


def a_draft_waits(club: Club) -> None:
    club.text(JONAS, "close the course, flooded")


def a_text_is_prepared(club: Club) -> None:
    two_are_on_a_list(club)
    club.text(ODILE, "tell everyone: bring water")


def femi_is_suspended(club: Club) -> None:
    club.obeyed(PRIYA, "suspend femi's phone", NOON - MINUTE)


def femi_held_play(club: Club) -> None:
    club.text(FEMI, "hold play")


def league_was_called_off(club: Club) -> None:
    kim_is_in_for_league(club)
    club.obeyed(PRIYA, "call off league wednesday, ice", NOON - MINUTE)


def jonas_said_not_me(club: Club) -> None:
    club.text(JONAS, "not me")


def kit_is_asked(club: Club) -> None:
    club.obeyed(ODILE, "add helper Kit Test 902 555 0177", NOON - MINUTE)


def jonas_has_stopped(club: Club) -> None:
    club.obeyed(JONAS, "stop")


@dataclass(frozen=True)
class Forged:
    """A text with somebody's number, and who else hears of it at once."""

    text: str
    sender: str = JONAS
    before: Callable[[Club], None] = nothing_more
    others_hear: tuple[str, ...] = ()
    after: timedelta = MINUTE


def kim_gave_a_name(club: Club) -> None:
    kim_is_in_for_league(club)
    club.text(KIM, "Kim", NOON - MINUTE)


def two_are_called_kim(club: Club) -> None:
    kim_gave_a_name(club)
    club.text(MIA, "in for league wednesday", NOON - MINUTE)
    club.text(MIA, "Kim", NOON - MINUTE)


# "Nothing" may reach one other phone; whatever needs more reaches nobody but the phone itself or who has to agree, and changes nothing.
FORGED: dict[Doing, Forged] = {
    "close": Forged("close the marsh loop, flooded"),
    "reopen": Forged("reopen the marsh loop", before=marsh_is_closed),
    "note on the course": Forged("hole 11 has a temporary basket"),
    "hold play": Forged("hold play", FEMI),
    "tell of the hold": Forged("hold play", FEMI, kim_is_in_for_league, after=timedelta(days=2, hours=6)),
    "release play": Forged("all clear", FEMI, femi_held_play, after=timedelta(minutes=40)),
    "hold after all": Forged("uncancel league", PRIYA, league_was_called_off),
    "another hour": Forged("league at 7 on wednesday", PRIYA, kim_is_in_for_league),
    "another day or place": Forged("move league from wednesday to thursday", PRIYA, kim_is_in_for_league),
    "new event": Forged("add a night round fri 18 june 9pm", ODILE),
    "suspend a phone": Forged("suspend odile's phone", FEMI),
    "restore a phone": Forged("restore femi's phone", ODILE, femi_is_suspended),
    "new number or helper": Forged("priya's new number is 902 555 0177", ODILE),
    "join the club's people": Forged("yes", KIT, kit_is_asked, others_hear=(ODILE,)),
    "retire somebody": Forged("retire callum", ODILE),
    "change a role": Forged("make callum treasurer", ODILE),
    "go on duty": Forged("femi is on duty friday", PRIYA, others_hear=(FEMI,)),
    "put on duty": Forged("femi is on duty friday", ODILE),
    "see how things stand": Forged("status"),
    "not taken up": Forged("close the course if it rains"),
    "call off": Forged("call off league wednesday, ice", PRIYA, kim_is_in_for_league),
    "tell people": Forged("tell everyone: bring water", CALLUM, two_are_on_a_list),
    "tell one person": Forged("text kim: bring $50 to the desk", PRIYA, kim_gave_a_name),
    "put people down": Forged("sign up bob smith for wed", PRIYA),
    "take people off": Forged("take kim off league wed", PRIYA, kim_gave_a_name),
    "sign people in": Forged("sign in kim", PRIYA, kim_gave_a_name),
    "which of several": Forged("take kim off league wed", PRIYA, two_are_called_kim),
    "add the other language": Forged("fr: apportez de l'eau", ODILE, a_text_is_prepared),
    "hold sending": Forged("hold sending", ODILE, a_text_is_on_its_way, others_hear=(PRIYA, CALLUM), after=timedelta()),
    "see what waits": Forged("list", before=mia_asks),
    "go on sending": Forged("go on sending", ODILE, a_text_is_held_half_way),
    "answer an asker": Forged("Q1 Send $50 first.", before=mia_asks, others_hear=(MIA,)),
    "pass a question": Forged("pass Q1 to Femi", before=mia_asks, others_hear=(FEMI,)),
    "done with a question": Forged("done Q1", before=mia_asks),
    "done with a report": Forged("done D1", before=kim_reported, others_hear=(KIM,)),
    "a report open again": Forged("D1 isn't done", before=jonas_mended, others_hear=(KIM,)),
    "swap a turn": Forged("Priya takes my friday", others_hear=(PRIYA,)),
    "teach": Forged("teach", before=jonas_answered, others_hear=(ODILE,)),
    "forget": Forged("forget t1", before=it_was_taught),
    "match discs": Forged("match d1 d2", before=a_disc_was_lost_and_found),
    "who is here, with names": Forged("who's here", before=kim_is_in_for_league),
    "drop what waits": Forged("cancel", before=a_draft_waits),
    "a code": Forged("yes 99999999", before=a_draft_waits),
    "NOT ME": Forged("not me", others_hear=(ODILE,)),
    "back after NOT ME": Forged("yes 99999999", before=jonas_said_not_me),
    "STOP": Forged("stop"),
    "START": Forged("start", before=jonas_has_stopped),
}


def standing(club: Club) -> dict[str, object]:
    """All that a text of the club's people can change but a draft: orders, turns, questions, what is taught, consents."""
    opted_out = [row["number"] for row in club.rows(people) if row["opted_out"]]
    open_now = [(row["number"], row["answered_at"], row["answer"]) for row in club.rows(questions)]
    more = {table.name: club.rows(table) for table in (duty_swaps, taught, suspended)}
    return {**club.done(), **more, "opted out": opted_out, "open": open_now}


def test_every_line_of_the_table_is_tried_and_printed() -> None:
    assert set(FORGED) == set(NEEDS) == set(DOINGS)
    printed = needs_as_table().splitlines()[1:]
    assert [line.split("  ")[0] for line in printed] == list(NEEDS)
    assert all(NEEDS[name].need in line for name, line in zip(NEEDS, printed, strict=True))


@pytest.mark.parametrize("name", DOINGS)
def test_a_forged_text_changes_and_reaches_no_more_than_the_table_says(club: Club, name: Doing) -> None:
    forged = FORGED[name]
    forged.before(club)
    club.rehearsal.pass_time(NOON, NOON + forged.after)
    before = standing(club)
    heard = club.text(forged.sender, forged.text, NOON + forged.after)
    others = {one.recipient for one in heard if one.recipient != forged.sender}

    assert to(forged.sender, heard), "the phone is told"
    assert others == set(forged.others_hear)
    if NEEDS[name].need != "nothing" and name != "tell of the hold":
        assert standing(club) == before
    if NEEDS[name].need == "their yes":
        assert code_in(" ".join(one.text for one in heard)) in to(forged.others_hear[0], heard)
    if NEEDS[name].need == "a code" and forged.text != "yes 99999999":
        assert code_in(to(forged.sender, heard))


def test_the_phone_is_told_the_very_words_to_whom_and_how_to_undo_it(club: Club) -> None:
    mia_asks(club)
    heard = club.text(JONAS, "Q1 Send $50 first.")

    assert to(JONAS, heard) == 'Sent on to Mia: "Send $50 first." Not you? Reply NOT ME.'


def test_a_long_answer_is_told_by_its_beginning_within_two_parts(club: Club) -> None:
    mia_asks(club)
    heard = club.text(JONAS, "Q1 " + "It is a long way round by the shore. " * 12)
    (mine,) = [one for one in heard if one.recipient == JONAS]

    assert mine.parts <= 2
    assert mine.text.startswith('Sent on to Mia: "It is a long way')
    assert mine.text.endswith('..." Not you? Reply NOT ME.')


# Wrong codes


def guess(club: Club, sender: str, times: int, at: timedelta = timedelta()) -> list[list[Heard]]:
    return [club.text(sender, f"yes {9_000_000 + one:08}", NOON + at) for one in range(times)]


def test_three_wrong_codes_close_drafts_and_proposals_and_two_phones_hear_of_it_once(club: Club) -> None:
    jonas_answered(club)
    own = club.code(ODILE, "close the course, flooded")
    put = code_in(to(ODILE, club.text(JONAS, "teach")))
    *_, third, fourth, fifth = guess(club, ODILE, 5)

    assert {one.recipient for one in third} == {ODILE, JONAS}
    assert "Three wrong codes came from Odile" in to(JONAS, third)
    assert "text it again after" in to(JONAS, third)
    assert fourth == fifth == club.text(ODILE, f"yes {own}") == club.text(ODILE, f"yes {put}") == []
    assert club.rows(closures) == club.rows(taught) == []
    assert "until" in to(ODILE, club.text(ODILE, "close hole 3, tree"))
    assert "no code works on Odile's phone" in to(JONAS, club.text(JONAS, "teach"))


def test_after_the_hour_it_starts_anew_and_what_was_proposed_is_proposed_again(club: Club) -> None:
    jonas_answered(club)
    club.text(JONAS, "teach")
    guess(club, ODILE, 3)
    again = code_in(to(ODILE, club.text(JONAS, "teach", NOON + HOUR)))
    club.text(ODILE, f"oui {again}", NOON + HOUR)

    assert len(club.rows(taught)) == 1


def test_wrong_codes_for_what_was_proposed_count_as_those_for_orders(club: Club) -> None:
    jonas_answered(club)
    put = code_in(to(ODILE, club.text(JONAS, "teach")))
    guess(club, ODILE, 5000 // 50)
    club.text(ODILE, f"oui {put}")

    assert club.rows(taught) == []


def test_a_right_code_takes_no_wrong_one_back(club: Club) -> None:
    for hole in (3, 4):
        code = club.code(JONAS, f"close hole {hole}, tree")
        guess(club, JONAS, 1)
        club.text(JONAS, f"yes {code}")
    club.text(JONAS, "close hole 5, tree")
    (third,) = guess(club, JONAS, 1)

    assert "no code works" in to(JONAS, third)
    assert ["3", "4"] == [row["what"] for row in club.rows(closures)]


def test_play_is_held_while_no_code_works(club: Club) -> None:
    club.text(JONAS, "close the course, flooded")
    guess(club, JONAS, 3)
    club.text(JONAS, "hold play")

    assert ["held"] == [row["kind"] for row in club.rows(closures)]


# NOT ME


def test_not_me_takes_back_what_went_out_and_the_question_goes_to_somebody_else(club: Club) -> None:
    jonas_answered(club)
    club.text(JONAS, "Q1 Send $50 first.")
    heard = club.text(JONAS, "NOT ME")

    assert [one.text for one in heard if one.recipient == MIA] == [
        "Tern Harbour DGC: please disregard our last answer. It wasn't ours. Somebody will write to you."
    ]
    assert "numéro" in to(ODILE, heard)
    assert CAMPGROUND in to(ODILE, heard)


def test_what_the_phone_may_do_is_back_on_the_code_only(club: Club) -> None:
    mia_asks(club)
    code = club.code(JONAS, "pas moi")
    for text in ("close the course, flooded", "Q1 Send $50 first.", "the one by the river", "Priya takes my friday"):
        heard = club.text(JONAS, text)
        assert [JONAS] == [one.recipient for one in heard], text
        code = code_in(to(JONAS, heard))
    assert club.rows(closures) == []
    club.text(JONAS, f"yes {code}")
    club.obeyed(JONAS, "close the course, flooded")

    assert len(club.rows(closures)) == 1


def test_play_is_held_and_new_questions_go_to_others_meanwhile(club: Club) -> None:
    club.text(JONAS, "not me")
    assert CAMPGROUND in to(ODILE, club.text(MIA, CAMPGROUND))
    club.text(JONAS, "hold play")

    assert ["held"] == [row["kind"] for row in club.rows(closures)]


# Swaps


def test_a_third_person_asks_both_and_nothing_changes_before(club: Club) -> None:
    giver = club.text(FEMI, "priya takes callum's thursday")
    assert {one.recipient for one in giver} == {FEMI, CALLUM}
    taker = club.text(CALLUM, f"yes {code_in(to(CALLUM, giver))}")
    assert club.rows(duty_swaps) == []
    club.text(PRIYA, f"yes {code_in(to(PRIYA, taker))}")

    assert ["priya"] == [row["taker"] for row in club.rows(duty_swaps)]


def test_a_no_leaves_the_turn_and_whoever_asked_hears_it(club: Club) -> None:
    code = code_in(to(PRIYA, club.text(CALLUM, "priya takes my thursday")))
    assert "Priya said no" in to(CALLUM, club.text(PRIYA, "no"))
    club.text(PRIYA, f"yes {code}")

    assert club.rows(duty_swaps) == []


# A no to what was shown, and STOP


@pytest.mark.parametrize("no", ["cancel", "STOP", "no", "wait", "not that", "non laisse faire", "annule"])
def test_a_no_drops_the_draft_and_opts_nobody_out(club: Club, no: str) -> None:
    code = club.code(JONAS, "close the course, flooded")
    assert to(JONAS, club.text(JONAS, no))
    club.text(JONAS, f"yes {code}")

    assert club.rows(closures) == []
    assert not any(row["opted_out"] for row in club.rows(people))


def test_a_stop_of_the_clubs_people_is_done_on_one_code_and_their_orders_are_answered_all_the_same(club: Club) -> None:
    code = club.code(JONAS, "stop")
    assert not any(row["opted_out"] for row in club.rows(people))
    club.text(JONAS, f"STOP {code}")

    assert [JONAS] == [row["number"] for row in club.rows(people) if row["opted_out"]]
    assert code_in(to(JONAS, club.text(JONAS, "close the course, flooded")))


def test_anybody_elses_stop_is_done_at_once(club: Club) -> None:
    club.text(KIM, "stop")

    assert [KIM] == [row["number"] for row in club.rows(people) if row["opted_out"]]


# What is not understood


@pytest.mark.parametrize("text", ORDERS_EN + ORDERS_FR)
def test_what_looks_like_an_order_goes_to_no_asker(club: Club, text: str) -> None:
    mia_asks(club)
    assert MIA not in [one.recipient for one in club.text(JONAS, text)]


@pytest.mark.parametrize("text", ANSWERS_EN + ANSWERS_FR)
def test_a_plain_answer_goes_to_the_asker(club: Club, text: str) -> None:
    mia_asks(club)
    assert text in to(MIA, club.text(JONAS, text))


def test_what_is_numbered_always_goes_to_the_asker(club: Club) -> None:
    mia_asks(club)
    assert "close the gate" in to(MIA, club.text(JONAS, "Q1 close the gate and the course"))
