"""The sheet for the clipboard: names and boxes, no numbers, and nothing that a spreadsheet would run."""

import csv
import io
from datetime import date

from clubbot.conversation.phrasing import Voice
from clubbot.conversation.sheet import as_csv, as_text
from clubbot.events.days import EventDay, find
from clubbot.handbook.book import Handbook
from clubbot.model.rsvps import Named
from tests.conftest import HALIFAX

NAMES = (
    Named(name="Dana Roy", state="coming", people=3, came=3),
    Named(name=None, state="coming", people=1),
    Named(name="Kim", state="coming", people=1, stand_in="Bjorn"),
    Named(name="Ana", state="waiting", people=2),
    Named(name="Luc", state="maybe", people=1),
)


def league(handbook: Handbook) -> EventDay:
    found = find(handbook.knowledge.event("dusk-league"), date(2027, 6, 9), HALIFAX)
    assert found is not None
    return found


def test_the_sheet_counts_people_and_lists_who_comes_who_waits_and_who_may_come(handbook: Handbook) -> None:
    sheet = as_text(league(handbook), NAMES, Voice(handbook.knowledge, "en"))

    assert "5 coming, places: 72" in sheet
    assert "Paid (CA$5, members CA$3)" in sheet
    order = [sheet.index(words) for words in ("Dana Roy", "(no name)", "Bjorn for Kim", "waiting list", "Ana", "Luc")]
    assert order == sorted(order)


def test_who_has_signed_in_by_text_is_ticked(handbook: Handbook) -> None:
    lines = as_text(league(handbook), NAMES, Voice(handbook.knowledge, "en")).splitlines()

    assert [line.endswith("[x]") for line in lines if "Dana Roy" in line or "Bjorn" in line] == [True, False]


def test_there_are_empty_lines_for_those_who_just_turn_up(handbook: Handbook) -> None:
    sheet = as_text(league(handbook), (), Voice(handbook.knowledge, "fr"))

    assert sheet.count("....") > 3
    assert "0 attendus" in sheet


def test_the_csv_reads_back(handbook: Handbook) -> None:
    rows = list(csv.reader(io.StringIO(as_csv(league(handbook), NAMES, Voice(handbook.knowledge, "en")))))

    assert rows[0] == ["Name", "People", "List", "Paid", "Here"]
    assert rows[1] == ["Dana Roy", "3", "coming", "", "3"]
    assert rows[4] == ["Ana", "2", "waiting list", "", ""]
    assert len(rows) == 1 + len(NAMES)


def test_a_name_that_is_a_formula_is_only_text(handbook: Handbook) -> None:
    """OWASP, "CSV Injection": cells that begin with =, +, - or @ are run by spreadsheets."""
    names = [Named(name=f"{mark}SUM(A1)", state="coming", people=1) for mark in "=+-@"]
    rows = list(csv.reader(io.StringIO(as_csv(league(handbook), names, Voice(handbook.knowledge, "en")))))

    assert all(row[0].startswith("'") for row in rows[1:])
