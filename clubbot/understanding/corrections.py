"""What was decided from how a text sounds, put right by what its words plainly say: a chain of small steps, each with its reason.

The order matters and stands in `CORRECTIONS` alone. `clubbot ask --why` tells which step changed what.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace

from clubbot.understanding import thresholds
from clubbot.understanding.consent import opts_in, speaks_of_another
from clubbot.understanding.danger import help_came, is_over, is_play, only_supposes
from clubbot.understanding.deciding import Decision
from clubbot.understanding.names import introduced
from clubbot.understanding.negation import as_negated
from clubbot.understanding.noticing import Noticed
from clubbot.understanding.people import People, only_others_out, speaks_of_others


@dataclass(frozen=True, slots=True, kw_only=True)
class Evidence:
    """What the steps look at: the text as it was written and with what is certain about it, who comes, how
    likely each intent is, the topic of the event that it names. `about_event` where an event has just been spoken of.
    """

    text: str
    noticed: Noticed
    people: People
    about_event: bool
    names_a_day_or_event: Callable[[], bool]
    topic: Callable[[], str | None]
    chances: Mapping[str, float]


@dataclass(frozen=True, slots=True)
class Correction:
    """One step: its name, why it stands where it stands, and what it does."""

    name: str
    reason: str
    step: Callable[[Decision, Evidence], Decision]


@dataclass(frozen=True, slots=True)
class Corrected:
    """A step that changed something."""

    name: str
    before: Decision
    after: Decision


def corrected(decision: Decision, evidence: Evidence) -> tuple[Decision, tuple[Corrected, ...]]:
    """The decision after all steps, and the steps that changed it."""
    changed: list[Corrected] = []
    for one in CORRECTIONS:
        after = one.step(decision, evidence)
        if after != decision:
            changed.append(Corrected(one.name, decision, after))
        decision = after
    return decision, tuple(changed)


def _only_supposed(decision: Decision, evidence: Evidence) -> Decision:
    """No rule found danger in the text, or it would not be here: how it sounds is no danger either where it only supposes one, is about
    play, of another day, or tells that one is over. A person reads it all the same.
    """
    if "danger" not in decision.served:
        return decision
    said = evidence.noticed
    over = is_over(said) and evidence.chances.get("danger", 0.0) < thresholds.NOT_OVER
    none = is_play(said) or help_came(said) or over
    if evidence.chances.get("danger", 0.0) < thresholds.PLAINLY_DANGER:
        few = len(evidence.text.split()) <= thresholds.FEW_WORDS
        none = none or few or said.says("not now") or only_supposes(said)
    return Decision(outside=True) if none else decision


def _round_of_ones_own(decision: Decision, evidence: Evidence) -> Decision:
    """ "Is it open saturday? We'll be there at 9" is said of a round of one's own where no event is named."""
    about = _ABOUT_A_ROUND if evidence.about_event else _ABOUT_A_ROUND | _ABOUT_THE_WAY
    if not set(decision.served) & about or evidence.topic() is not None:
        return decision
    served, choices = (
        tuple(intent for intent in of if intent != "rsvp-yes") for of in (decision.served, decision.choices)
    )
    return replace(decision, served=served, choices=choices)


def _before_dark(decision: Decision, evidence: Evidence) -> Decision:
    """ "Can 4 of us get 18 in before dark" asks whether a round fits, however much it sounds like play at night or like coming to an event."""
    says = evidence.noticed.says
    begins = says("asks when to begin") and not evidence.about_event
    if not (says("a round before dark") or begins) or evidence.topic() is not None:
        return decision
    least = 0.0 if begins else thresholds.BEFORE_DARK  # to begin by a time is asked of nothing else
    if not set(decision.served) | set(decision.choices) <= _MAY_BE_LIGHT:
        return decision
    if "daylight" in decision.served:
        return replace(decision, served=tuple(one for one in decision.served if one not in _NO_LIGHT))
    return Decision(served=("daylight",)) if evidence.chances.get("daylight", 0.0) >= least else decision


