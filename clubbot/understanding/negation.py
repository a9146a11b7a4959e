"""What a "don't" or a small word turns round: "don't sign me up", "no reminder please", "don't stop the texts", "she can't come after all".

A sentence model hears what a text is about better than which way round it is said. What is done on request is looked at once more here,
since doing the opposite is worse than asking.
"""

from dataclasses import replace

from clubbot.texting import patterns
from clubbot.understanding.deciding import Decision
from clubbot.understanding.noticing import Noticed

_DONT = r"(?:don ?t|do not|dont|pls don ?t|never)"
_NOT_IN = patterns.compile(
    rf"\b{_DONT} (?:sign|sing|put|count|add|register|book|enrol\w*|include) (?:me|us|him|her|them|my)\b|\binscri\w* (?:moi |nous )?(?:surtout )?pas\b|\b(?:m|nous) inscri\w* pas\b"
)
_HIM = r"(?:she|he|they|one of (?:us|them|the \w+)|(?:my|the) (?!own|self)\w+(?: \w+)?|elle|il|ils|elles|(?:ma|mon|mes|les|la|le) \w+|y en a un\w*|un\w* de nous|l un\w* de nous|half of (?:us|them)|\d of us|two of us|three of us|\w+ of them)"
_CANT = r"(?:can ?t|cant|cannot|won ?t|wont|isn ?t|isnt|aren ?t|arent|is not|are not|will not|couldn ?t|not) ?(?:be |make|mke|come|coming|going|able|there|it|now|after)?|(?:peut|peuvent|pourra|pourront|viendra|viendront|vient|viennent|sera|seront)(?: (?:pas|plus))\b|se desist\w*"
_SOMEBODY_ELSE = patterns.compile(
    rf"\b{_HIM} (?:\w+ ){{0,2}}?(?:{_CANT})|\b{_HIM} (?:ne )?(?:peut|peuvent|vient|viennent|viendra) pas\b"
)
_MYSELF = patterns.compile(
    r"\b(?:i|we|none of us|both of us|neither|everyone|all of us) (?:\w+ )?(?:can ?t|cant|cannot|won ?t|wont|am not|m not|are not|re not|will not|have to|has to)\b|\b(?:je|on|nous|j|jpeux|jpourrai|aucun\w*) (?:\w+ )?(?:peux|peut|pouvons|pourrai|pourra|viens|vient|viendrai|serai|sera|serons)\b|\b(?:cancel|take me|take us|annul\w*|enlev\w* (?:moi|nous))\b"
)


def as_negated(decision: Decision, plain: str, noticed: Noticed) -> Decision:
    """The decision with what a text turns round turned round; to a person where what it asks is not ours to do. `plain` is its plain form."""
    served = tuple(want for each in decision.served for want in _turned(each, plain, noticed))
    if served == decision.served:
        return decision
    return replace(decision, served=served) if served else Decision(outside=True)


def _turned(want: str, plain: str, noticed: Noticed) -> tuple[str, ...]:
    if want == "stop" and noticed.says("texts go on"):
        return ("start-again",)
    if want == "stop" and not noticed.says("stop") and (noticed.says("no opt-out") or not noticed.says("of texts")):
        return ()  # a place, a reminder or one text of the writer's own is not all of ours
    if want == "remind" and noticed.says("no reminder"):
        return ()
    if want == "rsvp-yes" and _NOT_IN.search(plain):
        return ("rsvp-no",)
    return (want,)


def speaks_of_somebody_else(plain: str) -> bool:
    """Whether it is somebody else of a party who is not coming: "my wife can't make it after all"."""
    return _SOMEBODY_ELSE.search(plain) is not None and _MYSELF.search(plain) is None
