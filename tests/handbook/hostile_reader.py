"""A process that reads texts as the real one does, but for some that it never finishes: run in place of it by tests."""

import os
import re
import signal
import sys
from dataclasses import dataclass
from datetime import datetime
from multiprocessing.connection import Connection
from pathlib import Path

from clubbot.conversation.replying import Turn
from clubbot.handbook.book import Handbook, open_handbook
from clubbot.handbook.keeper import keep
from clubbot.handbook.learning import usual_folder
from clubbot.handbook.reading import Told
from clubbot.model.club import Knowledge, Overlay
from clubbot.model.deeds import Draft
from clubbot.model.known import Known
from clubbot.model.messages import Incoming
from clubbot.texting.keywords import Keyword

HOSTILE = (sys.executable, "-m", "tests.handbook.hostile_reader")


def _endless() -> None:
    """Holds the interpreter, so that no thread of this process could end it."""
    re.match(r"(?:a+)+$", "a" * 60 + "b")


def misbehave(text: str) -> None:
    """What a text says is what becomes of its reader."""
    match text.split()[0]:
        case "endless":
            _endless()
        case "dies":
            os.kill(os.getpid(), signal.SIGKILL)
        case "stops":
            os.kill(os.getpid(), signal.SIGSTOP)
        case "fails":
            raise ZeroDivisionError("no words at all")
        case _:
            pass


@dataclass(frozen=True)
class Hostile:
    """The demo club's handbook, read by somebody who can be stopped."""

    book: Handbook

    @property
    def knowledge(self) -> Knowledge:
        return self.book.knowledge

    def decide(self, message: Incoming, known: Known, overlay: Overlay, now: datetime) -> Turn:
        misbehave(message.text)
        return self.book.decide(message, known, overlay, now)

    def opts_out(self, text: str) -> Keyword | None:
        misbehave(text)
        return self.book.opts_out(text)

    def audience(self, message: Incoming, draft: Draft | None, overlay: Overlay) -> Told:
        misbehave(message.text)
        return self.book.audience(message, draft, overlay)


if __name__ == "__main__":
    pipe, folder, _ = sys.argv[1:]
    keep(Connection(int(pipe)), lambda: Hostile(open_handbook(Path(folder), usual_folder())))
