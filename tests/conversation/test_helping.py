"""What the club's people do with the questions that were passed to them, texted to a club in memory, step by step."""

import re
from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime, timedelta

import pytest

from clubbot.handbook.book import Handbook
from clubbot.rehearsal import Heard, Rehearsal
from tests.conftest import HALIFAX, NOON
from tests.fakes import numbers_in
from tests.store.builders import JONAS, PRIYA

ANA, BEN, LUC = "+19025550150", "+19025550151", "+19025550152"
ODILE, FEMI, CALLUM = "+19025550101", "+19025550102", "+19025550105"
HELPERS = [ODILE, FEMI, JONAS, PRIYA, CALLUM]
MINUTE, HOUR, DAY = timedelta(minutes=1), timedelta(hours=1), timedelta(days=1)
CAMPGROUND = "can you recommend a campground"
DINNER = "can you recommend somewhere for dinner"
MECHANIC = "do you know a good mechanic"
LIGHTHOUSE = "The one by the lighthouse."


def june(day: int, hour: int, minute: int = 0) -> datetime:
    """7 June 2027 is a Monday: Jonas is on duty from 8:00 to 21:00, on Tuesday Femi, on Wednesday Priya, then Callum."""
    return datetime(2027, 6, day, hour, minute, tzinfo=HALIFAX)


class Phones:
    """Everybody's phone. `heard` is what came of the last step; a minute goes by before each text."""

    def __init__(self, handbook: Handbook, now: datetime = NOON) -> None:
        self.club, self.now = Rehearsal(handbook), now
        self.heard: Sequence[Heard] = ()

    def text(self, sender: str, words: str, *, at: datetime | None = None) -> None:
        self.wait(until=at or self.now + MINUTE)
        self.heard = self.club.text(sender, words, self.now)

    def obeyed(self, sender: str, words: str) -> None:
        """An order and the code that is shown."""
        self.text(sender, words)
        (code,) = re.findall(r"(?:YES|OUI) (\d{8})", " ".join(self.to(sender)))
        self.text(sender, f"yes {code}")

    def wait(self, time: timedelta = MINUTE, *, until: datetime | None = None) -> None:
        before, self.now = self.now, until or self.now + time
        self.heard = self.club.pass_time(before, self.now)

    def to(self, number: str) -> list[str]:
        return [one.text for one in self.heard if one.recipient == number]

    def notes(self, words: str = "") -> list[str]:
        """Who was passed a question, in order; other texts to the club's people (the evening's sums) are none."""
        return [one.recipient for one in self.heard if one.recipient in HELPERS and f'"{words}' in one.text]


@pytest.fixture
def phones(handbook: Handbook) -> Phones:
    return Phones(handbook)


@pytest.fixture
def asked(phones: Phones) -> Phones:
    """Ana has asked on Monday, a minute past noon; Jonas has the note."""
    phones.text(ANA, CAMPGROUND)
    assert phones.notes(CAMPGROUND) == [JONAS]
    return phones


@pytest.fixture
def both_asked(asked: Phones) -> Phones:
    """Ben too: Jonas has two open."""
    asked.text(BEN, DINNER)
    assert asked.notes(DINNER) == [JONAS]
    return asked


@pytest.fixture
def answered(asked: Phones) -> Phones:
    """Jonas has answered Ana."""
    asked.text(JONAS, LIGHTHOUSE)
    return asked


def sent_on(words: str) -> list[str]:
    """What the helper's phone is told: the very words."""
    return [f'Sent on to the asker: "{words}" Not you? Reply NOT ME.']


def from_(name: str, words: str) -> str:
    return f"{name} from Tern Harbour DGC: {words}"


# Answers


def test_a_plain_reply_goes_to_whoever_asked_the_only_open_question(asked: Phones) -> None:
    asked.text(JONAS, LIGHTHOUSE)

    assert (asked.to(JONAS), asked.to(ANA)) == (sent_on(LIGHTHOUSE), [from_("Jonas", LIGHTHOUSE)])


def test_with_several_open_the_number_is_asked_for_and_nobody_hears_anything(both_asked: Phones) -> None:
    both_asked.text(JONAS, LIGHTHOUSE)

    assert [one.recipient for one in both_asked.heard] == [JONAS]
    assert "Q1 and Q2" in both_asked.to(JONAS)[0]


