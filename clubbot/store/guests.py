"""Who is in a party, as it is kept: a list as JSON (RFC 8259) in one column, since it is only ever read and written as a whole."""

import json
from collections.abc import Iterable
from dataclasses import asdict
from functools import lru_cache

from clubbot.model.rsvps import Guest


def as_json(who: Iterable[Guest]) -> str:
    """The column's text."""
    return json.dumps(
        [{name: value for name, value in asdict(guest).items() if value} for guest in who], ensure_ascii=False
    )


@lru_cache(maxsize=1024)
def as_guests(kept: str) -> tuple[Guest, ...]:
    """The party's guests of the column's text."""
    return tuple(Guest(**guest) for guest in json.loads(kept))
