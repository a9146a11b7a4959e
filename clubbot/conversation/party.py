"""Whom an answer to an event is for: how many come in all, who leaves a party or comes instead, and how many one phone may sign up."""

from dataclasses import replace
from datetime import datetime

from clubbot.conversation.ask import Ask, Served
from clubbot.conversation.occasions import (
    headcount,
    named,
    standing,
)
from clubbot.events.choosing import id_of
from clubbot.events.days import EventDay
from clubbot.model.club import Knowledge, Person
from clubbot.model.effects import SpeakOf
from clubbot.model.intents import Party, Rsvp
from clubbot.model.rsvps import DayId
from clubbot.model.rsvps import Rsvp as Kept
from clubbot.people.duty import organiser
from clubbot.rsvps.guests import about_others, told
from clubbot.rsvps.places import Standing


def said_party(intent: Rsvp) -> int | None:
    """The number coming as the text says it: without a word of others it is the sender alone."""
    if intent.kind in {"rsvp-no", "rsvp-change"} or intent.party.unclear:
        return intent.party.total
    return intent.party.total or 1 + max(0, intent.party.more or 0)


def in_all(intent: Rsvp, mine: Kept) -> int | None:
    """The number coming in all: as said, or as many more or fewer than before; None where the text does not tell."""
    party = intent.party
    if party.total is not None:
        return party.total
    before = mine.people if mine.is_down else 0
    if party.more is not None:
        if before:
            return max(0, before + party.more)
        return 1 + party.more if party.more > 0 else None
    if mine.state == "maybe" and intent.kind == "rsvp-yes":
        return max(1, mine.people)  # "ok we're coming" makes a yes of a maybe, for as many
    return None if intent.kind == "rsvp-change" or before else 1


def of_the_right_people(intent: Rsvp) -> Rsvp:
    """A no of somebody else is a change of the party; a change by which nobody comes any more is a no."""
    if intent.kind == "rsvp-no" and (about_others(intent.said) or others_stay(intent)):
        return replace(intent, kind="rsvp-change")
    gone = intent.said.everybody or (intent.said.all_out and intent.kind == "rsvp-change")
    if intent.kind in {"rsvp-yes", "rsvp-change"} and gone and intent.party == Party():
        return replace(intent, kind="rsvp-no")
    return intent


def names_who(intent: Rsvp) -> bool:
    """Whether a text tells who does not come or who comes instead, and not how many that makes."""
    numbered = intent.party.total is not None and not intent.said.sender_out
    return not numbered and intent.stand_in is None and (about_others(intent.said) or others_stay(intent))


def others_stay(intent: Rsvp) -> bool:
    """ "I can't, but the other two still come": a number beside a sender who stays away is of those who do come."""
    return intent.said.sender_out and intent.party.total is not None


def with_who(intent: Rsvp, people: int | None, one: EventDay, ask: Ask) -> Standing:
    """How the day stands, with those in the sender's party whom the text tells of."""
    state = standing(one, ask.known)
    number = people if people is not None else max(1, state.mine.people)
    more = intent.party.more is not None and state.mine.state != "off"
    return replace(state, mine=replace(state.mine, who=told(state.mine.who, intent.said, number, more=more)))


def only_fewer(intent: Rsvp, mine: Kept) -> bool:
    """Whether a change after sign-up has closed only gives places back."""
    people = in_all(intent, mine)
    return mine.state == "coming" and people is not None and people < mine.people


def small_step(people: int, mine: Kept, now: datetime) -> bool:
    """Whether so many places are the party's already, or held for it by an offer that is open, though the event has fewer by now."""
    held = mine.offer is not None and now < mine.offer.until and people <= mine.offer.people
    return held or (mine.state == "coming" and people <= mine.people)


def too_large(people: int, one: EventDay, mine: Kept, ask: Ask) -> str | None:
    """What is said to more people than one phone may sign up for the event; None where they are few enough, or only become fewer."""
    if people <= one.event.most_per_sign_up or (mine.state != "off" and people <= mine.people):
        return None
    voice = ask.voice
    name = director(voice.knowledge).first_name
    return voice.say("rsvp.large", event=named(one, voice), most=one.event.most_per_sign_up, name=name)


def director(knowledge: Knowledge) -> Person:
    """Whom a school or a company asks: the league director, else the organiser."""
    return next((one for one in knowledge.people if "league director" in one.roles), organiser(knowledge))


def are_you_sure(one: EventDay, people: int, ask: Ask, intent: str, *, on: DayId | None = None) -> Served:
    """Asked once more. No place is held meanwhile, or a forger would hold what he never answers for; whoever is there says YES at once."""
    said = ask.voice.say("rsvp.sure", event=named(one, ask.voice), people=headcount(people, ask.voice))
    speak = SpeakOf(on=on or id_of(one), intent=intent, awaits="sure", people=people)
    return Served(sentence=said, effects=(speak,))
