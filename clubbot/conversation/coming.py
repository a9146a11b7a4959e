"""Answers to an event: coming, not coming, maybe, a change. Every reply repeats event, day, hour and number, so that a misreading is seen."""

from collections.abc import Iterable
from dataclasses import replace
from datetime import date, datetime

from clubbot.conversation.ask import Ask, Served, ask_back
from clubbot.conversation.crowd import asks_once_more, counted
from clubbot.conversation.occasions import (
    choice_words,
    company,
    count_of,
    headcount,
    hold,
    named,
    none_then,
    reminders_for,
    standing,
)
from clubbot.conversation.phrasing import Voice, capital
from clubbot.conversation.telling import off_day, offered
from clubbot.events.choosing import MOST_CHOICES, Chosen, Hints, Meant, Nothing, NotThen, Over, Several, choose, id_of
from clubbot.events.days import EventDay, as_told, find, open_to_answers, sign_up_closes, sign_up_opens
from clubbot.model.club import Knowledge, Person
from clubbot.model.dialogue import SPOKEN_FOR
from clubbot.model.effects import ClockEffect, Effect, KeepRsvp, SpeakOf
from clubbot.model.rsvps import Awaits, DayId
from clubbot.model.rsvps import Rsvp as Kept
from clubbot.model.wants import AskMyRsvps, Party, Rsvp, When
from clubbot.people.duty import organiser
from clubbot.rsvps.guests import Now, Unsure, about_others, changed, told
from clubbot.rsvps.places import Change, Hold, Standing, free, say_maybe, say_no, say_yes


def answer(want: Rsvp, ask: Ask) -> Served:
    """Coming, not coming, maybe, a change: to the event day meant, or a question which."""
    if want.unclear is not None and want.on is None:
        return _which_then(want, want.unclear, ask)
    meant = which_day(want.on, want.event, want.when, ask, only_mine=want.kind in {"rsvp-no", "rsvp-change"})
    match meant:
        case Meant(day):
            return _about(want, day, ask)
        case Several(days):
            return ask_which(want.kind, days, ask, party=_said_party(want))
        case _:
            return _no_such_day(want, meant, ask)


def which_day(on: DayId | None, event: str | None, when: When | None, ask: Ask, *, only_mine: bool = False) -> Chosen:
    """The event day that a want is about."""
    knowledge = ask.voice.knowledge
    zone = knowledge.club.zone
    if on is not None:
        one = find(knowledge.event(on.event), on.day, zone)
        return Meant(one) if one is not None else Nothing(knowledge.event(on.event))
    talk = ask.known.talk
    today = ask.now.astimezone(zone).date()
    maybes = [on for on, rsvp in ask.known.rsvps.items() if rsvp.state == "maybe" and on.day >= today]
    spoken = talk.on if talk is not None and ask.now - talk.at < SPOKEN_FOR else None
    hints = Hints(
        spoken=spoken or (maybes[0] if len(maybes) == 1 else None),  # "ok we're coming" makes a yes of a maybe
        mine=tuple(on for on, rsvp in ask.known.rsvps.items() if rsvp.state != "off"),
        only_mine=only_mine,
    )
    rule = knowledge.event(event) if event is not None else None
    return choose(rule, _span(when, ask), when is not None and when.weekday, knowledge.events, hints, ask.now, zone)


def _which_then(want: Rsvp, words: str, ask: Ask) -> Served:
    """A day is named and it cannot be told which: the next ones are offered, and none is taken for it."""
    voice = ask.voice
    knowledge = voice.knowledge
    events = [knowledge.event(want.event)] if want.event is not None else knowledge.events
    days = tuple(open_to_answers(events, ask.now, knowledge.club.zone))[:MOST_CHOICES]
    said = voice.say("day.unclear", words=words)
    if len(days) < 2:
        return Served(sentence=said, event=want.event, party=_said_party(want))
    asked = ask_which(want.kind, days, ask, party=_said_party(want))
    return replace(asked, sentence=f"{voice.say('day.unknown', words=words)} {asked.sentence}")


