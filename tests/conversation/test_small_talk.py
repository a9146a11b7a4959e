"""How a conversation goes on: small talk, names, what is asked before something is taken away, and nothing said twice word for word."""

from datetime import timedelta

import pytest

from clubbot.handbook.book import Handbook
from clubbot.rehearsal import Rehearsal
from tests.builders import KIM
from tests.conftest import NOON

IN_FOR_LEAGUE = "in for league 4 of us"


def said(handbook: Handbook, *texts: str) -> list[str]:
    """What Kim gets for each of these texts, half a minute apart; empty where that is nothing."""
    club = Rehearsal(handbook)
    told = []
    for place, text in enumerate(texts):
        heard = club.text(KIM, text, NOON + place * timedelta(seconds=30))
        told.append(" ".join(one.text for one in heard if one.recipient == KIM))
    return told


def passed_on(handbook: Handbook, *texts: str) -> int:
    """How many texts went to people of the club because of these."""
    club = Rehearsal(handbook)
    heard = [club.text(KIM, text, NOON + place * timedelta(seconds=30)) for place, text in enumerate(texts)]
    return sum(one.recipient != KIM for those in heard for one in those)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("hello anyone there", "automatic line"),
        ("does this thing even work", "automatic line"),
        ("r u a bot", "automatic line"),
        ("êtes-vous un robot", "ligne automatique"),
        ("who is this", "automatic text line"),
        ("sorry wrong number", "No problem"),
        ("désolé mauvais numéro", "Pas de souci"),
        ("you guys are awesome", "good to hear"),
        ("beau parcours!", "plaisir"),
        ("ok bye", "see you"),
        ("bonne soirée", "bonnes parties"),
        ("hola, estan abiertos hoy", "English and French"),
        ("habt ihr heute offen?", "English and French"),
    ],
)
def test_small_talk_gets_a_fitting_word_and_goes_to_nobody(handbook: Handbook, text: str, words: str) -> None:
    assert words in said(handbook, text)[0]
    assert passed_on(handbook, text) == 0


@pytest.mark.parametrize("text", ["lol", "haha", "mdr", "ok", "d'accord", "🙂", "cool cool"])
def test_what_asks_for_nothing_gets_no_answer(handbook: Handbook, text: str) -> None:
    assert said(handbook, text) == [""]
    assert passed_on(handbook, text) == 0


def test_a_second_text_in_another_language_goes_to_a_person(handbook: Handbook) -> None:
    assert passed_on(handbook, "hola, estan abiertos hoy", "cuanto cuesta jugar hoy") == 1


def test_a_cry_for_help_in_another_language_is_no_small_talk(handbook: Handbook) -> None:
    assert passed_on(handbook, "ayuda por favor, hola, un herido") == 1


def test_thanks_for_thanks_are_not_answered(handbook: Handbook) -> None:
    first, second, third = said(handbook, "thanks!", "thank you", "cheers")
    assert "welcome" in first
    assert (second, third) == ("", "")


def test_ok_thanks_after_something_was_done_asks_nothing(handbook: Handbook) -> None:
    done, word = said(handbook, "in for league", "ok thanks")
    assert "You're down" in done
    assert "?" not in word


@pytest.mark.parametrize(
    ("text", "name"),
    [
        ("Kit", "Kit"),
        ("Mo", "Mo"),
        ("Sam", "Sam"),
        ("gaz", "Gaz"),
        ("Tom H", "Tom H"),
        ("Marie-Ève", "Marie-Ève"),
        ("it's Kit", "Kit"),
        ("put me down as Lou", "Lou"),
    ],
)
def test_any_plausible_name_is_one_after_we_asked_for_it(handbook: Handbook, text: str, name: str) -> None:
    assert f"Thanks, {name}" in said(handbook, "in for league", text)[1]


def test_no_language_is_concluded_from_a_name(handbook: Handbook) -> None:
    assert said(handbook, "in for league", "moi c'est Gaz", "thanks")[1:] == [
        "Thanks, Gaz, I'll remember that.",
        "You're welcome. Have a good round.",
    ]


@pytest.mark.parametrize(
    "text",
    [
        "parking?",
        "Parking",
        "where",
        "no",
        "nope",
        "never mind",
        "lol",
        "put me down for next week then",
        "Why",
        "thanks",
    ],
)
def test_a_question_a_no_and_a_wish_are_nobodys_name(handbook: Handbook, text: str) -> None:
    assert "remember that" not in said(handbook, "in for league", text)[1]


