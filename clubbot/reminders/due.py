"""Whether a reminder whose time has come is still worth a text, looking at everything as it is now."""

from dataclasses import dataclass
from datetime import datetime, timedelta

from clubbot.model.rsvps import ReminderKind, State

# Later than this it would only confuse: after an outage nobody gets a flood of stale texts.
TOO_LATE = timedelta(hours=2)
# Whoever has heard of the day within this time does not need to hear again.
JUST_TOLD = timedelta(hours=1)


@dataclass(frozen=True, slots=True, kw_only=True)
class Circumstances:
    """How things stand when a reminder is looked at: `starts` None where the event day is no more, `quiet` in the quiet hours."""

    kind: ReminderKind
    due: datetime
    starts: datetime | None
    called_off: bool
    state: State | None
    opted_out: bool
    told_at: datetime | None
    quiet: bool = False


def why_not(found: Circumstances, now: datetime) -> str | None:
    """Why the reminder is dropped; None where it is told."""
    if found.opted_out:
        return "opted out"
    if found.starts is None or found.called_off:
        return "called off"
    if not _wanted(found):
        return "not coming"
    if now >= found.starts:
        return "begun"
    if now - found.due > TOO_LATE:
        return "too late"
    if found.told_at is not None and now - found.told_at < JUST_TOLD:
        return "told already"
    if found.quiet:  # it was due before them, and an outage held it up
        return "quiet hours"
    return None


def _wanted(found: Circumstances) -> bool:
    """Who is coming wants both, a maybe the evening's; what was asked for is for whoever has not said no since."""
    if found.kind == "asked":
        return found.state != "off"
    return found.state == "coming" or (found.kind == "evening" and found.state == "maybe")