def test_an_answer_by_number_however_written_goes_to_whoever_asked_that_question(both_asked: Phones) -> None:
    for number in ("Q2", "q2", "Q2:", "q 2,", "Q#2", "Q2 -"):
        both_asked.text(JONAS, f"{number} {LIGHTHOUSE}")
        assert (both_asked.to(BEN), both_asked.to(ANA)) == ([from_("Jonas", LIGHTHOUSE)], []), number


def test_once_one_of_two_is_answered_a_plain_reply_is_for_the_other(both_asked: Phones) -> None:
    both_asked.text(JONAS, f"Q1 {LIGHTHOUSE}")
    both_asked.text(JONAS, "The chowder place.")

    assert (both_asked.to(BEN), both_asked.to(ANA)) == ([from_("Jonas", "The chowder place.")], [])


def test_a_number_without_words_asks_for_the_words(asked: Phones) -> None:
    asked.text(JONAS, "Q1")
    assert "Text Q1 and your words" in asked.to(JONAS)[0]
    assert asked.to(ANA) == []

    asked.text(JONAS, LIGHTHOUSE)
    assert asked.to(ANA)


def test_a_number_that_is_none_sends_nothing(asked: Phones) -> None:
    asked.text(JONAS, f"Q7 {LIGHTHOUSE}")

    assert [one.recipient for one in asked.heard] == [JONAS]
    assert "no open question Q7" in asked.to(JONAS)[0]


def test_a_question_of_the_helpers_own_is_answered_and_not_sent_on(asked: Phones) -> None:
    asked.text(JONAS, "when does the sun set?")

    assert asked.to(ANA) == []
    assert "sun" in asked.to(JONAS)[0]


def test_the_words_go_out_as_they_were_written_and_the_frame_in_the_askers_language(phones: Phones) -> None:
    phones.text(LUC, "pouvez-vous me recommander un camping")
    words = "Celui du phare, 12 $ la nuit (ouvert en juin)."
    phones.text(JONAS, words)

    assert phones.to(LUC) == [f"Jonas de Tern Harbour DGC: {words}"]


def test_more_words_by_the_same_helper_go_out_too(answered: Phones) -> None:
    answered.text(JONAS, "Q1 Bring change for the shower.")

    assert answered.to(ANA) == [from_("Jonas", "Bring change for the shower.")]
    assert answered.to(JONAS) == sent_on("Bring change for the shower.")


def test_an_answer_of_somebody_else_came_first_so_the_second_is_told_and_nothing_is_sent(answered: Phones) -> None:
    answered.text(FEMI, "Q1 The one at the river.")

    assert [one.recipient for one in answered.heard] == [FEMI]
    assert "answered by Jonas already. Nothing was sent" in answered.to(FEMI)[0]


def test_whoever_else_was_passed_the_question_hears_once_that_it_is_settled(asked: Phones) -> None:
    asked.wait(31 * MINUTE)
    asked.wait(31 * MINUTE)
    asked.text(PRIYA, LIGHTHOUSE)
    assert asked.to(JONAS) == asked.to(FEMI) == ["Q1 is answered by Priya. Nothing for you to do."]
    assert asked.to(PRIYA) == sent_on(LIGHTHOUSE)

    asked.text(PRIYA, "Q1 It is cheap as well.")
    assert asked.to(ANA)
    assert asked.to(JONAS) == asked.to(FEMI) == []


def test_whoever_answers_somebody_who_has_opted_out_hears_that_nothing_goes(asked: Phones) -> None:
    asked.text(ANA, "stop")
    asked.text(JONAS, LIGHTHOUSE)

    assert asked.to(ANA) == []
    assert asked.to(JONAS) != sent_on(LIGHTHOUSE)


# No number is shown


def test_the_askers_number_is_shown_to_nobody_however_it_is_written(phones: Phones) -> None:
    heard: list[Heard] = []
    for sender, words in (
        (ANA, "can somebody call me about a refund, +19025550150 or 902-555-0150"),
        (JONAS, "pass to Femi"),
        (ANA, "or text me on (902) 555 0150, 1.902.555.0150, 9025550150 please, it is about a refund"),
        (FEMI, "Q1 I will."),
        (JONAS, "Q1 I will too."),
    ):
        phones.text(sender, words)
        heard += phones.heard
    phones.wait(2 * HOUR)
    to_others = [one.text for one in [*heard, *phones.heard] if one.recipient != ANA]

    assert len(to_others) > 5
    assert numbers_in(to_others, [ANA]) == []
    assert numbers_in([one.text for one in heard if one.recipient == ANA], HELPERS) == []