def test_all_of_a_party_are_taken_off_only_after_a_yes(handbook: Handbook) -> None:
    _, asked, done = said(handbook, IN_FOR_LEAGUE, "i can't make it", "yes")
    assert "Everybody (4 people) off the list for Dusk League" in asked
    assert "You're off the list" in done


def test_who_says_again_that_he_is_not_coming_tells_who_is_not(handbook: Handbook) -> None:
    asked, done = said(handbook, IN_FOR_LEAGUE, "i can't make it", "i can't make it")[1:]
    assert asked != done
    assert "3 people" in done


@pytest.mark.parametrize("text", ["we can't make it", "cancel us for wednesday", "none of us can come"])
def test_what_speaks_of_all_is_done_at_once(handbook: Handbook, text: str) -> None:
    assert "You're off the list" in said(handbook, IN_FOR_LEAGUE, text)[1]


@pytest.mark.parametrize("text", ["please don't take me off, running late", "can't wait for it"])
def test_who_wants_to_stay_keeps_the_place(handbook: Handbook, text: str) -> None:
    assert "(4 people)" in said(handbook, IN_FOR_LEAGUE, text, "what am i down for")[2]


@pytest.mark.parametrize("text", ["so we're not in for wednesday anymore right", "am i still in"])
def test_a_question_about_a_place_takes_none_away(handbook: Handbook, text: str) -> None:
    assert "(4 people)" in said(handbook, IN_FOR_LEAGUE, text)[1]


def test_a_figure_that_may_be_a_word_is_asked(handbook: Handbook) -> None:
    asked, done = said(handbook, "in 4 clinic", "yes")
    assert "4 people? Reply YES" in asked
    assert "You're down for starter clinic" in done
    assert "4 people" in done


@pytest.mark.parametrize("text", ["so that's how many", "total?", "how many places do i have now"])
def test_how_many_are_down_is_told_from_the_list(handbook: Handbook, text: str) -> None:
    assert "(4 people)" in said(handbook, IN_FOR_LEAGUE, text)[1]


def test_a_number_is_put_right_whatever_follows_it(handbook: Handbook) -> None:
    assert "3 people" in said(handbook, "in for league 2 of us", "oops no 3 i forgot my girlfriend")[1]


def test_nothing_is_asked_of_whoever_wants_no_more_texts(handbook: Handbook) -> None:
    (told,) = said(handbook, "wrong number then. take me off ur list")
    assert "no more texts" in told
    assert "?" not in told


def test_no_stock_sentence_is_said_twice_word_for_word(handbook: Handbook) -> None:
    unknown = [
        "what is the meaning of life",
        "who wins the election",
        "is my aunt still cross",
        "what about my tax return",
    ]
    told = [one for one in said(handbook, *unknown) if one]
    assert len(told) == len(set(told))
    assert len(told) >= 2


def test_what_time_it_was_again_is_told_of_the_day_somebody_is_down_for(handbook: Handbook) -> None:
    assert "10:30" in said(handbook, "one for the clinic please", "what time was it again")[1]
    assert "10:30" in said(handbook, "one for the clinic please", "still 10:30 for me?")[1]


def test_a_maybe_becomes_a_yes_without_its_day(handbook: Handbook) -> None:
    club = Rehearsal(handbook)
    club.text(KIM, "maybe wednesday for league", NOON)
    (told,) = club.text(KIM, "ok count me in", NOON + timedelta(hours=20))
    assert "You're down for Dusk League" in told.text


def test_a_question_after_a_report_is_no_second_report(handbook: Handbook) -> None:
    first, second = said(handbook, "lost my orange putter near hole 4", "how long do u keep em")
    assert "noted it" in first
    assert "noted it" not in second


def test_the_same_again_is_as_many_as_last_time(handbook: Handbook) -> None:
    told = said(handbook, IN_FOR_LEAGUE, "that was fun! same again next wed pls")[1]
    assert "4 people" in told
    assert "16 June" in told


def test_where_to_go_is_where_the_event_is_that_somebody_is_down_for(handbook: Handbook) -> None:
    club = Rehearsal(handbook)
    club.text(KIM, "one for the clinic please", NOON)
    (told,) = club.text(KIM, "where do we go on saturday", NOON + timedelta(hours=30))
    assert "10:30" in told.text
