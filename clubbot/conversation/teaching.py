"""What one volunteer answered once, clubbot answers next time: drafted from the question and the answer, agreed to by the organiser, known at
once to whoever asks much the same, and forgotten on a word.
"""

from datetime import timedelta

from rapidfuzz import fuzz

from clubbot.conversation.ask import Ask, Served
from clubbot.conversation.asking import label
from clubbot.conversation.phrasing import Voice
from clubbot.model.club import Person
from clubbot.model.deeds import Draft, TeachDeed
from clubbot.model.effects import AskToTeach, ForgetTaught, Record
from clubbot.model.known import Question
from clubbot.model.orders import Forget, Teach
from clubbot.people.duty import organiser
from clubbot.people.roles import may
from clubbot.texting.keywords import bare
from clubbot.texting.numbers import mask_all
from clubbot.texting.parts import as_sent, count
from clubbot.understanding.reading import Reader

CODE_GOOD_FOR = timedelta(minutes=60)  # the organiser did not ask for it, and may be at table
# Of 100: a text this much like what was asked is the same question.
ALIKE = 86
# A question that sounds this much like a topic is a new way of asking for it.
SOUNDS_LIKE = 0.3
MOST_PARTS = 3


def teach(order: Teach, ask: Ask, person: Person, reader: Reader) -> Served:
    """Draft what is to be known, and ask the organiser."""
    voice, knowledge = ask.voice, ask.voice.knowledge
    question = _meant(order, ask, person)
    if question is None or question.answer is None:
        return Served(sentence=voice.say("teach.nothing"))
    parts = count(as_sent(question.answer, shorten_letters=knowledge.club.plain_letters))
    if parts > MOST_PARTS:
        return Served(sentence=voice.say("teach.too_long", parts=parts, most=MOST_PARTS))
    scores = reader.read(question.words, ask.now, question.language).scores
    topic = next((want for want, likely in scores if want in knowledge.answers and likely >= SOUNDS_LIKE), None)
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
        "minutes": CODE_GOOD_FOR // timedelta(minutes=1),
    }
    if topic is None:
        text = theirs.say("teach.asked", answer=deed.answer, **values)
    else:
        text = theirs.say("teach.asked_topic", topic=label(topic, theirs), **values)
    draft = Draft(code=ask.known.code, deed=deed, until=ask.now + CODE_GOOD_FOR)
    effect = AskToTeach(number=head.number, draft=draft, text=text)
    return Served(sentence=voice.say("teach.sent", name=head.first_name), effects=(effect,))


def _meant(order: Teach, ask: Ask, person: Person) -> Question | None:
    if order.number is not None:
        return ask.known.questions.get(order.number)
    mine = [one for one in ask.known.questions.values() if one.answered_by == person.id]
    return max(mine, key=lambda one: one.number, default=None)


def forget(order: Forget, ask: Ask, person: Person) -> Served:
    """What was taught is taken back."""
    if not any(one.number == order.number for one in ask.known.taught):
        return Served(sentence=ask.voice.say("teach.unknown", number=order.number))
    if not may(person, "answer questions"):
        return Served(sentence=ask.voice.say("teach.unknown", number=order.number))
    record = Record(person=person.id, what=f"forgot T{order.number}")
    said = ask.voice.say("teach.forgotten", number=order.number)
    return Served(sentence=said, effects=(ForgetTaught(number=order.number), record))


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
    if one.topic is not None and one.topic in ask.voice.knowledge.answers:
        return Served(sentence=ask.voice.knowledge.answers[one.topic].paragraphs[ask.voice.language][0])
    return Served(sentence=one.answer) if one.answer else None
