"""While something is closed, on hold or called off, every answer that touches it says so first, and no other does. The clock is Wednesday
9 June 2027, 13:00; league is that evening at 18:15.
"""

from datetime import datetime, timedelta

import pytest

from clubbot.handbook.book import Handbook
from clubbot.model.club import Closure, EventChange
from clubbot.model.intent_kinds import BUILT_IN
from clubbot.model.messages import Said
from clubbot.model.touching import INTENTS, NOTHING, TOPICS
from clubbot.rehearsal import Rehearsal
from tests.builders import KIM
from tests.conftest import HALIFAX
from tests.store.builders import PRIYA

ONE = datetime(2027, 6, 9, 13, tzinfo=HALIFAX)
SATURDAY = datetime(2027, 6, 12, tzinfo=HALIFAX)
HOUR, MINUTE = timedelta(hours=1), timedelta(minutes=1)
TWO_PARTS = 2

# (English, French) of what touches the course as it is now.
ABOUT_THE_COURSE = [
    ("how do i start, im free this aft", "comment on commence, je suis libre cet aprem"),
    ("coming with my kids in an hour", "on arrive avec les enfants dans une heure"),
    ("where is it", "c'est où"),
    ("how do i get there", "comment on s'y rend"),
    ("is there parking", "y a tu du stationnement"),
    ("when does it get dark", "il fait noir à quelle heure"),
    ("can i borrow discs", "je peux emprunter des disques"),
    ("how long does a round take", "ça prend combien de temps une ronde"),
    ("is it busy right now", "y a tu du monde"),
    ("can i bring my dog", "les chiens sont permis?"),
    ("is it ok for kids", "c'est bon pour les enfants?"),
    ("how many holes are there", "il y a combien de trous"),
    ("whats the layout of the marsh loop", "le parcours est comment, c'est quoi les boucles"),
    ("shall we carry on", "est-ce qu'on continue la partie"),
    ("can we start", "on peut commencer?"),
    ("where's the first tee", "c'est où le premier départ"),
    ("are there washrooms", "il y a des toilettes?"),
]
# And of what touches the event of today.
ABOUT_LEAGUE = [
    ("is league on tonight", "la ligue a lieu ce soir?"),
    ("what time is league", "c'est à quelle heure la ligue"),
    ("league this week?", "ligue mercredi?"),
    ("in for league tonight", "je viens ce soir à la ligue"),
    ("remind me of league", "rappelez-moi la ligue"),
    ("is there room at league tonight", "reste-t-il de la place à la ligue ce soir"),
]
# What touches neither, or clearly another day.
ABOUT_NEITHER = [
    ("how much is a membership", "combien coûte la carte de membre"),
    ("who runs the club", "qui s'occupe du club"),
    ("is it open saturday", "c'est ouvert samedi?"),
    ("in for the clinic saturday", "je viens à la séance d'initiation samedi"),
    ("put me on course news", "abonnez-moi aux nouvelles du parcours"),
    ("thanks", "merci"),
]


def both(pairs: list[tuple[str, str]]) -> list[str]:
    return [text for pair in pairs for text in pair]


class Course:
    """The demo club, with somebody who has texted before."""

    def __init__(self, handbook: Handbook) -> None:
        self.club = Rehearsal(handbook)
        self.club.text(KIM, "hi", ONE - 2 * HOUR)

    def closed(
        self, what: str = "course", since: datetime = ONE - HOUR, until: datetime | None = ONE + 6 * HOUR
    ) -> "Course":
        reason = Said(en="ice", fr="glace")
        self.club.close_part(Closure(what=what, since=since, until=until, reason=reason))
        return self

    def held(self) -> "Course":
        self.club.text(PRIYA, "thunder", ONE - 10 * MINUTE)
        return self

    def called_off(self) -> "Course":
        change = EventChange(day=ONE.date(), called_off=True, reason=Said(en="wind", fr="vent"))
        self.club.change_day("dusk-league", change)
        return self

    def told(self, text: str, at: datetime = ONE) -> str:
        (heard,) = [one for one in self.club.text(KIM, text, at) if one.recipient == KIM]
        assert heard.parts <= TWO_PARTS, heard.text
        return heard.text


