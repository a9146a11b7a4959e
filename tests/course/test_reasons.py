"""Why something is closed: told in both languages, and whether a person has to say when it is over."""

import pytest

from clubbot.course.reasons import understood
from clubbot.model.club import ClosureKind
from clubbot.model.messages import Said


@pytest.mark.parametrize(
    ("words", "french", "kind"),
    [
        ("thunder", "orage", "danger"),
        ("Lightning nearby", "orage", "danger"),
        ("ice on the boardwalks", "glace", "danger"),
        ("icy", "glace", "danger"),
        ("flooded", "inondé", "danger"),
        ("flooding", "inondé", "danger"),
        ("under water", "inondé", "danger"),
        ("spring tide", "inondé", "danger"),
        ("windy", "vent", "danger"),
        ("storm", "vent", "danger"),
        ("fallen tree", "arbre tombé", "danger"),
        ("a branch is down", "arbre tombé", "danger"),
        ("broken boardwalk", "dommages", "danger"),
        ("smoke", "feu", "danger"),
        ("SNOW", "neige", "danger"),
        ("mowing", "tonte", "planned"),
        ("private event", "activité", "planned"),
        ("tournament", "activité", "planned"),
        ("maintenance", "travaux", "planned"),
        ("repairs on the bridge", "travaux", "planned"),
        ("work on the tees", "travaux", "planned"),
    ],
)
def test_english_words_stay_as_they_were_written_and_get_their_french(
    words: str, french: str, kind: ClosureKind
) -> None:
    assert understood(words) == (Said(en=words, fr=french), kind)


@pytest.mark.parametrize(
    ("words", "english", "kind"),
    [
        ("orage", "thunder", "danger"),
        ("glace sur les passerelles", "ice", "danger"),
        ("inondation", "flooded", "danger"),
        ("marée haute", "flooded", "danger"),
        ("vent", "wind", "danger"),
        ("tempête", "wind", "danger"),
        ("arbre tombé", "fallen tree", "danger"),
        ("passerelle cassée", "damage", "danger"),
        ("fumée", "fire", "danger"),
        ("tonte", "mowing", "planned"),
        ("activité privée", "event", "planned"),
        ("travaux", "maintenance", "planned"),
        ("réparation de la passerelle", "maintenance", "planned"),
    ],
)
def test_french_words_stay_as_they_were_written_and_get_their_english(
    words: str, english: str, kind: ClosureKind
) -> None:
    assert understood(words) == (Said(en=english, fr=words), kind)


@pytest.mark.parametrize(
    ("words", "english"),
    [
        ("neige", "snow"),
        ("tournoi", "event"),
        ("verglas", "ice"),
        ("feu", "fire"),
        ("entretien", "maintenance"),
        ("tonnerre", "thunder"),
        ("ouragan", "wind"),
    ],
)
def test_a_single_french_word_is_told_to_the_english_in_english(words: str, english: str) -> None:
    assert understood(words)[0] == Said(en=english, fr=words)


@pytest.mark.parametrize("words", ["", "  ", "\n"])
def test_without_a_reason_it_is_the_club_that_closed_it_and_a_person_must_reopen(words: str) -> None:
    assert understood(words) == (Said(en="by the club", fr="par le club"), "danger")


@pytest.mark.parametrize("words", ["wasps at the tee", "des guêpes", "an aggressive goose"])
def test_what_is_not_in_the_table_is_said_as_written_and_taken_for_a_danger(words: str) -> None:
    assert understood(words) == (Said(en=words, fr=words), "danger")


@pytest.mark.parametrize("words", ["notice from the town", "fireworks", "a service vehicle", "the street sign"])
def test_a_known_word_inside_another_is_not_that_word(words: str) -> None:
    assert understood(words) == (Said(en=words, fr=words), "danger")


def test_of_a_danger_and_a_plan_the_danger_counts() -> None:
    assert understood("tournament off, flooded")[1] == "danger"
    assert understood("repairs after the storm")[1] == "danger"