# Passed on


def test_pass_gives_it_to_the_next_on_the_roster_and_the_asker_hears_nothing_yet(asked: Phones) -> None:
    asked.text(JONAS, "pass")
    assert (asked.to(JONAS), asked.notes(CAMPGROUND), asked.to(ANA)) == (["Q1 goes to Femi."], [FEMI], [])

    asked.text(FEMI, LIGHTHOUSE)
    assert asked.to(ANA) == [from_("Femi", LIGHTHOUSE)]


def test_pass_names_who_takes_it(asked: Phones) -> None:
    asked.text(JONAS, "pass to Callum")

    assert (asked.to(JONAS), asked.notes(CAMPGROUND)) == (["Q1 goes to Callum."], [CALLUM])


def test_of_several_the_one_that_is_passed_is_named(both_asked: Phones) -> None:
    both_asked.text(JONAS, "pass")
    assert "Q1 and Q2" in both_asked.to(JONAS)[0]
    assert both_asked.notes() == []

    both_asked.text(JONAS, "pass Q2 to Femi")
    assert both_asked.notes(DINNER) == [FEMI]


def test_passed_from_hand_to_hand_it_reaches_everybody_once_and_stays_with_the_last(asked: Phones) -> None:
    for helper, taker in ((JONAS, FEMI), (FEMI, PRIYA), (PRIYA, CALLUM), (CALLUM, ODILE)):
        asked.text(helper, "pass")
        assert asked.notes(CAMPGROUND) == [taker]
    asked.text(ODILE, "pass")
    assert [one.recipient for one in asked.heard] == [ODILE]
    assert "personne d'autre" in asked.to(ODILE)[0]

    asked.text(ODILE, "Q1 Celui du phare.")
    assert asked.to(ANA) == [from_("Odile", "Celui du phare.")]


def test_nobody_passes_a_question_to_oneself(asked: Phones) -> None:
    asked.text(JONAS, "pass to Jonas")

    assert [one.recipient for one in asked.heard] == [JONAS]
    assert "stays with you" in asked.to(JONAS)[0]


def test_what_was_passed_is_given_its_time_again(asked: Phones) -> None:
    asked.wait(20 * MINUTE)
    asked.text(JONAS, "pass to Callum")
    asked.wait(29 * MINUTE)
    assert asked.notes() == []

    asked.wait(MINUTE)
    assert asked.notes(CAMPGROUND) == [FEMI]


def test_what_is_answered_is_not_passed_or_closed_any_more(answered: Phones) -> None:
    for order in ("pass Q1", "pass Q1 to Femi", "done Q1"):
        answered.text(JONAS, order)
        assert [one.recipient for one in answered.heard] == [JONAS]
        assert "no open question Q1" in answered.to(JONAS)[0]


def test_what_is_passed_at_night_waits_for_the_morning(phones: Phones) -> None:
    phones.text(ANA, CAMPGROUND, at=june(7, 20, 50))
    phones.text(JONAS, "pass to Femi", at=june(7, 22))
    assert phones.to(FEMI) == []

    phones.wait(until=june(8, 8))
    assert phones.notes(CAMPGROUND) == [FEMI]


def test_an_answer_at_night_wakes_no_other_helper(phones: Phones) -> None:
    phones.text(ANA, CAMPGROUND, at=june(7, 20))
    phones.wait(31 * MINUTE)
    assert phones.notes(CAMPGROUND) == [FEMI]
    phones.text(JONAS, LIGHTHOUSE, at=june(7, 22))

    assert phones.to(FEMI) == []


# Done


def test_done_closes_it_and_the_asker_hears_nothing(asked: Phones) -> None:
    asked.obeyed(JONAS, "done")
    assert [(one.recipient, one.text) for one in asked.heard] == [(JONAS, "Q1 is closed.")]

    asked.wait(3 * HOUR)
    assert asked.notes() == []


