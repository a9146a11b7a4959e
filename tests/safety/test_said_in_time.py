"""What a miss of which does harm: how many of the texts written for it are right, and what stays in mind."""

from datetime import timedelta

import pytest

from clubbot.handbook.book import Handbook
from clubbot.model.caution import WARNED_FOR
from clubbot.rehearsal import Rehearsal
from clubbot.texting.parts import as_sent, count
from clubbot.understanding.consent import opts_out
from clubbot.understanding.danger import sounds_like_danger
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


# In a hundred, as measured on 1 December 2026; the second two files are by a writer who had seen nothing of clubbot.
MEASURED: dict[str, dict[str, float]] = {
    "seen.jsonl": {"caution": 100, "hazard": 100, "danger": 100, "over": 100, "calm": 97.2},
    "apart.jsonl": {"caution": 100, "hazard": 100, "danger": 100, "over": 100, "calm": 75},
    "seen_second.jsonl": {"optout": 87.5, "danger": 95, "caution": 95, "hazard": 90, "calm": 87.5},
    "apart_second.jsonl": {"optout": 95, "danger": 95, "caution": 85, "hazard": 95, "calm": 90},
}
LEEWAY = 0.5


@pytest.mark.parametrize("file", MEASURED)
def test_no_fewer_texts_of_each_kind_are_right_than_were_measured(handbook: Handbook, file: str) -> None:
    found = shares(list(judged(FOLDER / file, handbook)))

    assert {kind: found[kind] for kind, share in MEASURED[file].items() if found[kind] < share - LEEWAY} == {}


@pytest.mark.parametrize(
    ("before", "text"),
    [
        ("in for wednesday", "grandpa sat down by 12 all grey and clammy and wont answer us"),
        ("what discs do i need", "weird smell of rotten eggs by the boathouse and were all getting dizzy"),
        ("jy serai mercredi", "mon voisin de partie fait une drôle de crise, il bave et ses yeux virent"),
    ],
)
def test_a_danger_that_no_rule_knows_goes_before_what_was_spoken_of(handbook: Handbook, before: str, text: str) -> None:
    assert not sounds_like_danger(handbook.reader.notice(text))
    sent = talk(handbook, before, text)[1]

    assert any("911" in said for to, said in sent if to == KIM)
    assert any(said.startswith("URGENT") for to, said in sent if to != KIM)


@pytest.mark.parametrize(
    "text",
    ["ok you can leave my phone alone now, had my fun with you lot", "j'en veux pu de vos affaires sur mon cell"],
)
def test_an_opt_out_that_no_rule_knows_is_one_whatever_was_spoken_of(handbook: Handbook, text: str) -> None:
    assert opts_out(handbook.reader.notice(text)) is None
    club = Rehearsal(handbook)
    club.text(KIM, "in for wednesday", NOON)
    (said,) = club.text(KIM, text, NOON + MINUTE)

    assert "no more texts" in said.text or "plus de texto" in said.text
    assert club.text(KIM, "what time is league", NOON + 2 * MINUTE) == []


def test_what_the_clubs_people_text_is_an_opt_out_or_a_cry_by_rules_alone(handbook: Handbook) -> None:
    club = Rehearsal(handbook)
    club.text(JONAS, "pls take my cell out of your system for good", NOON)

    assert club.text(JONAS, "what time is league", NOON + MINUTE) != []


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
    assert "For the gate and the car park call" in locked
    assert "appelez le 911" in coming
    assert "Quay Road" in coming
