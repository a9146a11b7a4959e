"""What the sender is down for."""

from collections.abc import Iterable

from clubbot.conversation.ask import Ask, Served
from clubbot.conversation.occasions import (
    headcount,
    named,
)
from clubbot.conversation.which_day import days_named
from clubbot.events.choosing import id_of
from clubbot.events.days import EventDay, open_to_answers
from clubbot.model.effects import SpeakOf
from clubbot.model.intents import AskMyRsvps


def mine(intent: AskMyRsvps, ask: Ask) -> Served:
    """What the sender is down for: of the event or day that is named, else all of it."""
    knowledge = ask.voice.knowledge
    zone, span = knowledge.club.zone, days_named(intent.when, ask)
    days = [
        one
        for one in open_to_answers(knowledge.events, ask.now, zone)
        if intent.event in {None, one.event.id}
        and (span is None or span[0] <= one.starts.astimezone(zone).date() <= span[1])
    ]
    held = _held(days, ask)
    about = held[:1] or days[:1]
    if (intent.event is None and span is None) or not about:
        return Served(sentence=_mine(held, ask), event=intent.event)
    spoken = SpeakOf(on=id_of(about[0]), intent="my-rsvps")
    said = _mine(held, ask, yes=True) if held else _not_this(about[0], ask)
    return Served(sentence=said, effects=(spoken,), event=about[0].event.id)


def held_days(ask: Ask) -> list[EventDay]:
    """All days to come that the sender has answered to, but for a no."""
    knowledge = ask.voice.knowledge
    return _held(open_to_answers(knowledge.events, ask.now, knowledge.club.zone), ask)


def _held(days: Iterable[EventDay], ask: Ask) -> list[EventDay]:
    """Those of the days that the sender has answered to, but for a no."""
    answered = ask.known.rsvps
    return [one for one in days if id_of(one) in answered and answered[id_of(one)].state != "off"]


def _not_this(one: EventDay, ask: Ask) -> str:
    """That the sender is not down for the day that was asked about, and what for instead."""
    voice, others = ask.voice, held_days(ask)
    if not others:
        return voice.say("rsvp.mine_not_this", event=named(one, voice))
    return f"{voice.say('rsvp.mine_not_that', event=named(one, voice))} {_mine(others, ask)}"


def _mine(held: Iterable[EventDay], ask: Ask, *, yes: bool = False) -> str:
    """What the sender is down for; `yes` where a question whether it is so is answered by it."""
    voice = ask.voice
    lines: list[str] = []
    for one in held:
        kept = ask.known.rsvps[id_of(one)]
        said = voice.say(f"rsvp.mine_{kept.state}", event=named(one, voice), people=headcount(kept.people, voice))
        lines.append(voice.say("rsvp.mine_called_off", event=named(one, voice)) if one.called_off else said)
    asked = yes and (ask.said.says("asks something") or ask.said.says("asks to be told again"))
    key = "rsvp.mine_yes" if asked and not ask.said.says("asks how many") else "rsvp.mine"
    said = voice.say(key, list="; ".join(lines)) if lines else voice.say("rsvp.mine_none")
    name = ask.known.sender.name
    return f"{said} {voice.say('rsvp.mine_name', name=name)}" if name else said