HELD = ("Play is on hold", "Le jeu est suspendu")
CLOSED = (
    "The course is closed until 19:00 (ice)",
    "No, the course is closed until 19:00 (ice)",
    "Le parcours, c'est fermé jusqu'à 19 h (glace)",
    "Non: le parcours, c'est fermé jusqu'à 19 h (glace)",
)
OFF = (
    "Dusk League on Wed 9 June is called off (wind)",
    "Ligue du soir du mercredi 9 juin: annulé (vent)",
    "Ligue du soir, mercredi 9 juin: annulé (vent)",
)


def test_every_intent_and_topic_has_a_row_in_the_table(handbook: Handbook) -> None:
    events = {event.topic for event in handbook.knowledge.events}
    every = {*BUILT_IN, *handbook.knowledge.answers} - events

    assert every == {*INTENTS, *TOPICS, *NOTHING} - events
    assert not NOTHING & {*INTENTS, *TOPICS}


@pytest.mark.parametrize("text", both(ABOUT_THE_COURSE + ABOUT_LEAGUE))
def test_while_play_is_on_hold_it_is_said_first(text: str, handbook: Handbook) -> None:
    said = Course(handbook).held().told(text)

    assert said.startswith(HELD)
    assert said.count("on hold") + said.count("suspendu") == 1


@pytest.mark.parametrize("text", both(ABOUT_THE_COURSE + ABOUT_LEAGUE))
def test_while_the_course_is_closed_it_is_said_first(text: str, handbook: Handbook) -> None:
    said = Course(handbook).closed().told(text)

    assert said.startswith(CLOSED)
    assert said.count("ice") + said.count("glace") == 1


@pytest.mark.parametrize("text", both(ABOUT_LEAGUE))
def test_a_day_that_is_called_off_is_said_first(text: str, handbook: Handbook) -> None:
    said = Course(handbook).called_off().told(text)

    assert said.startswith(OFF)
    assert said.count("wind") + said.count("vent)") == 1


@pytest.mark.parametrize("text", both(ABOUT_NEITHER))
def test_what_touches_nothing_of_it_says_nothing_of_it(text: str, handbook: Handbook) -> None:
    for course in (Course(handbook).held(), Course(handbook).closed(), Course(handbook).called_off()):
        said = course.told(text)
        assert not any(word in said for word in ("on hold", "suspendu", "(ice)", "(glace)", "(wind)", "(vent)")), said


@pytest.mark.parametrize("text", both(ABOUT_THE_COURSE + ABOUT_LEAGUE))
def test_while_all_is_open_nothing_is_said_first(text: str, handbook: Handbook) -> None:
    said = Course(handbook).told(text)

    assert not any(
        word in said for word in ("on hold", "suspendu", "closed until", "fermé jusqu", "called off", "annul")
    ), said


def test_it_is_said_as_long_as_it_lasts_and_no_longer(handbook: Handbook) -> None:
    course = Course(handbook).closed()

    assert course.told("is there parking").startswith(CLOSED)
    assert course.told("where is it", ONE + 5 * MINUTE).startswith(CLOSED)
    assert "closed until" not in course.told("can i bring my dog", ONE + 6 * HOUR + MINUTE)


def test_a_closure_that_begins_before_a_round_is_over_is_said_too(handbook: Handbook) -> None:
    soon = Course(handbook).closed(since=ONE + 2 * HOUR)

    assert soon.told("how do i start").startswith("From 15:00 until 19:00 the course is closed (ice).")
    assert "closed" not in Course(handbook).closed(since=ONE + 5 * HOUR).told("how do i start")


