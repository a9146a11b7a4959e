"""Reads the knowledge folder: facts, answers, wording. Everything wrong is found in one go, not one fault a run."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path
from typing import Any, TypeVar
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from pydantic import TypeAdapter, ValidationError
from rapidfuzz import process

from clubbot.events.days import rule_days
from clubbot.files import why_not_listed
from clubbot.handbook.answers import AnswerFile, WrittenPoint, read_answer
from clubbot.handbook.facts import Filler, facts_of, names_in
from clubbot.handbook.findings import Finding, error, has_errors, warning
from clubbot.handbook.names_said import names_said
from clubbot.handbook.phrasebook import shipped_examples, shipped_intents
from clubbot.handbook.tables import Table, line_of, read_table
from clubbot.handbook.wordings import read_wording
from clubbot.model.club import (
    Answer,
    Closure,
    Club,
    Course,
    Duty,
    EventRule,
    Hole,
    Hours,
    Knowledge,
    Loop,
    MailingList,
    Person,
    Point,
    RoundTime,
)
from clubbot.model.errors import KnowledgeFault
from clubbot.model.intent_kinds import BUILT_IN
from clubbot.model.messages import LANGUAGES, Language, Said, Wording
from clubbot.texting.gaps import filled, names_left
from clubbot.texting.numbers import to_e164

T = TypeVar("T")
# Found discs are looked for over 60 days, and an event day that was moved is known for as long.
SHORTEST_KEPT = 90
_FILES = ("club.toml", "course.toml", "events.toml", "people.toml")


@dataclass(frozen=True, slots=True)
class Loaded:
    """What was read. `knowledge` is None where an error stood in the way; `answers` are the files as written, for closer checks."""

    knowledge: Knowledge | None
    findings: tuple[Finding, ...]
    answers: tuple[AnswerFile, ...] = ()


def load(folder: Path) -> Loaded:
    """Read and understand the knowledge in `folder`; faults become findings and never an exception."""
    findings: list[Finding] = _unlisted(folder)
    if findings:
        return Loaded(None, tuple(findings))
    if not folder.is_dir():
        return Loaded(None, (error(folder, 0, "there is no such folder", "name the folder that holds club.toml"),))
    tables = {name: read_table(folder / name, findings) for name in _FILES}
    wording = read_wording(folder, findings)
    facts_known = _facts_known(folder, tables, findings)
    if facts_known is None or has_errors(findings):
        return Loaded(None, tuple(findings))
    club, course, events, people, duty, lists = facts_known
    _references(folder, course, events, people, duty, findings)
    if has_errors(findings):
        return Loaded(None, tuple(findings))
    facts = {
        language: facts_of(tables.values(), course, events, people, wording[language], language)
        for language in LANGUAGES
    }
    files = _answer_files(folder, club.languages, findings)
    answers = {answer.topic: _answer(answer, club.languages[0], facts, findings) for answer in files}
    _topics(folder, events, course.hours, answers, findings)
    knowledge = Knowledge(
        club=club,
        course=course,
        events=events,
        people=people,
        duty=duty,
        lists=lists,
        answers=answers,
        wording=_filled(wording, facts, folder, findings),
        facts=facts,
        examples=(
            *shipped_examples(names_said(events, course.loops)),
            *(example for answer in files for _, example in answer.examples),
        ),
    )
    return Loaded(None if has_errors(findings) else knowledge, tuple(findings), tuple(files))


def _unlisted(folder: Path) -> list[Finding]:
    """Folders whose names cannot be read: without this they would look empty, and the club without answers."""
    found = ((one, why_not_listed(one)) for one in (folder, folder / "answers", folder / "wording"))
    mend = "make it a folder that clubbot may read"
    return [error(one, 0, f"the folder cannot be read: {why}", mend) for one, why in found if why]


def load_or_fault(folder: Path) -> Knowledge:
    """The knowledge in `folder`; KnowledgeFault with every finding where it cannot be used."""
    loaded = load(folder)
    if loaded.knowledge is None:
        raise KnowledgeFault([finding for finding in loaded.findings if finding.severity == "error"])
    return loaded.knowledge


_Facts = tuple[Club, Course, tuple[EventRule, ...], tuple[Person, ...], tuple[Duty, ...], tuple[MailingList, ...]]


def _facts_known(folder: Path, tables: Mapping[str, Table], findings: list[Finding]) -> _Facts | None:
    club_table, course_table = tables["club.toml"], tables["course.toml"]
    events_table, people_table = tables["events.toml"], tables["people.toml"]
    club = _checked(Club, club_table.get("club", {}), folder / "club.toml", ("club",), findings)
    lists = _checked_all(MailingList, club_table, "list", folder / "club.toml", findings)
    events = _checked_all(EventRule, events_table, "event", folder / "events.toml", findings)
    people = _checked_all(Person, people_table, "person", folder / "people.toml", findings)
    duty = _checked_all(Duty, people_table, "duty", folder / "people.toml", findings)
    _strangers(folder / "events.toml", events_table, {"event"}, findings)
    _strangers(folder / "people.toml", people_table, {"person", "duty"}, findings)
    if club is None:
        return None
    club = _placed(club, folder / "club.toml", findings)
    if club is None:
        return None
    course = _course(course_table, folder / "course.toml", club.zone, findings)
    if course is None:
        return None
    people = tuple(_with_number(person, place, club, folder, findings) for place, person in enumerate(people))
    return club, course, events, people, duty, lists


def _placed(club: Club, file: Path, findings: list[Finding]) -> Club | None:
    """The club with its number as E.164, if time zone, number and languages can be used."""
    try:
        ZoneInfo(club.time_zone)
    except (ZoneInfoNotFoundError, ValueError):
        mend = 'use a name such as "America/Halifax"'
        findings.append(error(file, line_of(file, ("club", "time_zone")), f'"{club.time_zone}" is no time zone', mend))
        return None
    number = to_e164(club.number, club.country)
    if number is None:
        findings.append(
            error(
                file,
                line_of(file, ("club", "number")),
                f'"{club.number}" is no phone number',
                'write it as "+1 902 555 0100"',
            )
        )
        return None
    if club.keep_texts_days < SHORTEST_KEPT:
        wrong = f"keep_texts_days is {club.keep_texts_days}: reports, lost discs and the digest look back further"
        findings.append(
            error(file, line_of(file, ("club", "keep_texts_days")), wrong, f"write {SHORTEST_KEPT} or more")
        )
        return None
    if not club.languages:
        findings.append(error(file, line_of(file, ("club", "languages")), "no language is named", 'write ["en", "fr"]'))
        return None
    return replace(club, number=number)


def _with_number(person: Person, place: int, club: Club, folder: Path, findings: list[Finding]) -> Person:
    number = to_e164(person.number, club.country)
    if number is None:
        file = folder / "people.toml"
        line = line_of(file, ("person", place, "number"))
        findings.append(
            error(file, line, f"the number of {person.name} is no phone number", 'write it as "+1 902 555 0101"')
        )
        return person
    return replace(person, number=number)


def _course(table: Table, file: Path, zone: ZoneInfo, findings: list[Finding]) -> Course | None:
    loops = _checked_all(Loop, table, "loop", file, findings)
    rounds = _checked_all(RoundTime, table, "round", file, findings)
    rows = table.get("holes", {}).get("rows", [])
    read = [_checked(Hole, row, file, ("holes", "rows", place), findings) for place, row in enumerate(rows)]
    holes = tuple(hole for hole in read if hole is not None)
    closures = _checked_all(Closure, table, "closure", file, findings)
    hours = _checked_all(Hours, table, "hours", file, findings)
    plain = {key: value for key, value in table.get("course", {}).items() if key in _COURSE_KEYS}
    missing = [key for key in _COURSE_KEYS if key not in plain]
    if missing:
        findings.append(error(file, line_of(file, ("course",)), f"[course] lacks {', '.join(missing)}", "add it"))
        return None
    if not holes or not rounds:
        findings.append(
            error(file, 0, "there are no holes or no [[round]]", "list the holes and how long a round takes")
        )
        return None
    course = _checked(Course, {**plain, "loops": (), "holes": (), "rounds": ()}, file, ("course",), findings)
    if course is None:
        return None
    located = tuple(_located(closure, zone) for closure in closures)
    return replace(course, loops=loops, holes=holes, rounds=rounds, closures=located, hours=hours)


_COURSE_KEYS = ("latitude", "longitude", "largest_group")


def _located(closure: Closure, zone: ZoneInfo) -> Closure:
    return replace(closure, since=_aware(closure.since, zone), until=closure.until and _aware(closure.until, zone))


def _aware(moment: datetime, zone: ZoneInfo) -> datetime:
    return moment if moment.tzinfo else moment.replace(tzinfo=zone)


def _checked_all(kind: type[T], table: Table, name: str, file: Path, findings: list[Finding]) -> tuple[T, ...]:
    rows = table.get(name, [])
    if not isinstance(rows, list):
        mend = f"write [[{name}]] with two brackets, as there may be several"
        findings.append(error(file, line_of(file, (name,)), f"[{name}] is a single table", mend))
        return ()
    checked = (_checked(kind, row, file, (name, place), findings) for place, row in enumerate(rows))
    return tuple(one for one in checked if one is not None)


def _checked(kind: type[T], row: Any, file: Path, path: Sequence[str | int], findings: list[Finding]) -> T | None:
    try:
        return TypeAdapter(kind).validate_python(row)
    except ValidationError as fault:
        for one in fault.errors(include_url=False, include_input=False):
            where = [*path, *(step for step in one["loc"] if isinstance(step, int) or step.isidentifier())]
            key = ".".join(str(step) for step in one["loc"]) or str(path[0])
            mend = _MENDS.get(one["type"], "see the demo club's file for how it is written")
            findings.append(error(file, line_of(file, where), f'"{key}": {one["msg"]}', mend))
        return None


_MENDS = {
    "missing": "add the key",
    "unexpected_keyword_argument": "correct the key's name, or take it out",
    "extra_forbidden": "correct the key's name, or take it out",
    "literal_error": "use one of the words listed",
    "time_type": "write the time as 18:15:00, without quotes",
    "time_parsing": "write the time as 18:15:00, without quotes",
    "date_type": "write the date as 2027-06-07, without quotes",
    "date_parsing": "write the date as 2027-06-07, without quotes",
    "date_from_datetime_parsing": "write the date as 2027-06-07, without quotes",
    "date_from_datetime_inexact": "write the date as 2027-06-07, without an hour",
    "datetime_type": "write it as 2027-06-07T12:00:00, without quotes",
    "datetime_parsing": "write it as 2027-06-07T12:00:00, without quotes",
    "datetime_from_date_parsing": "write it as 2027-06-07T12:00:00, without quotes",
    "int_type": "write a whole number, without quotes",
    "int_parsing": "write a whole number, without quotes",
    "int_from_float": "write a whole number",
    "string_type": "put the words in quotes",
    "bool_parsing": "write true or false, without quotes",
}


def _strangers(file: Path, table: Table, known: set[str], findings: list[Finding]) -> None:
    for name in table:
        if name not in known:
            line = line_of(file, (name,))
            findings.append(
                error(
                    file, line, f"[{name}] is not known here", f"use {', '.join(f'[[{one}]]' for one in sorted(known))}"
                )
            )


def _references(
    folder: Path,
    course: Course,
    events: Iterable[EventRule],
    people: Sequence[Person],
    duty: Iterable[Duty],
    findings: list[Finding],
) -> None:
    """Names that point to something that is not there, and ids used twice."""
    file = folder / "people.toml"
    ids = {person.id for person in people}
    for place, one in enumerate(duty):
        if one.person not in ids:
            line = line_of(file, ("duty", place, "person"))
            findings.append(
                error(file, line, f'nobody has the id "{one.person}"', f"use one of {', '.join(sorted(ids))}")
            )
        if one.until <= one.since:
            line = line_of(file, ("duty", place, "until"))
            findings.append(
                error(
                    file, line, "a turn ends before it begins", "write a turn over midnight as two, each within a day"
                )
            )
    if not any("organiser" in person.roles for person in people):
        findings.append(error(file, 0, "nobody is organiser", 'give one person roles = ["organiser"]'))
    whole = {"course", *(loop.id for loop in course.loops), *(str(hole.hole) for hole in course.holes)}
    file = folder / "course.toml"
    for place, closure in enumerate(course.closures):
        if closure.what not in whole:
            line = line_of(file, ("closure", place, "what"))
            findings.append(
                error(
                    file, line, f'"{closure.what}" is no loop or hole', "use \"course\", a loop's id or a hole's number"
                )
            )
    _events_readable(folder / "events.toml", events, whole, findings)


def _events_readable(file: Path, events: Iterable[EventRule], whole: set[str], findings: list[Finding]) -> None:
    seen: set[str] = set()
    for place, event in enumerate(events):
        if event.id in seen:
            findings.append(
                error(file, line_of(file, ("event", place, "id")), f'two events have the id "{event.id}"', "rename one")
            )
        seen.add(event.id)
        if event.loop is not None and event.loop not in whole:
            findings.append(
                error(
                    file, line_of(file, ("event", place, "loop")), f'there is no loop "{event.loop}"', "use a loop's id"
                )
            )
        if event.most_per_sign_up < 1 or not 0 <= event.share_for_new <= 1:
            key = "most_per_sign_up" if event.most_per_sign_up < 1 else "share_for_new"
            mend = "write 1 or more" if key == "most_per_sign_up" else "write a share from 0 to 1, such as 0.5 for half"
            findings.append(error(file, line_of(file, ("event", place, key)), f'"{key}" cannot be meant so', mend))
        if event.keep_late_minutes < 0:
            line = line_of(file, ("event", place, "keep_late_minutes"))
            findings.append(error(file, line, '"keep_late_minutes" cannot be meant so', "write 0 or more"))
        try:
            days = rule_days(event)
        except (ValueError, TypeError) as fault:
            line = line_of(file, ("event", place, "repeats"))
            findings.append(
                error(
                    file,
                    line,
                    f'"{event.repeats}" is no recurrence rule ({fault})',
                    'write it like "FREQ=WEEKLY;BYDAY=WE"',
                )
            )
            continue
        if not days:
            line = line_of(file, ("event", place, "last"))
            findings.append(
                error(
                    file,
                    line,
                    f'"{event.id}" never takes place between first and last',
                    "correct first, last or repeats",
                )
            )


def _answer_files(folder: Path, languages: Sequence[Language], findings: list[Finding]) -> list[AnswerFile]:
    return [read_answer(file, findings, languages) for file in sorted((folder / "answers").glob("*.md"))]


def _answer(
    file: AnswerFile, usual: Language, facts: Mapping[Language, Mapping[str, str]], findings: list[Finding]
) -> Answer:
    """The answer with the club's facts in it; what it does not say in a language that the club does not speak is said in its usual one."""
    written = {
        language: tuple(
            _fill(text, facts[language], file.file, line, findings, answers=place == 0)
            for place, (line, text) in enumerate(file.paragraphs.get(language, []))
        )
        for language in LANGUAGES
    }
    written = {language: written[language] or written[usual] for language in LANGUAGES}
    called = file.labels.get(usual, file.topic)
    return Answer(
        topic=file.topic,
        label=Said(en=file.labels.get("en", called), fr=file.labels.get("fr", called)),
        paragraphs={language: filled(said, facts[language]) for language, said in written.items()},
        by_role=written if any(_OF_PEOPLE in text for said in written.values() for text in said) else {},
        points=_points(file, usual, facts, findings),
    )


