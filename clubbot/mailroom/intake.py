"""A text is put down, committed, and only then acknowledged."""

from collections.abc import Callable

from clubbot.model.messages import DeliveryReport, Incoming
from clubbot.store.inbox import note_report, put_down
from clubbot.store.store import Store


class Intake:
    """What a channel hands its texts to."""

    def __init__(self, store: Store, wake_answering: Callable[[], None]) -> None:
        self._store = store
        self._wake = wake_answering

    async def take(self, message: Incoming) -> bool:
        """Keep a text for good; False where it was kept before. Returns once it is on disk."""
        new = await self._store.write(lambda connection: put_down(connection, message))
        if new:
            self._wake()
        return new

    async def report(self, report: DeliveryReport) -> None:
        """Keep what became of a text of ours."""
        await self._store.write(lambda connection: note_report(connection, report))