def _whether_it_is_on(decision: Decision, evidence: Evidence) -> Decision:
    """ "Is league on", however much it sounds like what the league is in general."""
    if not evidence.noticed.says("asks whether an event is on"):
        return decision
    topic = evidence.topic()
    if topic is None or not set(decision.served) <= {topic, "weather-policy"}:
        return decision
    return Decision(served=("events",))


def _negated(decision: Decision, evidence: Evidence) -> Decision:
    return decision if _plainly_stops(decision, evidence) else as_negated(decision, evidence.noticed)


def _plainly_stops(decision: Decision, evidence: Evidence) -> bool:
    """Whether it is plainly heard as the wish for no more texts and speaks of them, though "stop it" in it may make it none."""
    plainly = evidence.chances.get("stop", 0.0) >= thresholds.PLAINLY_STOP and evidence.noticed.says("of texts")
    other = evidence.noticed.says("texts go on") or speaks_of_another(evidence.noticed)
    return plainly and decision.served == ("stop",) and not other


# Letters of what can be a word of a sentence.
_A_WORD = 3


def _no_more_texts(decision: Decision, evidence: Evidence) -> Decision:
    """What sounds plainly like the wish for no more texts is no matter for a person to read or for a menu: nothing that names a place,
    an event, one list or an hour is taken for it.
    """
    noticed, likely = evidence.noticed, evidence.chances.get("stop", 0.0)
    letters = "".join(one if one.isalpha() else " " for one in evidence.text)
    if not any(len(word) >= _A_WORD for word in letters.split()):
        return Decision(outside=True) if "stop" in decision.served else decision  # "; rm -rf /" sounds like anything
    if _plainly_stops(decision, evidence):
        return decision
    if noticed.says("texts go on") or noticed.says("no opt-out"):
        if "notify-off" in decision.served and (noticed.says("texts go on") or "rsvp-no" in decision.served):
            others = tuple(
                one for one in decision.served if one != "notify-off"
            )  # a place may be given up, and no list left
            decision = replace(decision, served=others, outside=not others)
        decision = replace(decision, choices=tuple(one for one in decision.choices if one != "notify-off"))
    goes_on = noticed.says("start") or noticed.says("texts go on") or noticed.says("wants to stay")
    if noticed.says("no opt-out") or goes_on or speaks_of_another(noticed):
        others = tuple(intent for intent in decision.served if intent != "stop")
        return decision if len(others) == len(decision.served) else Decision(served=others, outside=not others)
    if "?" in evidence.text:
        return decision
    if len(evidence.text.split()) < _SENTENCE:  # a single word is a key word, or it is none
        return decision
    least = thresholds.STOP_OF_TEXTS if noticed.says("of texts") else thresholds.STOP_UNNAMED
    if likely < least or "stop" in decision.served or evidence.names_a_day_or_event():
        return decision
    return Decision(served=("stop",))


def _plainly_again(decision: Decision, evidence: Evidence) -> Decision:
    """Nothing opts in but a plain word or sentence for it. Who speaks of having stopped is nearer to stopping once more: "I said stop"."""
    noticed, likely = evidence.noticed, evidence.chances.get("start-again", 0.0)
    if "start-again" not in decision.served or opts_in(noticed) or noticed.says("texts go on"):
        return decision
    if noticed.says("stop") or noticed.says("stopped before"):
        return replace(
            decision, served=tuple("stop" if intent == "start-again" else intent for intent in decision.served)
        )
    least = thresholds.AGAIN_TURNED if noticed.says("turns back") else thresholds.AGAIN_UNNAMED
    if noticed.says("of texts") and likely >= least:
        return decision
    others = tuple(intent for intent in decision.served if intent != "start-again")
    return Decision(served=others, outside=not others)


def _with_name(decision: Decision, evidence: Evidence) -> Decision:
    """A name said in passing is kept beside what else is served; one that is all that is said is no matter for a person."""
    alone = decision.outside and len(evidence.text.split()) <= _AN_INTRODUCTION and introduced(evidence.text)
    if alone and max(evidence.chances.values()) < thresholds.CHOICES_TOGETHER + evidence.chances.get("name", 0.0):
        return Decision(served=("name",))
    if not decision.served or "name" in decision.served or not introduced(evidence.text):
        return decision
    others = tuple(intent for intent in decision.served if intent not in {"greeting", "thanks"})
    return replace(decision, served=(*others, "name"))


