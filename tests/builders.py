"""Builders that name only what matters to a test."""

from datetime import datetime
from pathlib import Path

from clubbot.model.messages import Incoming
from tests.conftest import NOON

KIM = "+19025550142"
OUR_NUMBER = "+19025550100"


def a_text(
    text: str = "is it open", *, sender: str = KIM, id: str = "text-1", delivery: str = "", at: datetime = NOON
) -> Incoming:
    """A text that came in."""
    return Incoming(
        channel="test",
        their_id=id,
        delivery_id=delivery or f"delivery of {id}",
        sender=sender,
        recipient=OUR_NUMBER,
        text=text,
        received_at=at,
    )


def rewrite(file: Path, old: str, new: str) -> None:
    """Put something else into a file for what stands there."""
    text = file.read_text("utf-8")
    assert old in text
    file.write_text(text.replace(old, new), "utf-8")
