"""What was decided from how a text sounds, put right by what its words plainly say: a chain of small steps, each with its reason.

The order matters and stands in `CORRECTIONS` alone. `clubbot ask --why` tells which step changed what.
"""

from collections.abc import Callable, Mapping, Set
from dataclasses import dataclass, replace
from typing import Protocol

from clubbot.model.wants import RSVPS, Rsvp, RsvpKind, When
from clubbot.texting import patterns
from clubbot.understanding import numbers
from clubbot.understanding.claims import claim
from clubbot.understanding.consent import opts_in
from clubbot.understanding.danger import only_supposes
from clubbot.understanding.deciding import Decision, borne_out, decide, likeliest_answer, with_statement
from clubbot.understanding.names import introduced
from clubbot.understanding.negation import as_negated, speaks_of_somebody_else
from clubbot.understanding.noticing import Noticed
from clubbot.understanding.people import People, speaks_of_others
from clubbot.understanding.plain import words_of

Scores = Mapping[str, float]


class Club(Protocol):
    """What of the club's own the steps look at."""

    def event_topic(self, plain: str) -> str | None:
        """The topic of the event that is named."""

    def place(self, plain: str) -> str:
        """The part of the course that is named; "course" where none is."""

    def on_that_day(self, when: When | None) -> bool:
        """Whether an event is on in the days that are named."""

    @property
    def event_topics(self) -> Set[str]:
        """The topics that are about an event."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Evidence:
    """What the steps look at: the text as it was written, in plain words and with what is certain about it, the days and the answer to an event that it names,
    how likely each want is, who comes, and whether a sentence model has heard it. `about_event` where an event has just been spoken of.
    """

    text: str
    plain: str
    noticed: Noticed
    when: When | None
    answer: Rsvp
    whole: Scores
    heard: bool
    about_event: bool
    scores: Callable[[str], Scores]
    stated: Callable[[str], str]
    people: People
    club: Club


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


def _stated(decision: Decision, evidence: Evidence) -> Decision:
    # What the sentence model makes of a text is better than what our grammar of statements does, but where an event has just been
    # spoken of: "in, with two" is too short for it.
    if evidence.heard and not evidence.about_event:
        return _with_plain_statement(decision, evidence)
    return _with_claim(decision, evidence)


def _with_claim(decision: Decision, evidence: Evidence) -> Decision:
    """A plain statement of coming or not goes before how the text sounds; what the rest of it asks is served beside."""
    people, said, club = evidence.people, evidence.answer, evidence.club
    named = evidence.about_event or said.event is not None or club.on_that_day(said.when)
    stated = claim(evidence.text, evidence.stated, people, about_event=named)
    if stated is None or (stated.weak and not named):
        sounding = likeliest_answer(evidence.scores(evidence.text), frozenset(RSVPS)) if named else None
        return Decision(served=(sounding,)) if sounding and decision.outside else _last_answer(decision)
    named = named or people.stand_in is not None
    about_events = club.event_topics | ABOUT_EVENTS
    weak = stated.weak and not (said.event is not None and (people.party.total or 0) > 1)
    own = evidence.scores(stated.said)
    if not borne_out(own, frozenset(RSVPS), about_events, weak=weak, named=named):
        return _last_answer(Decision(served=(stated.kind,)) if stated.kind in decision.choices else decision)
    # Weak words tell that it is an answer; which one, its sound may tell better.
    kind = (likeliest_answer(own, frozenset(RSVPS)) if stated.weak else None) or stated.kind
    asked = decide(evidence.scores(stated.rest), [], []).served if len(words_of(stated.rest)) > 1 else ()
    beside = (*asked, *decision.served) if not stated.weak else asked
    others = [want for want in beside if want not in NOT_BESIDE_CLAIM and want not in club.event_topics]
    if stated.weak and said.event is None and set(others) & ABOUT_THE_COURSE:
        return decision  # "is it open saturday? we'll be there at 9"
    return Decision(served=(kind, *others[:1]))


def _with_plain_statement(decision: Decision, evidence: Evidence) -> Decision:
    """What the sentence model leaves open, or takes for another answer, our grammar of statements may settle: "il be thre thrusday",
    "in for wed.. no wait, i can't".
    """
    stated = claim(evidence.text, evidence.stated, evidence.people, about_event=True)
    if stated is None:
        return decision
    said = evidence.answer
    named = said.event is not None or evidence.club.on_that_day(said.when)
    if stated.weak and said.event is None and set(decision.served) & ABOUT_A_ROUND:
        return replace(decision, served=tuple(want for want in decision.served if want not in RSVPS))
    return with_statement(decision, stated.kind, evidence.whole, frozenset(RSVPS), weak=stated.weak, named=named)


def _last_answer(decision: Decision) -> Decision:
    """Nobody is coming and not coming: of two answers in a text the last holds."""
    answers: list[RsvpKind | str] = [want for want in decision.served if want in RSVPS]
    if len(answers) < 2:
        return decision
    return replace(decision, served=tuple(want for want in decision.served if want not in answers[:-1]))


def _only_supposed(decision: Decision, evidence: Evidence) -> Decision:
    return Decision(outside=True) if "danger" in decision.served and only_supposes(evidence.noticed) else decision


def _of_a_round(decision: Decision, evidence: Evidence) -> Decision:
    """A round of so many holes from an hour on: whether it fits is a question of daylight."""
    when = evidence.when
    if when is None or when.at is None or when.at.hour < _LATE:
        return decision
    a_round = numbers.holes(evidence.plain, 18) is not None
    if {"duration", "daylight"} <= set(decision.choices) or (a_round and decision.served == ("status",)):
        return Decision(served=("daylight",))
    served = tuple("daylight" if want == "duration" else want for want in decision.served)
    return replace(decision, served=tuple(dict.fromkeys(served)))


def _of_club_things(decision: Decision, evidence: Evidence) -> Decision:
    """Whether a part of the course is open, or an event is on that day, however much the rest sounds like something general; where the
    sentence was heard as a whole only in the place of choices, or of what that event is in general.
    """
    heard, plain, when = evidence.heard, evidence.plain, evidence.when
    if any(want in {"outside", "danger", *RSVPS} for want in decision.served) or (heard and decision.outside):
        return decision
    topic = evidence.club.event_topic(plain)
    if heard and decision.served and (topic is None or decision.served != (topic,)):
        return decision
    asked = "events" in decision.choices and topic in decision.choices  # "league wednesday?"
    if topic is not None and evidence.noticed.says("asks whether an event is on"):
        return Decision(served=("events",))
    if topic is not None and when is not None and when.dated and (asked or _IS_ON.search(plain)):
        return Decision(served=("events",))
    if topic is None and evidence.club.place(plain) != "course" and _IS_OPEN.search(plain):
        return Decision(served=("status",))
    return decision


def _negated(decision: Decision, evidence: Evidence) -> Decision:
    return as_negated(decision, evidence.plain, evidence.noticed)


def _no_more_texts(decision: Decision, evidence: Evidence) -> Decision:
    """What sounds plainly like the wish for no more texts is no matter for a person to read or for a menu: nothing that names a place,
    an event, one list or an hour is taken for it.
    """
    noticed, likely = evidence.noticed, evidence.whole.get("stop", 0.0)
    if not evidence.heard or noticed.says("no opt-out") or noticed.says("start") or noticed.says("texts go on"):
        return decision
    if (
        "?" in evidence.text
        or likely < (STOP_OF_TEXTS if noticed.says("of texts") else STOP_UNNAMED)
        or "stop" in decision.served
    ):
        return decision
    if evidence.answer.event is not None or evidence.answer.when is not None:
        return decision
    return Decision(served=("stop",))


def _plainly_again(decision: Decision, evidence: Evidence) -> Decision:
    """Nothing opts in but a plain word or sentence for it. Who speaks of having stopped is nearer to stopping once more: "I said stop"."""
    noticed, likely = evidence.noticed, evidence.whole.get("start-again", 0.0)
    if "start-again" not in decision.served or opts_in(noticed) or noticed.says("texts go on"):
        return decision
    if noticed.says("stop") or noticed.says("stopped before"):
        return replace(decision, served=tuple("stop" if want == "start-again" else want for want in decision.served))
    if noticed.says("of texts") and likely >= (AGAIN_TURNED if noticed.says("turns back") else AGAIN_UNNAMED):
        return decision
    others = tuple(want for want in decision.served if want != "start-again")
    return Decision(served=others, outside=not others)


def _with_name(decision: Decision, evidence: Evidence) -> Decision:
    """A name said in passing is kept beside what else is served."""
    if not decision.served or "name" in decision.served or not introduced(evidence.text):
        return decision
    others = tuple(want for want in decision.served if want not in {"greeting", "thanks"})
    return replace(decision, served=(*others, "name"))


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
    if not (evidence.about_event and "rsvp-no" in decision.served and speaks_of_somebody_else(evidence.plain)):
        return decision
    return replace(decision, served=tuple("rsvp-change" if want == "rsvp-no" else want for want in decision.served))


CORRECTIONS: tuple[Correction, ...] = (
    Correction(
        "a plain statement", "first: what somebody states of himself or herself is surer than how it sounds", _stated
    ),
    Correction("only supposed", "before anything is done about a danger that nobody is in", _only_supposed),
    Correction(
        "of a round", "before the course's own words are looked at: its hour makes it a question of light", _of_a_round
    ),
    Correction("the club's things", "after statements, which name events too", _of_club_things),
    Correction("turned round", "after all that may have found an answer: a don't turns it round", _negated),
    Correction("plainly again", "before what sounds like a wish for no more texts, which it may be", _plainly_again),
    Correction("no more texts", "after what turns it round, which tells what is none", _no_more_texts),
    Correction("a name beside", "whatever else is served by now", _with_name),
    Correction("fewer come", "only of what nothing else was made of", _fewer),
    Correction("somebody else", "last: of an answer, whoever it is about", _somebody_else),
)

_IS_ON = patterns.compile(
    r"\b(?:is|are|est ce que)\b.{0,60}\b(?:still )?(?:on|off|happening|cancell?ed|called off|annulee?)\b|\ba(?:t il)? lieu\b"
)
_IS_OPEN = patterns.compile(
    r"\b(?:is|are|est|c est)\b.{0,60}\b(?:loop|hole|boucle|trou|tee|basket|panier)\b.{0,60}\b(?:open|closed|shut|ouverte?s?|fermee?s?)\b|^(?:the )?(?:[a-z]+ loop|hole \d+|boucle [a-z ]+|trou \d+) (?:open|closed|ouverte?|fermee?)$"
)
# Never beside a statement of coming: it is said already.
NOT_BESIDE_CLAIM = frozenset(
    {*RSVPS, "my-rsvps", "places", "greeting", "thanks", "outside", "danger", "name", "events"}
)
# What goes with any event, beside its topic.
ABOUT_EVENTS = frozenset({"events", "places", "my-rsvps"})
# Who asks these of a day may well mean a round of his own and no event.
ABOUT_THE_COURSE = frozenset(
    {"status", "hours", "busy", "daylight", "duration", "group-size", "parking", "cost", "start"}
)
# "Is it open saturday? We'll be there at 9" is said of a round of one's own.
ABOUT_A_ROUND = frozenset({"status", "daylight", "busy"})
# How much a text must sound like the wish for no more texts where no rule is sure: with a word of texts in it, and without. Set on
# tests/understanding/opting_out.jsonl and the texts beside it.
STOP_OF_TEXTS, STOP_UNNAMED = 0.55, 0.75
# How much a text with a word of texts in it must sound like the wish to have them again: with a word of going back, and without.
AGAIN_TURNED, AGAIN_UNNAMED = 0.5, 0.9
# From this hour on who asks how long a round takes wonders about the light.
_LATE = 17
