"""An answer to our question with words beside it, a no that goes on, other stops, the way back, and days of telling."""

import pytest

from clubbot.handbook.book import Handbook
from clubbot.rehearsal import Rehearsal
from clubbot.trying import try_one
from tests.builders import KIM
from tests.conftest import NOON


def _texted(handbook: Handbook, *texts: str) -> tuple[Rehearsal, str]:
    """The club after these texts, and what came back to the last of them."""
    club, said = Rehearsal(handbook), ""
    for text in texts:
        said = " ".join(one.text for one in club.text(KIM, text, NOON) if one.recipient == KIM)
    return club, said


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("1 obviously", "You're down for Dusk League, Wed 16 June"),
        ("2 i suppose", "You're down for Women and girls' six, Thu 17 June"),
        ("the second one. where do i park", "Quay Road"),
    ],
)
def test_a_choice_is_made_with_words_beside_it(handbook: Handbook, text: str, told: str) -> None:
    _, said = _texted(handbook, "sign me up for something next week", text)

    assert "You're down for" in said
    assert told in said


def test_a_number_of_people_is_no_choice(handbook: Handbook) -> None:
    _, said = _texted(handbook, "sign me up for something next week", "2 of us and a dog")

    assert "You're down for Women" not in said


def test_what_none_of_the_choices_was_is_read_by_itself(handbook: Handbook) -> None:
    _, said = _texted(handbook, "sunday", "neither. where do i park")

    assert "Quay Road" in said


@pytest.mark.parametrize(
    "text", ["no leave it as it is", "NO two stay. he's only a maybe", "no dont change it, i only asked"]
)
def test_what_was_refused_is_not_done(handbook: Handbook, text: str) -> None:
    _, said = _texted(handbook, "league wednesday 2 of us", "we might be 3, ill know at 4", text)

    assert said == "OK, I've left it as it was."


def test_a_maybe_of_several_that_is_refused_comes_with_all_of_them(handbook: Handbook) -> None:
    _, said = _texted(handbook, "league wednesday 4 of us maybe", "no no we're coming. not maybe")

    assert "You're down for Dusk League, Wed 9 June 18:15: 4 people" in said


def test_a_yes_to_having_been_taken_off_signs_nobody_up(handbook: Handbook) -> None:
    _, said = _texted(handbook, "in for league wednesday", "cancel me for wednesday", "YES")

    assert "You're down" not in said


@pytest.mark.parametrize(
    "text",
    [
        "START. forgot i need it",
        "um START?? that was about my brother",
        "oh no start them again pls",
        "ok let me back in",
        "no i didnt want to stop them i just asked",
    ],
)
def test_the_way_back_in_other_words(handbook: Handbook, text: str) -> None:
    assert "welcome back" in _texted(handbook, "please stop texting me", text)[1]


@pytest.mark.parametrize(
    "text", ["when does it start", "if you start again i call the police", "put me down for league"]
)
def test_whoever_has_stopped_the_texts_is_left_alone(handbook: Handbook, text: str) -> None:
    assert _texted(handbook, "please stop texting me", text)[1] == ""


@pytest.mark.parametrize(
    "text",
    [
        "when do your texts stop",
        "ok that's all from me, end of message",
        "so i just turn up? no text needed",
        "no need to send anyone, it stopped bleeding",
        "you can take it off your list, found it",
        "arrêtez de me texter la nuit svp",
        "no i didnt want to stop them, i just asked",
        "ma blonde veut pu de textos sur son cell",
    ],
)
def test_another_stop_ends_nothing(handbook: Handbook, text: str) -> None:
    assert "stop" not in try_one(text, handbook, KIM, NOON).turned.served


@pytest.mark.parametrize(
    "text",
    ["take my number off whatever this is", "your text woke the baby. Never again", "end of story, stop texting me"],
)
def test_an_opt_out_in_odd_words_is_one(handbook: Handbook, text: str) -> None:
    assert try_one(text, handbook, KIM, NOON).turned.served == ("stop",)


def test_off_this_list_right_after_a_sign_up_is_about_that(handbook: Handbook) -> None:
    _, said = _texted(handbook, "in for league wednesday", "no not that. take me off this list")

    assert "You're off the list for Dusk League" in said
    assert "STOP" in said


def test_off_another_day_takes_no_other_place_away(handbook: Handbook) -> None:
    _, said = _texted(handbook, "in for league wednesday", "and 26 june? you delete me?")

    assert "Dusk League" not in said
    assert "work morning" in said


@pytest.mark.parametrize(
    "text",
    [
        "i texted you friday, put 2 of us down for league",
        "was there last night, put 2 of us down for league",
        "2 of us for league, i get paid friday",
        "je vous ai écrit vendredi, on est 2 pour la ligue",
    ],
)
def test_the_day_of_telling_is_not_the_events(handbook: Handbook, text: str) -> None:
    turned = try_one(text, handbook, KIM, NOON).turned

    assert (turned.event, turned.party) == ("dusk-league", 2)
    assert "9" in (turned.reply or "")
    assert "Fri" not in (turned.reply or "")
