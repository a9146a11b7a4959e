"""What the club knows of itself: facts, answers and wording, as read and checked from its knowledge files."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, time
from functools import cached_property
from typing import Any, ClassVar, Literal
from zoneinfo import ZoneInfo

from clubbot.model.messages import Language, Said, SpokenLanguage, Wording

Role = Literal["organiser", "treasurer", "course keeper", "league director", "outreach lead", "helper"]
Weekday = Literal["mon", "tue", "wed", "thu", "fri", "sat", "sun"]
WEEKDAYS: tuple[Weekday, ...] = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")
Month = Literal["jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec"]
MONTHS: tuple[Month, ...] = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")

# Danger: a person says when it is over. Planned: it ends by itself. Held: thunder, everybody off. Note: open, with something to know.
ClosureKind = Literal["danger", "planned", "held", "note"]

# The reader of the files refuses a key that it does not know, so that a slip of the pen is seen.
STRICT: dict[str, Any] = {"extra": "forbid"}


@dataclass(frozen=True, kw_only=True)
class Club:
    """Name, number, place in the world. Times are local to `time_zone`. Between `quiet_from` and `quiet_until` nobody is
    texted who did not write just now, but for what cannot wait. `texts_a_minute` is the pace of a text to many people,
    `text_part_price` what one part costs, in the club's money. `digest` is how often the organiser is told how it went, at `digest_at`; weekly
    on Sundays. After `keep_texts_days` the words of texts are no longer kept.

    So that a crowd of forged numbers drowns nobody: `questions_an_hour_new` questions of numbers that were never seen before are passed on
    singly, `questions_an_hour_known` of the others, the rest is kept and listed. Where `many_new_sign_ups` such numbers signed up for a
    day within an hour, further ones are asked to confirm once their share of the places is given (`EventRule.share_for_new`), or, where
    places are not limited, once `new_people_an_hour` people came in that way.
    """

    __pydantic_config__: ClassVar[dict[str, Any]] = STRICT
    name: str
    short_name: str
    number: str
    country: str
    time_zone: str
    languages: tuple[SpokenLanguage, ...]
    emergency_number: str
    answer_within_minutes: int = 30
    plain_letters: bool = True
    quiet_from: time = time(21)
    quiet_until: time = time(8)
    digest: Literal["daily", "weekly", "off"] = "daily"
    digest_at: time = time(20)
    texts_a_minute: int = 60
    text_part_price: float = 0
    keep_texts_days: int = 365
    questions_an_hour_new: int = 12
    questions_an_hour_known: int = 40
    many_new_sign_ups: int = 5
    new_people_an_hour: int = 30
    check_by: date | None = None

    @cached_property
    def zone(self) -> ZoneInfo:
        """The club's time zone."""
        return ZoneInfo(self.time_zone)


@dataclass(frozen=True, slots=True, kw_only=True)
class MailingList:
    """Texts that people may ask to get, such as course news."""

    __pydantic_config__: ClassVar[dict[str, Any]] = STRICT
    id: str
    name: Said
    also_called: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Loop:
    """Holes that are played as one and come back to the start."""

    __pydantic_config__: ClassVar[dict[str, Any]] = STRICT
    id: str
    name: Said
    first_hole: int
    last_hole: int
    also_called: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Hole:
    """One hole; distances in metres from the long and the short tee."""

    __pydantic_config__: ClassVar[dict[str, Any]] = STRICT
    hole: int
    par: int
    long: int
    short: int


