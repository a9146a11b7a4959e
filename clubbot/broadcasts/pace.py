"""At what pace a text to many goes out, so that the line is free for answers and nobody is woken."""

from collections.abc import Callable, Iterator
from datetime import datetime, timedelta


def due_times(begins: datetime, per_minute: int, awake_from: Callable[[datetime], datetime]) -> Iterator[datetime]:
    """When the first, the second, ... text is due: evenly, and what would fall into the quiet hours after them; without end.

    `awake_from` gives the end of the quiet in which a moment lies, or the moment itself.
    """
    step = timedelta(minutes=1) / max(1, per_minute)
    moment = begins
    while True:
        moment = awake_from(moment)
        yield moment
        moment += step


def takes(people: int, per_minute: int) -> timedelta:
    """How long so many texts take, quiet hours not counted."""
    return timedelta(minutes=people / max(1, per_minute))
