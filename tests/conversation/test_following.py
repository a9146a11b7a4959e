"""Short texts after what was last served: which they lean on, and what they then want."""

from datetime import date, datetime

import pytest

from clubbot.conversation.following import AT_AN_EVENT, Followed, as_intent, at_first, followed, spoken_of
from clubbot.handbook.book import Handbook
from clubbot.model.exchange import Spoken
from clubbot.model.intents import (
    AskDaylight,
    AskEvents,
    AskMyRsvps,
    AskPlaces,
    AskReminder,
    AskStatus,
    AskTopic,
    Intent,
    Party,
    Report,
    Rsvp,
    When,
)
from clubbot.understanding.leaning import Leaning
from tests.conftest import HALIFAX, NOON

THURSDAY, SATURDAY, SUNDAY = date(2027, 6, 10), date(2027, 6, 12), date(2027, 6, 13)
WEDNESDAY, NEXT_WEDNESDAY = date(2027, 6, 9), date(2027, 6, 16)
TOMORROW = date(2027, 6, 8)


def on(day: date, hour: int | None = None) -> When:
    at = datetime(day.year, day.month, day.day, hour, tzinfo=HALIFAX) if hour is not None else None
    return When(day, day, at)


OPEN = Spoken(intent="status", place="course")
OPEN_SATURDAY = Spoken(intent="status", place="marsh", when=on(SATURDAY))
WHATS_ON = Spoken(intent="events", when=on(SATURDAY))
NEXT_LEAGUE = Spoken(intent="events", event="dusk-league")
DARK = Spoken(intent="daylight")
ROUND_FITS = Spoken(intent="daylight", holes=18, people=2, when=on(TOMORROW, 18))
ROOM = Spoken(intent="places", event="dusk-league")
MINE = Spoken(intent="my-rsvps")
REMINDED = Spoken(intent="remind", event="dusk-league")
IN = Spoken(intent="rsvp-yes", event="dusk-league", when=on(WEDNESDAY), people=2)
OUT = Spoken(intent="rsvp-no", event="dusk-league", when=on(WEDNESDAY))
TREE = Spoken(intent="hazard", place="7")
LEAGUE = Spoken(intent="league", event="dusk-league")
CLINIC = Spoken(intent="clinic", event="starter-clinic")
FAMILY = Spoken(intent="family-day", event="family-sunday")
OPEN_ENTRIES = Spoken(intent="tournament", event="fog-horn-open")
WOMEN = Spoken(intent="women", event="women-girls")
WORK = Spoken(intent="volunteer", event="work-morning")


def topic(name: str) -> Spoken:
    return Spoken(intent=name)


