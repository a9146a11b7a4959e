"""Attackers' histories: one phone that floods, a hundred forged numbers at once, and what everybody else gets meanwhile."""

from collections import Counter
from collections.abc import Callable
from dataclasses import replace
from datetime import datetime, timedelta

import pytest
from sqlalchemy import insert, select, update

from clubbot.handbook.book import Handbook
from clubbot.model.effects import PutInTouch
from clubbot.rehearsal import Heard, Rehearsal
from clubbot.store.reports import put_in_touch
from clubbot.store.tables import inbox, people, questions, rsvps
from tests.conftest import HALIFAX, NOON
from tests.conversation.test_helping import sent_on
from tests.store.builders import JONAS, PRIYA

ODILE, FEMI, CALLUM = "+19025550101", "+19025550102", "+19025550105"
HELPERS = [ODILE, FEMI, JONAS, PRIYA, CALLUM]
KIM, LEE = "+19025550142", "+19025550143"
SECOND, MINUTE, HOUR = timedelta(seconds=1), timedelta(minutes=1), timedelta(hours=1)
CAMPGROUND = "can you recommend a campground"
CRY = "he is not breathing"
CLINIC = "put me down for the clinic on 12 june"


class Club:
    """Everybody's phone. Each text comes a second after the one before."""

    def __init__(self, handbook: Handbook) -> None:
        self.rehearsal, self.now = Rehearsal(handbook), NOON
        self.heard: list[Heard] = []

    def text(self, sender: str, words: str, *, after: timedelta = SECOND) -> list[str]:
        """What the sender is told."""
        self.wait(after)
        came = self.rehearsal.text(sender, words, self.now)
        self.heard += came
        return [one.text for one in came if one.recipient == sender]

    def wait(self, time: timedelta) -> list[Heard]:
        before, self.now = self.now, self.now + time
        came = self.rehearsal.pass_time(before, self.now)
        self.heard += came
        return came

    def to(self, number: str, words: str = "") -> list[str]:
        return [one.text for one in self.heard if one.recipient == number and words in one.text]

    def notes(self) -> Counter[str]:
        return Counter(one.recipient for one in self.heard if one.recipient in HELPERS)

    def crowd(self, words: str, size: int = 100) -> list[str]:
        """One text each of so many numbers that nobody has seen before; what each is told."""
        return [self.text(forged(place), words)[0] for place in range(size)]

    def ask(self, statement: object) -> list[tuple[object, ...]]:
        with self.rehearsal.engine.connect() as connection:
            return [tuple(row) for row in connection.execute(statement)]  # type: ignore[call-overload]


def forged(place: int) -> str:
    return f"+1902555{1000 + place}"


@pytest.fixture
def club(handbook: Handbook) -> Club:
    quiet = replace(handbook.knowledge.club, digest="off")
    return Club(replace(handbook, knowledge=replace(handbook.knowledge, club=quiet)))


def known_long(club: Club, number: str) -> None:
    """A number whose first text came a month ago."""
    row = {"number": number, "opted_out": 0, "introduced": 1, "first_seen_at": NOON - timedelta(days=30)}
    with club.rehearsal.engine.begin() as connection:
        connection.execute(insert(people).values(row))


# One phone


@pytest.mark.parametrize("word", ["HELP", "AIDE"])
def test_two_machines_that_ask_each_other_for_help_end(club: Club, word: str) -> None:
    answered = [len(club.text(KIM, word, after=20 * SECOND)) for _ in range(30)]

    assert answered == [1, 1, 1] + [0] * 27
    club.wait(6 * MINUTE)
    assert club.text(KIM, word)


def test_starts_over_and_over_take_effect_and_are_left_unanswered(club: Club) -> None:
    assert [len(club.text(KIM, "START")) for _ in range(6)] == [1, 1, 1, 0, 0, 0]


def test_stop_takes_effect_at_once_after_any_flood_and_is_confirmed_once(club: Club) -> None:
    for place in range(40):
        club.text(KIM, f"is hole {place} open")
    said = club.text(KIM, "STOP")

    assert len(said) == 1
    assert club.ask(select(people.c.opted_out).where(people.c.number == KIM)) == [(1,)]
    assert not club.text(KIM, "STOP")


def test_the_last_of_stops_and_starts_in_turn_holds_though_nobody_answers_any_more(club: Club) -> None:
    said = [len(club.text(KIM, word)) for word in ("STOP", "START") * 6]

    assert said == [1] * 6 + [0] * 6
    assert club.ask(select(people.c.opted_out).where(people.c.number == KIM)) == [(0,)]
    assert not club.text(KIM, "STOP")
    assert club.ask(select(people.c.opted_out).where(people.c.number == KIM)) == [(1,)]