def rsvp_meant(want: Rsvp, ask: Ask) -> Kept | None:
    """The sender's own answer to the day that a want is about; None where there is none, or it is not clear which day."""
    meant = which_day(want.on, want.event, want.when, ask, only_mine=True)
    kept = ask.known.rsvps.get(id_of(meant.day)) if isinstance(meant, Meant) else None
    return kept if kept is not None and kept.state != "off" else None


def is_clear_which(want: Rsvp, ask: Ask) -> bool:
    """Whether nothing has to be asked to know which day an answer is about."""
    return isinstance(which_day(want.on, want.event, want.when, ask, only_mine=True), Meant)


def _span(when: When | None, ask: Ask) -> tuple[date, date] | None:
    """The days named; an hour alone names none, nor does "and now my mum wants to come"."""
    if when is None or not when.dated:
        return None
    today = ask.now.astimezone(ask.voice.knowledge.club.zone).date()
    return None if when.first == when.last == today and ask.said.says("now is no day") else (when.first, when.last)


def ask_which(kind: str, days: tuple[EventDay, ...], ask: Ask, party: int | None = None) -> Served:
    """The wish is understood, and served by asking the one thing that is missing."""
    asked = ask_back(tuple(choice_words(kind, one) for one in days), ask, key="rsvp.which")
    return Served(sentence=asked.sentence, effects=asked.effects, party=party)


def _said_party(want: Rsvp) -> int | None:
    """The number coming as the text says it: without a word of others it is the sender alone."""
    if want.kind in {"rsvp-no", "rsvp-change"} or want.party.unclear:
        return want.party.total
    return want.party.total or 1 + max(0, want.party.more or 0)


def _no_such_day(want: Rsvp, chosen: Chosen, ask: Ask) -> Served:
    voice = ask.voice
    match chosen:
        case NotThen(day, event, nearest) | Over(day, event, nearest):
            said = none_then(day, event, voice)
            if isinstance(chosen, Over):
                what = event.name.to(voice.language) if event is not None else voice.say("rsvp.that_day")
                said = voice.say("rsvp.over", what=capital(what), day=voice.dated(day))
            party = _said_party(want)
            if nearest is None or want.kind == "rsvp-no":
                return Served(sentence=said, event=event.id if event else None, party=party)
            said = f"{said} {voice.say('rsvp.nearest', nearest=named(nearest, voice))}"
            speak = SpeakOf(on=id_of(nearest), want=want.kind, awaits="this", people=party or 0)
            return Served(sentence=said, effects=(speak,), event=event.id if event else None, party=party)
        case Nothing(event):
            name = event.name.to(voice.language) if event is not None else ""
            said = voice.say("events.none_left", event=capital(name)) if name else voice.say("events.nothing_at_all")
            return Served(sentence=said, event=event.id if event else None, party=_said_party(want))
        case _:
            raise AssertionError("only what is not on comes here")


