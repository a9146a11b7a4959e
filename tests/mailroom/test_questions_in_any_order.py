"""Whoever asks, answers, passes on or sleeps, in whatever order: no question is lost, no answer goes astray or out twice.

The words are such as are certainly understood; what is understood is tested elsewhere.
"""

import itertools
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from datetime import datetime, time, timedelta
from functools import cache

from hypothesis import Phase, settings
from hypothesis import strategies as some
from hypothesis.stateful import RuleBasedStateMachine, precondition, rule
from sqlalchemy import Engine, func, select

from clubbot.conversation.flood import LIMITS, Kind, Limit
from clubbot.conversation.held import ALARMS_EVERY
from clubbot.handbook.book import Handbook, open_handbook
from clubbot.handbook.learning import usual_folder
from clubbot.mailroom.answering import decide_some, write_all
from clubbot.model.club import Duty
from clubbot.model.quiet import instant
from clubbot.people.codes import TRIES_AN_HOUR, as_code
from clubbot.rehearsal import Heard, Rehearsal
from clubbot.store.inbox import put_down
from clubbot.store.tables import inbox, outbox, questions
from tests.builders import a_text
from tests.conftest import HALIFAX, NOON, ROOT
from tests.fakes import numbers_in
from tests.store.builders import JONAS, PRIYA, a_pen, rows

MINUTE, DAY = timedelta(minutes=1), timedelta(days=1)
WITHIN = 30 * MINUTE
# How long what was shown waits for its code.
GOOD_FOR = 10 * MINUTE
SHOWN = re.compile(r"(?:YES|OUI) (\d{8})")
ANA, BEN = "+19025550150", "+19025550151"
ODILE, FEMI = "+19025550101", "+19025550102"
PHONES = {"jonas": JONAS, "femi": FEMI, "odile": ODILE}
NAMES = {"jonas": "Jonas", "femi": "Femi", "odile": "Odile"}
NUMBERS = [ANA, BEN, *PHONES.values()]
MORNING, EVENING = time(8), time(21)
an_asker = some.sampled_from([ANA, BEN])
a_helper = some.sampled_from(list(PHONES))
ASKED = (
    "can you recommend a campground near {}",
    "do you know a mechanic called {}",
    "is there a bakery named {} in town",
    "can someone call me about {} on 902 555 0150",
)
ANSWERED = (
    "The one by the lighthouse, {}.",
    "I would ask at {}.",
    "Yes, the {} one is fine",
    "Sorry, no idea, try {}",
)


def tags() -> Iterator[str]:
    """Names that nobody has used before, so that a text is found again wherever it goes."""
    return ("".join(("zu", *letters)) for letters in itertools.product("bdgkmprt", "aeiou", "bdgkmprt", "aeiou"))


@cache
def the_club() -> Handbook:
    """Jonas and Femi in turn, Odile, the organiser, without one. No evening's sums, which quote nobody but list the numbers; and the two
    who ask are no crowd: that is tested in tests/conversation/test_crowds.py.
    """
    book = open_handbook(ROOT / "knowledge", usual_folder())
    known = book.knowledge
    roster = (
        Duty(days=("mon", "wed", "fri", "sun"), since=MORNING, until=EVENING, person="jonas"),
        Duty(days=("tue", "thu", "sat"), since=MORNING, until=EVENING, person="femi"),
    )
    people = tuple(one for one in known.people if one.id in PHONES)
    club = replace(known.club, digest="off", questions_an_hour_new=1_000_000)
    return replace(book, knowledge=replace(known, club=club, people=people, duty=roster))


def is_night(moment: datetime) -> bool:
    return not MORNING <= moment.astimezone(HALIFAX).time() < EVENING


def morning_after(moment: datetime) -> datetime:
    local = moment.astimezone(HALIFAX)
    return instant(local.date() + timedelta(days=int(local.time() >= MORNING)), MORNING, HALIFAX)


