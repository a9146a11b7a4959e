"""What one volunteer answered once, clubbot answers next time: drafted from the question and the answer, agreed to by the organiser, known at
once to whoever asks much the same, and forgotten on a word.
"""

from rapidfuzz import fuzz

from clubbot.conversation.ask import Ask, Served
from clubbot.conversation.asking import label
from clubbot.conversation.codes import good_for, propose, with_code
from clubbot.conversation.helping import quoted
from clubbot.conversation.phrasing import Voice
from clubbot.model.choices import Choice
from clubbot.model.club import Person
from clubbot.model.deeds import ForgetDeed, TeachDeed
from clubbot.model.effects import ForgetTaught, KeepTaught, Record
from clubbot.model.known import Question
from clubbot.model.orders import Forget, Teach
from clubbot.people.duty import organiser
from clubbot.texting.keywords import bare
from clubbot.texting.numbers import mask_all
from clubbot.texting.parts import as_sent, count
from clubbot.understanding.once import Reading

# Of 100: a text this much like what was asked is the same question.
ALIKE = 86
# A question that sounds this much like a topic is a new way of asking for it.
SOUNDS_LIKE = 0.3
MOST_PARTS = 3
_SHOWN = 100


def teach(order: Teach, ask: Ask, person: Person, reading: Reading) -> Served:
    """Draft what is to be known, and ask the organiser."""
    voice, knowledge = ask.voice, ask.voice.knowledge
    question = _meant(order, ask, person)
    if question is None or question.answer is None:
        return Served(sentence=voice.say("teach.nothing"))
    parts = count(as_sent(question.answer, shorten_letters=knowledge.club.plain_letters))
    if parts > MOST_PARTS:
        return Served(sentence=voice.say("teach.too_long", parts=parts, most=MOST_PARTS))
    scores = reading.anew(question.words, question.language).scores
    topic = next((intent for intent, likely in scores if intent in knowledge.answers and likely >= SOUNDS_LIKE), None)
    deed = TeachDeed(
        topic=topic,
        asked=" ".join(mask_all(question.words).split()),
        language=question.language,
        answer=None if topic else mask_all(question.answer),
        taught_by=person.id,
    )
    head = organiser(knowledge)
    theirs = Voice(knowledge, head.language)
    values = {
        "name": person.first_name,
        "asked": deed.asked,
        "code": ask.known.code,
        "minutes": int(good_for(deed).total_seconds()) // 60,
    }
    if topic is None:
        text = theirs.say("teach.asked", answer=deed.answer, **values)
    else:
        text = theirs.say("teach.asked_topic", topic=label(Choice(topic), theirs), **values)
    asked = propose(deed, head, text, ask)
    if isinstance(asked, Served):
        return asked
    return Served(sentence=voice.say("teach.sent", name=head.first_name), effects=(asked,))


def _meant(order: Teach, ask: Ask, person: Person) -> Question | None:
    if order.number is not None:
        return ask.known.questions.get(order.number)
    mine = [one for one in ask.known.questions.values() if one.answered_by == person.id]
    return max(mine, key=lambda one: one.number, default=None)


def learnt(deed: TeachDeed, ask: Ask, person: Person) -> Served:
    """The code has come."""
    record = Record(person=person.id, what=f"taught: {deed.asked}")
    number = 1 + max((one.number for one in ask.known.taught), default=0)
    return Served(sentence=ask.voice.say("teach.learnt", number=number), effects=(KeepTaught(deed=deed), record))


def forget(order: Forget, ask: Ask) -> Served:
    """What was taught is shown, and taken back on the code."""
    known = next((one for one in ask.known.taught if one.number == order.number), None)
    if known is None:
        return Served(sentence=ask.voice.say("teach.unknown", number=order.number))
    shown = ask.voice.say("teach.to_forget", number=order.number, asked=quoted(known.asked)[:_SHOWN])
    return with_code(ForgetDeed(number=order.number), shown, ask)


def forgotten(deed: ForgetDeed, ask: Ask, person: Person) -> Served:
    """The code has come."""
    if not any(one.number == deed.number for one in ask.known.taught):
        return Served(sentence=ask.voice.say("teach.unknown", number=deed.number))
    record = Record(person=person.id, what=f"forgot T{deed.number}")
    said = ask.voice.say("teach.forgotten", number=deed.number)
    return Served(sentence=said, effects=(ForgetTaught(number=deed.number), record))


def as_taught(ask: Ask) -> Served | None:
    """The answer to a text that is much like one that was taught; None where none is."""
    words = bare(ask.text)
    alike = [
        (fuzz.token_sort_ratio(words, bare(one.asked)), one)
        for one in ask.known.taught
        if one.language == ask.voice.language
    ]
    close = [(near, one) for near, one in alike if near >= ALIKE or fuzz.token_set_ratio(words, bare(one.asked)) == 100]
    if not close:
        return None
    _, one = max(close, key=lambda pair: pair[0])
    answer = ask.voice.knowledge.answers.get(one.topic or "")
    if answer is not None and answer.paragraphs[ask.voice.language]:
        return Served(sentence=answer.paragraphs[ask.voice.language][0])
    return Served(sentence=one.answer) if one.answer else None
