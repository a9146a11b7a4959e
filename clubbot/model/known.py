"""All that is read before one message is answered."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime, timedelta

from clubbot.model.club import Closure
from clubbot.model.deeds import Draft
from clubbot.model.dialogue import DialogueState
from clubbot.model.effects.spoken import OpenChoice
from clubbot.model.exchange import Exchange
from clubbot.model.going_out import LineFaults, WentOut
from clubbot.model.intents import ReportKind
from clubbot.model.messages import Language
from clubbot.model.rsvps import DayCount, DayId, InLine, Named, Rsvp, Talk


@dataclass(frozen=True, slots=True, kw_only=True)
class Sender:
    """What is kept about the person texting. `textable` is False where the number is none that can be texted; `first_seen` is None
    where this is the first text.
    """

    number: str
    textable: bool = True
    language: Language | None = None
    name: str | None = None
    opted_out: bool = False
    introduced: bool = False
    quiet_reason: str | None = None
    lists: frozenset[str] = frozenset()
    first_seen: datetime | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Question:
    """A question that was passed to people of the club: to whom so far, and who settled it, if anybody. One that is `kept` was told to
    nobody singly, since too many came at once.
    """

    number: int
    language: Language
    words: str
    told: tuple[str, ...]
    asked_at: datetime
    answered_by: str | None = None
    answer: str | None = None
    reason: str = ""
    opted_out: bool = False
    kept: bool = False
    asker_name: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class SentAnswer:
    """That a person of the club answered a question within the last day. `asker` is told to nobody."""

    question: int
    person: str
    asker: str


@dataclass(frozen=True, slots=True, kw_only=True)
class DiscNote:
    """A disc that was reported lost or found and is not matched yet. `reporter` is told to nobody."""

    number: int
    found: bool
    hole: int | None
    words: str
    reporter: str
    language: Language
    at: datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class ReportNote:
    """A report that is open, or was dealt with within a day, and by whom (`done_by`). `question` is what was passed on with it, `reporter` is
    told to nobody.
    """

    number: int
    kind: ReportKind
    hole: int | None
    part: str | None
    words: str
    reporter: str
    language: Language
    at: datetime
    question: int | None = None
    done_at: datetime | None = None
    done_by: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Taught:
    """What a volunteer's answer has taught: who asks much like `asked` gets the topic's answer, or `answer`."""

    number: int
    topic: str | None
    asked: str
    language: Language
    answer: str | None


@dataclass(frozen=True, slots=True)
class Contact:
    """Somebody whom the sender may write to through the club, and the language that is told in."""

    number: str
    language: Language


@dataclass(frozen=True, slots=True, kw_only=True)
class Called:
    """Somebody who is known by a name that was said: by their own text, or as one of the club's people. `down_for` are the days they are in for."""

    number: str = field(repr=False)
    name: str = field(repr=False)
    language: Language
    opted_out: bool = False
    unreachable: bool = False
    down_for: tuple[DayId, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Thread:
    """The sender's own question that is still open, or was answered within a day, and the person who has it; `kept` as of a question."""

    number: int
    person: str
    open: bool = True
    reason: str = ""
    kept: bool = False


@dataclass(frozen=True, slots=True)
class Alarm:
    """The sender's cry for help of the last minutes: its question, who was told, whether it is still open."""

    number: int
    person: str
    open: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class Earlier:
    """An earlier text of the sender within the last hour: its kind, how long before this one, whether it was told that it was too much."""

    kind: str
    ago: timedelta
    told: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Through:
    """What went through of one kind within the last hour: how many texts, of how many people, and how many of the texts in the last minutes."""

    texts: int = 0
    people: int = 0
    lately: int = 0


@dataclass(frozen=True, slots=True)
class Crowd:
    """What went through of late from all phones together, by kind."""

    through: Mapping[str, Through] = field(default_factory=dict)

    def of(self, kind: str) -> Through:
        """What went through of this kind."""
        return self.through.get(kind, Through())


@dataclass(frozen=True, slots=True, kw_only=True)
class Reach:
    """Whom a text to many people would reach, by language, and who is left out."""

    people: Mapping[Language, int]
    opted_out: int = 0
    unreachable: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Known:
    """The sender, what was said lately, and how things stand on the course.

    `texts_lately` counts the sender's texts of the last five minutes, this one included; `same_in_a_row` how many of
    the latest are this same text, this one included; `said_lately` is what we sent them in the last half hour, the latest first; `dialogue` is the memory
    of the conversation. `questions`
    are those that wait for a person, and those settled within a day, by number; read only for people of the club.
    `days` are the counts of event days that anybody has answered to, `rsvps` and `came` the sender's own answers and sign-ins,
    `lines` the waiting lists from which somebody could be moved up now, in order of asking; `names` are the lists as
    role holders may see them, `by_name` who of them was put down without a phone; `listed` is the whole list of the day that the message changes, `called`
    whoever has a name that the message says, `found` the lines of coming days that a name in it may mean, `month_parts` how many text parts went out
    since the month began, where the message asks for that; `asked_reminders` those that the sender asked for. `draft` is the sender's own deed that waits for its
    code, `proposals` what somebody else has put to people of the club, by phone, `code` one that nobody could guess, for a new one; `sending` whether a
    text to many has not wholly gone; `wrong_codes` are the wrong tries of the last days, by phone; `sent_answers` what was answered within a day; all only for people of the club.
    `discs` are the reports of lost and found discs that are not matched, `next_report` the number of the next one, `reports` all that are
    open or were dealt with within a day, only for people of the club, `my_report` the damage that the sender has just told of;
    `went_out` is what went to many within a week, where the message asks for that, `line` what does not go, only for people of the club; `finder` and `owner` are
    the phones of those whom the sender was put in touch with. `earlier` are the sender's texts of the last hour before this one, `alarm`
    the sender's cry for help of the last ten minutes, `crowd` what went through of late from all phones together.
    """

    sender: Sender
    dialogue: DialogueState = field(default_factory=DialogueState)
    texts_lately: int = 1
    same_in_a_row: int = 1
    said_lately: tuple[str, ...] = ()
    closures: tuple[Closure, ...] = ()
    questions: Mapping[int, Question] = field(default_factory=dict)
    thread: Thread | None = None
    days: Mapping[DayId, DayCount] = field(default_factory=dict)
    rsvps: Mapping[DayId, Rsvp] = field(default_factory=dict)
    lines: Mapping[DayId, tuple[InLine, ...]] = field(default_factory=dict)
    came: Mapping[DayId, int] = field(default_factory=dict)
    names: Mapping[DayId, tuple[Named, ...]] = field(default_factory=dict)
    draft: Draft | None = None
    proposals: Mapping[str, Draft] = field(default_factory=dict)
    by_name: Mapping[DayId, tuple[str, ...]] = field(default_factory=dict)
    listed: tuple[Named, ...] = ()
    found: Mapping[DayId, tuple[Named, ...]] = field(default_factory=dict)
    called: tuple[Called, ...] = ()
    wrong_codes: Mapping[str, tuple[datetime, ...]] = field(default_factory=dict)
    sent_answers: tuple[SentAnswer, ...] = ()
    code: str = ""
    sending: bool = False
    reach: Reach | None = None
    discs: tuple[DiscNote, ...] = ()
    taught: tuple[Taught, ...] = ()
    next_report: int = 1
    reports: tuple[ReportNote, ...] = ()
    my_report: ReportNote | None = None
    went_out: tuple[WentOut, ...] = ()
    month_parts: int | None = None
    line: LineFaults = field(default_factory=LineFaults)
    finder: Contact | None = None
    owner: Contact | None = None
    asked_reminders: Mapping[DayId, datetime] = field(default_factory=dict)
    earlier: tuple[Earlier, ...] = ()
    alarm: Alarm | None = None
    crowd: Crowd = Crowd()

    @property
    def asked(self) -> OpenChoice | None:
        """The question that we left open."""
        return self.dialogue.asked

    @property
    def exchange(self) -> Exchange | None:
        """What was said last, where that is not too long ago to lean on."""
        return self.dialogue.exchange

    @property
    def talk(self) -> Talk | None:
        """The event day that was last spoken of."""
        return self.dialogue.talk