def _points(
    file: AnswerFile, usual: Language, facts: Mapping[Language, Mapping[str, str]], findings: list[Finding]
) -> dict[Language, tuple[Point, ...]]:
    """The details of the topic; in a language that the club does not speak those of its usual one."""
    read: dict[Language, tuple[Point, ...]] = {}
    for language in LANGUAGES:
        own = language if language in file.paragraphs else usual
        read[language] = tuple(_point(one, file.file, facts[own], findings) for one in file.points.get(own, []))
    return read


def _point(written: WrittenPoint, file: Path, facts: Mapping[str, str], findings: list[Finding]) -> Point:
    text = " ".join(_fill(text, facts, file, line, findings, answers=True) for line, text in written.said)
    said = " ".join(filled([text], facts))
    return Point(asked=tuple(text for _, text in written.asked), said=said, by_role=text if _OF_PEOPLE in text else "")


# How the names of people are said in an answer file: by their roles.
_OF_PEOPLE = "{people."


def _fill(text: str, facts: Mapping[str, str], file: Path, line: int, findings: list[Finding], *, answers: bool) -> str:
    """The paragraph with the facts in it, but for people's names, which change by text, and for facts that are missing: what names one is left
    out of the answer, and the club does without that rather than without its text number.
    """
    try:
        named = names_in(text)
        missing = [name for name in dict.fromkeys(named) if name not in facts]
        left = {name: f"{{{name}}}" for name in named if name in missing or f"{{{name}".startswith(_OF_PEOPLE)}
        said = Filler({**facts, **left}).format(text)
    except ValueError as fault:
        findings.append(error(file, line, f"a brace is left open ({fault})", "write fact names as {table.key}"))
        return text
    for name in missing:
        there = {one: "" for one in names_left(said) if one != name}
        whole = not answers or bool(filled([said], there))
        without = "what names it is not said" if whole else "the answer is not given, a volunteer is asked"
        wrong = f"there is no fact {{{name}}}: until there is, {without}"
        findings.append(warning(file, line, wrong, _nearest(name, facts)))
    return said


