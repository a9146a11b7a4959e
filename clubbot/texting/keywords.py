"""The words by which people stop and start texts: the carriers' key words as whole messages. The same wish said plainly is found by
rules (understanding/consent).

Sources: CTIA Messaging Principles (2023) 5.1; US 47 CFR 64.1200(a)(10), words that always count as a revocation; Canadian
common short code guidelines: STOP answered in English, ARRET in French. The word YES starts nothing here, since it
is also how people answer a question.
"""

import unicodedata
from dataclasses import dataclass
from typing import Literal

from clubbot.model.messages import Language
from clubbot.texting import patterns

KeywordKind = Literal["stop", "help", "start"]


@dataclass(frozen=True, slots=True)
class Keyword:
    """A key word read, and the language it is answered in."""

    kind: KeywordKind
    language: Language


_STOP_EN = ("stop", "stopall", "stop all", "unsubscribe", "cancel", "end", "quit", "revoke", "optout", "opt out")
_STOP_FR = ("arret", "arreter", "arrete", "arretez", "desabonner", "desabonnement")
_HELP_EN = ("help", "info")
_HELP_FR = ("aide",)
_START_EN = ("start", "unstop")
_START_FR = ("reprendre",)

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
    return KEYWORDS.get(" ".join(dict.fromkeys(_COURTEOUS.sub(" ", words).split())))
