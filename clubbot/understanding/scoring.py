"""Which intent a text sounds like: a linear model over words, pairs of words and letter groups, learnt from the ways of asking.

Multinomial logistic regression, fitted by AdaGrad (Duchi, Hazan, Singer 2011) in a fixed order, so that the same ways of
asking give the same model. Weights of terms: sublinear counts times inverse document frequency, length one.
"""

import math
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence, Set
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
import numpy.typing as npt
import snowballstemmer

from clubbot.model.messages import Language
from clubbot.understanding.plain import spelled_out

# For a word in plain letters, the ideas that it stands for whatever the language: "pup" and "chien" are both "dog".
Concepts = Mapping[str, tuple[str, ...]]
Floats = npt.NDArray[np.float32]
Halves = npt.NDArray[np.float16]
Ints = npt.NDArray[np.int32]

_STEMMERS = {"en": snowballstemmer.stemmer("english"), "fr": snowballstemmer.stemmer("french")}
# How many ways of asking must have a term before it is learnt from: words, pairs, gapped pairs, letter groups, concepts, figures.
_LEAST_SEEN = {"w": 1, "p": 2, "g": 3, "c": 4, "k": 1, "#": 1}
_CONCEPT_WEIGHT = 2.0
_LEAST_LETTERS = 3
_PASSES = 3
# A topic with fewer ways of asking than this is a club's own; a word is its own from these odds up (natural logarithm of how much
# oftener it is used there than elsewhere), and then weighs so much for each point of odds above.
_MANY = 40
_OWN_WORD = 4.5
_SPEAKS_UP = 6.0
_BATCH = 128
_STEP = 0.6


@dataclass(frozen=True, slots=True)
class TrainingText:
    """One way of asking, as words."""

    words: tuple[str, ...]
    language: Language
    intent: str


def stems(words: Iterable[str], language: Language) -> list[str]:
    """The words by their stems."""
    return [_stem(word, language) for word in words]


@lru_cache(maxsize=30_000)  # a stem costs as much as all the rest that is done to a word
def _stem(word: str, language: Language) -> str:
    stemmer = _STEMMERS.get(language)
    return word if stemmer is None else str(stemmer.stemWord(word))


def terms(words: Sequence[str], language: Language, concepts: Concepts, numbers: Set[str]) -> Counter[str]:
    """What the model looks at: words by their stems, what they mean, pairs of stems, letter groups of 3 to 5 inside a word, and a long text's beginning."""
    full = spelled_out(words, language)
    rooted = stems(full, language)
    found: Counter[str] = Counter()
    for word, root in zip(full, rooted, strict=True):
        if word.isdigit() or word in numbers:
            found["#"] += 1
        found["w:" + root] += 1
        found.update("k:" + concept for concept in concepts.get(word, ()))
        found.update(_letter_groups(word))
    found.update(f"p:{first} {second}" for first, second in zip(["^", *rooted], [*rooted, "$"], strict=True))
    found.update(f"g:{first} {third}" for first, third in zip(rooted, rooted[2:], strict=False))
    return found


@lru_cache(maxsize=30_000)
def _letter_groups(word: str) -> tuple[str, ...]:
    if len(word) < _LEAST_LETTERS or not word.isalpha():
        return ()
    edged = f"_{word}_"
    return tuple("c:" + edged[start : start + size] for size in (3, 4, 5) for start in range(len(edged) - size + 1))


class Scorer:
    """The fitted model. `scores` gives a probability for each intent."""

    def __init__(
        self,
        intents: Sequence[str],
        vocabulary: Sequence[str],
        idf: Floats,
        weights: Halves,
        bias: Floats,
        concepts: Concepts,
        numbers: Set[str],
    ) -> None:
        """`numbers` are words that count as figures do."""
        self.intents = tuple(intents)
        self.vocabulary = tuple(vocabulary)
        self._index = {term: place for place, term in enumerate(vocabulary)}
        self.idf, self.weights, self.bias = idf, weights, bias
        self.concepts, self.numbers = concepts, numbers

    def scores(self, words: Sequence[str], language: Language) -> Floats:
        """Probability of each intent, in the order of `intents`; they sum to 1."""
        places, values = _vector(terms(words, language, self.concepts, self.numbers), self._index, self.idf)
        return _softmax(values @ self.weights[places].astype(np.float32) + self.bias)

    def reasons(self, words: Sequence[str], language: Language, intent: str, most: int = 5) -> list[str]:
        """The words that spoke most for an intent, strongest first."""
        counted = terms(words, language, self.concepts, self.numbers)
        places, values = _vector(counted, self._index, self.idf)
        pull = values * self.weights[places, self.intents.index(intent)]
        names = [self.vocabulary[place] for place in places]
        whole = [
            (float(one), name[2:])
            for one, name in zip(pull, names, strict=True)
            if name[:2] in {"w:", "p:"} and not {"^", "$"} & set(name)
        ]
        return [name for one, name in sorted(whole, reverse=True)[:most] if one > 0]


