"""The question that we left open: which of its choices a text picks, by number or by words."""

from collections.abc import Sequence
from datetime import date, datetime
from typing import Literal

from rapidfuzz import fuzz

from clubbot.conversation.occasions import day_named
from clubbot.conversation.phrasing import Voice
from clubbot.events.days import find
from clubbot.model.choices import Choice
from clubbot.model.effects import OpenChoice
from clubbot.texting.keywords import bare
from clubbot.understanding.noticing import Noticed

# Which of the choices a rule says that a text picks.
_PLACES = {"which 1": 0, "which 2": 1, "which 3": 2, "which last": -1}
_CLOSE_ENOUGH = 85
_TWO = 2
_MOST_NAMING = 3
_SHORTEST_STEM = 4
_LONGEST = 6  # words: a longer text says something of its own and is read afresh


def picked(said: Noticed, asked: OpenChoice | None, voice: Voice, now: datetime) -> Choice | None:
    """The choice that the text picks; None where no question is open or the text says something else."""
    if asked is None or now >= asked.until:
        return None
    if len(asked.choices) == 1 and said.says("yes"):
        return asked.choices[0]
    place = _place(said)
    if place is not None:
        return asked.choices[place] if place < len(asked.choices) else None
    words = bare(said.text.written)
    if any(
        said.says(other)
        for other in ("none of them", "the other", "no matter which", "both", "all of them", "never mind")
    ):
        return None
    if not words or len(words.split()) > _LONGEST:
        return None
    best = max(asked.choices, key=lambda choice: fuzz.token_set_ratio(words, bare(label(choice, voice))))
    near = fuzz.token_set_ratio(words, bare(label(best, voice)))
    return best if near >= _CLOSE_ENOUGH else named_choice(words, asked.choices, voice)


def named_choice(words: str, choices: Sequence[Choice], voice: Voice) -> Choice | None:
    """The only choice that all the words name, by its id or its label: "borrow" is "borrowing discs"."""
    said = bare(words).split()
    if not 1 <= len(said) <= _MOST_NAMING:
        return None
    found = [one for one in choices if all(_has(word, f"{one.intent} {label(one, voice)}") for word in said)]
    return found[0] if len(found) == 1 else None


def _has(word: str, names: str) -> bool:
    return any(
        word == name
        or (min(len(word), len(name)) >= _SHORTEST_STEM and (word.startswith(name) or name.startswith(word)))
        for name in bare(names).split()
    )


Answered = Literal["both", "none", "unclear", "other", "let go"]


def answered(said: Noticed, asked: OpenChoice, now: datetime) -> Answered | None:
    """An answer to our open question that picks no single choice; None where the text is none."""
    if now >= asked.until:
        return None
    two = len(asked.choices) == _TWO
    if said.says("never mind"):
        return "let go"
    if said.says("all of them") or (two and said.says("both")):
        return "both"
    if said.says("none of them"):
        return "none"
    if said.says("the other"):
        return "other" if two else "unclear"
    number = _place(said) is not None or said.text.written.strip().isdecimal()
    unclear = said.says("no matter which") or said.says("both") or number
    return "unclear" if unclear else None


def _place(said: Noticed) -> int | None:
    """The place of the choice that a text names by number; -1 for the last."""
    return next((place for what, place in _PLACES.items() if said.says(what)), None)


def picked_day(choices: tuple[Choice, ...], event: str | None, span: tuple[date, date] | None) -> Choice | None:
    """The choice of an event day that fits what a text names, where exactly one does."""
    fitting = []
    for choice in choices:
        if choice.on is None or (event is None and span is None):
            return None
        then = span is None or span[0] <= choice.on.day <= span[1]
        if (event is None or choice.on.event == event) and then:
            fitting.append(choice)
    return fitting[0] if len(fitting) == 1 else None


def label(choice: Choice, voice: Voice) -> str:
    """What a choice is called in a question."""
    intent, knowledge = choice.intent, voice.knowledge
    if choice.on is not None:
        event = knowledge.event(choice.on.event)
        one = find(event, choice.on.day, knowledge.club.zone)
        return day_named(one, voice) if one is not None else event.name.to(voice.language)
    if choice.list_id is not None:
        return next(one.name.to(voice.language) for one in knowledge.lists if one.id == choice.list_id)
    if intent in knowledge.answers:
        return knowledge.answers[intent].label.to(voice.language)
    return voice.say(f"choice.{intent}") if voice.has(f"choice.{intent}") else intent


def listed(choices: tuple[Choice, ...], voice: Voice) -> str:
    """The choices with their numbers: "1 borrowing discs, 2 buying discs"."""
    return ", ".join(f"{place} {label(choice, voice)}" for place, choice in enumerate(choices, start=1))
