"""What the calendar entries of an event say, in one line each, to see when one has changed."""

from collections.abc import Iterable, Mapping
from datetime import date

from clubbot.model.club import EventChange, EventRule
from clubbot.model.effects import KeepRevision

Entry = tuple[str, date | None]


def revised(events: Iterable[EventRule], known: Mapping[Entry, tuple[str, int]]) -> list[KeepRevision]:
    """The entries that say something else than they did: of each event one, and of each changed day one. `known` are the words
    and the sequence that each had.
    """
    found: list[KeepRevision] = []
    for event in events:
        entries: list[tuple[date | None, str]] = [(None, _rule(event))]
        # A changed day shows the rule's hour, place and name where it has none of its own.
        entries += [(change.day, f"{_change(change)} | {_shown(event)}") for change in event.change]
        for day, words in entries:
            before = known.get((event.id, day))
            if before is None:
                found.append(KeepRevision(event=event.id, day=day, words=words, sequence=0))
            elif before[0] != words:
                found.append(KeepRevision(event=event.id, day=day, words=words, sequence=before[1] + 1))
    return found


def _rule(event: EventRule) -> str:
    shown = (
        event.name, event.repeats, event.first, event.last, event.sign_up, event.starts, event.ends, event.places,
        event.price, event.member_price, event.rsvp_opens, event.rsvp_closes, event.meet,
    )  # fmt: skip
    # A change that is taken back leaves no entry of its own behind, so the rule's entry counts it too.
    return " | ".join([*(str(one) for one in shown), *(_change(change) for change in event.change)])


def _shown(event: EventRule) -> str:
    return f"{event.name} {event.starts} {event.ends} {event.meet}"


def _change(change: EventChange) -> str:
    shown = (change.day, change.called_off, change.moved_to, change.starts, change.ends, change.meet, change.reason)
    return " ".join(str(one) for one in shown)
