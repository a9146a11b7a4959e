"""The handbook in use: what the club knows and the reader that was taught with it; and how a changed file is taken up."""

from bisect import bisect_left
from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import date, datetime
from pathlib import Path

from clubbot.conversation.announcing import told_audience
from clubbot.conversation.key_words import opt_out_of
from clubbot.conversation.overlaid import as_changed
from clubbot.conversation.replying import Turn
from clubbot.conversation.turn import readable, turn
from clubbot.events.days import event_days
from clubbot.handbook.language_files import shipped_days, shipped_language_files, shipped_weights, shipped_words
from clubbot.handbook.learning import learnt_from
from clubbot.handbook.loading import load_or_fault
from clubbot.handbook.phrasebook import shipped_examples
from clubbot.handbook.sentence_model import shipped_encoder
from clubbot.model.club import Knowledge, Overlay
from clubbot.model.deeds import Draft
from clubbot.model.known import Known
from clubbot.model.messages import Incoming
from clubbot.model.orders import Audience
from clubbot.model.rsvps import DayId
from clubbot.texting.keywords import Keyword
from clubbot.understanding.mentions import club_groups
from clubbot.understanding.reading import Reader
from clubbot.understanding.usual_days import UsualDays

Fingerprint = tuple[tuple[str, int, int], ...]


@dataclass(frozen=True, slots=True)
class Handbook:
    """Knowledge and reader, which belong together."""

    knowledge: Knowledge
    reader: Reader

    def decide(self, message: Incoming, known: Known, overlay: Overlay, now: datetime) -> Turn:
        """The turn of one message, with what was changed by text laid over the files."""
        return turn(message, known, as_changed(self.knowledge, overlay), self.reader, now)

    def opts_out(self, text: str) -> Keyword | None:
        """The wish for no more texts, in plain words too; None where the text has none."""
        return opt_out_of(text, self.reader.notice)

    def audience(
        self, message: Incoming, draft: Draft | None, overlay: Overlay
    ) -> tuple[Audience, DayId | None] | None:
        """Whom a text of the club's people asks to tell; its order is read here, and the turn gets the same."""
        knowledge = as_changed(self.knowledge, overlay)
        if all(person.number != message.sender for person in knowledge.people):
            return None
        order = self.reader.orders.read(readable(message.text), message.received_at)
        return told_audience(order, draft, knowledge, message.received_at)


def open_handbook(folder: Path, keep_in: Path | None, *, with_encoder: bool = True) -> Handbook:
    """The handbook of a knowledge folder; KnowledgeFault where it cannot be used. `with_encoder` False leaves the sentence model out."""
    return _taught(load_or_fault(folder), keep_in, with_encoder=with_encoder)


def _taught(knowledge: Knowledge, keep_in: Path | None, *, with_encoder: bool = True) -> Handbook:
    learnt = learnt_from(knowledge.examples, keep_in)
    encoder = shipped_encoder() if with_encoder else None
    # Learnt by now, and forty thousand of them: they are read again where a file changes.
    known = replace(knowledge, examples=())
    shipped_examples.cache_clear()
    weights = shipped_weights()
    shipped = shipped_language_files()
    noticing = shipped.noticing(club_groups(known, shipped.lexicons), learnt.words, weights)
    days = shipped_days(known.club.country)
    usual = UsualDays({language: one.weekdays for language, one in shipped.lexicons.items()})
    return Handbook(
        known, Reader(known, learnt, weights, _event_between(known), noticing, days, shipped_words(), encoder, usual)
    )


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


class FilesWatched:
    """Tells when files of a folder have changed and were still for one look, so that nobody reads half of an edit."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder
        self._taken = self._last_seen = fingerprint(folder)

    def changed(self) -> bool:
        """Whether there is a change to take up; it is told once."""
        seen = fingerprint(self._folder)
        still, self._last_seen = seen == self._last_seen, seen
        if seen == self._taken or not still:
            return False
        self._taken = seen
        return True
