"""On the day: "here" at the tee, and what role holders ask then: who is here, who is missing."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import UTC, timedelta

from clubbot.conversation.ask import Ask, Served, ask_back
from clubbot.conversation.crowd import asks_once_more, counted
from clubbot.conversation.occasions import count_of, headcount, named, reminders_for, standing
from clubbot.conversation.party import are_you_sure, too_large
from clubbot.conversation.phrasing import capital
from clubbot.conversation.turnout import one_name
from clubbot.events.choosing import all_days, entry_of, id_of
from clubbot.events.days import EventDay, as_told, upcoming
from clubbot.model.choices import Choice
from clubbot.model.effects import Effect, KeepRsvp, SignIn, SpeakOf
from clubbot.model.rsvps import Named
from clubbot.rsvps.places import Hold, free, say_yes

# Sign-in by text is open from an hour before the start until an hour after it.
OPENS_BEFORE = timedelta(hours=1)
CLOSES_AFTER = timedelta(hours=1)
# After the day, "no-shows" is asked within a week.
_LOOK_BACK = timedelta(days=7)


def here(ask: Ask) -> Served | None:
    """Sign the sender's party in; None where the text is no such thing."""
    if not ask.said.says("here"):
        return None
    days = open_for_sign_in(ask)
    if not days:
        return Served(sentence=ask.voice.say("here.closed"))
    answered = {on for on, rsvp in ask.known.rsvps.items() if rsvp.state != "off"}
    mine = [one for one in days if entry_of(one) in answered]
    if len(days) > 1 and len(mine) != 1:
        asked = ask_back(tuple(Choice("here", id_of(one)) for one in days[:3]), ask, key="here.which")
        return Served(sentence=asked.sentence, effects=asked.effects, served=True)
    return sign_in((mine or days)[0], ask)


def open_for_sign_in(ask: Ask) -> list[EventDay]:
    """The event days that people can sign in to now."""
    knowledge = ask.voice.knowledge
    found = all_days(knowledge.events, knowledge.club.zone)
    return [
        one
        for one in found
        if not one.called_off and -CLOSES_AFTER <= one.starts.astimezone(UTC) - ask.now.astimezone(UTC) <= OPENS_BEFORE
    ]


def sign_in(one: EventDay, ask: Ask, *, confirmed: int = 0) -> Served:
    """So many are here; who had not answered before, or brings more than said, gets places where there are any. `confirmed` are those whom
    a number that nobody has seen before said twice.
    """
    voice, on = ask.voice, entry_of(one)
    state = standing(one, ask.known, at_the_tee=True)
    said_party = confirmed or ask.party.total
    mine = state.mine
    people = said_party or (mine.people if mine.state in {"coming", "waiting", "maybe"} else 1) or 1
    large = too_large(people, one, mine, ask)
    if large is not None:
        return Served(sentence=large, effects=(SpeakOf(on=on, intent="here"),))
    more = people - (mine.people if mine.is_down else 0)
    if more > 0 and not confirmed and asks_once_more(one, on, more, ask):
        return are_you_sure(one, people, ask, "here", on=on)
    effects: list[Effect] = []
    if more > 0 and not confirmed:
        effects += counted(on, more, ask)
    if mine.state != "coming" or people > mine.people:
        change = say_yes(state, people, Hold(until=None), ask.now)
        if change.outcome == "coming":
            told = as_told(one) if mine.state == "off" else None
            effects.append(KeepRsvp(on=on, rsvp=change.mine, seen=state.count.version, told=told))
        elif mine.state == "coming":  # there is no room for those who came along
            room = free(one.event.places, state.count) or 0
            said = voice.say(
                "here.some", event=named(one, voice), people=headcount(mine.people, voice), room=room, wanted=people
            )
            return Served(sentence=said, effects=(SignIn(on=on, people=mine.people), SpeakOf(on=on, intent="here")))
        else:
            said = voice.say("here.full", event=capital(named(one, voice)), meet=one.meet.to(voice.language))
            return Served(sentence=said, effects=(SpeakOf(on=on, intent="here"),))
    if ask.now < one.starts:
        effects.append(reminders_for(one, mine if mine.state == "coming" else state.mine, voice.knowledge, one.starts))
    effects += [SignIn(on=on, people=people), SpeakOf(on=on, intent="here", people=people, before=mine)]
    said = voice.say("here.signed_in", event=named(one, voice), people=headcount(people, voice))
    extras = (voice.say("rsvp.your_name"),) if ask.known.sender.name is None else ()
    return Served(sentence=said, extras=extras, effects=tuple(effects))