@dataclass(frozen=True, slots=True, kw_only=True)
class RoundTime:
    """How many minutes so many holes take a group of up to so many people."""

    __pydantic_config__: ClassVar[dict[str, Any]] = STRICT
    id: str
    holes: int
    people: int
    minutes: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Closure:
    """Closed from `opens` to `until`: the course, a loop (its id) or a hole (its number).

    Read from a file the times are local and naive; kept and compared they are aware. `number` is that of one made by text. Of one that
    is held, `since` is the last thunder that was told. `begun` where it was in force when it was told, whatever the clock has said since:
    one that is set back must not open what is closed. `by` is the id of whoever made it by text.
    """

    __pydantic_config__: ClassVar[dict[str, Any]] = STRICT
    what: str
    since: datetime
    until: datetime | None = None
    reason: Said
    kind: ClosureKind = "planned"
    number: int | None = None
    begun: bool = False
    by: str | None = None

    def in_force(self, at: datetime) -> bool:
        """Whether it has begun by the aware time `at`; when it ends is another question."""
        # In UTC: where the clock is set back, two instants have the same local time.
        return self.begun or self.since.astimezone(UTC) <= at.astimezone(UTC)


@dataclass(frozen=True, slots=True, kw_only=True)
class Hours:
    """When something at the course is open, such as a desk, a kitchen, a gate. `topic` is the answer that tells of it in general; where
    `also_called` is empty, whoever asks about the topic means it. `thing` is the same for rows that are of one thing in different seasons (the
    row's own id where nothing is written). `days` are all of the week where none is named; `months` the first and the last, all of the year
    where they are left out. Without `opens` only the hour is known at which it closes.
    """

    __pydantic_config__: ClassVar[dict[str, Any]] = STRICT
    id: str
    topic: str
    name: Said
    closes: time
    opens: time | None = None
    thing: str = ""
    also_called: tuple[str, ...] = ()
    days: tuple[Weekday, ...] = ()
    months: tuple[Month, Month] | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Course:
    """The place of play. Latitude and longitude in degrees, north and east positive."""

    latitude: float
    longitude: float
    largest_group: int
    loops: tuple[Loop, ...]
    holes: tuple[Hole, ...]
    rounds: tuple[RoundTime, ...]
    closures: tuple[Closure, ...] = ()
    hours: tuple[Hours, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class EventChange:
    """One day of an event that differs from its rule."""

    __pydantic_config__: ClassVar[dict[str, Any]] = STRICT
    day: date
    called_off: bool = False
    moved_to: date | None = None
    starts: time | None = None
    ends: time | None = None
    meet: Said | None = None
    reason: Said | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class EventRule:
    """An event as it repeats: `repeats` is a recurrence rule of RFC 5545, counted from `first`, never past `last`.

    With `one_entry` who comes is in for all its days, as for a tournament of a weekend. A place that comes free is held
    `offer_minutes` for the next in line. Reminders go out at `remind_evening_before` on the evening before (false: none) and
    `remind_hours_before` it begins (0: none). One phone signs up `most_per_sign_up` people at most. Where many numbers that were never seen
    before sign up at once, `share_for_new` of the places (0.5 is half) are given to them without asking once more. `run_by` is whose role it is
    to run it; the place of who is late is kept `keep_late_minutes` after the start; `dogs`: whether they may come, None where the answer tells it.
    """

    __pydantic_config__: ClassVar[dict[str, Any]] = STRICT
    id: str
    topic: str
    name: Said
    also_called: tuple[str, ...] = ()
    repeats: str = ""
    first: date
    last: date
    sign_up: time | None = None
    starts: time
    ends: time | None = None
    places: int | None = None
    price: int = 0
    member_price: int | None = None
    rsvp_opens: date | None = None
    rsvp_closes: time | None = None
    one_entry: bool = False
    most_per_sign_up: int = 12
    share_for_new: float = 0.5
    offer_minutes: int = 120
    remind_evening_before: time | Literal[False] = time(18)
    remind_hours_before: float = 2
    rounds: int | None = None
    loop: str | None = None
    run_by: Role = "league director"
    keep_late_minutes: int = 15
    dogs: bool | None = None
    meet: Said
    check_by: date | None = None
    change: tuple[EventChange, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Person:
    """Somebody who does something for the club. The number is E.164 and is never shown to others."""

    __pydantic_config__: ClassVar[dict[str, Any]] = STRICT
    id: str
    name: str
    number: str
    roles: tuple[Role, ...]
    language: SpokenLanguage = "en"

    @property
    def first_name(self) -> str:
        """What an asker is told."""
        return self.name.split()[0]


@dataclass(frozen=True, slots=True, kw_only=True)
class Duty:
    """Who answers on these days between these local hours."""

    __pydantic_config__: ClassVar[dict[str, Any]] = STRICT
    days: tuple[Weekday, ...]
    since: time
    until: time
    person: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Swap:
    """On this day `taker` is on duty instead of somebody."""

    day: date
    instead_of: str
    taker: str


@dataclass(frozen=True, slots=True, kw_only=True)
class DutyDay:
    """On this day `person` has all turns of duty, whoever has them on the roster."""

    day: date
    person: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Retired:
    """Somebody who is none of the club's people any more, whatever the files say."""

    id: str
    name: str
    number: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Overlay:
    """What was changed by text and lies over the files: days of events by the event's id, events that were added, turns that somebody else takes, and the phones from
    which no orders are taken; the club's people: their numbers and who joined, their `roles` by id, who `retired`, and who is on duty on which day.
    """

    changes: Mapping[str, tuple[EventChange, ...]] = field(default_factory=dict)
    added: tuple[EventRule, ...] = ()
    swaps: tuple[Swap, ...] = ()
    suspended: frozenset[str] = frozenset()
    locked: Mapping[str, str] = field(default_factory=dict)  # by whom a phone was suspended, by its number
    people: tuple[Person, ...] = ()
    roles: Mapping[str, tuple[Role, ...]] = field(default_factory=dict)
    retired: tuple[Retired, ...] = ()
    duty_days: tuple[DutyDay, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Point:
    """A detail of a topic: a few wordings of the question, and the passage that answers it, facts filled in; none where a person is asked, or
    a fact is missing. `by_role` is the passage of one that names people by their roles, these names still in braces.
    """

    asked: tuple[str, ...]
    said: str
    by_role: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """What the club says to a topic, facts filled in: per language one or two paragraphs, the first complete in itself; none where a fact is
    missing that it cannot be said without. `by_role` are the paragraphs of one that names people by their roles, these names still in braces.
    `points` are its details, each with a passage of its own.
    """

    topic: str
    label: Said
    paragraphs: Mapping[Language, tuple[str, ...]]
    by_role: Mapping[Language, tuple[str, ...]] = field(default_factory=dict)
    points: Mapping[Language, tuple[Point, ...]] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class Example:
    """One way of asking for something."""

    text: str
    intent: str
    language: Language


@dataclass(frozen=True, kw_only=True)
class Knowledge:
    """All that the club knows. `facts` maps a fact's name and a language to its words."""

    club: Club
    course: Course
    events: tuple[EventRule, ...]
    people: tuple[Person, ...]
    duty: tuple[Duty, ...]
    lists: tuple[MailingList, ...]
    answers: Mapping[str, Answer]
    wording: Wording
    facts: Mapping[Language, Mapping[str, str]] = field(repr=False)
    examples: tuple[Example, ...] = field(repr=False)
    swaps: tuple[Swap, ...] = ()
    suspended: frozenset[str] = (
        frozenset()
    )  # ids of people whose phone takes no orders, since NOT ME or somebody's word
    locked: Mapping[str, str] = field(
        default_factory=dict
    )  # of these who was suspended by whom, so that only the organiser restores them
    duty_days: tuple[DutyDay, ...] = ()
    former: tuple[Person, ...] = ()  # who has retired, by text: known by name to what was done before

    def event(self, event_id: str) -> EventRule:
        """The event of that id; StopIteration where there is none."""
        return next(event for event in self.events if event.id == event_id)

    def person(self, person_id: str) -> Person:
        """The person of that id, or whoever had it before retiring; StopIteration cannot happen with checked files."""
        return next(person for person in (*self.people, *self.former) if person.id == person_id)