def _nearest(name: str, facts: Mapping[str, str]) -> str:
    found = process.extractOne(name, list(facts), score_cutoff=60)
    return f"did you mean {{{found[0]}}}?" if found else "add it to a TOML file, or correct the name"


def _topics(
    folder: Path,
    events: Iterable[EventRule],
    hours: Iterable[Hours],
    answers: Mapping[str, Answer],
    findings: list[Finding],
) -> None:
    course = folder / "course.toml"
    findings += [
        error(
            course,
            line_of(course, ("hours", place, "topic")),
            f'there is no answer "{row.topic}"',
            f"write answers/{row.topic}.md or name another",
        )
        for place, row in enumerate(hours)
        if row.topic not in answers
    ]
    file = folder / "events.toml"
    for place, event in enumerate(events):
        if event.topic not in answers:
            line = line_of(file, ("event", place, "topic"))
            findings.append(
                error(
                    file, line, f'there is no answer "{event.topic}"', f"write answers/{event.topic}.md or name another"
                )
            )
    unanswered = sorted(shipped_intents() - set(BUILT_IN) - set(answers))
    mend = "write {0}.md; until then a volunteer is asked"
    findings += [
        warning(folder / "answers", 0, f'there is no answer to "{topic}"', mend.format(topic)) for topic in unanswered
    ]
    findings += [
        error(folder / "answers" / f"{topic}.md", 0, f'"{topic}" is worked out by clubbot itself', "use another name")
        for topic in sorted(set(answers) & set(BUILT_IN))
    ]


def _filled(
    wording: Wording, facts: Mapping[Language, Mapping[str, str]], folder: Path, findings: list[Finding]
) -> Wording:
    """The sentences with the facts of the club in them; what is only known when they are said stays in braces."""
    return {
        language: {
            key: _fill_facts(key, sentence, facts[language], folder / "wording" / f"{language}.toml", findings)
            for key, sentence in sentences.items()
        }
        for language, sentences in wording.items()
    }


def _fill_facts(key: str, sentence: str, facts: Mapping[str, str], file: Path, findings: list[Finding]) -> str:
    for name in {part.partition("}")[0] for part in sentence.split("{")[1:] if "." in part.partition("}")[0]}:
        if name not in facts:
            findings.append(
                error(
                    file,
                    line_of(file, key.split(".")),
                    f'the sentence "{key}" names {{{name}}}, which is no fact',
                    "add the fact or reword it",
                )
            )
            continue
        sentence = sentence.replace(f"{{{name}}}", facts[name])
    return sentence
