"""What is decided about one message, and how several intents become one reply."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime

from clubbot.conversation.ask import Ask, Served
from clubbot.conversation.crowd import bounded
from clubbot.conversation.flood import Kind
from clubbot.conversation.following import spoken_of
from clubbot.conversation.lacking import proposed, topic_of
from clubbot.conversation.light import remembered
from clubbot.conversation.phrasing import compose
from clubbot.conversation.said_first import said_first
from clubbot.conversation.serve import ids, serve
from clubbot.conversation.which_day import rsvp_meant
from clubbot.model.dialogue import after
from clubbot.model.effects import (
    CloseChoice,
    Effect,
    HandOver,
    Introduce,
    KeepName,
    KeepRsvp,
    OpenChoice,
    Reply,
    SpeakOf,
)
from clubbot.model.exchange import Spoken
from clubbot.model.intents import AskTopic, Intent, Party, Rsvp
from clubbot.model.known import Known
from clubbot.model.messages import PASSED_ON, Language
from clubbot.model.rsvps import DayCount
from clubbot.model.rsvps import Rsvp as Kept
from clubbot.understanding.once import Reading

# The text before was this one too: it was passed on then.
_SAME_AGAIN = 2


@dataclass(frozen=True, slots=True, kw_only=True)
class Turn:
    """What is to be done about one message, and how it was understood. `spoken` is what was served, `others` what else it could have
    meant, `about` the text that it is kept under where that is not the message's own, `kind` what it counts as for the limits of a phone.
    """

    effects: tuple[Effect, ...] = ()
    language: Language = "en"
    served: tuple[str, ...] = ()
    offered: tuple[str, ...] = ()
    event: str | None = None
    party: int | None = None
    outcome: str = ""
    reading: Reading | None = None
    spoken: tuple[Spoken, ...] = ()
    others: tuple[str, ...] = ()
    about: str | None = None
    kind: Kind | None = None

    @property
    def handed_over(self) -> bool:
        """Whether a person will deal with it."""
        return any(isinstance(effect, HandOver) for effect in self.effects)

    @property
    def reply(self) -> str | None:
        """What the sender is told, if anything."""
        return next((effect.text for effect in self.effects if isinstance(effect, Reply)), None)

    def without_reading(self) -> "Turn":
        """The same to be carried out, without how it came about."""
        return replace(self, reading=None)


def served(
    intents: Sequence[Intent],
    ask: Ask,
    reading: Reading | None,
    *,
    beside: Intent | None = None,
    also: tuple[Served, ...] = (),
    brief: bool = False,
) -> Turn:
    """What is wanted, in one reply; `beside` is said too as long as it fits, `also` after it in any case. A `brief` one goes on after another:
    no more is said than has to be.
    """
    said = list(intents)
    intents = [remembered(intent, ask) for intent in _as_said(intents, ask)]
    topics = sum(isinstance(intent, AskTopic) for intent in intents)
    ask = replace(ask, alone=len(intents) < 2 and beside is None, several=topics > 1)
    results = [serve(intent, replace(ask, several=ask.several or beside is not None)) for intent in intents]
    unserved = {id(intent) for intent, one in zip(intents, results, strict=True) if not one.served}
    settled = ids([intent for intent in said if id(intent) not in unserved])
    spoken = [_spoken(intent, one, ask) for intent, one in zip(intents, results, strict=True) if one.served]
    if beside is not None:
        results[-1] = replace(results[-1], extras=(serve(beside, replace(ask, reading=None)).sentence,))
    if brief:
        results = [replace(one, extras=()) for one in results]
    turned = replace(told([*results, *also], ask, reading), served=settled)
    return replace(turned, spoken=tuple(one for one in spoken if one is not None) or turned.spoken)


def both(first: Turn, more: Turn) -> Turn:
    """One turn of two that were decided one after the other of parts of a text; what the first spoke of stays what is spoken of."""
    said = " ".join(dict.fromkeys(one for one in (first.reply, more.reply) if one))
    consent = all(one.asks_consent for turned in (first, more) for one in turned.effects if isinstance(one, Reply))
    reply: list[Effect] = [Reply(text=said, asks_consent=consent)] if said else []
    rest = [effect for turned in (more, first) for effect in turned.effects if not isinstance(effect, Reply)]
    return replace(
        first,
        effects=(*reply, *dict.fromkeys(rest)),
        served=(*first.served, *(one for one in more.served if one not in first.served)),
        offered=(*first.offered, *more.offered),
        event=first.event or more.event,
        party=first.party or more.party,
        spoken=(*more.spoken, *first.spoken),
    )


def known_after(known: Known, turned: Turn, now: datetime) -> Known:
    """What is known once a part of a text has been decided, as far as the rest of the text can be about it."""
    dialogue, rsvps, days, sender = known.dialogue, dict(known.rsvps), dict(known.days), known.sender
    for effect in turned.effects:
        match effect:
            case KeepRsvp(on=on, rsvp=rsvp):
                before = rsvps.get(on)
                more = _coming(rsvp) - (_coming(before) if before is not None else 0)
                count = days.get(on, DayCount())
                rsvps[on], days[on] = rsvp, replace(count, coming=max(0, count.coming + more))
            case KeepName(name=name):
                sender = replace(sender, name=name)
            case SpeakOf() | OpenChoice() | CloseChoice():
                dialogue = after(dialogue, effect, now)
            case _:
                pass
    said = (turned.reply, *known.said_lately) if turned.reply else known.said_lately
    return replace(known, dialogue=dialogue, rsvps=rsvps, days=days, sender=sender, said_lately=said)


def _coming(rsvp: Kept) -> int:
    return rsvp.people if rsvp.state == "coming" else 0


def _spoken(intent: Intent, result: Served, ask: Ask) -> Spoken | None:
    on = next((effect.on for effect in result.effects if isinstance(effect, SpeakOf)), None)
    return spoken_of(intent, on, ask.voice.knowledge, ask.now)


def _as_said(intents: Sequence[Intent], ask: Ask) -> Sequence[Intent]:
    """Answers to several days, as people mean them: the number that came goes along to another day, and "not wednesday, but thursday"
    of somebody who is not down for Wednesday is about Thursday only.
    """
    answers = [intent for intent in intents if isinstance(intent, Rsvp)]
    refused = [intent for intent in answers if intent.kind == "rsvp-no"]
    if len(answers) < 2 or not refused or len(refused) == len(answers):
        return intents
    held = {id(intent): rsvp_meant(intent, ask) for intent in refused}
    number = max((rsvp.people for rsvp in held.values() if rsvp is not None), default=0)
    said: list[Intent] = []
    for intent in intents:
        if isinstance(intent, Rsvp) and intent.kind == "rsvp-no" and held[id(intent)] is None:
            continue
        if isinstance(intent, Rsvp) and intent.kind != "rsvp-no" and intent.party.total is None and number:
            said.append(replace(intent, party=Party(total=number)))
            continue
        said.append(intent)
    return said


def told(results: Sequence[Served], ask: Ask, reading: Reading | None) -> Turn:
    """One reply of all results, with who we are where the sender has not been told; one hand-over even of several intents."""
    passes = _may_be_passed_on(ask)
    results = [bounded(one, ask) for one in results] if passes else results
    all_effects = [effect for one in results for effect in one.effects]
    handed = [effect for effect in all_effects if isinstance(effect, HandOver)]
    said = _in_one(results, ask, reading)
    effects: list[Effect] = [Reply(text=said)] if said else []
    effects += [effect for effect in all_effects if not isinstance(effect, HandOver)]
    if passes and handed:
        effects += [handed[0], *proposed(handed[0], ask)]
    if not ask.known.sender.introduced:
        effects.append(Introduce())
    return Turn(
        effects=tuple(effects),
        language=ask.voice.language,
        offered=tuple(choice for one in results for choice in one.offered),
        event=next((one.event for one in results if one.event), None),
        party=next((one.party for one in results if one.party), None),
        outcome=_outcome(handed, results, ask),
        reading=reading,
        spoken=tuple(
            Spoken(intent=effect.intent, event=effect.on.event, people=effect.people or None)
            for effect in effects
            if isinstance(effect, SpeakOf)
        ),
    )


def _outcome(handed: Sequence[HandOver], results: Sequence[Served], ask: Ask) -> str:
    """Answered, or passed on, with the topic where it is one that has no answer."""
    topic = topic_of(handed[0].reason, ask.voice.knowledge) if handed else None
    if topic is not None:
        return f"{PASSED_ON}: {topic}"
    return PASSED_ON if handed and not any(one.served for one in results) else "answered"


def _may_be_passed_on(ask: Ask) -> bool:
    """Whether a person may get it: the same again has gone to one already, but not where that was answered since."""
    settled = ask.known.thread is not None and not ask.known.thread.open
    return settled or ask.known.same_in_a_row < _SAME_AGAIN


def _in_one(results: Sequence[Served], ask: Ask, reading: Reading | None) -> str:
    """The reply: what is closed or called off first, what is due of each, and who we are to somebody who has not been told."""
    says_who = ask.known.sender.introduced or any(one.introduces for one in results)
    introduction = "" if says_who else ask.voice.say("greeting.introduction")
    extras = [extra for one in results for extra in one.extras]
    sentences = said_first(results, ask, reading.when if reading is not None else None, introduction)
    return compose(ask.voice, sentences, extras, introduction)


def to_its_own(turned: Turn) -> Turn:
    """A reply that somebody of the club gets on what they did as such: it goes out though they have stopped the club's texts."""
    effects = (replace(one, asks_consent=False) if isinstance(one, Reply) else one for one in turned.effects)
    return replace(turned, effects=tuple(effects))
