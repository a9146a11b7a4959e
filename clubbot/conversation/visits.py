"""A school class, a troop, a company that wants to come: date, number and ages go to whoever arranges visits, and stand among the open questions."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import timedelta
from typing import get_args

from clubbot.conversation.ask import Ask, Served
from clubbot.conversation.handover import handed
from clubbot.conversation.phrasing import Voice
from clubbot.conversation.replying import Turn, told
from clubbot.model.club import Person, Role
from clubbot.model.exchange import LEANS_FOR, Spoken
from clubbot.model.intents import AskTopic, When
from clubbot.people.duty import who_has
from clubbot.understanding.noticing import Noticed
from clubbot.understanding.once import Reading

VISIT = "visit"
_TOPIC = "groups"
# From so many people on it is a visit, and no party that signs up or a card that plays.
_FEWEST = 6
# What a text that only adds to a visit has at most, in words.
_LONGEST_DETAIL = 14
_LONGEST_KEPT = 160
_JOINT = " / "


@dataclass(frozen=True, slots=True, kw_only=True)
class _Visit:
    """What is known of a visit so far."""

    when: When | None = None
    number: int | None = None
    ages: str | None = None


def visit(ask: Ask, reading: Reading) -> Turn | None:
    """The wish for a visit kept and passed on; None where the text is none, and adds to none."""
    earlier: tuple[str, ...] = ()
    if _adds(ask, reading) and ask.known.exchange is not None:
        earlier = tuple(ask.known.exchange.text.split(_JOINT))
    elif not _wishes(reading):
        return None
    found = _Visit()
    for text in earlier:
        found = _with(found, reading.anew(text), ask, adds=True)
    found = _with(found, reading, ask, adds=bool(earlier))
    turned = told([_passed_on(found, ask)], ask, None)
    return replace(
        turned,
        spoken=(Spoken(intent=_TOPIC),),
        served=(_TOPIC,),
        about=_JOINT.join((*earlier, reading.text))[-_LONGEST_KEPT:],
    )


def _with(found: _Visit, said: Reading, ask: Ask, *, adds: bool) -> _Visit:
    """With what one text tells of it; what is said last holds."""
    when = said.when if said.when is not None and _ahead(said.when, ask) else None
    return _Visit(
        when=when or found.when,
        number=_number(said.noticed) or found.number,
        ages=_ages(said.noticed, adds=adds) or found.ages,
    )


def _wishes(reading: Reading) -> bool:
    """A school or a troop on a day, or any group with its number and day that sounds like a visit. Without a day, or where the course would be
    booked, what the club offers is told first.
    """
    said, number = reading.noticed, _number(reading.noticed)
    if reading.when is None or not reading.when.dated:
        return False
    if reading.answer.event is not None or said.says("is of the past") or said.says("books the course"):
        return False
    sounds, surely = AskTopic(_TOPIC) in reading.intents, said.says("names a school or a troop")
    if number is None:
        return sounds and surely
    return number >= _FEWEST and (surely or (sounds and said.says("names a group")))


def _adds(ask: Ask, reading: Reading) -> bool:
    """Whether it names the day, the number or the ages, right after visits were spoken of."""
    exchange = ask.known.exchange
    if exchange is None or ask.now - exchange.at > LEANS_FOR:
        return False
    if not exchange.intents or exchange.intents[-1].intent != _TOPIC or _asks(reading):
        return False
    if reading.answer.event is not None:
        return False
    if len(reading.text.split()) > _LONGEST_DETAIL:
        return False
    dated = reading.when is not None and reading.when.dated
    ages = reading.noticed.says("tells ages") or reading.noticed.says("from so many to so many")
    return dated or ages or (_number(reading.noticed) or 0) >= _FEWEST


def _asks(reading: Reading) -> bool:
    """Whether it is a question, and adds nothing."""
    return "?" in reading.text or reading.noticed.says("asks something") or reading.noticed.says("asks about a visit")


def _number(said: Noticed) -> int | None:
    """How many they are; "ten 8 year olds" tells both."""
    found, of_ages = _numbers("so many of a group", said), _numbers("tells ages", said)
    if found:
        return found[0]
    return of_ages[0] if len(of_ages) > 1 and of_ages[0] > of_ages[-1] else None


def _ages(said: Noticed, *, adds: bool) -> str | None:
    """Their ages; where a text only adds to what was said, "9 to 11" is enough."""
    found = _numbers("tells ages", said) or (_numbers("from so many to so many", said) if adds else [])
    if len(found) > 1 and found[0] > found[-1]:
        return str(found[-1])
    return "-".join(map(str, found)) or None


def _numbers(what: str, said: Noticed) -> list[int]:
    """The numbers in the words of that rule."""
    found = said.first(what)
    return [word.number for word in said.words(found) if word.number is not None] if found is not None else []


def _passed_on(found: _Visit, ask: Ask) -> Served:
    voice, knowledge = ask.voice, ask.voice.knowledge
    when, number, ages = found.when, found.number, found.ages
    person = arranges(ask)
    theirs = Voice(knowledge, person.language)
    said = voice.say("visit.noted", what=_what(when, number, ages, voice), name=person.first_name)
    more = [key for key, value in (("day", when), ("number", number), ("ages", ages)) if value is None]
    missing = voice.say("visit.missing", list=voice.joined([voice.say(f"visit.{key}") for key in more])) if more else ""
    thread = ask.known.thread
    again = thread.number if thread is not None and thread.open and thread.reason == VISIT else None
    note = handed(ask, VISIT, "visit.note", to=person, again=again, what=_what(when, number, ages, theirs))
    sentence = " ".join(part for part in (said, _too_soon(when, ask), missing) if part)
    return Served(sentence=sentence, effects=(replace(note, next_at=None),))


def arranges(ask: Ask) -> Person:
    """Whoever has the role that arranges visits by the club's facts, else who is on duty."""
    written = ask.voice.knowledge.facts[ask.voice.knowledge.club.languages[0]].get("groups.arranged_by", "")
    role = next((one for one in _roles() if one == written), None)
    found = who_has(role, ask.voice.knowledge) if role is not None else None
    return found or ask.duty.person


def _roles() -> Sequence[Role]:
    roles: tuple[Role, ...] = get_args(Role)
    return roles


def _ahead(when: When, ask: Ask) -> bool:
    return when.dated and when.last >= ask.now.astimezone(ask.voice.knowledge.club.zone).date()


def _what(when: When | None, number: int | None, ages: str | None, voice: Voice) -> str:
    parts = [voice.say("visit.people", number=number)] if number is not None else []
    if when is not None:
        day = voice.dated(when.first)
        parts.append(day if when.first == when.last else f"{day} - {voice.dated(when.last)}")
        if when.at is not None:
            parts.append(voice.hour(when.at))
    if ages is not None:
        parts.append(voice.say("visit.aged", ages=ages))
    return ", ".join(parts) or voice.say("visit.plain")


def _too_soon(when: When | None, ask: Ask) -> str:
    """That the club asks for more notice, where it does."""
    weeks = ask.voice.knowledge.facts[ask.voice.language].get("groups.weeks_ahead", "")
    if when is None or not weeks.isdecimal():
        return ""
    today = ask.now.astimezone(ask.voice.knowledge.club.zone).date()
    return ask.voice.say("visit.soon", weeks=weeks) if when.first - today < timedelta(weeks=int(weeks)) else ""
