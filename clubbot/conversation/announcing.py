"""Texts to many people: shown first, word for word, with how many they reach, what they cost and how long they take; sent on the code."""

from collections.abc import Mapping
from dataclasses import replace
from datetime import date, datetime, timedelta

from clubbot.broadcasts.pace import takes
from clubbot.conversation.ask import Ask, Served
from clubbot.conversation.by_name import list_changed, without_phones
from clubbot.conversation.codes import with_code
from clubbot.conversation.occasions import named, quiet_hours
from clubbot.conversation.phrasing import Voice
from clubbot.events.choosing import DaysNamed, Hints, Meant, choose, day_of, entry_of, id_of
from clubbot.events.days import EventDay, between
from clubbot.model.club import Knowledge, Person
from clubbot.model.deeds import (
    CallOffDeed,
    CallOnDeed,
    Deed,
    Draft,
    GoOnSendingDeed,
    MoveDeed,
    SignUpDeed,
    TakeOffDeed,
    TellDeed,
    TellOneDeed,
    WhichDeed,
)
from clubbot.model.effects import GoOnWithBroadcasts, HoldBroadcasts, Record, StartBroadcast, TellPerson
from clubbot.model.intents import When
from clubbot.model.messages import Language, Said
from clubbot.model.orders import AddLanguage, Audience, Confirm, Order, ShowReach, ShowStatus, Tell
from clubbot.model.orders_by_name import SignInOthers, SignUpOthers, TakeOff, TellOne
from clubbot.model.orders_of_people import Retire
from clubbot.model.rsvps import DayId
from clubbot.model.seen import ShowSent
from clubbot.people.roles import may
from clubbot.texting.parts import as_sent
from clubbot.texting.parts import count as count_parts

# Whose day must be known before anybody can be counted.
_OF_A_DAY = frozenset({"event", "came", "missed"})
_LOOKS_BACK, _WEEK = timedelta(days=8), timedelta(days=7)


def told_audience(
    order: Order | None, draft: Draft | None, knowledge: Knowledge, now: datetime
) -> tuple[Audience, DayId | None] | None:
    """Whom a message asks to tell, or goes on asking to: so that it can be counted before the message is decided on."""
    if isinstance(order, Tell | ShowReach):
        return order.audience, day_told(order.audience, knowledge, now)
    if isinstance(order, ShowSent):
        return Audience("sent"), None
    if isinstance(order, TellOne):
        return Audience("called", names=tuple(name for name, _ in order.readings)), None
    if isinstance(order, ShowStatus):
        return Audience("month"), None
    if isinstance(order, SignInOthers) or (isinstance(order, TakeOff) and order.anywhere):
        return Audience("on lists", names=order.names), None
    if isinstance(order, Retire) and order.said:
        return Audience("on lists", names=order.said), None
    if isinstance(order, SignUpOthers | TakeOff):
        on = list_changed(order, knowledge, now)
        return (Audience("by name"), on) if on is not None else None
    if draft is not None and (found := _looked_up(draft.deed)) is not None:
        return found
    if isinstance(order, Confirm) and draft is not None and isinstance(draft.deed, CallOffDeed | CallOnDeed | MoveDeed):
        changed = draft.deed
        return Audience("event", event=changed.event), DayId(changed.event, changed.day)
    if (
        draft is not None and isinstance(draft.deed, TellDeed) and not isinstance(order, Confirm)
    ):  # it may be had otherwise
        deed = draft.deed
        return deed.audience, DayId(deed.event, deed.day) if deed.event and deed.day else None
    return None


def _looked_up(deed: Deed) -> tuple[Audience, DayId | None] | None:
    """Whom the code, or a number, would be about, to be looked up once more."""
    if isinstance(deed, WhichDeed) and isinstance(deed.options[0], TakeOffDeed):
        return Audience("on lists", names=(deed.name,)), None
    deed = deed.options[0] if isinstance(deed, WhichDeed) else deed
    if isinstance(deed, TellOneDeed):
        return Audience("called", names=(deed.name,)), None
    if isinstance(deed, SignUpDeed | TakeOffDeed):
        return Audience("by name"), DayId(deed.event, deed.day)
    return None


def helpers_of(knowledge: Knowledge) -> tuple[str, ...]:
    """The numbers of the club's own people."""
    return tuple(person.number for person in knowledge.people)


def day_told(audience: Audience, knowledge: Knowledge, now: datetime) -> DayId | None:
    """The event day whose people are told."""
    if audience.kind in {"came", "missed"}:
        return _last_day(audience, knowledge, now)
    if audience.kind != "event":
        return None
    rule = knowledge.event(audience.event) if audience.event else None
    span = _span(audience.when)
    chosen = choose(rule, DaysNamed(*span) if span else None, knowledge.events, Hints(), now, knowledge.club.zone)
    return id_of(chosen.day) if isinstance(chosen, Meant) else None


