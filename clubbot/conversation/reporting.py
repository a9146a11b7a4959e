"""Reports: damage on the course, discs lost and found. A found disc that fits a lost one is proposed to a person; the two people are put in
touch through the club, and neither sees the other's number.
"""

from collections.abc import Sequence
from dataclasses import replace
from datetime import timedelta

from clubbot.conversation.ask import Ask, Served, asks
from clubbot.conversation.codes import with_code
from clubbot.conversation.handover import handed
from clubbot.conversation.helping import quoted
from clubbot.conversation.live import place
from clubbot.conversation.phrasing import Voice
from clubbot.course.disc_words import disc_words
from clubbot.course.discs import DiscReport, fitting
from clubbot.course.status import loop_of
from clubbot.model.club import Knowledge, Person
from clubbot.model.deeds import MatchDeed
from clubbot.model.effects import Effect, KeepReport, PutInTouch, Record, Relay, TellPerson
from clubbot.model.intents import Report
from clubbot.model.known import DiscNote
from clubbot.model.orders import Match

# How long two people may write to each other through the club.
IN_TOUCH_FOR = timedelta(days=7)
DISCS = frozenset({"lost-disc", "found-disc"})
# Where found discs are left and how long they are kept, in the club's files.
LEAVE, DAYS_KEPT = "lost_and_found.leave", "lost_and_found.days_kept"
_MOST_PROPOSED = 2
_SHOWN = 80


def report(said: Report, ask: Ask) -> Served:
    """Taken down and acknowledged; damage goes to the course keeper, a disc to whoever is on duty, with what it may be. A question about lost
    discs that describes none is answered.
    """
    voice, knowledge = ask.voice, ask.voice.knowledge
    if _only_asks(said, ask):
        return Served(sentence=of_discs(voice))
    person = keeper(knowledge) if said.kind == "hazard" else None
    name = (person or ask.duty.person).first_name
    keep = _kept(said, ask)
    where = shortly_named(keep.hole, keep.part, voice)
    sentence = _thanks(said, where, name, voice)
    if said.kind == "lost-disc" and not said.more and not _is_described(ask):
        sentence = f"{sentence} {voice.say('report.looks')}"
    theirs = Voice(knowledge, (person or ask.duty.person).language)
    named = named_at(keep.number, keep.hole, keep.part, theirs)
    note = handed(ask, said.kind, f"report.note_{said.kind}", to=person, report=named)
    if said.kind != "hazard":  # nobody waits for an answer to it, so it is passed to nobody else
        note = replace(note, next_at=None)
    proposed = _proposed(said, keep.number, ask) if said.kind != "hazard" else []
    return Served(sentence=sentence, effects=(keep, note, *proposed))


def _thanks(said: Report, where: str, name: str, voice: Voice) -> str:
    """What was understood is said back: the hole, or the part of the course."""
    if said.more:
        return voice.say("report.more", name=name)
    if said.kind == "hazard":
        return voice.say("report.hazard_at", name=name, where=where) if where else voice.say("report.hazard", name=name)
    thanks = voice.say(f"report.{said.kind}", name=name, place=voice.say("report.place", where=where) if where else "")
    return f"{thanks} {leave_it(voice)}".strip() if said.kind == "found-disc" else thanks


def of_discs(voice: Voice) -> str:
    """What becomes of discs that are found."""
    return f"{leave_it(voice)} {voice.say('report.of_discs')}".strip()


def leave_it(voice: Voice) -> str:
    """Where a found disc is to be left; "" where the club's files do not say."""
    facts = voice.knowledge.facts[voice.language]
    if LEAVE not in facts:
        return ""
    days = facts.get(DAYS_KEPT)
    return voice.say("report.leave_days" if days else "report.leave", where=facts[LEAVE], days=days or "")


def _kept(said: Report, ask: Ask) -> KeepReport:
    """The report with its number: a new one, or that of the disc of which more is told."""
    before = next((one for one in ask.known.discs if one.reporter == ask.known.sender.number), None)
    if said.more and before is not None and before.found == (said.kind == "found-disc"):
        hole = said.hole if said.hole is not None else before.hole
        return KeepReport(number=before.number, kind=said.kind, hole=hole, words=ask.text, again=True)
    part = said.part if said.hole is None else None
    return KeepReport(number=ask.known.next_report, kind=said.kind, hole=said.hole, words=ask.text, part=part)


def part_named(hole: int | None, part: str | None, voice: Voice) -> str:
    """The part of the course that a report is about; "" where none was said."""
    if hole is not None:
        return place(str(hole), voice)
    return place(part, voice) if part is not None and loop_of(part, voice.knowledge.course) is not None else ""


