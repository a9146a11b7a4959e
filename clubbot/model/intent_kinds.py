"""What a text can want beside the topics that the club's answers cover: one row each, from which every list of them derives."""

from collections.abc import Callable
from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class IntentKind:
    """One kind of intent.

    `beside` where it may be one of several things in a text, `offered` where we may ask back whether it is meant, `instead` where somebody
    who says "the other one" may mean it. `acts` where something is done and not only answered; `sure` where doing it by mistake
    takes something away, so that among other things it needs more certainty.
    """

    id: str
    beside: bool = True
    offered: bool = True
    instead: bool = True
    acts: bool = False
    sure: bool = False


def _act(id: str, *, sure: bool = False, offered: bool = True) -> IntentKind:
    """Something that is done on request: nobody means it by "the other one"."""
    return IntentKind(id=id, offered=offered, instead=False, acts=True, sure=sure)


def _small_talk(id: str) -> IntentKind:
    return IntentKind(id=id, beside=False, offered=False, instead=False)


INTENTS: tuple[IntentKind, ...] = (
    IntentKind(id="status"),
    IntentKind(id="events"),
    IntentKind(id="daylight"),
    _act("rsvp-yes", sure=True),
    _act("rsvp-no", sure=True),
    _act("rsvp-maybe"),
    _act("rsvp-change", sure=True),
    IntentKind(id="my-rsvps"),
    IntentKind(id="places"),
    _act("remind"),
    IntentKind(id="my-membership"),
    _act("hazard"),
    _act("lost-disc"),
    _act("found-disc"),
    _act("notify-on"),
    _act("notify-off"),
    _act("stop", sure=True, offered=False),
    _act("start-again", sure=True, offered=False),
    IntentKind(id="help", offered=False, instead=False),
    IntentKind(id="human", offered=False, instead=False),
    _act("name", offered=False),
    _small_talk("greeting"),
    _small_talk("thanks"),
    _small_talk("outside"),
    _small_talk("danger"),
)
# The names are those of the ways-of-asking files.
BUILT_IN: tuple[str, ...] = tuple(one.id for one in INTENTS)


def those(which: Callable[[IntentKind], bool]) -> frozenset[str]:
    """The ids of the kinds for which `which` holds."""
    return frozenset(one.id for one in INTENTS if which(one))


# An answer that greets or thanks says nothing of what is wanted.
SMALL_TALK = frozenset({"greeting", "thanks"})
NOT_BESIDE = those(lambda one: not one.beside)
NOT_OFFERED = those(lambda one: not one.offered)
NOT_MEANT_INSTEAD = those(lambda one: not one.instead)
ACTS = those(lambda one: one.acts)
SURE = those(lambda one: one.sure)
