"""Sample conversations: plain text that a club member can read and write, and that runs as a test.

A title on the first line, then any words of introduction.

Clock: Monday 7 June 2027 12:00          local time of the first text
Phone: +1 902 555 0142                   whose texts are the lines with a bare ">"
Phone Kim: +1 902 555 0143               one more person, by name; the club's own people are known by first name
Closed: marsh until 8 June 2027 12:00, flooded / inondation

> what the person texts                  a line that begins with two blanks continues the one before
< what comes back
Sam < what somebody else gets
Sam > what somebody else texts
(no answer)                              where nothing comes back
Later: 20 minutes                        the clock moves on, and what falls due meanwhile comes; so does a further Clock:
Called off: tuesday-league 9 June 2027, thunder / orage
Moved: tuesday-league 9 June 2027 to 10 June 2027 18:30, wind / vent
Elsewhere: tuesday-league 9 June 2027, the ball field / le terrain de balle

Then: introduced, language en, 1 question open
"""

import re
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

from dateutil import parser as date_parser
from sqlalchemy import Connection, func, select

from clubbot.course.status import holes_of
from clubbot.files import read_written, why
from clubbot.handbook.book import Handbook
from clubbot.model.club import Closure, EventChange
from clubbot.model.errors import TranscriptFault
from clubbot.model.messages import Said
from clubbot.rehearsal import Heard, Rehearsal
from clubbot.store.dialogues import read_dialogue
from clubbot.store.tables import (
    attendance,
    consents,
    inbox,
    people,
    questions,
    reminders,
    rsvps,
    subscriptions,
)
from clubbot.texting.numbers import to_e164

_SETTING = re.compile(
    r"^(?P<key>Clock|Phone|Closed|Later|Then|Called off|Moved|Elsewhere)(?: (?P<who>[A-ZÀ-ÖØ-Þ]\w*))?: *(?P<value>.*)$"
)
_LINE = re.compile(r"^(?:(?P<who>[A-ZÀ-ÖØ-Þ]\w*) )?(?P<way>[<>])(?: (?P<text>.*))?$")
_CLOSED = re.compile(r"^(?P<what>\S+)(?: until (?P<until>[^,]+))?, *(?P<en>[^/]+?) */ *(?P<fr>.+)$")
_CHANGED = re.compile(
    r"^(?P<event>[a-z-]+) (?P<day>\d{1,2} [A-Z][a-z]+ \d{4})(?: to (?P<to>[^,]+))?, *(?P<en>[^/]+?) */ *(?P<fr>.+)$"
)
_LATER = re.compile(r"^(?P<number>\d+) (?P<unit>second|minute|hour|day)s?$")
_NOTHING = "(no answer)"
# What is not written is taken from these; where they disagree, something was left out.
_TWO_DAYS = (datetime(2001, 1, 1), datetime(2002, 2, 2))  # noqa: DTZ001  (the club's zone is put to it afterwards)
_ME = ""
# The clock moves on so much by itself after a text; written by hand it may be set back by that.
_A_TEXT_TAKES = timedelta(seconds=20)


@dataclass(slots=True)
class Line:
    """One line of a sample conversation; `number` counts from 1, `last` is its last line where it is continued."""

    number: int
    last: int
    kind: str  # a setting's key, ">", "<" or the words for no answer
    who: str
    text: str


@dataclass(slots=True)
class Transcript:
    """A sample conversation as written."""

    file: Path
    title: str
    lines: list[Line]
    source: list[str]


@dataclass(slots=True)
class Played:
    """What happened: differences in words for a person, and the file's text with the replies that came."""

    differences: list[str] = field(default_factory=list)
    renewed: str = ""
    said: list[tuple[str, str, str]] = field(default_factory=list)  # who, way, text


def read_transcript(file: Path) -> Transcript:
    """A sample conversation; TranscriptFault with file and line where it cannot be read."""
    try:
        source = read_written(file).splitlines()
    except (OSError, UnicodeDecodeError) as fault:
        told = why(fault) if isinstance(fault, OSError) else fault
        raise TranscriptFault(f"{file}: cannot be read ({told}); name a text file in UTF-8") from None
    lines: list[Line] = []
    begun = False
    for number, written in enumerate(source, start=1):
        setting, spoken = _SETTING.match(written), _LINE.match(written)
        if setting:
            begun = True
            lines.append(Line(number, number, setting["key"], setting["who"] or _ME, setting["value"].strip()))
        elif spoken:
            lines.append(Line(number, number, spoken["way"], spoken["who"] or _ME, (spoken["text"] or "").strip()))
        elif written.strip() == _NOTHING:
            lines.append(Line(number, number, _NOTHING, _ME, ""))
        elif written.startswith("  ") and lines and lines[-1].last == number - 1:
            lines[-1].text = f"{lines[-1].text} {written.strip()}".strip()
            lines[-1].last = number
        elif written.strip() and begun and not written.startswith("#"):
            raise TranscriptFault(f"{file}:{number}: this line is neither said by anybody nor a setting: {written!r}")
    if not source or not any(line.kind == ">" for line in lines):
        raise TranscriptFault(f"{file}:1: nobody says anything in this conversation; begin a line with >")
    return Transcript(file, source[0].strip("# ").strip(), lines, source)


