"""What the club's people see on asking, and in the evening: how things stand, what went to many, what they may text, the digest."""

from dataclasses import replace
from datetime import timedelta

import pytest
from sqlalchemy import select, update

from clubbot.handbook.book import Handbook
from clubbot.rehearsal import Rehearsal
from clubbot.store.tables import outbox
from clubbot.texting.parts import count as count_parts
from tests.builders import KIM
from tests.conftest import NOON
from tests.conversation.test_closures_by_text import DAY, FEMI, HOUR, MINUTE, ODILE, Club, local, to
from tests.store.builders import JONAS, LEE, PRIYA

KAYAK = "is there a place to store my kayak overnight"
EVENING = local(6, 7, 20, 1)


@pytest.fixture
def club(handbook: Handbook) -> Club:
    return Club(handbook)


def evening(club: Club, phone: str) -> str:
    return to(phone, club.rehearsal.pass_time(NOON, EVENING))


def test_status_has_tomorrow_s_events_questions_with_their_words_and_the_reports(club: Club) -> None:
    tuesday = NOON + DAY
    club.text(KIM, "in 2 for league wed", tuesday)
    club.text(LEE, KAYAK, tuesday)
    club.text("+19025550160", "the basket on hole 4 is bent", tuesday)
    said = club.text(PRIYA, "status", tuesday)

    assert "Tomorrow: Dusk League, Wed 9 June 18:15, 2 coming." in said
    assert 'Q1 "is there a place to store my kayak' in said
    assert "Open reports: 1" in said
    assert "refused" not in said


def test_status_tells_what_the_line_refused_and_what_is_late(club: Club) -> None:
    club.text(KIM, "hi")
    club.text(LEE, "hi")
    with club.rehearsal.engine.begin() as connection:
        connection.execute(update(outbox).where(outbox.c.recipient == KIM).values(state="given up"))
        connection.execute(update(outbox).where(outbox.c.recipient == LEE).values(state="waiting", claimed_until=None))
        later = NOON + timedelta(days=30)
        connection.execute(update(outbox).where(outbox.c.recipient == LEE).values(claimed_until=later))
    said = club.text(JONAS, "status", NOON + HOUR)

    assert "Texts refused: 1, since 12:00, texts that should have gone: 1, since 12:00." in said


def test_what_went_to_many_with_how_many_got_it(club: Club) -> None:
    club.text(KIM, "in for league wed")
    club.text(LEE, "in for league wed")
    club.text(LEE, "sign me up for course news")
    club.obeyed(ODILE, "tell course news: the tap is off")
    club.obeyed(PRIYA, "call off league wed, wind")
    club.rehearsal.pass_time(NOON, NOON + MINUTE)
    today = club.text(PRIYA, "what did we send today", NOON + MINUTE)
    week = club.text(ODILE, "qu'avons-nous envoyé cette semaine", NOON + 2 * DAY)

    assert 'to course news, "The tap is off": 1 got it' in today
    assert "change told, Dusk League on Wed 9 June: 2 got it" in today
    assert "The tap is off" in week
    assert club.text(PRIYA, "what did we send today", NOON + 2 * DAY) == "Nothing has gone to many today."


def test_reminders_are_counted(club: Club) -> None:
    club.text(KIM, "in for league wed")
    club.rehearsal.pass_time(NOON, local(6, 9, 17))

    assert "reminders, Dusk League on Wed 9 June: 2 got it" in club.text(
        JONAS, "what did we send this week", local(6, 9, 17)
    )


def test_what_one_may_text_goes_by_the_role_and_a_matter_has_examples(club: Club) -> None:
    everything, few = club.text(ODILE, "what can i text"), club.text(FEMI, "what can i text")

    assert "CALL OFF" in everything
    assert "CALL OFF" not in few
    assert len(everything) < 480
    assert "UNCANCEL" in club.text(ODILE, "what can i text about events")
    assert "isn't among the things your role may do" in club.text(FEMI, "what can i text about events")
    assert "DÉSANNULE" in club.text(ODILE, "quoi texter pour les activités")


def test_the_digest_quotes_each_open_question_for_who_may_have_it(club: Club) -> None:
    club.text(KIM, KAYAK)
    club.text(LEE, "do you sell gift cards for my nephew")
    told = club.rehearsal.pass_time(NOON, EVENING)
    digests = [one for one in told if one.text.startswith(("Aujourd'hui:", "Today:"))]

    assert [one.recipient for one in digests] == [ODILE]
    assert f'Q1 "{KAYAK}"' in digests[0].text
    assert 'Q2 "do you sell gift cards' in digests[0].text


def test_two_organisers_both_get_it(handbook: Handbook) -> None:
    people = tuple(
        replace(one, roles=(*one.roles, "organiser")) if one.number == FEMI else one
        for one in handbook.knowledge.people
    )
    club = Club(replace(handbook, knowledge=replace(handbook.knowledge, people=people)))
    club.text(KIM, KAYAK)
    told = club.rehearsal.pass_time(NOON, EVENING)

    assert {one.recipient for one in told if f'"{KAYAK}"' in one.text and "parts sent" in one.text} | {
        one.recipient for one in told if "parties envoyées" in one.text
    } == {ODILE, FEMI}


def test_a_day_without_anything_has_no_digest(handbook: Handbook) -> None:
    assert Rehearsal(handbook).pass_time(NOON, EVENING) == []


def test_of_many_open_questions_the_rest_is_counted(club: Club) -> None:
    for one in range(12):
        club.text(f"+190255501{60 + one}", f"{KAYAK} on day {one}", NOON + one * MINUTE)
    said = to(ODILE, club.rehearsal.pass_time(NOON + 15 * MINUTE, EVENING))

    assert "LISTE" in said


def test_status_of_the_organiser_tells_what_texts_cost_since_the_month_began(club: Club) -> None:
    club.text(KIM, "is it open", local(5, 31, 12))  # of the month before
    club.text(KIM, "in 2 for league wed")
    with club.rehearsal.engine.connect() as connection:
        june = local(6, 1, 0)
        sent = connection.execute(select(outbox.c.text).where(outbox.c.sent_at >= june)).scalars().all()
        before = connection.execute(select(outbox.c.text).where(outbox.c.sent_at < june)).scalars().all()
    assert before
    parts = sum(map(count_parts, sent))
    said = club.text(ODILE, "status", NOON + HOUR)

    assert f"Texts since 1 June: CA${parts * 0.02:.2f} (parts: {parts})." in said
    assert "Texts since" not in club.text(JONAS, "status", NOON + HOUR)


def test_texts_whose_words_are_no_longer_kept_are_counted_by_their_parts(club: Club) -> None:
    club.text(KIM, "in 2 for league wed")
    with club.rehearsal.engine.begin() as connection:
        connection.execute(update(outbox).values(text="", parts=3))

    assert ": 3)." in club.text(ODILE, "état de la situation", NOON + HOUR)