def test_a_part_that_is_closed_is_said_before_what_may_be_about_it(handbook: Handbook) -> None:
    course = Course(handbook).closed("marsh")

    assert course.told("how many holes are there").startswith(
        "The Marsh loop (holes 7-12) is closed until 19:00 (ice)."
    )
    assert "Marsh loop (holes 7-12) is closed" not in course.told("is there parking")


def test_another_day_that_is_covered_is_said_too(handbook: Handbook) -> None:
    course = Course(handbook).closed(until=SATURDAY + 20 * HOUR)

    assert course.told("is there parking on saturday").startswith("The course is closed until Sat 12 June 20:00 (ice).")
    assert "closed until Sat" not in course.told("is there parking on sunday")


def test_an_event_under_a_closure_is_not_called_off_by_it(handbook: Handbook) -> None:
    said = Course(handbook).closed().told("is league on tonight")

    assert "Whether Dusk League takes place isn't decided yet" in said
    assert "18:15" in said


def test_a_number_changed_during_a_hold_says_so_first(handbook: Handbook) -> None:
    course = Course(handbook)
    course.told("in for league tonight, 2 of us", ONE - HOUR)
    said = course.held().told("make it 3")

    assert said.startswith(HELD)
    assert "3 people" in said


def test_who_does_not_come_is_told_nothing_of_it(handbook: Handbook) -> None:
    course = Course(handbook)
    course.told("in for league tonight", ONE - HOUR)

    assert "on hold" not in course.held().told("can't make it tonight")


# Environment Canada, lightning safety: stay in shelter 30 minutes after the last thunder (READ-2).
@pytest.mark.parametrize(
    "text", ["when will it open again", "when does it reopen", "how long is play on hold", "when can we play again"]
)
def test_when_a_hold_ends_is_not_known_and_not_before_the_wait(text: str, handbook: Handbook) -> None:
    said = Course(handbook).held().told(text)

    assert all(fact in said for fact in ("12:50", "30 minutes", "13:20", "isn't known"))


@pytest.mark.parametrize(
    "text",
    ["ça rouvre quand", "quand est-ce que ça va rouvrir", "on peut reprendre quand", "c'est suspendu jusqu'à quand"],
)
def test_in_french_too(text: str, handbook: Handbook) -> None:
    said = Course(handbook).held().told(text)

    assert all(fact in said for fact in ("12 h 50", "30 minutes", "13 h 20", "pas connue"))


@pytest.mark.parametrize(
    "text",
    [
        "when will it open again",
        "when does it reopen",
        "closed until when",
        "how long will it be closed",
        "when do you open again",
        "any idea when it reopens?",
        "ça rouvre quand",
        "c'est fermé jusqu'à quand",
        "quand est-ce que le parcours rouvre",
    ],
)
def test_when_it_opens_again_is_the_closures_own_end(text: str, handbook: Handbook) -> None:
    until = Course(handbook).closed().told(text)
    nobody_knows = Course(handbook).closed(until=None).told(text)

    assert "19:00" in until or "19 h" in until
    assert "isn't known" in nobody_knows or "ne sait pas" in nobody_knows
    assert "dawn" not in until + nobody_knows
    assert "aube" not in until + nobody_knows


@pytest.mark.parametrize(
    ("first", "then"),
    [
        ("is it open", "until when?"),
        ("how do i start", "until when?"),
        ("c'est ouvert?", "jusqu'à quand"),
        ("y a tu du stationnement", "jusqu'à quand?"),
    ],
)
def test_a_bare_until_when_after_closed_was_said_is_about_that(first: str, then: str, handbook: Handbook) -> None:
    course = Course(handbook).closed(until=SATURDAY + 14 * HOUR)
    course.told(first)
    said = course.told(then, ONE + MINUTE)

    assert "Sat 12 June 14:00" in said or "samedi 12 juin 14 h" in said


def test_with_nothing_closed_it_is_the_hours(handbook: Handbook) -> None:
    assert "dawn" in Course(handbook).told("when do you open again")


