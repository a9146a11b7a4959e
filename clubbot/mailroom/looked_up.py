"""What is looked up for a message of the club's people before it is decided on, since only few ask for it: whom a text to many reaches, whose name
is said, what went out.
"""

from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime

from sqlalchemy import Connection

from clubbot.conversation.announcing import helpers_of
from clubbot.events.choosing import all_days, entry_of
from clubbot.model.club import Knowledge
from clubbot.model.known import Known
from clubbot.model.orders import Audience
from clubbot.model.rsvps import DayId, Named
from clubbot.people.names import called
from clubbot.store.broadcasts import read_called, read_reach
from clubbot.store.rsvps import read_names
from clubbot.store.went_out import read_month_parts, read_went_out


def with_looked_up(
    connection: Connection,
    asked: tuple[Audience, DayId | None] | None,
    known: Known,
    knowledge: Knowledge,
    now: datetime,
) -> Known:
    """What is known, with what a message asks for. `knowledge` is that of now: who has retired by text is not counted, who has joined is."""
    if asked is None:
        return known
    audience, on = asked
    match audience.kind:
        case "by name":
            return replace(known, listed=read_names(connection, on.day, [on]).get(on, ()) if on is not None else ())
        case "on lists":
            return replace(known, found=_found(connection, audience.names, knowledge, now))
        case "called":
            of_the_club = {person.number: (person.name, person.language) for person in knowledge.people}
            return replace(known, called=read_called(connection, audience.names, of_the_club, now))
        case "sent":
            return replace(known, went_out=read_went_out(connection, now))
        case "month":
            return replace(known, month_parts=read_month_parts(connection, _month_began(knowledge, now)))
        case _:
            return replace(known, reach=read_reach(connection, audience, on, helpers_of(knowledge), now))


def _found(
    connection: Connection, names: Sequence[str], knowledge: Knowledge, now: datetime
) -> dict[DayId, tuple[Named, ...]]:
    """The lines of today's and coming days that one of the names may mean."""
    zone = knowledge.club.zone
    today = now.astimezone(zone).date()
    days = [one for one in all_days(knowledge.events, zone) if one.starts.astimezone(zone).date() >= today]
    lists = read_names(connection, today, {entry_of(one) for one in days})
    found = {
        on: tuple(line for line in lines if line.name is not None and any(called(one, line.name) for one in names))
        for on, lines in lists.items()
    }
    return {on: lines for on, lines in found.items() if lines}


def _month_began(knowledge: Knowledge, now: datetime) -> datetime:
    local = now.astimezone(knowledge.club.zone)
    return local.replace(day=1, hour=0, minute=0, second=0, microsecond=0)
