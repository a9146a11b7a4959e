"""A narrow question about a topic: the passage that is written for it, and no text again that was given just now. What more is asked than is
written is said to be so, and a volunteer is offered.
"""

from clubbot.conversation.ask import Ask, Served
from clubbot.conversation.handover import for_a_person
from clubbot.conversation.not_twice import told_lately
from clubbot.model.choices import Choice
from clubbot.model.club import Answer
from clubbot.model.dialogue import OPEN_FOR
from clubbot.model.effects import OpenChoice
from clubbot.texting.gaps import sentences_of
from clubbot.understanding import thresholds

# The one choice of our offer to ask a volunteer.
_A_PERSON = (Choice("human"),)


def in_detail(answer: Answer, ask: Ask) -> Served | None:
    """What a text asks of a topic beyond its general answer; None where that is what is due."""
    language, first = ask.voice.language, answer.paragraphs[ask.voice.language][0]
    if ask.reading is None:
        return None
    going_on = told_lately(first, ask.known)
    found = ask.reading.detail(answer.topic, language, going_on=going_on)
    point = answer.points[language][found.place] if found is not None else None
    sure = going_on or (found is not None and found.fit >= thresholds.DETAIL_SURE)
    if point is not None and not point.said and sure:
        return _passed_on(answer, ask)
    if point is not None and point.said and not told_lately(point.said, ask.known):
        return Served(sentence=point.said, extras=() if sure else (first,))
    if not going_on or ask.beside:
        return None
    return _told_again(answer, ask) or _all_there_is(answer, ask)


def _told_again(answer: Answer, ask: Ask) -> Served | None:
    """The one sentence of the answer that has what is asked; not where it was our last text."""
    language = ask.voice.language
    written = [one for paragraph in answer.paragraphs[language] for one in sentences_of(paragraph)]
    place = ask.reading.told_in(written, language) if ask.reading is not None else None
    last = ask.known.said_lately[:1]
    return None if place is None or written[place] in last else Served(sentence=written[place])


def _all_there_is(answer: Answer, ask: Ask) -> Served:
    """That nothing more is written, and the offer to ask a volunteer; where that was offered already, one is asked."""
    said = ask.voice.say("detail.all", topic=answer.label.to(ask.voice.language))
    if told_lately(said, ask.known):
        return _passed_on(answer, ask)
    offered = OpenChoice(
        choices=_A_PERSON, about=ask.text, language=ask.voice.language, until=ask.now + OPEN_FOR, again=True
    )
    return Served(sentence=said, effects=(offered,))


def _passed_on(answer: Answer, ask: Ask) -> Served:
    """A person is asked what is not written of a topic that was understood."""
    passed = for_a_person(ask, reason=answer.topic)
    return Served(sentence=passed.sentence, effects=passed.effects)