LEANING: list[tuple[Spoken, str, Intent]] = [
    # The same intent with a new day, hour, event or part of the course.
    (OPEN, "what about sunday", AskStatus("course", on(SUNDAY))),
    (OPEN, "and saturday?", AskStatus("course", on(SATURDAY))),
    (OPEN, "et dimanche?", AskStatus("course", on(SUNDAY))),
    (OPEN, "pis demain", AskStatus("course", on(TOMORROW))),
    (OPEN, "tomorrow?", AskStatus("course", on(TOMORROW))),
    (OPEN, "ok thanks, and thursday?", AskStatus("course", on(THURSDAY))),
    (OPEN, "hole 8?", AskStatus("8")),
    (OPEN, "and the marsh loop", AskStatus("marsh")),
    (OPEN, "pis la boucle du marais", AskStatus("marsh")),
    (OPEN, "le trou 8?", AskStatus("8")),
    (Spoken(intent="status", place="5"), "and 7?", AskStatus("7")),
    (TREE, "and 9", Report("hazard", 9)),
    (OPEN, "and the league?", AskEvents("dusk-league")),
    (OPEN_SATURDAY, "and sunday", AskStatus("marsh", on(SUNDAY))),
    (OPEN_SATURDAY, "and hole 3", AskStatus("3", on(SATURDAY))),
    (OPEN_SATURDAY, "at 3pm?", AskStatus("marsh", on(SATURDAY, 15))),
    (OPEN_SATURDAY, "the whole course?", AskStatus("course", on(SATURDAY))),
    (WHATS_ON, "how about sunday", AskEvents(None, on(SUNDAY))),
    (WHATS_ON, "and the clinic?", AskEvents("starter-clinic", on(SATURDAY))),
    (NEXT_LEAGUE, "and the clinic?", AskEvents("starter-clinic")),
    (NEXT_LEAGUE, "next wednesday?", AskEvents("dusk-league", on(NEXT_WEDNESDAY))),
    (NEXT_LEAGUE, "what about saturday", AskEvents(None, on(SATURDAY))),
    (NEXT_LEAGUE, "pis la clinique?", AskEvents("starter-clinic")),
    (DARK, "and tomorrow?", AskDaylight(when=on(TOMORROW))),
    (DARK, "what about on saturday", AskDaylight(when=on(SATURDAY))),
    (ROUND_FITS, "and 6 holes?", AskDaylight(6, 2, on(TOMORROW, 18))),
    (ROUND_FITS, "at 5pm?", AskDaylight(18, 2, on(TOMORROW, 17))),
    (ROOM, "and next wednesday?", AskPlaces("dusk-league", on(NEXT_WEDNESDAY))),
    (ROOM, "and the clinic?", AskPlaces("starter-clinic")),
    (MINE, "and saturday?", AskMyRsvps(None, on(SATURDAY))),
    (REMINDED, "and the clinic too", AskReminder("starter-clinic")),
    (IN, "and thursday", Rsvp("rsvp-yes", None, on(THURSDAY), Party(total=2))),
    (IN, "and the clinic too please", Rsvp("rsvp-yes", "starter-clinic", None, Party(total=2))),
    (IN, "et jeudi aussi", Rsvp("rsvp-yes", None, on(THURSDAY), Party(total=2))),
    (IN, "what about saturday?", AskEvents(None, on(SATURDAY))),
    (OUT, "and the clinic", Rsvp("rsvp-no", "starter-clinic")),
    (TREE, "and hole 8", Report("hazard", 8)),
    # A side of the event that was spoken of.
    (LEAGUE, "how much?", AskTopic("league", "cost")),
    (LEAGUE, "how much is it", AskTopic("league", "cost")),
    (LEAGUE, "is it free", AskTopic("league", "cost")),
    (LEAGUE, "c'est combien", AskTopic("league", "cost")),
    (LEAGUE, "ok cool. how much does it cost", AskTopic("league", "cost")),
    (NEXT_LEAGUE, "how much?", AskTopic("league", "cost")),
    (IN, "how much is it?", AskTopic("league", "cost")),
    (ROOM, "ça coûte combien?", AskTopic("league", "cost")),
    (CLINIC, "where is that", AskTopic("clinic", "where")),
    (CLINIC, "c'est où", AskTopic("clinic", "where")),
    (CLINIC, "where do we meet", AskTopic("clinic", "where")),
    (FAMILY, "what time", AskEvents("family-sunday")),
    (FAMILY, "à quelle heure", AskEvents("family-sunday")),
    (FAMILY, "when is the next one?", AskEvents("family-sunday")),
    (OPEN_ENTRIES, "how long does it last", AskTopic("tournament", "long")),
    (OPEN_ENTRIES, "do i need to sign up", AskTopic("tournament")),
    (LEAGUE, "faut-il s'inscrire", AskTopic("league")),
    (LEAGUE, "for beginners?", AskTopic("league")),
    (LEAGUE, "is it on if it rains", AskTopic("weather-policy")),
    (LEAGUE, "and if it rains", AskTopic("weather-policy")),
    (LEAGUE, "pis s'il pleut?", AskTopic("weather-policy")),
    (WORK, "can i bring my dog", AskTopic("dogs")),
    (WORK, "can i bring my kids", AskTopic("volunteer")),
    (WOMEN, "c'est gratuit?", AskTopic("women", "cost")),
    (LEAGUE, "and the clinic?", AskTopic("clinic")),
    # A side of the topic, or its general answer.
    (topic("cost"), "and for kids?", AskTopic("cost")),
    (topic("cost"), "pis pour les enfants?", AskTopic("cost")),
    (topic("membership"), "and for kids", AskTopic("membership")),
    (topic("cost"), "and for seniors?", AskTopic("membership")),
    (topic("cost"), "and for the league?", AskTopic("league", "cost")),
    (topic("where"), "and the clinic?", AskTopic("clinic", "where")),
    (topic("borrow"), "how much", AskTopic("borrow")),
    (topic("buy"), "how much are they", AskTopic("buy")),
    (topic("borrow"), "what about sunday", AskTopic("borrow")),
    (topic("borrow"), "which one is best", AskTopic("which-disc")),
    (topic("layout"), "which one is easiest", AskTopic("layout")),
    (topic("layout"), "how much is it", AskTopic("cost")),
    (topic("start"), "is there parking", AskTopic("parking")),
    (topic("hours"), "and in winter", AskTopic("winter")),
    (topic("parking"), "et en hiver?", AskTopic("parking")),
    (topic("hours"), "what about sunday", AskStatus("course", on(SUNDAY))),
    (topic("dogs"), "and at the league?", AskTopic("dogs", AT_AN_EVENT)),
    (topic("holes"), "how long", AskTopic("duration")),
    (topic("membership"), "how", AskTopic("membership")),
    (OPEN, "why?", AskStatus("course")),
    (OPEN, "until when", AskTopic("hours")),
    (DARK, "where is it", AskTopic("where")),
]  # fmt: skip


