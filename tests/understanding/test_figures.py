"""Labelled texts stay as well understood as they were when `figures.toml` was written; how its figures are counted and compared.

The rules of scoring are in the README beside the team's labelled messages (../shared/messages), which are measured where they are there.
"""

from dataclasses import replace

import pytest

from clubbot.handbook.book import Handbook
from tests.benchmarks.understanding import Answered, Labelled, outcome
from tests.conftest import ROOT
from tests.understanding.figures import Figures, Written, fallen, figures_of, measured_now, written

_KEPT = Figures(exact=90.0, wrong=1.0, outside_answered=2.0, sign_ups=95.0)


@pytest.mark.parametrize("kept", [pytest.param(one, id=one.file) for one in written()])
def test_no_figure_falls_below_the_one_written_down(handbook: Handbook, kept: Written) -> None:
    if kept.file.startswith("../") and not kept.path.exists():
        pytest.skip(f"{kept.file} is not beside this checkout")
    worse = fallen(measured_now(kept.path, handbook), kept.figures)
    assert not worse, (
        f"{kept.file}, measured {kept.measured}: {'; '.join(worse)}. See: python -m tests.benchmarks.understanding {kept.file} --wrong"
    )


def test_every_file_of_labelled_texts_has_its_figures() -> None:
    folders = (ROOT / "tests/understanding/texts", ROOT / "../shared/messages")
    there = {file for folder in folders for file in folder.glob("*.jsonl")}
    assert there <= {one.path for one in written()}


def test_a_figure_that_is_worse_by_more_than_half_a_point_has_fallen() -> None:
    assert fallen(replace(_KEPT, exact=89.4), _KEPT) == ["exact is 89.4 %, written down as 90.0 %"]
    assert fallen(replace(_KEPT, sign_ups=94.4), _KEPT) == ["sign_ups is 94.4 %, written down as 95.0 %"]
    assert fallen(replace(_KEPT, wrong=1.6), _KEPT) == ["wrong is 1.6 %, written down as 1.0 %"]
    assert fallen(replace(_KEPT, outside_answered=2.6), _KEPT) == ["outside_answered is 2.6 %, written down as 2.0 %"]
    assert len(fallen(Figures(exact=0.0, wrong=100.0, outside_answered=100.0, sign_ups=0.0), _KEPT)) == 4


def test_half_a_point_or_anything_better_is_no_fall() -> None:
    assert fallen(Figures(exact=89.5, wrong=1.5, outside_answered=2.5, sign_ups=94.5), _KEPT) == []
    assert fallen(Figures(exact=99.0, wrong=0.0, outside_answered=0.0, sign_ups=100.0), _KEPT) == []


def test_a_figure_that_is_no_longer_measured_is_told() -> None:
    assert fallen(replace(_KEPT, wrong=None), _KEPT) == ["wrong is None, written down as 1.0"]


def _row(
    intent: str, served: str = "", *, offered: str = "", label: tuple[str | None, int | None] = (None, None)
) -> Answered:
    intents, serves, offers = set(intent.split()), set(served.split()), set(offered.split())
    told = Labelled("...", "en", frozenset(intents), *label)
    return Answered(told, frozenset(serves), frozenset(offers), outcome(intents, serves, offers, handed_over=False))


def test_figures_count_exact_and_wrong_of_the_clubs_and_answered_of_the_others() -> None:
    rows = [
        _row("dogs", "dogs"),
        _row("dogs", "dogs cost"),
        _row("dogs", "cost"),
        _row("dogs", offered="dogs cost"),
        _row("outside", "cost"),
        _row("outside", offered="cost"),
    ]
    assert figures_of(rows) == Figures(exact=25.0, wrong=25.0, outside_answered=50.0, sign_ups=None)


def test_a_sign_up_is_right_with_its_event_and_with_its_number_where_that_is_labelled() -> None:
    league, of_two = ("dusk-league 2027-06-09", None), ("dusk-league 2027-06-09", 2)
    rows = [
        replace(_row("rsvp-yes", "rsvp-yes", label=of_two), event=league[0], party=2),
        replace(_row("rsvp-yes", "rsvp-yes", label=of_two), event=league[0], party=1),
        replace(_row("rsvp-no", "rsvp-no", label=league), event=league[0], party=1),
        replace(_row("rsvp-no", "rsvp-no", label=league), event=None),
        _row("rsvp-yes", offered="rsvp-yes", label=of_two),  # not served: no event to be right about
    ]
    assert figures_of(rows).sign_ups == 50.0