def test_further_reports_of_one_phone_are_kept_and_its_sender_told(club: Club) -> None:
    for hole in range(1, 7):
        club.text(KIM, f"a tree fell across hole {hole}", after=MINUTE)

    assert len(club.to(JONAS, "Course report")) == 3
    assert "on the list for the club" in club.to(KIM)[-1]
    (words,) = club.ask(select(questions.c.so_far).order_by(questions.c.number.desc()).limit(1))
    assert "hole 5" in str(words[0])


def test_further_discs_of_one_phone_are_kept(club: Club) -> None:
    for place in range(7):
        club.text(KIM, f"i lost a red disc on hole {place + 1}", after=MINUTE)

    assert len(club.to(JONAS, "Lost disc")) == 4


def test_relays_to_one_person_end_and_the_sender_hears_so_once(club: Club) -> None:
    touch = PutInTouch(
        lost=1, found=2, owner=KIM, finder=LEE, to_owner="", to_finder="", until=NOON + timedelta(days=7)
    )
    with club.rehearsal.engine.begin() as connection:
        put_in_touch(connection, touch)
    said = [club.text(KIM, f"finder, are you there {place}", after=30 * SECOND) for place in range(14)]

    assert len(club.to(LEE, "are you there")) == 10
    assert ["more in an hour" in (one[0] if one else "") for one in said] == [False] * 10 + [True] + [False] * 3
    assert [len(one) for one in said[11:]] == [0, 0, 0]


def test_a_name_is_changed_so_often_and_then_kept(club: Club) -> None:
    for name in ("Ana", "Bea", "Cleo", "Dora", "Edda", "Fay"):
        club.text(KIM, f"my name is {name}", after=MINUTE)

    assert club.ask(select(people.c.name).where(people.c.number == KIM)) == [("Dora",)]
    assert len(club.to(KIM, "kept the name")) == 1


def test_sign_ups_are_changed_so_often_and_then_stay(club: Club) -> None:
    known_long(club, KIM)
    for place in range(24):
        club.text(KIM, f"{CLINIC}, {2 + place % 2} of us" if place else CLINIC, after=2 * MINUTE)

    assert len(club.to(KIM, "changed your sign-ups many times")) == 1
    assert club.ask(select(rsvps.c.people)) == [(3,)]  # as after the twentieth


def test_what_one_phone_goes_on_asking_is_added_to_its_question(club: Club) -> None:
    for place in range(16):
        club.text(KIM, f"{CAMPGROUND} number {place}", after=2 * MINUTE)

    assert len(club.to(JONAS, CAMPGROUND)) == 8
    assert "added that to what you asked" in club.to(KIM)[-1]


def test_a_flooding_phone_is_told_of_once_an_hour_however_it_pauses(club: Club) -> None:
    for burst in range(4):
        for place in range(25):
            club.text(KIM, f"is hole {place} of {burst} open")
        club.wait(6 * MINUTE)
        club.text(KIM, "is it open")

    assert len(club.to(JONAS, "no longer answers")) == 1


# The club's people


def test_a_helper_answers_many_in_a_row(club: Club) -> None:
    club.crowd(CAMPGROUND, 12)
    for number in range(1, 13):
        assert club.text(JONAS, f"Q{number} The one by the lighthouse.") == sent_on("The one by the lighthouse.")


def test_a_forged_helpers_flood_of_answers_ends_and_both_are_told_once(club: Club) -> None:
    club.text(KIM, CAMPGROUND)
    for place in range(70):
        club.text(JONAS, f"Q1 You won a prize, number {place}", after=10 * SECOND)

    assert len(club.to(KIM, "You won a prize")) == 40
    assert len(club.to(JONAS, "more answers than I can send")) == 1
    assert len(club.to(ODILE, "utilise peut-")) == 1


def test_a_forged_helpers_orders_end_and_both_are_told_once(club: Club) -> None:
    for place in range(50):
        club.text(JONAS, f"close hole {1 + place % 18}, flooded", after=12 * SECOND)

    assert len(club.to(JONAS, "To do it, reply YES")) == 30
    assert len(club.to(JONAS, "more orders than I take")) == 1
    assert len(club.to(ODILE)) == 1


