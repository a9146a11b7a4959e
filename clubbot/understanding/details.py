"""Which detail of a topic a question asks about, told by its words: the wordings that the club wrote for each detail, against what was asked.

A word weighs by how rare it is among all ways of asking, so that "can we" tells nothing and "bench" tells much; words of the same idea in
the lists of concepts count for each other; words that the topic's general answer has are what everybody asks about it with.
"""

from collections import defaultdict
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache

from clubbot.model.club import Answer
from clubbot.model.messages import Language
from clubbot.understanding import thresholds
from clubbot.understanding.plain import spelled_out, words_of
from clubbot.understanding.scoring import Scorer, stems
from clubbot.understanding.splitting import clauses, sentences

# What a text's words tell: stems, and ideas as "k:...", each with its weight and, of a stem, the ideas of its word.
Bag = Mapping[str, tuple[float, frozenset[str]]]
# A word as common as this among the ways of asking tells nothing (smoothed inverse document frequency).
_TELLS_NOTHING = 3.5
# Ideas of words that every question has: whoever asks, how, and whether one may.
_OF_ANY_QUESTION = frozenset(
    [
        *("permission", "ok_ack", "possibility_maybe", "obligation", "wish", "affirmation", "negation", "but_however"),
        *(
            "first_person_singular",
            "first_person_plural",
            "second_person",
            "plural_people",
            "polite",
            "today_now",
            "quantity_many",
        ),
        *("question_how", "question_what", "question_when", "question_where", "question_who", "question_why"),
    ]
)
# Ideas that stand for one another in a question of money, and the signs that tell of it.
_MONEY, _OF_MONEY, _MONEY_SIGNS = "money_cost", frozenset({"money_cost", "free_gratis", "pay"}), "$€£"
# A word that is as rare as this beside the name of a topic asks for something of its own: rarer than "again", "sorry", "was".
_TELLS_MUCH = 3.6
# Letters: shorter words join others, in French above all.
_SHORTEST = 3
# What a word weighs that the general answer has, and an idea beside the word itself.
_OF_THE_TOPIC, _IDEA = 0.5, 0.8
# Two halves of a fit: like a single wording, and how much of what was asked any of them has.
_LIKE_ONE, _OF_ALL = 0.6, 0.4
# So much of what is asked must be a detail's and not the topic's own, a rarer word, unless it is asked in a wording as it stands, which more
# than names the topic.
_OWN, _AS_IT_STANDS = 2.0, 0.85
# Texts and pieces of texts of one turn.
_KEPT = 128


@dataclass(frozen=True, slots=True)
class Found:
    """A detail by its place among those of its topic, and how well it fits, from 0 to 1; whether by words that the general answer has not."""

    place: int
    fit: float
    beyond: bool


@dataclass(frozen=True, slots=True)
class _Topic:
    """The details of a topic in one language: of each word the wordings that have it, and of each wording its weight and its detail."""

    general: frozenset[str]
    label: frozenset[str]
    having: Mapping[str, tuple[int, ...]]
    weights: tuple[float, ...]
    detail: tuple[int, ...]
    details: int


