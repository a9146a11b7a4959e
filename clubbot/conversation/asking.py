"""The question that we left open: which of its choices a text picks, by number or by words."""

from collections.abc import Sequence
from datetime import date, datetime
from typing import Literal

from rapidfuzz import fuzz

from clubbot.conversation.occasions import day_named
from clubbot.conversation.phrasing import Voice
from clubbot.events.days import find
from clubbot.model.dialogue import Asked
from clubbot.texting import patterns
from clubbot.texting.keywords import bare

_NUMBER = patterns.compile(
    r"^(?:(?:i want|i meant|je veux|je prends|ok|yes|oui|answer|reply|the|number|nr|no|option|choice|le|la|numero|choix) )*(\d|one|two|three|un|une|deux|trois|first|second|third|last|1st|2nd|3rd|1er|1ere|2e|2eme|3e|3eme|premier|premiere|deuxieme|seconde|troisieme|dernier|derniere)(?: (?:one|option|choice|choix|please|pls|plz|svp|stp|thanks|thank you|thx|merci))*$"
)
_PLACES = {
    "one": 1, "first": 1, "1st": 1, "un": 1, "une": 1, "premier": 1, "premiere": 1, "1er": 1, "1ere": 1,
    "two": 2, "second": 2, "2nd": 2, "deux": 2, "deuxieme": 2, "seconde": 2, "2e": 2, "2eme": 2,
    "three": 3, "third": 3, "3rd": 3, "trois": 3, "troisieme": 3, "3e": 3, "3eme": 3,
    "last": -1, "dernier": -1, "derniere": -1,
}  # fmt: skip
_NONE = patterns.compile(
    r"^(?:(?:no|non|sorry|desolee?|euh|um|nope|nah) )*(?:neither|none|neither one|nope|nah|no|non|aucune?|aucun des deux|aucune des deux|ni l un ni l autre|ni l une ni l autre|rien(?: de (?:ca|tout ca|cela))?|nothing|not (?:those|these|any)|(?:neither|none|not any|not one|aucune?)(?: one)? (?:of (?:those|these|them|the above|the two|that)|d eux|d elles|de ca|de ces choix|des deux|des trois))(?: (?:really|thanks|thank you|please|merci|sorry|desolee?|vraiment))*$"
)
_ALL = patterns.compile(
    r"^(?:(?:i want|yes|oui|ok|um|well|actually|je veux) )*(?:both|both of (?:them|those|these)|all|all (?:three|of (?:them|those|these|the above))|les deux|les trois|tous|toutes|tous les deux|toutes les deux|tous les trois|1 and 2|1 et 2|1 2|1 and 2 and 3|1 2 and 3|1 2 3|1 2 et 3|tout)(?: (?:please|pls|plz|svp|stp|thanks|merci|actually))*$"
)
_OTHER = patterns.compile(r"^(?:no |non |ok )?(?:the |l )(?:other|autre)(?: (?:one|please|svp|stp|merci|thanks))*$")
# No answer to a question of which.
_ANY = patterns.compile(
    r"^(?:yes|yep|yeah|yup|ya|sure|oui|ouais|ouin|exactly|correct|right|exact|c est ca|that one|that|it|celui la|celle la|either|any|ca)(?: (?:please|pls|svp|stp|thanks|merci))*$"
)
_CLOSE_ENOUGH = 85
_TWO = 2
_MOST_NAMING = 3
_SHORTEST_STEM = 4
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
    return best if near >= _CLOSE_ENOUGH else named_choice(words, asked.choices, voice)


def named_choice(words: str, choices: Sequence[str], voice: Voice) -> str | None:
    """The only choice that all the words name, by its id or its label: "borrow" is "borrowing discs"."""
    said = bare(words).split()
    if not 1 <= len(said) <= _MOST_NAMING:
        return None
    found = [one for one in choices if all(_has(word, f"{one.partition(' ')[0]} {label(one, voice)}") for word in said)]
    return found[0] if len(found) == 1 else None


def _has(word: str, names: str) -> bool:
    return any(
        word == name
        or (min(len(word), len(name)) >= _SHORTEST_STEM and (word.startswith(name) or name.startswith(word)))
        for name in bare(names).split()
    )


Answered = Literal["both", "none", "unclear", "other"]


def answered(text: str, asked: Asked, now: datetime) -> Answered | None:
    """An answer to our open question that picks no single choice; None where the text is none."""
    if now >= asked.until:
        return None
    words = bare(text)
    two = len(asked.choices) == _TWO
    if _ALL.match(words) and (two or not words.startswith(("both", "les deux"))):
        return "both"
    if _NONE.match(words):
        return "none"
    if _OTHER.match(words):
        return "other" if two else "unclear"
    number = _NUMBER.match(words)
    return "unclear" if _ANY.match(words) or number or _ALL.match(words) else None


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