def on_duty(moment: datetime) -> str:
    """By day whose turn it is, at night whose comes next."""
    day = morning_after(moment) if is_night(moment) else moment
    return "jonas" if day.astimezone(HALIFAX).weekday() in {0, 2, 4, 6} else "femi"


def limit(kind: Kind) -> Limit:
    return next(one for one in LIMITS if one.kind == kind)


@dataclass
class Asked:
    """A question as its people see it: who has read it, for whom notes wait till the morning, who settled it."""

    asker: str
    asked_at: datetime
    has: list[str] = field(default_factory=list)
    waits_for: list[str] = field(default_factory=list)
    settled_by: str | None = None
    settled_at: datetime | None = None
    next_at: datetime | None = None
    danger: bool = False
    person: str = ""  # who has it: the latest it was passed to
    held: int = 0  # of an alarm: the texts that its person is still to be told of, by number

    @property
    def open(self) -> bool:
        return self.settled_by is None

    @property
    def holders(self) -> list[str]:
        return list(dict.fromkeys([*self.has, *self.waits_for]))

    def others(self, helper: str) -> list[str]:
        return [other for other in self.holders if other != helper]


@dataclass(frozen=True)
class Shown:
    """What a helper was shown and has not said yes to: to settle this question, with this code."""

    number: int
    code: str
    until: datetime