class Details:
    """The details of all topics of a club, ready to be looked for."""

    def __init__(self, answers: Mapping[str, Answer], scorer: Scorer, mend: Callable[[str], str]) -> None:
        """`scorer` knows how rare words are and what they stand for; `mend` mends a slip of the thumb."""
        self._rarity, self._concepts, self._numbers, self._mend = _rarity(scorer), scorer.concepts, scorer.numbers, mend
        self._rarest = max(self._rarity.values(), default=2 * _TELLS_NOTHING)
        self._bag = lru_cache(maxsize=_KEPT)(self._bag_of)
        self._labels = {
            (topic, language): frozenset(self._bag_of(answer.label.to(language), language))
            for topic, answer in answers.items()
            for language in answer.paragraphs
        }
        self._topics = {
            (topic, language): self._topic(answer, language)
            for topic, answer in answers.items()
            for language, points in answer.points.items()
            if points
        }

    def asked(
        self, text: str, topic: str, language: Language, *, going_on: bool = False, idea: str | None = None
    ) -> Found | None:
        """The detail that a text asks about; None where it asks in general, or none stands out. `going_on`: the general answer has just been
        given, so that the next question is likely a narrower one. `idea`: of what it asks as a bare question.
        """
        one = self._topics.get((topic, language))
        if one is None:
            return None
        fits = [0.0] * one.details
        for piece in _pieces(text):
            bag = self._bag(piece, language)
            if idea is not None and piece == text:
                bag = {**bag, f"k:{idea}": (_OWN, frozenset())}
            fits = [max(pair) for pair in zip(fits, _fits(bag, one), strict=True)]
        best, second = sorted((*fits, 0.0), reverse=True)[:2]
        least = thresholds.DETAIL_GOING_ON if going_on else thresholds.DETAIL
        stands_out = thresholds.DETAIL_STANDS_OUT if not going_on else 0.0
        if best < least or best - second < stands_out:
            return None
        place = fits.index(best)
        return Found(place, best, _beyond_the_answer(self._bag(text, language), one, place) >= _OWN)

    def says_more(self, text: str, topic: str, language: Language) -> bool:
        """Whether a text has a telling word beside what the topic is called by: else it asks in general, "where was the parking again"."""
        return max(self._beyond(text, topic, language).values(), default=0.0) >= _TELLS_MUCH

    def told_in(self, text: str, topic: str, language: Language, written: Sequence[str]) -> int | None:
        """The place of the passage that has most of what a text, or a piece of it, asks beyond the name of the topic; None where none has enough."""
        best: tuple[float, int] = (0.0, 0)
        for piece in _pieces(text):
            asked = self._beyond(piece, topic, language)
            whole = sum(asked.values())
            if whole >= _OWN:
                told = [self._bag(one, language) for one in written]
                shares = [sum(weight for term, weight in asked.items() if term in one) / whole for one in told]
                best = max(best, *((share, -place) for place, share in enumerate(shares)))
        return -best[1] if best[0] >= thresholds.DETAIL_TOLD else None

    def _beyond(self, text: str, topic: str, language: Language) -> dict[str, float]:
        """The words of a text that are not of the topic's name."""
        label, bag = self._labels[topic, language], self._bag(text, language)
        return {term: weight for term, (weight, ideas) in bag.items() if label.isdisjoint((term, *ideas))}

    def _topic(self, answer: Answer, language: Language) -> _Topic:
        label = self._labels[answer.topic, language]
        general = frozenset(
            self._bag_of(" ".join((*answer.paragraphs[language][:1], answer.label.to(language))), language)
        )
        having: dict[str, list[int]] = defaultdict(list)
        weights: list[float] = []
        detail: list[int] = []
        for place, point in enumerate(answer.points[language]):
            for wording in point.asked:
                bag = _within(self._bag_of(wording, language), general)
                for term in bag:
                    having[term].append(len(weights))
                weights.append(sum(weight for weight, _ in bag.values()))
                detail.append(place)
        told = {term: tuple(wordings) for term, wordings in having.items()}
        return _Topic(general, label, told, tuple(weights), tuple(detail), len(answer.points[language]))

    def _bag_of(self, text: str, language: Language) -> Bag:
        found: dict[str, tuple[float, frozenset[str]]] = {}
        words = spelled_out(
            [self._mend(word) for word in words_of(text) if word.isalpha() and len(word) >= _SHORTEST], language
        )
        words = [word for word in words if word not in self._numbers]
        for word, stem in zip(words, stems(words, language), strict=True):
            ideas = {_MONEY if idea in _OF_MONEY else idea for idea in self._concepts.get(word, ())}
            weight = self._rarity.get(stem, self._rarest) - _TELLS_NOTHING
            if weight > 0 and _OF_ANY_QUESTION.isdisjoint(ideas):
                named = frozenset(f"k:{idea}" for idea in ideas)
                found[stem] = weight, named
                found.update((idea, (weight * _IDEA / len(named), frozenset())) for idea in named)
        if any(sign in text for sign in _MONEY_SIGNS):
            found.setdefault(f"k:{_MONEY}", (_OWN, frozenset()))
        return found


def _pieces(text: str) -> Iterable[str]:
    """A text, its sentences and its clauses, each once."""
    return dict.fromkeys((text, *sentences(text), *clauses(text)))


def _rarity(scorer: Scorer) -> dict[str, float]:
    pairs = zip(scorer.vocabulary, scorer.idf.tolist(), strict=True)
    return {term[2:]: rarity for term, rarity in pairs if term[:2] == "w:"}


def _within(bag: Bag, general: frozenset[str]) -> Bag:
    """The words as they weigh within a topic."""
    return {
        term: (weight * (1 if general.isdisjoint((term, *ideas)) else _OF_THE_TOPIC), ideas)
        for term, (weight, ideas) in bag.items()
    }


def _beyond_the_answer(asked: Bag, one: _Topic, place: int) -> float:
    """How much of what is asked a detail has that the general answer has no word of."""
    return sum(
        weight
        for term, (weight, ideas) in asked.items()
        if one.general.isdisjoint((term, *ideas))
        and place in {one.detail[wording] for wording in one.having.get(term, ())}
    )


def _fits(asked: Bag, one: _Topic) -> list[float]:
    """How well each detail fits what is asked, from 0 to 1; what the topic is called by is no detail's own."""
    bag = _within(asked, one.general)
    whole = sum(weight for weight, _ in bag.values())
    shared, of_all, own = [0.0] * len(one.weights), [0.0] * one.details, [0.0] * one.details
    names = all(not one.label.isdisjoint((term, *ideas)) for term, (_, ideas) in asked.items())
    for term, (weight, ideas) in bag.items():
        wordings = one.having.get(term, ())
        for wording in wordings:
            shared[wording] += weight
        for place in {one.detail[wording] for wording in wordings}:
            of_all[place] += weight
            own[place] += weight if one.label.isdisjoint((term, *ideas)) else 0
    like = [0.0] * one.details
    for wording, (common, weight) in enumerate(zip(shared, one.weights, strict=True)):
        place = one.detail[wording]
        like[place] = max(like[place], 2 * common / (whole + weight) if weight else 0.0)
    told = zip(like, of_all, own, strict=True)
    return [
        _LIKE_ONE * alike + _OF_ALL * share / whole if much >= _OWN or (alike >= _AS_IT_STANDS and not names) else 0.0
        for alike, share, much in told
    ]
