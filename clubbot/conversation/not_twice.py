"""A stock sentence is never said twice word for word in one conversation: the second time it is shorter, or goes on."""

from clubbot.conversation.phrasing import Voice
from clubbot.model.known import Known
from clubbot.texting.keywords import bare

# What is said in the place of a sentence that was said already: one key after the other, as far as there are such.
_INSTEAD = ("", "_again", "_more")


def fresh(voice: Voice, known: Known, key: str, **values: object) -> str:
    """The sentence of that key, or the next of its kind that the sender has not been told lately; the last where all have been."""
    said = ""
    for ending in _INSTEAD:
        if not voice.has(f"{key}{ending}"):
            break
        said = voice.say(f"{key}{ending}", **values)
        if not told_lately(said, known):
            return said
    return said


def told_lately(said: str, known: Known) -> bool:
    """Whether the sender has been told these words in this conversation."""
    words = bare(said)
    return bool(words) and any(words in bare(ours) for ours in known.said_lately)