def test_of_several_the_one_that_is_done_is_named(both_asked: Phones) -> None:
    both_asked.text(JONAS, "done")
    assert "Q1 and Q2" in both_asked.to(JONAS)[0]
    both_asked.obeyed(JONAS, "done Q1")
    assert both_asked.to(JONAS) == ["Q1 is closed."]

    both_asked.text(JONAS, LIGHTHOUSE)
    assert (both_asked.to(BEN), both_asked.to(ANA)) == ([from_("Jonas", LIGHTHOUSE)], [])


def test_with_nothing_open_there_is_nothing_to_close(phones: Phones) -> None:
    phones.text(JONAS, "done")

    assert [one.recipient for one in phones.heard] == [JONAS]
    assert "no open question with you" in phones.to(JONAS)[0]


def test_whoever_closed_it_may_still_write_and_others_may_not(asked: Phones) -> None:
    asked.obeyed(JONAS, "done")
    asked.text(FEMI, f"Q1 {LIGHTHOUSE}")
    assert asked.to(ANA) == []
    asked.text(JONAS, f"Q1 {LIGHTHOUSE}")

    assert asked.to(ANA) == [from_("Jonas", LIGHTHOUSE)]


def test_whoever_else_was_passed_a_question_hears_that_it_is_closed(asked: Phones) -> None:
    asked.wait(31 * MINUTE)
    asked.obeyed(FEMI, "done")

    assert any("Q1" in one for one in asked.to(JONAS))


# The asker goes on


def test_within_a_day_the_asker_goes_on_with_the_same_person_under_the_same_number(answered: Phones) -> None:
    """Also on Tuesday, when Femi is on duty."""
    answered.text(ANA, DINNER, at=june(8, 12))
    assert answered.to(ANA) == ["I've passed that on to Jonas as well."]
    assert answered.notes(DINNER) == [JONAS]
    assert "Q1" in answered.to(JONAS)[0]

    answered.text(JONAS, "The chowder place.")
    assert answered.to(ANA) == [from_("Jonas", "The chowder place.")]


def test_after_a_day_it_is_a_new_question_for_whoever_is_on_duty(answered: Phones) -> None:
    answered.text(ANA, DINNER, at=june(8, 12, 2))

    assert answered.notes(DINNER) == [FEMI]
    assert "Q2" in answered.to(FEMI)[0]


def test_going_on_while_it_is_open_reaches_the_same_person(asked: Phones) -> None:
    asked.text(ANA, DINNER)

    assert asked.notes(DINNER) == [JONAS]
    assert "Q1" in asked.to(JONAS)[0]


def test_whoever_answered_has_what_comes_after(asked: Phones) -> None:
    asked.text(JONAS, "pass to Callum")
    asked.text(CALLUM, LIGHTHOUSE)
    asked.text(ANA, DINNER)

    assert asked.notes(DINNER) == [CALLUM]


def test_what_others_ask_is_no_part_of_it(answered: Phones) -> None:
    answered.text(BEN, DINNER)

    assert "Q2" in answered.to(JONAS)[0]


def test_what_goes_on_is_passed_on_too_where_nobody_answers(answered: Phones) -> None:
    answered.text(ANA, DINNER)
    answered.wait(30 * MINUTE)

    assert answered.notes() == [FEMI]


@pytest.mark.parametrize("how", ["pass", ""])
def test_whoever_is_passed_what_went_on_reads_the_question_that_is_open(answered: Phones, how: str) -> None:
    answered.text(ANA, DINNER)
    if how:
        answered.text(JONAS, how)
    else:
        answered.wait(30 * MINUTE)

    assert DINNER in answered.to(FEMI)[0]


def test_what_was_passed_on_since_goes_on_with_whoever_has_it(answered: Phones) -> None:
    answered.text(ANA, DINNER)
    answered.text(JONAS, "pass to Femi")
    answered.text(ANA, MECHANIC)
    assert answered.notes(MECHANIC) == [FEMI]

    answered.text(FEMI, "The chowder place.")
    assert answered.to(ANA) == [from_("Femi", "The chowder place.")]


def test_whoever_is_passed_a_question_that_went_on_while_it_was_open_reads_all_of_it(asked: Phones) -> None:
    asked.text(ANA, DINNER)
    asked.text(JONAS, "pass to Femi")

    assert all(words in " ".join(asked.to(FEMI)) for words in (CAMPGROUND, DINNER))


