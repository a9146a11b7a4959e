"""When a sender is not answered: two machines must not talk for ever."""

from datetime import timedelta

from clubbot.model.known import Known
from clubbot.texting.keywords import bare

# More texts than this within five minutes, and nobody answers until it stops.
MOST_TEXTS = 20
# Within this time texts count as one flood, and what we said counts as just said.
LATELY = timedelta(minutes=5)
# The same text so often in a row is a machine's, such as an "I am driving" reply.
MOST_SAME = 3
# A short text may be ours by chance, or one of the choices we offered; an echo is a good part of a text of ours.
_LEAST_ECHO = 20
_ECHO_SHARE = 0.4


def quiet_reason(text: str, known: Known) -> str | None:
    """Why this text is not answered: "flood", "echo", "same"; None where it is. Each ends by itself once the texts stop."""
    if known.texts_lately > MOST_TEXTS:
        return "flood"
    if known.same_in_a_row > MOST_SAME:
        return "same"
    said = bare(text)
    return (
        "echo" if len(said) >= _LEAST_ECHO and any(_is_echo(said, bare(ours)) for ours in known.said_lately) else None
    )


def _is_echo(said: str, ours: str) -> bool:
    """Whether it is ours again, whole or cut short, or with something of theirs around it."""
    return (said in ours and len(said) >= _ECHO_SHARE * len(ours)) or (ours in said and len(ours) >= _LEAST_ECHO)
