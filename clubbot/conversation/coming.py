"""Answers to an event: coming, not coming, maybe, a change. Every reply repeats event, day, hour and number, so that a misreading is seen."""

from dataclasses import replace

from clubbot.conversation.ask import Ask, Served
from clubbot.conversation.by_sound import with_sound
from clubbot.conversation.crowd import asks_once_more, counted
from clubbot.conversation.not_known_yet import as_sure, of_others, of_the_day_spoken_of, room_for_it, stays, wonders
from clubbot.conversation.occasions import (
    headcount,
    named,
    none_then,
    standing,
)
from clubbot.conversation.party import (
    are_you_sure,
    in_all,
    names_who,
    of_the_right_people,
    only_fewer,
    said_party,
    small_step,
    too_large,
    with_who,
)
from clubbot.conversation.phrasing import capital
from clubbot.conversation.settling import holding, settle
from clubbot.conversation.sign_up_over import closed, next_time, not_open
from clubbot.conversation.telling import off_day
from clubbot.conversation.which_day import ask_which, which_day
from clubbot.events.choosing import MOST_CHOICES, Chosen, Meant, Nothing, NotThen, Over, Several, id_of
from clubbot.events.days import EventDay, open_to_answers, sign_up_closes, sign_up_opens
from clubbot.model.effects import KeepRsvp, SpeakOf
from clubbot.model.intents import Rsvp, RsvpKind
from clubbot.model.rsvps import Rsvp as Kept
from clubbot.rsvps.guests import Now, Unsure, changed
from clubbot.rsvps.places import say_maybe, say_no, say_yes


def answer(intent: Rsvp, ask: Ask) -> Served:
    """Coming, not coming, maybe, a change: to the event day meant, or a question which."""
    if wonders(intent, ask):
        intent = of_the_day_spoken_of(intent, ask)
    if intent.unclear is not None and intent.on is None:
        return _which_then(intent, intent.unclear, ask)
    meant = which_day(intent.on, intent.event, intent.when, ask, only_mine=intent.kind in {"rsvp-no", "rsvp-change"})
    match meant:
        case Meant(day):
            return _about(intent, day, ask)
        case Several(days):
            return ask_which(intent.kind, days, ask, party=said_party(intent))
        case _:
            return _no_such_day(intent, meant, ask)


def _which_then(intent: Rsvp, words: str, ask: Ask) -> Served:
    """A day is named and it cannot be told which: the next ones are offered, and none is taken for it."""
    voice = ask.voice
    knowledge = voice.knowledge
    events = [knowledge.event(intent.event)] if intent.event is not None else knowledge.events
    days = tuple(open_to_answers(events, ask.now, knowledge.club.zone))[:MOST_CHOICES]
    said = voice.say("day.unclear", words=words)
    if len(days) < 2:
        return Served(sentence=said, event=intent.event, party=said_party(intent))
    asked = ask_which(intent.kind, days, ask, party=said_party(intent))
    return replace(asked, sentence=f"{voice.say('day.unknown', words=words)} {asked.sentence}")


def _no_such_day(intent: Rsvp, chosen: Chosen, ask: Ask) -> Served:
    voice = ask.voice
    match chosen:
        case NotThen(day, event, nearest) | Over(day, event, nearest):
            said = none_then(day, event, voice)
            if isinstance(chosen, Over):
                what = event.name.to(voice.language) if event is not None else voice.say("rsvp.that_day")
                said = voice.say("rsvp.over", what=capital(what), day=voice.dated(day))
            party = said_party(intent)
            if nearest is None or intent.kind == "rsvp-no":
                return Served(sentence=said, event=event.id if event else None, party=party)
            said = f"{said} {voice.say('rsvp.nearest', nearest=named(nearest, voice))}"
            speak = SpeakOf(on=id_of(nearest), intent=intent.kind, awaits="this", people=party or 0)
            return Served(sentence=said, effects=(speak,), event=event.id if event else None, party=party)
        case Nothing(event):
            name = event.name.to(voice.language) if event is not None else ""
            said = voice.say("events.none_left", event=capital(name)) if name else voice.say("events.nothing_at_all")
            return Served(sentence=said, event=event.id if event else None, party=said_party(intent))
        case _:
            raise AssertionError("only what is not on comes here")


