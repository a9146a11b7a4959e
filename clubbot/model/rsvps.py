"""Who is coming to one day of an event: what is kept about a party, about the day, and about what was said last."""

from dataclasses import dataclass, field
from datetime import date, datetime
from typing import Literal

from clubbot.model.messages import Language

State = Literal["coming", "waiting", "maybe", "off"]
ReminderKind = Literal["evening", "hours", "asked"]
GuestKind = Literal["sender", "kin", "name", "others"]
# What a bare "yes", "no" or number would answer: an offer of places, whether a maybe is coming now, whether the day that we named
# instead will do, how many are coming, whether somebody whom we have never heard of is sure while many sign up at once.
Awaits = Literal["", "offer", "maybe", "this", "number", "sure"]


@dataclass(frozen=True, slots=True, order=True)
class DayId:
    """One day of one event; `day` is the day of the rule, which a move does not change."""

    event: str
    day: date


@dataclass(frozen=True, slots=True, kw_only=True)
class Guest:
    """Who comes in a party, as far as it was said: the sender; kin by the sender's word for them ("daughter"), of the kind `akin`; somebody by name;
    or so many others. Words of the sender's about other people are kept out of what is printed of it, and so out of logs.
    """

    kind: GuestKind
    people: int = 1
    label: str = field(default="", repr=False)
    name: str | None = field(default=None, repr=False)
    akin: str = ""


SENDER = Guest(kind="sender")
# Who was put down by somebody else has no phone here: their answer is kept under this and their name, which is no number that could be texted.
BY_NAME = "name:"


def key_of(plain_name: str) -> str:
    """What the answer of somebody without a phone is kept under; the name in plain letters, so that nobody is put down twice."""
    return f"{BY_NAME}{plain_name}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Said:
    """What a text says of who is in a party: who comes, who does not, who takes the place of somebody who does not. `all_out` where nobody
    comes any more, `everybody` where that was said in so many words ("all of us"); `sender_out` where the sender does not, and others do;
    `unsure` where it is not known of somebody else whether they come.
    """

    comes: tuple[Guest, ...] = ()
    out: tuple[Guest, ...] = ()
    instead: tuple[Guest, ...] = ()
    all_out: bool = False
    everybody: bool = False
    sender_out: bool = False
    unsure: bool = False


NOTHING_SAID = Said()


@dataclass(frozen=True, slots=True, kw_only=True)
class Offer:
    """So many places are held for a waiting party until it says yes."""

    people: int
    until: datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class Rsvp:
    """One party's answer, by its `number`: a phone's, or `key_of` a name. `people` are those coming, waiting or undecided, the texter included; 0 where nobody comes.

    `turn` is the order of asking among those who wait. `passed_over` is the largest offer that was let go: only a larger
    one is made. `stand_in` is who comes in the texter's place; `who` those of the party that were told of, the texter among them.
    `late` is when those said to be there who come late, or until when their place is kept; `unreminded` where no reminder is wished for.
    """

    number: str
    state: State
    people: int
    turn: int = 0
    offer: Offer | None = None
    passed_over: int = 0
    stand_in: str | None = None
    who: tuple[Guest, ...] = ()
    late: datetime | None = None
    unreminded: bool = False

    @property
    def is_down(self) -> bool:
        """Whether the party comes or waits for places."""
        return self.state in {"coming", "waiting"}


@dataclass(frozen=True, slots=True, kw_only=True)
class DayCount:
    """The counts of one event day, in people. `offered` are places held by open offers; `version` grows with every change;
    `last_turn` is the last number given out in the waiting list.
    """

    coming: int = 0
    maybe: int = 0
    waiting: int = 0
    offered: int = 0
    came: int = 0
    new_faces: int = 0
    version: int = 0
    last_turn: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class InLine:
    """A party on the waiting list, with the language it is told in."""

    rsvp: Rsvp
    language: Language


@dataclass(frozen=True, slots=True, kw_only=True)
class Named:
    """A line of the sign-up list as role holders see it: a name where there is one, never a number. `key` is what it is kept under and shown to
    nobody; `language` and `opted_out` are those of its phone, if it has one.
    """

    name: str | None
    state: State
    people: int
    came: int | None = None
    new_face: bool = False
    stand_in: str | None = None
    who: tuple[Guest, ...] = ()
    late: datetime | None = None
    key: str = field(default="", repr=False, compare=False)
    language: Language = "en"
    opted_out: bool = False

    @property
    def by_name(self) -> bool:
        """Whether somebody else put it down, and there is no phone."""
        return self.key.startswith(BY_NAME)


@dataclass(frozen=True, slots=True, kw_only=True)
class Talk:
    """What was last spoken of with somebody. `before` is how their RSVP stood until then, to go back to when it was misread."""

    on: DayId
    intent: str
    at: datetime
    awaits: Awaits = ""
    people: int = 0
    before: Rsvp | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Planned:
    """A reminder: which, and when."""

    kind: ReminderKind
    due: datetime