class QuestionsInAnyOrder(RuleBasedStateMachine):
    """Two who ask, three who answer, beside a model of who has what. A minute goes by before each text.

    What is known to be wrong has a test of its own below or in tests/conversation/test_helping.py, and is kept out here; the
    preconditions say which.
    """

    def __init__(self) -> None:
        super().__init__()
        self.club, self.now = Rehearsal(the_club()), NOON
        self.tags = tags()
        self.asked: dict[int, Asked] = {}
        self.words: list[str] = []  # of the askers, that somebody was told of singly
        self.added: list[tuple[int, str]] = []  # of the askers, kept with a question that is open instead
        self.lately: list[tuple[str, Kind, datetime]] = []  # who asked, what it counts as, when
        self.alarms_told: dict[str, datetime] = {}  # by helper, when they were told of an alarm last
        self.shown: dict[str, Shown] = {}  # by helper
        self.wrong: list[str] = []  # who sent a wrong code
        self.answers: dict[str, list[str]] = {}  # by their tag: whom they must reach
        self.in_the_morning: list[str] = []  # whose phones ring then because something was settled
        self.seen = 0  # rows of the outbox that have been looked at

    # what people do

    @rule(asker=an_asker, words=some.sampled_from(ASKED))
    def ask(self, asker: str, words: str) -> None:
        self.let_pass(MINUTE)
        before = self.thread(asker)
        if before is not None and self.is_above(asker, before):
            self.ask_too_often(asker, before, words)
            return
        number = before or len(self.asked) + 1
        if before is None:
            self.asked[number] = Asked(asker, self.now)
        one = self.asked[number]
        person = one.person = one.settled_by or one.person or on_duty(self.now)
        if not one.open:
            one.has, one.waits_for = [], []
        one.settled_by = one.settled_at = None
        waits = is_night(self.now) and not one.danger
        if waits:
            one.waits_for.append(person)
        else:
            one.has = list(dict.fromkeys([*one.has, person]))
        one.next_at = (morning_after(self.now) if waits else self.now) + WITHIN
        text = words.format(next(self.tags))
        self.words.append(text.replace("902 555 0150", "...50"))
        self.lately.append((asker, "detail" if one.danger else "question", self.now))
        if one.danger:
            self.alarms_told[person] = self.now
        heard = self.text(asker, text)
        self.only(heard, asker, *([] if waits else [PHONES[person]]))
        self.look()

    def ask_too_often(self, asker: str, number: int, words: str) -> None:
        """Nobody is told of it singly: it is kept with the question, and of an alarm counted and told by number."""
        one, text = self.asked[number], words.format(next(self.tags))
        assert one.open
        self.added.append((number, text))
        self.lately.append((asker, "detail" if one.danger else "question", self.now))
        one.held += int(one.danger)
        self.only(self.text(asker, text), asker)
        self.look()

    @rule(asker=an_asker)
    def call_for_help(self, asker: str) -> None:
        """Told at once, at any hour. What follows within minutes is counted: tests/conversation/test_alarms.py."""
        if any(one.danger for one in self.asked.values()):
            return
        self.let_pass(MINUTE)
        person = "odile" if is_night(self.now) else on_duty(self.now)
        self.asked[len(self.asked) + 1] = Asked(
            asker, self.now, has=[person], next_at=self.now + WITHIN, danger=True, person=person
        )
        text = f"he is not breathing, near {next(self.tags)}"
        self.words.append(text)
        self.alarms_told[person] = self.now
        self.only(self.text(asker, text), asker, PHONES[person])
        self.look()

    @precondition(lambda self: self.readers)
    @rule(choice=some.data(), words=some.sampled_from(ANSWERED))
    def simply_reply(self, choice: some.DataObject, words: str) -> None:
        """To the only open question that the helper has read; with several it goes nowhere."""
        self.let_pass(MINUTE)
        helper = choice.draw(some.sampled_from(self.readers))
        mine = [number for number, one in self.asked.items() if one.open and helper in one.holders]
        if any(helper in self.asked[number].waits_for for number in mine):
            return  # another is not read yet
        if len(mine) == 1:
            self.answer(helper, mine[0], words)
            return
        tag = next(self.tags)
        self.answers[tag] = []
        self.only(self.text(PHONES[helper], words.format(tag)), PHONES[helper])
        self.look()

    @precondition(lambda self: self.asked)
    @rule(helper=a_helper, choice=some.data(), words=some.sampled_from(ANSWERED))
    def reply_by_number(self, helper: str, choice: some.DataObject, words: str) -> None:
        """Also to what others have, and to what is settled."""
        self.let_pass(MINUTE)
        number = choice.draw(some.sampled_from(sorted(self.asked)[-3:]))
        if not self.is_over(number):
            self.answer(helper, number, f"Q{number} {words}")

    @precondition(lambda self: self.open)
    @rule(first=a_helper, second=a_helper, choice=some.data(), words=some.sampled_from(ANSWERED))
    def two_reply_at_once(self, first: str, second: str, choice: some.DataObject, words: str) -> None:
        """Both read it as open; one is sent, the other is told whose."""
        self.let_pass(MINUTE)
        number = choice.draw(some.sampled_from(self.open))
        if first == second:
            return
        one, tag = self.asked[number], next(self.tags)
        self.put_down(PHONES[first], f"Q{number} {words.format(tag)}")
        self.answers[tag] = [one.asker]
        others = self.hear_of_it(one, first)
        self.settle(one, first)
        tag = next(self.tags)
        self.answers[tag] = []
        heard = self.text(PHONES[second], f"Q{number} {words.format(tag)}")
        self.only(heard, PHONES[first], PHONES[second], one.asker, *others)
        assert any(f"Q{number} " in said and NAMES[first] in said for said in to(PHONES[second], heard))
        self.look()

    @precondition(lambda self: self.open)
    @rule(helper=a_helper, taker=a_helper, choice=some.data())
    def pass_on(self, helper: str, taker: str, choice: some.DataObject) -> None:
        self.let_pass(MINUTE)
        number = choice.draw(some.sampled_from(self.open))
        one = self.asked[number]
        if helper == taker or taker in one.holders:
            return
        waits = is_night(self.now) and not one.danger
        (one.waits_for if waits else one.has).append(taker)
        one.person = taker
        one.next_at = (morning_after(self.now) if waits else self.now) + WITHIN
        heard = self.text(PHONES[helper], f"pass Q{number} to {NAMES[taker]}")
        self.only(heard, PHONES[helper], *([] if waits else [PHONES[taker]]))
        self.look()

    @precondition(lambda self: self.open)
    @rule(helper=a_helper, choice=some.data())
    def done(self, helper: str, choice: some.DataObject) -> None:
        """Shown with a code; nothing has happened yet, and nobody else hears of it. What was shown before is shown no more."""
        self.let_pass(2 * MINUTE)  # the same text thrice within five minutes would be a machine's
        number = choice.draw(some.sampled_from(self.open))
        heard = self.text(PHONES[helper], f"done Q{number}")
        self.only(heard, PHONES[helper])
        (said,) = to(PHONES[helper], heard)
        (code,) = SHOWN.findall(said)
        assert f"Q{number} " in said
        self.shown[helper] = Shown(number, code, self.now + GOOD_FOR)
        self.look()

    @precondition(lambda self: self.open)
    @rule(helper=a_helper, choice=some.data())
    def done_with_its_code(self, helper: str, choice: some.DataObject) -> None:
        self.done(helper, choice)
        self.let_pass(MINUTE)
        self.yes(helper)

    @precondition(lambda self: self.shown)
    @rule(choice=some.data(), minutes=some.sampled_from([1, 5, 9, 10, 25]))
    def say_yes(self, choice: some.DataObject, minutes: int) -> None:
        """Perhaps too late, or after somebody has answered or settled it: then nothing happens, and nobody else hears of it."""
        self.let_pass(minutes * MINUTE)
        self.yes(choice.draw(some.sampled_from(sorted(self.shown))))

    @precondition(lambda self: self.shown)
    @rule(helper=a_helper, choice=some.data())
    def say_yes_with_the_code_of_another(self, helper: str, choice: some.DataObject) -> None:
        """A wrong one. A phone that sends too many: tests/people and tests/conversation."""
        self.let_pass(MINUTE)
        owner = choice.draw(some.sampled_from(sorted(self.shown)))
        if helper == owner or self.wrong.count(helper) == TRIES_AN_HOUR - 1:
            return
        self.wrong.append(helper)
        self.only(self.text(PHONES[helper], f"yes {self.shown[owner].code}"), PHONES[helper])
        self.look()

    @precondition(lambda self: self.shown)
    @rule(choice=some.data())
    def say_no(self, choice: some.DataObject) -> None:
        """What was shown is let go; its code does nothing from now on."""
        self.let_pass(MINUTE)
        helper = choice.draw(some.sampled_from(sorted(self.shown)))
        if self.now < self.shown[helper].until:
            self.only(self.text(PHONES[helper], "no"), PHONES[helper])
            self.shown[helper] = replace(self.shown[helper], until=self.now)
            self.look()

    @precondition(lambda self: not is_night(self.now))
    @rule(asker=an_asker, words=some.sampled_from(ASKED))
    def ask_at_night(self, asker: str, words: str) -> None:
        """Its note waits for the morning."""
        night = datetime.combine(self.now.date(), time(22), HALIFAX)
        self.let_pass(night - self.now)
        self.ask(asker, words)

    @precondition(lambda self: is_night(self.now))
    @rule()
    def sleep(self) -> None:
        self.let_pass(morning_after(self.now) - self.now + 5 * MINUTE)
        self.look()

    @rule(minutes=some.sampled_from([5, 29, 30, 31, 2 * 60, 25 * 60]))
    def nobody_writes(self, minutes: int) -> None:
        self.let_pass(minutes * MINUTE)
        self.look()

    # how it is made to happen

    def yes(self, helper: str) -> None:
        """With the code that this phone was shown, which is good for one thing once."""
        shown = self.shown.pop(helper)
        one, others = self.asked[shown.number], list[str]()
        if one.open and self.now < shown.until:
            others = self.hear_of_it(one, helper)
            self.settle(one, helper)
        self.only(self.text(PHONES[helper], f"YES {shown.code}"), PHONES[helper], *others)
        self.look()

    def is_above(self, asker: str, number: int) -> bool:
        """Whether one more text to that question, which is open, is more than one phone has told of singly."""
        one = self.asked[number]
        most = limit("detail" if one.danger else "question")
        since = self.now - most.within
        texts = sum(who == asker and kind == most.kind and at > since for who, kind, at in self.lately)
        return one.open and texts >= most.most

    def let_pass(self, while_: timedelta) -> None:
        """Time goes by; each morning, and at its end, what is due reaches the next and nobody else hears anything."""
        before, self.now = self.now, self.now + while_
        due: list[str] = []
        morning = morning_after(before)
        while morning < self.now:
            due += self.falls_due(morning)
            morning = morning_after(morning)
        due += self.falls_due(self.now)
        due += self.held_back(self.now)
        heard = self.club.pass_time(before, self.now)
        assert sorted(one.recipient for one in heard) == sorted(due)

    def held_back(self, moment: datetime) -> list[str]:
        """Whose phones have rung by then with the number of texts of an alarm that were held back: once in two minutes, at night too."""
        rings: list[str] = []
        for one in self.asked.values():
            told_at = self.alarms_told.get(one.person)
            due = self.now if told_at is None else told_at + ALARMS_EVERY
            if one.held and due <= moment:
                one.held, self.alarms_told[one.person] = 0, due
                rings.append(PHONES[one.person])
        return rings

    def falls_due(self, moment: datetime) -> list[str]:
        """Whose phones ring then: the notes of the night, and the next for each question that was open for too long."""
        night = is_night(moment)
        rings: list[str] = []
        if not night:
            rings, self.in_the_morning = self.in_the_morning, []
        for one in self.asked.values():
            if night and not one.danger:
                continue
            rings += [] if night else [PHONES[helper] for helper in one.waits_for]
            if not night:
                one.has, one.waits_for = one.holders, []
            if one.next_at is None or one.next_at > moment:
                continue
            order = [on_duty(moment), "jonas", "femi", "odile"]
            taker = next((helper for helper in order if helper not in one.holders), None)
            one.next_at = moment + WITHIN if taker is not None else None
            if taker is not None:
                one.has.append(taker)
                one.person = taker
                rings.append(PHONES[taker])
                if one.danger:
                    self.alarms_told[taker] = moment
        return rings

    def answer(self, helper: str, number: int, words: str) -> None:
        """It reaches whoever asked that question, if nobody else has settled it, and once the others who have it are told."""
        one, tag = self.asked[number], next(self.tags)
        others = self.hear_of_it(one, helper) if one.open else []
        goes = one.open or one.settled_by == helper
        self.answers[tag] = [one.asker] if goes else []
        if one.open:
            self.settle(one, helper)
        heard = self.text(PHONES[helper], words.format(tag))
        self.only(heard, PHONES[helper], *([one.asker] if goes else []), *others)
        self.look()

    def hear_of_it(self, one: Asked, helper: str) -> list[str]:
        """Whose phones ring because this helper settles it: those of all others who have it, at night in the morning."""
        phones = [PHONES[other] for other in one.others(helper)]
        if is_night(self.now):
            self.in_the_morning += phones
            return []
        return phones

    def settle(self, one: Asked, helper: str) -> None:
        """The notes that wait for the morning come all the same."""
        self.in_the_morning += [PHONES[other] for other in one.waits_for]
        one.has, one.waits_for = one.holders, []
        one.settled_by, one.settled_at, one.next_at = helper, self.now, None

    def put_down(self, sender: str, text: str) -> None:
        with self.club.engine.begin() as connection:
            assert put_down(connection, a_text(text, sender=sender, id=text, at=self.now))

    def text(self, sender: str, text: str) -> list[Heard]:
        return self.club.text(sender, text, self.now)

    def only(self, heard: Sequence[Heard], *recipients: str) -> None:
        """These phones rang, each once for each time it is named, and no other but those that are told now what was held back."""
        assert sorted(one.recipient for one in heard) == sorted([*recipients, *self.held_back(self.now)]), heard

    def thread(self, asker: str) -> int | None:
        """The question that this asker goes on with: the latest, of less than a day."""
        since = self.now - DAY
        found = [
            number
            for number, one in self.asked.items()
            if one.asker == asker and one.asked_at > since and (one.settled_at is None or one.settled_at > since)
        ]
        return max(found, default=None)

    @property
    def open(self) -> list[int]:
        return [number for number, one in self.asked.items() if one.open]

    @property
    def readers(self) -> list[str]:
        """Who has read a question that is open."""
        return [helper for helper in PHONES if any(helper in self.asked[number].has for number in self.open)]

    def is_over(self, number: int) -> bool:
        """Settled more than a day ago: nobody remembers its number."""
        settled_at = self.asked[number].settled_at
        return settled_at is not None and settled_at <= self.now - DAY

    # what is so after each of these

    def look(self) -> None:
        self.everything_was_answered()
        self.questions_are_as_their_people_see_them()
        self.no_question_is_lost()
        self.answers_reach_whom_they_must_and_once()
        self.texts_are_fit_to_be_read_and_keep_the_night()

    def everything_was_answered(self) -> None:
        with self.club.engine.connect() as connection:
            left = select(func.count()).where((inbox.c.state != "answered") | (inbox.c.outcome == "fault"))
            assert connection.execute(left).scalar_one() == 0

    def questions_are_as_their_people_see_them(self) -> None:
        kept = {
            row["number"]: (row["asker"], row["answered_by"] if row["answered_at"] is not None else None)
            for row in rows(self.club.engine, questions)
        }
        assert kept == {number: (one.asker, one.settled_by) for number, one in self.asked.items()}

    def no_question_is_lost(self) -> None:
        """Each text of an asker was quoted to a helper; what was too much for that is kept with its question as long as that is open; each
        open question is with somebody.
        """
        notes = [row["text"] for row in rows(self.club.engine, outbox) if row["key"].startswith("question:")]
        assert [words for words in self.words if not any(f'"{words}"' in note for note in notes)] == []
        texts = {row["id"]: row["text"] for row in rows(self.club.engine, inbox)}
        kept = {
            row["number"]: (row["so_far"] or "") + texts[row["inbox_id"]] for row in rows(self.club.engine, questions)
        }
        self.added = [(number, words) for number, words in self.added if self.asked[number].open]
        assert [words for number, words in self.added if words not in kept[number]] == []
        assert all(one.holders for one in self.asked.values())

    def answers_reach_whom_they_must_and_once(self) -> None:
        texts = [row for row in rows(self.club.engine, outbox) if row["key"].startswith("answer:")]
        for tag, reached in self.answers.items():
            assert [row["recipient"] for row in texts if tag in row["text"]] == reached
        assert len(texts) == sum(len(reached) for reached in self.answers.values())

    def texts_are_fit_to_be_read_and_keep_the_night(self) -> None:
        """No number shows; at night there are replies, what a person writes to an asker, and danger, also what was held back of it."""
        new = rows(self.club.engine, outbox)[self.seen :]
        self.seen += len(new)
        assert numbers_in([row["text"] for row in new], NUMBERS) == []
        for row in new:
            assert row["state"] == "sent" or row["due_at"] == morning_after(self.now)
            if row["sent_at"] is not None and is_night(row["sent_at"]):
                kind, number = row["key"].split(":")[:2]
                assert kind in {"reply", "answer", "alarms"} or (kind == "question" and self.asked[int(number)].danger)
        assert all(not is_night(row["due_at"]) for row in new if row["state"] == "waiting")


