"""What goes out: written down once, claimed when due, in order for each recipient, with consent asked again."""

from datetime import datetime, timedelta

import pytest
from sqlalchemy import Engine

from clubbot.model.effects import OptIn, OptOut, Reply
from clubbot.store.outbox import claim_due, mark_again, mark_ended, mark_sent, put_out, release_claims
from clubbot.store.tables import outbox
from tests.builders import KIM, OUR_NUMBER
from tests.conftest import NOON
from tests.store.builders import LEE, SAM, done, rows, state_of, the_row, to_go

CLAIM = timedelta(minutes=2)
SECOND = timedelta(seconds=1)


def claimed(engine: Engine, now: datetime = NOON, most: int = 100) -> list[str]:
    with engine.begin() as connection:
        return [one.text for one in claim_due(connection, now, now + CLAIM, most)]


def sent(engine: Engine, *ids: str) -> None:
    with engine.begin() as connection:
        for one in ids:
            mark_sent(connection, one, NOON)


def not_taken(engine: Engine, id: str, again: datetime, *, counts: bool = True) -> None:
    with engine.begin() as connection:
        mark_again(connection, id, again, "the gateway answered 500", counts=counts)


def test_the_same_key_twice_is_one_text(engine: Engine) -> None:
    with engine.begin() as connection:
        for new_id, text in (("msg_1", "open"), ("msg_2", "open, again")):
            put_out(
                connection,
                id=new_id,
                key="reply:1:0",
                recipient=KIM,
                sender=OUR_NUMBER,
                text=text,
                asks_consent=True,
                now=NOON,
            )

    assert (the_row(engine, outbox)["id"], the_row(engine, outbox)["text"]) == ("msg_1", "open")


def test_what_is_claimed_says_all_that_the_gateway_must_know(engine: Engine) -> None:
    to_go(engine, "a" * 161, to=KIM, id="msg_1")
    with engine.begin() as connection:
        (text,) = claim_due(connection, NOON, NOON + CLAIM, 1)

    assert (text.id, text.recipient, text.sender, text.text) == ("msg_1", KIM, OUR_NUMBER, "a" * 161)
    assert tuple(map(len, text.parts)) == (153, 8)  # 3GPP TS 23.040, 9.2.3.24.1: 153 letters a joined part. READ
    assert (text.attempts, text.created_at) == (0, NOON)


def test_nothing_goes_before_it_is_due(engine: Engine) -> None:
    to_go(engine, "later", at=NOON + SECOND)

    assert claimed(engine, NOON) == []
    assert claimed(engine, NOON + SECOND) == ["later"]


def test_only_so_many_are_claimed_and_the_longest_due_first(engine: Engine) -> None:
    for text, to, after in (("third", KIM, 2), ("first", LEE, 0), ("second", SAM, 1)):
        to_go(engine, text, to=to, at=NOON + after * SECOND)

    assert claimed(engine, NOON + CLAIM, most=2) == ["first", "second"]
    assert claimed(engine, NOON + CLAIM, most=2) == ["third"]


# Order


def test_a_text_waits_for_every_earlier_one_to_the_same_recipient(engine: Engine) -> None:
    to_go(engine, "kim 1", to=KIM)
    to_go(engine, "kim 2", to=KIM)
    to_go(engine, "lee 1", to=LEE)

    assert claimed(engine) == ["kim 1", "lee 1"]
    assert claimed(engine) == []
    sent(engine, "msg of kim 1")
    assert claimed(engine) == ["kim 2"]


def test_it_waits_also_while_the_earlier_one_is_tried_again(engine: Engine) -> None:
    to_go(engine, "kim 1")
    to_go(engine, "kim 2")
    claimed(engine)
    not_taken(engine, "msg of kim 1", NOON + 60 * SECOND)

    assert claimed(engine, NOON + 59 * SECOND) == []
    assert claimed(engine, NOON + 60 * SECOND) == ["kim 1"]


@pytest.mark.parametrize("state", ["given up", "dropped"])
def test_once_the_earlier_one_is_ended_the_next_goes(engine: Engine, state: str) -> None:
    to_go(engine, "kim 1")
    to_go(engine, "kim 2")
    with engine.begin() as connection:
        mark_ended(connection, "msg of kim 1", state, "a reason")

    assert claimed(engine) == ["kim 2"]
    assert (state, "a reason") == (rows(engine, outbox)[0]["state"], rows(engine, outbox)[0]["reason"])


