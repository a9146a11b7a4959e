"""Who asks for no more texts is never texted again, whatever the words; who takes himself off one event or list gets his texts as before."""

import pytest

from clubbot.handbook.book import Handbook
from clubbot.model.intents import intent_id
from clubbot.rehearsal import Rehearsal
from tests.builders import KIM
from tests.conftest import NOON
from tests.understanding.opting_out import Row, right, rows

SEEN = [row for row in rows() if not row.unseen]
# Of 119, as they came out in the end; at first sight those written after the rules had 24 of 36 and then 23 of 29. None may be taken for an
# opt-out that is none.
UNSEEN_OUT_LEAST = 115


@pytest.mark.parametrize("row", SEEN, ids=lambda row: row.text)
def test_an_opt_out_is_one_and_nothing_else_is(row: Row, handbook: Handbook) -> None:
    assert right(row, handbook)


def test_of_the_unseen_ones_nearly_all_are_read_and_none_wrongly(handbook: Handbook) -> None:
    unseen = [row for row in rows() if row.unseen]

    assert [row.text for row in unseen if not row.out and not right(row, handbook)] == []
    assert sum(right(row, handbook) for row in unseen if row.out) >= UNSEEN_OUT_LEAST


@pytest.mark.parametrize(
    "text",
    [
        "I said stop",
        "j'ai dit stop",
        "j'ai dit arrêt!",
        "je souhaite me désinscrire",
        "did you take me off?",
        "ok",
        "yes",
        "thanks",
        "oui",
        "is league on tonight",
        "in for league wednesday, 2 of us",
        "c'est quand la ligue",
        "you texted me again yesterday",
        "vous m'avez encore écrit",
        "never text me again",
        "STOPP",
    ],
)
def test_after_an_opt_out_nothing_opts_in_but_a_plain_word_for_it(text: str, handbook: Handbook) -> None:
    club = Rehearsal(handbook)
    club.text(KIM, "STOP", NOON)

    assert club.text(KIM, text, NOON) == []


@pytest.mark.parametrize(
    "text",
    [
        "START",
        "unstop",
        "please text me again",
        "I stopped by mistake, put me back on the texts",
        "changed my mind, I'd like the texts again",
        "remettez-moi sur vos textos",
        "j'ai fait stop sans faire exprès",
        "je voudrais recommencer à recevoir vos textos",
    ],
)
def test_a_plain_word_opts_in_again(text: str, handbook: Handbook) -> None:
    club = Rehearsal(handbook)
    club.text(KIM, "STOP", NOON)

    assert club.text(KIM, text, NOON) != []
    assert club.text(KIM, "how long is a round", NOON) != []


def test_signs_are_no_wish_for_no_more_texts(handbook: Handbook) -> None:
    assert "stop" not in {intent_id(one) for one in handbook.reader.read("; rm -rf / #", NOON, "en").intents}
