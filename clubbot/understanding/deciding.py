"""From chances to a decision: what is served, what is asked back, what goes to a person. What is not clear is not guessed."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from clubbot.model.intent_kinds import ACTS, NOT_BESIDE, NOT_OFFERED, SURE
from clubbot.model.intents import RSVPS
from clubbot.understanding import thresholds
from clubbot.understanding.hearing import Chances
from clubbot.understanding.splitting import sentences

Scores = Mapping[str, float]

# What is done to a list or a place. A wish for no more texts, a danger or a name that was told harm nobody.
_NEEDS_OURS = ACTS - {"stop", "hazard", "name", "start-again"}
_EITHER = frozenset({"lost-disc", "found-disc"})
_WITH_STOP = "rsvp-no"
_HARMS = frozenset({"hazard", "safety"})
_SHORT = 14  # words


@dataclass(frozen=True, slots=True)
class Decision:
    """`served` intents, or `choices` to ask back with, or neither: a person has to read it. Beside what is served `choices` is an act that was
    not sure enough to be done, to be asked about.
    """

    served: tuple[str, ...] = ()
    choices: tuple[str, ...] = ()
    outside: bool = False


def decide(chances: Chances) -> Decision:
    """What to do with a text."""
    intents = chances.intents
    ranked = sorted(intents, key=lambda intent: -intents[intent])
    best = ranked[0]
    if intents.get("danger", 0.0) >= thresholds.DANGER:
        return Decision(served=("danger",))
    if _opts_out(intents):
        both = intents.get(_WITH_STOP, 0.0) >= thresholds.TAKEN_AWAY
        return Decision(served=("stop", _WITH_STOP) if both else ("stop",))
    certain = intents[best] >= thresholds.NEARLY_CERTAIN
    maybe_danger = intents.get("danger", 0.0) >= thresholds.MAYBE_DANGER and not certain
    if not maybe_danger and _asks_whether(best, chances):
        return Decision(choices=(best,))
    if maybe_danger or chances.for_us < _ours(best, certain):
        return Decision(outside=True)
    served = _served(ranked, intents)
    if chances.for_us < thresholds.OURS_TO_ACT and (doubted := set(served) & _NEEDS_OURS):
        # Nobody is signed up by a text that may be somebody else's: it is asked about first.
        left = tuple(intent for intent in served if intent not in doubted)
        return Decision(served=left, choices=tuple(intent for intent in served if intent in doubted)[:1])
    return Decision(served=served, choices=_unsure(served, ranked, intents)) if served else _ask(ranked, intents)


def _ours(best: str, certain: bool) -> float:
    """From which probability on a text is for us: what somebody may be hurt by is taken down and warned of from less."""
    if best in _HARMS:
        return thresholds.OURS_WHERE_HARM
    return thresholds.OURS_WHERE_CERTAIN if certain else thresholds.OURS


# Whatever of these a text may want besides, somebody may be in danger.
_NEAR_DANGER = frozenset({"danger", "safety", "human", "hazard", "stop", "weather-policy"})


def plainly_no_danger(text: str, chances: Chances) -> bool:
    """Whether a short text of one sentence, in whose words a rule finds a danger, plainly wants something else: "my bro is out cold on the
    couch, so just me". Without a sentence model the rules have it.
    """
    if not chances.counts or len(sentences(text)) > 1 or len(text.split()) > _SHORT:
        return False
    near = max((share for intent, share in chances.intents.items() if intent in _NEAR_DANGER), default=1.0)
    best = max((share for intent, share in chances.intents.items() if intent not in _NEAR_DANGER), default=0.0)
    risky = max(chances.risks.values(), default=1.0)
    danger = chances.intents.get("danger", 1.0)
    return (
        danger < thresholds.NO_DANGER
        and max(near, risky) < 10 * thresholds.NO_DANGER
        and best >= thresholds.PLAINLY_ELSE
    )


def _opts_out(intents: Scores) -> bool:
    """Whether it is sure enough that no more texts are wanted: what else is sure, but for what goes with it, makes it less so."""
    beside = any(share >= thresholds.ANSWERED for one, share in intents.items() if one not in {"stop", _WITH_STOP})
    return intents.get("stop", 0.0) >= (thresholds.STOPPED_BESIDE if beside else thresholds.STOPPED)


def _asks_whether(best: str, chances: Chances) -> bool:
    """Whether an act is clear, and only that it is meant for us is not: who is told what would be done can say no."""
    in_doubt = thresholds.OURS_TO_ASK <= chances.for_us < thresholds.OURS_TO_ACT
    return best in _NEEDS_OURS and chances.intents[best] >= _needed(best) and in_doubt


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


def _unsure(served: Sequence[str], ranked: Sequence[str], intents: Scores) -> tuple[str, ...]:
    """The act that may be meant beside what is served: to lose it is worse than to ask."""
    if set(served) & NOT_BESIDE:
        return ()
    likely = (one for one in ranked if one in ACTS and one not in NOT_OFFERED and one not in served)
    found = [one for one in likely if intents[one] >= _asked_beside(one) and not _same_act(one, served)]
    return tuple(found[:1])


def _asked_beside(intent: str) -> float:
    return thresholds.ASKED_BESIDE_TO_TAKE if intent == "rsvp-no" else thresholds.ASKED_BESIDE


def _same_act(intent: str, served: Sequence[str]) -> bool:
    """Whether an act is another name for one that is served: of two answers or of two reports one is meant."""
    return any({intent, one} <= kind for kind in (frozenset(RSVPS), _EITHER) for one in served)


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
