"""A narrow question about a topic: the passage that is written for it, and no text again that was given just now. What more is asked than is
written is said to be so, and a volunteer is offered.
"""

from clubbot.conversation.ask import Ask, Served
from clubbot.conversation.following import tells
from clubbot.conversation.handover import for_a_person
from clubbot.conversation.not_twice import fresh, told_lately
from clubbot.model.choices import Choice
from clubbot.model.club import Answer
from clubbot.model.dialogue import OPEN_FOR
from clubbot.model.effects import OpenChoice
from clubbot.model.exchange import Spoken
from clubbot.texting.gaps import sentences_of
from clubbot.understanding import thresholds
from clubbot.understanding.leaning import Leaning

# The one choice of our offer to ask a volunteer.
_A_PERSON = (Choice("human"),)
# Said as a whole however often: its first sentence is the emergency number.
_ALWAYS_WHOLE = frozenset({"safety"})


def in_detail(answer: Answer, ask: Ask) -> Served | None:
    """What a text asks of a topic beyond its general answer; None where that is what is due."""
    language, first = ask.voice.language, answer.paragraphs[ask.voice.language][0]
    going_on = told_lately(first, ask.known)
    if ask.reading is None or (ask.several and not going_on):
        return None
    found = ask.reading.detail(answer.topic, language, going_on=going_on)
    if found is not None:
        point, sure = answer.points[language][found.place], found.fit >= thresholds.DETAIL_SURE
        if not point.said and found.beyond and (going_on or found.fit >= thresholds.DETAIL_PASSED_ON):
            return _passed_on(answer, ask)
        if point.said and (sure or not ask.several) and not told_lately(point.said, ask.known):
            return Served(sentence=point.said, extras=() if sure or going_on else (first,))
    if not going_on or not ask.alone or ask.several or answer.topic in _ALWAYS_WHOLE:
        return None
    return _after_the_answer(answer, ask)


def _after_the_answer(answer: Answer, ask: Ask) -> Served | None:
    """What is said where the answer has just been given and no passage fits: the sentences of it that have what is asked, or that it is all.
    The answer as a whole where it is asked for again in general, where it tells what a bare question asks, and of an event, whose sentences
    hang together.
    """
    language, reading = ask.voice.language, ask.reading
    if reading is None or (reading.lean is not None and _is_told(reading.lean, answer)):
        return None
    if not reading.says_more(answer.topic, language):
        return None
    written = [" ".join(two) for paragraph in answer.paragraphs[language] for two in _in_twos(paragraph)]
    place = reading.told_in(answer.topic, written, language)
    if place is None or written[place] in ask.known.said_lately[:1]:
        return _all_there_is(answer, ask)
    of_event = any(event.topic == answer.topic for event in ask.voice.knowledge.events)
    return None if of_event else Served(sentence=written[place])


def _in_twos(paragraph: str) -> list[tuple[str, ...]]:
    """Each sentence with the one behind it, which often goes on with it."""
    said = list(sentences_of(paragraph))
    return [tuple(said[place : place + 2]) for place in range(max(1, len(said) - 1))]


def _is_told(lean: Leaning, answer: Answer) -> bool:
    """Whether the answer tells what a bare question asks."""
    return lean.side is not None and tells(lean.side, Spoken(intent=answer.topic))


def _all_there_is(answer: Answer, ask: Ask) -> Served:
    """What of the answer was left out, and that nothing more is written, with the offer to ask a volunteer."""
    said = fresh(ask.voice, ask.known, "detail.all", topic=answer.label.to(ask.voice.language))
    language = ask.voice.language
    untold = " ".join(one for one in answer.paragraphs[language] if not told_lately(one, ask.known))
    if untold and not ask.voice.fits(f"{untold} {said}"):
        return Served(sentence=untold)
    offered = OpenChoice(choices=_A_PERSON, about=ask.text, language=language, until=ask.now + OPEN_FOR, again=True)
    return Served(sentence=f"{untold} {said}".strip(), effects=(offered,))


def _passed_on(answer: Answer, ask: Ask) -> Served:
    """A person is asked what is not written of a topic that was understood."""
    passed = for_a_person(ask, reason=answer.topic)
    return Served(sentence=passed.sentence, effects=passed.effects)
