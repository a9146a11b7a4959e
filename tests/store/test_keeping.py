"""What is too old is let go: the words, never the figures, the ids or what waits."""

from collections.abc import Iterable
from datetime import date, datetime, timedelta

import pytest
from sqlalchemy import Engine, Table, insert, update

from clubbot.conversation.digest import summed_up
from clubbot.conversation.phrasing import Voice
from clubbot.handbook.book import Handbook
from clubbot.model.effects import (
    AnswerQuestion,
    Effect,
    HandOver,
    KeepReport,
    KeepRsvp,
    OptOut,
    PlanReminders,
    Record,
    Reply,
    SettleReminder,
    SettleReport,
    SignIn,
)
from clubbot.model.rsvps import DayId, Planned, Rsvp
from clubbot.store.apply import carry_out
from clubbot.store.digest import read_digest
from clubbot.store.inbox import put_down
from clubbot.store.keeping import Place, TooOld, find_old, let_go
from clubbot.store.outbox import mark_sent, put_out
from clubbot.store.store import read
from clubbot.store.tables import (
    attendance,
    broadcasts,
    consents,
    deeds,
    dialogues,
    drafts,
    duty_swaps,
    event_days,
    inbox,
    outbox,
    people,
    questions,
    relays,
    reminders,
    reports,
    rsvps,
    taught,
)
from tests.builders import KIM, OUR_NUMBER, a_text
from tests.conftest import NOON
from tests.store.builders import JONAS, LEE, SAM, a_pen, done, numbered, rows, to_go

DAY = timedelta(days=1)
LONG_AGO = NOON - 400 * DAY
BEFORE = NOON - 365 * DAY
LEAGUE = DayId("dusk-league", date(2026, 5, 6))
LONG_TEXT = "All that there is to know of it. " * 8  # two parts
ASKED = HandOver(reason="human", person="jonas", number=JONAS, note="Q: a question")


def swept(engine: Engine, before: datetime = BEFORE, most: int = 2) -> int:
    """A whole round, a few rows at a time; in how many transactions."""
    place, steps = Place(), 0
    while (found := step_from(engine, place, before, most)) is not None:
        assert len(found.rows) <= most
        with engine.begin() as connection:
            let_go(connection, found, before)
        place, steps = found.after, steps + 1
    return steps


def step_from(engine: Engine, place: Place, before: datetime = BEFORE, most: int = 2) -> TooOld | None:
    return read(engine, lambda connection: find_old(connection, place, before, most))


def texted(
    engine: Engine, id: str, *effects: Effect, at: datetime = LONG_AGO, sender: str = KIM, text: str = "hi"
) -> int:
    """A text that was answered; its replies have gone."""
    number = done(engine, *effects, id=id, at=at, sender=sender, text=text)
    with engine.begin() as connection:
        for row in rows(engine, outbox):
            mark_sent(connection, row["id"], at)
    return number


def but(found: Iterable[object], *names: str) -> list[dict[str, object]]:
    """Rows without these columns."""
    return [{key: value for key, value in dict(row).items() if key not in names} for row in found]  # type: ignore[call-overload]


def test_the_words_go_and_the_rest_of_the_rows_stays(engine: Engine) -> None:
    texted(engine, "old", Reply(text=LONG_TEXT))
    came, went = rows(engine, inbox), rows(engine, outbox)
    swept(engine)

    assert [row["text"] for row in (*rows(engine, inbox), *rows(engine, outbox))] == ["", ""]
    assert but(rows(engine, inbox), "text") == but(came, "text")
    assert but(rows(engine, outbox), "text", "parts") == but(went, "text", "parts")
    assert [row["parts"] for row in rows(engine, outbox)] == [2]


def test_what_is_younger_keeps_its_words(engine: Engine) -> None:
    texted(engine, "young", Reply(text="a reply"), at=BEFORE)
    before = rows(engine, inbox), rows(engine, outbox)
    swept(engine)

    assert (rows(engine, inbox), rows(engine, outbox)) == before


def test_an_open_question_and_all_that_waits_keep_their_words_however_old(engine: Engine) -> None:
    texted(engine, "asked", ASKED, text="who lends discs?")
    with engine.begin() as connection:
        put_down(connection, a_text("still to be answered", id="waits", at=LONG_AGO))
    to_go(engine, "still to go", at=LONG_AGO)
    to_go(engine, "held", at=LONG_AGO)
    with engine.begin() as connection:
        connection.execute(update(outbox).where(outbox.c.text == "held").values(state="held"))
    swept(engine)

    assert [row["text"] for row in rows(engine, inbox)] == ["who lends discs?", "still to be answered"]
    assert [row["text"] for row in rows(engine, outbox)][1:] == ["still to go", "held"]


def test_a_question_that_was_answered_long_ago_loses_its_words_and_stays(engine: Engine) -> None:
    texted(engine, "asked", ASKED, text="who lends discs?")
    texted(engine, "answer", AnswerQuestion(number=1, person="jonas", text="I do", words="I do"), sender=JONAS)
    before = rows(engine, questions)
    swept(engine)

    assert [row["text"] for row in rows(engine, inbox)] == ["", ""]
    assert rows(engine, questions)[0]["answer"] is None
    assert but(rows(engine, questions), "answer") == but(before, "answer")


