"""From chances to a decision: what is served, what is asked back, what goes to a person. What is not clear is not guessed."""

from collections.abc import Mapping, Sequence, Set
from dataclasses import dataclass

from clubbot.model.intents import ABOUT_TEXTS, ACTS, NOT_BESIDE, NOT_OFFERED, SMALL_TALK, SURE
from clubbot.understanding import thresholds
from clubbot.understanding.hearing import Chances

Scores = Mapping[str, float]

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

# A plain statement of coming or not beside an event: with this much of a sound like an answer; and in the place of another answer.
STATEMENT_LEAST = 0.15
STATEMENT_INSTEAD = 0.03
STOP_TOO = 0.3

_EITHER = frozenset({"lost-disc", "found-disc"})


@dataclass(frozen=True, slots=True)
class Decision:
    """`served` wants in the order they were said, or `choices` to ask back with, or neither: a person has to read it."""

    served: tuple[str, ...] = ()
    choices: tuple[str, ...] = ()
    outside: bool = False


def decide(chances: Chances) -> Decision:
    """What to do with a text."""
    intents = chances.intents
    ranked = sorted(intents, key=lambda intent: -intents[intent])
    best = ranked[0]
    if best == "danger" and intents[best] >= thresholds.ANSWERED:
        return Decision(served=("danger",))
    certain = intents[best] >= thresholds.NEARLY_CERTAIN
    maybe_danger = intents.get("danger", 0.0) >= thresholds.MAYBE_DANGER and not certain
    if maybe_danger or chances.for_us < (thresholds.OURS_WHERE_CERTAIN if certain else thresholds.OURS):
        return Decision(outside=True)
    served = _served(ranked, intents)
    return Decision(served=served) if served else _ask(ranked, intents)


def _served(ranked: Sequence[str], intents: Scores) -> tuple[str, ...]:
    """What is sure enough for what it does; small talk only by itself."""
    sure = [intent for intent in ranked if intents[intent] >= _needed(intent)]
    beside = [intent for intent in sure if intent not in NOT_BESIDE]
    if beside and beside[0] in _EITHER:  # "lost my disc, has anybody found it" is one report
        beside = [intent for intent in beside if intent == beside[0] or intent not in _EITHER]
    if beside:
        return tuple(beside[: thresholds.MOST_SERVED])
    if sure:
        return (sure[0],)
    first, second = ranked[:2]
    alone = intents[first] >= thresholds.ALONE and intents[first] >= thresholds.STANDS_OUT * intents[second]
    return (first,) if alone and first not in SURE else ()


def _needed(intent: str) -> float:
    if intent in SURE:
        return thresholds.TAKEN_AWAY
    return thresholds.DONE if intent in ACTS else thresholds.ANSWERED


def _ask(ranked: Sequence[str], intents: Scores) -> Decision:
    likely = [intent for intent in ranked if intent not in NOT_OFFERED and intents[intent] >= thresholds.CHOICE]
    likely = likely[: thresholds.MOST_CHOICES]
    if len(likely) > 1 and sum(intents[intent] for intent in likely) >= thresholds.CHOICES_TOGETHER:
        return Decision(choices=tuple(likely))
    return Decision()


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
