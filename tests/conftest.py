"""What many tests need: the demo club's handbook, learnt once."""

import fcntl
import os
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import datetime
from pathlib import Path
from tempfile import gettempdir
from zoneinfo import ZoneInfo

import pytest

from clubbot.handbook.book import Handbook, open_handbook
from clubbot.handbook.learning import usual_folder

ROOT = Path(__file__).parents[1]
HALIFAX = ZoneInfo("America/Halifax")
NOON = datetime(2027, 6, 7, 12, tzinfo=HALIFAX)

# These start, stop and kill processes and wait for them with a limit: one after the other, in one of the two test processes.
STARTS_PROCESSES = {
    "tests/faults/test_a_short_campaign.py",
    "tests/handbook/test_beside.py",
    "tests/test_kill.py",
    "tests/test_killed_while_reading.py",
    "tests/test_machine_faults.py",
    "tests/test_stopping.py",
}
# Begun next where there are two test processes, so that neither is left with a long one at the end.
LONG = {
    "tests/handbook/test_own_topics.py",
    "tests/talks/test_talks.py",
    "tests/texting/test_no_pattern_runs_away.py",
    "tests/understanding/test_figures.py",
}


@pytest.hookimpl(tryfirst=True)
def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Which tests stay together, and which are begun first."""
    for item in items:
        if _file_of(item) in STARTS_PROCESSES:
            item.add_marker(pytest.mark.xdist_group("processes"))
    if "PYTEST_XDIST_WORKER" in os.environ:
        items.sort(key=lambda item: 0 if _file_of(item) in STARTS_PROCESSES else 1 if _file_of(item) in LONG else 2)


def _file_of(item: pytest.Item) -> str:
    return item.path.relative_to(ROOT).as_posix()


@pytest.fixture(scope="session")
def handbook() -> Handbook:
    """The demo club."""
    with learning_in_turn():
        return open_handbook(ROOT / "knowledge", usual_folder())


@contextmanager
def learning_in_turn() -> Iterator[None]:
    """One process at a time learns from the ways of asking; the next one finds what was kept."""
    with (Path(gettempdir()) / f"clubbot-learning-{os.getuid()}.lock").open("w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        yield
