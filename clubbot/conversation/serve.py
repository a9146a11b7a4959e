"""Who serves which intent: each goes to its room, and comes back as sentences and effects."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import timedelta
from typing import assert_never

from clubbot.conversation import coming, down_for, light, live, reminding, reporting, turnout
from clubbot.conversation.ask import Ask, Served, ask_back
from clubbot.conversation.handover import for_a_person, handed
from clubbot.conversation.in_detail import in_detail
from clubbot.conversation.not_twice import fresh
from clubbot.conversation.of_event import of_event
from clubbot.conversation.of_my_event import dogs_there
from clubbot.conversation.opening import opening
from clubbot.conversation.phrasing import capital
from clubbot.conversation.reopening import reopening
from clubbot.conversation.sign_up_over import entries_open
from clubbot.events.choosing import entry_of, id_of
from clubbot.events.days import answered_to, between, upcoming
from clubbot.model.choices import Choice
from clubbot.model.effects import Effect, KeepName, SpeakOf, Subscribe, Unsubscribe
from clubbot.model.intents import (
    AskDaylight,
    AskEvents,
    AskHelp,
    AskMyMembership,
    AskMyRsvps,
    AskPerson,
    AskPlaces,
    AskReminder,
    AskStatus,
    AskTopic,
    Danger,
    ForAPerson,
    Greet,
    Intent,
    JoinList,
    LeaveList,
    Report,
    Rsvp,
    StartAgain,
    Stop,
    TellName,
    Thank,
    When,
    intent_id,
)


def serve(intent: Intent, ask: Ask) -> Served:
    """Serve one intent. Opt-out, opt-in and danger are served by `turn` itself, before anything else."""
    return replace(_serve(intent, ask), intent=intent)


def _serve(intent: Intent, ask: Ask) -> Served:
    if _asks_to_play(intent, ask) and any(one.kind == "held" for one in ask.known.closures):
        return Served(sentence=ask.voice.say("status.held"))
    if isinstance(intent, AskStatus | AskEvents | AskDaylight | AskPlaces | AskReminder) and intent.unclear is not None:
        return Served(sentence=ask.voice.say("day.unclear", words=intent.unclear))
    match intent:
        case AskTopic(topic, hole=hole):
            return _hole(hole, ask) or of_event(intent, ask) or dogs_there(topic, ask) or _opening_or_topic(topic, ask)
        case AskStatus(ends=True):
            return Served(sentence=reopening(intent, ask))
        case AskStatus() | AskEvents() | AskDaylight():
            return _live(intent, ask)
        case Greet() | Thank() | AskHelp():
            return _courtesy(intent, ask)
        case JoinList(list_id):
            return _join(list_id, ask)
        case LeaveList(list_id):
            return _leave(list_id, ask)
        case TellName(name):
            return _name(name, ask)
        case Report():
            return reporting.report(intent, ask)
        case Rsvp():
            return coming.answer(intent, ask)
        case AskMyRsvps():
            return down_for.mine(intent, ask)
        case AskPlaces():
            return turnout.places(intent, ask)
        case AskReminder():
            return reminding.remind(intent, ask)
        case AskMyMembership():
            return _membership(ask)
        case AskPerson():
            return for_a_person(ask, reason="human", wanted=True)
        case ForAPerson():
            return for_a_person(ask, reason="outside")
        case Stop() | StartAgain() | Danger():
            return Served(sentence="", served=False)
        case _:
            assert_never(intent)


def _live(intent: AskStatus | AskEvents | AskDaylight, ask: Ask) -> Served:
    """What is worked out at the moment of asking."""
    match intent:
        case AskStatus():
            if_closed = ask.said.says("asks whether it is closed")
            return Served(sentence=live.status(intent, ask.known.closures, ask.voice, ask.now, if_closed=if_closed))
        case AskEvents(event):
            intent = _under_way(intent, ask)
            said = live.events(intent, ask.voice, ask.now)
            return Served(sentence=said, event=event, effects=_spoken_of_day(intent, ask))
        case AskDaylight():
            begin = ask.said.says("asks when to begin")
            return Served(sentence=light.daylight(intent, ask.voice, ask.now, begin=begin))


def _courtesy(intent: Greet | Thank | AskHelp, ask: Ask) -> Served:
    match intent:
        case Greet():
            key = "greeting.again" if ask.known.sender.introduced else "greeting.first"
            return Served(sentence=fresh(ask.voice, ask.known, key))
        case Thank():
            held = any(one.kind == "held" for one in ask.known.closures)  # nobody is wished a good round in thunder
            thanked = "first.thanks" if held else "thanks.reply"
            return Served(
                sentence=fresh(ask.voice, ask.known, thanked if ask.said.says("a word of thanks") else "talk.noted")
            )
        case AskHelp():
            return Served(sentence=fresh(ask.voice, ask.known, "help.reply"), introduces=True)


def _asks_to_play(intent: Intent, ask: Ask) -> bool:
    """Whether an intent is about playing today, so that the word about thunder takes the place of its answer while play is held."""
    if isinstance(intent, AskStatus | AskDaylight) and intent.when is not None:
        today = ask.now.astimezone(ask.voice.knowledge.club.zone).date()
        return intent.when.first <= today and not (isinstance(intent, AskStatus) and intent.ends)
    if isinstance(intent, AskStatus) and intent.ends:
        return False
    return isinstance(intent, AskStatus | AskDaylight) or (
        isinstance(intent, AskTopic)
        and intent.topic in {"hours", "safety", "weather-policy", "busy", "start", "first-tee"}
    )


def _opening_or_topic(topic: str, ask: Ask) -> Served:
    return opening(topic, ask) or _topic(topic, ask)


def _topic(topic: str, ask: Ask) -> Served:
    answer = ask.voice.knowledge.answers.get(topic)
    if answer is None or not answer.paragraphs[ask.voice.language]:
        return for_a_person(ask, reason=topic)  # this club has not written its answer yet, or a fact is missing in it
    first, *more = answer.paragraphs[ask.voice.language]
    no = not_to_be_booked(ask) if topic == "groups" else None
    if no is not None:
        first, more = f"{no} {first}", []
    rule = next((one for one in ask.voice.knowledge.events if one.topic == topic), None)
    effects = _spoken_of(rule.id if rule is not None else None, topic, ask)
    narrow = in_detail(answer, ask) if no is None else None
    if narrow is not None:
        return replace(narrow, effects=(*narrow.effects, *effects))
    if rule is not None and (since := entries_open(rule, first, ask)) is not None:
        first, more = since, []
    return Served(sentence=first, extras=tuple(more) if ask.alone else (), effects=effects)


def not_to_be_booked(ask: Ask) -> str | None:
    """That the course is not booked or closed for a group, where that is asked and the club's facts say so; and that a day is too near."""
    voice, knowledge = ask.voice, ask.voice.knowledge
    facts = knowledge.facts[voice.language]
    if not ask.said.says("books the course") or facts.get("groups.bookable") != "False":
        return None
    said = voice.say("groups.not_booked")
    when, weeks = ask.reading.when if ask.reading is not None else None, facts.get("groups.weeks_ahead", "")
    today = ask.now.astimezone(knowledge.club.zone).date()
    if when is None or not when.dated or when.first < today or not weeks.isdecimal():
        return said
    if when.first - today >= timedelta(weeks=int(weeks)):
        return said
    return f"{said} {capital(voice.say('groups.short_notice', day=voice.dated(when.first), weeks=weeks))}"