def test_any_flood_from_a_helpers_phone_ends_but_its_stop_and_its_cry_pass(club: Club) -> None:
    for place in range(90):
        club.text(JONAS, f"is hole {place} open")

    assert len(club.to(JONAS, "I've stopped reading")) == 1
    assert len(club.to(ODILE)) == 1
    assert "call 911" in club.text(JONAS, "there is a fire, he is not breathing")[0]
    (asked,) = club.text(JONAS, "STOP")
    assert "to stop our texts, reply STOP" in asked


# A hundred at once


def test_a_hundred_forged_questions_make_few_notes_and_one_number(club: Club) -> None:
    """Before: 100 to Jonas, 100 to whoever is next after half an hour, and so on through the club: 500."""
    said = club.crowd(CAMPGROUND)
    for _ in range(24):
        club.wait(10 * MINUTE)

    assert club.notes() == {JONAS: 13, FEMI: 12, PRIYA: 12, CALLUM: 12, ODILE: 13}  # and how to write it up
    assert len(club.to(JONAS, "88 more questions are waiting")) == 1
    assert "usually replies here within" in said[11]
    assert said[12].startswith("A volunteer will see this. Many people are writing just now, so it may take longer")


def test_kept_questions_do_not_burst_out_when_the_hour_is_over(club: Club) -> None:
    club.crowd(CAMPGROUND)
    club.wait(20 * MINUTE)
    before = len(club.to(JONAS))
    for _ in range(18):
        club.wait(10 * MINUTE)

    assert len(club.to(JONAS)) == before
    assert club.ask(select(questions.c.number).where(questions.c.state == "kept"))[0] == (13,)


def test_kept_questions_are_listed_page_by_page_and_answered_by_number(club: Club) -> None:
    club.crowd(CAMPGROUND, 14)
    first, third, past = club.text(FEMI, "LIST"), club.text(FEMI, "list 3"), club.text(FEMI, "questions 4")

    assert "Q1 " in first[0]
    assert first[0].endswith("9 more: text LIST 2.")
    assert all(f"Q{number} " in third[0] for number in (11, 12, 13, 14))
    assert past == ["No more questions are waiting."]
    assert club.text(FEMI, "Q13 The one by the lighthouse.") == sent_on("The one by the lighthouse.")
    assert len(club.to(forged(12), "lighthouse")) == 1


def test_the_list_is_asked_for_in_french_too(club: Club) -> None:
    assert club.text(ODILE, "liste des questions") == ["Aucune question n'attend."]
    assert "Waiting" not in "".join(club.text(KIM, "list"))


def test_numbers_known_for_long_have_a_limit_of_their_own(club: Club) -> None:
    club.crowd(CAMPGROUND)
    known_long(club, KIM)

    assert "usually replies here within" in club.text(KIM, CAMPGROUND)[0]
    assert len(club.to(JONAS, CAMPGROUND)) == 13


def test_a_cry_and_a_tree_pass_a_crowd_of_questions(club: Club) -> None:
    club.crowd(CAMPGROUND)
    club.text(KIM, CRY)
    club.text(LEE, "a tree fell across hole 7")

    assert len(club.to(JONAS, CRY)) == 1
    assert len(club.to(JONAS, "Course report")) == 1


def test_trees_of_a_hundred_phones_pass_up_to_their_own_limit(club: Club) -> None:
    club.crowd("a tree fell across hole 7")

    assert len(club.to(JONAS, "Course report")) == 10
    assert len(club.ask(select(questions.c.number).where(questions.c.state == "kept"))) == 90


def test_orders_of_a_hundred_strangers_are_told_of_a_few_times(club: Club) -> None:
    club.crowd("close the course")

    assert club.notes() == {ODILE: 4}


def test_the_next_hour_has_room_again(club: Club) -> None:
    club.crowd(CAMPGROUND, 20)
    club.wait(HOUR)

    assert "usually replies here within" in club.text(KIM, CAMPGROUND)[0]


# Sign-ups


def test_a_crowd_of_new_numbers_gets_no_more_than_its_share_without_a_word_more(club: Club) -> None:
    said = club.crowd(CLINIC)

    assert sum(int(str(row[0])) for row in club.ask(select(rsvps.c.people))) == 8  # half of 16
    assert "Reply YES and I put you down" in said[8]
    assert "You're down for" in club.text(forged(8), "yes")[0]


def test_larger_parties_of_a_crowd_fill_no_more_than_one_more_of_the_first_few(club: Club) -> None:
    club.crowd(f"{CLINIC}, 2 of us", 30)

    assert sum(int(str(row[0])) for row in club.ask(select(rsvps.c.people))) == 10  # five who came in quiet times


