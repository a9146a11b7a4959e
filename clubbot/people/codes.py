"""Codes: how long they are, how many wrong ones a phone may send, and when codes work on it again.

A number can be forged, but the forger does not get the reply, and so not the code; all that is left is to guess. Wrong codes are
counted by phone, over all drafts and all kinds of deed. A right code takes none of them back: it comes from the phone itself, so
whoever guesses beside it would get two free guesses for everything that its owner orders.
"""

from collections.abc import Sequence
from datetime import datetime, timedelta

HOUR, DAY = timedelta(hours=1), timedelta(days=1)

# So many wrong codes within an hour close the phone's drafts, and codes work on it again after an hour; so many within a day, after a day.
TRIES_AN_HOUR = 3
TRIES_A_DAY = 6
# Waiting for a code at once on one phone: its own draft, and what somebody else has put to it.
OPEN_AT_ONCE = 2
# What a small club has of phones with a role, and more.
PHONES = 20

# Eight digits: what a phone shows in one piece and what banks send. Each guess hits with 2 in 100,000,000 at most, since a forged order
# can keep a draft open all the time and somebody may have proposed something as well; the codes change with every draft, so a guess tells
# nothing for the next. 50,000,000 guesses are to be expected, then, before one hits. A phone takes 6 a day, 20 phones 120 a day or 43,830 a
# year: 1,140 years. Three an hour without the day's limit would make it 95 years, and ten digits cannot be read off as easily.
DIGITS = 8
CODES: int = 10**DIGITS

# Wrong codes older than this matter to nothing.
LOOKS_BACK = 2 * DAY

_LIMITS = ((TRIES_AN_HOUR, HOUR), (TRIES_A_DAY, DAY))


def as_code(drawn: int) -> str:
    """A number below CODES as it is shown."""
    return f"{drawn:0{DIGITS}}"


def years_to_guess(phones: int = PHONES) -> float:
    """How long guessing on that many phones takes on average at the most that is allowed."""
    return CODES / OPEN_AT_ONCE / (TRIES_A_DAY * phones * 365.25)


def closed_until(wrong: Sequence[datetime], now: datetime) -> datetime | None:
    """When codes work again on a phone from which these wrong ones came, the oldest first; None where they work."""
    ends = [
        latest[-1] + span
        for most, span in _LIMITS
        if len(latest := wrong[-most:]) == most and latest[-1] - latest[0] < span
    ]
    until = max(ends, default=now)
    return until if until > now else None


def tries_left(wrong: Sequence[datetime], now: datetime) -> int:
    """How many more wrong ones a phone may send before codes stop working on it."""
    return max(0, min(most - sum(one > now - span for one in wrong) for most, span in _LIMITS))
