"""Names beside other things, numbers of a party said again, maybes of one of several, and what is only wondered about."""

from datetime import datetime, timedelta

import pytest

from clubbot.handbook.book import Handbook
from clubbot.rehearsal import Rehearsal
from clubbot.store.rsvps import read_mine
from tests.builders import KIM
from tests.conftest import HALIFAX

NOON = datetime(2027, 6, 7, 12, tzinfo=HALIFAX)
TWO, FOUR = "in for league wed, 2 of us", "in for league wed, 4 of us, Bob"
DEUX = "on sera deux à la ligue mercredi"


def after(handbook: Handbook, *texts: str) -> tuple[str, tuple[str, int] | None]:
    """What is answered to the last of these texts, and the sign-up then."""
    club, told = Rehearsal(handbook), ""
    for number, text in enumerate(texts):
        heard = club.text(KIM, text, NOON + timedelta(seconds=30 * number))
        told = " ".join(one.text for one in heard if one.recipient == KIM)
    with club.engine.connect() as connection:
        kept = read_mine(connection, KIM, NOON.date())
    return told, next(((one.state, one.people) for one in kept.values() if one.state != "off"), None)


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("Renee. what time again?", "18:15, at the boathouse, CA$5, members CA$3. Thanks, Renee."),
        ("Okafor. hub says he'll be late", "Thanks, Okafor, I'll"),
        ("me, dana n kofi", "Thanks, Dana & Kofi, I'll"),
        ("Nadia and Zac", "Thanks, Nadia and Zac, I'll"),
        ("Agnes and my brother Tom", "Thanks, Agnes, I'll"),
        ("M A R I E", "Thanks, Marie, I'll"),
        ("Olena. O L E N A", "Thanks, Olena, I'll"),
        ("Fenwick and Sons", "Thanks, Fenwick and Sons, I'll"),
        ("Okafor like I said", "Thanks, Okafor, I'll"),
        ("the office lol. or just put Nadia", "Thanks, Nadia, I'll"),
        ("im pip btw", "Thanks, Pip, I'll"),
        ("i'd rather not say", "That's fine, no name needed."),
        ("no", "That's fine, no name needed."),
    ],
)
def test_a_name_is_taken_beside_whatever_is_said_and_adds_nobody(text: str, told: str, handbook: Handbook) -> None:
    said, mine = after(handbook, TWO, text)
    assert told in said
    assert mine == ("coming", 2)


@pytest.mark.parametrize(
    "text", ["lol", "hi there", "Great. what time", "Perfect, see you there", "Brilliant. My son is buzzing"]
)
def test_slang_and_small_talk_are_no_name(text: str, handbook: Handbook) -> None:
    said, _ = after(handbook, TWO, text)
    assert "Thanks," not in said


def test_whoever_is_greeted_is_not_the_sender(handbook: Handbook) -> None:
    assert "Thanks" not in after(handbook, TWO, "Hey Odile, is the marsh loop open")[0]


@pytest.mark.parametrize(
    ("texts", "told", "mine"),
    [
        (("put me down for league wed, Marlon",), "at the boathouse. Thanks, Marlon.", ("coming", 1)),
        (("can 3 of us come to league wed tonight", "3 for league wed. Orla"), "Thanks, Orla.", ("coming", 3)),
        (("inscris-nous pour mercredi, 2 personnes, Gérald",), "Merci, Gérald.", ("coming", 2)),
        ((DEUX, "Mélanie Cormier. c'est à quelle heure?"), "Merci, Mélanie Cormier.", ("coming", 2)),
        ((DEUX, "je préfère pas donner mon nom"), "le nom n'est pas nécessaire", ("coming", 2)),
    ],
)
def test_a_signed_text_is_not_asked_for_a_name(
    texts: tuple[str, ...], told: str, mine: tuple[str, int], handbook: Handbook
) -> None:
    said, held = after(handbook, *texts)
    assert (told in said, held) == (True, mine), said
    assert "What name" not in said


@pytest.mark.parametrize("text", ["M A R I E", "halloran. H A L L O R A N", "y", "2 plus 0"])
def test_what_is_spelled_or_stands_in_both_languages_shows_none(text: str, handbook: Handbook) -> None:
    assert (
        handbook.reader.read(text, NOON, "en").language is None
        or handbook.reader.read(text, NOON, "en").language == "en"
    )


@pytest.mark.parametrize(
    ("texts", "mine"),
    [
        ((FOUR, "one of us isn't sure"), ("coming", 4)),
        ((FOUR, "gran's a maybe"), ("coming", 4)),
        ((FOUR, "my nephew might come too"), ("coming", 4)),
        ((FOUR, "NO our four stay. no maybe"), ("coming", 4)),
        ((FOUR, "what if my brother came too"), ("coming", 4)),
        ((FOUR, "Bob, said it already"), ("coming", 4)),
        ((FOUR, "put 3 then, if he comes he comes"), ("coming", 3)),
        ((FOUR, "could i make it six?"), ("coming", 4)),
        ((FOUR, "could i make it six?", "ok make it 6"), ("coming", 6)),
        ((FOUR, "no its 4. ollie was already in the 4"), ("coming", 4)),
        ((FOUR, "just 4, like i said"), ("coming", 4)),
        (("me and maybe Al for league wed",), ("coming", 1)),
        (("1 adult 0 kids for league wed",), ("coming", 1)),
        (("in for league wed, Bob", "mate just told me hes not coming, i'll still go"), ("coming", 1)),
        ((FOUR, "we might not make it"), ("maybe", 4)),
        ((DEUX, "ma belle-mère viendra peut-être aussi, je ne sais pas"), ("coming", 2)),
        ((DEUX, "et si mon frère venait aussi?"), ("coming", 2)),
        ((DEUX, "trois si l'ami vient"), ("coming", 2)),
    ],
)
def test_those_who_are_sure_keep_their_places(
    texts: tuple[str, ...], mine: tuple[str, int], handbook: Handbook
) -> None:
    said, held = after(handbook, *texts)
    assert held == mine, said


def test_a_what_if_tells_the_room(handbook: Handbook) -> None:
    assert after(handbook, FOUR, "could i make it six?")[0].endswith(
        "places free now: 68. I've changed nothing; tell me once you know."
    )
