"""What a "don't" or a small word turns round: "don't sign me up", "no reminder please", "don't stop the texts".

A sentence model hears what a text is about better than which way round it is said. What is done on request is looked at once more here,
since doing the opposite is worse than asking.
"""

from dataclasses import replace

from clubbot.understanding.consent import speaks_of_another
from clubbot.understanding.deciding import Decision
from clubbot.understanding.noticing import Noticed


def as_negated(decision: Decision, noticed: Noticed) -> Decision:
    """The decision with what a text turns round turned round; to a person where what it asks is not ours to do."""
    served = tuple(intent for each in decision.served for intent in _turned(each, noticed))
    if served == decision.served:
        return decision
    return replace(decision, served=served) if served else Decision(outside=True)


def _turned(intent: str, noticed: Noticed) -> tuple[str, ...]:
    if intent == "stop" and noticed.says("texts go on"):
        return ("start-again",)
    if intent == "stop" and speaks_of_another(noticed):
        return ()
    if intent == "stop" and not noticed.says("stop") and _is_no_opt_out(noticed):
        return ()
    if intent == "remind" and noticed.says("no reminder"):
        return ()
    if intent == "rsvp-yes" and noticed.says("not signed up"):
        return ("rsvp-no",)
    return (intent,)


def _is_no_opt_out(noticed: Noticed) -> bool:
    """A place, a reminder or one text of the writer's own is not all of ours; and who asks something has not said it."""
    return noticed.says("no opt-out") or not noticed.says("of texts") or "?" in noticed.text.written
