"""Turns on duty change hands by text: whoever is concerned and did not ask for it says yes with a code of their own."""

from collections.abc import Iterable, Sequence
from dataclasses import replace
from datetime import date, timedelta

from clubbot.conversation.ask import Ask, Served
from clubbot.conversation.closing import with_unused
from clubbot.conversation.codes import propose
from clubbot.conversation.on_duty import days_of, spoken
from clubbot.conversation.phrasing import Voice
from clubbot.conversation.whom import named_in
from clubbot.model.club import Knowledge, Person, Swap
from clubbot.model.deeds import SwapDeed
from clubbot.model.effects import (
    Effect,
    Record,
    SwapDuty,
    TellPerson,
)
from clubbot.model.intents import When
from clubbot.model.orders_of_people import AskToTake, TakeDuty
from clubbot.people.duty import roster_on
from clubbot.people.roles import may

# Two weeks, and then it is a matter for the roster.
_MOST_DAYS = 14


def take_duty(order: TakeDuty, ask: Ask, person: Person) -> Served:
    """Somebody takes somebody's next turn on that weekday, once the other of the two has said yes; both, where it is a third who asks."""
    voice, knowledge = ask.voice, ask.voice.knowledge
    if not may(person, "swap duty"):
        return Served(sentence=voice.say("duty.not_allowed"))
    taker = knowledge.person(order.taker) if order.taker else person
    giver = knowledge.person(order.instead_of) if order.instead_of else person
    if order.when is None or not order.when.dated or taker.id == giver.id:
        return Served(sentence=voice.say("duty.unclear"))
    day = order.when.first
    owner = _whose_turn(giver, day, knowledge)
    if owner is None:
        return Served(sentence=voice.say("duty.no_turn", name=giver.first_name, day=voice.dated(day)))
    deed = SwapDeed(
        day=day,
        instead_of=owner,
        giver=giver.id,
        taker=taker.id,
        asked_by=person.id,
        agree=tuple(one.id for one in (giver, taker) if one.id != person.id),
    )
    asked = _ask_to_swap(deed, ask)
    if isinstance(asked, Served):
        return asked
    names = voice.joined([knowledge.person(one).first_name for one in deed.agree])
    return Served(sentence=voice.say("duty.asked", name=names, day=voice.dated(day)), effects=(asked,))


def ask_to_take(order: AskToTake, ask: Ask, person: Person) -> Served:
    """Somebody is asked to take the sender's turns of the days that were named; nothing changes before the yes."""
    voice, knowledge = ask.voice, ask.voice.knowledge
    if not may(person, "swap duty"):
        return Served(sentence=voice.say("duty.not_allowed"))
    named = named_in(order.said, knowledge)
    if named is None or named.person.id == person.id:
        return Served(sentence=voice.say("duty.whom"))
    days = _days(order.days, person, ask)
    turns = [(day, owner) for day in days if (owner := _whose_turn(person, day, knowledge)) is not None]
    if not turns:
        key = "duty.no_turn" if days else "duty.days_over"
        return Served(sentence=voice.say(key, name=person.first_name, day=spoken(days, voice)))
    (day, owner), also = turns[0], tuple(turns[1:])
    taker = named.person.id
    deed = SwapDeed(
        day=day, instead_of=owner, giver=person.id, taker=taker, asked_by=person.id, agree=(taker,), also=also
    )
    asked = _ask_to_swap(deed, ask)
    if isinstance(asked, Served):
        return asked
    said = voice.say("duty.asked", name=named.person.first_name, day=spoken(tuple(day for day, _ in turns), voice))
    return Served(sentence=with_unused(said, ", ".join(named.rest), voice), effects=(asked,))


