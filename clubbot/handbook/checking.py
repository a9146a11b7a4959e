"""`clubbot check`: what a careful editor would look at in the knowledge files, beyond whether they can be read at all."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from datetime import date
from functools import cache
from pathlib import Path

from clubbot.events.days import between, clashes, rule_days
from clubbot.handbook.answers import AnswerFile
from clubbot.handbook.detailed import details_found, details_written
from clubbot.handbook.findings import Finding, error, warning
from clubbot.handbook.language_files import shipped_faults
from clubbot.handbook.loading import Loaded, load
from clubbot.handbook.names_said import names_said
from clubbot.handbook.phrasebook import shipped_examples
from clubbot.handbook.pulling import pulling
from clubbot.handbook.readability import too_hard
from clubbot.handbook.tables import line_of, read_table
from clubbot.model.club import EventRule, Example, Knowledge
from clubbot.model.intent_kinds import INTENTS
from clubbot.model.messages import Language
from clubbot.texting.alphabet import coding, plain_letters, plain_marks
from clubbot.texting.parts import as_sent, count, split
from clubbot.understanding.plain import words_of
from clubbot.understanding.scoring import Scorer

LARGEST_PARTS = 3


def check(
    folder: Path, today: date, scorer_of: Callable[[Sequence[Example]], Scorer] | None = None
) -> tuple[Loaded, list[Finding]]:
    """Everything there is to say about the knowledge in `folder`, errors first; with `scorer_of`, which learns, the ways of asking too."""
    loaded = load(folder)
    findings = list(loaded.findings)
    if loaded.knowledge is not None:
        findings += _answers(loaded.knowledge, loaded.answers)
        findings += _collisions(loaded.answers)
        findings += details_written(loaded.knowledge, loaded.answers)
        findings += _events(folder / "events.toml", loaded.knowledge)
        findings += _left_out(folder, loaded.knowledge)
        if scorer_of is not None:
            shipped = shipped_examples(names_said(loaded.knowledge.events, loaded.knowledge.course.loops))
            scorer = scorer_of(loaded.knowledge.examples)
            findings += pulling(loaded.answers, shipped, scorer)
            findings += details_found(loaded.knowledge, loaded.answers, scorer)
    findings += [*_old_facts(folder, today), *shipped_faults()]
    order = {"error": 0, "warning": 1}
    return loaded, sorted(findings, key=lambda one: (order[one.severity], str(one.file), one.line))


def _answers(knowledge: Knowledge, files: Iterable[AnswerFile]) -> list[Finding]:
    found: list[Finding] = []
    for file in files:
        for language in knowledge.club.languages:
            written = file.paragraphs.get(language, [])
            said = knowledge.answers[file.topic].paragraphs[language]
            found += _length(file, language, written, said, knowledge.club.plain_letters)
            # What lacks a fact is shorter than it is written, and found already.
            for (line, _), text in zip(written, said, strict=False):
                found += _letters(file.file, line, text, knowledge.club.plain_letters)
            for point, read in zip(
                file.points.get(language, []), knowledge.answers[file.topic].points[language], strict=True
            ):
                found += _letters(file.file, point.line, read.said, knowledge.club.plain_letters)
            hard = too_hard(" ".join(said), language) if said else None
            if hard:
                found.append(warning(file.file, written[0][0], hard, "use shorter sentences and shorter words"))
    return found


def _length(
    file: AnswerFile, language: Language, written: Sequence[tuple[int, str]], said: Sequence[str], shorten: bool
) -> list[Finding]:
    if not said:
        return []
    if len(said) > 2:
        return [error(file.file, written[2][0], "the answer has more than two paragraphs", "join or drop some")]
    whole = as_sent(" ".join(said), shorten_letters=shorten)
    parts = count(whole)
    if parts > LARGEST_PARTS:
        return [
            error(
                file.file,
                written[0][0],
                f"the answer takes {parts} text parts",
                f"shorten it to {LARGEST_PARTS} or fewer",
            )
        ]
    if parts == LARGEST_PARTS:
        return [
            warning(file.file, written[0][0], f"the answer takes {parts} text parts", "two are friendlier, and cheaper")
        ]
    return []


def _letters(file: Path, line: int, text: str, shorten: bool) -> list[Finding]:
    """Letters that cost: one outside the 7-bit alphabet leaves 70 letters a part instead of 160."""
    if coding(text) == "7-bit":
        return []
    plain = plain_marks(text)
    marks = sorted(set(text) - set(plain))
    if marks:
        shown = " ".join(marks)
        return [
            warning(
                file,
                line,
                f"{shown} takes the text to the 70-character alphabet",
                f'write it plainly: "{plain_marks(shown)}"',
            )
        ]
    costly = len(split(plain)) > len(split(plain_letters(plain)))
    if coding(plain) == "UCS-2" and coding(plain_letters(plain)) == "7-bit" and costly and not shorten:
        letters = " ".join(sorted({one for one in plain if plain_letters(one) != one}))
        return [
            warning(
                file,
                line,
                f"{letters} takes the text to the 70-character alphabet",
                "reword it, or set plain_letters = true in club.toml",
            )
        ]
    if coding(plain_letters(plain)) == "UCS-2":
        letters = " ".join(sorted({one for one in plain_letters(plain) if coding(one) == "UCS-2"}))
        return [warning(file, line, f"{letters} takes the text to the 70-character alphabet", "leave it out")]
    return []


def _collisions(files: Iterable[AnswerFile]) -> list[Finding]:
    """The same words asking for two things: neither would be understood. A club's own ways of asking come after those that ship."""
    asked_by = dict(_shipped_ways())
    found: list[Finding] = []
    for file in files:
        for line, example in file.examples:
            other = asked_by.setdefault(_words_asked(example), example.intent)
            if other != example.intent:
                wrong = f'"{example.text}" asks for "{other}" as well'
                found.append(error(file.file, line, wrong, "leave it with the one that is meant"))
    return found


