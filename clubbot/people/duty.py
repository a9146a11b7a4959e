"""Who is on duty, when the next turn begins if nobody is, and who comes after whom."""

from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

from clubbot.model.club import WEEKDAYS, Duty, EventRule, Knowledge, Person, Role


@dataclass(frozen=True, slots=True)
class OnDuty:
    """Who is told. `resumes` is when that person's turn begins where nobody is on duty at this hour."""

    person: Person
    resumes: datetime | None


def on_duty(knowledge: Knowledge, now: datetime) -> OnDuty:
    """The person on the roster at `now`; between turns the one whose turn is next, with the time when it begins; the organiser where there
    is no roster.
    """
    zone = knowledge.club.zone
    local = now.astimezone(zone)
    turn = _turn_at(knowledge, local)
    if turn is not None:
        return OnDuty(who_takes_orders(knowledge, knowledge.person(turn.person)), None)
    coming = _next_turn(knowledge, local, zone)
    if coming is None:
        return OnDuty(who_takes_orders(knowledge, organiser(knowledge)), None)
    begins, duty = coming
    return OnDuty(who_takes_orders(knowledge, knowledge.person(duty.person)), begins)


def who_takes_orders(knowledge: Knowledge, person: Person) -> Person:
    """The person, or, where their phone takes no orders since NOT ME, the organiser or anybody whose phone does."""
    if person.id not in knowledge.suspended:
        return person
    others = sorted(knowledge.people, key=lambda one: "organiser" not in one.roles)
    return next((one for one in others if one.roles and one.id not in knowledge.suspended), person)


def somebody_else(knowledge: Knowledge, person: Person, now: datetime) -> Person | None:
    """Who is told of misuse of this person's phone: the organiser; where it is the organiser's, whoever is on duty, or anybody with a role;
    None where there is nobody else.
    """
    first = [organiser(knowledge), on_duty(knowledge, now).person, *(one for one in knowledge.people if one.roles)]
    others = [one for one in first if one.id != person.id]
    return next((one for one in others if one.id not in knowledge.suspended), next(iter(others), None))


def organiser(knowledge: Knowledge) -> Person:
    """The first person with that role; checked files have one."""
    return next(person for person in knowledge.people if "organiser" in person.roles)


def who_has(role: Role, knowledge: Knowledge) -> Person | None:
    """The first person with that role whose phone takes orders; None where nobody has it."""
    having = (one for one in knowledge.people if role in one.roles and one.id not in knowledge.suspended)
    return next(having, None)


def who_runs(event: EventRule, knowledge: Knowledge) -> Person:
    """Whoever has the role that runs the event, else the organiser."""
    return who_has(event.run_by, knowledge) or who_takes_orders(knowledge, organiser(knowledge))


def next_after(knowledge: Knowledge, told: tuple[str, ...], now: datetime) -> Person | None:
    """Who is told next where those told have not answered: the one on duty, the others in the order of their turns, at last the organiser;
    None where everybody has been.
    """
    local = now.astimezone(knowledge.club.zone)
    order = [on_duty(knowledge, now).person.id]
    for ahead in range(8):
        day = local.date() + timedelta(days=ahead)
        order += [one.person for one in turns_on(knowledge, day)]
    head = organiser(knowledge).id
    left = [one for one in dict.fromkeys(order) if one not in told and one != head and one not in knowledge.suspended]
    if left:
        return knowledge.person(left[0])
    return knowledge.person(head) if head not in told and head not in knowledge.suspended else None


def roster_on(knowledge: Knowledge, day: date) -> list[Duty]:
    """The turns of a day: those of the roster, or of whoever was put on duty that day; swaps not looked at."""
    weekday = WEEKDAYS[day.weekday()]
    turns = [one for one in knowledge.duty if weekday in one.days]
    put = next((one.person for one in knowledge.duty_days if one.day == day), None)
    if put is None:
        return turns
    club = knowledge.club
    all_day = Duty(days=(weekday,), since=club.quiet_until, until=club.quiet_from, person=put)
    return [replace(one, person=put) for one in turns] or [all_day]


def turns_on(knowledge: Knowledge, day: date) -> list[Duty]:
    """The turns of a day as they really are, whoever takes them."""
    swapped = {swap.instead_of: swap.taker for swap in knowledge.swaps if swap.day == day}
    return [replace(one, person=swapped.get(one.person, one.person)) for one in roster_on(knowledge, day)]


def _turn_at(knowledge: Knowledge, local: datetime) -> Duty | None:
    turns = turns_on(knowledge, local.date())
    return next((one for one in turns if one.since <= local.time() < one.until), None)


def _next_turn(knowledge: Knowledge, local: datetime, zone: ZoneInfo) -> tuple[datetime, Duty] | None:
    days = (local.date() + timedelta(days=ahead) for ahead in range(8))
    begins = [
        (begin, one)
        for day in days
        for one in turns_on(knowledge, day)
        if (begin := datetime.combine(day, one.since, zone)) > local
    ]
    return min(begins, key=lambda one: one[0], default=None)
