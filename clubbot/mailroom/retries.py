"""When a text that the gateway did not take is tried again, and when it is given up. One table, one function."""

from dataclasses import dataclass
from datetime import datetime, timedelta

from clubbot.model.messages import Outgoing, Refused

# After the first failure, the second, ...: quick at first, since most failures are short; about eight hours in all.
DELAYS: tuple[timedelta, ...] = (
    timedelta(seconds=5),
    timedelta(seconds=30),
    timedelta(minutes=2),
    timedelta(minutes=5),
    timedelta(minutes=15),
    timedelta(minutes=30),
    timedelta(hours=1),
    timedelta(hours=2),
    timedelta(hours=4),
)
# However politely the gateway asks to wait: an answer that comes a day late confuses more than it helps.
TOO_OLD = timedelta(hours=24)
# A wait asked for is taken as at least this, so that "Retry-After: 0" does not become a busy loop, and at most an hour a time.
LEAST_WAIT = timedelta(seconds=1)
LONGEST_WAIT = timedelta(hours=1)
# Danger and the confirmation of an opt-out ask again this soon, however long a wait is asked for.
URGENT_WAIT = timedelta(seconds=5)


@dataclass(frozen=True, slots=True)
class Again:
    """Try at this time; `counts` where it is a failed attempt and not a wait that the gateway asked for."""

    at: datetime
    counts: bool


@dataclass(frozen=True, slots=True)
class GiveUp:
    """Do not try again, for this reason."""

    reason: str


def asked_to_wait(refused: Refused) -> timedelta | None:
    """The wait that the gateway asked for, kept within our bounds; None where it named none."""
    if refused.wait is None:
        return None
    # Bounded while it is a number still: the gateway may name more seconds than a timedelta holds.
    return timedelta(seconds=min(max(refused.wait, LEAST_WAIT.total_seconds()), LONGEST_WAIT.total_seconds()))


def after_refusal(text: Outgoing, refused: Refused, now: datetime, age: timedelta | None = None) -> Again | GiveUp:
    """What to do about a text that was not taken; `text.attempts` are those that failed before this one. `age` is how old it is, where
    the clock was set since it was written.
    """
    age = now - text.created_at if age is None else age
    wait = asked_to_wait(refused)
    if wait is not None:
        again = Again(now + (min(wait, URGENT_WAIT) if text.urgent else wait), counts=False)
    elif text.attempts < len(DELAYS):
        again = Again(now + DELAYS[text.attempts], counts=True)
    else:
        return GiveUp(f"not taken after {text.attempts + 1} attempts: {refused.reason}")
    if age + (again.at - now) > TOO_OLD:
        return GiveUp(f"not taken within {TOO_OLD // timedelta(hours=1)} hours: {refused.reason}")
    return again
