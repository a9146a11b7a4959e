"""What was told to nobody singly: the texts of alarms that came thick and fast, and the questions of a crowd. Told by number, and listed."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from clubbot.conversation.ask import Ask, Served
from clubbot.conversation.helping import quoted
from clubbot.conversation.phrasing import Voice
from clubbot.model.known import Question
from clubbot.model.orders import ListQuestions

# One text about alarms to one person in this time; the first cry of a phone does not wait for it.
ALARMS_EVERY = timedelta(minutes=2)
# The number of kept questions is told once they have gathered for so long, and again after so long.
KEPT_AFTER = timedelta(minutes=5)
KEPT_EVERY = timedelta(hours=1)
_MOST_QUOTED = 2
_MOST_NUMBERS = 8
_MOST_LISTED = 5
_LONGEST = 90
_LONGEST_LISTED = 50
# How a question is listed whose kind matters: an alarm, a group that wants to come.
_LISTED_AS = {"danger": "crowd.urgent", "visit": "crowd.visit"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Held:
    """An alarm with texts that its person is still to be told of: how many, the last; `first` where even the first of them was not told."""

    number: int
    texts: int
    last: str
    first: bool = False


def waits_until(told_at: datetime | None, now: datetime) -> datetime | None:
    """Until when the next text about alarms waits; None where it need not. A time that is still to come is a clock that was set back."""
    if told_at is None or not told_at <= now < told_at + ALARMS_EVERY:
        return None
    return told_at + ALARMS_EVERY


def alarms_note(held: Sequence[Held], voice: Voice) -> str:
    """One text about everything that was held back: new phones first, then what was added to alarms that are known."""
    new = [one for one in held if one.first]
    more = [one for one in held if not one.first]
    said = [
        voice.say("alarm.new", number=one.number, text=_short(one.last))
        if one.texts == 1
        else voice.say("alarm.new_more", number=one.number, count=one.texts, text=_short(one.last))
        for one in new[:_MOST_QUOTED]
    ]
    if len(new) > _MOST_QUOTED:
        rest = new[_MOST_QUOTED:]
        said.append(voice.say("alarm.more_phones", count=len(rest), numbers=_numbers([one.number for one in rest])))
    said += [
        voice.say("alarm.one_more", number=one.number, text=_short(one.last))
        if one.texts == 1
        else voice.say("alarm.more", count=one.texts, number=one.number, text=_short(one.last))
        for one in more[:_MOST_QUOTED]
    ]
    if len(more) > _MOST_QUOTED:
        rest = more[_MOST_QUOTED:]
        texts = sum(one.texts for one in rest)
        said.append(voice.say("alarm.also", count=texts, numbers=_numbers([one.number for one in rest])))
    if len(held) > _MOST_QUOTED:
        said.append(voice.say("alarm.list"))
    return " ".join(said)


def unanswered_note(alarms: Sequence[Question], voice: Voice) -> str:
    """Several alarms that nobody has answered go to one more person in one text."""
    numbers = _numbers([one.number for one in alarms])
    return voice.say("alarm.unanswered", count=len(alarms), numbers=numbers, text=_short(alarms[0].words))


def kept_note(count: int, voice: Voice) -> str:
    """How many questions are kept."""
    return voice.say("crowd.note" if count > 1 else "crowd.note_one", count=count)


def listed(order: ListQuestions, ask: Ask) -> Served:
    """The questions that wait, a few at a time: alarms first, then by number."""
    voice = ask.voice
    waiting = [one for one in ask.known.questions.values() if one.answered_by is None]
    waiting.sort(key=lambda one: (one.reason != "danger", one.number))
    end = order.page * _MOST_LISTED
    shown, rest = waiting[end - _MOST_LISTED : end], waiting[end:]
    if not shown:
        return Served(sentence=voice.say("crowd.no_more" if waiting else "crowd.none"))
    lines = [
        voice.say(_LISTED_AS.get(one.reason, "crowd.one"), number=one.number, text=_line(one.words)) for one in shown
    ]
    said = voice.say("crowd.list", list="; ".join(lines))
    if rest:
        said = f"{said} {voice.say('crowd.rest', count=len(rest), page=order.page + 1)}"
    return Served(sentence=said)


def _numbers(numbers: Sequence[int]) -> str:
    named = ", ".join(f"Q{number}" for number in numbers[:_MOST_NUMBERS])
    return named if len(numbers) <= _MOST_NUMBERS else f"{named} ..."


def _short(text: str) -> str:
    return _cut(text, _LONGEST)


def _line(text: str) -> str:
    return _cut(text, _LONGEST_LISTED)


def _cut(text: str, longest: int) -> str:
    words = quoted(text)
    return words if len(words) <= longest else f"{words[: longest - 4].rstrip()} ..."