def fit(texts: Sequence[TrainingText], concepts: Concepts, numbers: Set[str]) -> Scorer:
    """Learn from the ways of asking; `numbers` are words that count as figures do."""
    intents = sorted({text.intent for text in texts})
    # Plain dicts of words and numbers, unlike Counters, are no work for the garbage collector.
    counted = [dict(terms(text.words, text.language, concepts, numbers)) for text in texts]
    seen_in: Counter[str] = Counter(term for one in counted for term in one)
    vocabulary = sorted(term for term, times in seen_in.items() if times >= _LEAST_SEEN[term[0]])
    index = {term: place for place, term in enumerate(vocabulary)}
    idf = np.array([_idf(term, seen_in[term], len(texts)) for term in vocabulary], dtype=np.float32)
    vectors = [_vector(one, index, idf) for one in counted]
    labels = [intents.index(text.intent) for text in texts]
    share = Counter(labels)
    usual = len(texts) / len(intents)
    # Frequent intents count a little less, but not what is for nobody here: there is most of that in the world.
    importance = [1.0 if intents[label] == "outside" else min(1.5, (usual / share[label]) ** 0.5) for label in labels]
    weights = np.zeros((len(vocabulary), len(intents)), dtype=np.float32)
    bias = np.zeros(len(intents), dtype=np.float32)
    _descend(vectors, labels, importance, weights, bias)
    _raise_own_words(texts, counted, share, index, intents, weights)
    # Half precision is enough to tell intents apart, and half the memory.
    return Scorer(intents, vocabulary, idf, weights.astype(np.float16), bias, concepts, numbers)


def _idf(term: str, seen_in: int, texts: int) -> float:
    """How much a term tells: the rarer the more (smoothed inverse document frequency); what a word means more than how it is spelled."""
    told = math.log((1 + texts) / (1 + seen_in)) + 1
    return told * _CONCEPT_WEIGHT if term[0] == "k" else told


def _raise_own_words(
    texts: Sequence[TrainingText],
    counted: Sequence[Mapping[str, int]],
    share: Counter[int],
    index: Mapping[str, int],
    intents: Sequence[str],
    weights: Floats,
) -> None:
    """A handful of ways of asking, a club's own topic, is not heard among tens of thousands: words that nobody else uses speak up for it."""
    few = {intents[label] for label, ways in share.items() if ways < _MANY}
    if not few:
        return
    elsewhere = Counter(
        term
        for text, one in zip(texts, counted, strict=True)
        if text.intent not in few
        for term in one
        if term[:2] == "w:"
    )
    for intent in few:
        own = [one for text, one in zip(texts, counted, strict=True) if text.intent == intent]
        for term, times in Counter(term for one in own for term in one if term[:2] == "w:").items():
            odds = math.log(times / len(own)) - math.log((elsewhere[term] + 0.5) / len(texts))
            if odds > _OWN_WORD:
                weights[index[term], intents.index(intent)] += _SPEAKS_UP * (odds - _OWN_WORD)


def _descend(
    vectors: Sequence[tuple[Ints, Floats]],
    labels: Sequence[int],
    importance: Sequence[float],
    weights: Floats,
    bias: Floats,
) -> None:
    """Fit `weights` and `bias` in place, a batch at a time: only the rows that a batch touches are read and written."""
    squares = np.full(weights.shape, 1e-2, dtype=np.float32)
    order = np.random.default_rng(20270607)  # a fixed seed: the same files give the same model
    for one_pass in range(_PASSES):
        step = np.float32(_STEP / (1 + 0.3 * one_pass))
        for batch in _batches(order.permutation(len(vectors))):
            rows, texts = _dense([vectors[which] for which in batch])
            local = weights[rows]
            miss = _softmax(texts @ local + bias)
            miss[np.arange(len(batch)), [labels[which] for which in batch]] -= 1
            miss *= np.array([importance[which] for which in batch], dtype=np.float32)[:, None]
            slope = texts.T @ miss
            seen = squares[rows] + slope * slope
            squares[rows] = seen
            slope *= step
            slope /= np.sqrt(seen, out=seen)  # in place: these arrays are most of the time that learning takes
            local -= slope
            weights[rows] = local
            bias -= np.float32(0.02) * miss.sum(axis=0)


def _batches(order: npt.NDArray[np.int64]) -> Iterable[list[int]]:
    for start in range(0, len(order), _BATCH):
        yield [int(which) for which in order[start : start + _BATCH]]


def _dense(vectors: Sequence[tuple[Ints, Floats]]) -> tuple[npt.NDArray[np.int64], Floats]:
    """The rows that a batch touches, and the batch as a dense matrix over them."""
    places = np.concatenate([places for places, _ in vectors])
    rows, columns = np.unique(places, return_inverse=True)
    texts = np.zeros((len(vectors), len(rows)), dtype=np.float32)
    lines = np.repeat(np.arange(len(vectors)), [len(places) for places, _ in vectors])
    texts[lines, columns] = np.concatenate([values for _, values in vectors])
    return rows, texts


def _vector(counted: Mapping[str, int], index: dict[str, int], idf: Floats) -> tuple[Ints, Floats]:
    found = [(index[term], times) for term, times in counted.items() if term in index]
    places = np.array([place for place, _ in found], dtype=np.int32)
    values = np.log(np.array([times for _, times in found], dtype=np.float32)) + np.float32(1)
    values *= idf[places]
    norm = float(np.sqrt(values @ values))
    return places, values / np.float32(norm) if norm else values


def _softmax(values: Floats) -> Floats:
    shifted = np.exp(values - values.max(axis=-1, keepdims=True))
    return np.asarray(shifted / shifted.sum(axis=-1, keepdims=True), dtype=np.float32)
