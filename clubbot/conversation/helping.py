"""What the club's people do with the questions that were passed to them: answer by simply replying, pass on, settle, swap turns."""

from bisect import bisect_left
from dataclasses import replace
from datetime import datetime, timedelta

from clubbot.conversation.ask import Ask, Served
from clubbot.conversation.codes import with_code
from clubbot.conversation.phrasing import Voice
from clubbot.model.club import Knowledge, Person
from clubbot.model.deeds import DoneDeed
from clubbot.model.effects import (
    AnswerQuestion,
    PassQuestion,
    SettleQuestion,
    TellPerson,
)
from clubbot.model.known import Question
from clubbot.model.orders import Done, PassOn
from clubbot.people.duty import next_after
from clubbot.people.roles import may
from clubbot.texting.numbers import mask_all

_MOST_FIGURES = 6
_BEHIND_A_NUMBER = " \n:,.-"
_MOST_LISTED = 4
_LONGEST_QUOTE = 280
_SHORTEST_QUOTE = 20
_SHOWN = 100


def numbered(ask: Ask, person: Person) -> Served | None:
    """An answer by number; None where the text begins with none."""
    found = _number_and_words(ask.text)
    if found is None:
        return None
    number, words = found
    if not may(person, "answer questions"):
        return Served(sentence=ask.voice.say("handover.unknown", number=number))
    question = ask.known.questions.get(int(number))
    if question is None:
        return Served(sentence=ask.voice.say("handover.unknown", number=number))
    if not words:
        return Served(sentence=ask.voice.say("handover.empty", number=question.number))
    return _answered(question, words, ask, person)


def is_numbered(text: str) -> bool:
    """Whether a text begins with the number of a question."""
    return _number_and_words(text) is not None


def _number_and_words(text: str) -> tuple[str, str] | None:
    """ "Q12 yes, bring a jacket": the number of a question as it was written, and the words behind it."""
    letter, rest = text.lstrip()[:1], text.lstrip()[1:].lstrip().removeprefix("#").lstrip()
    words = rest.lstrip("0123456789")
    number = rest[: len(rest) - len(words)]
    if (
        letter not in {"q", "Q"}
        or not 1 <= len(number) <= _MOST_FIGURES
        or words.startswith("_")
        or words[:1].isalnum()
    ):
        return None
    return number, words.lstrip(_BEHIND_A_NUMBER).strip()


def open_with(ask: Ask, person: Person) -> list[Question]:
    """The open questions that this person has been told of."""
    return [one for one in ask.known.questions.values() if one.answered_by is None and person.id in one.told]


def plain_reply(ask: Ask, person: Person) -> Served | None:
    """An answer without a number: it is for the only open question; with several the number is asked for."""
    mine = open_with(ask, person)
    if not mine:
        return None
    if len(mine) == 1:
        return _answered(mine[0], ask.text.strip(), ask, person)
    numbers = ask.voice.joined([f"Q{one.number}" for one in mine[:_MOST_LISTED]])
    return Served(sentence=ask.voice.say("handover.which", numbers=numbers, first=mine[0].number))


def taken_on(ask: Ask, person: Person) -> Served | None:
    """ "I've got it" is no answer: whoever waits hears nothing yet, and the question stays with the person. None where none is open."""
    mine = open_with(ask, person)
    if not mine:
        return None
    question = mine[0]
    told = tuple(
        replace(one, text=_taken_on_note(question, one, ask, person)) for one in _told_settled(question, ask, person)
    )
    return Served(sentence=ask.voice.say("handover.taken_on", number=question.number), effects=told)


def _taken_on_note(question: Question, note: TellPerson, ask: Ask, person: Person) -> str:
    language = ask.voice.knowledge.person(note.person).language
    theirs = Voice(ask.voice.knowledge, language)
    return theirs.say("handover.taken_on_note", number=question.number, name=person.first_name)


def order_or_answer(ask: Ask, person: Person) -> Served:
    """A text that looks like something to do goes to nobody: which of the two it is, is asked."""
    mine = open_with(ask, person)
    names = {one.asker_name for one in mine}
    name = names.pop() if len(names) == 1 else None
    asker = name or ask.voice.say("handover.the_asker")
    return Served(sentence=ask.voice.say("handover.or_order", asker=asker, first=mine[0].number))


def or_tell(ask: Ask, person: Person) -> str:
    """How the same words go to the asker instead."""
    question = open_with(ask, person)[0]
    asker = question.asker_name or ask.voice.say("handover.the_asker")
    return ask.voice.say("handover.or_tell", asker=asker, number=question.number)


def _answered(question: Question, words: str, ask: Ask, person: Person) -> Served:
    knowledge, voice = ask.voice.knowledge, ask.voice
    if question.answered_by is not None and question.answered_by != person.id:
        names = {one.id: one.first_name for one in knowledge.people}
        name = names.get(question.answered_by, question.answered_by)
        return Served(sentence=voice.say("handover.taken", number=question.number, name=name))
    if question.opted_out and question.reason != "danger":
        settle = SettleQuestion(number=question.number, person=person.id)
        return Served(sentence=voice.say("handover.opted_out", number=question.number), effects=(settle,))
    said = Voice(knowledge, question.language).say("handover.answer", name=person.first_name, text=words)
    answer = AnswerQuestion(number=question.number, person=person.id, text=said, words=words)
    told = _told_settled(question, ask, person) if question.answered_by is None else ()
    return Served(sentence=_sent(words, question, voice), effects=(answer, *told))