def to(number: str, heard: Sequence[Heard]) -> list[str]:
    return [one.text for one in heard if one.recipient == number]


TestQuestionsInAnyOrder = QuestionsInAnyOrder.TestCase
# Without shrinking, which would play whole weeks again for minutes; a failure is seen at once, and shrunk by hand with Phase.shrink.
TestQuestionsInAnyOrder.settings = settings(
    max_examples=15, stateful_step_count=20, deadline=None, derandomize=True, phases=[Phase.generate]
)


# What came up besides, each by itself


def at_once(engine: Engine, handbook: Handbook, *texts: tuple[str, str]) -> list[tuple[str, str]]:
    """Texts that are decided on the same snapshot and then written one after the other; the texts that are written because of them."""
    pen = a_pen(lambda: f"msg_{next(_IDS)}")
    before = len(rows(engine, outbox))
    for sender, text in texts:
        with engine.begin() as connection:
            assert put_down(connection, a_text(text, sender=sender, id=f"{sender} {text}"))
    decided = decide_some(engine, handbook, NOON, lambda: as_code(next(_CODES)))
    assert len(decided) == len(texts)
    with engine.begin() as connection:
        assert write_all(connection, decided, handbook, pen, NOON) == len(texts)
    return [(row["recipient"], row["text"]) for row in rows(engine, outbox)[before:]]


