"""Texts that look as if they leaned on what was said before, and stand for themselves; and what refuses what we read."""

import pytest

from clubbot.handbook.book import Handbook
from clubbot.understanding.refusing import Refusal, refusal, said_after_no
from tests.conftest import NOON

STANDS = [
    "what about the league prize money",
    "how much is a membership",
    "how much to borrow discs",
    "how much does the league cost",
    "how much for a starter set",
    "how much notice do you need for a school group",
    "how much water should i bring",
    "where do i buy discs",
    "where can i fill my water bottle",
    "where is hole 5",
    "where does hole 1 start",
    "where is my disc",
    "what time does it get dark",
    "what time is league",
    "what time does the gate close",
    "when is the clinic",
    "when does the season start",
    "how long is a round",
    "how long is hole 5",
    "how long have you kept my number",
    "how long can i look for my disc",
    "is it open sunday",
    "is it open if it rains",
    "is the marsh loop open",
    "whats on saturday",
    "what's happening this weekend",
    "is league on tonight",
    "in for thursday",
    "in 2",
    "two for saturday",
    "2 for the clinic",
    "put me down for sunday",
    "i'll be there thursday",
    "can't make it wednesday",
    "and can i borrow discs",
    "and can i bring my own food",
    "and do you sell discs",
    "and who runs the club",
    "and tell priya i'm late",
    "is it good for a 7 year old who has never played",
    "do i need to be a member to play",
    "do i need to sign up for the tournament before july",
    "can i bring my dog to the clinic",
    "does my dog need a lead",
    "why is the marsh loop closed",
    "why do the baskets have chains",
    "how do i throw a forehand",
    "how do handicaps work",
    "which disc should a beginner throw",
    "which loop is best for wheelchairs",
    "i lost my disc on hole 8",
    "tree down on hole 7",
    "someone is hurt on hole 3",
    "found a red disc near the marsh loop",
    "sunday was great",
    "we had fun on saturday",
    "my kids loved it",
    "my name is sunday",
    "yes",
    "no",
    "2",
    "thanks",
    "stop",
    "et est-ce que je peux emprunter des disques",
    "c'est ouvert dimanche",
    "c'est quand la clinique",
    "combien coûte la ligue",
    "c'est où que je peux acheter des disques",
    "à quelle heure ferme la barrière",
    "pourquoi le marais est fermé",
    "je serai là jeudi",
    "on sera 2 à la ligue",
    "et je peux venir avec ma soeur",
    "j'ai perdu mon disque au trou 8",
]


@pytest.mark.parametrize("text", STANDS)
def test_a_text_that_says_something_of_its_own_stands_for_itself(text: str, handbook: Handbook) -> None:
    assert handbook.reader.read(text, NOON, "en").lean is None


@pytest.mark.parametrize(
    "text", ["and for visitors", "what about toilets", "et pour les groupes", "pis avec une poussette"]
)
def test_a_few_words_of_its_own_after_and_for_are_open(text: str, handbook: Handbook) -> None:
    lean = handbook.reader.read(text, NOON, "en").lean

    assert lean is not None
    assert lean.open


REFUSES = [
    ("no the other one", Refusal(other=True)),
    ("the other one", Refusal(other=True)),
    ("non l'autre", Refusal(other=True)),
    ("not that one, the other one please", Refusal(other=True)),
    ("thanks but i meant borrow", Refusal(meant="borrow")),
    ("no i meant the league", Refusal(meant="the league")),
    ("No, I meant how do I join", Refusal(meant="how do I join")),
    ("i mean for the league", Refusal(meant="for the league")),
    ("sorry i was asking about parking", Refusal(meant="parking")),
    ("non je voulais dire emprunter", Refusal(meant="emprunter")),
    ("je parlais de la ligue", Refusal(meant="la ligue")),
    ("no i wanted to know about dogs", Refusal(meant="dogs")),
    ("non je veux savoir c'est combien", Refusal(meant="c'est combien")),
    ("pas ça, le stationnement", Refusal(meant="le stationnement")),
    ("not that, the parking", Refusal(meant="the parking")),
    ("not that. i meant the parking", Refusal(meant="the parking")),
    ("not buy but borrow", Refusal(meant="borrow")),
    ("not that", Refusal()),
    ("no, that's not what i asked", Refusal()),
    ("thats not it", Refusal()),
    ("wrong", Refusal()),
    ("that doesn't answer my question", Refusal()),
    ("c'est pas ça", Refusal()),
    ("non ce n'est pas ma question", Refusal()),
    ("c'est pas ce que j'ai demandé", Refusal()),
]


@pytest.mark.parametrize(("text", "wanted"), REFUSES)
def test_what_was_read_is_refused(text: str, wanted: Refusal, handbook: Handbook) -> None:
    assert refusal(handbook.reader.notice(text)) == wanted


@pytest.mark.parametrize(
    "text",
    [
        "i mean it",
        "no i mean it, great course",
        "i meant no harm",
        "that's it thanks",
        "that's right",
        "not that far",
        "not that i know of",
        "not bad",
        "wrong hole sign on 7",
        "i was wondering if it's open",
        "i want to know how much it is",
        "je voulais savoir si c'est ouvert",
        "is there another course",
        "do you have any other events",
        "what do you mean",
        "no",
        "no thanks",
        "non merci",
        "no can do",
        "pas de problème",
        "pas tout de suite",
        "another one",
    ],
)  # fmt: skip
def test_what_only_sounds_like_a_refusal_is_none(text: str, handbook: Handbook) -> None:
    assert refusal(handbook.reader.notice(text)) is None


def test_what_follows_a_no_is_told_as_it_was_written(handbook: Handbook) -> None:
    assert said_after_no(handbook.reader.notice("no, Hole 8")) == "Hole 8"
    assert said_after_no(handbook.reader.notice("nothing")) is None
