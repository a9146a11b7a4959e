"""An answer to what we asked with words beside it: "YES. Lars", "the second one, and is it free", "none of those. the big one". The
answer is carried out as if it stood alone, and what is said beside it is served as well.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace

from clubbot.conversation.ask import asks
from clubbot.conversation.choosing import chosen, either
from clubbot.conversation.handover import for_a_person
from clubbot.conversation.replying import Turn, both, known_after, served, told
from clubbot.conversation.shortly import named, number_alone, short_answer
from clubbot.conversation.texted import Texted
from clubbot.model.dialogue import OPEN_FOR
from clubbot.model.effects import OpenChoice
from clubbot.model.intents import (
    AskHelp,
    Danger,
    ForAPerson,
    Greet,
    Intent,
    LeaveList,
    Rsvp,
    StartAgain,
    Stop,
    TellName,
    Thank,
    intent_id,
)
from clubbot.model.rsvps import Talk
from clubbot.understanding.once import Reading

_PLACES: Mapping[str, int] = {"begins with 1": 0, "begins with 2": 1, "begins with 3": 2, "begins with a number": 3}
_NOT_BESIDE = (AskHelp, Danger, ForAPerson, Greet, Rsvp, StartAgain, Stop, Thank, LeaveList)
_ASKED_YES = frozenset({"this", "sure", "maybe"})


@dataclass(frozen=True, slots=True)
class _Cut:
    """How a text begins, and the words behind it."""

    head: str
    rest: str
    paused: bool


def with_words_beside(texted: Texted) -> Turn | None:
    """The turn of a text that begins with an answer to what we asked and goes on; None where it does not."""
    asked, talk = texted.known.asked, texted.known.talk
    if asked is not None and texted.now < asked.until and (turned := _to_a_choice(asked, texted)) is not None:
        return turned
    if talk is None or talk.awaits not in _ASKED_YES or texted.now - talk.at > OPEN_FOR:
        return None
    return _to_yes(talk, texted)


def none_of_them(texted: Texted) -> Texted | None:
    """The text without the words that want nothing of what we offered, where it goes on: "none of those. the big one"."""
    asked = texted.known.asked
    if asked is None or texted.now >= asked.until or len(asked.choices) < 2:
        return None
    cut = _cut("begins with none", texted.reading)
    if cut is None or _adds_nothing(cut.rest, texted):
        return None
    known = replace(texted.known, dialogue=replace(texted.known.dialogue, asked=None))
    return replace(_with(texted, cut.rest), known=known)


def _to_a_choice(asked: OpenChoice, texted: Texted) -> Turn | None:
    reading = texted.reading
    place = next((one for one in _PLACES if reading.noticed.says(one)), None)
    if len(asked.choices) == 1:
        cut = _cut("begins with yes", reading)
    elif place is None:
        cut = _cut("begins with either", reading)
        return None if cut is None else _and_the_rest(either(asked, texted), cut, texted)
    else:
        cut = _cut(place, reading)
        there = _PLACES[place] < len(asked.choices)
        if cut is not None and not (there and (cut.paused or reading.noticed.says("a choice goes on"))):
            return None
    if cut is None:
        return None
    beside = reading.in_its_place(cut.rest)
    turned = chosen(asked, _with(texted, cut.head), beside)
    return _and_the_rest(turned, cut, texted)


def _to_yes(talk: Talk, texted: Texted) -> Turn | None:
    """A yes to what we asked about an event day; another day or event beside it is a matter of its own."""
    cut = _cut("begins with yes", texted.reading)
    if cut is None:
        return None
    rest = texted.reading.in_its_place(cut.rest)
    if _is_elsewhere(rest, talk) or _is_no_yes(cut, texted):
        return None
    ask = texted.ask(texted.reading.language, part=texted.reading.in_its_place(cut.head))
    number = _number(rest)
    if number is not None and talk.awaits == "this":
        dialogue = replace(ask.known.dialogue, talk=replace(talk, people=number))
        ask = replace(ask, known=replace(ask.known, dialogue=dialogue))
    done = short_answer(ask)
    return None if done is None else _and_the_rest(told([done], ask, None), cut, texted)


def _cut(says: str, reading: Reading) -> _Cut | None:
    """The beginning of that kind and what goes on behind it; None where the text has none, or nothing behind."""
    match = reading.noticed.first(says)
    rest = reading.noticed.after(match) if match is not None else ""
    if match is None or not rest.strip():
        return None
    words = reading.noticed.words(match)
    head = reading.text[: reading.noticed.start(match)] + reading.text[words[0].start : words[-1].end]
    return _Cut(head.strip(), rest.strip(), bool(words[-1].pause))


def _with(texted: Texted, words: str) -> Texted:
    return replace(texted, reading=texted.reading.in_its_place(words))


def _is_elsewhere(rest: Reading, talk: Talk) -> bool:
    """Whether it names another event or day than the one that was spoken of."""
    said = rest.answer
    other = said.event is not None and said.event != talk.on.event
    when = said.when if said.when is not None and said.when.dated else None
    return other or (when is not None and not when.first <= talk.on.day <= when.last)


def _is_no_yes(cut: _Cut, texted: Texted) -> bool:
    """Whether it asks first, and says yes only to go on: "yes but how much"."""
    rest = _with(texted, cut.rest)
    return rest.reading.noticed.says("goes on with but") and asks(rest.ask())


def _number(rest: Reading) -> int | None:
    """How many come in all, where the words behind a yes tell that and ask nothing."""
    alone = number_alone(rest.noticed)
    if alone is not None:
        return alone
    if any(not isinstance(intent, Rsvp) for intent in rest.intents) or "?" in rest.text:
        return None
    return rest.answer.party.total


def _adds_nothing(rest: str, texted: Texted) -> bool:
    said = _with(texted, rest).reading.noticed
    return said.says("adds nothing") or number_alone(said) is not None or not any(one.isalnum() for one in rest)


def _and_the_rest(turned: Turn | None, cut: _Cut, texted: Texted) -> Turn | None:
    """The answer with what is beside it."""
    if turned is None or _adds_nothing(cut.rest, texted):
        return turned
    known = known_after(texted.known, turned, texted.now)
    rest = replace(_with(texted, cut.rest), known=known).introduced()
    more = _rest(turned, rest)
    return turned if more is None else both(turned, more)


def _rest(turned: Turn, texted: Texted) -> Turn | None:
    """What is beside the answer: a name that was asked for, what is clearly wanted; a question that is not clear goes to a person."""
    reading, ask = texted.reading, texted.ask(turned.language, alone=False)
    name = named(ask, reading)
    if name is not None:
        return told([name], ask, None)
    wanted = [one for one in reading.intents if _is_wanted(one) and intent_id(one) not in turned.served]
    if wanted:
        return served(wanted, ask, None, brief=True)
    unclear = "?" in reading.text and all(isinstance(one, ForAPerson) for one in reading.intents)
    return told([for_a_person(ask, reason="not understood")], ask, None) if unclear else None


def _is_wanted(intent: Intent) -> bool:
    return not isinstance(intent, _NOT_BESIDE) and intent != TellName(None)
