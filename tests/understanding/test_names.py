"""The name by which a sender introduces himself or herself. The sentences are our own
or the package's; there is no outside source for them."""

import pytest

from clubbot.understanding.names import name_in, without_signature


@pytest.mark.parametrize(
    ("text", "name"),
    [
        ("my name is Kim", "Kim"),
        ("my name's kim", "Kim"),
        ("Hi, I'm Kim and I'd like to come Wednesday", "Kim"),
        ("im kim", "Kim"),
        ("I am Kim Wilson.", "Kim Wilson"),
        ("This is Priya from work", "Priya"),
        ("it's Dave", "Dave"),
        ("it's me, Dave", "Dave"),
        ("call me Bo", "Bo"),
        ("you can call me Jo", "Jo"),
        ("put me down as Sam Lee", "Sam Lee"),
        ("Kim here", "Kim"),
        ("Kim speaking", "Kim"),
        ("name: Kim Wilson", "Kim Wilson"),
        ("for the clinic. name Kim", "Kim"),
        ("My name is Jean-Luc", "Jean-Luc"),
        ("my name is Siobhán O'Neill", "Siobhán O'Neill"),
        ("my name is O’Brien", "O’Brien"),
        ("I'm new here, my name is Kim", "Kim"),
        ("I'm sorry, this is Kim", "Kim"),
        ("je m'appelle Zoé", "Zoé"),
        ("jm'appelle zoé", "Zoé"),
        ("Je m’appelle Élodie Roy", "Élodie Roy"),
        ("moi c'est Luc", "Luc"),
        ("Salut, c'est Luc et je viens mercredi", "Luc"),
        ("ici Luc", "Luc"),
        ("Luc ici", "Luc"),
        ("mon nom est Luc Cormier", "Luc Cormier"),
        ("mon prénom est Luc", "Luc"),
        ("je suis Luc", "Luc"),
        ("appelez-moi Luc", "Luc"),
        ("nom : Luc Cormier", "Luc Cormier"),
        ("Luc à l'appareil", "Luc"),
        ("Rob MacIsaac", "Rob MacIsaac"),
        ("Mateo's my name", "Mateo"),
        ("Everybody calls me Skip", "Skip"),
        ("change my name to Nora", "Nora"),
        ("My full name is Theresa Boudreau.", "Theresa Boudreau"),
        ("c'est toujours Karine", "Karine"),
        ("moi c tanguy", "Tanguy"),
        ("Vous parlez à Denise", "Denise"),
    ],
)
def test_the_name_is_found_in_an_introduction(text: str, name: str) -> None:
    assert name_in(text) == name


@pytest.mark.parametrize(
    "text",
    [
        "is it open",
        "I'm new here",
        "im not sure",
        "I'm looking for the first tee",
        "I am so lost",
        "it's raining",
        "its too dark",
        "this is great",
        "this is my first time",
        "i'm 9",
        "I'm a beginner",
        "c'est ouvert?",
        "c'est gratuit?",
        "c'est quand la ligue",
        "je suis nouveau",
        "je suis perdue",
        "je suis en retard",
        "is anyone here",
        "lost my putter on hole 7, has my name on it",
        "what is the name of the league",
        "",
        "🥏",
    ],
)
def test_other_words_behind_i_am_are_no_name(text: str) -> None:
    assert name_in(text) is None


def test_a_very_long_word_is_no_name() -> None:
    assert name_in("my name is " + "a" * 31) is None


@pytest.mark.parametrize(
    ("text", "unsigned"),
    [
        ("in for tonight, Ben", "in for tonight"),
        ("2 for wednesday please - Tom H", "2 for wednesday please"),
        ("on vient mercredi, Julie.", "on vient mercredi"),
    ],
)
def test_a_name_at_the_end_is_a_signature(text: str, unsigned: str) -> None:
    assert without_signature(text, frozenset()) == unsigned


@pytest.mark.parametrize(
    "text",
    ["me, Ana, Ben", "can i come wed or thu, Sunday", "put me in for the league, Thanks", "hi, Ben", "me and Ben"],
)
def test_a_row_of_names_a_day_and_a_courtesy_are_none(text: str) -> None:
    assert without_signature(text, frozenset({"thanks"})) == text