def who_is_here(ask: Ask, *, holds_role: bool) -> Served | None:
    """Who is here or missing: the count for everybody, names for role holders; None where the text does not ask that."""
    who, missing = ask.said.says("who is here"), holds_role and ask.said.says("who is missing")
    if not who and not missing:
        return None
    if not holds_role and not open_for_sign_in(ask):
        return None
    one = _day_asked(ask)
    if one is None:
        return Served(sentence=ask.voice.say("here.nothing_on"))
    return _missing(one, ask) if missing else _who(one, ask)


def about_the_day(ask: Ask) -> bool:
    """Whether a text of somebody who has questions open is about the day's sign-in all the same: "who's here", "no-shows", or "here"
    from who is down for what is on. "Sign in is at the clubhouse" is an answer to an asker.
    """
    if ask.said.says("who is here") or ask.said.says("who is missing"):
        return ask.said.says("of that day")
    down = {on for on, rsvp in ask.known.rsvps.items() if rsvp.state != "off"}
    return ask.said.says("here") and any(entry_of(one) in down for one in open_for_sign_in(ask))


def _day_asked(ask: Ask) -> EventDay | None:
    """The day that is on or begins soon, else the last that was."""
    knowledge = ask.voice.knowledge
    open_now = open_for_sign_in(ask)
    if open_now:
        counted = [one for one in open_now if entry_of(one) in ask.known.days]
        return (counted or open_now)[0]
    found = all_days(knowledge.events, knowledge.club.zone)
    past = [one for one in found if not one.called_off and ask.now - _LOOK_BACK <= one.starts <= ask.now]
    if past:
        return max(past, key=lambda one: one.starts)
    return next(iter(upcoming(knowledge.events, ask.now, knowledge.club.zone)), None)


def _who(one: EventDay, ask: Ask) -> Served:
    voice, on = ask.voice, entry_of(one)
    count = count_of(on, ask.known)
    names = [one_of for one_of in ask.known.names.get(on, ()) if one_of.came]
    shown = ", ".join(one_name(replace(one_of, people=one_of.came or 0), voice) for one_of in names)
    said = voice.say(
        "here.list", event=capital(named(one, voice)), came=count.came, coming=count.coming, new=count.new_faces
    )
    late = [one_of for one_of in ask.known.names.get(on, ()) if one_of.late is not None and not one_of.came]
    told = [said, voice.say("here.names", names=shown) if names else "", _late(late, ask)]
    return Served(sentence=" ".join(part for part in told if part))


def _late(late: Sequence[Named], ask: Ask) -> str:
    """Who said that they come late, with the hour."""
    voice = ask.voice
    shown = [f"{one_name(one, voice)} ({voice.hour(one.late)})" for one in late if one.late is not None]
    return voice.say("here.late", names=", ".join(shown)) if shown else ""


def _missing(one: EventDay, ask: Ask) -> Served:
    voice, on = ask.voice, entry_of(one)
    if ask.now < one.starts:
        return Served(sentence=voice.say("here.too_early", event=named(one, voice)))
    names = [one_of for one_of in ask.known.names.get(on, ()) if one_of.state == "coming" and not one_of.came]
    if not names:
        return Served(sentence=voice.say("here.nobody_missing", event=named(one, voice)))
    shown = ", ".join(one_name(one_of, voice) for one_of in names if one_of.late is None)
    late = _late([one_of for one_of in names if one_of.late is not None], ask)
    people = headcount(sum(one_of.people for one_of in names), voice)
    said = voice.say("here.missing", event=capital(named(one, voice)), people=people, names=shown)
    if not shown:
        said = voice.say("here.missing_late", event=capital(named(one, voice)), people=people)
    return Served(sentence=f"{said} {late}".strip())
