"""What the club warns of before it answers anything else, the worst first, and how long that stays in mind."""

from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Literal

Risk = Literal[
    "thunder", "water", "ice", "wind", "climb", "nest", "people", "unwell", "heat", "cold", "dark"
]  # each has its sentence, caution.RISK in the wording

# A storm is over and a tide has turned in so long; until then "and if it stops at six?" is about what was warned of.
WARNED_FOR = timedelta(hours=3)


@dataclass(frozen=True, slots=True, kw_only=True)
class Warned:
    """What was last warned of."""

    risks: tuple[Risk, ...]
    at: datetime
