"""What was said before, as the sentence model hears it: a few marks in front of the text, such as what was just answered and what we await."""

from collections.abc import Callable, Iterable
from datetime import datetime

from clubbot.model.dialogue import ANSWERED_WITHIN, SPOKEN_FOR, DialogueState
from clubbot.model.exchange import LEANS_FOR

# Served texts are remembered by so many of what they asked for.
_MOST = 2
# People somebody is down for: from here on it is "many".
_MANY = 3
# What was spoken of an event day with somebody who is down for it.
_COMES = frozenset({"rsvp-yes", "rsvp-change", "remind"})


def marks_of(
    served: Iterable[str],
    about: str | None,
    awaits: str,
    coming: int,
    warned: Iterable[str] = (),
    *,
    name_asked: bool = False,
) -> tuple[str, ...]:
    """The marks of a dialogue state: the intents just `served`, the topic of the event it was `about`, the kind of answer that we await
    ("" for none), whether we just asked for a name, with how many people the sender is down for that event, and the risks that were
    `warned` of lately.
    """
    found = [f"after {one}" for one in list(served)[:_MOST]]
    if about is not None:
        found.append(f"about {about}")
    if awaits:
        found.append(f"awaits {awaits}")
    if name_asked:
        found.append("awaits name")
    if coming:
        found.append("down many" if coming >= _MANY else f"down {coming}")
    return (*found, *(f"warned {risk}" for risk in warned))


def marks_in(dialogue: DialogueState, topic_of: Callable[[str], str | None], now: datetime) -> tuple[str, ...]:
    """The marks of what is remembered of a conversation; nothing that is too old to lean on. `topic_of` gives the topic of an event's id."""
    said = dialogue.exchange
    lately = said is not None and now - said.at <= LEANS_FOR
    # What went to a person was remembered without what it was read as.
    served = [one.intent for one in said.intents] or ["outside"] if said is not None and lately else []
    talk = dialogue.talk
    if talk is not None and now - talk.at >= SPOKEN_FOR and not (talk.awaits and now - talk.at < ANSWERED_WITHIN):
        talk = None
    if dialogue.asked is not None and now < dialogue.asked.until:
        about_days = any(choice.on is not None for choice in dialogue.asked.choices)
        awaits = "which" if about_days else "choice"
    else:
        awaits = talk.awaits if talk is not None else ""
    about = topic_of(talk.on.event) if talk is not None else None
    coming = talk.people if talk is not None and talk.intent in _COMES else 0
    if talk is None and dialogue.near is not None:
        on, coming = dialogue.near
        about = topic_of(on.event)
    warned = dialogue.warned_lately(now)
    # Only what is said right after a warning goes on with it by its sound.
    risks = warned.risks if warned is not None and (said is None or warned.at >= said.at) else ()
    return marks_of(served, about, awaits, coming, risks, name_asked=dialogue.name_asked)
