"""Texts to one person, written down to go out: replies, what volunteers are told, the digest."""

from datetime import datetime
from typing import assert_never

from sqlalchemy import Connection

from clubbot.model.effects import Reply, SendDigest, TellPerson, TextEffect
from clubbot.store.digest import keep_digest
from clubbot.store.pen import Decided, Pen, send


def write_text(
    connection: Connection, effect: TextEffect, place: int, decided: Decided, pen: Pen, now: datetime
) -> None:
    """A text that goes out; `place` is its place among the effects of the message."""
    match effect:
        case Reply(text=text, asks_consent=asks):
            # What is said also to those who have opted out (danger, HELP, the confirmation itself) waits behind nothing.
            key = f"reply:{decided.inbox_id}:{place}"
            send(connection, key, decided.message.sender, text, asks, pen, now, urgent=not asks)
        case TellPerson(number=theirs, text=text, due=due):
            # Somebody who has opted out of the club's texts still holds the role that this is told for.
            send(connection, f"tell:{decided.inbox_id}:{place}", theirs, text, False, pen, now, due)
        case SendDigest():
            send_digest(connection, effect, pen, now)
        case _:
            assert_never(effect)


def send_digest(connection: Connection, digest: SendDigest, pen: Pen, now: datetime) -> None:
    """That day's digest goes to each of those whose role it is, once."""
    keep_digest(connection, digest.day, now)
    send(connection, f"digest:{digest.day}:{digest.number}", digest.number, digest.text, False, pen, now)
