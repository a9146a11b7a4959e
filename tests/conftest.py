"""What many tests need: the demo club's handbook, learnt once."""

from datetime import datetime
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

from clubbot.handbook.book import Handbook, open_handbook
from clubbot.handbook.learning import usual_folder

ROOT = Path(__file__).parents[1]
HALIFAX = ZoneInfo("America/Halifax")
NOON = datetime(2027, 6, 7, 12, tzinfo=HALIFAX)


@pytest.fixture(scope="session")
def handbook() -> Handbook:
    """The demo club."""
    return open_handbook(ROOT / "knowledge", usual_folder())
