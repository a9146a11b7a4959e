"""The numbered list of what was reported: shown to the club's people, closed by the course keeper or the organiser, opened again by them within
a day. Whoever reported it hears once that it is dealt with.
"""

from clubbot.conversation.ask import Ask, Served
from clubbot.conversation.closing import with_unused
from clubbot.conversation.handover import handed
from clubbot.conversation.helping import cut
from clubbot.conversation.live import place
from clubbot.conversation.occasions import quiet_hours
from clubbot.conversation.phrasing import Voice, capital
from clubbot.conversation.reporting import keeper, named_at, part_named
from clubbot.course.status import WHOLE
from clubbot.model.club import Person
from clubbot.model.effects import Effect, OpenReport, Record, SettleQuestion, SettleReport
from clubbot.model.known import ReportNote
from clubbot.model.seen import DoneReport, ListReports, UndoneReport
from clubbot.people.duty import organiser, who_takes_orders

_MOST_LISTED = 4
_LONGEST_LISTED = 40
_LONGEST_SHOWN = 60


def listed(order: ListReports, ask: Ask) -> Served:
    """What is open, a few at a time: damage first, then discs, each by number."""
    voice = ask.voice
    still = sorted(open_reports(ask), key=lambda one: (one.kind != "hazard", one.number))
    end = order.page * _MOST_LISTED
    shown, rest = still[end - _MOST_LISTED : end], still[end:]
    if not shown:
        return Served(sentence=voice.say("reports.no_more" if still else "reports.none"))
    said = voice.say("reports.list", count=len(still), list="; ".join(_line(one, ask) for one in shown))
    if rest:
        said = f"{said} {voice.say('reports.rest', count=len(rest), page=order.page + 1)}"
    return Served(sentence=said)


def open_reports(ask: Ask) -> list[ReportNote]:
    """The reports that nobody has dealt with."""
    return [one for one in ask.known.reports if one.done_at is None]


def _line(one: ReportNote, ask: Ask) -> str:
    voice = ask.voice
    return voice.say(
        f"reports.{one.kind}",
        report=named_at(one.number, one.hole, one.part, voice),
        words=cut(one.words, _LONGEST_LISTED),
        when=voice.moment(one.at, ask.now),
    )


def done(order: DoneReport, ask: Ask, person: Person) -> Served:
    """Reports are dealt with: said back with their words, their reporters thanked, what was asked with them settled."""
    voice = ask.voice
    found = [_of(number, ask) for number in order.numbers]
    closing = [one for one in found if one is not None and one.done_at is None]
    said = [_said_back("reports.done", one, voice) for one in closing]
    said += [
        _not_closed(number, one, ask) for number, one in zip(order.numbers, found, strict=True) if one not in closing
    ]
    if closing:
        said.append(voice.say("reports.undo", number=closing[0].number))
    effects: list[Effect] = []
    for one in closing:
        effects += _settled(one, ask, person)
    return Served(sentence=with_unused(" ".join(said), order.unused, voice), effects=tuple(effects))


def _settled(one: ReportNote, ask: Ask, person: Person) -> list[Effect]:
    quiet = quiet_hours(ask.voice.knowledge)
    theirs = Voice(ask.voice.knowledge, one.language)
    where = part_named(one.hole, one.part, theirs)
    key = "reports.thanks_disc" if one.kind != "hazard" else "reports.thanks_at" if where else "reports.thanks"
    text = theirs.say(key, where=capital(where), words=cut(one.words, _LONGEST_SHOWN))
    own = one.reporter == person.number
    due = quiet.end_after(ask.now) if quiet.at(ask.now) else None
    effects: list[Effect] = [
        SettleReport(number=one.number, person=person.id, text=None if own else text, due=due),
        Record(person=person.id, what=f"report {one.number} is dealt with"),
    ]
    question = ask.known.questions.get(one.question or 0)
    if question is not None and question.answered_by is None:
        effects.append(SettleQuestion(number=question.number, person=person.id))
    return effects


def undone(order: UndoneReport, ask: Ask, person: Person) -> Served:
    """Reports that were said to be dealt with are open again; a reporter who has been thanked hears so."""
    voice = ask.voice
    found = [_of(number, ask) for number in order.numbers]
    opening = [one for one in found if one is not None and one.done_at is not None]
    said = [_said_back("reports.undone", one, voice) for one in opening]
    said += [
        _not_opened(number, one, ask) for number, one in zip(order.numbers, found, strict=True) if one not in opening
    ]
    effects: list[Effect] = []
    for one in opening:
        effects.append(opened_again(one, ask))
        effects.append(Record(person=person.id, what=f"report {one.number} is open again"))
    return Served(sentence=with_unused(" ".join(said), order.unused, voice), effects=tuple(effects))


def opened_again(one: ReportNote, ask: Ask) -> OpenReport:
    """A report is open again, and its reporter hears so where they were told otherwise."""
    quiet = quiet_hours(ask.voice.knowledge)
    theirs = Voice(ask.voice.knowledge, one.language)
    where = part_named(one.hole, one.part, theirs)
    key = "reports.still_at" if where else "reports.still"
    text = theirs.say(key, where=where, words=cut(one.words, _LONGEST_SHOWN)) if one.kind == "hazard" else None
    return OpenReport(number=one.number, text=text, due=quiet.end_after(ask.now) if quiet.at(ask.now) else None)


def _said_back(key: str, one: ReportNote, voice: Voice) -> str:
    report = named_at(one.number, one.hole, one.part, voice)
    return voice.say(key, report=report, words=cut(one.words, _LONGEST_SHOWN))


def _not_closed(number: int, one: ReportNote | None, ask: Ask) -> str:
    if one is None:
        return ask.voice.say("reports.unknown", number=number)
    names = {other.id: other.first_name for other in ask.voice.knowledge.people}
    name = names.get(one.done_by or "", one.done_by or "")
    return ask.voice.say("reports.done_already", number=number, name=name)


def _not_opened(number: int, one: ReportNote | None, ask: Ask) -> str:
    return ask.voice.say("reports.unknown" if one is None else "reports.open_still", number=number)


def _of(number: int, ask: Ask) -> ReportNote | None:
    return next((one for one in ask.known.reports if one.number == number), None)


def asks_to_shut(ask: Ask) -> Served | None:
    """Whoever has just reported damage asks whether it will be closed: that is for the course keeper, with the report's number. None where
    nobody asks that.
    """
    mine, voice = ask.known.my_report, ask.voice
    if mine is None or not ask.said.says("asks to shut"):
        return None
    knowledge = voice.knowledge
    person = keeper(knowledge) or who_takes_orders(knowledge, organiser(knowledge))
    theirs = Voice(knowledge, person.language)
    thread = ask.known.thread
    again = thread.number if thread is not None and thread.open and thread.number == mine.question else None
    named = named_at(mine.number, mine.hole, mine.part, theirs)
    note = handed(ask, "hazard", "reports.shut_note", to=person, again=again, report=named)
    what = part_named(mine.hole, mine.part, voice) or place(WHOLE, voice)
    key = "reports.shut_later" if note.due is not None else "reports.shut"
    resumes = voice.moment(note.due, ask.now) if note.due is not None else ""
    said = voice.say(key, name=person.first_name, what=what, number=mine.number, resumes=resumes)
    return Served(sentence=said, effects=(note,))