def play(transcript: Transcript, handbook: Handbook) -> Played:
    """Play a conversation on a club of its own in memory and compare what comes back with what is written."""
    return _Player(transcript, handbook).play()


def later(line: Line, file: Path | None = None) -> timedelta:
    """How far a "Later:" line moves the clock; TranscriptFault where it cannot be read."""
    found = _LATER.match(line.text)
    if found is None:
        raise TranscriptFault(f'{file}:{line.number}: write it as "Later: 20 minutes"')
    return timedelta(**{found["unit"] + "s": int(found["number"])})


def moment(line: Line, zone: ZoneInfo) -> datetime:
    """The day and hour of a "Clock:" line; TranscriptFault where it cannot be read."""
    return _read_moment(line.text, line, zone, None)


def _read_moment(written: str, line: Line, zone: ZoneInfo, file: Path | None) -> datetime:
    """A local day and hour. One that leaves out the day is refused: the rest would be filled in from today."""
    try:
        read = [date_parser.parse(written, default=default) for default in _TWO_DAYS]
    except (ValueError, OverflowError):
        read = []
    if not read or read[0] != read[1]:
        where = f"{file}:{line.number}"
        raise TranscriptFault(f'{where}: "{written}" is no day and hour; write the clock as "Monday 7 June 2027 12:00"')
    return read[0].replace(tzinfo=zone)


