"""What was said before, as the sentence model hears it: a few marks in front of the text, such as what was just answered and what we await."""

from collections.abc import Iterable

# Served texts are remembered by so many of what they asked for.
_MOST = 2
# People somebody is down for: from here on it is "many".
_MANY = 3


def marks_of(served: Iterable[str], about: str | None, awaits: str, coming: int) -> tuple[str, ...]:
    """The marks of a dialogue state: the intents just `served`, the topic of the event it was `about`, the kind of answer that we await
    ("" for none), and with how many people the sender is down for that event.
    """
    found = [f"after {one}" for one in list(served)[:_MOST]]
    if about is not None:
        found.append(f"about {about}")
    if awaits:
        found.append(f"awaits {awaits}")
    if coming:
        found.append("down many" if coming >= _MANY else f"down {coming}")
    return tuple(found)
