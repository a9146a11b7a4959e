"""What the club's own people tell clubbot to do. What reaches others or changes the course is shown first, with a code, and done on the code.

A number can be forged, but the forger does not get the reply, and so not the code. Only holding play goes without one: it is the
safe direction.
"""

from dataclasses import replace
from datetime import datetime, timedelta
from typing import assert_never

from clubbot.conversation import announcing
from clubbot.conversation.ask import Ask, Served
from clubbot.conversation.closing import close, covered, places_of, reopen, thunder_wait, too_soon, with_unused
from clubbot.conversation.codes import closed, let_go, waiting, with_code, wrong
from clubbot.conversation.coming import which_day
from clubbot.conversation.crowd import noted
from clubbot.conversation.helping import quoted, settled, swap_agreed
from clubbot.conversation.live import place
from clubbot.conversation.misuse import still_suspended
from clubbot.conversation.occasions import count_of, headcount, named
from clubbot.conversation.phrasing import Voice, capital
from clubbot.conversation.reporting import matched
from clubbot.conversation.teaching import forgotten
from clubbot.course.reasons import understood
from clubbot.course.status import WHOLE
from clubbot.events.choosing import Meant, Several, id_of
from clubbot.events.days import EventDay, between, event_days
from clubbot.model.club import Closure, Knowledge, Person
from clubbot.model.deeds import (
    BringBackDeed,
    CallOffDeed,
    CloseDeed,
    Deed,
    DoneDeed,
    ForgetDeed,
    GoOnSendingDeed,
    MatchDeed,
    ReopenDeed,
    StopTextsDeed,
    SwapDeed,
    TeachDeed,
    TellDeed,
)
from clubbot.model.effects import (
    BringBack,
    CallOffDay,
    CloseChoice,
    CloseCourse,
    CloseDraft,
    Effect,
    KeepTaught,
    OptOut,
    Record,
    ReopenCourse,
    TellPerson,
)
from clubbot.model.messages import Said
from clubbot.model.orders import (
    AddLanguage,
    Audience,
    CallOff,
    Close,
    GoOnSending,
    HoldPlay,
    HoldSending,
    NoteOn,
    Order,
    Reopen,
    Tell,
)
from clubbot.model.rsvps import DayId
from clubbot.people.duty import organiser
from clubbot.people.needs import permit_of
from clubbot.people.roles import Permit, may
from clubbot.understanding.orders.dropping import ToADraft


def obey(order: Order, ask: Ask, person: Person) -> Served | None:
    """Show what an order that the role allows would do, or hold play; None for those that are dealt with elsewhere."""
    match order:
        case Close():
            return close(order, ask)
        case Reopen():
            return reopen(order, ask)
        case NoteOn(what, words):
            said = Said(en=words, fr=words)
            deed = CloseDeed(what=what, since=ask.now, until=None, reason=said, kind="note")
            return with_code(deed, ask.voice.say("order.note", what=place(what, ask.voice), words=words), ask)
        case HoldPlay():
            return _hold_play(ask, person)
        case CallOff():
            return _call_off(order, ask)
        case Tell():
            return announcing.tell(order, ask)
        case AddLanguage():
            return announcing.add_language(order, ask)
        case HoldSending():
            return announcing.hold(ask, person)
        case GoOnSending():
            return announcing.ask_to_go_on(ask)
        case _:
            return None


def refused(ask: Ask) -> Served:
    """An order from a phone that is none of the club's: refused plainly, and the organiser hears of it."""
    head = organiser(ask.voice.knowledge)
    note = Voice(ask.voice.knowledge, head.language).say("order.stranger_note", text=quoted(ask.text))
    told = noted("stranger's order", ask.known, TellPerson(person=head.id, number=head.number, text=note))
    key = "order.stranger" if told else "order.stranger_only"
    return Served(sentence=ask.voice.say(key, name=head.first_name), effects=told, served=False)


def allowed(permit: Permit | None, ask: Ask, person: Person) -> Served | None:
    """None where the person may; else the refusal, and the organiser is told."""
    if permit is None or may(person, permit):
        return None
    head = organiser(ask.voice.knowledge)
    theirs = Voice(ask.voice.knowledge, head.language)
    note = theirs.say("order.not_allowed_note", name=person.first_name, text=quoted(ask.text))
    tell = TellPerson(person=head.id, number=head.number, text=note)
    return Served(sentence=ask.voice.say("order.not_allowed", name=head.first_name), effects=(tell,))