def test_whoever_was_passed_it_before_may_still_simply_reply_after_the_asker_went_on(asked: Phones) -> None:
    asked.wait(30 * MINUTE)
    assert asked.notes(CAMPGROUND) == [FEMI]
    asked.text(ANA, DINNER)
    asked.text(JONAS, LIGHTHOUSE)

    assert asked.to(ANA) == [from_("Jonas", LIGHTHOUSE)]


def test_the_same_question_again_after_an_answer_reaches_somebody(answered: Phones) -> None:
    answered.text(ANA, CAMPGROUND)
    assert "passed" in answered.to(ANA)[0]

    assert answered.notes(CAMPGROUND) == [JONAS]


def test_an_asker_goes_on_though_whoever_answered_has_left_the_club(answered: Phones) -> None:
    book = answered.club.handbook
    people = tuple(one for one in book.knowledge.people if one.id != "jonas")
    duty = tuple(one for one in book.knowledge.duty if one.person != "jonas")
    answered.club.handbook = replace(book, knowledge=replace(book.knowledge, people=people, duty=duty))
    answered.text(ANA, DINNER)

    assert answered.to(ANA)
    answered.wait(until=june(8, 8))  # nobody else is on duty today
    assert len(answered.notes(DINNER)) == 1


# At night


def test_at_night_the_note_waits_for_the_next_turn_and_the_asker_hears_when(handbook: Handbook) -> None:
    phones = Phones(handbook, june(7, 23))
    phones.text(ANA, CAMPGROUND)
    assert [one.recipient for one in phones.heard] == [ANA]
    assert "until Tue 8 June 8:00" in phones.to(ANA)[0]
    phones.wait(until=june(8, 8) - timedelta(seconds=1))
    assert phones.heard == []

    phones.wait(until=june(8, 8))
    assert phones.notes(CAMPGROUND) == [FEMI]


def test_the_time_to_answer_runs_from_the_morning(handbook: Handbook) -> None:
    phones = Phones(handbook, june(7, 23))
    phones.text(ANA, CAMPGROUND)
    phones.wait(until=june(8, 8, 29))
    assert phones.notes(CAMPGROUND) == [FEMI]
    phones.wait(MINUTE)

    assert phones.notes(CAMPGROUND) == [PRIYA]


def test_what_goes_on_at_night_waits_too(answered: Phones) -> None:
    answered.text(ANA, DINNER, at=june(7, 23))
    assert [one.recipient for one in answered.heard] == [ANA]
    answered.wait(until=june(8, 8))

    assert answered.notes(DINNER) == [JONAS]


def test_whoever_goes_on_at_night_hears_when(answered: Phones) -> None:
    answered.text(ANA, DINNER, at=june(7, 23))

    assert "8:00" in answered.to(ANA)[0]


# Danger


def test_danger_is_told_at_once_to_whoever_is_on_duty(phones: Phones) -> None:
    phones.text(ANA, "he is not breathing")

    assert "911" in phones.to(ANA)[0]
    assert phones.to(JONAS)[0].startswith("URGENT")


def test_danger_at_night_wakes_the_organiser(handbook: Handbook) -> None:
    phones = Phones(handbook, june(7, 23))
    phones.text(ANA, "he is not breathing")

    assert phones.notes("he is not breathing") == [ODILE]
    assert phones.to(ODILE)[0].startswith("URGENT")


def test_danger_is_a_question_of_its_own_whatever_was_asked_before(handbook: Handbook) -> None:
    """The note of the night's first question waits; that of the danger does not wait behind it."""
    phones = Phones(handbook, june(7, 23))
    phones.text(ANA, CAMPGROUND)
    phones.text(ANA, "he is not breathing")

    assert phones.notes() == [ODILE]
    assert "Q2" in phones.to(ODILE)[0]


def test_whoever_has_opted_out_and_calls_for_help_gets_the_answer(phones: Phones) -> None:
    phones.text(ANA, "stop")
    phones.text(ANA, "he is not breathing")
    phones.text(JONAS, "Q1 I am coming.")

    assert phones.to(ANA) == [from_("Jonas", "I am coming.")]


