"""What the club has written no answer to: a person is asked, the topic is named in the digest, and where three people have asked much the same
the organiser is told once how to write it up.
"""

from clubbot.conversation.ask import Ask, Served
from clubbot.conversation.asking import label
from clubbot.conversation.handover import for_a_person
from clubbot.conversation.helping import quoted
from clubbot.conversation.occasions import quiet_hours
from clubbot.conversation.phrasing import Voice
from clubbot.model.choices import Choice
from clubbot.model.club import Knowledge
from clubbot.model.effects import QUESTION_NUMBER, HandOver, ProposeWriting
from clubbot.model.intent_kinds import ACTS
from clubbot.model.intents import intent_id
from clubbot.people.duty import organiser
from clubbot.understanding.once import Reading

# What a rule says of a text about something that a club seldom has written; the topic's name follows.
_LACKS = "lacks "
# Why a question goes to a person that an answer could have served, beside the topics themselves.
_NO_ANSWER = frozenset({"not understood", "outside"})


def not_written(ask: Ask, reading: Reading) -> Served | None:
    """A question about something that the club's answers do not have; None where the text asks for something else, or they do."""
    topic = next((one for one in _topics(ask) if one not in ask.voice.knowledge.answers), None)
    if topic is None or len(reading.intents) > 1 or any(intent_id(intent) in ACTS for intent in reading.intents):
        return None
    passed = for_a_person(ask, reason=topic)
    first = _paying(topic, ask)
    if first is None:
        return passed
    return Served(sentence=f"{first} {passed.sentence}".strip(), effects=passed.effects, served=bool(reading.intents))


def _topics(ask: Ask) -> list[str]:
    return [one.says.removeprefix(_LACKS) for one in ask.said.matches if one.says.startswith(_LACKS)]


def _paying(topic: str, ask: Ask) -> str | None:
    """How one can pay, before it is asked whether that goes otherwise, too."""
    answer = ask.voice.knowledge.answers.get("pay") if topic == "pay-by" else None
    return answer.paragraphs[ask.voice.language][0] if answer and answer.paragraphs[ask.voice.language] else None


def topic_of(reason: str, knowledge: Knowledge) -> str | None:
    """The topic that a question was passed on for; None where it was for another reason."""
    return (
        reason
        if reason in knowledge.answers or Voice(knowledge, knowledge.club.languages[0]).has(f"lacking.{reason}")
        else None
    )


def named(topic: str, voice: Voice) -> str:
    """A topic as it is called."""
    return voice.say(f"lacking.{topic}") if voice.has(f"lacking.{topic}") else label(Choice(topic), voice)


def proposed(handed: HandOver, ask: Ask) -> tuple[ProposeWriting, ...]:
    """The text that the organiser gets where this is the third person to ask it."""
    knowledge = ask.voice.knowledge
    topic = topic_of(handed.reason, knowledge)
    if topic is None and handed.reason not in _NO_ANSWER:
        return ()
    head = organiser(knowledge)
    theirs, quiet = Voice(knowledge, head.language), quiet_hours(knowledge)
    values = {"number": QUESTION_NUMBER, "text": quoted(ask.text)}
    if topic is None:
        said = theirs.say("lacking.proposed", **values)
    else:
        said = theirs.say("lacking.proposed_topic", topic=named(topic, theirs), file=topic, **values)
    due = quiet.end_after(ask.now) if quiet.at(ask.now) else None
    return (ProposeWriting(topic=topic, number=head.number, text=said, due=due),)
