"""Several people have the name that was said: which is meant is asked, by what each is down for, and what is picked is shown with its code."""

from collections.abc import Sequence
from dataclasses import replace

from clubbot.conversation.ask import Ask, Served
from clubbot.conversation.codes import dropped_for, good_for
from clubbot.model.deeds import Draft, TakeOffDeed, TellOneDeed, WhichDeed
from clubbot.model.effects import OpenDraft
from clubbot.people.names import called
from clubbot.texting.keywords import bare

# More than these are not listed: the whole name is asked for.
_MOST = 5
_LONGEST = 6


def asked_which(name: str, options: Sequence[TakeOffDeed | TellOneDeed], labels: Sequence[str], ask: Ask) -> Served:
    """Which of them is meant, by number."""
    if len(options) > _MOST:
        return Served(sentence=ask.voice.say("which_one.too_many", name=name, count=len(options)))
    deed = WhichDeed(name=name, options=tuple(options), labels=tuple(labels))
    served = which_again(deed, ask)
    return replace(served, sentence=f"{dropped_for(deed, ask)} {served.sentence}".strip())


def which_again(deed: WhichDeed, ask: Ask) -> Served:
    """The question, which stays open as a draft does; its code is shown to nobody."""
    listed = ", ".join(f"{place} {label}" for place, label in enumerate(deed.labels, start=1))
    said = ask.voice.say("which_one.ask", name=deed.name, list=listed)
    draft = Draft(code=ask.known.code, deed=deed, until=ask.now + good_for(deed))
    return Served(sentence=said, effects=(OpenDraft(draft=draft),))


def picked_of(deed: WhichDeed, text: str) -> TakeOffDeed | TellOneDeed | None:
    """The one that a text picks, by its number or by a name that only one has; None where it says something else."""
    words = bare(text).split()
    if not 0 < len(words) <= _LONGEST:
        return None
    numbers = [int(word) for word in words if word.isdecimal()]
    if len(numbers) == 1 and 1 <= numbers[0] <= len(deed.options):
        return deed.options[numbers[0] - 1]
    found = [one for one in deed.options if called(text, _name(one))]
    return found[0] if len(found) == 1 and not numbers else None


def _name(one: TakeOffDeed | TellOneDeed) -> str:
    return one.name if isinstance(one, TellOneDeed) else one.lines[0].name