def test_what_comes_after_a_call_for_help_at_night_is_told_at_once_too(handbook: Handbook) -> None:
    phones = Phones(handbook, june(7, 23))
    phones.text(ANA, "he is not breathing")
    phones.text(ANA, "we are behind the big rock with the red paint")

    assert phones.notes("we are behind") == [ODILE]


def test_where_they_are_reaches_whoever_asked_for_it_at_night(handbook: Handbook) -> None:
    phones = Phones(handbook, june(7, 23))
    phones.text(ANA, "he is not breathing")
    phones.text(ODILE, "I am coming. Where are you?")
    phones.text(ANA, "we are behind the big rock with the red paint")

    assert phones.notes("we are behind") == [ODILE]


def test_danger_that_nobody_answers_goes_to_the_next(phones: Phones) -> None:
    phones.text(ANA, "he is not breathing")
    phones.wait(30 * MINUTE)

    assert phones.notes("he is not breathing") == [FEMI]


def test_danger_that_nobody_answers_goes_to_the_next_at_night_too(handbook: Handbook) -> None:
    phones = Phones(handbook, june(7, 23))
    phones.text(ANA, "he is not breathing")
    phones.wait(31 * MINUTE)

    assert len(phones.notes("he is not breathing")) == 1


def test_danger_that_is_passed_on_still_reads_as_danger(phones: Phones) -> None:
    phones.text(ANA, "he is not breathing")
    phones.text(JONAS, "pass to Femi")

    assert phones.to(FEMI)[0].startswith("URGENT")


# Nobody answers


def test_what_nobody_answers_goes_to_the_next_every_half_hour_at_last_to_the_organiser(asked: Phones) -> None:
    for taker in (FEMI, PRIYA, CALLUM, ODILE):
        asked.wait(29 * MINUTE)
        assert asked.notes() == []
        asked.wait(MINUTE)
        assert asked.notes(CAMPGROUND) == [taker]


def test_what_was_answered_and_goes_on_goes_round_again(asked: Phones) -> None:
    for _ in range(4):
        asked.wait(30 * MINUTE)
    asked.text(PRIYA, LIGHTHOUSE)
    asked.text(ANA, DINNER)
    assert asked.notes(DINNER) == [PRIYA]
    asked.wait(31 * MINUTE)

    assert len(asked.notes(DINNER)) == 1


def test_after_the_organiser_it_goes_no_further(asked: Phones) -> None:
    for _ in range(4):
        asked.wait(30 * MINUTE)
    told: list[str] = []
    for _ in range(24):
        asked.wait(HOUR)
        told += asked.notes(CAMPGROUND)
    assert told == [ODILE]  # the digest quotes what is open

    asked.text(FEMI, f"Q1 {LIGHTHOUSE}")
    assert asked.to(ANA) == [from_("Femi", LIGHTHOUSE)]


def test_what_is_answered_goes_to_nobody_else(answered: Phones) -> None:
    answered.wait(3 * HOUR)

    assert answered.notes() == []


def test_what_nobody_answers_in_the_evening_goes_on_in_the_morning(phones: Phones) -> None:
    phones.text(ANA, CAMPGROUND, at=june(7, 20, 45))
    for _ in range(11):
        phones.wait(HOUR)
        assert phones.notes() == []
    phones.wait(until=june(8, 8))

    assert phones.notes(CAMPGROUND) == [FEMI]


def test_each_question_runs_by_its_own_clock(asked: Phones) -> None:
    asked.text(BEN, DINNER, at=NOON + 11 * MINUTE)
    asked.wait(until=NOON + 31 * MINUTE)
    assert asked.notes() == asked.notes(CAMPGROUND) == [FEMI]
    asked.wait(until=NOON + 41 * MINUTE)

    assert asked.notes() == asked.notes(DINNER) == [FEMI]


@pytest.mark.parametrize("text", ["who's here", "sign-in", "no-shows", "qui est là"])
def test_whoever_has_a_question_open_still_asks_who_is_here(asked: Phones, text: str) -> None:
    asked.text(JONAS, text)

    assert asked.to(ANA) == []
    assert "6 June" in asked.to(JONAS)[0] or "6 juin" in asked.to(JONAS)[0]  # the event before


def test_where_to_sign_in_is_an_answer(asked: Phones) -> None:
    asked.text(JONAS, "sign in is at the boathouse")

    assert asked.to(ANA) == [from_("Jonas", "sign in is at the boathouse")]