@cache  # forty thousand of them, the same for every club
def _shipped_ways() -> Mapping[tuple[str, ...], str]:
    """What each way of asking that ships asks for, by its words."""
    ways: dict[tuple[str, ...], str] = {}
    for example in shipped_examples():
        ways.setdefault(_words_asked(example), example.intent)
    return ways


def _words_asked(example: Example) -> tuple[str, ...]:
    return tuple(word for word in words_of(example.text) if word != "?")


def _events(file: Path, knowledge: Knowledge) -> list[Finding]:
    found: list[Finding] = []
    for place, event in enumerate(knowledge.events):
        found += [
            error(file, line_of(file, ("event", place, key)), f'"{event.id}" {wrong}', mend)
            for key, wrong, mend in _impossible(event)
        ]
    zone = knowledge.club.zone
    days = (
        between(knowledge.events, min(e.first for e in knowledge.events), max(e.last for e in knowledge.events), zone)
        if knowledge.events
        else []
    )
    told: set[frozenset[str]] = set()
    for one, other in clashes(days):
        pair = frozenset((one.event.id, other.event.id))
        if pair not in told:
            told.add(pair)
            place = next(n for n, event in enumerate(knowledge.events) if event.id == other.event.id)
            wrong = f'"{one.event.id}" and "{other.event.id}" run at the same time on {one.starts.date()}'
            found.append(
                warning(
                    file,
                    line_of(file, ("event", place, "starts")),
                    wrong,
                    "move one, or add an [[event.change]] for the day",
                )
            )
    return found


# Answers that tell hours; where these stand in rows of their own, what is open now can be told.
_TELL_HOURS = ("borrow", "facilities")


_HOURS = (
    '[[hours]] / id = "{topic}" / topic = "{topic}" / name = {{ en = "the desk", fr = "le comptoir" }} / days = ["sat", "sun"] / '
    'months = ["may", "oct"] / opens = 10:00:00 / closes = 17:00:00'
)
_GATE = (
    '[[hours]] / id = "gate" / topic = "parking" / name = { en = "the gate", fr = "la barrière" } / also_called = ["gate"] / '
    "closes = 21:00:00"
)
# Facts that an answer can do without: their name, their file, what is lost without them, a line to paste.
_GOOD_TO_HAVE = (
    (
        "lost_and_found.leave",
        "club.toml",
        "whoever found a disc is not told where to leave it",
        'leave = { en = "the box at the desk", fr = "la boite au comptoir" }',
    ),
    ("lost_and_found.days_kept", "club.toml", "nor how long it is kept", "days_kept = 60"),
    (
        "parking.call",
        "course.toml",
        "whoever is locked in or blocked is not told whom to call",
        'call = { en = "the town, 902 555 0190", fr = "la ville, 902 555 0190" }',
    ),
)
_MOST_TOPICS = 12


