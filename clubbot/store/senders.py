"""What is kept of each sender: language, name, consent and lists with the words that prove it, whether they are in a flood."""

from datetime import datetime
from typing import assert_never

from sqlalchemy import Connection, bindparam, delete, update
from sqlalchemy.dialects.sqlite import insert

from clubbot.model.effects import (
    Erase,
    GoQuiet,
    Introduce,
    KeepLanguage,
    KeepName,
    OptIn,
    OptOut,
    SenderEffect,
    SignIn,
    SpeakAgain,
    Subscribe,
    Unsubscribe,
)
from clubbot.store.erasing import erase
from clubbot.store.pen import Decided
from clubbot.store.rsvps import sign_in
from clubbot.store.tables import consents, people, subscriptions

# Every text is answered through these, so they are put together once.
_MEET = insert(people).on_conflict_do_nothing()
_KEEP = update(people).where(people.c.number == bindparam("of"))
_CONSENT = insert(consents)


def meet(connection: Connection, decided: Decided, now: datetime) -> None:
    """The first text of a number is itself the consent to be answered."""
    row = {"number": decided.message.sender, "opted_out": 0, "introduced": 0, "first_seen_at": now}
    met = connection.execute(_MEET, row).rowcount
    if met:
        _consent(connection, "first text", None, decided.message.text, decided, now)


def write_sender(connection: Connection, effect: SenderEffect, decided: Decided, now: datetime) -> None:
    """What becomes known of the sender."""
    number = decided.message.sender
    match effect:
        case KeepLanguage(language=language):
            _keep(connection, number, language=language)
        case KeepName(name=name):
            _keep(connection, number, name=name)
        case Introduce():
            _keep(connection, number, introduced=1)
        case GoQuiet(reason=reason):
            _keep(connection, number, quiet_reason=reason)
        case SpeakAgain():
            _keep(connection, number, quiet_reason=None)
        case OptOut(words=words):
            _keep(connection, number, opted_out=1)
            _consent(connection, "stop", None, words, decided, now)
        case OptIn(words=words):
            _keep(connection, number, opted_out=0)
            _consent(connection, "start", None, words, decided, now)
        case Subscribe(list_id=list_id, words=words):
            _put_on_list(connection, number, list_id, now)
            _consent(connection, "list on", list_id, words, decided, now)
        case Unsubscribe(list_id=list_id, words=words):
            _take_off_list(connection, number, list_id)
            _consent(connection, "list off", list_id, words, decided, now)
        case SignIn(on=on, people=people_here, of=of):
            sign_in(connection, on, of or number, people_here, now)
        case Erase(of_the_club=of_the_club):
            erase(connection, decided, now, of_the_club=of_the_club)
        case _:
            assert_never(effect)


def _put_on_list(connection: Connection, number: str, list_id: str, now: datetime) -> None:
    row = {"number": number, "list_id": list_id, "since": now}
    connection.execute(insert(subscriptions).values(row).on_conflict_do_nothing())


def _take_off_list(connection: Connection, number: str, list_id: str) -> None:
    connection.execute(
        delete(subscriptions).where(subscriptions.c.number == number, subscriptions.c.list_id == list_id)
    )


def _keep(connection: Connection, number: str, **values: object) -> None:
    connection.execute(_KEEP, {"of": number, **values})


def _consent(
    connection: Connection, what: str, list_id: str | None, words: str, decided: Decided, now: datetime
) -> None:
    row = {
        "number": decided.message.sender,
        "at": now,
        "what": what,
        "list_id": list_id,
        "channel": decided.message.channel,
        "words": words,
        "inbox_id": decided.inbox_id,
    }
    connection.execute(_CONSENT, row)
