"""The question that we left open: which of its choices a text picks, by number or by words."""

import re
from datetime import date, datetime

from rapidfuzz import fuzz

from clubbot.conversation.occasions import day_named
from clubbot.conversation.phrasing import Voice
from clubbot.events.days import find
from clubbot.model.known import Asked
from clubbot.texting.keywords import bare

_NUMBER = re.compile(
    r"^(?:(?:the|number|no|option|choice|le|la|numero|choix) )?(\d|one|two|three|un|une|deux|trois|first|second|third|last|premier|premiere|deuxieme|troisieme|dernier|derniere)(?: one| please| pls| svp| stp| thanks| merci)?$"
)
_PLACES = {
    "one": 1, "first": 1, "un": 1, "une": 1, "premier": 1, "premiere": 1,
    "two": 2, "second": 2, "deux": 2, "deuxieme": 2,
    "three": 3, "third": 3, "trois": 3, "troisieme": 3,
    "last": -1, "dernier": -1, "derniere": -1,
}  # fmt: skip
_CLOSE_ENOUGH = 85
_LONGEST = 6  # words: a longer text says something of its own and is read afresh


def picked(text: str, asked: Asked | None, voice: Voice, now: datetime) -> str | None:
    """The choice that the text picks; None where no question is open or the text says something else."""
    if asked is None or now >= asked.until:
        return None
    words = bare(text)
    found = _NUMBER.match(words)
    if found:
        place = int(found[1]) if found[1].isdigit() else _PLACES[found[1]]
        if place == -1:
            return asked.choices[-1]
        return asked.choices[place - 1] if 1 <= place <= len(asked.choices) else None
    if not words or len(words.split()) > _LONGEST:
        return None
    best = max(asked.choices, key=lambda choice: fuzz.token_set_ratio(words, bare(label(choice, voice))))
    near = fuzz.token_set_ratio(words, bare(label(best, voice)))
    return best if near >= _CLOSE_ENOUGH else None


def picked_day(choices: tuple[str, ...], event: str | None, span: tuple[date, date] | None) -> str | None:
    """The choice of an event day that fits what a text names, where exactly one does."""
    fitting = []
    for choice in choices:
        _, event_id, day = (*choice.split(" "), "", "")[:3]
        if not day or (event is None and span is None):
            return None
        then = span is None or span[0] <= date.fromisoformat(day) <= span[1]
        if (event is None or event_id == event) and then:
            fitting.append(choice)
    return fitting[0] if len(fitting) == 1 else None


def label(choice: str, voice: Voice) -> str:
    """What a choice is called in a question; a choice is a want's id, with the id of a list, or of an event and a day, after it
    where it is about one.
    """
    want, _, about = choice.partition(" ")
    list_id, _, day = about.partition(" ")
    if day:
        one = find(voice.knowledge.event(list_id), date.fromisoformat(day), voice.knowledge.club.zone)
        return day_named(one, voice) if one is not None else voice.knowledge.event(list_id).name.to(voice.language)
    if list_id:
        return next(one.name.to(voice.language) for one in voice.knowledge.lists if one.id == list_id)
    if want in voice.knowledge.answers:
        return voice.knowledge.answers[want].label.to(voice.language)
    return voice.say(f"choice.{want}") if voice.has(f"choice.{want}") else want


def listed(choices: tuple[str, ...], voice: Voice) -> str:
    """The choices with their numbers: "1 borrowing discs, 2 buying discs"."""
    return ", ".join(f"{place} {label(choice, voice)}" for place, choice in enumerate(choices, start=1))