def _about(want: Rsvp, one: EventDay, ask: Ask) -> Served:
    """The day is known: whether it can be answered to now, and the answer."""
    voice, zone = ask.voice, ask.voice.knowledge.club.zone
    mine = standing(one, ask.known).mine
    party = _said_party(want)
    plain = Served(sentence="", event=one.event.id, party=party)
    if want.kind != "rsvp-maybe" and mine.state != "off":
        want = _of_the_right_people(want)
    if want.kind == "rsvp-no":
        return replace(_no(one, ask), event=one.event.id, party=None)
    if one.called_off:
        return replace(plain, sentence=f"{off_day(one, voice)} {_next_time(one, ask)}".strip())
    opens = sign_up_opens(one, zone)
    if opens is not None and ask.now < opens:
        date_words = voice.date(opens.astimezone(zone).date())
        said = voice.say("rsvp.not_open", event=named(one, voice), date=date_words)
        return replace(plain, sentence=said, effects=(SpeakOf(on=id_of(one), want=want.kind),))
    closes = sign_up_closes(one, zone)
    too_late = one.starts if want.kind == "rsvp-maybe" else closes
    if ask.now >= too_late and not _only_fewer(want, mine):
        return replace(plain, sentence=_closed(one, closes, ask), effects=(SpeakOf(on=id_of(one), want=want.kind),))
    large = too_large(_wanted(want, mine) or want.party.total or 0, one, mine, ask)
    if large is not None:
        return replace(plain, sentence=large)
    if want.kind != "rsvp-maybe" and _names_who(want) and mine.state in {"coming", "waiting"}:
        return replace(_who(want, one, mine, ask), event=one.event.id, party=party)
    if want.stand_in is not None:
        return replace(_stand_in(want, one, ask), event=one.event.id)
    if want.party.unclear and want.kind != "rsvp-maybe":
        said = voice.say("rsvp.how_many", event=named(one, voice))
        speak = SpeakOf(on=id_of(one), want=want.kind, awaits="number", before=mine)
        return replace(plain, sentence=said, effects=(speak,))
    if want.kind == "rsvp-maybe":
        people = want.party.total or max(1, mine.people)
        return replace(
            settle(say_maybe(_with_who(want, people, one, ask), people, _hold(one, ask)), one, ask, "rsvp-maybe"),
            event=one.event.id,
            party=people,
        )
    return _yes(want, one, mine, ask)


def _yes(want: Rsvp, one: EventDay, mine: Kept, ask: Ask) -> Served:
    voice = ask.voice
    people = _wanted(want, mine)
    if people is None and mine.state == "off":
        said = voice.say("rsvp.none_yet", event=named(one, voice))
        speak = SpeakOf(on=id_of(one), want="rsvp-yes", awaits="number", before=mine)
        return Served(sentence=said, effects=(speak,), event=one.event.id)
    if people is None and want.kind == "rsvp-change":
        said = voice.say("rsvp.to_what", event=named(one, voice), people=headcount(mine.people, voice))
        speak = SpeakOf(on=id_of(one), want="rsvp-yes", awaits="number", before=mine)
        return Served(sentence=said, effects=(speak,), event=one.event.id)
    if people == 0:
        return replace(_no(one, ask), event=one.event.id, party=None)
    shown = people if want.kind == "rsvp-change" else _said_party(want)
    if want.kind == "rsvp-change" and want.party.total is None and mine.state == "off":
        shown = None  # "one more" than nobody knows what
    if (
        people is not None
        and one.event.places is not None
        and people > one.event.places
        and not _small_step(people, mine, ask.now)
    ):
        said = voice.say("rsvp.too_many", event=named(one, voice), places=one.event.places)
        return Served(sentence=said, event=one.event.id, party=shown)
    more = (people or 1) - (mine.people if mine.state in {"coming", "waiting"} else 0)
    if more > 0 and not want.confirmed and asks_once_more(one, id_of(one), more, ask):
        return replace(are_you_sure(one, people or 1, ask, "rsvp-yes"), event=one.event.id, party=shown)
    change = say_yes(_with_who(want, people, one, ask), people, _hold(one, ask), ask.now)
    settled = replace(settle(change, one, ask, want.kind, wanted=people), event=one.event.id, party=shown)
    if more > 0 and not want.confirmed:
        settled = replace(settled, effects=(*settled.effects, *counted(id_of(one), more, ask)))
    if not want.every:
        return settled
    return replace(settled, sentence=f"{settled.sentence} {voice.say('rsvp.one_at_a_time')}", extras=())


def _of_the_right_people(want: Rsvp) -> Rsvp:
    """A no of somebody else is a change of the party; a change by which nobody comes any more is a no."""
    if want.kind == "rsvp-no" and (about_others(want.said) or _others_stay(want)):
        return replace(want, kind="rsvp-change")
    gone = want.said.everybody or (want.said.all_out and want.kind == "rsvp-change")
    if want.kind in {"rsvp-yes", "rsvp-change"} and gone and want.party == Party():
        return replace(want, kind="rsvp-no")
    return want


def _names_who(want: Rsvp) -> bool:
    """Whether a text tells who does not come or who comes instead, and not how many that makes."""
    numbered = want.party.total is not None and not want.said.sender_out
    return not numbered and want.stand_in is None and (about_others(want.said) or _others_stay(want))