class _Player:
    def __init__(self, transcript: Transcript, handbook: Handbook) -> None:
        self._transcript = transcript
        self._club = Rehearsal(handbook)
        self._zone: ZoneInfo = handbook.knowledge.club.zone
        self._course = handbook.knowledge.course
        self._country = handbook.knowledge.club.country
        self._numbers = {person.first_name: person.number for person in handbook.knowledge.people}
        self._now: datetime | None = None
        self._played = Played()
        self._heard: list[Heard] = []
        self._expected: list[Line] = []
        self._asked_at: Line | None = None
        self._new: dict[int, list[str]] = {}
        self._steps: dict[str, Callable[[Line], None]] = {
            "Clock": self._clock,
            "Phone": self._phone,
            "Closed": self._closed,
            "Later": self._later,
            "Called off": self._changed,
            "Moved": self._changed,
            "Elsewhere": self._changed,
            ">": self._says,
            "Then": self._then,
        }

    def play(self) -> Played:
        for line in self._transcript.lines:
            if line.kind in {"<", _NOTHING}:
                self._expected.append(line)
                continue
            self._compare()
            self._steps[line.kind](line)
        self._compare()
        self._played.renewed = self._renewed()
        return self._played

    def _clock(self, line: Line) -> None:
        moment = self._moment(line.text, line)
        if self._now is None:
            self._now = moment
        else:
            self._move_on(moment, line)

    def _phone(self, line: Line) -> None:
        number = to_e164(line.text, self._country)
        if number is None:
            raise self._fault(line, f"{line.text} is no phone number")
        self._numbers[line.who] = number

    def _closed(self, line: Line) -> None:
        found = _CLOSED.match(line.text)
        if found is None:
            raise self._fault(line, 'write it as "Closed: marsh until 8 June 2027 12:00, flooded / inondation"')
        if not holes_of(found["what"], self._course) & holes_of("course", self._course):
            raise self._fault(
                line, f'"{found["what"]}" is no loop or hole; use "course", a loop\'s id or a hole\'s number'
            )
        until = self._moment(found["until"], line) if found["until"] else None
        reason = Said(en=found["en"], fr=found["fr"])
        self._club.close_part(Closure(what=found["what"], since=self._at(line), until=until, reason=reason))

    def _later(self, line: Line) -> None:
        self._move_on(self._at(line) + later(line, self._transcript.file), line)

    def _move_on(self, moment: datetime, line: Line) -> None:
        if moment < self._at(line) - _A_TEXT_TAKES:
            raise self._fault(line, "the clock only moves on; write a later day or hour")
        self._heard += self._club.pass_time(self._at(line), moment)
        self._now, self._asked_at = moment, line

    def _changed(self, line: Line) -> None:
        found = _CHANGED.match(line.text)
        known = {event.id: event for event in self._club.handbook.knowledge.events}
        if found is None or found["event"] not in known or (line.kind == "Moved") != (found["to"] is not None):
            form = "tuesday-league 9 June 2027" + (" to 10 June 2027 18:30" if line.kind == "Moved" else "")
            raise self._fault(line, f'write it as "{line.kind}: {form}, words / mots", with an event of the club')
        day = self._moment(found["day"] + " 12:00", line).date()
        words = Said(en=found["en"], fr=found["fr"])
        change = EventChange(day=day, called_off=True, reason=words)
        if found["to"]:
            to = self._moment(found["to"], line)
            change = EventChange(day=day, moved_to=to.date(), starts=to.time(), reason=words)
        elif line.kind == "Elsewhere":
            change = EventChange(day=day, meet=words)
        self._club.change_day(found["event"], change)
        self._heard += self._club.send(self._at(line))
        self._asked_at = line

    def _says(self, line: Line) -> None:
        self._played.said.append((line.who, ">", line.text))
        self._asked_at = line
        self._heard += self._club.text(self._number(line), line.text, self._at(line))
        self._now = self._at(line) + _A_TEXT_TAKES

    def _then(self, line: Line) -> None:
        with self._club.engine.connect() as connection:
            for statement in line.text.split(","):
                wrong = self._wrong(connection, statement.strip(), line)
                if wrong:
                    self._differ(line.number, wrong)

    def _wrong(self, connection: Connection, statement: str, line: Line) -> str | None:
        number = self._number(line)
        for pattern, check in _STATEMENTS:
            found = re.fullmatch(pattern, statement)
            if found:
                wanted, is_so = check(connection, number, found.groupdict())
                return None if wanted == is_so else f'"{statement}" does not hold: it is {is_so!r}'
        known = "; ".join(
            pattern.replace("(?P<", "<").replace(r">\S+)", ">").replace(r">\d+)", ">").replace(">.+)", ">")
            for pattern, _ in _STATEMENTS
        )
        raise self._fault(line, f'"{statement}" is no statement that can be checked; there are: {known}')

    def _compare(self) -> None:
        """What came since the last text, against the lines written under it; each person's in order."""
        if self._asked_at is None:
            return
        names = {number: name for name, number in self._numbers.items() if number != self._numbers.get(_ME)}
        came = [(names.get(one.recipient, _ME), one.text) for one in self._heard]
        self._played.said += [(who, "<", text) for who, text in came]
        wanted = [(line.who, line.text) for line in self._expected if line.kind == "<"]
        here = self._expected[0].number if self._expected else self._asked_at.last
        if came != wanted:
            self._differ(here, f"came: {_shown(came)}\n    written: {_shown(wanted)}")
        silence = (
            [_NOTHING] if self._asked_at.kind == ">" or any(line.kind == _NOTHING for line in self._expected) else []
        )
        self._new[self._asked_at.last] = [_written(who, text) for who, text in came] or silence
        self._heard, self._expected, self._asked_at = [], [], None

    def _renewed(self) -> str:
        old = {
            n
            for line in self._transcript.lines
            if line.kind in {"<", _NOTHING}
            for n in range(line.number, line.last + 1)
        }
        kept: list[str] = []
        for number, written in enumerate(self._transcript.source, start=1):
            if number not in old:
                kept.append(written)
            kept += self._new.get(number, [])
        return "\n".join(kept) + "\n"

    def _moment(self, written: str, line: Line) -> datetime:
        return _read_moment(written, line, self._zone, self._transcript.file)

    def _at(self, line: Line) -> datetime:
        if self._now is None:
            raise self._fault(line, "there is no clock yet; write Clock: above")
        return self._now

    def _number(self, line: Line) -> str:
        if line.who not in self._numbers:
            raise self._fault(
                line,
                f"nobody is called {line.who or 'so'} here; write Phone{' ' + line.who if line.who else ''}: above",
            )
        return self._numbers[line.who]

    def _differ(self, number: int, words: str) -> None:
        self._played.differences.append(f"{self._transcript.file}:{number}: {words}")

    def _fault(self, line: Line, words: str) -> TranscriptFault:
        return TranscriptFault(f"{self._transcript.file}:{line.number}: {words}")


