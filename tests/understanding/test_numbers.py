"""How many holes, how many people, which hole. The phrases are our own; there is no outside source for them."""

import pytest

from clubbot.handbook.language_files import shipped_days, shipped_people, shipped_words
from clubbot.understanding.dates import plain_for_dates
from clubbot.understanding.holes import Holes

ALL = 18
holes = Holes(shipped_days("CA").marked)
people_coming = shipped_people()


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("time for 18 holes?", 18),
        ("6 holes before dark", 6),
        ("six holes", 6),
        ("nine holes at 7", 9),
        ("12 more holes", 12),
        ("eighteen holes", 18),
        ("a quick nine", 9),
        ("can we play 12", 12),
        ("just 6 for us", 6),
        ("a 6 hole round", 6),
        ("a full round before dark", ALL),
        ("the whole course", ALL),
        ("all of it", ALL),
        ("6 trous", 6),
        ("dix-huit trous", 18),
        ("douze paniers", 12),
        ("on veut jouer 12", 12),
        ("une partie au complet", ALL),
        ("tout le parcours", ALL),
        ("tous les trous", ALL),
        ("will it be dark at 6", None),
        ("a 6 year old", None),
        ("the 12th", None),
        ("hole 6", None),
        ("is the parking full", None),
        ("my whole family", None),
        ("tout le monde", None),
        ("pas du tout", None),
        ("à 6 heures", None),
        ("à 18 h", None),
        ("the 6 of us", None),
        ("when is sunset", None),
    ],
)
def test_the_number_of_holes_is_read_in_figures_and_words(text: str, expected: int | None) -> None:
    assert holes.to_play(plain_for_dates(text), ALL) == expected


@pytest.mark.parametrize(
    ("text", "expected"), [("enough light for six?", 6), ("assez clair pour 12", 12), ("light for 4 of us", None)]
)
def test_light_for_a_round_is_for_so_many_holes(text: str, expected: int | None) -> None:
    assert holes.of_light(plain_for_dates(text)) == expected


def test_a_full_round_is_as_many_holes_as_the_course_has() -> None:
    assert holes.to_play("a full round", 9) == 9


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("there are 4 of us", 4),
        ("four of us", 4),
        ("the two of us", 2),
        ("we are 5", 5),
        ("group of 6", 6),
        ("party of three", 3),
        ("3 people, 18 holes", 3),
        ("5 players", 5),
        ("me and 2 friends", 3),
        ("me and my 3 kids", 4),
        ("with 4 others", 5),
        ("plus 2 kids", 3),
        ("2 adults", 2),
        ("just me", 1),
        ("playing solo", 1),
        ("me and my wife", 2),
        ("my wife and i", 2),
        ("with a friend", 2),
        ("on est 4", 4),
        ("nous sommes deux", 2),
        ("on sera 6", 6),
        ("3 personnes", 3),
        ("groupe de 5", 5),
        ("moi et 2 amis", 3),
        ("avec mes 2 enfants", 3),
        ("jouer à 4", 4),
        ("toute seule", 1),
        ("moi et mon chum", 2),
        ("18 holes", None),
        ("a 9 year old", None),
        ("a 2 hour round", None),
        ("à 6 h", None),
        ("à 6 heures", None),
        ("with 2 discs", None),
        ("we are new", None),
        ("is it dark at 8", None),
    ],
)
def test_the_number_of_people_counts_the_sender(text: str, expected: int | None) -> None:
    assert people_coming(plain_for_dates(text)).party.total == expected


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("hole 7 is flooded", 7),
        ("is hole #12 open", 12),
        ("#7", 7),
        ("hole seven", 7),
        ("hole7", 7),
        ("basket 18", 18),
        ("tee 3", 3),
        ("the 7th hole", 7),
        ("the third tee", 3),
        ("number 9", 9),
        ("trou 7", 7),
        ("trou sept", 7),
        ("trou dix-huit", 18),
        ("le panier 4", 4),
        ("le 7e trou", 7),
        ("le premier trou", 1),
        ("le cinquième panier", 5),
        ("est-ce ouvert à 18 h 15", None),
        ("open at 7", None),
        ("18 holes", None),
        ("hole in one", None),
        ("tee off at 6", None),
        ("tee 6 pm", None),
        ("no 2 people alike", None),
        ("the 7th", None),
        ("is the course open", None),
    ],
)
def test_one_hole_is_named_by_its_number(text: str, expected: int | None) -> None:
    assert holes.number(plain_for_dates(text)) == expected


@pytest.mark.parametrize(
    ("word", "expected"),
    [("7", 7), ("118", 118), ("one", 1), ("une", 1), ("sept", 7), ("twelve", 12), ("eighteen", 18)],
)
def test_a_figure_or_a_word_stands_for_its_number(word: str, expected: int) -> None:
    (found,) = shipped_words().words(word)

    assert found.number == expected