def test_a_question_that_is_opened_again_between_the_look_and_the_writing_is_left(engine: Engine) -> None:
    texted(engine, "asked", ASKED, text="who lends discs?")
    with engine.begin() as connection:
        connection.execute(update(questions).values(answered_at=LONG_AGO))
    found = step_from(engine, Place())
    with engine.begin() as connection:
        connection.execute(update(questions).values(answered_at=None))
        assert found
        assert let_go(connection, found, BEFORE) == 0

    assert rows(engine, inbox)[0]["text"] == "who lends discs?"


def test_a_repeat_of_the_gateway_is_known_and_no_text_goes_twice(engine: Engine) -> None:
    texted(engine, "old", Reply(text="a reply"))
    (went,) = rows(engine, outbox)
    swept(engine)
    with engine.begin() as connection:
        taken = [
            put_down(connection, a_text(id="old", delivery="another")),
            put_down(connection, a_text(id="another", delivery="delivery of old")),
        ]
        put_out(
            connection,
            id="new",
            key=went["key"],
            recipient=KIM,
            sender=OUR_NUMBER,
            text="a reply",
            asks_consent=True,
            now=NOON,
        )

    assert taken == [False, False]
    assert len(rows(engine, outbox)) == 1


def test_figures_proof_and_record_come_out_as_before(engine: Engine, handbook: Handbook) -> None:
    with engine.begin() as connection:
        coming = KeepRsvp(on=LEAGUE, rsvp=Rsvp(number=KIM, state="coming", people=2), seen=0)
        carry_out(connection, [coming], a_pen(numbered("rsvp")), LONG_AGO)
    texted(engine, "one", Reply(text=LONG_TEXT), SignIn(on=LEAGUE, people=2), Record(person="odile", what="closed"))
    texted(engine, "two", Reply(text="short"), OptOut(words="stop"), sender=LEE)
    texted(engine, "young", Reply(text="short"), ASKED, at=NOON, sender=SAM)
    voice = Voice(handbook.knowledge, "en")

    def figures() -> tuple[object, ...]:
        season = read(engine, lambda connection: read_digest(connection, LONG_AGO - DAY, NOON + DAY))
        kept: tuple[Table, ...] = (consents, deeds, people, rsvps, attendance, event_days)
        return (summed_up(season, voice), *(rows(engine, table) for table in kept))

    before = figures()
    swept(engine)

    assert figures() == before
    assert [row["text"] for row in rows(engine, inbox)] == ["", "", "hi"]


def test_what_mattered_only_for_a_while_is_swept_and_old_reports_lose_their_words(engine: Engine) -> None:
    planned = PlanReminders(
        on=LEAGUE,
        number=KIM,
        kinds=("evening", "hours"),
        planned=(Planned(kind="evening", due=LONG_AGO), Planned(kind="hours", due=LONG_AGO)),
    )
    board = KeepReport(number=1, kind="hazard", hole=3, words="a loose board")
    texted(engine, "old", planned, board, SettleReport(number=1, person="jonas", text=None))
    with engine.begin() as connection:
        carry_out(connection, [SettleReminder(id=1, reason="too late")], a_pen(), LONG_AGO)
        for values in (
            insert(dialogues).values(number=KIM, state="{}", at=LONG_AGO),
            insert(dialogues).values(number=LEE, state="{}", at=NOON),
            insert(drafts).values(number=JONAS, code="12345678", deed="{}", until=LONG_AGO),
            insert(relays).values(owner=KIM, finder=LEE, until=LONG_AGO),
            insert(duty_swaps).values(day=LONG_AGO.date(), instead_of="jonas", taker="femi"),
            insert(taught).values(asked="who?", language="en", answer="me", by="jonas", at=LONG_AGO),
            insert(taught).values(
                asked="when?", language="en", answer="now", by="jonas", at=LONG_AGO, forgotten_at=LONG_AGO
            ),
            insert(broadcasts).values(
                person="odile",
                number=JONAS,
                audience="everyone",
                words_en="we meet",
                words_fr="on se voit",
                begun_at=LONG_AGO,
                people=1,
                left_out=0,
                state="ended",
            ),
        ):
            connection.execute(values)
    swept(engine)

    assert [row["kind"] for row in rows(engine, reminders)] == ["hours"]  # it still waits
    assert [(row["words"], row["hole"]) for row in rows(engine, reports)] == [("", 3)]
    assert [row["number"] for row in rows(engine, dialogues)] == [LEE]
    assert [rows(engine, table) for table in (drafts, relays, duty_swaps)] == [[], [], []]
    assert [(row["asked"], row["answer"]) for row in rows(engine, taught)] == [("who?", "me"), ("", None)]
    assert [(row["words_en"], row["people"]) for row in rows(engine, broadcasts)] == [("", 1)]


@pytest.mark.parametrize("most", [1, 3, 100])
def test_a_round_goes_in_small_steps_and_a_second_one_finds_nothing(engine: Engine, most: int) -> None:
    for number in range(7):
        texted(engine, f"text {number}", Reply(text="a reply"))

    assert swept(engine, most=most) == 2 * -(-7 // most)
    assert swept(engine, most=most) == 0


def test_damage_that_nobody_has_mended_keeps_its_words(engine: Engine) -> None:
    texted(engine, "old", KeepReport(number=1, kind="hazard", hole=3, words="a loose board"))
    swept(engine)

    assert [row["words"] for row in rows(engine, reports)] == ["a loose board"]
