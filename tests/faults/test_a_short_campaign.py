"""A short campaign in every run of the tests; the long one is run by hand."""

from pathlib import Path

import pytest

from tests.faults.__main__ import campaign, told
from tests.faults.campaign import POINTS


@pytest.mark.usefixtures("handbook")  # learns the ways of asking where nobody has yet
async def test_killed_at_every_point_with_a_failing_gateway_and_an_attacker_it_holds(tmp_path: Path) -> None:
    done, held = await campaign(tmp_path, kills=len(POINTS), seed=20270607)
    assert [one.says for one in held if one.broken] == [], "\n".join(told(done, held))
    assert sum(done.kills.values()) >= len(POINTS) - 1  # one that is told to stop may have ended by itself
    assert all(one.cases for one in held if one.says not in {"a cry for help is with a person"})