def _hole(number: int | None, ask: Ask) -> Served | None:
    """Par and both distances of one hole, from the course's own table; None where it has no such hole."""
    one = next((one for one in ask.voice.knowledge.course.holes if one.hole == number), None)
    if one is None:
        return None
    return Served(sentence=ask.voice.say("side.hole", hole=one.hole, par=one.par, long=one.long, short=one.short))


def _spoken_of(event: str | None, intent: str, ask: Ask) -> tuple[Effect, ...]:
    """The next day of an event that was spoken of, so that "put me down" needs no more words."""
    if event is None:
        return ()
    knowledge = ask.voice.knowledge
    days = answered_to(upcoming([knowledge.event(event)], ask.now, knowledge.club.zone))
    held = next((one for one in days if one.starts > ask.now and not one.called_off), None)
    return () if held is None else (SpeakOf(on=id_of(held), intent=intent[:20]),)


def _spoken_of_day(intent: AskEvents, ask: Ask) -> tuple[Effect, ...]:
    """The day that was just told of, where it is one: after "what's on tonight", "2 of us" is for tonight."""
    zone, when = ask.voice.knowledge.club.zone, intent.when
    if when is None or not when.dated:
        return _spoken_of(intent.event, "events", ask)
    then = between(ask.voice.knowledge.events, when.first, when.last, zone)
    told = [one for one in then if intent.event in {None, one.event.id} and one.starts > ask.now and not one.called_off]
    if len({one.event.id for one in told}) != 1:
        return _spoken_of(intent.event, "events", ask)
    return (SpeakOf(on=entry_of(told[0]), intent="events"),)