def _last_day(audience: Audience, knowledge: Knowledge, now: datetime) -> DayId | None:
    """The event day that began last, of those that the audience names; none longer ago than a few days."""
    zone = knowledge.club.zone
    span = _span(audience.when)
    first, last = span or ((now - _LOOKS_BACK).astimezone(zone).date(), now.astimezone(zone).date())
    begun = _begun(audience, first, last, knowledge, now)
    if not begun and audience.when is not None and audience.when.weekday:  # who came on Wednesday came last Wednesday
        begun = _begun(audience, first - _WEEK, last - _WEEK, knowledge, now)
    return entry_of(begun[-1]) if begun else None


def _begun(audience: Audience, first: date, last: date, knowledge: Knowledge, now: datetime) -> list[EventDay]:
    events = [one for one in knowledge.events if audience.event in {None, one.id}]
    days = between(events, first, last, knowledge.club.zone)
    return [one for one in days if one.starts <= now and not one.called_off]


def _span(when: When | None) -> tuple[date, date] | None:
    return (when.first, when.last) if when is not None and when.dated else None


def tell(order: Tell, ask: Ask) -> Served:
    """Show what would be sent, to whom, and what it costs."""
    knowledge = ask.voice.knowledge
    on = day_told(order.audience, knowledge, ask.now)
    if order.audience.kind in _OF_A_DAY and on is None:
        return Served(sentence=ask.voice.say("order.no_event"))
    deed = TellDeed(
        audience=order.audience,
        event=on.event if on else None,
        day=on.day if on else None,
        words=Said(en=order.words, fr=order.words),
        french_missing=len(knowledge.club.languages) > 1,
    )
    return shown(deed, ask)


def reach(order: ShowReach, ask: Ask) -> Served:
    """How many phones a list has."""
    voice, found = ask.voice, ask.known.reach
    lists = {one.id: one.name.to(voice.language) for one in voice.knowledge.lists}
    people = sum(found.people.values()) if found is not None else 0
    phones = voice.say("tell.phone_one") if people == 1 else voice.say("tell.phones", count=people)
    values = {"list": lists.get(order.audience.list_id or "", ""), "phones": phones}
    if found is None:
        return Served(sentence=voice.say("tell.reach", **values, english=0, french=0))
    return Served(sentence=voice.say("tell.reach", **values, english=found.people["en"], french=found.people["fr"]))


def add_language(order: AddLanguage, ask: Ask) -> Served | None:
    """The words in the other language, for the text that is being prepared; None where none is."""
    draft = ask.known.draft
    if draft is None or ask.now >= draft.until or not isinstance(draft.deed, TellDeed):
        return None
    words = replace(draft.deed.words, **{order.language: order.words})
    return shown(replace(draft.deed, words=words, french_missing=False), ask)


def shown(deed: TellDeed, ask: Ask) -> Served:
    """The draft as it will be sent, with people, parts, cost, time, who is left out, and the code."""
    voice, knowledge, reach = ask.voice, ask.voice.knowledge, ask.known.reach
    others = _others(deed, ask)
    if reach is None or not sum(reach.people.values()):
        nobody = voice.say("tell.nobody", audience=audience_words(deed, voice))
        return Served(sentence=f"{nobody} {others}".strip())
    texts = texts_of(deed, knowledge)
    people = sum(reach.people.values())
    parts = sum(reach.people[language] * count_parts(texts[language]) for language in reach.people)
    minutes = max(1, round(takes(people, knowledge.club.texts_a_minute) / timedelta(minutes=1)))
    said = [
        voice.say(
            "tell.shown",
            audience=audience_words(deed, voice),
            phones=voice.say("tell.phone_one") if people == 1 else voice.say("tell.phones", count=people),
            english=reach.people["en"],
            french=reach.people["fr"],
            text=texts["en"],
        )
    ]
    if deed.french_missing:
        said.append(voice.say("tell.french_missing"))
    elif deed.words.en != deed.words.fr:
        said.append(voice.say("tell.french", text=texts["fr"]))
    cost = voice.money(f"{parts * knowledge.club.text_part_price:.2f}")
    said.append(voice.say("tell.costs", parts=parts, cost=cost, length=voice.length(minutes)))
    if reach.opted_out or reach.unreachable:
        said.append(voice.say("tell.left_out", opted_out=reach.opted_out, unreachable=reach.unreachable))
    said += [others] if others else []
    return with_code(deed, " ".join(said), ask, key="tell.code")


