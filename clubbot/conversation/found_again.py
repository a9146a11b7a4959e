"""A disc that its owner has back, so that nobody looks for it any more; and where a found disc is to be left."""

from clubbot.conversation.ask import Ask, Served
from clubbot.conversation.helping import quoted
from clubbot.conversation.phrasing import Voice
from clubbot.conversation.reporting import leave_it, shortly_named
from clubbot.course.disc_words import disc_words
from clubbot.model.effects import Effect, SettleQuestion, SettleReport, TellPerson
from clubbot.model.known import DiscNote


def found_again(ask: Ask) -> Served | None:
    """The sender's lost disc is back: its report is closed, and whoever was told of it hears so. None where the text is about no such disc."""
    own, it = ask.said.says("has own disc back"), ask.said.says("found it again")
    alarm = ask.known.alarm is not None and ask.known.alarm.open
    if alarm or not (own or it):
        return None
    lost = _lost(ask)
    if lost is None:
        return Served(sentence=ask.voice.say("report.back")) if own else None
    person = ask.duty.person
    theirs = Voice(ask.voice.knowledge, person.language)
    note = theirs.say("report.back_note", number=lost.number, text=quoted(ask.text))
    effects: list[Effect] = [SettleReport(number=lost.number, person="", text=None)]
    thread = ask.known.thread
    if thread is not None and thread.open and thread.reason == "lost-disc":
        effects.append(SettleQuestion(number=thread.number, person=thread.person))
        person = next((one for one in ask.voice.knowledge.people if one.id == thread.person), person)
    effects.append(TellPerson(person=person.id, number=person.number, text=note, due=ask.duty.resumes))
    where = shortly_named(lost.hole, None, ask.voice)
    place = ask.voice.say("report.place", where=where) if where else ""
    return Served(sentence=ask.voice.say("report.back_closed", number=lost.number, place=place), effects=tuple(effects))


def _lost(ask: Ask) -> DiscNote | None:
    """The sender's lost disc that is meant: the one that looks like what the text tells, else the last."""
    mine = [one for one in ask.known.discs if not one.found and one.reporter == ask.known.sender.number]
    looks = disc_words(ask.text)
    told = [(one, disc_words(one.words)) for one in mine]
    alike = [one for one, words in told if words.colours & looks.colours or words.names & looks.names]
    return next(iter(alike or mine), None)


def where_to_leave(ask: Ask) -> Served | None:
    """Where a found disc goes, where that is asked right after one was told of; None where the club's files do not say."""
    exchange = ask.known.exchange
    found = exchange is not None and any(one.intent == "found-disc" for one in exchange.intents)
    place = leave_it(ask.voice)
    if not found or not place or not ask.said.says("asks where to leave it"):
        return None
    return Served(sentence=place)
