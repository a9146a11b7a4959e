"""The handbook in use: what the club knows and the reader that was taught with it; and how a changed file is taken up."""

import logging
from bisect import bisect_left
from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path

from clubbot.events.days import event_days
from clubbot.handbook.findings import Finding
from clubbot.handbook.learning import learnt_from
from clubbot.handbook.loading import load, load_or_fault
from clubbot.handbook.phrasebook import shipped_examples, word_weights
from clubbot.handbook.sentence_model import shipped_encoder
from clubbot.model.club import Knowledge
from clubbot.understanding.reading import Reader

log = logging.getLogger(__name__)

Fingerprint = tuple[tuple[str, int, int], ...]


@dataclass(frozen=True, slots=True)
class Handbook:
    """Knowledge and reader, which belong together."""

    knowledge: Knowledge
    reader: Reader


def open_handbook(folder: Path, keep_in: Path | None, *, with_encoder: bool = True) -> Handbook:
    """The handbook of a knowledge folder; KnowledgeFault where it cannot be used. `with_encoder` False leaves the sentence model out."""
    return _taught(load_or_fault(folder), keep_in, with_encoder=with_encoder)


def _taught(knowledge: Knowledge, keep_in: Path | None, *, with_encoder: bool = True) -> Handbook:
    learnt = learnt_from(knowledge.examples, keep_in)
    encoder = shipped_encoder() if with_encoder else None
    # Learnt by now, and forty thousand of them: they are read again where a file changes.
    known = replace(knowledge, examples=())
    shipped_examples.cache_clear()
    return Handbook(known, Reader(known, learnt, word_weights(), _event_between(known), encoder))


def _event_between(knowledge: Knowledge) -> Callable[[date, date], bool]:
    """Tells whether an event is on between two days; all days are worked out once."""
    zone = knowledge.club.zone
    held = sorted({one.starts.astimezone(zone).date() for event in knowledge.events for one in event_days(event, zone)})

    def event_between(first: date, last: date) -> bool:
        place = bisect_left(held, first)
        return place < len(held) and held[place] <= last

    return event_between


def fingerprint(folder: Path) -> Fingerprint:
    """What shows that a file of the folder has changed: names, times, sizes."""
    found: list[tuple[str, int, int]] = []
    for file in sorted((*folder.glob("*.toml"), *folder.glob("*/*.toml"), *folder.glob("*/*.md"))):
        try:
            stat = file.stat()
        except OSError:  # an editor is just replacing it; the next look will see it
            continue
        found.append((str(file), stat.st_mtime_ns, stat.st_size))
    return tuple(found)


class HandbookShelf:
    """Holds the handbook in use. `look` takes up changed files once they have been still for one look; broken ones are refused and said."""

    def __init__(self, folder: Path, keep_in: Path | None, *, with_encoder: bool = True) -> None:
        self._folder = folder
        self._with_encoder = with_encoder
        self._keep_in = keep_in
        self._taken = fingerprint(folder)
        self._last_seen = self._taken
        self.current = open_handbook(folder, keep_in, with_encoder=with_encoder)
        self.refused: tuple[Finding, ...] = ()

    def look(self) -> bool:
        """Take up a change, if there is one; True where the handbook was replaced. Slow: call it off the loop."""
        seen = fingerprint(self._folder)
        still, self._last_seen = seen == self._last_seen, seen
        if seen == self._taken or not still:
            return False
        self._taken = seen
        loaded = load(self._folder)
        if loaded.knowledge is None:
            self.refused = tuple(finding for finding in loaded.findings if finding.severity == "error")
            for finding in self.refused:
                log.error("knowledge not taken up, the old one stays: %s", finding)
            return False
        self.current = _taught(loaded.knowledge, self._keep_in, with_encoder=self._with_encoder)
        self.refused = ()
        log.info("changed knowledge taken up from %s", self._folder)
        return True
