"""What is only wondered about, and who of a party may come or not: neither takes or gives up a place of those who are sure."""

from dataclasses import replace

from clubbot.conversation.ask import Ask, Served
from clubbot.conversation.occasions import count_of, headcount, named, standing
from clubbot.events.choosing import id_of
from clubbot.events.days import EventDay
from clubbot.model.dialogue import MENDED_WITHIN
from clubbot.model.effects import SpeakOf
from clubbot.model.intents import RSVPS, Party, Rsvp
from clubbot.model.rsvps import Rsvp as Kept
from clubbot.rsvps.places import free


def wonders(intent: Rsvp, ask: Ask) -> bool:
    """Whether a text only wonders what could be: "could i make it six", "what if my brother came too"."""
    return intent.kind != "rsvp-no" and not intent.confirmed and ask.said.says("only wonders")


def of_the_day_spoken_of(intent: Rsvp, ask: Ask) -> Rsvp:
    """What is wondered about is about the event day spoken of, where no other event is named; "later" is no day."""
    talk = ask.known.talk
    if talk is None or intent.on is not None or intent.event is not None or ask.now - talk.at > MENDED_WITHIN:
        return intent
    return replace(intent, on=talk.on, when=None, unclear=None) if talk.intent in RSVPS else intent


def room_for_it(one: EventDay, ask: Ask) -> Served:
    """The places that are free, and that nothing was changed."""
    voice, on = ask.voice, id_of(one)
    room = free(one.event.places, count_of(on, ask.known))
    key = "rsvp.only_if_no_limit" if room is None else "rsvp.only_if"
    mine = standing(one, ask.known).mine
    speak = SpeakOf(on=on, intent="rsvp-change", people=mine.people, before=mine)
    return Served(sentence=voice.say(key, event=named(one, voice), room=room), effects=(speak,), event=one.event.id)


def as_sure(intent: Rsvp, mine: Kept, ask: Ask) -> Rsvp:
    """A maybe that is denied, or that is said of somebody else, is a yes of those who are sure."""
    if intent.kind == "rsvp-maybe" and ask.said.says("is no maybe"):
        party = intent.party if intent.party.total is not None or not mine.people else Party(total=mine.people)
        return replace(intent, kind="rsvp-yes", party=party)
    return replace(intent, kind="rsvp-yes", heard=()) if of_others(intent, mine, ask) else intent


def of_others(intent: Rsvp, mine: Kept, ask: Ask) -> bool:
    """Whether it is told of somebody else, and not of the sender, that they may come or not: "we might be 3" of two who are down is of one
    more.
    """
    if intent.kind == "rsvp-no" or intent.confirmed:
        return False
    if intent.kind == "rsvp-maybe" and mine.is_down and (intent.party.total or 0) > mine.people:
        return True
    sure = mine.is_down or bool(intent.said.comes) or intent.party.total is not None  # else all of them are unsure
    return (intent.said.unsure and sure) or (mine.is_down and ask.said.says("depends on somebody"))


def stays(intent: Rsvp, one: EventDay, mine: Kept, ask: Ask) -> Served | None:
    """That the places of the others stay, where the text does not give a smaller number of those who are sure."""
    fewer = intent.party.total is not None and 0 < intent.party.total < mine.people
    if not mine.is_down or fewer:
        return None
    people = headcount(mine.people, ask.voice)
    said = ask.voice.say("rsvp.others_unsure", event=named(one, ask.voice), people=people)
    speak = SpeakOf(on=id_of(one), intent="rsvp-change", people=mine.people, before=mine)
    return Served(sentence=said, effects=(speak,), event=one.event.id)
