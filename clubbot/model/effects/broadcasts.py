"""Texts to many people at once: begun, held, gone on with, ended."""

from collections.abc import Mapping
from dataclasses import dataclass

from clubbot.model.messages import Language
from clubbot.model.orders import Audience
from clubbot.model.quiet import QuietHours
from clubbot.model.rsvps import DayId


@dataclass(frozen=True, slots=True, kw_only=True)
class StartBroadcast:
    """Many people are told: `texts` by language, each once, at so many a minute, from now on. `quiet` are the hours that are kept;
    None where it may not wait. `helpers` are the numbers of the club's own people.
    """

    person: str
    audience: Audience
    on: DayId | None
    texts: Mapping[Language, str]
    quiet: QuietHours | None
    per_minute: int
    helpers: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class HoldBroadcasts:
    """What has not gone of any broadcast stays."""


@dataclass(frozen=True, slots=True, kw_only=True)
class GoOnWithBroadcasts:
    """What was held goes, at this pace, outside the quiet hours."""

    per_minute: int
    quiet: QuietHours


@dataclass(frozen=True, slots=True, kw_only=True)
class EndBroadcast:
    """Nothing of it waits any more: whoever sent it is told what became of it."""

    broadcast: int
    number: str
    text: str


BroadcastEffect = StartBroadcast | HoldBroadcasts | GoOnWithBroadcasts | EndBroadcast