@pytest.mark.parametrize(("before", "text", "wanted"), LEANING, ids=lambda one: one if isinstance(one, str) else "")
def test_a_short_text_is_read_in_the_light_of_what_was_served(
    before: Spoken, text: str, wanted: Intent, handbook: Handbook
) -> None:
    found = after(before, text, handbook)

    assert wanted == (without_words(found.intent) if found is not None else None)


def after(before: Spoken, text: str, handbook: Handbook) -> Followed | None:
    lean = handbook.reader.read(text, NOON, "en").lean
    assert lean is not None, "it is not taken for a text that leans"
    return followed(lean, (before,), handbook.knowledge, NOON)


def without_words(intent: Intent) -> Intent:
    """How a day was said does not matter here."""
    spoken = getattr(intent, "when", None)
    if not isinstance(spoken, When):
        return intent
    plain = When(spoken.first, spoken.last, spoken.at)
    fields = {name: getattr(intent, name) for name in type(intent).__dataclass_fields__}
    return type(intent)(**{**fields, "when": plain})


@pytest.mark.parametrize(
    ("before", "text"),
    [
        (topic("dogs"), "why"),
        (topic("dogs"), "which one is best"),
        (topic("etiquette"), "what time"),
        (topic("dogs"), "what about sunday"),
        (LEAGUE, "which one is best"),
        (OPEN, "and 7"),
        (IN, "and 2"),
        (IN, "hole 8?"),
        (MINE, "hole 8?"),
    ],
)
def test_where_what_was_said_does_not_tell_nothing_is_guessed(before: Spoken, text: str, handbook: Handbook) -> None:
    assert after(before, text, handbook) is None


def test_of_two_things_served_the_one_worked_out_just_now_is_asked_again_for_another_day(handbook: Handbook) -> None:
    lean = handbook.reader.read("and sunday?", NOON, "en").lean
    assert lean is not None
    found = followed(lean, (OPEN, topic("cost")), handbook.knowledge, NOON)

    assert found is not None
    assert AskStatus("course", on(SUNDAY)) == without_words(found.intent)


def test_what_children_may_do_is_said_beside_what_was_asked_before(handbook: Handbook) -> None:
    assert Followed(AskTopic("cost"), AskTopic("children")) == after(topic("cost"), "and for kids?", handbook)
    assert Followed(AskTopic("clinic"), AskTopic("children")) == after(CLINIC, "for kids?", handbook)


def test_an_event_goes_on_being_spoken_of_after_a_question_that_is_the_same_at_all_events(handbook: Handbook) -> None:
    found = after(LEAGUE, "and if it rains?", handbook)

    assert found is not None
    assert "dusk-league" == found.event


def test_with_nothing_before_them_what_it_costs_and_where_it_is_are_meant_in_general() -> None:
    assert AskTopic("cost") == at_first(Leaning(side="cost"))
    assert AskTopic("where") == at_first(Leaning(side="where"))
    assert at_first(Leaning(side="why")) is None
    assert at_first(Leaning(event="dusk-league")) is None


@pytest.mark.parametrize("before", [OPEN, WHATS_ON, NEXT_LEAGUE, ROUND_FITS, ROOM, MINE, REMINDED, IN, TREE, LEAGUE])
def test_what_is_kept_of_an_intent_makes_the_intent_again(before: Spoken, handbook: Handbook) -> None:
    again = spoken_of(as_intent(before), None, handbook.knowledge, NOON)

    assert again is not None
    assert (before.intent, before.when, before.place) == (again.intent, again.when, again.place)


def test_what_is_on_that_day_is_what_was_spoken_of_where_it_is_one_event(handbook: Handbook) -> None:
    one = spoken_of(AskEvents(None, on(SATURDAY)), None, handbook.knowledge, NOON)

    assert one is not None
    assert "starter-clinic" == one.event
