"""What a miss of which does harm: how many of the texts written for it are right, and what stays in mind."""

from datetime import timedelta

import pytest

from clubbot.handbook.book import Handbook
from clubbot.model.caution import WARNED_FOR
from clubbot.rehearsal import Rehearsal
from clubbot.texting.parts import as_sent, count
from tests.conftest import NOON
from tests.safety.counting import FOLDER, judged, shares

KIM, JONAS = "+19025550180", "+19025550103"
MINUTE = timedelta(minutes=1)


def talk(handbook: Handbook, *texts: str, apart: timedelta = MINUTE) -> list[list[tuple[str, str]]]:
    """What is sent because of each of these texts from one phone: to whom, and the words."""
    club = Rehearsal(handbook)
    return [
        [(one.recipient, one.text) for one in club.text(KIM, text, NOON + place * apart)]
        for place, text in enumerate(texts)
    ]


def replies(handbook: Handbook, *texts: str, apart: timedelta = MINUTE) -> list[str]:
    return [next(text for to, text in sent if to == KIM) for sent in talk(handbook, *texts, apart=apart)]


@pytest.mark.parametrize("file", ["seen.jsonl", "apart.jsonl"])
def test_nearly_every_text_of_each_kind_is_right(handbook: Handbook, file: str) -> None:
    found = shares(list(judged(FOLDER / file, handbook)))

    assert {kind: share for kind, share in found.items() if share < 97} == {}


def test_the_caution_is_the_first_sentence_and_what_else_was_asked_is_answered_beside_it(handbook: Handbook) -> None:
    (said,) = replies(handbook, "in for wednesday, 2 of us. also can i wade in if my disc goes in the water")

    assert said.startswith("Please stay off the mud and out of the water")
    assert "2 people" in said


def test_what_was_warned_of_stays_in_mind_for_its_time_and_no_longer(handbook: Handbook) -> None:
    soon = replies(handbook, "its thundering here", "and if it stops at 6?")
    late = replies(handbook, "its thundering here", "and if it stops at 6?", apart=WARNED_FOR)

    assert soon[1].startswith("Off the course at the first thunder")
    assert "30 minutes after the last" in soon[1]
    assert "thunder" not in late[1].lower()


def test_after_thunder_whether_it_is_open_gets_its_caution_too(handbook: Handbook) -> None:
    said = replies(handbook, "y tonne icitte", "est-ce que c'est ouvert")

    assert said[1].startswith("Quittez le parcours au premier tonnerre")
    assert "ouvert" in said[1]


def test_a_caution_goes_to_no_volunteer_and_offers_no_menu(handbook: Handbook) -> None:
    (sent,) = talk(handbook, "gonna risk the mud for my driver")

    assert [to for to, _ in sent] == [KIM]
    assert "Do you mean" not in sent[0][1]


def test_the_first_caution_of_a_newcomer_tells_who_we_are(handbook: Handbook) -> None:
    (said,) = replies(handbook, "ok to climb the spruce for my disc?")

    assert said.startswith("Please don't climb")
    assert "STOP ends texts" in said


@pytest.mark.parametrize(
    "key", ["thunder", "water", "ice", "wind", "climb", "nest", "people", "unwell", "heat", "cold", "dark"]
)
def test_a_caution_takes_one_part_where_it_can_and_never_more_than_two(handbook: Handbook, key: str) -> None:
    for language in handbook.knowledge.club.languages:
        said = handbook.knowledge.wording[language][f"caution.{key}"].format(minutes=30)
        assert count(as_sent(said, shorten_letters=True)) <= 2


def test_found_again_ends_the_alarm_and_tells_whoever_was_told(handbook: Handbook) -> None:
    cry, over = talk(handbook, "i cant find my daughter, she was at 5", "found her, she was in the car")

    told = next(to for to, text in cry if text.startswith("URGENT"))
    assert any(to == told and "found her" in text for to, text in over)
    assert "911" not in next(text for to, text in over if to == KIM)


def test_found_but_hurt_is_no_end_of_an_alarm(handbook: Handbook) -> None:
    said = replies(handbook, "i cant find my daughter, she was at 5", "found her but she's not breathing")

    assert "call 911" in said[1]


def test_helpers_who_have_come_are_told_and_the_alarm_stays_open(handbook: Handbook) -> None:
    cry, came, again = talk(handbook, "my dad collapsed", "ambulance is here now thanks", "he is not breathing")

    told = next(to for to, text in cry if text.startswith("URGENT"))
    assert any(to == told for to, _ in came)
    assert "911" not in next(text for to, text in came if to == KIM)
    assert "call 911" in next(text for to, text in again if to == KIM)


def test_without_an_alarm_she_is_back_raises_none_and_ends_none(handbook: Handbook) -> None:
    (sent,) = talk(handbook, "shes back on lol")

    assert not any("911" in text or "URGENT" in text for _, text in sent)


def test_who_is_locked_in_hears_of_the_gate_and_who_waits_for_an_ambulance_the_way_in(handbook: Handbook) -> None:
    (locked,) = replies(handbook, "gate is locked and our car is stuck inside")
    (coming,) = replies(handbook, "l'ambulance s'en vient, par où elle passe")

    assert "call 911" in locked
    assert "The gate is locked at" in locked
    assert "appelez le 911" in coming
    assert "Quay Road" in coming
