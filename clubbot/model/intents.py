"""What a message can ask for, its intents: what the sender would say if asked "what is it you want?"."""

from dataclasses import dataclass, field
from datetime import date, datetime, timedelta
from typing import Literal

from clubbot.model.rsvps import NOTHING_SAID, DayId, Said

ReportKind = Literal["hazard", "lost-disc", "found-disc"]
RsvpKind = Literal["rsvp-yes", "rsvp-no", "rsvp-maybe", "rsvp-change"]


@dataclass(frozen=True, slots=True)
class When:
    """The time a text speaks of: days from `first` to `last`, both local, and the hour where one was named. `dated` is False where
    only an hour was, and the day is therefore today; `weekday` where the day was named as one of the week; `until` where a range
    of hours ends; `part_of_day` where the hour is only that at which the evening, say, begins; `of_a_kind` where the weekday may be that
    on which something is always held ("the sunday one for families").
    """

    first: date
    last: date
    at: datetime | None = None
    words: str = ""
    dated: bool = True
    weekday: bool = False
    until: datetime | None = None
    part_of_day: bool = field(default=False, compare=False)  # how it was said, not when it is
    of_a_kind: bool = field(default=False, compare=False)


@dataclass(frozen=True, slots=True)
class AskTopic:
    """A question that the club's answers cover; `side` where only that is asked of an event: "cost", "where", "long" and so on, `on` where it
    is clear of which day, `people` for how many where the text tells; `hole` where it is asked of that one.
    """

    topic: str
    side: str | None = None
    hole: int | None = None
    on: DayId | None = None
    people: int | None = None


@dataclass(frozen=True, slots=True)
class AskStatus:
    """Is the course, a loop (its id) or a hole (its number) open, now or at `when`? Here as in others `unclear` are the words that name a
    day of which it cannot be told which. `ends` where it is asked when it is open again.
    """

    what: str = "course"
    when: When | None = None
    unclear: str | None = None
    ends: bool = False


@dataclass(frozen=True, slots=True)
class AskEvents:
    """What is on; or when is this one next; or what is on then."""

    event: str | None = None
    when: When | None = None
    unclear: str | None = None


@dataclass(frozen=True, slots=True)
class AskDaylight:
    """When does it get dark; is there time for so many holes by so many people from `when`."""

    holes: int | None = None
    people: int | None = None
    when: When | None = None
    unclear: str | None = None


@dataclass(frozen=True, slots=True)
class Greet:
    """A bare hello."""


@dataclass(frozen=True, slots=True)
class Thank:
    """Thanks, ok, bye."""


@dataclass(frozen=True, slots=True)
class AskHelp:
    """What can you do?"""


@dataclass(frozen=True, slots=True)
class Stop:
    """No more texts at all."""


@dataclass(frozen=True, slots=True)
class StartAgain:
    """Texts again, please."""


@dataclass(frozen=True, slots=True)
class JoinList:
    """Put me on a list: its id, or None where the text does not tell which."""

    list_id: str | None


@dataclass(frozen=True, slots=True)
class LeaveList:
    """Take me off one list."""

    list_id: str | None


@dataclass(frozen=True, slots=True)
class TellName:
    """The sender's name; None where it could not be made out."""

    name: str | None


@dataclass(frozen=True, slots=True)
class Report:
    """Damage on the course, a disc lost, a disc found; `hole` or `part` (the id of a loop) where one was named; `more` where it adds to the
    report before.
    """

    kind: ReportKind
    hole: int | None = None
    more: bool = False
    part: str | None = None


@dataclass(frozen=True, slots=True)
class Party:
    """How many people a text speaks of: `total` with the sender, or `more` (fewer where negative) than before; `unclear` where it
    is more than one without telling how many ("the kids and I").
    """

    total: int | None = None
    more: int | None = None
    unclear: bool = False


@dataclass(frozen=True, slots=True)
class Rsvp:
    """Coming, not coming, maybe, or something about it has changed. `on` is the event day where it is settled which; else `event` and
    `when` tell what the text says of it. `stand_in` is who comes in the sender's place; `every` where all days of an event are meant;
    `confirmed` where the sender has said so twice. `said` is who comes and who does not, as far as the text tells; `heard` how many come by the
    sound of the whole text, as counts and their probabilities ("=2", "+1", "?"), none where it was not listened to.
    """

    kind: RsvpKind
    event: str | None = None
    when: When | None = None
    party: Party = Party()
    stand_in: str | None = None
    on: DayId | None = None
    every: bool = False
    confirmed: bool = False
    said: Said = NOTHING_SAID
    unclear: str | None = None
    heard: tuple[tuple[str, float], ...] = field(default=(), compare=False)


@dataclass(frozen=True, slots=True)
class AskMyRsvps:
    """What am I down for?"""

    event: str | None = None
    when: When | None = None


@dataclass(frozen=True, slots=True)
class AskPlaces:
    """Is there room, how many are coming, who is coming?"""

    event: str | None = None
    when: When | None = None
    on: DayId | None = None
    unclear: str | None = None


@dataclass(frozen=True, slots=True)
class AskReminder:
    """Remind me of an event: at the hour in `when`, or so long `before` it begins, or when it is usual."""

    event: str | None = None
    when: When | None = None
    before: timedelta | None = None
    on: DayId | None = None
    unclear: str | None = None


@dataclass(frozen=True, slots=True)
class AskMyMembership:
    """Am I a member, has my fee been paid? A person looks that up."""


@dataclass(frozen=True, slots=True)
class AskPerson:
    """Let me speak to a person."""


@dataclass(frozen=True, slots=True)
class Danger:
    """Somebody is hurt or in danger."""


@dataclass(frozen=True, slots=True)
class ForAPerson:
    """Not about the club, or something that only a person can decide."""


Intent = (
    AskTopic
    | AskStatus
    | AskEvents
    | AskDaylight
    | Greet
    | Thank
    | AskHelp
    | Stop
    | StartAgain
    | JoinList
    | LeaveList
    | TellName
    | Report
    | Rsvp
    | AskMyRsvps
    | AskPlaces
    | AskReminder
    | AskMyMembership
    | AskPerson
    | Danger
    | ForAPerson
)

REPORTS: tuple[ReportKind, ...] = ("hazard", "lost-disc", "found-disc")
RSVPS: tuple[RsvpKind, ...] = ("rsvp-yes", "rsvp-no", "rsvp-maybe", "rsvp-change")


def intent_id(intent: Intent) -> str:
    """The id under which an intent is listed and counted."""
    match intent:
        case AskTopic(topic):
            return topic
        case Report(kind) | Rsvp(kind):
            return kind
        case AskMyRsvps():
            return "my-rsvps"
        case AskPlaces():
            return "places"
        case AskReminder():
            return "remind"
        case AskMyMembership():
            return "my-membership"
        case AskStatus():
            return "status"
        case AskEvents():
            return "events"
        case AskDaylight():
            return "daylight"
        case Greet():
            return "greeting"
        case Thank():
            return "thanks"
        case AskHelp():
            return "help"
        case Stop():
            return "stop"
        case StartAgain():
            return "start-again"
        case JoinList():
            return "notify-on"
        case LeaveList():
            return "notify-off"
        case TellName():
            return "name"
        case AskPerson():
            return "human"
        case Danger():
            return "danger"
        case ForAPerson():
            return "outside"
