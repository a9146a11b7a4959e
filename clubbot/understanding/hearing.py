"""How likely each intent of a text is, and that it is for us at all: what the sentence model hears and what its words say, weighed."""

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace

from clubbot.model.caution import Risk
from clubbot.model.messages import Language
from clubbot.understanding.encoder import Encoder, Heard
from clubbot.understanding.thresholds import FOR_US, FOR_US_BY_WORDS, FOR_US_GOING_ON, INTENT, INTENT_BY_WORDS, Weighing

Scores = Mapping[str, float]
_OUTSIDE = "outside"
# Probabilities and odds beyond these tell nothing more.
_LEAST_SHARE = 1e-4
_MOST_ODDS = 9.0


@dataclass(frozen=True, slots=True)
class Chances:
    """The probability of each intent, that the text is for us, that it calls for the caution of each risk, and of each count of people."""

    intents: Mapping[str, float]
    for_us: float
    risks: Mapping[Risk, float] = field(default_factory=dict)
    counts: Mapping[str, float] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Evidence:
    """What is weighed: the words' probabilities of the whole text and of its pieces, whether it names something of the club's, and what the
    sentence model hears, None where there is none. Where there is one, pieces tell nothing more and are left out. `goes_on` where the
    sender has just been answered.
    """

    words: Scores
    pieces: Sequence[Scores]
    named: bool
    heard: Heard | None
    goes_on: bool = False


@dataclass(frozen=True, slots=True)
class Term:
    """What speaks for one intent: the model's odds, None where it was never taught it, the logarithms of the words' probabilities of the whole text and of its likeliest piece."""

    heard: float | None
    words: float
    piece: float


@dataclass(frozen=True, slots=True)
class Terms:
    """What is weighed of each intent, and of whether the text is for us: the model's odds and the logarithm of how much its words sound like nobody's business here."""

    intents: Mapping[str, Term]
    for_us: float
    stranger: float


# Marks of a text that was answered before this one; what went to a person was not.
_ANSWERED, _NOT_ANSWERED = "after ", frozenset({"after outside", "after greeting", "after thanks"})


def terms(evidence: Evidence) -> Terms:
    """The evidence in numbers that can be weighed."""
    heard = evidence.heard
    intents: dict[str, Term] = {}
    for intent, share in evidence.words.items():
        if intent != _OUTSIDE:
            odds = None if heard is None else heard.intents.get(intent)
            piece = max((one[intent] for one in evidence.pieces), default=share)
            intents[intent] = Term(None if odds is None else _bounded(odds), _log(share), _log(max(piece, share)))
    return Terms(intents, 0.0 if heard is None else _bounded(heard.for_us), _log(evidence.words[_OUTSIDE]))


def weighed(evidence: Evidence) -> Chances:
    """The chances by all evidence."""
    found = terms(evidence)
    intents = {
        intent: _chance(INTENT_BY_WORDS, words=term.words, piece=term.piece)
        if term.heard is None
        else _chance(INTENT, heard=term.heard, words=term.words)
        for intent, term in found.intents.items()
    }
    by = FOR_US_BY_WORDS if evidence.heard is None else FOR_US
    by = replace(by, bias=by.bias + FOR_US_GOING_ON) if evidence.goes_on else by
    for_us = _chance(by, heard=found.for_us, words=found.stranger, named=float(evidence.named))
    # A model that was never taught a club's own topic takes it for other people's business: there the words have it.
    own = max((intents[intent] for intent, term in found.intents.items() if term.heard is None), default=0.0)
    heard = {} if evidence.heard is None else evidence.heard.risks
    counts = {} if evidence.heard is None else evidence.heard.counts
    return Chances(
        intents,
        max(for_us, own),
        {risk: _probability(_bounded(odds)) for risk, odds in heard.items()},
        {count: _probability(_bounded(odds)) for count, odds in counts.items()},
    )


def _chance(by: Weighing, *, heard: float = 0.0, words: float = 0.0, piece: float = 0.0, named: float = 0.0) -> float:
    return _probability(by.bias + by.heard * heard + by.words * words + by.piece * piece + by.named * named)


def _probability(odds: float) -> float:
    """Of odds that are given as a logit."""
    return 1 / (1 + math.exp(-odds))


def _log(share: float) -> float:
    return math.log(share + _LEAST_SHARE)


def _bounded(odds: float) -> float:
    return max(-_MOST_ODDS, min(_MOST_ODDS, odds))


class Hearing:
    """Hears texts for one club. `scores` gives the words' probabilities of a text; `encoder` is left out where a club does without."""

    def __init__(
        self,
        scores: Callable[[str, Language], Scores],
        pieces: Callable[[str], Sequence[str]],
        encoder: Encoder | None,
    ) -> None:
        self._scores, self._pieces, self._encoder = scores, pieces, encoder

    def evidence(self, learnt: str, common: str, language: Language, marks: Sequence[str], *, named: bool) -> Evidence:
        """What there is to weigh of a text, given with the club's names in words that were learnt, and in words that are common to all clubs;
        `named` where it names something of the club's.
        """
        heard = None if self._encoder is None else self._encoder.hear(common, language, marks)
        return Evidence(
            words=self._scores(learnt, language),
            pieces=[] if heard else [self._scores(piece, language) for piece in self._pieces(learnt)],
            named=named,
            heard=heard,
            goes_on=any(mark.startswith(_ANSWERED) and mark not in _NOT_ANSWERED for mark in marks),
        )
