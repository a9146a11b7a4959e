"""What the club's people tell clubbot to do and is not done: said plainly, with what was not understood and how it is done instead."""

from clubbot.conversation.ask import Ask, Served
from clubbot.conversation.helping import quoted
from clubbot.model.orders import NotByText, Unclear
from clubbot.understanding.consent import opts_out
from clubbot.understanding.once import Reading

_LONGEST = 90


def unclear(order: Unclear, ask: Ask) -> Served:
    """An order that was not wholly understood: the words that it hangs on, and how it is said."""
    words = order.words.strip() or ask.text.strip()
    return Served(sentence=ask.voice.say(f"unclear.{order.why.replace(' ', '_')}", words=_short(words)))


def not_by_text(order: NotByText, ask: Ask) -> Served:
    """Something that is not done by text."""
    key = order.what.replace(" ", "_").replace("-", "_")
    return Served(sentence=ask.voice.say(f"beyond.{key}", words=_short(ask.text)))


def not_understood(ask: Ask, reading: Reading) -> Served | None:
    """A text that could not be read as an order and looks like something to be done, or like the end of somebody's texts; None where it
    is an ordinary text.
    """
    if reading.plainly_an_order:
        return Served(sentence=ask.voice.say("unclear.not_all", words=_short(ask.text)))
    if opts_out(ask.said) is not None and not ask.known.sender.opted_out:
        return Served(sentence=ask.voice.say("unclear.whose_texts", words=_short(ask.text)))
    return None


def _short(words: str) -> str:
    said = quoted(words)
    return said if len(said) <= _LONGEST else f"{said[: _LONGEST - 4].rstrip()} ..."
