"""The club's people as they are by text, over the files: numbers, who joined, roles, who has retired, whose turns they are then."""

from collections.abc import Iterable, Mapping
from dataclasses import replace

from clubbot.model.club import Knowledge, Overlay, Person, Swap
from clubbot.people.duty import organiser


def with_changed_people(knowledge: Knowledge, overlay: Overlay) -> Knowledge:
    """The knowledge with its people and their turns on duty as they were changed by text. The turns of whoever has retired are the organiser's
    until somebody is given them.
    """
    people = _led(_still_here(knowledge, overlay), knowledge)
    known = {one.id for one in people}
    former = (
        Person(id=one.id, name=one.name, number=one.number, roles=()) for one in overlay.retired if one.id not in known
    )
    changed = replace(knowledge, people=people, former=tuple(former))
    head = organiser(changed).id
    return replace(
        changed,
        duty=tuple(one if one.person in known else replace(one, person=head) for one in knowledge.duty),
        swaps=tuple(_owned(one, known, head) for one in overlay.swaps if one.taker in known),
        duty_days=tuple(one for one in overlay.duty_days if one.person in known),
        suspended=frozenset(one.id for one in people if one.number in overlay.suspended),
        locked={one.id: overlay.locked[one.number] for one in people if one.number in overlay.locked},
    )


def _still_here(knowledge: Knowledge, overlay: Overlay) -> tuple[Person, ...]:
    """The people of the files and those who joined, with the numbers and roles of now, but for those who have retired."""
    changed = {one.id: one for one in overlay.people}
    here = [replace(one, number=changed.pop(one.id).number) if one.id in changed else one for one in knowledge.people]
    gone = {one.id for one in overlay.retired}
    return tuple(
        replace(one, roles=overlay.roles.get(one.id, one.roles))
        for one in (*here, *changed.values())
        if one.id not in gone
    )


def _led(people: tuple[Person, ...], knowledge: Knowledge) -> tuple[Person, ...]:
    """The people with an organiser among them: where files and texts together leave none, those whom the files name are it."""
    if any("organiser" in one.roles for one in people):
        return people
    heads = tuple(one for one in knowledge.people if "organiser" in one.roles)
    return (*heads, *(one for one in people if one.id not in {head.id for head in heads}))


def _owned(swap: Swap, known: set[str], head: str) -> Swap:
    return swap if swap.instead_of in known else replace(swap, instead_of=head)


def by_role(people: Iterable[Person]) -> Mapping[str, list[str]]:
    """The names of those who have a role, by the name of the fact that tells them: "people.course_keeper"."""
    found: dict[str, list[str]] = {}
    for person in people:
        for role in person.roles:
            found.setdefault(f"people.{role.replace(' ', '_')}", []).append(person.name)
    return found


def without(knowledge: Knowledge, person: str) -> Knowledge:
    """The knowledge as it would be without somebody: their turns are the organiser's, as far as there is another one."""
    people = tuple(one for one in knowledge.people if one.id != person)
    head = next((one.id for one in people if "organiser" in one.roles), person)
    return replace(
        knowledge,
        people=people,
        former=(*knowledge.former, *(one for one in knowledge.people if one.id == person)),
        duty=tuple(replace(one, person=head) if one.person == person else one for one in knowledge.duty),
        swaps=tuple(
            _owned(one, {other.id for other in people}, head) for one in knowledge.swaps if one.taker != person
        ),
        duty_days=tuple(one for one in knowledge.duty_days if one.person != person),
    )


def people_as_table(knowledge: Knowledge, overlay: Overlay) -> str:
    """The club's people for reading, a line each: their roles, and what of it was changed by text; the days of duty that were."""
    now = with_changed_people(knowledge, overlay)
    written = {one.id: one for one in knowledge.people}
    width = max(len(one.name) for one in (*now.people, *now.former)) + 2
    lines = [f"{'who':<{width}}roles"]
    for one in now.people:
        before = written.get(one.id)
        mark = " (joined by text)" if before is None else " (by text)" if before.roles != one.roles else ""
        new = " (number by text)" if before is not None and before.number != one.number else ""
        lines.append(f"{one.name:<{width}}{', '.join(one.roles)}{mark}{new}")
    lines += [f"{one.name:<{width}}retired by text" for one in now.former]
    lines += [f"{day.day}  on duty: {now.person(day.person).name} (by text)" for day in now.duty_days]
    return "\n".join(lines)
