"""What every writer of effects is given: the message that was decided on, and the pen that writes a text down to go out."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import Connection

from clubbot.model.effects import Effect
from clubbot.model.messages import NAMELESS, Incoming, Language
from clubbot.store.outbox import put_out
from clubbot.texting.parts import as_sent


@dataclass(frozen=True, slots=True, kw_only=True)
class Decided:
    """A message with what was decided about it."""

    inbox_id: int
    message: Incoming
    effects: tuple[Effect, ...]
    language: Language
    outcome: str
    served: tuple[str, ...]
    kind: str | None = None
    code: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Pen:
    """How texts are written down: our own number, new ids, and whether letters are made plain where that saves a part."""

    our_number: str
    new_id: Callable[[], str]
    plain_letters: bool


def send(
    connection: Connection,
    key: str,
    recipient: str,
    text: str,
    asks_consent: bool,
    pen: Pen,
    now: datetime,
    due: datetime | None = None,
    *,
    urgent: bool = False,
) -> None:
    """Write a text down to go out, `due` then or at once; where `asks_consent` only to whoever has not opted out. Nothing goes to who is
    not known any more.
    """
    if recipient.startswith(NAMELESS):
        return
    put_out(
        connection,
        id=pen.new_id(),
        key=key,
        recipient=recipient,
        sender=pen.our_number,
        text=as_sent(text, shorten_letters=pen.plain_letters),
        asks_consent=asks_consent,
        now=now,
        due=due,
        urgent=urgent,
    )
