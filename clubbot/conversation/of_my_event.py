"""What is asked of the event that is named or was just spoken of, beside its fee and hours: who runs it, whether the dog may come."""

from clubbot.conversation.ask import Ask, Served
from clubbot.conversation.occasions import named
from clubbot.conversation.phrasing import capital
from clubbot.events.choosing import day_of
from clubbot.model.club import EventRule
from clubbot.model.dialogue import ANSWERED_WITHIN
from clubbot.model.effects import SpeakOf
from clubbot.model.intents import AskTopic
from clubbot.model.rsvps import DayId
from clubbot.people.duty import who_runs
from clubbot.understanding.once import Reading

_DOGS = AskTopic("dogs")


def of_my_event(ask: Ask, reading: Reading) -> Served | None:
    """Who runs it, and whether dogs may come to it; None where neither is asked, or no event is meant."""
    asks_who = ask.said.says("asks who runs it")
    if not asks_who and reading.intents != (_DOGS,):
        return None
    on, named_one = _spoken_of(ask), reading.answer.event
    rule = next(
        (one for one in ask.voice.knowledge.events if one.id == (named_one or (on.event if on else None))), None
    )
    if rule is None:
        return None
    day = day_of(on, ask.voice.knowledge) if on is not None and on.event == rule.id else None
    event = named(day, ask.voice) if day is not None else rule.name.to(ask.voice.language)
    effects = (SpeakOf(on=on, intent=rule.topic[:20]),) if on is not None and day is not None else ()
    served = _runs(rule, event, ask) if asks_who else _dogs(rule, event, ask)
    return (
        None if served is None else Served(sentence=served, extras=_more(asks_who, ask), effects=effects, event=rule.id)
    )


def _spoken_of(ask: Ask) -> DayId | None:
    """The event day that the sender answered to just now, or asked about."""
    talk = ask.known.talk
    return talk.on if talk is not None and ask.now - talk.at <= ANSWERED_WITHIN else None


def _runs(rule: EventRule, event: str, ask: Ask) -> str:
    knowledge = ask.voice.knowledge
    person = who_runs(rule, knowledge)
    role = rule.run_by if rule.run_by in person.roles else person.roles[0]
    return ask.voice.say("side.runs", event=event, name=person.first_name, role=ask.voice.roles([role]))


def _dogs(rule: EventRule, event: str, ask: Ask) -> str | None:
    if rule.dogs is None:
        return None
    return ask.voice.say("side.dogs" if rule.dogs else "side.no_dogs", event=capital(event))


def _more(asks_who: bool, ask: Ask) -> tuple[str, ...]:
    """What holds of dogs on the course goes along."""
    answer = ask.voice.knowledge.answers.get("dogs")
    return answer.paragraphs[ask.voice.language][:1] if answer is not None and not asks_who else ()
