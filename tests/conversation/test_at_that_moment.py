"""What is true at the moment of asking: whether an event is on, when a reminder comes, that entries are open, that nobody is hurt."""

from datetime import datetime, timedelta

import pytest

from clubbot.handbook.book import Handbook
from clubbot.rehearsal import Rehearsal
from tests.conftest import NOON

KIM, PRIYA = "+19025550180", "+19025550104"
MINUTE = timedelta(minutes=1)
WEDNESDAY = NOON + timedelta(days=2)
SUNDAY = NOON.replace(day=6, hour=9)
JULY = NOON.replace(month=7, day=2)


def replies(handbook: Handbook, texts: list[str], first: datetime = NOON) -> list[str]:
    """What Kim is told to each of these texts, a minute apart."""
    club = Rehearsal(handbook)
    said = []
    for place, text in enumerate(texts):
        heard = club.text(KIM, text, first + place * MINUTE)
        said.append(" ".join(one.text for one in heard if one.recipient == KIM))
    return said


def last(handbook: Handbook, *texts: str, first: datetime = NOON) -> str:
    return replies(handbook, list(texts), first)[-1]


@pytest.mark.parametrize(
    "text",
    [
        "is it still on this morning, its lashing down over here",
        "Hello, is the family thing still going ahead in this drizzle? The kids are dressed already.",
        "c'est tu encore on à matin, y mouille",
    ],
)
def test_the_only_event_of_the_day_is_told_of_and_then_what_would_call_it_off(text: str, handbook: Handbook) -> None:
    said = last(handbook, text, first=SUNDAY)

    assert said.startswith(
        ("Family Sunday, Sun 6 June 10:00 is on", "Dimanche en famille, dimanche 6 juin 10 h a lieu")
    )
    assert "60 km/h" in said


def test_whoever_asks_again_is_told_of_the_event_and_not_only_the_policy(handbook: Handbook) -> None:
    assert "Wed 9 June 18:15 is on" in last(
        handbook, "will you cancel for wind", "i am asking you if its on tonight", first=WEDNESDAY
    )


def test_that_it_was_called_off_is_the_answer(handbook: Handbook) -> None:
    club = Rehearsal(handbook)
    shown = club.text(PRIYA, "cancel league wednesday, wind", WEDNESDAY)
    code = next(one.text.split("YES ")[1].split()[0] for one in shown if "YES " in one.text)
    club.text(PRIYA, f"YES {code}", WEDNESDAY)
    heard = club.text(KIM, "surely its off tonight in this wind", WEDNESDAY + MINUTE)

    assert "called off" in next(one.text for one in heard if one.recipient == KIM).split(".")[0]


def test_an_event_under_way_is_not_told_of_as_one_to_come(handbook: Handbook) -> None:
    said = last(handbook, "is it cancelled or what", first=WEDNESDAY.replace(hour=18, minute=40))

    assert "it began at 18:15" in said


def test_whether_it_is_open_at_an_hour_is_told_of_that_hour(handbook: Handbook) -> None:
    assert "will be dark" in last(handbook, "is it open at 4 am tomorrow")


@pytest.mark.parametrize(
    ("text", "when"),
    [
        ("can you remind us on the morning", "Wed 9 June 8:00"),
        ("remind me at 4", "Wed 9 June 16:00"),
        ("remind me the night before at 8", "Tue 8 June 20:00"),
        ("rappelle-moi le matin même", "mercredi 9 juin 8 h"),
    ],
)
def test_a_reminder_comes_when_it_is_wished_for(text: str, when: str, handbook: Handbook) -> None:
    assert when in last(handbook, "put me down for league wednesday", text)


def test_of_tomorrow_a_reminder_is_not_too_late_this_evening(handbook: Handbook) -> None:
    said = last(handbook, "put me down for league", "need a reminder for tomorrow", first=NOON.replace(day=8, hour=19))

    assert "Wed 9 June 16:15" in said


@pytest.mark.parametrize("text", ["tell me about the fog horn open", "c'est quoi le tournoi fog horn"])
def test_entries_that_have_opened_are_not_told_of_as_to_come(text: str, handbook: Handbook) -> None:
    assert "1 July" in last(handbook, text) or "1er juillet" in last(handbook, text)
    said = last(handbook, text, first=JULY)
    assert "1 July" not in said
    assert "1er juillet" not in said
    assert "Entries are open" in said or "inscriptions sont ouvertes" in said


@pytest.mark.parametrize("text", ["r u a real person", "est-ce que je parle à une vraie personne", "are you a bot"])
def test_a_machine_says_so_in_its_first_sentence(text: str, handbook: Handbook) -> None:
    said = last(handbook, text)

    assert "machine" in said.split(". ")[0]
    assert not said.startswith(("Yes", "Oui"))


@pytest.mark.parametrize(
    ("cry", "denied"),
    [
        ("someone fell off the steps at 14 and broke his leg", "no no nobody is hurt, it was the bench"),
        ("my friend is bleeding at 7", "its just a scratch, no ambulance"),
        ("un gars est tombé, y saigne", "mais non personne est blessé, pas besoin de 911"),
    ],
)
def test_after_a_denial_nobody_is_told_the_emergency_number_again(cry: str, denied: str, handbook: Handbook) -> None:
    first, second, third = replies(handbook, [cry, denied, "who do i ask about a refund for my bag tag"])

    assert "911" in first
    assert "911" not in second
    assert "911" not in third


def test_what_is_asked_beside_the_denial_is_answered(handbook: Handbook) -> None:
    said = last(handbook, "someone broke his leg on 14", "sorry, nobody is hurt! is the shore loop open?")

    assert "Shore loop (holes 1-6) is open" in said


@pytest.mark.parametrize("text", ["he slipped but he's fine lol", "stopped crying now, no need to send anyone"])
def test_a_denial_raises_no_alarm_and_ends_no_texts(text: str, handbook: Handbook) -> None:
    said = last(handbook, text)

    assert "911" not in said
    assert "no more texts" not in said


@pytest.mark.parametrize(
    "text",
    [
        "nobody is hurt but there's a fire in the trees",
        "he says he's ok but he is unconscious again",
        "no ambulance yet and he is bleeding a lot",
        "he's fine with it but my son broke his arm",
        "twisted my ankle badly on the roots but i'm ok i think",
        "je me suis tordu la cheville au 14 mais chu correct j'pense",
    ],
)
def test_a_danger_beside_a_denial_is_heard(text: str, handbook: Handbook) -> None:
    for said in (last(handbook, text), last(handbook, "someone broke his leg on 14", text)):
        assert "call 911" in said or "appelez le 911" in said


def test_what_is_taken_back_is_not_warned_of_again(handbook: Handbook) -> None:
    texts = [
        "my disc is up a tree at 14, can i climb up",
        "no i'm not climbing lol, what's the rule",
        "who runs the club",
    ]
    first, second, third = replies(handbook, texts)

    assert "climb" in first
    assert "don't climb" not in second
    assert "don't climb" not in third
