"""Messages that wait for a person: handed over, gone on with, passed on, answered, settled, taken back."""

from dataclasses import dataclass
from datetime import datetime

from clubbot.model.messages import Language

# Stands in a note to a volunteer for the number of the question, which is only known when it is written down.
QUESTION_NUMBER = "\ue000"


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
class PassQuestion:
    """A question goes to one more person, with a note ("" where another's note tells of it too); `next_at` is when it goes further if nobody answers, None for never;
    `to_asker` is what the asker is told of it, where they wait for somebody who will not answer.
    """

    number: int
    person: str
    phone: str
    note: str
    next_at: datetime | None
    due: datetime | None = None
    to_asker: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class SettleQuestion:
    """A question is done with, without a further word to the asker."""

    number: int
    person: str


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
class WriteTo:
    """Somebody of the club writes to one phone, at once or when it is `due`; what comes back within a day goes to the same person. Nothing goes to
    whoever has opted out.
    """

    number: str
    language: Language
    person: str
    text: str
    due: datetime | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class ProposeWriting:
    """`text` goes to whoever writes the club's answers, at this number, where enough people have asked the same: about the `topic`, or in much
    the same words.
    """

    topic: str | None
    number: str
    text: str
    due: datetime | None = None


QuestionEffect = (
    ProposeWriting | WriteTo | HandOver | AddToAlarm | PassQuestion | SettleQuestion | AnswerQuestion | TakeBackAnswer
)