def _others(deed: TellDeed, ask: Ask) -> str:
    """Who is among them and has no phone; nobody without one signs in."""
    if deed.audience.kind not in {"event", "missed"} or deed.event is None or deed.day is None:
        return ""
    return without_phones(DayId(deed.event, deed.day), ask)


def audience_words(deed: TellDeed, voice: Voice) -> str:
    """Who is told, in words."""
    knowledge = voice.knowledge
    match deed.audience.kind:
        case "list":
            lists = {one.id: one.name.to(voice.language) for one in knowledge.lists}
            return voice.say("tell.to_list", list=lists.get(deed.audience.list_id or "", ""))
        case ("event" | "came" | "missed") as kind if deed.event is not None and deed.day is not None:
            one = day_of(DayId(deed.event, deed.day), knowledge)
            return voice.say(f"tell.to_{kind}", event=named(one, voice) if one else deed.event)
        case kind:
            return voice.say(f"tell.to_{kind}")


def texts_of(deed: TellDeed, knowledge: Knowledge) -> dict[Language, str]:
    """The words as they go out, with who they are from, by language."""
    return {
        "en": as_sent(_signed(deed.words.en, "en", knowledge), shorten_letters=knowledge.club.plain_letters),
        "fr": as_sent(_signed(deed.words.fr, "fr", knowledge), shorten_letters=knowledge.club.plain_letters),
    }


def _signed(words: str, language: Language, knowledge: Knowledge) -> str:
    return Voice(knowledge, language).say("tell.text", text=words)


def start(deed: TellDeed, ask: Ask, person: Person) -> Served:
    """The code has come: everything is written down now, and goes at its pace."""
    knowledge = ask.voice.knowledge
    on = DayId(deed.event, deed.day) if deed.event is not None and deed.day is not None else None
    # What is about safety goes at night too, but only to those who come that day.
    may_pass = deed.safety and deed.audience.kind == "event"
    effect = StartBroadcast(
        person=person.id,
        audience=deed.audience,
        on=on,
        texts=texts_of(deed, knowledge),
        quiet=None if may_pass else quiet_hours(knowledge),
        per_minute=knowledge.club.texts_a_minute,
        helpers=helpers_of(knowledge),
    )
    record = Record(person=person.id, what=f"told {audience_words(deed, Voice(knowledge, 'en'))}: {deed.words.en}")
    begins = effect.quiet.end_after(ask.now) if effect.quiet is not None else ask.now
    if begins > ask.now:
        said = ask.voice.say("tell.begins_later", begins=ask.voice.moment(begins, ask.now))
    else:
        said = ask.voice.say("tell.begun")
    return Served(sentence=said, effects=(effect, record))


def ask_to_go_on(ask: Ask) -> Served:
    """What was held would go; on the code."""
    if not ask.known.sending:
        return Served(sentence=ask.voice.say("tell.nothing_held"))
    return with_code(GoOnSendingDeed(), ask.voice.say("tell.to_go_on"), ask)


def hold(ask: Ask, person: Person) -> Served:
    """What has not gone stays, at once, since seconds count; whoever else may tell people hears of it, and a code lets it go on."""
    knowledge = ask.voice.knowledge
    if not ask.known.sending:
        return Served(sentence=ask.voice.say("tell.nothing_goes"))
    record = Record(person=person.id, what="held sending")
    told = tuple(
        TellPerson(
            person=one.id,
            number=one.number,
            text=Voice(knowledge, one.language).say("tell.held_note", name=person.first_name),
        )
        for one in knowledge.people
        if one.id != person.id and may(one, "tell people")
    )
    return Served(sentence=ask.voice.say("tell.held"), effects=(HoldBroadcasts(), record, *told))


def go_on(ask: Ask, person: Person) -> Served:
    """What was held goes."""
    effect = GoOnWithBroadcasts(
        per_minute=ask.voice.knowledge.club.texts_a_minute, quiet=quiet_hours(ask.voice.knowledge)
    )
    record = Record(person=person.id, what="went on sending")
    return Served(sentence=ask.voice.say("tell.goes_on"), effects=(effect, record))


def ended(counts: Mapping[str, int], left_out: int, voice: Voice) -> str:
    """What became of a text to many people."""
    refused = counts.get("failed", 0) + counts.get("given up", 0)
    delivered = counts.get("delivered", 0)
    return voice.say(
        "tell.ended",
        sent=counts.get("sent", 0) + delivered + counts.get("failed", 0),
        delivered=delivered,
        refused=refused,
        left_out=left_out + counts.get("dropped", 0),
    )
