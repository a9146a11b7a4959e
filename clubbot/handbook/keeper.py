"""The process that keeps the handbook, and the readers that it forks: what reads texts can be ended without harm to anything else.

The keeper opens the handbook once and does nothing but fork a reader and wait. A reader answers one request at a time and is ended by
the kernel's alarm where it takes too long, so that neither a pattern nor a loop can hold more than itself; the keeper forks the next, which
shares the memory of the handbook. Whoever started the keeper is handed each reader's end of a pipe, and sees by its closing that it died.
"""

import contextlib
import gc
import os
import signal
import sys
import threading
import traceback
from collections.abc import Callable, Iterator
from functools import partial
from multiprocessing import Pipe
from multiprocessing.connection import Connection, wait
from multiprocessing.reduction import send_handle
from pathlib import Path

from clubbot.handbook.book import open_handbook
from clubbot.handbook.findings import Finding
from clubbot.handbook.learning import usual_folder
from clubbot.handbook.reading import (
    MOST_SECONDS,
    Answer,
    Decide,
    Failed,
    NotOpened,
    Opened,
    Reads,
    Request,
    WhetherItOptsOut,
    WhoIsTold,
)
from clubbot.model.errors import ClubbotError, KnowledgeFault

_LOOK_SECONDS = 0.1


def keep(control: Connection, open_: Callable[[], Reads]) -> None:
    """Open the handbook, say so, and have a reader ready until `control` is closed."""
    for number in (
        signal.SIGINT,
        signal.SIGTERM,
    ):  # a terminal's Ctrl-C reaches us too; the service that started us ends us
        signal.signal(number, signal.SIG_IGN)
    try:
        with _ends_with(control):
            reads = open_()
    except KnowledgeFault as fault:
        findings = tuple(one for one in fault.findings if isinstance(one, Finding))
        control.send(NotOpened(str(fault), findings))
        return
    except ClubbotError as fault:
        control.send(NotOpened(str(fault)))
        return
    except Exception:
        control.send(NotOpened(traceback.format_exc()))
        return
    try:
        control.send(Opened(reads.knowledge))
    except OSError:  # the service was ended meanwhile
        return
    gc.freeze()  # the readers share what is never collected
    while _one_reader(control, reads):
        pass


@contextlib.contextmanager
def _ends_with(control: Connection) -> Iterator[None]:
    """While something long is done, such as learning at a first start: if the service ends meanwhile, so do we."""
    done = threading.Event()

    def look() -> None:
        while not done.is_set():
            if control.poll(_LOOK_SECONDS):  # it says nothing before we are open, so this is its end
                os._exit(1)

    looking = threading.Thread(target=look)
    looking.start()
    try:
        yield
    finally:
        done.set()
        looking.join()  # no thread is left when readers are forked


def _one_reader(control: Connection, reads: Reads) -> bool:
    """Fork a reader, hand its pipe over and wait for its end; False where nobody wants one any more."""
    theirs, ours = Pipe()
    life, held = Pipe(duplex=False)
    reader = os.fork()
    if reader == 0:
        for one in (control, theirs, life):
            one.close()
        _read_until_closed(ours, reads)
        os._exit(0)
    for one in (ours, held):
        one.close()
    try:
        send_handle(control, theirs.fileno(), None)
        theirs.close()
        return _wait_for_its_end(control, life, reader)
    except (EOFError, OSError):  # the service is gone
        os.kill(reader, signal.SIGKILL)
        return False
    finally:
        theirs.close()
        life.close()
        os.waitpid(reader, 0)


def _wait_for_its_end(control: Connection, life: Connection, reader: int) -> bool:
    while True:
        ready = wait([control, life])
        if life in ready:  # nothing is ever written there: it was closed by the reader's death
            return True
        control.recv_bytes()
        os.kill(reader, signal.SIGKILL)


def _read_until_closed(requests: Connection, reads: Reads) -> None:
    signal.signal(signal.SIGALRM, signal.SIG_DFL)  # the kernel ends us, whatever we are in the middle of
    while True:
        try:
            request: Request = requests.recv()
            requests.send(None)  # begun
        except (EOFError, OSError):
            return
        signal.setitimer(signal.ITIMER_REAL, MOST_SECONDS)
        answer = _answer(request, reads)
        signal.setitimer(signal.ITIMER_REAL, 0)
        try:
            requests.send(answer)
        except OSError:
            return


def _answer(request: Request, reads: Reads) -> Answer:
    try:
        match request:
            case Decide(message, known, overlay, now):
                return reads.decide(message, known, overlay, now).without_reading()
            case WhoIsTold(message, draft, overlay):
                return reads.audience(message, draft, overlay)
            case WhetherItOptsOut(text):
                return reads.opts_out(text)
    except Exception:
        return Failed(traceback.format_exc())


def main(arguments: list[str]) -> None:
    """Run as a process: the pipe's number, the knowledge folder, and whether the sentence model is wanted."""
    pipe, folder, with_encoder = arguments
    open_ = partial(open_handbook, Path(folder), usual_folder(), with_encoder=with_encoder == "yes")
    keep(Connection(int(pipe)), open_)


if __name__ == "__main__":
    main(sys.argv[1:])
