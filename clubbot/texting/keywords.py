"""The words by which people stop and start texts: the carriers' key words as whole messages. The same wish said plainly is found by
rules (understanding/consent).

Sources: CTIA Messaging Principles (2023) 5.1; US 47 CFR 64.1200(a)(10), words that always count as a revocation; Canadian
common short code guidelines: STOP answered in English, ARRET in French. The word YES starts nothing here, since it
is also how people answer a question.
"""

import unicodedata
from dataclasses import dataclass
from typing import Literal

from rapidfuzz.distance import OSA

from clubbot.model.messages import Language
from clubbot.texting import patterns

KeywordKind = Literal["stop", "help", "start"]


@dataclass(frozen=True, slots=True)
class Keyword:
    """A key word read, and the language it is answered in."""

    kind: KeywordKind
    language: Language


# Letters: of a word as long as that one slip may be of any kind, of one twice as long two; of a shorter one only some.
_LONG = 5
_STOP_EN = ("stop", "stopall", "stop all", "unsubscribe", "cancel", "end", "quit", "revoke", "optout", "opt out")
_STOP_FR = ("arret", "arreter", "arrete", "arretez", "desabonner", "desabonnement", "desinscrire", "desinscription")
_HELP_EN = ("help", "info")
_HELP_FR = ("aide",)
_START_EN = ("start", "unstop")
_START_FR = ("reprendre",)

# Of these a slip of the thumb is one too, where it is all that was written. What is near to one and another word is none.
_SLIPS_OF = (
    "stop",
    "quit",
    "cancel",
    *(word for word in (*_STOP_EN, *_STOP_FR) if len(word) >= _LONG and " " not in word),
)
_OTHER_WORDS = frozenset(
    [
        "stoop",
        "spot",
        "sop",
        "slop",
        "shop",
        "step",
        "top",
        "stow",
        "atop",
        "stops",
        "stopped",
        "stopper",
        "strop",
        "stoup",
        "scop",
        "estop",
        "quite",
        "quiet",
        "quiets",
        "quits",
        "quilt",
        "quint",
        "suit",
        "unit",
        "cancels",
        "canceled",
        "cancelled",
        "canceling",
        "cancelling",
        "cancer",
        "cancels",
        "chancel",
        "arrest",
        "arrests",
        "arrets",
        "arrive",
        "arriver",
        "arrivee",
        "arrivez",
        "aretes",
        "archet",
        "revoked",
        "evoke",
        "provoke",
        "stopover",
        "stomp",
        "stock",
        "stood",
        "story",
        "stone",
        "store",
    ]
)

KEYWORDS: dict[str, Keyword] = (
    {word: Keyword("stop", "en") for word in _STOP_EN}
    | {word: Keyword("stop", "fr") for word in _STOP_FR}
    | {word: Keyword("help", "en") for word in _HELP_EN}
    | {word: Keyword("help", "fr") for word in _HELP_FR}
    | {word: Keyword("start", "en") for word in _START_EN}
    | {word: Keyword("start", "fr") for word in _START_FR}
)

# Words of courtesy that may stand around a key word: "STOP please", "arret svp", "ok stop now".
_COURTESY = r"(?:please|pls|plz|plse|now|thanks|thx|thank you|ok|okay|svp|stp|merci|maintenant|s ?il (?:vous|te) plait)"
_COURTEOUS = patterns.compile(rf"\b{_COURTESY}\b")

_NOT_LETTERS = patterns.compile(r"[^a-z0-9]+")


def bare(text: str) -> str:
    """Lower case, accents off, everything but letters and digits to single spaces."""
    decomposed = unicodedata.normalize("NFKD", text.casefold())
    unaccented = "".join(letter for letter in decomposed if not unicodedata.combining(letter))
    return _NOT_LETTERS.sub(" ", unaccented).strip()


def keyword(text: str) -> Keyword | None:
    """The key word that the whole message is, once or repeated, any case or punctuation, courtesy left aside."""
    words = bare(text)
    found = KEYWORDS.get(words)
    if found:
        return found
    left = " ".join(dict.fromkeys(_COURTEOUS.sub(" ", words).split()))
    return KEYWORDS.get(left) or (_slip(left) if left.isalpha() else None)


def _slip(written: str) -> Keyword | None:
    """The key word of opt-out that a single word is a slip of."""
    if written in _OTHER_WORDS or not _SHORTEST <= len(written) <= _LONGEST_SLIP:
        return None
    near = min(_SLIPS_OF, key=lambda word: OSA.distance(written, word))
    return KEYWORDS[near] if _is_slip(written, near) else None


def _is_slip(written: str, word: str) -> bool:
    away = OSA.distance(written, word)
    if len(word) > _LONG:  # "subscribe" and "reabonner" are two away, and the opposite
        return away <= (2 if len(word) >= 2 * _LONG and written[:3] == word[:3] else 1)
    if len(word) == _LONG:
        return away == 1
    # Of four letters one that is wrong or missing makes many other words: a letter doubled, two that changed places, or one beside it.
    return away == 1 and (
        (set(written) == set(word) and len(written) >= len(word))
        or any(
            written == word[:at] + beside + word[at + 1 :] for at in range(1, len(word)) for beside in _BESIDE[word[at]]
        )
    )


_SHORTEST, _LONGEST_SLIP = 4, 16
# The letters of "stop" and "quit" and those beside them on the keyboards of phones, in the order of letters.
_BESIDE = {"t": "ry", "o": "ipl", "p": "ol", "u": "yi", "i": "uo"}