def _sent(words: str, question: Question, voice: Voice) -> str:
    """What the helper's phone is told: to whom it went and the very words, or how they begin, so that a forged answer is seen at once."""
    asker = question.asker_name or voice.say("handover.the_asker")
    said = " ".join(words.split())

    def quoting(quote: str) -> str:
        return voice.say("handover.answered", asker=asker, text=quote)

    def too_long(cut: int) -> bool:
        return not voice.fits(quoting(f"{said[:cut].rstrip()} ..."))

    if voice.fits(quoting(said)):
        return quoting(said)
    cuts = range(_SHORTEST_QUOTE, max(len(said), _SHORTEST_QUOTE + 1), _SHORTEST_QUOTE)
    longest = max(0, bisect_left(cuts, True, key=too_long) - 1)
    return quoting(f"{said[: cuts[longest]].rstrip()} ...")


def _told_settled(question: Question, ask: Ask, person: Person) -> tuple[TellPerson, ...]:
    """Everybody else who has the question hears that it is dealt with; at night in the morning."""
    knowledge = ask.voice.knowledge
    here = {one.id: one for one in knowledge.people}
    others = [here[one] for one in question.told if one != person.id and one in here]
    return tuple(
        TellPerson(
            person=other.id,
            number=other.number,
            text=Voice(knowledge, other.language).say(
                "handover.taken_note", number=question.number, name=person.first_name
            ),
            due=ask.duty.resumes,
        )
        for other in others
    )


def pass_on(order: PassOn, ask: Ask, person: Person) -> Served:
    """The question goes to the one named, or to the next on the roster."""
    question = _meant(order.number, ask, person)
    if isinstance(question, Served):
        return question
    knowledge = ask.voice.knowledge
    taker = knowledge.person(order.to) if order.to else next_after(knowledge, (*question.told, person.id), ask.now)
    if taker is None or taker.id == person.id:
        return Served(sentence=ask.voice.say("handover.nobody_left"))
    due = None if question.reason == "danger" else ask.duty.resumes
    later = (due or ask.now) + timedelta(minutes=knowledge.club.answer_within_minutes)
    effect = replace(passed(question, taker, knowledge, later), due=due)
    return Served(
        sentence=ask.voice.say("handover.passed", number=question.number, name=taker.first_name), effects=(effect,)
    )


def passed(question: Question, taker: Person, knowledge: Knowledge, next_at: datetime | None) -> PassQuestion:
    """The note to one more person, in that person's language, without the asker's number."""
    key = "danger.note" if question.reason == "danger" else "handover.note"
    note = Voice(knowledge, taker.language).say(key, number=question.number, text=quoted(question.words))
    return PassQuestion(number=question.number, person=taker.id, phone=taker.number, note=note, next_at=next_at)


def done(order: Done, ask: Ask, person: Person) -> Served:
    """Settled without a further word, on the code: nobody looks at it again."""
    question = _meant(order.number, ask, person)
    if isinstance(question, Served):
        return question
    shown = ask.voice.say("handover.to_settle", number=question.number, text=quoted(question.words)[:_SHOWN])
    return with_code(DoneDeed(number=question.number), shown, ask)


def settled(deed: DoneDeed, ask: Ask, person: Person) -> Served:
    """The code has come; somebody may have answered meanwhile."""
    question = _meant(deed.number, ask, person)
    if isinstance(question, Served):
        return question
    settle = SettleQuestion(number=question.number, person=person.id)
    told = _told_settled(question, ask, person)
    return Served(sentence=ask.voice.say("handover.settled", number=question.number), effects=(settle, *told))


def _meant(number: int | None, ask: Ask, person: Person) -> Question | Served:
    if number is not None:
        found = ask.known.questions.get(number)
        if found is None or found.answered_by is not None:
            return Served(sentence=ask.voice.say("handover.unknown", number=number))
        return found
    mine = open_with(ask, person)
    if len(mine) == 1:
        return mine[0]
    if not mine:
        return Served(sentence=ask.voice.say("handover.none_open"))
    numbers = ask.voice.joined([f"Q{one.number}" for one in mine[:_MOST_LISTED]])
    return Served(sentence=ask.voice.say("handover.which", numbers=numbers, first=mine[0].number))


def quoted(text: str) -> str:
    """The asker's words as a volunteer sees them: on one line, no phone number, cut where they run on."""
    words = " ".join(mask_all(text).split())
    return words if len(words) <= _LONGEST_QUOTE else f"{words[: _LONGEST_QUOTE - 4].rstrip()} ..."


def cut(text: str, longest: int) -> str:
    """The same in so many letters at most."""
    words = quoted(text)
    return words if len(words) <= longest else f"{words[: longest - 4].rstrip()} ..."