def _hold_play(ask: Ask, person: Person) -> Served:
    """Held at once; telling people takes the code. Each thunder starts the wait again."""
    voice, knowledge = ask.voice, ask.voice.knowledge
    held = Closure(what=WHOLE, since=ask.now, reason=Said(en="thunder", fr="orage"), kind="held")
    effects: list[Effect] = [CloseCourse(closure=held, person=person.id), Record(person=person.id, what="held play")]
    minutes = thunder_wait(knowledge) // timedelta(minutes=1)
    said = voice.say("order.held", minutes=minutes)
    today = _today(ask)
    if today is None or person.id in knowledge.suspended:
        return Served(sentence=said, effects=tuple(effects))
    on = id_of(today)
    words = Said(en=Voice(knowledge, "en").say("status.held"), fr=Voice(knowledge, "fr").say("status.held"))
    audience = Audience("event", event=on.event)
    deed = TellDeed(audience=audience, event=on.event, day=on.day, words=words, french_missing=False, safety=True)
    count = count_of(on, ask.known)
    shown = voice.say("order.held_tell", event=named(today, voice), people=headcount(count.coming, voice))
    coded = with_code(deed, shown, ask)
    return Served(sentence=f"{said} {coded.sentence}", effects=(*effects, *coded.effects))


def _today(ask: Ask) -> EventDay | None:
    """The event day of today that somebody is coming to."""
    knowledge, zone = ask.voice.knowledge, ask.voice.knowledge.club.zone
    today = ask.now.astimezone(zone).date()
    days = [one for one in between(knowledge.events, today, today, zone) if not one.called_off]
    return next((one for one in days if count_of(id_of(one), ask.known).coming), None)


def _call_off(order: CallOff, ask: Ask) -> Served:
    voice = ask.voice
    meant = which_day(None, order.event, order.when, ask)
    match meant:
        case Meant(day) if day.called_off:
            return Served(sentence=voice.say("order.off_already", event=capital(named(day, voice))))
        case Meant(day):
            reason, _ = understood(order.reason)
            deed = CallOffDeed(event=day.event.id, day=day.day, reason=reason)
            count = count_of(id_of(day), ask.known)
            told = count.coming + count.waiting + count.maybe
            shown = voice.say(
                "order.call_off",
                event=named(day, voice),
                reason=reason.to(voice.language),
                people=headcount(told, voice),
            )
            return with_code(deed, with_unused(shown, order.unused, voice), ask)
        case Several(days):
            listed = "; ".join(named(one, voice) for one in days)
            return Served(sentence=voice.say("order.which_event", list=listed))
        case _:
            return Served(sentence=voice.say("order.no_event"))


def confirm(code: str, ask: Ask, person: Person, said: ToADraft) -> Served:
    """The code that was shown comes back: the deed is done, once. While codes are closed on the phone nothing is looked at or said: it has
    been told until when.
    """
    if closed(ask, person.number) is not None:
        return Served(sentence="")
    waits = waiting(ask)
    if not waits:
        return Served(sentence=ask.voice.say("order.no_draft"), effects=(CloseDraft(),) if ask.known.draft else ())
    found = next(((draft, close) for draft, close in waits if draft.code == code), None)
    if found is None:
        return wrong(ask, person)
    deed, close = found[0].deed, found[1]
    if said.refuses and not (isinstance(deed, StopTextsDeed) and said.stops):
        return let_go(ask, person, stops=said.stops)
    if person.id in ask.voice.knowledge.suspended and not isinstance(deed, BringBackDeed | StopTextsDeed):
        return still_suspended(ask)
    done = allowed(permit_of(deed), ask, person) or _thunder_since(deed, ask) or _do(deed, ask, person)
    return replace(done, effects=(close, *done.effects))


def dropped(ask: Ask, person: Person, said: ToADraft) -> Served | None:
    """What waits is let go where the text is nothing but a no to it; None where it is something else, or nothing waits."""
    waits = waiting(ask)
    if not waits or not said.drops:
        return None
    if said.stops and any(
        isinstance(draft.deed, StopTextsDeed) and draft.code in _digits(ask.text) for draft, _ in waits
    ):
        return None  # STOP and its code
    return let_go(ask, person, stops=said.stops)


def _digits(text: str) -> str:
    return "".join(letter for letter in text if letter.isascii() and letter.isdigit())


def ask_to_stop(ask: Ask) -> Served:
    """A person of the club texts STOP: somebody else could have, and it would silence their orders, so it takes one code."""
    return with_code(StopTextsDeed(words=ask.text), "", ask, key="order.stop")


