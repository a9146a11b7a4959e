"""What is asked of the event that is named or was just spoken of, beside its fee and hours: who runs it, whether the dog may come."""

from clubbot.conversation.ask import Ask, Served
from clubbot.conversation.occasions import named
from clubbot.conversation.phrasing import capital
from clubbot.events.choosing import day_of
from clubbot.events.days import EventDay
from clubbot.model.club import EventRule
from clubbot.model.dialogue import ANSWERED_WITHIN
from clubbot.model.effects import SpeakOf
from clubbot.model.intents import AskTopic
from clubbot.model.rsvps import DayId
from clubbot.people.duty import who_runs


def who_runs_it(ask: Ask) -> Served | None:
    """Who runs the event; None where that is not asked, or no event is meant."""
    found = _meant(ask) if ask.said.says("asks who runs it") else None
    if found is None:
        return None
    rule, on, day = found
    knowledge = ask.voice.knowledge
    person = who_runs(rule, knowledge)
    role = rule.run_by if rule.run_by in person.roles else person.roles[0]
    event = named(day, ask.voice) if day is not None else rule.name.to(ask.voice.language)
    said = ask.voice.say("side.runs", event=event, name=person.first_name, role=ask.voice.roles([role]))
    effects = (SpeakOf(on=on, intent=rule.topic[:20]),) if on is not None and day is not None else ()
    return Served(sentence=said, effects=effects, event=rule.id, intent=AskTopic("who-runs"))


def dogs_there(topic: str, ask: Ask) -> Served | None:
    """Whether dogs may come to the event, with what holds of them on the course; None where its facts do not tell, or no event is meant."""
    found = _meant(ask) if topic == "dogs" else None
    if found is None or found[0].dogs is None:
        return None
    rule, _, day = found
    event = named(day, ask.voice) if day is not None else rule.name.to(ask.voice.language)
    said = ask.voice.say("side.dogs" if rule.dogs else "side.no_dogs", event=capital(event))
    answer = ask.voice.knowledge.answers.get(topic)
    return Served(sentence=said, extras=answer.paragraphs[ask.voice.language][:1] if answer is not None else ())


def _meant(ask: Ask) -> tuple[EventRule, DayId | None, EventDay | None] | None:
    """The event that the text names, else the one that was just spoken of, and its day where that one is meant."""
    talk, knowledge = ask.known.talk, ask.voice.knowledge
    on = talk.on if talk is not None and ask.now - talk.at <= ANSWERED_WITHIN else None
    by_name = ask.reading.answer.event if ask.reading is not None else None
    wanted = by_name or (on.event if on is not None else None)
    rule = next((one for one in knowledge.events if one.id == wanted), None)
    if rule is None:
        return None
    day = day_of(on, knowledge) if on is not None and on.event == rule.id else None
    return rule, on, day