# Where a text may want either of two things, and one answer tells both.
_TELLS_BOTH: Mapping[frozenset[str], str] = {
    frozenset({"daylight", "duration"}): "daylight",
    frozenset({"cost", "pay"}): "cost",
    frozenset({"volunteer", "bring"}): "volunteer",
    frozenset({"where", "first-tee"}): "where",
    frozenset({"winter", "hours"}): "winter",
}


def _told_by_one(decision: Decision, _: Evidence) -> Decision:
    """Of two things that may be wanted, the one whose answer tells the other too."""
    told = _TELLS_BOTH.get(frozenset(decision.choices)) if not decision.served else None
    return Decision(served=(told,)) if told is not None else decision


def _bare_yes(decision: Decision, evidence: Evidence) -> Decision:
    """A yes to nothing that we asked is asked about: most likely it is to come to something."""
    nothing = not decision.served and not decision.choices
    return Decision(served=("rsvp-yes",)) if nothing and evidence.noticed.says("yes") else decision


def _opens_again(decision: Decision, evidence: Evidence) -> Decision:
    """ "When do you open again": of hours and of how it stands alike; where nothing is closed, it is the hours."""
    both = set(decision.choices) == {"hours", "status"} and not decision.served
    return Decision(served=("hours",)) if both and evidence.noticed.says("asks when it reopens") else decision


def _fewer(decision: Decision, evidence: Evidence) -> Decision:
    """ "Remove one", "Bob's out", where an event has just been spoken of."""
    if not evidence.about_event:
        return decision
    people = evidence.people
    changes = people.party.more is not None or people.said.out or people.said.instead
    of_others = bool(set(decision.choices) & {"rsvp-no", "rsvp-change"}) and speaks_of_others(people)
    return Decision(served=("rsvp-change",)) if (decision.outside and changes) or of_others else decision


def _somebody_else(decision: Decision, evidence: Evidence) -> Decision:
    """One of a party who drops out is a change of its number, which is asked for where it is not told."""
    if not (evidence.about_event and "rsvp-no" in decision.served and only_others_out(evidence.people)):
        return decision
    return replace(
        decision, served=tuple("rsvp-change" if intent == "rsvp-no" else intent for intent in decision.served)
    )


# What a question for the light may sound like.
_MAY_BE_LIGHT = frozenset(
    {
        "daylight",
        "night",
        "rsvp-yes",
        "safety",
        "duration",
        "hours",
        "status",
        "parking",
        "layout",
        "start",
        "first-tee",
    }
)
_NO_LIGHT = frozenset({"night", "rsvp-yes", "safety"})
_SENTENCE = 2
# Who asks these of a day may well mean a round of his own and no event.
_ABOUT_A_ROUND = frozenset({"status", "daylight", "busy"})
_ABOUT_THE_WAY = frozenset({"where", "parking", "first-tee"})
# Words of a text that is nothing but a name given.
_AN_INTRODUCTION = 4


CORRECTIONS: tuple[Correction, ...] = (
    Correction("only supposed", "first: before anything is done about a danger that nobody is in", _only_supposed),
    Correction("a round of one's own", "before anything is made of an answer that is none", _round_of_ones_own),
    Correction("before dark", "before anything is made of an answer that is none", _before_dark),
    Correction("whether it is on", "before a don't, which may turn it round", _whether_it_is_on),
    Correction("turned round", "a don't turns round whatever was heard", _negated),
    Correction("plainly again", "before what sounds like a wish for no more texts, which it may be", _plainly_again),
    Correction("no more texts", "after what turns it round, which tells what is none", _no_more_texts),
    Correction("a name beside", "whatever else is served by now", _with_name),
    Correction("a bare yes", "only of what nothing else was made of", _bare_yes),
    Correction("opens again", "only of what would be asked back", _opens_again),
    Correction("told by one", "only of what would be asked back", _told_by_one),
    Correction("fewer come", "only of what nothing else was made of", _fewer),
    Correction("somebody else", "last: of an answer, whoever it is about", _somebody_else),
)