def _others_stay(want: Rsvp) -> bool:
    """ "I can't, but the other two still come": a number beside a sender who stays away is of those who do come."""
    return want.said.sender_out and want.party.total is not None


def _who(want: Rsvp, one: EventDay, mine: Kept, ask: Ask) -> Served:
    """The right people leave or come instead; where it is not known whether they are in the party, that is asked."""
    voice = ask.voice
    found = changed(mine.who, mine.people, want.said)
    if isinstance(found, Now) and found.people > 0 and want.party.total not in {None, found.people}:
        found = Unsure(found.people)  # "I can't, my wife still comes", of a party of four
    match found:
        case Now(people, _) if people < 1:
            return replace(_no(one, ask), party=None)
        case Now(people, who):
            state = standing(one, ask.known)
            change = say_yes(replace(state, mine=replace(mine, who=who)), people, _hold(one, ask), ask.now)
            return settle(change, one, ask, "rsvp-change", wanted=people, by_name=True)
        case Unsure(people):
            said = voice.say("rsvp.so_many", event=named(one, voice), people=headcount(people, voice))
            speak = SpeakOf(on=id_of(one), want="rsvp-change", awaits="this", people=people, before=mine)
            return Served(sentence=said, effects=(speak,))
        case _:
            said = voice.say("rsvp.to_what", event=named(one, voice), people=headcount(mine.people, voice))
            speak = SpeakOf(on=id_of(one), want="rsvp-yes", awaits="number", before=mine)
            return Served(sentence=said, effects=(speak,))


def _with_who(want: Rsvp, people: int | None, one: EventDay, ask: Ask) -> Standing:
    """How the day stands, with those in the sender's party whom the text tells of."""
    state = standing(one, ask.known)
    number = people if people is not None else max(1, state.mine.people)
    more = want.party.more is not None and state.mine.state != "off"
    return replace(state, mine=replace(state.mine, who=told(state.mine.who, want.said, number, more=more)))


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


def are_you_sure(one: EventDay, people: int, ask: Ask, want: str, *, on: DayId | None = None) -> Served:
    """Asked once more. No place is held meanwhile, or a forger would hold what he never answers for; whoever is there says YES at once."""
    said = ask.voice.say("rsvp.sure", event=named(one, ask.voice), people=headcount(people, ask.voice))
    speak = SpeakOf(on=on or id_of(one), want=want, awaits="sure", people=people)
    return Served(sentence=said, effects=(speak,))


def _small_step(people: int, mine: Kept, now: datetime) -> bool:
    """Whether so many places are the party's already, or held for it by an offer that is open, though the event has fewer by now."""
    held = mine.offer is not None and now < mine.offer.until and people <= mine.offer.people
    return held or (mine.state == "coming" and people <= mine.people)


def _wanted(want: Rsvp, mine: Kept) -> int | None:
    """The number coming in all: as said, or as many more or fewer than before; None where the text does not tell."""
    party = want.party
    if party.total is not None:
        return party.total
    before = mine.people if mine.state in {"coming", "waiting"} else 0
    if party.more is not None:
        if before:
            return max(0, before + party.more)
        return 1 + party.more if party.more > 0 else None
    return None if want.kind == "rsvp-change" or before else 1


def _only_fewer(want: Rsvp, mine: Kept) -> bool:
    """Whether a change after sign-up has closed only gives places back."""
    people = _wanted(want, mine)
    return mine.state == "coming" and people is not None and people < mine.people


def _hold(one: EventDay, ask: Ask) -> Hold:
    return hold(one, ask.voice.knowledge, ask.now)


def _no(one: EventDay, ask: Ask) -> Served:
    voice = ask.voice
    state = standing(one, ask.known)
    if state.mine.state == "off":
        return Served(sentence=voice.say("rsvp.nothing_to_cancel", event=named(one, voice)))
    if ask.now >= one.starts:
        return Served(sentence=voice.say("rsvp.begun", event=named(one, voice)))
    return settle(say_no(state, _hold(one, ask)), one, ask, "rsvp-no")


