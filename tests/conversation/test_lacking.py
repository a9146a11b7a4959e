"""What the club has no answer to: the topic is in the digest, and the third who asks it brings the organiser a word on how to write it."""

from datetime import timedelta

import pytest

from clubbot.handbook.book import Handbook
from clubbot.rehearsal import Heard, Rehearsal
from tests.conftest import NOON

ORGANISER = "+19025550101"
PHONES = [f"+1902555014{number}" for number in range(2, 8)]


def _ask(club: Rehearsal, *texts: str) -> list[Heard]:
    """Each from a phone of its own; what the organiser gets."""
    heard = [one for phone, text in zip(PHONES, texts, strict=False) for one in club.text(phone, text, NOON)]
    return [one for one in heard if one.recipient == ORGANISER]


@pytest.mark.parametrize(
    "texts",
    [
        ("do you have a website", "whats your facebook page", "avez-vous un site web"),
        ("who won last night", "where can i see the results", "où voir les résultats"),
        ("can spectators come to league", "is it ok to just watch", "on peut venir regarder le tournoi"),
        ("do you take credit cards", "can i pay with visa", "prenez-vous les cartes de crédit"),
        ("do you rent bikes around here", "do you rent bikes around here?", "hi do you rent bikes around here"),
    ],
)
def test_the_third_who_asks_brings_one_text_on_how_to_write_it(handbook: Handbook, texts: tuple[str, ...]) -> None:
    club = Rehearsal(handbook)
    assert _ask(club, *texts[:2]) == []

    (told,) = _ask(club, *texts)

    assert "TEACH" in told.text
    assert "Q" in told.text
    assert not any(phone in told.text for phone in PHONES)
    assert _ask(club, *texts, *texts) == []


def test_one_who_asks_three_times_is_no_three(handbook: Handbook) -> None:
    club = Rehearsal(handbook)
    for text in ("do you have a website", "whats your website", "are you on facebook", "what is your web address"):
        assert [one for one in club.text(PHONES[0], text, NOON) if one.recipient == ORGANISER] == []


def test_the_topic_is_named_in_the_digest(handbook: Handbook) -> None:
    club = Rehearsal(handbook)
    _ask(club, "where can i see the results", "who won last night", "do you have a website")
    (digest,) = [one for one in club.pass_time(NOON, NOON + timedelta(hours=9)) if "Aujourd'hui" in one.text]
    assert "les résultats x2" in digest.text
    assert "un site" in digest.text
