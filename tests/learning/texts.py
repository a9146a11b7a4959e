"""What the sentence model is taught with: ways of asking, texts that ask for several things, texts that are not for a club, and what
is made of them while learning (joined, with a slip of the thumb, with a greeting, without marks).
"""

import json
import random
import re
import zlib
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path
from typing import Any, TypeVar

from clubbot.handbook.names_said import NamesSaid, filled
from clubbot.handbook.phrasebook import shipped_examples
from clubbot.model.caution import Risk
from clubbot.model.intent_kinds import ACTS, SMALL_TALK
from clubbot.model.intents import RSVPS
from clubbot.model.messages import LANGUAGES, Language
from clubbot.understanding.marks import marks_of

MATERIAL = Path(__file__).parent / "material"
DOUBTS = Path(__file__).parent / "doubts.jsonl"
_T = TypeVar("_T")
# Never joined to another text.
_SINGLE_ONLY = {"danger", "greeting", "thanks", "stop", "start-again", "human"}
_OUTSIDE = "outside"
# How often a text is joined to another, and how often that one is an act.
_JOINED, _WITH_ACT = 0.4, 0.5
# A text of so many words stands for itself whatever was said before; so often it is taught with something before it.
_STANDS_ALONE, _AFTER_ANYTHING = 6, 0.25
_JOINED_BY: dict[Language, list[str]] = {
    "en": [" and ", ", ", ". ", "? ", " also ", ". Also ", " oh and ", " plus ", " ", "? And ", ". ps ", " btw ", ", and ", " n ", " & ", "... "],
    "fr": [" et ", ", ", ". ", "? ", " aussi ", ". Aussi ", " pis ", " ", "? Et ", " pi ", ", et ", " et aussi ", "... ", "! "],
}  # fmt: skip
_BEFORE: dict[Language, list[str]] = {
    "en": ["hi ", "hello, ", "hey ", "Hi there! ", "good morning, ", "quick question ", "sorry to bother you "],
    "fr": ["bonjour ", "salut ", "allo ", "Bonjour, ", "bonsoir, ", "une petite question ", "excusez-moi "],
}
_AFTER: dict[Language, list[str]] = {
    "en": [" thanks", " thx", " thank you!", " cheers", " pls", " ty", " thanks in advance"],
    "fr": [" merci", " merci!", " svp", " stp", " merci d avance"],
}
_NEXT_KEY = {
    "q": "wa", "w": "qes", "e": "wrd", "r": "etf", "t": "ryg", "y": "tuh", "u": "yij", "i": "uok", "o": "ipl", "p": "ol", "a": "qsz",
    "s": "awdx", "d": "sefc", "f": "drgv", "g": "fthb", "h": "gyjn", "j": "huk", "k": "jil", "l": "kop", "z": "ax", "x": "zsc",
    "c": "xdv", "v": "cfb", "b": "vgn", "n": "bhm", "m": "njk",
}  # fmt: skip


@dataclass(frozen=True)
class Text:
    """A text with all that it asks for; none where it is not for a club. `marks` are what was said before, `risks` the cautions that it
    calls for; `unsure` outputs are those that nobody has labelled it with, though a rule says that they may be meant. `count` is how many
    come by its words, one of `COUNTS`, "0" where it says nothing of it, None where nobody has labelled that.
    """

    text: str
    intents: tuple[str, ...]
    language: Language
    marks: tuple[str, ...] = ()
    risks: tuple[Risk, ...] = ()
    unsure: tuple[str, ...] = ()
    count: str | None = None

    @property
    def for_us(self) -> bool:
        """Whether it is for a club at all."""
        return bool(self.intents)


def of_the_package() -> tuple[list[Text], list[Text]]:
    """The ways of asking, and the texts that ask for several things."""
    doubts = _doubts()
    singles = [
        Text(
            one.text,
            () if one.intent == _OUTSIDE else (one.intent,),
            one.language,
            unsure=tuple(doubt for doubt in doubts.get(one.text, ()) if doubt != one.intent),
        )
        for one in shipped_examples()
    ]
    return singles, [one for language in LANGUAGES for one in _mixed(language)]


def _mixed(language: Language) -> list[Text]:
    """The texts that ask for several things, with all their intents before them; "{league}" stands for what each club calls its own."""
    said = NamesSaid().of(language)
    found = []
    for line in (MATERIAL / f"several_{language}.txt").read_text("utf-8").splitlines():
        intents, _, text = line.partition("\t")
        found.append(Text(filled(text, said), tuple(intents.split("+")), language))
    return found


def of_file(file: Path) -> list[Text]:
    """The texts of a file of JSON lines: "text", "want" (a list; empty or "outside" where it is not for us), "lang", "after" where something
    was said before (or "marks", where a conversation was held with clubbot itself: the marks that it had), "risk" (a list) where it was
    looked at for what is risky, "warned" (a list) where it comes after a caution, and "count" where it was looked at for how many come.
    """
    doubts = _doubts()
    found = []
    for line in file.read_text("utf-8").splitlines():
        one = json.loads(line)
        intents = tuple(intent for intent in one.get("want", []) if intent != _OUTSIDE)
        risks = tuple(one.get("risk", ()))
        if risks and not intents:
            intents = ("safety",)
        unsure = () if "risk" in one else doubts.get(one["text"], ())
        language = one.get("lang", "en")
        found.append(Text(one["text"], intents, language, _marks(one), risks, unsure, one.get("count")))
    return found


def _marks(row: Mapping[str, Any]) -> tuple[str, ...]:
    before, warned = row.get("after"), row.get("warned", ())
    if "marks" in row:
        return tuple(row["marks"])
    if before is not None:
        return marks_of(before["served"], before["event"], before["awaits"], before["coming"], warned)
    return marks_of(("safety",), None, "", 0, warned) if warned else ()