def _shown(lines: list[tuple[str, str]]) -> str:
    return "\n             ".join(_written(who, text) for who, text in lines) or _NOTHING


def _written(who: str, text: str) -> str:
    return f"{who} < {text}".strip()


Checked = tuple[object, object]


def _person(connection: Connection, number: str, column: str) -> object:
    return connection.execute(select(people.c[column]).where(people.c.number == number)).scalar()


def _introduced(connection: Connection, number: str, _: dict[str, str]) -> Checked:
    return 1, _person(connection, number, "introduced")


def _opted_out(connection: Connection, number: str, _: dict[str, str]) -> Checked:
    return 1, _person(connection, number, "opted_out")


def _not_opted_out(connection: Connection, number: str, _: dict[str, str]) -> Checked:
    return 0, _person(connection, number, "opted_out")


def _language(connection: Connection, number: str, found: dict[str, str]) -> Checked:
    return found["language"], _person(connection, number, "language")


def _name(connection: Connection, number: str, found: dict[str, str]) -> Checked:
    return found["name"], _person(connection, number, "name")


def _open(connection: Connection, _: str, found: dict[str, str]) -> Checked:
    count = select(func.count()).select_from(questions).where(questions.c.answered_at.is_(None))
    return int(found["count"]), connection.execute(count).scalar_one()


def _on_list(connection: Connection, number: str, found: dict[str, str]) -> Checked:
    held = select(subscriptions.c.list_id).where(subscriptions.c.number == number)
    return True, found["list"] in connection.execute(held).scalars().all()


def _off_list(connection: Connection, number: str, found: dict[str, str]) -> Checked:
    wanted, held = _on_list(connection, number, found)
    return wanted, not held


def _proof(connection: Connection, number: str, found: dict[str, str]) -> Checked:
    kept = select(consents.c.words).where(consents.c.number == number, consents.c.what == found["what"])
    return found["words"], connection.execute(kept.order_by(consents.c.id.desc())).scalars().first()


def _answered(connection: Connection, number: str, found: dict[str, str]) -> Checked:
    held = select(rsvps.c.state, rsvps.c.people).where(
        rsvps.c.number == number, rsvps.c.event == found["event"], rsvps.c.state != "off"
    )
    rows = [f"{row.state} {row.people}" for row in connection.execute(held)]
    return f"{found['state']} {found['people']}", ", ".join(rows) or "nothing"


def _not_in(connection: Connection, number: str, found: dict[str, str]) -> Checked:
    held = select(func.count()).where(rsvps.c.number == number, rsvps.c.event == found["event"], rsvps.c.state != "off")
    return 0, connection.execute(held).scalar_one()


def _reminders(connection: Connection, number: str, found: dict[str, str]) -> Checked:
    held = select(func.count()).where(reminders.c.number == number, reminders.c.state == found["state"])
    return int(found["count"]), connection.execute(held).scalar_one()


def _signed_in(connection: Connection, number: str, found: dict[str, str]) -> Checked:
    held = select(attendance.c.people).where(attendance.c.number == number, attendance.c.event == found["event"])
    return int(found["people"]), connection.execute(held).scalar()


def _no_choice(connection: Connection, number: str, _: dict[str, str]) -> Checked:
    return 0, int(read_dialogue(connection, number).asked is not None)


def _nobody_waits(connection: Connection, _: str, __: dict[str, str]) -> Checked:
    held = select(func.count()).select_from(inbox).where(inbox.c.state == "waiting")
    return 0, connection.execute(held).scalar_one()


_STATEMENTS = (
    (r"introduced", _introduced),
    (r"opted out", _opted_out),
    (r"not opted out", _not_opted_out),
    (r"language (?P<language>\S+)", _language),
    (r"name (?P<name>.+)", _name),
    (r"(?P<count>\d+) questions? open", _open),
    (r"on the list (?P<list>\S+)", _on_list),
    (r"off the list (?P<list>\S+)", _off_list),
    (r"proof of (?P<what>stop|start|first text|list on|list off): (?P<words>.+)", _proof),
    (r"(?P<state>coming|waiting|maybe) (?P<people>\d+) (?:for|to) (?P<event>[a-z-]+)", _answered),
    (r"not in (?P<event>[a-z-]+)", _not_in),
    (r"(?P<count>\d+) reminders? (?P<state>waiting|told|dropped)", _reminders),
    (r"signed in (?P<people>\d+) for (?P<event>[a-z-]+)", _signed_in),
    (r"no choice open", _no_choice),
    (r"nobody waits", _nobody_waits),
)
