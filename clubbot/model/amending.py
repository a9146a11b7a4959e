"""What somebody texts to an order that was shown to them and waits for its code, to have it otherwise: "make it sat noon"."""

from dataclasses import dataclass
from datetime import datetime, time
from typing import Literal

from clubbot.model.intents import When

# What becomes of the parts that are named: they alone, they as well, all but them.
Parts = Literal["only", "also", "without"]
# What becomes of the words: they are added, they stand instead, they are the reason.
Words = Literal["add", "instead", "reason"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Amend:
    """What is to be otherwise. `since` and `until` as those of a closure, `endless` where it is to have no end; `when`, `starts` and `sure` as the day
    and hour of an event; `unused` is what the text says besides.
    """

    since: datetime | None = None
    until: datetime | None = None
    endless: bool = False
    when: When | None = None
    starts: time | None = None
    sure: bool = False
    parts: tuple[str, ...] = ()
    how: Parts | None = None
    words: str = ""
    with_words: Words | None = None
    unused: str = ""