def _stand_in(want: Rsvp, one: EventDay, ask: Ask) -> Served:
    """Somebody else takes the place; the number coming stays, or is what the text says."""
    voice = ask.voice
    state = standing(one, ask.known)
    if state.mine.state not in {"coming", "waiting"}:
        said = voice.say("rsvp.no_place_to_give", event=named(one, voice), name=want.stand_in)
        speak = SpeakOf(on=id_of(one), want="rsvp-yes", awaits="this", people=1, before=state.mine)
        return Served(sentence=said, effects=(speak,), party=want.party.total)
    kept = replace(state.mine, stand_in=want.stand_in)
    keep = KeepRsvp(on=id_of(one), rsvp=kept, seen=state.count.version, heard=True)
    said = voice.say("rsvp.stand_in", name=want.stand_in, event=named(one, voice), people=headcount(kept.people, voice))
    speak = SpeakOf(on=id_of(one), want=want.kind, people=kept.people, before=state.mine)
    return Served(sentence=said, effects=(keep, speak), party=want.party.total)


def settle(
    change: Change, one: EventDay, ask: Ask, kind: str, wanted: int | None = None, *, by_name: bool = False
) -> Served:
    """A change written down and said, with the places that it frees offered on; with who comes now where it was told `by_name`."""
    knowledge, on = ask.voice.knowledge, id_of(one)
    state = standing(one, ask.known)
    before, mine = state.mine, change.mine
    effects: list[Effect] = []
    if change.outcome in {"no room for more", "more than offered"}:
        speak = SpeakOf(on=on, want=kind, awaits="offer" if mine.offer else "", people=mine.people, before=before)
        return Served(sentence=_said(change, before, one, ask, wanted), effects=(speak,))
    seen = state.count.version
    # Whoever was down already may have been told another hour or place, and is told of that by itself.
    told_now = as_told(one) if before.state == "off" else None
    effects.append(KeepRsvp(on=on, rsvp=mine, seen=seen, told=told_now, heard=True))
    if (
        mine.state != before.state
    ):  # another number changes no reminder; another hour that is still to be told brings its own
        effects.append(reminders_for(one, mine, knowledge, ask.now))
    for party in change.offers:
        told: list[ClockEffect] = offered(one, party, seen, knowledge, ask.now)
        effects += told
    awaits: Awaits = "offer" if mine.offer is not None else ""
    effects.append(SpeakOf(on=on, want=kind, awaits=awaits, people=wanted or mine.people, before=before))
    extras = _extras(change, one, ask)
    said = _said(change, before, one, ask, wanted)
    if by_name and change.outcome == "coming":
        said = voice_changed(change.mine, one, ask.voice)
        extras = ()
    return Served(sentence=said, extras=extras, effects=tuple(effects))


def voice_changed(mine: Kept, one: EventDay, voice: Voice) -> str:
    """That the party has changed, and who it is now."""
    who = company(mine, voice)
    people = headcount(mine.people, voice)
    return voice.say("rsvp.changed", event=named(one, voice), people=f"{people} ({who})" if who else people)


def _said(change: Change, before: Kept, one: EventDay, ask: Ask, wanted: int | None) -> str:
    voice, mine = ask.voice, change.mine
    people = headcount(max(1, mine.people), voice)
    values = {"event": named(one, voice), "people": people}
    room = free(one.event.places, count_of(id_of(one), ask.known)) or 0
    until = voice.moment(mine.offer.until, ask.now) if mine.offer else ""
    match change.outcome:
        case "coming":
            key = "coming"
            if before.state == "coming":
                key = "same" if before.people == mine.people else "changed"
            if mine.stand_in is not None:
                return voice.say("rsvp.stand_in", name=mine.stand_in, **values)
            return voice.say(f"rsvp.{key}", **values)
        case "waiting" if before.state == "waiting":
            return voice.say("rsvp.still_waiting", **values)
        case "waiting":
            return voice.say("rsvp.waiting" if room == 0 else "rsvp.waiting_turn", **values, room=room)
        case "part offered":
            held = mine.offer.people if mine.offer else 0
            return voice.say("rsvp.part_offered", **values, free=held, until=until)
        case "no room for more":
            more = headcount(wanted or 0, voice)
            return voice.say("rsvp.no_room_for_more", **values, wanted=more, room=room)
        case "more than offered":
            held = mine.offer.people if mine.offer else 0
            return voice.say("rsvp.more_than_offered", **values, free=held, until=until)
        case "maybe":
            return voice.say("rsvp.maybe", **values)
        case "off":
            return voice.say("rsvp.left_line" if before.state == "waiting" else "rsvp.off", event=values["event"])
        case "kept in line":
            return voice.say("rsvp.kept_in_line", **values)


