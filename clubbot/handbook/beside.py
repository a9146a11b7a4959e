"""The handbook in a process beside the service: texts are read there, and what never ends is ended there.

A changed knowledge folder is opened by a new keeper; it takes the old one's place only where it opens without errors.
"""

import logging
import os
import subprocess
import sys
import threading
from collections.abc import Sequence
from datetime import datetime
from multiprocessing import Pipe
from multiprocessing.connection import Connection
from multiprocessing.reduction import recv_handle
from pathlib import Path
from typing import cast

from clubbot.conversation.replying import Turn
from clubbot.handbook.book import FilesWatched
from clubbot.handbook.findings import Finding
from clubbot.handbook.reading import (
    MOST_SECONDS,
    Answer,
    Decide,
    Failed,
    NotOpened,
    Opened,
    Request,
    Told,
    WhetherItOptsOut,
    WhoIsTold,
)
from clubbot.model.club import Knowledge, Overlay
from clubbot.model.deeds import Draft
from clubbot.model.errors import KnowledgeFault, NotRead, ReadingDown
from clubbot.model.known import Known
from clubbot.model.messages import Incoming
from clubbot.texting.keywords import Keyword

log = logging.getLogger(__name__)

KEEPER = (sys.executable, "-m", "clubbot.handbook.keeper")
# The reader's own alarm ends it first; this is for one that gets no alarm, such as a stopped one.
_GIVE_UP_SECONDS = MOST_SECONDS + 1.0
_END_SECONDS = 5.0
# A new reader is a matter of thousandths; a keeper that gives none is dead or stopped.
_FORK_SECONDS = 10.0
# Small matrices gain nothing by more threads, and a process without threads can be forked safely.
_ONE_THREAD = {
    "OPENBLAS_NUM_THREADS": "1",
    "OMP_NUM_THREADS": "1",
    "MKL_NUM_THREADS": "1",
}


class _Keeper:
    """A keeper process and the reader that it has ready."""

    def __init__(self, command: Sequence[str], folder: Path, *, with_encoder: bool) -> None:
        self._control, theirs = Pipe()
        self._reader: Connection | None = None
        with theirs:
            call = [*command, str(theirs.fileno()), str(folder), "yes" if with_encoder else "no"]
            # It is this very program, with arguments of our own.
            self._process = subprocess.Popen(  # noqa: S603
                call, pass_fds=[theirs.fileno()], stdin=subprocess.DEVNULL, env={**os.environ, **_ONE_THREAD}
            )
        try:
            self.knowledge = self._opened()
        except BaseException:
            self.close()
            raise

    @property
    def pid(self) -> int:
        """The process's number."""
        return self._process.pid

    def ask(self, request: Request) -> Answer:
        """The reader's answer. NotRead where it did not live to give one; ReadingDown where there is no reader at all."""
        reader = self._begin(request)
        try:
            if reader.poll(_GIVE_UP_SECONDS):
                return cast(Answer, reader.recv())
            self._control.send_bytes(b"end it")
        except (EOFError, OSError):
            pass
        self._drop_reader()
        raise NotRead(f"not read within {MOST_SECONDS:g} s")

    def _begin(self, request: Request) -> Connection:
        """A reader that has begun; one that died between two texts is replaced once."""
        for _ in range(2):
            reader = self._reader = self._reader or self._next_reader()
            try:
                reader.send(request)
                if reader.poll(_GIVE_UP_SECONDS):
                    reader.recv()
                    return reader
                self._control.send_bytes(b"end it")
            except (EOFError, OSError):
                pass
            self._drop_reader()
        raise NotRead("nobody was there to read it")

    def _drop_reader(self) -> None:
        if self._reader is not None:
            self._reader.close()
            self._reader = None

    def close(self) -> None:
        """End it, and the reader with it."""
        self._control.close()
        self._drop_reader()
        try:
            self._process.wait(_END_SECONDS)
        except subprocess.TimeoutExpired:
            self._process.kill()
            self._process.wait()

    def _opened(self) -> Knowledge:
        try:
            said = self._control.recv()
        except (EOFError, OSError):
            raise ReadingDown("the process that reads texts ended before it was ready") from None
        if isinstance(said, Opened):
            return said.knowledge
        assert isinstance(said, NotOpened)
        if said.findings:
            raise KnowledgeFault(said.findings)
        raise ReadingDown(said.reason)

    def _next_reader(self) -> Connection:
        try:
            if self._control.poll(_FORK_SECONDS):
                return Connection(recv_handle(self._control))
        except (EOFError, OSError):
            pass
        raise ReadingDown("the process that reads texts has ended")


