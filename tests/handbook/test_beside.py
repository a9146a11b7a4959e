"""Texts are read in a process beside: what never ends is ended there, and the next text finds a new reader."""

import os
import signal
import time
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import pytest

from clubbot.conversation.overlaid import as_changed
from clubbot.handbook.beside import HandbookBeside, ReadingFailed
from clubbot.handbook.book import Handbook
from clubbot.handbook.reading import MOST_SECONDS
from clubbot.model.club import Overlay, Swap
from clubbot.model.deeds import Draft
from clubbot.model.errors import KnowledgeFault, NotRead, ReadingDown
from clubbot.model.known import Known, Sender
from clubbot.model.orders import Audience
from tests.builders import KIM, a_text
from tests.conftest import NOON, ROOT
from tests.handbook.hostile_reader import HOSTILE
from tests.store.builders import PRIYA

KNOWN = Known(sender=Sender(number=KIM))
NOTHING_CHANGED = Overlay()


@pytest.fixture(scope="module")
def beside(handbook: Handbook) -> Iterator[HandbookBeside]:
    """A reader that does what the first word of a text says."""
    with closing(HandbookBeside(ROOT / "knowledge", command=HOSTILE)) as beside:
        yield beside


def answers(beside: HandbookBeside) -> bool:
    turned = beside.decide(a_text("can i bring my dog"), KNOWN, NOTHING_CHANGED, NOON)
    return "lead" in (turned.reply or "")


def children(pid: int) -> list[int]:
    return [int(one) for one in Path(f"/proc/{pid}/task/{pid}/children").read_text().split()]


def reader_of(beside: HandbookBeside) -> int:
    assert beside.pid is not None
    (reader,) = children(beside.pid)
    return reader


def test_what_is_decided_beside_is_what_would_be_decided_here(beside: HandbookBeside, handbook: Handbook) -> None:
    for text in ("is it open", "in for wed, me + 2", "stop", "someone got hit in the head", "STOP texting me. thx"):
        theirs = beside.decide(a_text(text), KNOWN, NOTHING_CHANGED, NOON)
        ours = handbook.decide(a_text(text), KNOWN, NOTHING_CHANGED, NOON)
        assert theirs == ours.without_reading()


def test_whom_an_order_asks_to_tell_is_read_beside_too(beside: HandbookBeside) -> None:
    said = beside.audience(a_text("tell everyone: hill loop is dry again", sender=PRIYA), None, NOTHING_CHANGED)
    assert said == (Audience("everyone"), None)


@pytest.mark.parametrize("word", ["endless", "dies", "stops"])
def test_a_text_that_is_never_finished_is_given_up_and_the_next_is_read(beside: HandbookBeside, word: str) -> None:
    began = time.monotonic()
    with pytest.raises(NotRead):
        beside.decide(a_text(f"{word} and nothing helps"), KNOWN, NOTHING_CHANGED, NOON)
    took = time.monotonic() - began

    assert took < 4 * MOST_SECONDS  # with room for a busy machine
    assert answers(beside)


def test_an_order_that_is_never_finished_is_given_up_too(beside: HandbookBeside) -> None:
    draft: Draft | None = None
    with pytest.raises(NotRead):
        beside.audience(a_text("endless", sender=PRIYA), draft, NOTHING_CHANGED)
    assert answers(beside)


def test_the_way_out_is_found_by_itself_and_its_search_is_bounded_too(beside: HandbookBeside) -> None:
    found = [beside.opts_out(text) for text in ("STOP", "please stop texting me", "arrêtez de m'écrire", "is it open")]
    assert [one is not None for one in found] == [True, True, True, False]
    with pytest.raises(NotRead):
        beside.opts_out("endless stop texting me")
    assert answers(beside)


def test_a_fault_is_told_with_its_trace_and_costs_no_reader(beside: HandbookBeside) -> None:
    reader = reader_of(beside)
    with pytest.raises(ReadingFailed, match="no words at all"):
        beside.decide(a_text("fails"), KNOWN, NOTHING_CHANGED, NOON)
    assert reader_of(beside) == reader


def test_a_reader_that_is_killed_between_two_texts_costs_none(beside: HandbookBeside) -> None:
    reader = reader_of(beside)
    os.kill(reader, signal.SIGKILL)
    assert answers(beside)


def test_a_keeper_that_is_killed_with_its_reader_is_replaced_at_the_next_text(handbook: Handbook) -> None:
    with closing(HandbookBeside(ROOT / "knowledge", command=HOSTILE)) as own:
        assert answers(own)
        assert own.pid is not None
        for pid in (own.pid, reader_of(own)):
            os.kill(pid, signal.SIGKILL)
        with pytest.raises(ReadingDown):
            answers(own)
        assert answers(own)


def test_files_that_cannot_be_used_are_told_as_findings(tmp_path: Path) -> None:
    with pytest.raises(KnowledgeFault) as fault:
        HandbookBeside(tmp_path)
    assert "club.toml" in str(fault.value)


def test_nothing_is_left_running_when_it_is_closed(handbook: Handbook) -> None:
    own = HandbookBeside(ROOT / "knowledge", command=HOSTILE)
    assert answers(own)
    assert own.pid is not None
    processes = [own.pid, reader_of(own)]
    own.close()
    assert [Path(f"/proc/{pid}").exists() for pid in processes] == [False] * len(processes)


def test_what_was_changed_by_text_travels_along(beside: HandbookBeside, handbook: Handbook) -> None:
    """A swapped turn: the question of a Monday goes to whoever took it."""
    swaps = (Swap(day=NOON.date(), instead_of="jonas", taker="priya"),)
    changed = as_changed(handbook.knowledge, Overlay(swaps=swaps))
    assert changed.swaps == swaps
    turned = beside.decide(a_text("can you recommend a campground"), KNOWN, Overlay(swaps=swaps), NOON)
    assert "Priya" in (turned.reply or "")
