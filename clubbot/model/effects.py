"""What clubbot may do about a message. A decision is a list of these; `store/apply` is the one pen that carries them out."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from clubbot.model.club import Closure, Swap
from clubbot.model.deeds import Draft, TeachDeed
from clubbot.model.exchange import Spoken
from clubbot.model.messages import Language, Said
from clubbot.model.orders import Audience
from clubbot.model.quiet import QuietHours
from clubbot.model.rsvps import Awaits, DayId, Planned, ReminderKind, Rsvp
from clubbot.model.wants import ReportKind

# Stands in a note to a volunteer for the number of the question, which is only known when it is written down.
QUESTION_NUMBER = "\ue000"


@dataclass(frozen=True, slots=True, kw_only=True)
class Reply:
    """A text to the sender. `asks_consent` is False only for the one confirmation of an opt-out and for danger."""

    text: str
    asks_consent: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class TellPerson:
    """A text to a volunteer, at once or when it is `due`."""

    person: str
    number: str
    text: str
    due: datetime | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class HandOver:
    """The message waits for a person: kept until somebody has dealt with it. `note` is what that person is told; the mark
    U+E000 in it stands for the number that the question gets when it is written down. The note goes out at `due`; at `next_at` the
    next on the roster is told too. With `again` it is no new question but one that goes on. `kept`: nobody is told of it singly, since too
    many came at once; it is counted, listed and told of by number.
    """

    reason: str
    person: str
    number: str
    note: str
    due: datetime | None = None
    next_at: datetime | None = None
    again: int | None = None
    kept: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class AddToAlarm:
    """One more text of somebody who has just cried for help; the person who was told hears of it with the next note."""

    number: int


@dataclass(frozen=True, slots=True, kw_only=True)
class LetThrough:
    """One more of this kind from all phones together went through, `people` of them in it. Where `most` have within that time, meanwhile,
    the message is decided again.
    """

    kind: str
    people: int = 1
    most: int | None = None
    within: timedelta = timedelta(hours=1)


@dataclass(frozen=True, slots=True, kw_only=True)
class PassQuestion:
    """A question goes to one more person, with a note ("" where another's note tells of it too); `next_at` is when it goes further if nobody answers, None for never."""

    number: int
    person: str
    phone: str
    note: str
    next_at: datetime | None
    due: datetime | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class SettleQuestion:
    """A question is done with, without a further word to the asker."""

    number: int
    person: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SwapDuty:
    """Somebody takes somebody's turn."""

    swap: Swap


@dataclass(frozen=True, slots=True, kw_only=True)
class AnswerQuestion:
    """A volunteer's words go to the one who asked, and the question is settled. Where somebody else has settled it meanwhile, the
    volunteer's text is decided again.
    """

    number: int
    person: str
    text: str
    words: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Propose:
    """Somebody else is shown what they are asked to agree to, with the code."""

    number: str
    draft: Draft
    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class KeepTaught:
    """It is known from now on."""

    deed: TeachDeed


@dataclass(frozen=True, slots=True, kw_only=True)
class ForgetTaught:
    """It is not known any more."""

    number: int


@dataclass(frozen=True, slots=True, kw_only=True)
class KeepLanguage:
    """The sender's language, for texts that do not show theirs."""

    language: Language


@dataclass(frozen=True, slots=True, kw_only=True)
class KeepName:
    """What the sender wants to be called."""

    name: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Introduce:
    """The sender has been told who we are and how to stop."""


@dataclass(frozen=True, slots=True, kw_only=True)
class OptOut:
    """No more texts to the sender. The words are kept as proof."""

    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class OptIn:
    """Texts again. The words are kept as proof."""

    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Subscribe:
    """On a list, in these words."""

    list_id: str
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Unsubscribe:
    """Off a list, in these words."""

    list_id: str
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class OpenChoice:
    """We asked which of these was meant; the next text may be the number or the words. `about` is the text that was unclear, `again`
    where we have asked twice.
    """

    choices: tuple[str, ...]
    about: str
    language: Language
    until: datetime
    again: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class CloseChoice:
    """The question we left open is settled or dropped."""


@dataclass(frozen=True, slots=True, kw_only=True)
class KeepExchange:
    """What was last said, so that the next text can lean on it or mend it; what was kept before is forgotten."""

    text: str
    language: Language
    wants: tuple[Spoken, ...] = ()
    others: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class NoteDoubt:
    """A text was read as something else than its writer meant: for the organiser to look at. Nobody's number is kept with it."""

    text: str
    read_as: str
    meant: str | None


@dataclass(frozen=True, slots=True, kw_only=True)
class GoQuiet:
    """Not answered until it stops: too many texts, or our own coming back. Kept so that the duty person is told once."""

    reason: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SpeakAgain:
    """The flood is over."""


@dataclass(frozen=True, slots=True, kw_only=True)
class KeepRsvp:
    """A party's answer as it now is. `seen` is the version of the day's counts that it was decided on: where they have changed
    meanwhile, the message is decided again. `told` says what this person has been told of the day (`events.days.as_told`);
    None where it stays as it was. `heard` where the reply speaks of the day: a reminder within the hour is then spared.
    """

    on: DayId
    rsvp: Rsvp
    seen: int
    told: str | None = None
    heard: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class TellOf:
    """A text about an event day to somebody in its list. `key` is there once, so that nobody is told twice; `told` as in KeepRsvp."""

    on: DayId
    number: str
    text: str
    key: str
    told: str | None = None
    awaits: Awaits = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanReminders:
    """The reminders that this person gets of that day; those of the same `kinds` that still wait are dropped."""

    on: DayId
    number: str
    kinds: tuple[ReminderKind, ...]
    planned: tuple[Planned, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class SettleReminder:
    """A reminder is done with: told, or dropped for a reason."""

    id: int
    reason: str | None


@dataclass(frozen=True, slots=True, kw_only=True)
class SignIn:
    """So many of the sender's party are here."""

    on: DayId
    people: int


@dataclass(frozen=True, slots=True, kw_only=True)
class SpeakOf:
    """What the sender and we last spoke of, so that "make it 3" or "no, thursday" can be understood. `before` is how the RSVP
    stood before this text.
    """

    on: DayId
    want: str
    awaits: Awaits = ""
    people: int = 0
    before: Rsvp | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class KeepRevision:
    """The calendar entry of an event, or of one changed day of it, has become another: its words, and how often it has."""

    event: str
    day: date | None
    words: str
    sequence: int


@dataclass(frozen=True, slots=True, kw_only=True)
class OpenDraft:
    """A deed of the sender waits for its code; one that waited before is dropped."""

    draft: Draft


@dataclass(frozen=True, slots=True, kw_only=True)
class TryCode:
    """A wrong code came from the sender's phone."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CloseDraft:
    """The deed that waited is done, or dropped; with `proposal` the one that somebody else has put to the sender."""

    proposal: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Suspend:
    """NOT ME: nothing but holding play is taken from the sender's phone until a code brings it back. What `person` was written down to have
    answered is not looked at again.
    """

    person: str


@dataclass(frozen=True, slots=True, kw_only=True)
class BringBack:
    """The sender's phone may do again what its roles allow."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TakeBackAnswer:
    """An answer was not the person's: the asker is told `text` (None where another of these tells them), and the question is open again and
    goes to somebody else, as in PassQuestion; with `person` None it only waits.
    """

    number: int
    text: str | None
    person: str | None = None
    phone: str = ""
    note: str = ""
    next_at: datetime | None = None
    due: datetime | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Record:
    """What somebody of the club did, kept for good."""

    person: str
    what: str


@dataclass(frozen=True, slots=True, kw_only=True)
class CloseCourse:
    """The course, a loop or a hole is closed, on hold, or has a note. One that is on hold already is held from now."""

    closure: Closure
    person: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ReopenCourse:
    """These closures are over."""

    closures: tuple[int, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class CallOffDay:
    """A day of an event is called off."""

    on: DayId
    reason: Said


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


@dataclass(frozen=True, slots=True, kw_only=True)
class KeepReport:
    """A report is taken down; `number` is its own, so that the note can name it."""

    number: int
    kind: ReportKind
    hole: int | None
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PutInTouch:
    """A lost and a found disc are one: the two people are told, and may write to each other through the club until then."""

    lost: int
    found: int
    owner: str
    finder: str
    to_owner: str
    to_finder: str
    until: datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class Relay:
    """The sender's words go to the other of two who were put in touch."""

    number: str
    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SendDigest:
    """How it went, to the organiser, once for that day."""

    day: date
    number: str
    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class TellAlarms:
    """What was held back of alarms is told to one person in one text: of these questions."""

    person: str
    number: str
    text: str
    questions: tuple[int, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class TellKept:
    """How many questions are kept is told to one person, once."""

    person: str
    number: str
    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class AskAboutClosure:
    """Somebody has been asked whether a closure is over; `key` is there once."""

    closure: int
    number: str
    text: str
    key: str


# What needs no message: the clock brings these about as well.
ClockEffect = (
    SendDigest
    | EndBroadcast
    | PassQuestion
    | KeepRsvp
    | TellOf
    | PlanReminders
    | SettleReminder
    | KeepRevision
    | AskAboutClosure
    | TellAlarms
    | TellKept
)

Effect = (
    Reply
    | TellPerson
    | HandOver
    | AnswerQuestion
    | KeepLanguage
    | KeepName
    | Introduce
    | OptOut
    | OptIn
    | Subscribe
    | Unsubscribe
    | OpenChoice
    | CloseChoice
    | KeepExchange
    | NoteDoubt
    | GoQuiet
    | SpeakAgain
    | KeepRsvp
    | TellOf
    | PlanReminders
    | SettleReminder
    | SignIn
    | SpeakOf
    | KeepRevision
    | PassQuestion
    | SettleQuestion
    | SwapDuty
    | OpenDraft
    | TryCode
    | Suspend
    | BringBack
    | TakeBackAnswer
    | CloseDraft
    | Record
    | CloseCourse
    | ReopenCourse
    | CallOffDay
    | AskAboutClosure
    | StartBroadcast
    | HoldBroadcasts
    | GoOnWithBroadcasts
    | EndBroadcast
    | KeepReport
    | PutInTouch
    | Relay
    | SendDigest
    | Propose
    | KeepTaught
    | ForgetTaught
    | AddToAlarm
    | LetThrough
    | TellAlarms
    | TellKept
)