@pytest.mark.parametrize(
    ("since", "until", "text", "facts"),
    [
        (ONE + 5 * HOUR, None, "is it open", ("open now", "closed from 18:00")),
        (ONE + 5 * HOUR, ONE + 7 * HOUR, "c'est ouvert?", ("ouvert maintenant", "de 18 h à 20 h")),
        (
            SATURDAY + 10 * HOUR,
            SATURDAY + 14 * HOUR,
            "is it open saturday",
            ("open as far as we know", "from 10:00 until 14:00"),
        ),
        (SATURDAY - 12 * HOUR, SATURDAY + 14 * HOUR, "is it open saturday", ("closed until 14:00", "open after that")),
        (SATURDAY - 12 * HOUR, SATURDAY + 14 * HOUR, "c'est ouvert samedi?", ("fermé jusqu'à 14 h", "ouvert ensuite")),
        (ONE + 2 * HOUR, ONE + 6 * HOUR, "is it open at 2 today", ("open as far as we know", "from 15:00 until 19:00")),
        (ONE + 2 * HOUR, ONE + 6 * HOUR, "is it open at 4", ("no, the course is closed until 19:00",)),
        (ONE - HOUR, ONE + 6 * HOUR, "is it open", ("No, the course is closed until 19:00",)),
        (SATURDAY - 12 * HOUR, None, "is it open saturday", ("no, the course is closed until further notice",)),
    ],
)
def test_a_closure_that_ends_or_begins_in_the_time_asked_about_says_both(
    since: datetime, until: datetime | None, text: str, facts: tuple[str, ...], handbook: Handbook
) -> None:
    said = Course(handbook).closed(since=since, until=until).told(text)

    assert all(fact in said for fact in facts), said


def test_a_reminder_says_it_first(handbook: Handbook) -> None:
    told = {}
    for name, course in (
        ("open", Course(handbook)),
        ("closed", Course(handbook).closed()),
        ("held", Course(handbook).held()),
    ):
        course.told("in for league tonight")
        due = course.club.pass_time(ONE, ONE + 4 * HOUR)
        (told[name],) = [one.text for one in due if one.recipient == KIM]

    assert told["open"].startswith("Today 18:15: Dusk League")
    assert told["closed"].startswith(CLOSED)
    assert told["held"].startswith(HELD)
    assert all("Today 18:15: Dusk League" in text for text in told.values())


@pytest.mark.parametrize("text", ["is league still on", "la ligue tient toujours?"])
def test_whether_an_event_under_way_is_still_on_is_about_that_one(text: str, handbook: Handbook) -> None:
    course = Course(handbook)
    course.club.text(PRIYA, "thunder", ONE + 5 * HOUR + 30 * MINUTE)
    said = course.told(text, ONE + 5 * HOUR + 40 * MINUTE)

    assert said.startswith(HELD)
    assert "18:15" in said or "18 h 15" in said
    assert "16" not in said


@pytest.mark.parametrize("text", both(ABOUT_THE_COURSE + ABOUT_LEAGUE))
def test_with_both_and_to_somebody_new_it_is_still_two_parts(text: str, handbook: Handbook) -> None:
    club = Rehearsal(handbook)
    club.text(PRIYA, "thunder", ONE - 10 * MINUTE)
    closure = Closure(what="course", since=ONE - HOUR, until=ONE + 6 * HOUR, reason=Said(en="ice", fr="glace"))
    club.close_part(closure)
    (heard,) = [one for one in club.text(KIM, text, ONE) if one.recipient == KIM]

    assert heard.text.startswith(HELD)
    assert heard.parts <= TWO_PARTS


def test_nobody_is_wished_a_good_round_in_thunder(handbook: Handbook) -> None:
    assert Course(handbook).held().told("thanks") == "You're welcome. Stay safe."
    assert "round" in Course(handbook).told("thanks")
