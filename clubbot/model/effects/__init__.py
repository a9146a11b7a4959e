"""What clubbot may do about a message, by families. A decision is a list of these; each family is written by one function of the store."""

from clubbot.model.effects.broadcasts import (
    BroadcastEffect,
    EndBroadcast,
    GoOnWithBroadcasts,
    HoldBroadcasts,
    StartBroadcast,
)
from clubbot.model.effects.club import (
    BringBack,
    CloseDraft,
    ClubEffect,
    KeepDuty,
    KeepPerson,
    KeepRoles,
    OpenDraft,
    Propose,
    Record,
    RetirePerson,
    Suspend,
    SwapDuty,
    TryCode,
)
from clubbot.model.effects.course import AskAboutClosure, CloseCourse, CourseEffect, ReopenCourse
from clubbot.model.effects.days import (
    AddEventDay,
    CallOffDay,
    CallOnDay,
    DayEffect,
    KeepRevision,
    KeepRsvp,
    MoveDay,
    PlanReminders,
    SettleReminder,
    TellOf,
)
from clubbot.model.effects.discs import DiscEffect, KeepReport, OpenReport, PutInTouch, Relay, SettleReport
from clubbot.model.effects.limits import LetThrough, LimitEffect, TellAlarms, TellKept
from clubbot.model.effects.questions import (
    QUESTION_NUMBER,
    AddToAlarm,
    AnswerQuestion,
    HandOver,
    PassQuestion,
    ProposeWriting,
    QuestionEffect,
    SettleQuestion,
    TakeBackAnswer,
    WriteTo,
)
from clubbot.model.effects.senders import (
    Erase,
    GoQuiet,
    Introduce,
    KeepLanguage,
    KeepName,
    OptIn,
    OptOut,
    SenderEffect,
    SignIn,
    SpeakAgain,
    Subscribe,
    Unsubscribe,
)
from clubbot.model.effects.spoken import (
    ChooseLanguage,
    CloseChoice,
    KeepExchange,
    KeepWarned,
    NoteDoubt,
    OpenChoice,
    SpeakOf,
    SpokenEffect,
)
from clubbot.model.effects.taught import ForgetTaught, KeepTaught, TaughtEffect
from clubbot.model.effects.texts import Reply, SendDigest, TellPerson, TextEffect

# What needs no message: the clock brings these about as well.
ClockEffect = DayEffect | CourseEffect | LimitEffect | PassQuestion | EndBroadcast | SendDigest

Effect = (
    TextEffect
    | SenderEffect
    | SpokenEffect
    | QuestionEffect
    | DayEffect
    | CourseEffect
    | BroadcastEffect
    | DiscEffect
    | TaughtEffect
    | ClubEffect
    | LimitEffect
)

__all__ = [
    "QUESTION_NUMBER",
    "AddEventDay",
    "AddToAlarm",
    "AnswerQuestion",
    "AskAboutClosure",
    "BringBack",
    "BroadcastEffect",
    "CallOffDay",
    "CallOnDay",
    "ChooseLanguage",
    "ClockEffect",
    "CloseChoice",
    "CloseCourse",
    "CloseDraft",
    "ClubEffect",
    "CourseEffect",
    "DayEffect",
    "DiscEffect",
    "Effect",
    "EndBroadcast",
    "Erase",
    "ForgetTaught",
    "GoOnWithBroadcasts",
    "GoQuiet",
    "HandOver",
    "HoldBroadcasts",
    "Introduce",
    "KeepDuty",
    "KeepExchange",
    "KeepLanguage",
    "KeepName",
    "KeepPerson",
    "KeepReport",
    "KeepRevision",
    "KeepRoles",
    "KeepRsvp",
    "KeepTaught",
    "KeepWarned",
    "LetThrough",
    "LimitEffect",
    "MoveDay",
    "NoteDoubt",
    "OpenChoice",
    "OpenDraft",
    "OpenReport",
    "OptIn",
    "OptOut",
    "PassQuestion",
    "PlanReminders",
    "Propose",
    "ProposeWriting",
    "PutInTouch",
    "QuestionEffect",
    "Record",
    "Relay",
    "ReopenCourse",
    "Reply",
    "RetirePerson",
    "SendDigest",
    "SenderEffect",
    "SettleQuestion",
    "SettleReminder",
    "SettleReport",
    "SignIn",
    "SpeakAgain",
    "SpeakOf",
    "SpokenEffect",
    "StartBroadcast",
    "Subscribe",
    "Suspend",
    "SwapDuty",
    "TakeBackAnswer",
    "TaughtEffect",
    "TellAlarms",
    "TellKept",
    "TellOf",
    "TellPerson",
    "TextEffect",
    "TryCode",
    "Unsubscribe",
    "WriteTo",
]
