"""What is remembered of a conversation comes back as it was, counts for its stated times, and is nobody else's."""

from dataclasses import replace
from datetime import timedelta

import pytest
from sqlalchemy import Connection, Engine

from clubbot.model.choices import Choice, any_of
from clubbot.model.dialogue import MOST_EXCHANGES, OPEN_FOR, WORDS_KEPT, DialogueEffect, DialogueState, set_back
from clubbot.model.digest import Doubt
from clubbot.model.effects import CloseChoice, KeepExchange, NoteDoubt, OpenChoice, OptOut, SpeakOf
from clubbot.model.exchange import LEANS_FOR, Exchange, Spoken
from clubbot.model.intents import When
from clubbot.model.rsvps import DayId, Rsvp, Talk
from clubbot.store.dialogues import any_too_old, read_dialogue, sweep_words, write_dialogue
from clubbot.store.doubts import note_doubt, read_doubts
from clubbot.store.tables import dialogues, doubts
from tests.builders import KIM
from tests.conftest import NOON
from tests.store.builders import LEE, rows

MINUTE = timedelta(minutes=1)
SUNDAY = When(NOON.date(), NOON.date(), at=NOON, dated=True, weekday=True)
OPEN = Spoken(intent="status", place="marsh", when=SUNDAY)
SAID = KeepExchange(text="is the marsh open", language="en", intents=(OPEN,), others=("hours", "busy"))
LEAGUE = DayId("dusk-league", NOON.date())
BEFORE = Rsvp(number=KIM, state="coming", people=2)
SPOKEN = SpeakOf(on=LEAGUE, intent="rsvp-change", awaits="number", people=3, before=BEFORE)
ASKED = OpenChoice(choices=any_of(("borrow", "buy")), about="discs?", language="en", until=NOON + OPEN_FOR)


def kept(engine: Engine, *effects: DialogueEffect, number: str = KIM, at: timedelta = timedelta()) -> None:
    with engine.begin() as connection:
        write_dialogue(connection, number, effects, NOON + at)


def remembered(engine: Engine, number: str = KIM) -> DialogueState:
    with engine.connect() as connection:
        return read_dialogue(connection, number)


def test_of_a_stranger_nothing_is_remembered(engine: Engine) -> None:
    kept(engine, SAID, SPOKEN, ASKED, number=LEE)

    assert remembered(engine) == DialogueState()


def test_all_of_it_comes_back_as_it_was(engine: Engine) -> None:
    kept(engine, SAID, SPOKEN, ASKED)

    assert remembered(engine) == DialogueState(
        exchanges=(
            Exchange(text="is the marsh open", language="en", intents=(OPEN,), others=("hours", "busy"), at=NOON),
        ),
        asked=OpenChoice(choices=any_of(("borrow", "buy")), about="discs?", language="en", until=NOON + OPEN_FOR),
        talk=Talk(on=LEAGUE, intent="rsvp-change", at=NOON, awaits="number", people=3, before=BEFORE),
    )


def test_choices_of_an_event_day_and_of_a_list_come_back_as_they_were(engine: Engine) -> None:
    choices = (Choice("rsvp-yes", LEAGUE), Choice("notify-on", list_id="course-news"), Choice("borrow"))
    kept(engine, replace(ASKED, choices=choices))

    assert remembered(engine).asked == replace(ASKED, choices=choices)


def test_the_last_few_exchanges_are_remembered_the_latest_first(engine: Engine) -> None:
    for number in range(MOST_EXCHANGES + 2):
        kept(engine, KeepExchange(text=f"text {number}", language="en"), at=number * MINUTE)

    assert [one.text for one in remembered(engine).exchanges] == ["text 4", "text 3", "text 2"]
    assert len(rows(engine, dialogues)) == 1


def test_a_settled_question_is_open_no_more_and_the_rest_stays(engine: Engine) -> None:
    kept(engine, SAID, ASKED)
    kept(engine, CloseChoice())

    assert (remembered(engine).asked, len(remembered(engine).exchanges)) == (None, 1)


def test_nothing_leans_on_what_was_said_before_an_opt_out(engine: Engine) -> None:
    kept(engine, SAID, SPOKEN)
    kept(engine, OptOut(words="stop"))

    assert (remembered(engine).exchanges, remembered(engine).talk is None) == ((), False)


def test_after_the_stated_time_words_are_leant_on_no_more_and_swept(engine: Engine) -> None:
    kept(engine, SAID, SPOKEN)
    kept(engine, SAID, number=LEE, at=20 * MINUTE)

    assert remembered(engine).lately(NOON + LEANS_FOR - timedelta(seconds=1)).exchange is not None
    assert remembered(engine).lately(NOON + LEANS_FOR).exchange is None
    with engine.begin() as connection:
        assert not any_too_old(connection, NOON + LEANS_FOR)
        assert any_too_old(connection, NOON + WORDS_KEPT)
        sweep_words(connection, NOON + LEANS_FOR)
    assert "marsh" not in next(row["state"] for row in rows(engine, dialogues) if row["number"] == KIM)
    assert remembered(engine).talk is not None
    assert remembered(engine, LEE).exchange is not None


@pytest.mark.parametrize(
    ("by", "until"), [(timedelta(days=1), NOON - timedelta(days=1) + OPEN_FOR), (None, NOON - timedelta(days=1))]
)
def test_a_clock_set_back_leaves_a_question_open_as_long_as_it_was(by: timedelta | None, until: object) -> None:
    asked = OpenChoice(choices=any_of(("borrow", "buy")), about="discs?", language="en", until=NOON + OPEN_FOR)
    ahead = DialogueState(asked=asked, talk=Talk(on=LEAGUE, intent="rsvp-yes", at=NOON))
    back = set_back(ahead, NOON - timedelta(days=1), by)

    assert back.asked is not None
    assert back.talk is not None
    assert (back.asked.until, back.talk.at) == (until, NOON - timedelta(days=1))


def test_doubts_are_read_for_their_time_and_forgotten_after_two_weeks(engine: Engine) -> None:
    def note(connection: Connection, text: str, at: timedelta) -> None:
        note_doubt(connection, NoteDoubt(text=text, read_as="buy", meant=None), NOON - at)

    with engine.begin() as connection:
        note(connection, "old", timedelta(days=15))
        note(connection, "last week", timedelta(days=8))
        note(connection, "now", timedelta())
        found = read_doubts(connection, NOON - timedelta(days=7), NOON)

    assert found == (Doubt("now", "buy", None),)
    assert [row["text"] for row in rows(engine, doubts)] == ["last week", "now"]
    assert "number" not in doubts.c
