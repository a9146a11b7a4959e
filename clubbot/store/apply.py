"""The one pen: hands the effects of one message to the writers of their families and marks it answered, all in the caller's transaction."""

from collections.abc import Sequence
from datetime import datetime
from typing import Literal, assert_never

from sqlalchemy import Connection

from clubbot.model.dialogue import DialogueEffect
from clubbot.model.effects import (
    AnswerQuestion,
    BroadcastEffect,
    ClockEffect,
    ClubEffect,
    CourseEffect,
    DayEffect,
    DiscEffect,
    Effect,
    EndBroadcast,
    KeepReport,
    KeepRsvp,
    LetThrough,
    LimitEffect,
    NoteDoubt,
    PassQuestion,
    QuestionEffect,
    SendDigest,
    SenderEffect,
    SettleQuestion,
    SpokenEffect,
    TaughtEffect,
    TextEffect,
)
from clubbot.store.broadcasts import end_broadcast, write_broadcast
from clubbot.store.club import write_club
from clubbot.store.course import write_course
from clubbot.store.days import write_day
from clubbot.store.dialogues import write_dialogue
from clubbot.store.doubts import note_doubt
from clubbot.store.floods import has_room, write_limit
from clubbot.store.inbox import mark_answered, still_waiting
from clubbot.store.pen import Decided, Pen
from clubbot.store.questions import ours_to_settle, pass_question, write_question
from clubbot.store.reports import link_report, number_is_free, write_disc
from clubbot.store.rsvps import still_at
from clubbot.store.senders import meet, write_sender
from clubbot.store.teaching import write_taught
from clubbot.store.texts import send_digest, write_text

__all__ = ["Applied", "Decided", "Pen", "apply", "carry_out"]

Applied = Literal["written", "answered already", "stale"]


def apply(connection: Connection, decided: Decided, pen: Pen, now: datetime) -> Applied:
    """Write all effects and mark the message answered. Nothing is written where somebody else has answered it, or where the places
    that it was decided on have changed meanwhile: then it has to be decided again.
    """
    if not still_waiting(connection, decided.inbox_id):
        return "answered already"
    if not _still_stands(connection, decided.effects, now):
        return "stale"
    meet(connection, decided, now)
    for place, effect in enumerate(decided.effects):
        _write(connection, effect, place, decided, pen, now)
    for effect in decided.effects:
        if isinstance(effect, KeepReport):
            link_report(connection, effect, decided.inbox_id)
    remembered = (effect for effect in decided.effects if isinstance(effect, DialogueEffect))
    write_dialogue(connection, decided.message.sender, remembered, now)
    mark_answered(connection, decided.inbox_id, decided.outcome, decided.served, now, decided.kind)
    return "written"


def carry_out(connection: Connection, effects: Sequence[ClockEffect], pen: Pen, now: datetime) -> bool:
    """Write what the clock has brought about; False, and nothing written, where the places have changed meanwhile."""
    if not _still_stands(connection, effects, now):
        return False
    for effect in effects:
        _write_unasked(connection, effect, pen, now)
    return True


def _still_stands(connection: Connection, effects: Sequence[Effect], now: datetime) -> bool:
    if not all(has_room(connection, effect, now) for effect in effects if isinstance(effect, LetThrough)):
        return False
    seen = {(effect.on, effect.seen) for effect in effects if isinstance(effect, KeepRsvp)}
    if not all(still_at(connection, on, version) for on, version in seen):
        return False
    if not all(number_is_free(connection, effect) for effect in effects if isinstance(effect, KeepReport)):
        return False
    about = [one for one in effects if isinstance(one, AnswerQuestion | PassQuestion | SettleQuestion)]
    return all(ours_to_settle(connection, effect) for effect in about)


def _write(connection: Connection, effect: Effect, place: int, decided: Decided, pen: Pen, now: datetime) -> None:
    """Each effect by the writer of its family; one that is in no family is a type error here, one forgotten by its writer there."""
    if isinstance(effect, TextEffect):
        write_text(connection, effect, place, decided, pen, now)
    elif isinstance(effect, NoteDoubt):
        note_doubt(connection, effect, now)
    elif isinstance(effect, SpokenEffect):
        return  # written once for all of them
    elif isinstance(effect, SenderEffect):
        write_sender(connection, effect, decided, now)
    elif isinstance(effect, QuestionEffect):
        write_question(connection, effect, decided, pen, now)
    elif isinstance(effect, ClubEffect):
        write_club(connection, effect, decided, pen, now)
    elif isinstance(effect, BroadcastEffect):
        write_broadcast(connection, effect, decided.message.sender, pen, now)
    elif isinstance(effect, DiscEffect):
        write_disc(connection, effect, decided, pen, now)
    elif isinstance(effect, TaughtEffect):
        write_taught(connection, effect, now)
    elif isinstance(effect, DayEffect | CourseEffect | LimitEffect):
        _write_unasked(connection, effect, pen, now)
    else:
        assert_never(effect)


def _write_unasked(connection: Connection, effect: ClockEffect, pen: Pen, now: datetime) -> None:
    """What needs no message: a text or the clock may bring it about."""
    if isinstance(effect, DayEffect):
        write_day(connection, effect, pen, now)
    elif isinstance(effect, CourseEffect):
        write_course(connection, effect, pen, now)
    elif isinstance(effect, LimitEffect):
        write_limit(connection, effect, pen, now)
    elif isinstance(effect, PassQuestion):
        pass_question(connection, effect, pen, now)
    elif isinstance(effect, EndBroadcast):
        end_broadcast(connection, effect, pen, now)
    elif isinstance(effect, SendDigest):
        send_digest(connection, effect, pen, now)
    else:
        assert_never(effect)