# Claims


def test_what_is_claimed_is_claimed_once(engine: Engine) -> None:
    to_go(engine, "one")

    assert claimed(engine) == ["one"]
    assert claimed(engine) == []


def test_a_claim_of_a_killed_process_is_free_after_its_time(engine: Engine) -> None:
    to_go(engine, "one")
    claimed(engine, NOON)

    assert claimed(engine, NOON + CLAIM - SECOND) == []
    assert claimed(engine, NOON + CLAIM) == ["one"]


def test_a_claim_of_a_killed_process_is_free_at_a_start(engine: Engine) -> None:
    to_go(engine, "one")
    claimed(engine, NOON)
    with engine.begin() as connection:
        release_claims(connection)

    assert claimed(engine, NOON) == ["one"]


def test_a_start_wakes_nothing_that_is_done_or_not_yet_due(engine: Engine) -> None:
    to_go(engine, "sent", to=KIM)
    to_go(engine, "to be tried again", to=LEE)
    sent(engine, "msg of sent")
    not_taken(engine, "msg of to be tried again", NOON + SECOND)
    with engine.begin() as connection:
        release_claims(connection)

    assert claimed(engine, NOON) == []


# What becomes of it


def test_sent_is_noted_with_when_and_the_claim_is_gone(engine: Engine) -> None:
    to_go(engine, "one", id="msg_1")
    claimed(engine)
    sent(engine, "msg_1")
    row = the_row(engine, outbox)

    assert (
        row["state"],
        row["sent_at"],
        row["attempts"],
        row["claimed_until"],
        row["reason"],
    ) == ("sent", NOON, 1, None, None)
    assert claimed(engine, NOON + CLAIM) == []


@pytest.mark.parametrize(("counts", "attempts"), [(True, 1), (False, 0)])
def test_a_text_to_be_tried_again_keeps_its_id_and_the_reason(engine: Engine, counts: bool, attempts: int) -> None:
    to_go(engine, "one", id="msg_1")
    claimed(engine)
    not_taken(engine, "msg_1", NOON + SECOND, counts=counts)
    row = the_row(engine, outbox)

    assert ("msg_1", "waiting", "the gateway answered 500", attempts) == (
        row["id"],
        row["state"],
        row["reason"],
        row["attempts"],
    )
    assert claimed(engine, NOON + SECOND) == ["one"]


def test_what_was_sent_is_not_sent_again_by_a_late_refusal(engine: Engine) -> None:
    to_go(engine, "one", id="msg_1")
    sent(engine, "msg_1")
    not_taken(engine, "msg_1", NOON)

    assert state_of(engine, "one") == "sent"
    assert claimed(engine) == []


# Consent


def test_who_opted_out_between_reply_and_sending_gets_nothing_and_the_reason_is_kept(engine: Engine) -> None:
    done(engine, Reply(text="the reply"), id="text-1")
    done(engine, OptOut(words="stop"), id="text-2")

    assert claimed(engine) == []
    assert (the_row(engine, outbox)["state"], the_row(engine, outbox)["reason"]) == ("dropped", "opted out")


def test_the_confirmation_of_the_opt_out_itself_goes(engine: Engine) -> None:
    done(engine, Reply(text="the reply"), id="text-1")
    done(engine, Reply(text="no more texts", asks_consent=False), OptOut(words="stop"), id="text-2")

    assert claimed(engine) == ["no more texts"]
    sent(engine, "text-2_1")
    assert claimed(engine) == []
    assert state_of(engine, "the reply") == "dropped"


def test_who_came_back_is_sent_to_again(engine: Engine) -> None:
    done(engine, OptOut(words="stop"), id="text-1")
    done(engine, OptIn(words="start"), Reply(text="welcome back"), id="text-2")

    assert claimed(engine) == ["welcome back"]


def test_one_persons_opt_out_is_nobody_elses(engine: Engine) -> None:
    done(engine, OptOut(words="stop"), sender=KIM)
    to_go(engine, "to lee", to=LEE)
    to_go(engine, "to sam, who never wrote", to=SAM)

    assert claimed(engine) == ["to lee", "to sam, who never wrote"]