_IDS, _CODES = itertools.count(1), itertools.count(10_000_000)
CAMPGROUND = "can you recommend a campground"


def test_of_two_answers_written_at_once_one_is_sent_and_the_other_is_told(engine: Engine, handbook: Handbook) -> None:
    at_once(engine, handbook, (ANA, CAMPGROUND))
    wrote = at_once(engine, handbook, (JONAS, "Q1 The lighthouse."), (FEMI, "Q1 The river."))

    assert [text for recipient, text in wrote if recipient == ANA] == ["Jonas from Tern Harbour DGC: The lighthouse."]
    assert any(recipient == FEMI and "answered by Jonas already" in text for recipient, text in wrote)


def shown_to_femi(engine: Engine, handbook: Handbook) -> str:
    """Ana has asked, and Femi was shown what settling it would be; her yes with the code."""
    at_once(engine, handbook, (ANA, CAMPGROUND))
    ((recipient, text),) = at_once(engine, handbook, (FEMI, "done Q1"))
    (code,) = SHOWN.findall(text)
    assert recipient == FEMI
    return f"YES {code}"


def test_an_answer_and_done_at_once_the_first_counts(engine: Engine, handbook: Handbook) -> None:
    yes = shown_to_femi(engine, handbook)
    wrote = at_once(engine, handbook, (FEMI, yes), (JONAS, "Q1 The lighthouse."))

    assert [text for recipient, text in wrote if recipient == ANA] == []
    assert any(recipient == JONAS and "answered by Femi already" in text for recipient, text in wrote)