def _about(intent: Rsvp, one: EventDay, ask: Ask) -> Served:
    """The day is known: what is only wondered about, or said of somebody who may come or not, changes nothing for those who are sure."""
    mine = standing(one, ask.known).mine
    if wonders(intent, ask) and not one.called_off:
        return room_for_it(one, ask)
    sure = as_sure(intent, mine, ask)
    if not of_others(intent, mine, ask):
        return _answered(sure, one, ask)
    kept = stays(intent, one, mine, ask)
    if kept is not None:
        return kept
    served = _answered(sure, one, ask)
    if not any(isinstance(effect, KeepRsvp) for effect in served.effects):
        return served
    return replace(served, sentence=f"{served.sentence} {ask.voice.say('rsvp.once_you_know')}")


def _answered(intent: Rsvp, one: EventDay, ask: Ask) -> Served:
    """Whether the day can be answered to now, and the answer."""
    voice, zone = ask.voice, ask.voice.knowledge.club.zone
    mine = standing(one, ask.known).mine
    party = said_party(intent)
    plain = Served(sentence="", event=one.event.id, party=party)
    if intent.kind != "rsvp-maybe" and mine.state != "off":
        intent = of_the_right_people(intent)
    intent, doubted = with_sound(intent, mine)
    if intent.kind == "rsvp-no":
        return replace(_no(one, ask), event=one.event.id, party=None)
    if one.called_off:
        return replace(plain, sentence=f"{off_day(one, voice)} {next_time(one, ask)}".strip())
    opens = sign_up_opens(one, zone)
    if opens is not None and ask.now < opens:
        return replace(plain, sentence=not_open(one, opens, ask), effects=(SpeakOf(on=id_of(one), intent=intent.kind),))
    if doubted is not None and doubted == mine.people and mine.state == "coming":
        return replace(_as_it_is(one, mine, ask), event=one.event.id)
    if doubted is not None and intent.kind != "rsvp-maybe":
        asked = _asked_whether(doubted, one, mine, ask) if doubted else _asked_how_many("rsvp.how_many", one, mine, ask)
        return replace(asked, event=one.event.id)
    closes = sign_up_closes(one, zone)
    too_late = one.starts if intent.kind == "rsvp-maybe" else closes
    if ask.now >= too_late and not only_fewer(intent, mine):
        return replace(plain, sentence=closed(one, closes, ask), effects=(SpeakOf(on=id_of(one), intent=intent.kind),))
    large = too_large(in_all(intent, mine) or intent.party.total or 0, one, mine, ask)
    if large is not None:
        return replace(plain, sentence=large)
    if intent.kind != "rsvp-maybe" and names_who(intent) and mine.is_down:
        return replace(_who(intent, one, mine, ask), event=one.event.id, party=party)
    if intent.stand_in is not None:
        return replace(_stand_in(intent, one, ask), event=one.event.id)
    if intent.party.unclear and intent.kind != "rsvp-maybe":
        asked = _asked_how_many("rsvp.how_many", one, mine, ask, kind=intent.kind)
        return replace(asked, event=one.event.id, party=party)
    if intent.kind == "rsvp-maybe":
        people = intent.party.total or max(1, mine.people)
        return replace(
            settle(say_maybe(with_who(intent, people, one, ask), people, holding(one, ask)), one, ask, "rsvp-maybe"),
            event=one.event.id,
            party=people,
        )
    return _yes(intent, one, mine, ask)


def _yes(intent: Rsvp, one: EventDay, mine: Kept, ask: Ask) -> Served:
    voice = ask.voice
    people = in_all(intent, mine)
    if people is None and mine.state == "off":
        return replace(_asked_how_many("rsvp.none_yet", one, mine, ask), event=one.event.id)
    if people is None and intent.kind == "rsvp-change":
        return replace(_asked_how_many("rsvp.to_what", one, mine, ask), event=one.event.id)
    if people == 0:
        return replace(_no(one, ask), event=one.event.id, party=None)
    shown = people if intent.kind == "rsvp-change" else said_party(intent)
    if intent.kind == "rsvp-change" and intent.party.total is None and mine.state == "off":
        shown = None  # "one more" than nobody knows what
    if (
        people is not None
        and one.event.places is not None
        and people > one.event.places
        and not small_step(people, mine, ask.now)
    ):
        said = voice.say("rsvp.too_many", event=named(one, voice), places=one.event.places)
        return Served(sentence=said, event=one.event.id, party=shown)
    more = (people or 1) - (mine.people if mine.is_down else 0)
    if more > 0 and not intent.confirmed and asks_once_more(one, id_of(one), more, ask):
        return replace(are_you_sure(one, people or 1, ask, "rsvp-yes"), event=one.event.id, party=shown)
    change = say_yes(with_who(intent, people, one, ask), people, holding(one, ask), ask.now)
    settled = replace(settle(change, one, ask, intent.kind, wanted=people), event=one.event.id, party=shown)
    if more > 0 and not intent.confirmed:
        settled = replace(settled, effects=(*settled.effects, *counted(id_of(one), more, ask)))
    if not intent.every:
        return settled
    return replace(settled, sentence=f"{settled.sentence} {voice.say('rsvp.one_at_a_time')}", extras=())