def _days(named: Iterable[When] | None, person: Person, ask: Ask) -> tuple[date, ...]:
    """The days that are named and not over, two weeks of them at most; the sender's next turn where none is."""
    today = ask.now.astimezone(ask.voice.knowledge.club.zone).date()
    if named is not None:
        return days_of(named, today)[:_MOST_DAYS]
    ahead = (today + timedelta(days=days) for days in range(_MOST_DAYS))
    turn = next((day for day in ahead if _whose_turn(person, day, ask.voice.knowledge) is not None), None)
    return (turn,) if turn is not None else (today,)


def _turns(deed: SwapDeed) -> tuple[tuple[date, str], ...]:
    """Each day with whose turn it is on the roster."""
    return ((deed.day, deed.instead_of), *deed.also)


def _spoken(deed: SwapDeed, voice: Voice) -> str:
    return spoken(tuple(day for day, _ in _turns(deed)), voice)


def _whose_turn(giver: Person, day: date, knowledge: Knowledge) -> str | None:
    """Whose turn on the roster it is that this person has on that day: a turn that was taken over is given on in the owner's place."""
    taken = next((one for one in knowledge.swaps if one.day == day and one.taker == giver.id), None)
    if taken is not None:
        return taken.instead_of
    return giver.id if any(one.person == giver.id for one in roster_on(knowledge, day)) else None


def _ask_to_swap(deed: SwapDeed, ask: Ask) -> Effect | Served:
    """The next of those who must agree is asked."""
    knowledge = ask.voice.knowledge
    other = knowledge.person(deed.agree[0])
    theirs = Voice(knowledge, other.language)
    whose = "take" if other.id == deed.taker else "give"
    values = {name: knowledge.person(one).first_name for name, one in (("taker", deed.taker), ("giver", deed.giver))}
    text = theirs.say(
        f"duty.{whose}_{'from' if deed.asked_by in {deed.taker, deed.giver} else 'by'}",
        by=knowledge.person(deed.asked_by).first_name,
        day=_spoken(deed, theirs),
        code=ask.known.code,
        **values,
    )
    return propose(deed, other, text, ask)


def swap_agreed(deed: SwapDeed, ask: Ask, person: Person) -> Served:
    """One more has said yes: the next is asked, or, when both have, the turn changes hands and all concerned hear of it."""
    voice, knowledge = ask.voice, ask.voice.knowledge
    taker, giver, by = (knowledge.person(one) for one in (deed.taker, deed.giver, deed.asked_by))
    if any(_whose_turn(giver, day, knowledge) != owner for day, owner in _turns(deed)):
        return Served(sentence=voice.say("duty.no_turn", name=giver.first_name, day=_spoken(deed, voice)))
    left = tuple(one for one in deed.agree if one != person.id)
    if left:
        asked = _ask_to_swap(replace(deed, agree=left), ask)
        if isinstance(asked, Served):
            return asked
        name = knowledge.person(left[0]).first_name
        return Served(sentence=voice.say("duty.asked", name=name, day=_spoken(deed, voice)), effects=(asked,))
    swaps = [SwapDuty(swap=Swap(day=day, instead_of=owner, taker=taker.id)) for day, owner in _turns(deed)]
    until_now = [knowledge.person(one.taker) for one in knowledge.swaps if (one.day, one.instead_of) in _turns(deed)]
    told = tuple(
        TellPerson(
            person=other.id,
            number=other.number,
            text=Voice(knowledge, other.language).say(
                "duty.note",
                taker=taker.first_name,
                giver=giver.first_name,
                day=_spoken(deed, Voice(knowledge, other.language)),
                by=person.first_name,
            ),
        )
        for other in _others((taker, giver, by, *until_now), person)
    )
    said = voice.say("duty.swapped", taker=taker.first_name, giver=giver.first_name, day=_spoken(deed, voice))
    days = ", ".join(str(day) for day, _ in _turns(deed))
    record = Record(person=person.id, what=f"{taker.id} takes the turn of {giver.id} on {days}, asked by {by.id}")
    return Served(sentence=said, effects=(*swaps, record, *told))


def _others(people: Sequence[Person], person: Person) -> list[Person]:
    return [one for one in dict.fromkeys(people) if one.id != person.id]