class HandbookBeside:
    """The handbook in use, kept by a process of its own. Calls may come from any thread; each waits for the one before."""

    def __init__(self, folder: Path, *, with_encoder: bool = True, command: Sequence[str] = KEEPER) -> None:
        """KnowledgeFault where the files cannot be used."""
        self._command, self._folder, self._with_encoder = tuple(command), folder, with_encoder
        self._files = FilesWatched(folder)
        self._turn = threading.Lock()
        self._keeper: _Keeper | None = self._open()
        self.knowledge: Knowledge = self._keeper.knowledge
        self.refused: tuple[Finding, ...] = ()

    @property
    def pid(self) -> int | None:
        """The number of the keeper's process; None while there is none."""
        return None if self._keeper is None else self._keeper.pid

    def decide(self, message: Incoming, known: Known, overlay: Overlay, now: datetime) -> Turn:
        """The turn of one message; NotRead where reading it never ended, ReadingDown where nothing can be read now."""
        answer = self._ask(Decide(message, known, overlay, now))
        assert isinstance(answer, Turn)
        return answer

    def audience(self, message: Incoming, draft: Draft | None, overlay: Overlay) -> Told:
        """Whom a text of the club's people asks to tell; faults as above."""
        answer = self._ask(WhoIsTold(message, draft, overlay))
        assert not isinstance(answer, Turn | Keyword)
        return answer

    def opts_out(self, text: str) -> Keyword | None:
        """Whether a text that is not read otherwise asks for no more texts; faults as above."""
        answer = self._ask(WhetherItOptsOut(text))
        assert answer is None or isinstance(answer, Keyword)
        return answer

    def look(self) -> bool:
        """Take up changed files, if there are any; True where the handbook was replaced. Slow: call it off the loop."""
        if not self._files.changed():
            return False
        try:
            new = self._open()
        except KnowledgeFault as fault:
            self._refuse(fault)
            return False
        with self._turn:
            old, self._keeper = self._keeper, new
            self.knowledge = new.knowledge
        self.refused = ()
        if old is not None:
            old.close()
        log.info("changed knowledge taken up from %s", self._folder)
        return True

    def _refuse(self, fault: KnowledgeFault) -> None:
        self.refused = tuple(one for one in fault.findings if isinstance(one, Finding) and one.severity == "error")
        for finding in self.refused:
            log.error("knowledge not taken up, the old one stays: %s", finding)

    def close(self) -> None:
        """End the process."""
        with self._turn:
            keeper, self._keeper = self._keeper, None
        if keeper is not None:
            keeper.close()

    def _open(self) -> _Keeper:
        return _Keeper(self._command, self._folder, with_encoder=self._with_encoder)

    def _ask(self, request: Request) -> Turn | Told | Keyword:
        with self._turn:
            if self._keeper is None:
                self._keeper = self._open_again()
            try:
                answer = self._keeper.ask(request)
            except ReadingDown:
                # The keeper itself has died. The next text finds a new one; this one was not begun, or is told by its bookmark.
                self._keeper.close()
                self._keeper = None
                raise
        if isinstance(answer, Failed):
            raise ReadingFailed(answer.trace)
        return answer

    def _open_again(self) -> _Keeper:
        """A new keeper in place of one that died."""
        try:
            keeper = self._open()
        except KnowledgeFault as fault:
            raise ReadingDown(f"the process that reads texts has ended, and cannot start again: {fault}") from fault
        self.knowledge = keeper.knowledge
        return keeper


class ReadingFailed(Exception):
    """A fault of ours in reading or deciding; the text is its trace."""