def test_a_known_number_is_never_asked_in_a_crowd(club: Club) -> None:
    club.crowd(CLINIC)
    known_long(club, KIM)

    assert "You're down for" in club.text(KIM, CLINIC)[0]


def test_newcomers_one_after_the_other_are_in_at_once(club: Club) -> None:
    said = [club.text(forged(place), CLINIC, after=20 * MINUTE)[0] for place in range(12)]

    assert all("You're down for" in one for one in said)


@pytest.mark.parametrize("then", ["make it 9", "yes 9 of us"])
def test_a_crowd_cannot_sign_up_alone_and_grow_afterwards(club: Club, then: str) -> None:
    club.crowd(CLINIC, 8)
    club.text(forged(0), then)

    assert sum(int(str(row[0])) for row in club.ask(select(rsvps.c.people))) == 8


def test_an_event_without_a_limit_of_places_takes_so_many_people_an_hour_from_a_crowd(club: Club) -> None:
    club.crowd("put me down for the work morning on 26 june, 3 of us", 40)

    assert sum(int(str(row[0])) for row in club.ask(select(rsvps.c.people))) == 30


TOO_LARGE: list[tuple[str, Callable[[Club], None]]] = [
    ("me and 500 friends are coming to the clinic on 12 june", lambda club: None),
    ("maybe the clinic on 12 june, 300 of us", lambda club: None),
    ("make it 40", lambda club: _first(club, CLINIC)),
    ("make it 13 for the clinic on 12 june", lambda club: _first(club, CLINIC)),
    ("on sera 40 pour la séance d'initiation du 12 juin", lambda club: None),
]


def _first(club: Club, words: str) -> None:
    club.text(KIM, words)


@pytest.mark.parametrize(("words", "before"), TOO_LARGE, ids=[words for words, _ in TOO_LARGE])
def test_a_party_larger_than_the_event_allows_is_not_written(
    club: Club, words: str, before: Callable[[Club], None]
) -> None:
    before(club)
    kept = club.ask(select(rsvps.c.state, rsvps.c.people))
    (said,) = club.text(KIM, words)

    assert "12" in said
    assert "Priya" in said
    assert club.ask(select(rsvps.c.state, rsvps.c.people)) == kept
    assert not club.notes()


def test_here_with_three_hundred_is_bounded_too(club: Club) -> None:
    club.wait(datetime(2027, 6, 26, 8, 45, tzinfo=HALIFAX) - club.now)  # the work morning, which has no limit of places
    (said,) = club.text(KIM, "we're here, 300 of us")

    assert "12 people at most" in said
    assert club.ask(select(rsvps.c.people)) == []


def test_an_event_may_allow_more(handbook: Handbook) -> None:
    events = tuple(replace(one, most_per_sign_up=15) for one in handbook.knowledge.events)
    club = Club(replace(handbook, knowledge=replace(handbook.knowledge, events=events)))

    assert "15 people" in club.text(KIM, f"{CLINIC}, 15 of us")[0]


# The clock


def test_a_clock_set_back_by_a_day_mutes_nobody(club: Club) -> None:
    for place in range(25):
        club.text(KIM, f"is hole {place} open")
    club.crowd(CAMPGROUND, 20)
    club.text(LEE, CRY)
    club.now -= timedelta(days=1)

    def text(sender: str, words: str) -> list[Heard]:
        club.now += SECOND
        return club.rehearsal.text(sender, words, club.now)

    assert KIM in [one.recipient for one in text(KIM, "is it open")]
    assert any(CAMPGROUND in one.text for one in text(forged(150), CAMPGROUND) if one.recipient == ODILE)
    assert len([one for one in text(LEE, CRY) if one.recipient in HELPERS]) == 1


def test_what_each_text_was_is_kept_with_it(club: Club) -> None:
    for words in ("HELP", "is it open", CAMPGROUND, CLINIC, CRY):
        club.text(KIM, words)

    assert club.ask(select(inbox.c.kind).order_by(inbox.c.id)) == [
        ("help",), ("other",), ("question",), ("rsvp",), ("danger",)
    ]  # fmt: skip


def test_who_was_new_yesterday_is_known_today(club: Club) -> None:
    club.crowd(CLINIC)
    with club.rehearsal.engine.begin() as connection:
        connection.execute(update(people).values(first_seen_at=NOON - timedelta(days=2)))

    assert "You're down for" in club.text(forged(60), CLINIC)[0]