def test_done_on_its_code_and_an_answer_at_once_the_first_counts(engine: Engine, handbook: Handbook) -> None:
    yes = shown_to_femi(engine, handbook)
    wrote = at_once(engine, handbook, (JONAS, "Q1 The lighthouse."), (FEMI, yes))

    assert [text for recipient, text in wrote if recipient == ANA] == ["Jonas from Tern Harbour DGC: The lighthouse."]
    assert [row["answered_by"] for row in rows(engine, questions)] == ["jonas"]


def test_an_answer_goes_out_while_done_still_waits_for_its_code(engine: Engine, handbook: Handbook) -> None:
    at_once(engine, handbook, (ANA, CAMPGROUND))
    wrote = at_once(engine, handbook, (FEMI, "done Q1"), (JONAS, "Q1 The lighthouse."))

    assert [text for recipient, text in wrote if recipient == ANA] == ["Jonas from Tern Harbour DGC: The lighthouse."]


def test_what_is_passed_while_it_is_answered_goes_to_nobody(engine: Engine, handbook: Handbook) -> None:
    at_once(engine, handbook, (ANA, CAMPGROUND))
    wrote = at_once(engine, handbook, (JONAS, "Q1 The lighthouse."), (FEMI, "pass Q1 to Priya"))

    assert [text for recipient, text in wrote if recipient == PRIYA] == []