@cache
def _doubts() -> Mapping[str, tuple[str, ...]]:
    """What the rules find in texts that nobody has looked at for it (`python -m tests.learning.doubts` writes it)."""
    rows = (json.loads(line) for line in DOUBTS.read_text("utf-8").splitlines())
    return {row["text"]: tuple(row["may be"]) for row in rows}


def of_the_material() -> tuple[list[Text], list[Text]]:
    """The texts of `material/`: those to teach with, and one in ten that is kept to fit by."""
    found = [one for file in sorted(MATERIAL.glob("*.jsonl")) for one in of_file(file)]
    return [one for one in found if not kept_to_fit(one.text)], [one for one in found if kept_to_fit(one.text)]


def of_conversations() -> list[Text]:
    """Those texts of the material that strangers sent to clubbot itself (`played_*`), but for those kept to fit by."""
    return [
        one for file in sorted(MATERIAL.glob("played_*.jsonl")) for one in of_file(file) if not kept_to_fit(one.text)
    ]


def kept_to_fit(text: str) -> bool:
    """Whether a text of the material, or of strangers, is never learnt from, but thresholds are fitted by it; told by its letters."""
    return zlib.crc32(f"h{text}".encode()) % 10 == 0


def held_back(text: str) -> bool:
    """Whether a text is never learnt from; told by its letters, so that it is the same ones every time."""
    return zlib.crc32(text.encode()) % 25 == 0


def with_slip(text: str, dice: random.Random) -> str:
    """The text with a slip of the thumb or two: a letter lost, doubled, swapped or hit beside."""
    for _ in range(1 + (dice.random() < 0.3) + len(text) // 80):
        if len(text) < 6:
            break
        spot, kind = dice.randrange(1, len(text) - 1), dice.random()
        letter = text[spot].lower()
        if not letter.isalpha():
            continue
        if kind < 0.35:
            text = text[:spot] + text[spot + 1 :]
        elif kind < 0.6:
            text = text[:spot] + text[spot + 1] + text[spot] + text[spot + 2 :]
        elif kind < 0.8:
            text = text[:spot] + dice.choice(_NEXT_KEY.get(letter, letter)) + text[spot + 1 :]
        else:
            text = text[:spot] + letter + text[spot:]
    return text


class Joinable:
    """The texts that another may be joined to, by language, the acts among them by themselves."""

    def __init__(self, texts: Iterable[Text]) -> None:
        texts = list(texts)
        single = [
            one for one in texts if len(one.intents) == 1 and one.intents[0] not in _SINGLE_ONLY and not one.marks
        ]
        self._marks = sorted({one.marks for one in texts if one.marks})
        self._all = {language: [one for one in single if one.language == language] for language in ("en", "fr")}
        self._acts = {language: [one for one in of if one.intents[0] in ACTS] for language, of in self._all.items()}

    def one(self, language: Language, dice: random.Random) -> Text:
        """One of them, an act as often as not."""
        return dice.choice((self._acts if dice.random() < _WITH_ACT else self._all)[language])

    def said_before(self, dice: random.Random) -> tuple[str, ...]:
        """Something that was said before some text."""
        return dice.choice(self._marks) if self._marks else ()


def varied(one: Text, joinable: Joinable, dice: random.Random) -> Text:
    """The text as somebody else might have sent it: with another thing before or behind it, a greeting, thanks, a slip, or no marks."""
    text = one
    if len(one.intents) == 1 and one.intents[0] not in _SINGLE_ONLY and dice.random() < _JOINED:
        for _ in range(1 + (dice.random() < 0.08)):
            text = _joined(text, joinable.one(one.language, dice), dice)
    elif not SMALL_TALK & set(one.intents) and "stop" not in one.intents:
        if dice.random() < 0.06:
            text = replace(text, text=dice.choice(_BEFORE[one.language]) + text.text)
        if dice.random() < 0.05:
            text = replace(text, text=text.text + dice.choice(_AFTER[one.language]))
    if not text.marks and len(text.text.split()) >= _STANDS_ALONE and dice.random() < _AFTER_ANYTHING:
        text = replace(text, marks=joinable.said_before(dice))
    if dice.random() < 0.15:
        text = replace(text, text=with_slip(text.text, dice))
    if dice.random() < 0.1:
        text = replace(text, text=re.sub(r"[.,?!'’]", "", text.text))
    return text


def _joined(one: Text, other: Text, dice: random.Random) -> Text:
    first, second = (one, other) if dice.random() < 0.5 else (other, one)
    said = first.text.rstrip(" .?!") + dice.choice(_JOINED_BY[one.language]) + second.text
    return Text(
        said,
        _either(first.intents, second.intents),
        one.language,
        one.marks,
        _either(first.risks, second.risks),
        _either(first.unsure, second.unsure),
        _count_of(one, other),
    )


def _count_of(one: Text, other: Text) -> str | None:
    """How many come by two texts in one: what either says, where the other is no answer to an event."""
    answers = [text for text in (one, other) if set(RSVPS) & set(text.intents)]
    return answers[0].count if len(answers) == 1 else None


def _either(one: Iterable[_T], other: Iterable[_T]) -> tuple[_T, ...]:
    return tuple(dict.fromkeys((*one, *other)))


def by_length(lengths: Sequence[int], size: int, dice: random.Random) -> list[list[int]]:
    """All texts in random order, those of like length together, so that little is padded."""
    order = list(range(len(lengths)))
    dice.shuffle(order)
    found: list[list[int]] = []
    for start in range(0, len(order), size * 20):
        like = sorted(order[start : start + size * 20], key=lambda which: lengths[which])
        found += [like[begin : begin + size] for begin in range(0, len(like), size)]
    dice.shuffle(found)
    return found