def _under_way(intent: AskEvents, ask: Ask) -> AskEvents:
    """ "Is league still on", while it is: of today, and not when the next one is."""
    if intent.event is None or intent.when is not None or not ask.said.says("asks whether an event is on"):
        return intent
    knowledge, zone = ask.voice.knowledge, ask.voice.knowledge.club.zone
    today = ask.now.astimezone(zone).date()
    held = upcoming([knowledge.event(intent.event)], ask.now, zone)
    return (
        replace(intent, when=When(today, today)) if held and held[0].starts.astimezone(zone).date() == today else intent
    )


def _join(list_id: str | None, ask: Ask) -> Served:
    found = [one for one in ask.voice.knowledge.lists if list_id in {None, one.id}]
    if len(found) != 1:
        return _which_list("notify-on", "lists.which_on", ask)
    said = ask.voice.say("lists.joined", list=found[0].name.to(ask.voice.language))
    return Served(sentence=said, effects=(Subscribe(list_id=found[0].id, words=ask.text),))


def _leave(list_id: str | None, ask: Ask) -> Served:
    found = [one for one in ask.voice.knowledge.lists if list_id in {None, one.id}]
    if len(found) != 1:
        on = [one for one in found if one.id in ask.known.sender.lists]
        if len(on) != 1:
            return _which_list("notify-off", "lists.which_off", ask)
        found = on
    said = ask.voice.say("lists.left", list=found[0].name.to(ask.voice.language))
    return Served(sentence=said, effects=(Unsubscribe(list_id=found[0].id, words=ask.text),))


def _which_list(intent: str, key: str, ask: Ask) -> Served:
    """The wish is understood and served by asking the one thing that is missing."""
    choices = tuple(Choice(intent, list_id=one.id) for one in ask.voice.knowledge.lists)
    asked = ask_back(choices, ask, key=key)
    return Served(sentence=asked.sentence, effects=asked.effects, served=True)


def _name(name: str | None, ask: Ask) -> Served:
    if name is None:
        return Served(sentence=ask.voice.say("name.unclear") if ask.alone else "")
    said = ask.voice.say("name.kept" if ask.alone else "name.kept_too", name=name)
    return Served(sentence=said, effects=(KeepName(name=name),))


def _membership(ask: Ask) -> Served:
    """Who has paid is in nobody's files here: a person looks it up."""
    said = ask.voice.say("membership.asked", name=ask.duty.person.first_name)
    return Served(sentence=said, effects=(handed(ask, "my-membership", "handover.note"),))


def ids(intents: Sequence[Intent]) -> tuple[str, ...]:
    """The ids of intents, each once, in order."""
    return tuple(dict.fromkeys(intent_id(intent) for intent in intents))
