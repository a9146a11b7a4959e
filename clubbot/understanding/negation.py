"""What a "don't" or a small word turns round: "don't sign me up", "no reminder please", "don't stop the texts", "she can't come after all".

A sentence model hears what a text is about better than which way round it is said. What is done on request is looked at once more here,
since doing the opposite is worse than asking.
"""

from dataclasses import replace

from clubbot.texting import patterns
from clubbot.understanding.deciding import Decision

_DONT = r"(?:don ?t|do not|dont|pls don ?t|never)"
_TEXTS = r"(?:texts?|texting|txts?|messag\w*|msgs?|sms|numbers?|contact\w*|unsub\w*|opt\w*|lists?|notif\w*|alerts?|stop|quit|alone|spam\w*|bother\w*|textos?|texter|desabonn\w*|desinscri\w*|numero|ecri\w*|arret\w*|achal\w*|derang\w*|tranquille|messages?|envoy\w*|recevoir|writing|write)"
# Somebody who wants no more texts speaks of texts; "remove one" and "cancel everything" are said of places.
_OF_TEXTS = patterns.compile(rf"\b{_TEXTS}\b")
# One text of the writer's own, or a reminder, is not all of ours.
_SMALLER = patterns.compile(
    r"\b(?:my|that|this|mon|ce|ma|dernier) (?:last |previous |dernier )?(?:text|message|msg|texto|sms)\b|\bremind\w*|\brappels?\b"
)
_GOES_ON = patterns.compile(
    rf"\b{_DONT} (?:ever )?(?:stop|quit)(?: (?:the|these|your|my|sending|texting|texts|messages|them)\b|$)"
    r"|\b(?:arretez?|cessez?) (?:surtout )?pas(?: (?:les|vos|tes|de|d)\b|$)"
)
_NOT_IN = patterns.compile(
    rf"\b{_DONT} (?:sign|sing|put|count|add|register|book|enrol\w*|include) (?:me|us|him|her|them|my)\b|\binscri\w* (?:moi |nous )?(?:surtout )?pas\b|\b(?:m|nous) inscri\w* pas\b"
)
_NO_REMINDER = patterns.compile(
    r"\b(?:don ?t|do not|dont|no|stop|cancel|without|sans|pas|plus|annul\w*|arret\w*|cess\w*) (?:need |want |more |the |my |a |sending |me |any |besoin |de |d |un |les |mes )*(?:remind\w*|rappel\w*)\b"
)
_HIM = r"(?:she|he|they|one of (?:us|them|the \w+)|(?:my|the) (?!own|self)\w+(?: \w+)?|elle|il|ils|elles|(?:ma|mon|mes|les|la|le) \w+|y en a un\w*|un\w* de nous|l un\w* de nous|half of (?:us|them)|\d of us|two of us|three of us|\w+ of them)"
_CANT = r"(?:can ?t|cant|cannot|won ?t|wont|isn ?t|isnt|aren ?t|arent|is not|are not|will not|couldn ?t|not) ?(?:be |make|mke|come|coming|going|able|there|it|now|after)?|(?:peut|peuvent|pourra|pourront|viendra|viendront|vient|viennent|sera|seront)(?: (?:pas|plus))\b|se desist\w*"
_SOMEBODY_ELSE = patterns.compile(
    rf"\b{_HIM} (?:\w+ ){{0,2}}?(?:{_CANT})|\b{_HIM} (?:ne )?(?:peut|peuvent|vient|viennent|viendra) pas\b"
)
_MYSELF = patterns.compile(
    r"\b(?:i|we|none of us|both of us|neither|everyone|all of us) (?:\w+ )?(?:can ?t|cant|cannot|won ?t|wont|am not|m not|are not|re not|will not|have to|has to)\b|\b(?:je|on|nous|j|jpeux|jpourrai|aucun\w*) (?:\w+ )?(?:peux|peut|pouvons|pourrai|pourra|viens|vient|viendrai|serai|sera|serons)\b|\b(?:cancel|take me|take us|annul\w*|enlev\w* (?:moi|nous))\b"
)


def as_negated(decision: Decision, plain: str) -> Decision:
    """The decision with what a plain text turns round turned round; to a person where what it asks is not ours to do."""
    served = tuple(want for each in decision.served for want in _turned(each, plain))
    if served == decision.served:
        return decision
    return replace(decision, served=served) if served else Decision(outside=True)


def _turned(want: str, plain: str) -> tuple[str, ...]:
    if want == "stop" and _GOES_ON.search(plain):
        return ("start-again",)
    if want == "stop" and (_SMALLER.search(plain) or not _OF_TEXTS.search(plain)):
        return ()
    if want == "remind" and _NO_REMINDER.search(plain):
        return ()
    if want == "rsvp-yes" and _NOT_IN.search(plain):
        return ("rsvp-no",)
    return (want,)


def speaks_of_somebody_else(plain: str) -> bool:
    """Whether it is somebody else of a party who is not coming: "my wife can't make it after all"."""
    return _SOMEBODY_ELSE.search(plain) is not None and _MYSELF.search(plain) is None