def _no_answer(folder: Path, knowledge: Knowledge) -> list[Finding]:
    """Topics that people ask about as soon as there is a club, and that have no file: each goes to a person."""
    asked, no_topics = {one.intent for one in shipped_examples()}, {one.id for one in INTENTS}
    topics = sorted(one for one in asked if one not in no_topics and one not in knowledge.answers)
    if not topics:
        return []
    named = ", ".join(topics[:_MOST_TOPICS]) + (" ..." if len(topics) > _MOST_TOPICS else "")
    first = topics[0]
    mend = f"make answers/{first}.md: # {first} / ## English: {first} / your answer / ## Français : {first} / votre réponse"
    return [warning(folder / "answers", 0, f"no answer is written for: {named}; a person gets these", mend)]


def _left_out(folder: Path, knowledge: Knowledge) -> list[Finding]:
    """Facts without which only a general answer is given, where one for the moment could be."""
    found = [
        warning(
            folder / "course.toml",
            0,
            f'no [[hours]] belong to "{topic}": whoever asks what is open now gets the whole answer',
            f"paste, with your own hours: {_HOURS.format(topic=topic)}",
        )
        for topic in _TELL_HOURS
        if topic in knowledge.answers and all(row.topic != topic for row in knowledge.course.hours)
    ]
    found += [
        warning(folder / file, 0, f"no {fact}: {lost}", f"paste under [{fact.split('.')[0]}]: {line}")
        for fact, file, lost, line in _GOOD_TO_HAVE
        if fact not in knowledge.facts[knowledge.club.languages[0]]
    ]
    if all(row.topic != "parking" for row in knowledge.course.hours):
        wrong = "no [[hours]] tell when a gate is locked: nobody is told that a round would end after that"
        found.append(warning(folder / "course.toml", 0, wrong, f"if there is a gate, paste: {_GATE}"))
    found += _no_answer(folder, knowledge)
    if "groups" in knowledge.answers and "groups.bookable" not in knowledge.facts["en"]:
        wrong = "[groups] does not say whether the course can be booked"
        found.append(warning(folder / "club.toml", 0, wrong, "add bookable = false, or true, under [groups]"))
    file = folder / "events.toml"
    found += [
        warning(
            file,
            line_of(file, ("event", place, "id")),
            f'"{event.id}" has no end',
            "paste below its starts, if there is one: ends = 20:30:00",
        )
        for place, event in enumerate(knowledge.events)
        if event.ends is None
    ]
    return found


def _impossible(event: EventRule) -> Iterable[tuple[str, str, str]]:
    if event.last < event.first:
        yield "last", "ends before it begins", "correct first or last"
    if event.ends is not None and event.ends <= event.starts:
        yield "ends", "ends before it starts", "correct starts or ends"
    if event.sign_up is not None and event.sign_up > event.starts:
        yield "sign_up", "has its sign-up after the start", "correct sign_up or starts"
    if event.rsvp_closes is not None and event.rsvp_closes > event.starts:
        yield "rsvp_closes", "takes sign-ups after the start", "correct rsvp_closes or starts"
    if event.places is not None and event.places < 1:
        yield "places", "has no places", "give the number of places, or leave it out for no limit"
    if event.price < 0 or (event.member_price is not None and event.member_price > event.price):
        yield "price", "has a price that cannot be", "a member pays at most the price"
    if event.rsvp_opens is not None and event.rsvp_opens > event.last:
        yield "rsvp_opens", "opens for sign-up after its last day", "correct rsvp_opens"
    days = set(rule_days(event))
    if event.first not in days:
        yield "first", "does not fall on its own first day", "let first be a day of the rule"
    for change in event.change:
        if change.day not in days:
            yield "change", f"has a change for {change.day}, which is no day of it", "correct the day"


def _old_facts(folder: Path, today: date) -> list[Finding]:
    found: list[Finding] = []
    for file in sorted(folder.glob("*.toml")):
        ignored: list[Finding] = []
        for path, check_by in _check_bys(read_table(file, ignored)):
            if check_by < today:
                wrong = f"[{'.'.join(str(step) for step in path[:-1])}] should have been looked at by {check_by}"
                found.append(
                    warning(file, line_of(file, path), wrong, "see whether it is still true, then set a new check_by")
                )
    return found


def _check_bys(
    table: Mapping[str, object], before: tuple[str | int, ...] = ()
) -> Iterable[tuple[tuple[str | int, ...], date]]:
    for key, value in table.items():
        if key == "check_by" and isinstance(value, date):
            yield (*before, key), value
        elif isinstance(value, dict):
            yield from _check_bys(value, (*before, key))
        elif isinstance(value, list):
            for place, one in enumerate(value):
                if isinstance(one, dict):
                    yield from _check_bys(one, (*before, key, place))
