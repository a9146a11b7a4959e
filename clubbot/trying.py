"""One text tried on a club without any lasting effect, and how it was read, for `clubbot ask`."""

import json
from dataclasses import dataclass
from datetime import datetime

from clubbot.conversation.turn import Turn, turn
from clubbot.handbook.book import Handbook
from clubbot.model.known import Known, Sender
from clubbot.model.messages import Incoming
from clubbot.texting.parts import as_sent, split


@dataclass(frozen=True, slots=True)
class Tried:
    """A text, what was decided, and the reply as it would go out."""

    text: str
    turned: Turn
    reply: str
    parts: int


def try_one(text: str, handbook: Handbook, sender: str, now: datetime) -> Tried:
    """The text answered as a new sender's first."""
    knowledge = handbook.knowledge
    message = Incoming(
        channel="ask",
        their_id="ask",
        delivery_id="ask",
        sender=sender,
        recipient=knowledge.club.number,
        text=text,
        received_at=now,
    )
    turned = turn(message, Known(sender=Sender(number=sender)), knowledge, handbook.reader, now)
    reply = as_sent(turned.reply, shorten_letters=knowledge.club.plain_letters) if turned.reply else ""
    return Tried(text, turned, reply, len(split(reply)) if reply else 0)


def as_json_line(tried: Tried) -> str:
    """The result as the labelled messages' rules of scoring want it."""
    turned = tried.turned
    return json.dumps(
        {
            "text": tried.text,
            "lang": turned.language,
            "served": list(turned.served),
            "offered": list(turned.offered),
            "handed_over": turned.handed_over,
            "event": turned.event,
            "party": turned.party,
            "reply": tried.reply,
            "parts": tried.parts,
        },
        ensure_ascii=False,
    )


def explained(tried: Tried, handbook: Handbook) -> str:
    """How a text was read, in words for a volunteer."""
    turned, lines = tried.turned, [f"text:     {tried.text}"]
    reading = turned.reading
    shown = "does not show" if reading is not None and reading.language is None else turned.language
    lines.append(f"language: {shown}")
    if reading is None:
        lines.append("read as:  a key word or a plain wish, before anything else is looked at")
    else:
        if reading.scores:
            lines.append("sounds like: " + ", ".join(f"{want} {likely:.2f}" for want, likely in reading.scores))
        if reading.reasons:
            lines.append("because of: " + ", ".join(reading.reasons))
    lines.append(f"serves:   {', '.join(turned.served) or 'nothing'}")
    if turned.offered:
        lines.append(f"asks back: {', '.join(turned.offered)}")
    if turned.handed_over:
        lines.append("passes it on to whoever is on duty")
    lines.append(f"outcome:  {turned.outcome}")
    lines += [f"would do: {type(effect).__name__}" for effect in turned.effects]
    lines.append(f"reply ({tried.parts} part(s)): {tried.reply or '(no answer)'}")
    return "\n".join(lines)
