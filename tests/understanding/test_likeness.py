"""What looks like something to be done and what is plainly an answer to an asker."""

import pytest

from clubbot.handbook.book import Handbook

ORDERS_EN = [
    "close the back loop until fri noon",
    "can you shut the far end of the marsh please",
    "back loop closed till friday",
    "flooding everywhere, pls close it all",
    "call the league thing off for wed",
    "postpone league to thursday",
    "hold everything",
    "tell the folks coming tonight to bring lights",
    "let everyone know the tap is off",
    "move league to 7",
    "reopen everything but the marsh",
    "get everyone off the hill",
    "put a note on the second tee",
    "pass it over to femi instead",
    "no league this week",
]
ORDERS_FR = [
    "ferme la boucle du fond jusqu'à vendredi midi",
    "peux-tu barrer le bout du marais svp",
    "boucle du fond fermée jusqu'à vendredi",
    "c'est inondé, ferme tout",
    "annule l'affaire de la ligue pour mercredi",
    "reporte la ligue à jeudi",
    "suspends tout le monde pour l'instant",
    "dis aux joueurs de ce soir d'apporter des lumières",
    "avise les gens que le robinet est fermé",
    "déplace la ligue à 19 h",
    "rouvre tout sauf le marais",
    "sors tout le monde de la colline, dehors",
    "mets une note au deuxième départ",
]
ANSWERS_EN = [
    "The one by the lighthouse.",
    "yes, the course is open till dusk",
    "no, bring your own",
    "Sign in is at the boathouse",
    "open the gate and walk in, you can park by the shed",
    "text me when you get there",
    "call the park office about that",
    "it costs 12 dollars a night",
    "you can pay at the desk, tell them you're with us",
    "sorry, we don't rent carts",
    "hold on to your ticket",
    "move your car to the lot behind the school",
    "close the gate behind you please",
    "the course is open dawn to dusk",
    "Ask for Callum, he has the key",
]
ANSWERS_FR = [
    "Celui du phare.",
    "oui, le parcours est ouvert jusqu'à la brunante",
    "non, apportez les vôtres",
    "l'inscription est au hangar à bateaux",
    "ouvrez la barrière et entrez",
    "écrivez-moi quand vous arrivez",
    "appelez le bureau du parc",
    "ça coûte 12 $ la nuit",
    "vous payez à l'accueil",
    "désolé, on ne loue pas de chariots",
    "gardez votre billet",
    "déplacez votre auto derrière l'école",
    "demandez Callum, il a la clé",
]


@pytest.mark.parametrize("text", ORDERS_EN + ORDERS_FR)
def test_it_looks_like_an_order(handbook: Handbook, text: str) -> None:
    assert handbook.reader.orders.like_an_order(text)


@pytest.mark.parametrize("text", ANSWERS_EN + ANSWERS_FR)
def test_it_is_an_answer(handbook: Handbook, text: str) -> None:
    assert not handbook.reader.orders.like_an_order(text)


@pytest.mark.parametrize(
    "text",
    [
        "cancel",
        "CANCEL",
        "Stop",
        "no",
        "No.",
        "wait",
        "not that",
        "no wait",
        "never mind",
        "cancel that please",
        "don't do it",
        "annule",
        "non",
        "non, laisse faire",
        "laisse tomber",
        "arrête",
        "attends",
        "pas ça",
        "no 48217730",
    ],
)
def test_a_no_to_what_was_shown(handbook: Handbook, text: str) -> None:
    assert handbook.reader.orders.to_a_draft(text).drops


@pytest.mark.parametrize(
    "text",
    [
        "not me",
        "pas moi",
        "cancel league wednesday",
        "stop texting me",
        "yes 48217730",
        "no parking there",
        "hold it",
        "ok",
    ],
)
def test_what_is_none(handbook: Handbook, text: str) -> None:
    assert not handbook.reader.orders.to_a_draft(text).drops


def test_a_yes_without_its_code(handbook: Handbook) -> None:
    def only_yes(text: str) -> bool:
        return handbook.reader.orders.to_a_draft(text).only_yes

    assert all(map(only_yes, ("yes", "Oui!", "ok do it", "vas-y")))
    assert not any(map(only_yes, ("yes 48217730", "yes they do", "no")))