def _extras(change: Change, one: EventDay, ask: Ask) -> tuple[str, ...]:
    """Where and when to be there, and the one thing that the list still lacks: a name."""
    voice = ask.voice
    if change.outcome != "coming" or not ask.alone:
        return ()
    meet = one.meet.to(voice.language)
    said = [voice.say("rsvp.meet", meet=meet)]
    if one.event.sign_up is not None:
        said = [voice.say("rsvp.sign_up", time=voice.clock(one.event.sign_up), meet=meet)]
    if ask.known.sender.name is None and not any(rsvp.state != "off" for rsvp in ask.known.rsvps.values()):
        said.append(voice.say("rsvp.your_name"))
    return tuple(said)


def _closed(one: EventDay, closes: datetime, ask: Ask) -> str:
    voice = ask.voice
    if ask.now >= one.starts:
        return f"{voice.say('rsvp.begun', event=named(one, voice))} {_next_time(one, ask)}".strip()
    hour = one.event.sign_up or one.starts.astimezone(voice.knowledge.club.zone).time()
    said = voice.say(
        "rsvp.closed",
        event=named(one, voice),
        closed=voice.hour(closes),
        meet=one.meet.to(voice.language),
        time=voice.clock(hour),
    )
    return f"{said} {_next_time(one, ask)}".strip()


def _next_time(one: EventDay, ask: Ask) -> str:
    """The next day of the same event, where there is one."""
    knowledge = ask.voice.knowledge
    days = open_to_answers([one.event], ask.now, knowledge.club.zone)
    following = next((other for other in days if other.starts > one.starts and not other.called_off), None)
    if following is None:
        return ""
    return ask.voice.say("rsvp.next_time", next=named(following, ask.voice))


def mine(want: AskMyRsvps, ask: Ask) -> Served:
    """What the sender is down for: of the event or day that is named, else all of it."""
    voice, knowledge = ask.voice, ask.voice.knowledge
    zone, span = knowledge.club.zone, _span(want.when, ask)
    days = [
        one
        for one in open_to_answers(knowledge.events, ask.now, zone)
        if want.event in {None, one.event.id}
        and (span is None or span[0] <= one.starts.astimezone(zone).date() <= span[1])
    ]
    held = [one for one in days if id_of(one) in ask.known.rsvps and ask.known.rsvps[id_of(one)].state != "off"]
    about = held[:1] or days[:1]
    if (want.event is None and span is None) or not about:
        return Served(sentence=_mine(held, ask), event=want.event)
    spoken = SpeakOf(on=id_of(about[0]), want="my-rsvps")
    said = _mine(held, ask) if held else voice.say("rsvp.mine_not_this", event=named(about[0], voice))
    return Served(sentence=said, effects=(spoken,), event=about[0].event.id)


def _mine(held: Iterable[EventDay], ask: Ask) -> str:
    voice = ask.voice
    lines: list[str] = []
    for one in held:
        kept = ask.known.rsvps[id_of(one)]
        said = voice.say(f"rsvp.mine_{kept.state}", event=named(one, voice), people=headcount(kept.people, voice))
        lines.append(voice.say("rsvp.mine_called_off", event=named(one, voice)) if one.called_off else said)
    return voice.say("rsvp.mine", list="; ".join(lines)) if lines else voice.say("rsvp.mine_none")
