"""How often an event's entry in the calendar feed has changed, for those who subscribed to it."""

from dataclasses import dataclass
from datetime import datetime


@dataclass(frozen=True, slots=True)
class Revision:
    """`sequence` counts the changes since the entry was first seen (RFC 5545, 3.8.7.4); `changed_at` is when the last one was seen."""

    sequence: int
    changed_at: datetime