def _thunder_since(deed: Deed, ask: Ask) -> Served | None:
    """That the wait after thunder is not over, looked at once more when the code comes: there may have been another since."""
    if not isinstance(deed, ReopenDeed):
        return None
    held = [one for one in ask.known.closures if one.kind == "held" and one.number in deed.closures]
    return too_soon(held, ask)


def _do(deed: Deed, ask: Ask, person: Person) -> Served:
    voice = ask.voice
    match deed:
        case CloseDeed():
            parts = (deed.what, *deed.also)
            closures = (
                Closure(what=part, since=deed.since, until=deed.until, reason=deed.reason, kind=deed.kind)
                for part in parts
            )
            effects: tuple[Effect, ...] = (
                *(CloseCourse(closure=one, person=person.id) for one in closures),
                Record(person=person.id, what=f"{deed.kind}: {', '.join(parts)}, {deed.reason.en}"),
            )
            key = "order.noted" if deed.kind == "note" else "order.closed"
            said = voice.say(key, what=capital(places_of(parts, voice)))
            also, told = covered(deed, ask, person)
            # Nobody is texted by the closure alone; whoever wrote "and tell everyone" has to see that.
            too = voice.say("order.tell_too") if deed.kind != "note" and may(person, "tell people") else ""
            return Served(sentence=" ".join(f"{said} {too} {also}".split()), effects=(*effects, *told))
        case ReopenDeed(closures=closures, what=what):
            record = Record(person=person.id, what=f"reopened {what}")
            said = voice.say("order.reopened", what=capital(what))
            return Served(sentence=said, effects=(ReopenCourse(closures=closures), record))
        case CallOffDeed(event=event, day=day, reason=reason):
            on = DayId(event, day)
            record = Record(person=person.id, what=f"called off {event} {day}")
            count = count_of(on, ask.known)
            said = voice.say("order.called_off", people=headcount(count.coming + count.waiting + count.maybe, voice))
            rule, zone = voice.knowledge.event(event), voice.knowledge.club.zone
            # Of an event with one entry for all its days, all are off.
            days = [one.day for one in event_days(rule, zone)] if rule.one_entry else [day]
            off = tuple(CallOffDay(on=DayId(event, one), reason=reason) for one in days)
            return Served(sentence=said, effects=(*off, record))
        case TellDeed():
            return announcing.start(deed, ask, person)
        case TeachDeed():
            record = Record(person=person.id, what=f"taught: {deed.asked}")
            return Served(
                sentence=voice.say("teach.learnt", number=1 + max((one.number for one in ask.known.taught), default=0)),
                effects=(KeepTaught(deed=deed), record),
            )
        case ForgetDeed():
            return forgotten(deed, ask, person)
        case MatchDeed():
            return matched(deed, ask, person)
        case DoneDeed():
            return settled(deed, ask, person)
        case GoOnSendingDeed():
            return announcing.go_on(ask, person)
        case SwapDeed():
            return swap_agreed(deed, ask, person)
        case StopTextsDeed(words=words):
            return _stopped(words, ask, person)
        case BringBackDeed():
            record = Record(person=person.id, what="back after NOT ME")
            return Served(sentence=voice.say("misuse.back"), effects=(BringBack(), record))
        case _:
            assert_never(deed)


def _stopped(words: str, ask: Ask, person: Person) -> Served:
    """No more texts but what the role brings; the organiser hears of it, who can take the person off the roster."""
    effects: list[Effect] = [OptOut(words=words), CloseChoice(), Record(person=person.id, what="stopped texts")]
    head = organiser(ask.voice.knowledge)
    if head.id == person.id:
        return Served(sentence=ask.voice.say("consent.stopped_head"), effects=tuple(effects))
    note = Voice(ask.voice.knowledge, head.language).say("consent.stopped_note", name=person.first_name)
    effects.append(TellPerson(person=head.id, number=head.number, text=note))
    return Served(sentence=ask.voice.say("consent.stopped_role", name=head.first_name), effects=tuple(effects))


def asked_reopening(closure: Closure, person: Person, knowledge: Knowledge, now: datetime) -> str:
    """What the keeper is asked when a closure's time is over, or whoever held play when the wait is."""
    voice = Voice(knowledge, person.language)
    if closure.kind == "held":
        minutes = thunder_wait(knowledge) // timedelta(minutes=1)
        return voice.say("order.ask_held", minutes=minutes, last=voice.hour(closure.since))
    return capital(
        voice.say("order.ask_closed", what=place(closure.what, voice), reason=closure.reason.to(voice.language))
    )