def shortly_named(hole: int | None, part: str | None, voice: Voice) -> str:
    """The same as it stands by itself: "hole 10"."""
    return voice.say("reports.hole", hole=hole) if hole is not None else part_named(None, part, voice)


def named_at(number: int, hole: int | None, part: str | None, voice: Voice) -> str:
    """A report as the club's people speak of it: "D7, hole 10"."""
    where = shortly_named(hole, part, voice)
    return f"D{number}, {where}" if where else f"D{number}"


def _is_described(ask: Ask) -> bool:
    looks = disc_words(ask.text)
    return bool(looks.colours or looks.kind or looks.names)


def _only_asks(said: Report, ask: Ask) -> bool:
    """Whether a text about lost discs tells of none: "how long do you keep them", "can i keep it"."""
    return said.kind != "hazard" and said.hole is None and asks(ask) and not _is_described(ask)


def keeper(knowledge: Knowledge) -> Person | None:
    """The course keeper."""
    return next((person for person in knowledge.people if "course keeper" in person.roles), None)


def _proposed(said: Report, number: int, ask: Ask) -> list[Effect]:
    """The reports that this one may fit, for a person to judge."""
    person = ask.duty.person
    mine = DiscReport(number, said.hole, disc_words(ask.text), ask.now)
    others = [one for one in ask.known.discs if one.found != (said.kind == "found-disc")]
    fits = fitting(mine, [_as_report(one) for one in others])
    voice = Voice(ask.voice.knowledge, person.language)
    found: list[Effect] = []
    for one in fits[:_MOST_PROPOSED]:
        note = next(other for other in others if other.number == one.number)
        text = voice.say(
            "report.may_fit",
            one=mine.number,
            words=quoted(ask.text)[:100],
            other=note.number,
            other_words=quoted(note.words)[:100],
        )
        found.append(TellPerson(person=person.id, number=person.number, text=text))
    return found


def _as_report(one: DiscNote) -> DiscReport:
    return DiscReport(one.number, one.hole, disc_words(one.words), one.at)


def match(order: Match, ask: Ask) -> Served:
    """A person judges that two reports are one disc: both are shown, and the two people are put in touch on the code."""
    pair = _pair(order.one, order.other, ask)
    if pair is None:
        return Served(sentence=ask.voice.say("report.no_pair"))
    owner, finder = pair
    shown = ask.voice.say("report.to_match", lost=quoted(owner.words)[:_SHOWN], found=quoted(finder.words)[:_SHOWN])
    return with_code(MatchDeed(one=order.one, other=order.other), shown, ask)


def _pair(one: int, other: int, ask: Ask) -> tuple[DiscNote, DiscNote] | None:
    """A lost and a found disc; None where the two are none."""
    noted = [_of(number, ask.known.discs) for number in (one, other)]
    known = [note for note in noted if note is not None]
    lost, found = [note for note in known if not note.found], [note for note in known if note.found]
    return (lost[0], found[0]) if len(lost) == 1 and len(found) == 1 else None


def matched(deed: MatchDeed, ask: Ask, person: Person) -> Served:
    """The code has come."""
    voice, knowledge = ask.voice, ask.voice.knowledge
    pair = _pair(deed.one, deed.other, ask)
    if pair is None:
        return Served(sentence=voice.say("report.no_pair"))
    owner, finder = pair
    effect = PutInTouch(
        lost=owner.number,
        found=finder.number,
        owner=owner.reporter,
        finder=finder.reporter,
        to_owner=Voice(knowledge, owner.language).say("report.to_owner", words=quoted(finder.words)[:120]),
        to_finder=Voice(knowledge, finder.language).say("report.to_finder", words=quoted(owner.words)[:120]),
        until=ask.now + IN_TOUCH_FOR,
    )
    record = Record(person=person.id, what=f"matched disc reports {owner.number} and {finder.number}")
    return Served(sentence=voice.say("report.matched"), effects=(effect, record))


def _of(number: int, notes: Sequence[DiscNote]) -> DiscNote | None:
    return next((one for one in notes if one.number == number), None)


def relay(ask: Ask) -> Served | None:
    """ "Finder, ..." and "owner, ..." go on to the other of two who were put in touch; None where the text is no such thing."""
    found = ask.said.first("to the finder") or ask.said.first("to the owner")
    words = ask.said.after(found) if found is not None else ""
    if found is None or found.first > 0 or not words:
        return None
    to_finder = found.says == "to the finder"
    other = ask.known.finder if to_finder else ask.known.owner
    if other is None:
        return None
    key = "report.from_owner" if to_finder else "report.from_finder"
    text = Voice(ask.voice.knowledge, other.language).say(key, words=quoted(words))
    return Served(sentence=ask.voice.say("report.relayed"), effects=(Relay(number=other.number, text=text),))
