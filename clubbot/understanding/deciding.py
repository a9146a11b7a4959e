"""From scores to a decision: what is served, what is asked back, what goes to a person. What is not clear is not guessed.

Two ways to the same end. Where a sentence model hears the text as a whole, its probabilities and those of the words are multiplied,
and it also tells how many things are asked (`together`, `decide_heard`). Without one, the words of every piece and of both sides
of every cut are looked at (`decide`). All thresholds are set on texts that nothing was learnt from: tests/learning/README.md.
"""

import math
from collections.abc import Iterable, Mapping, Sequence, Set
from dataclasses import dataclass

from clubbot.model.intents import ABOUT_TEXTS, NOT_BESIDE, NOT_OFFERED, SMALL_TALK, SURE

Scores = Mapping[str, float]

# A whole text is served from this probability up.
CLEAR = 0.42
# Where the whole is not clear, a piece of it this clear is served, if the whole text has its want among the likeliest.
CLEAR_PIECE = 0.66
# Two wants are served where a cut leaves both sides this clear, and neither side speaks of the other's want.
CLEAR_SIDES = 0.50
OTHER_SIDE = 0.02
# How far down the whole text's list the want of a piece may stand.
AMONG_LIKELIEST = 5
# From this much doubt that the text is for us at all, nothing is served unless it is nearly certain.
OUTSIDE_DOUBT = 0.12
NEARLY_CERTAIN = 0.8
# Choices are offered when together they are this likely; each must be this likely itself.
CHOICES_TOGETHER = 0.42
CHOICE_LEAST = 0.08
MOST_CHOICES = 3

# A plain statement of coming or not counts where the words that make it sound at least this much like one, and no more than this
# like anything else: first where it is only weak, then beside an event or a day of one, then on its own. Beside an event both stand,
# but never beside a wish about our texts: "take me off the event list".
STATED_LEAST = {"weak": 0.1, "named": 0.05, "alone": 0.15}
OTHER_MOST = {"weak": 0.3, "named": 1.0, "alone": 0.3}
# Or where they are this surely about an event: then it is what is said of it that counts.
ABOUT_AN_EVENT = 0.8

# Beside an event, a text that sounds this much like one answer is that answer, with up to so much doubt that it is for us.
ANSWER_CLEAR = 0.5
ANSWER_OUTSIDE = 0.3

# How much the words count and how much the sentence as a whole, as exponents of their probabilities.
WORDS_COUNT = 0.4
SENTENCE_COUNTS = 0.5
_NEVER_ZERO = 1e-5
# Heard as a whole: from this much doubt nothing is served unless one want is nearly certain; a word of somebody else's business adds to it.
HEARD_OUTSIDE = 0.10
ELSEWHERE = 0.08
HEARD_CERTAIN = 0.85
# From this probability up one want is served.
HEARD_CLEAR = 0.50
# Whether several are served: a logistic regression, fitted on the two sets by which thresholds are set. The odds that it asks for
# several, the probabilities of the likeliest three wants, all as logarithms, and what is left over: the second must be likely, and
# stand out from the third. Three are served from so probable on.
SEVERAL_ODDS, SEVERAL_FIRST, SEVERAL_SECOND, SEVERAL_THIRD, SEVERAL_REST = 0.64, 0.58, 1.67, -0.88, -0.39
_LEAST_SHARE = 1e-4
HEARD_THREE = 0.60
HEARD_THIRD = 0.03
# A plain statement of coming or not beside an event: with this much of a sound like an answer; and in the place of another answer.
STATEMENT_LEAST = 0.15
STATEMENT_INSTEAD = 0.03
STOP_TOO = 0.3
# Choices are offered where they are this likely, each and together.
HEARD_CHOICE = 0.05
HEARD_CHOICES = 0.35

_EITHER = frozenset({"lost-disc", "found-disc"})
# What takes something away is a part of a text only where it is this likely: opting somebody out, or off a list, by mistake is worse than to ask.
SURE_PART = 0.08


@dataclass(frozen=True, slots=True)
class Decision:
    """`served` wants in the order they were said, or `choices` to ask back with, or neither: a person has to read it."""

    served: tuple[str, ...] = ()
    choices: tuple[str, ...] = ()
    outside: bool = False


def decide(whole: Scores, pieces: Iterable[Scores], cuts: Sequence[tuple[Scores, Scores]]) -> Decision:
    """What to do with a text, from the probabilities of the whole, of its pieces, and of both sides of each cut."""
    best = _likeliest(whole)
    if whole["outside"] >= OUTSIDE_DOUBT and whole[best] < NEARLY_CERTAIN:
        return Decision(outside=True)
    near = sorted(whole, key=lambda want: -whole[want])[:AMONG_LIKELIEST]
    two = _two_wants(near, cuts)
    if two:
        return Decision(served=two)
    if best == "outside":
        return Decision(outside=True)
    if whole[best] >= CLEAR:
        return Decision(served=(best,))
    clear = [(piece[want], want) for piece in pieces if (want := _likeliest(piece)) in near and want not in NOT_BESIDE]
    if clear and max(clear)[0] >= CLEAR_PIECE:
        return Decision(served=(max(clear)[1],))
    return _ask(whole)


def together(by_words: Scores, by_sentence: Scores) -> dict[str, float]:
    """The probability of each want from both kinds of evidence, each raised to how much it counts, multiplied and made to sum to 1.

    A want that the sentence model was never taught, a club's own topic, has no probability there: the words' own stands in for it, and the rest
    of the sentence's are lowered by as much.
    """
    own = sum(share for want, share in by_words.items() if want not in by_sentence)
    product = {
        want: (share + _NEVER_ZERO) ** WORDS_COUNT
        * ((by_sentence[want] * (1 - own) if want in by_sentence else share) + _NEVER_ZERO) ** SENTENCE_COUNTS
        for want, share in by_words.items()
    }
    whole = math.fsum(product.values())
    return {want: share / whole for want, share in product.items()}


