"""Who is on duty, and when the next turn begins if nobody is."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

from clubbot.model.club import WEEKDAYS, Duty, Knowledge, Person


@dataclass(frozen=True, slots=True)
class OnDuty:
    """Who is told now. `resumes` is when somebody will next be on duty where nobody is at this hour."""

    person: Person
    resumes: datetime | None


def on_duty(knowledge: Knowledge, now: datetime) -> OnDuty:
    """The person on the roster at `now`; between turns the organiser, with the time when the next turn begins."""
    zone = knowledge.club.zone
    local = now.astimezone(zone)
    turn = _turn_at(knowledge.duty, local)
    if turn is not None:
        return OnDuty(knowledge.person(turn.person), None)
    return OnDuty(organiser(knowledge), _next_turn(knowledge.duty, local, zone))


def organiser(knowledge: Knowledge) -> Person:
    """The first person with that role; checked files have one."""
    return next(person for person in knowledge.people if "organiser" in person.roles)


def _turn_at(duty: Sequence[Duty], local: datetime) -> Duty | None:
    today = WEEKDAYS[local.weekday()]
    return next((one for one in duty if today in one.days and one.since <= local.time() < one.until), None)


def _next_turn(duty: Sequence[Duty], local: datetime, zone: ZoneInfo) -> datetime | None:
    begins = [
        begin
        for ahead in range(8)
        for one in duty
        if WEEKDAYS[(local.weekday() + ahead) % 7] in one.days
        and (begin := datetime.combine(local.date() + timedelta(days=ahead), one.since, zone)) > local
    ]
    return min(begins, default=None)