def _asked_how_many(key: str, one: EventDay, mine: Kept, ask: Ask, *, kind: RsvpKind = "rsvp-yes") -> Served:
    """The question for the number of all, in the sentence of that key."""
    voice = ask.voice
    said = voice.say(key, event=named(one, voice), people=headcount(mine.people, voice))
    return Served(sentence=said, effects=(SpeakOf(on=id_of(one), intent=kind, awaits="number", before=mine),))


def _asked_whether(people: int, one: EventDay, mine: Kept, ask: Ask, *, kind: RsvpKind = "rsvp-yes") -> Served:
    """The question whether so many come in all."""
    voice = ask.voice
    key = "rsvp.so_many" if mine.is_down else "rsvp.put_down"
    said = voice.say(key, event=named(one, voice), people=headcount(people, voice))
    speak = SpeakOf(on=id_of(one), intent=kind, awaits="this", people=people, before=mine)
    return Served(sentence=said, effects=(speak,))


def _no(one: EventDay, ask: Ask) -> Served:
    voice = ask.voice
    state = standing(one, ask.known)
    if state.mine.state == "off":
        return Served(sentence=voice.say("rsvp.nothing_to_cancel", event=named(one, voice)))
    if ask.now >= one.starts:
        return Served(sentence=voice.say("rsvp.begun", event=named(one, voice)))
    return settle(say_no(state, holding(one, ask)), one, ask, "rsvp-no")


def _who(intent: Rsvp, one: EventDay, mine: Kept, ask: Ask) -> Served:
    """The right people leave or come instead; where it is not known whether they are in the party, that is asked."""
    found = changed(mine.who, mine.people, intent.said)
    if isinstance(found, Now) and found.people > 0 and intent.party.total not in {None, found.people}:
        found = Unsure(found.people)  # "I can't, my wife still comes", of a party of four
    match found:
        case Now(people, _) if people < 1:
            return replace(_no(one, ask), party=None)
        case Now(people, who):
            state = standing(one, ask.known)
            change = say_yes(replace(state, mine=replace(mine, who=who)), people, holding(one, ask), ask.now)
            return settle(change, one, ask, "rsvp-change", wanted=people, by_name=True)
        case Unsure(people):
            return _asked_whether(people, one, mine, ask, kind="rsvp-change")
        case _ if mine.people == 1:
            return _as_it_is(one, mine, ask)
        case _:
            return _asked_how_many("rsvp.to_what", one, mine, ask)


def _as_it_is(one: EventDay, mine: Kept, ask: Ask) -> Served:
    """That everything stays as it was, with how many come."""
    said = ask.voice.say("rsvp.stays", event=named(one, ask.voice), people=headcount(mine.people, ask.voice))
    return Served(
        sentence=said, effects=(SpeakOf(on=id_of(one), intent="rsvp-change", people=mine.people, before=mine),)
    )


def _stand_in(intent: Rsvp, one: EventDay, ask: Ask) -> Served:
    """Somebody else takes the place; the number coming stays, or is what the text says."""
    voice = ask.voice
    state = standing(one, ask.known)
    if not state.mine.is_down:
        said = voice.say("rsvp.no_place_to_give", event=named(one, voice), name=intent.stand_in)
        speak = SpeakOf(on=id_of(one), intent="rsvp-yes", awaits="this", people=1, before=state.mine)
        return Served(sentence=said, effects=(speak,), party=intent.party.total)
    kept = replace(state.mine, stand_in=intent.stand_in)
    keep = KeepRsvp(on=id_of(one), rsvp=kept, seen=state.count.version, heard=True)
    key = "rsvp.stand_in" if kept.state == "coming" else "rsvp.stand_in_line"
    said = voice.say(key, name=intent.stand_in, event=named(one, voice), people=headcount(kept.people, voice))
    speak = SpeakOf(on=id_of(one), intent=intent.kind, people=kept.people, before=state.mine)
    return Served(sentence=said, effects=(keep, speak), party=intent.party.total)