def decide_heard(whole: Scores, how_many: tuple[float, float, float], *, elsewhere: bool = False) -> Decision:
    """What to do with a text, from the probability of each want and of one, two and three wants in it; `elsewhere` where it has a word of
    somebody else's business.
    """
    best = _likeliest(whole)
    if best == "danger":
        return Decision(served=("danger",))
    doubt = whole["outside"] + whole.get("danger", 0.0) + (ELSEWHERE if elsewhere else 0.0)
    if best == "outside" or (doubt >= HEARD_OUTSIDE and whole[best] < HEARD_CERTAIN):
        return Decision(outside=True)
    parts = _parts(whole, how_many)
    if parts:
        return Decision(served=parts)
    if whole[best] >= HEARD_CLEAR:
        return Decision(served=(best,))
    return _ask(whole, HEARD_CHOICE, HEARD_CHOICES)


def _parts(whole: Scores, how_many: tuple[float, float, float]) -> tuple[str, ...]:
    """The wants of a text that asks for several; empty where it is likelier to ask for one."""
    one, two, three = how_many
    ranked = sorted(
        (want for want in whole if want not in NOT_BESIDE and not (want in SURE and whole[want] < SURE_PART)),
        key=lambda want: -whole[want],
    )
    if ranked[0] in _EITHER:  # "lost my disc, has anybody found it" is one report
        ranked = [want for want in ranked if want == ranked[0] or want not in _EITHER]
    first, second, third = ranked[:3]
    odds = math.log((two + three + _LEAST_SHARE) / (one + _LEAST_SHARE))
    shares = (math.log(whole[want] + _LEAST_SHARE) for want in (first, second, third))
    weights = (SEVERAL_FIRST, SEVERAL_SECOND, SEVERAL_THIRD)
    weighed = sum(weight * share for weight, share in zip(weights, shares, strict=True))
    if SEVERAL_ODDS * odds + weighed + SEVERAL_REST < 0:
        return ()
    return (first, second, third) if three >= HEARD_THREE and whole[third] >= HEARD_THIRD else (first, second)


def with_statement(
    decision: Decision, stated: str, whole: Scores, answers: Set[str], *, weak: bool, named: bool
) -> Decision:
    """A decision with a plain statement of coming or not: where nothing else is served, its words are not weak and the text sounds a little like an
    answer to the event it names; or in the place of the one other answer, where it may well be the one that is meant.
    """
    if whole.get("stop", 0.0) >= STOP_TOO:  # "stop texting me, i won't be at league"
        return Decision(served=("stop", stated)) if stated == "rsvp-no" else decision
    if not decision.served:
        about = sum(whole[want] for want in answers)
        return Decision(served=(stated,)) if named and not weak and about >= STATEMENT_LEAST else decision
    kinds = [want for want in decision.served if want in answers]
    if len(kinds) != 1 or kinds[0] == stated or whole[stated] < STATEMENT_INSTEAD:
        return decision
    return Decision(served=tuple(stated if want in answers else want for want in decision.served))


def borne_out(scores: Scores, statements: Set[str], about_events: Set[str], *, weak: bool, named: bool) -> bool:
    """Whether the scores of a statement's own words let it stand; `about_events` are the wants that go with any event."""
    how = "weak" if weak else "named" if named else "alone"
    stated = sum(scores[want] for want in statements)
    event = sum(scores.get(want, 0.0) for want in about_events)
    other = max(
        value for want, value in scores.items() if want not in statements | about_events | SMALL_TALK | {"name"}
    )
    if max(scores[want] for want in ABOUT_TEXTS) > OTHER_MOST["weak"]:
        return False
    sure = stated >= STATED_LEAST[how] or (named and event >= ABOUT_AN_EVENT)
    return sure and other <= OTHER_MOST[how]


def likeliest_answer(scores: Scores, answers: Set[str]) -> str | None:
    """Which answer to an event a text sounds like, where it clearly sounds like one; None where it does not, or the texter may mean
    something outside.
    """
    best = max(answers, key=lambda want: scores[want])
    return best if scores[best] >= ANSWER_CLEAR and scores["outside"] < ANSWER_OUTSIDE else None


def _likeliest(scores: Scores) -> str:
    return max(scores, key=lambda want: scores[want])


def _two_wants(near: Sequence[str], cuts: Sequence[tuple[Scores, Scores]]) -> tuple[str, ...]:
    """The wants of the clearest cut that says two things; empty where none does."""
    found: list[tuple[float, tuple[str, str]]] = []
    for left, right in cuts:
        first, second = _likeliest(left), _likeliest(right)
        apart = max(left[second], right[first]) < OTHER_SIDE
        if first != second and apart and {first, second} <= set(near) - NOT_BESIDE:
            found.append((min(left[first], right[second]), (first, second)))
    return max(found)[1] if found and max(found)[0] >= CLEAR_SIDES else ()


def _ask(whole: Scores, least: float = CHOICE_LEAST, least_together: float = CHOICES_TOGETHER) -> Decision:
    ranked = sorted((want for want in whole if want not in NOT_OFFERED), key=lambda want: -whole[want])
    likely = tuple(want for want in ranked[:MOST_CHOICES] if whole[want] >= least)
    sum_of_all = sum(whole[want] for want in likely)
    if len(likely) > 1 and sum_of_all >= least_together and sum_of_all > whole["outside"]:
        return Decision(choices=likely)
    return Decision()
