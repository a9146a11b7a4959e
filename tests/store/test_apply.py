"""The one pen: what each effect writes, all of it or nothing, and once."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date, time, timedelta
from typing import Any, get_args

import pytest
from sqlalchemy import Engine

from clubbot.model.choices import any_of
from clubbot.model.club import Closure, DutyDay, EventRule, Person, Retired, Swap
from clubbot.model.deeds import CallOffDeed, CloseDeed, Deed, Draft, ReopenDeed, TeachDeed, TellDeed
from clubbot.model.dialogue import DialogueEffect, DialogueState, after
from clubbot.model.effects import (
    QUESTION_NUMBER,
    AddEventDay,
    AddToAlarm,
    AnswerQuestion,
    AskAboutClosure,
    BringBack,
    CallOffDay,
    CallOnDay,
    ChooseLanguage,
    CloseChoice,
    CloseCourse,
    CloseDraft,
    Effect,
    EndBroadcast,
    Erase,
    ForgetTaught,
    GoOnWithBroadcasts,
    GoQuiet,
    HandOver,
    HoldBroadcasts,
    Introduce,
    KeepDuty,
    KeepExchange,
    KeepLanguage,
    KeepName,
    KeepPerson,
    KeepReport,
    KeepRevision,
    KeepRoles,
    KeepRsvp,
    KeepTaught,
    KeepWarned,
    LetThrough,
    MoveDay,
    NoteDoubt,
    OpenChoice,
    OpenDraft,
    OpenReport,
    OptIn,
    OptOut,
    PassQuestion,
    PlanReminders,
    Propose,
    ProposeWriting,
    PutInTouch,
    Record,
    Relay,
    ReopenCourse,
    Reply,
    RetirePerson,
    SendDigest,
    SettleQuestion,
    SettleReminder,
    SettleReport,
    SignIn,
    SpeakAgain,
    SpeakOf,
    StartBroadcast,
    Subscribe,
    Suspend,
    SwapDuty,
    TakeBackAnswer,
    TellAlarms,
    TellKept,
    TellOf,
    TellPerson,
    TryCode,
    Unsubscribe,
    WriteTo,
)
from clubbot.model.exchange import Spoken
from clubbot.model.messages import Said
from clubbot.model.orders import Audience
from clubbot.model.quiet import QuietHours
from clubbot.model.rsvps import DayId, Offer, Planned, Rsvp
from clubbot.store.apply import apply, carry_out
from clubbot.store.club import read_draft
from clubbot.store.dialogues import as_json, read_dialogue
from clubbot.store.store import Store
from clubbot.store.tables import (
    closures,
    consents,
    inbox,
    metadata,
    outbox,
    people,
    questions,
    reports,
    subscriptions,
)
from tests.builders import KIM, OUR_NUMBER, a_text
from tests.conftest import HALIFAX, NOON
from tests.store.builders import JONAS, LEE, PRIYA, Row, a_pen, decided, done, kept, numbered, rows, the_row

LATER = NOON + timedelta(minutes=1)
HANDED = HandOver(reason="human", person="jonas", number=JONAS, note=f"Q{QUESTION_NUMBER}: a question")
CRIED = HandOver(reason="danger", person="jonas", number=JONAS, note=f"Q{QUESTION_NUMBER}: a cry")
ASKED = OpenChoice(choices=any_of(("borrow", "buy")), about="discs?", language="en", until=LATER)
SAID = KeepExchange(
    text="how much is league", language="en", intents=(Spoken(intent="league", event="dusk-league"),), others=("buy",)
)
SAID_NEXT = KeepExchange(text="a new one", language="fr")
LEAGUE = DayId("dusk-league", date(2027, 6, 9))
COMING = KeepRsvp(on=LEAGUE, rsvp=Rsvp(number=KIM, state="coming", people=2), seen=0, told="at six")
SPOKEN = SpeakOf(on=LEAGUE, intent="rsvp-change", awaits="number", people=3, before=COMING.rsvp)
WARNED = KeepWarned(risks=("thunder",))
REMINDED = PlanReminders(
    on=LEAGUE, number=KIM, kinds=("evening", "hours"), planned=(Planned(kind="evening", due=LATER),)
)

FLOODED = Said(en="flooded", fr="inondé")
CLOSED = CloseCourse(
    closure=Closure(what="marsh", since=NOON, until=LATER, reason=FLOODED, kind="danger"), person="jonas"
)
HELD = CloseCourse(
    closure=Closure(what="course", since=NOON, reason=Said(en="thunder", fr="orage"), kind="held"), person="jonas"
)
A_NIGHT = EventRule(
    id="added-20270618-night-round",
    topic="added",
    name=Said(en="night round", fr="night round"),
    first=date(2027, 6, 18),
    last=date(2027, 6, 18),
    starts=time(21),
    meet=Said(en="the pier", fr="le quai"),
)
DRAFTED = OpenDraft(draft=Draft(code="4821", deed=ReopenDeed(closures=(1, 2), what="the Marsh loop"), until=LATER))
ON_THE_LIST = Subscribe(list_id="event-news", words="on")
NIGHT = QuietHours(time(21), time(8), HALIFAX)
TOLD = StartBroadcast(
    person="priya",
    audience=Audience("list", list_id="event-news"),
    on=None,
    texts={"en": "Bring water.", "fr": "Apportez de l'eau."},
    quiet=None,
    per_minute=60,
    helpers=(),
)
LOST = KeepReport(number=1, kind="lost-disc", hole=7, words="lost a red disc")
TAUGHT = TeachDeed(topic=None, asked="can my cat come", language="en", answer="Yes, on a lead.", taught_by="jonas")
FOUND = KeepReport(number=2, kind="found-disc", hole=None, words="found a red disc")


@dataclass(frozen=True, kw_only=True)
class Case:
    """After `before`, `effect` writes these rows, new or changed, and touches no other table."""

    effect: Effect
    writes: Mapping[str, Sequence[Row]]
    before: tuple[Effect, ...] = ()
    sender: str = KIM
    texts: str = "the words"
    takes_away: Sequence[str] = field(default=())


def proof(what: str, list_id: str | None = None) -> Row:
    """Who, when, how, in what words."""
    return {
        "number": KIM,
        "at": LATER,
        "what": what,
        "list_id": list_id,
        "channel": "test",
        "words": "the words",
        "inbox_id": 3,
    }


def a_text_out(to: str, text: str, key: str, *, asks_consent: int = 1) -> Row:
    return {
        "id": "msg_1",
        "key": key,
        "recipient": to,
        "sender": OUR_NUMBER,
        "text": text,
        "created_at": LATER,
        "due_at": LATER,
        "claimed_until": None,
        "state": "waiting",
        "attempts": 0,
        "asks_consent": asks_consent,
        "sent_at": None,
        "reason": None,
    }


def a_day_counted(**counts: int) -> Row:
    """The counts of the day; what is not named is 0."""
    names = ("coming", "maybe", "waiting", "offered", "came", "new_faces", "version", "last_turn")
    return {"event": LEAGUE.event, "day": LEAGUE.day, **dict.fromkeys(names, 0), **counts}


def an_answer(state: str, people: int, **more: object) -> Row:
    """Kim's answer, given at noon and changed now."""
    usual = {"turn": 0, "offered": 0, "offered_until": None, "passed_over": 0, "stand_in": None}
    times = {"since": NOON, "changed_at": LATER}
    on = {"event": LEAGUE.event, "day": LEAGUE.day, "number": KIM}
    return {**on, "state": state, "people": people, **usual, **times, **more}


def a_reminder(**more: object) -> Row:
    """Kim's reminder of the evening before."""
    return {"number": KIM, "event": LEAGUE.event, "day": LEAGUE.day, "kind": "evening", **more}


def remembered(*effects: DialogueEffect, before: DialogueEffect | None = None) -> Row:
    """The memory of the conversation with Kim after effects."""
    state = DialogueState() if before is None else after(DialogueState(), before, NOON)
    for effect in effects:
        state = after(state, effect, LATER)
    return {"number": KIM, "state": as_json(state), "at": LATER}


def a_closure(closed: CloseCourse, **more: object) -> Row:
    """A closure as it is kept; what is not named is as it was made."""
    made = closed.closure
    usual = {"id": 1, "what": made.what, "since": made.since, "until": made.until, "kind": made.kind}
    reason = {"reason_en": made.reason.en, "reason_fr": made.reason.fr}
    return {
        **usual,
        **reason,
        "made_by": closed.person,
        "asked_at": None,
        "ended_at": None,
        "begun": made.since <= LATER,
        **more,
    }


def a_broadcast(**more: object) -> Row:
    """Priya's text to the list, begun at noon."""
    words = {"words_en": "Bring water.", "words_fr": "Apportez de l'eau."}
    usual = {"id": 1, "person": "priya", "number": KIM, "audience": "list event-news", "people": 1, "left_out": 0}
    return {**usual, **words, "begun_at": NOON, "state": "sending", **more}


def one_of_many(**more: object) -> Row:
    """What of that broadcast goes to Kim."""
    return {**a_text_out(KIM, "Bring water.", f"broadcast:1:{KIM}"), "after": 1, "broadcast": 1, **more}


CASES = [
    Case(effect=Reply(text="Yes, open."), writes={"outbox": [a_text_out(KIM, "Yes, open.", "reply:3:0")]}),
    Case(
        effect=Reply(text="No more texts.", asks_consent=False),
        writes={"outbox": [a_text_out(KIM, "No more texts.", "reply:3:0", asks_consent=0)]},
    ),
    Case(
        effect=TellPerson(person="jonas", number=JONAS, text="A flood."),
        writes={"outbox": [a_text_out(JONAS, "A flood.", "tell:3:0", asks_consent=0)]},
    ),
    Case(
        effect=HANDED,
        writes={
            "questions": [
                {
                    "number": 1,
                    "inbox_id": 3,
                    "asker": KIM,
                    "language": "en",
                    "reason": "human",
                    "person": "jonas",
                    "asked_at": LATER,
                    "answered_at": None,
                    "answered_by": None,
                }
            ],
            "outbox": [a_text_out(JONAS, "Q1: a question", "question:1", asks_consent=0)],
        },
    ),
    Case(
        before=(HANDED,),
        sender=PRIYA,
        effect=AnswerQuestion(number=1, person="priya", text="Priya: bring a jacket"),
        writes={
            "questions": [{"number": 1, "asker": KIM, "person": "jonas", "answered_at": LATER, "answered_by": "priya"}],
            "outbox": [a_text_out(KIM, "Priya: bring a jacket", "answer:1:3")],
            "sent_answers": [{"question": 1, "person": "priya", "at": LATER}],
        },
    ),
    Case(effect=KeepLanguage(language="fr"), writes={"people": [{"number": KIM, "language": "fr", "name": None}]}),
    Case(effect=KeepName(name="Kim"), writes={"people": [{"number": KIM, "language": None, "name": "Kim"}]}),
    Case(effect=Introduce(), writes={"people": [{"number": KIM, "introduced": 1, "opted_out": 0}]}),
    Case(effect=GoQuiet(reason="flood"), writes={"people": [{"number": KIM, "quiet_reason": "flood"}]}),
    Case(
        before=(GoQuiet(reason="flood"),),
        effect=SpeakAgain(),
        writes={"people": [{"number": KIM, "quiet_reason": None}]},
    ),
    Case(
        effect=OptOut(words="the words"),
        writes={"people": [{"number": KIM, "opted_out": 1}], "consents": [proof("stop")]},
    ),
    Case(
        before=(OptOut(words="stop"),),
        effect=OptIn(words="the words"),
        writes={"people": [{"number": KIM, "opted_out": 0}], "consents": [proof("start")]},
    ),
    Case(
        effect=Subscribe(list_id="course-news", words="the words"),
        writes={
            "subscriptions": [{"number": KIM, "list_id": "course-news", "since": LATER}],
            "consents": [proof("list on", "course-news")],
        },
    ),
    Case(
        before=(Subscribe(list_id="course-news", words="on"), Subscribe(list_id="event-news", words="on")),
        effect=Unsubscribe(list_id="course-news", words="the words"),
        writes={"consents": [proof("list off", "course-news")]},
        takes_away=("subscriptions",),
    ),
    Case(
        effect=ASKED,
        writes={
            "dialogues": [remembered(ASKED)],
        },
    ),
    Case(before=(ASKED,), effect=CloseChoice(), writes={"dialogues": [remembered()]}),
    Case(
        effect=SAID,
        writes={
            "dialogues": [remembered(SAID)],
        },
    ),
    Case(
        before=(SAID,),
        effect=SAID_NEXT,
        writes={"dialogues": [remembered(SAID_NEXT, before=SAID)]},
    ),
    Case(
        before=(SAID,),
        effect=OptOut(words="the words"),
        writes={
            "people": [{"number": KIM, "opted_out": 1}],
            "consents": [proof("stop")],
            "dialogues": [remembered()],
        },
    ),
    Case(effect=Erase(), writes={}, takes_away=("people", "consents")),
    Case(
        before=(OptOut(words="stop"), Subscribe(list_id="course-news", words="on")),
        effect=Erase(),
        writes={"people": [{"number": KIM, "opted_out": 1, "name": None}]},
        takes_away=("consents", "subscriptions"),
    ),
    Case(effect=ChooseLanguage(language="fr"), writes={"dialogues": [remembered(ChooseLanguage(language="fr"))]}),
    # one who asks is no three
    Case(effect=ProposeWriting(topic="website", number=JONAS, text="Three have asked."), writes={}),
    Case(
        effect=NoteDoubt(text="getting discs", read_as="buy", meant="borrow"),
        writes={"doubts": [{"text": "getting discs", "read_as": "buy", "meant": "borrow", "at": LATER}]},
    ),
    Case(
        effect=COMING,
        writes={
            "event_days": [a_day_counted(coming=2, version=1)],
            "rsvps": [an_answer("coming", 2, told="at six", told_at=LATER, since=LATER)],
        },
    ),
    Case(
        before=(COMING,),
        effect=KeepRsvp(
            on=LEAGUE,
            rsvp=Rsvp(number=KIM, state="waiting", people=3, turn=4, offer=Offer(people=1, until=LATER), passed_over=2),
            seen=1,
        ),
        writes={
            "event_days": [a_day_counted(waiting=3, offered=1, version=2, last_turn=4)],
            "rsvps": [
                an_answer(
                    "waiting", 3, turn=4, offered=1, offered_until=LATER, passed_over=2, told="at six", told_at=NOON
                )
            ],
        },
    ),
    Case(
        before=(COMING,),
        effect=TellOf(on=LEAGUE, number=KIM, text="It's at seven.", key="change:7", told="at seven", awaits="maybe"),
        writes={
            "outbox": [a_text_out(KIM, "It's at seven.", "change:7")],
            "rsvps": [an_answer("coming", 2, told="at seven", told_at=LATER, changed_at=NOON)],
            "dialogues": [remembered(SpeakOf(on=LEAGUE, intent="told", awaits="maybe"))],
        },
    ),
    Case(
        effect=REMINDED,
        writes={"reminders": [a_reminder(id=1, due_at=LATER, state="waiting", reason=None, ended_at=None)]},
    ),
    Case(
        before=(REMINDED,),
        effect=PlanReminders(on=LEAGUE, number=KIM, kinds=("evening", "hours")),
        writes={
            "reminders": [a_reminder(due_at=LATER, state="dropped", reason="no longer wanted", ended_at=LATER)],
        },
    ),
    Case(
        before=(REMINDED,),
        effect=SettleReminder(id=1, reason=None),
        writes={"reminders": [a_reminder(state="told", reason=None, ended_at=LATER)]},
    ),
    Case(
        before=(REMINDED,),
        effect=SettleReminder(id=1, reason="too late"),
        writes={"reminders": [a_reminder(state="dropped", reason="too late", ended_at=LATER)]},
    ),
    Case(
        before=(COMING,),
        effect=SignIn(on=LEAGUE, people=2),
        writes={
            "event_days": [a_day_counted(coming=2, came=2, new_faces=2, version=2)],
            "attendance": [
                {
                    "event": LEAGUE.event,
                    "day": LEAGUE.day,
                    "number": KIM,
                    "people": 2,
                    "new_face": 1,
                    "came_at": LATER,
                }
            ],
        },
    ),
    Case(effect=WARNED, writes={"dialogues": [remembered(WARNED)]}),
    Case(
        effect=SPOKEN,
        writes={
            "dialogues": [remembered(SPOKEN)],
        },
    ),
    Case(
        effect=KeepRevision(event="dusk-league", day=LEAGUE.day, words="off", sequence=2),
        writes={
            "revisions": [
                {"event": "dusk-league", "day": LEAGUE.day, "words": "off", "sequence": 2, "changed_at": LATER}
            ]
        },
    ),
    Case(
        effect=KeepRevision(event="dusk-league", day=None, words="every week", sequence=0),
        writes={"revisions": [{"event": "dusk-league", "words": "every week", "sequence": 0, "changed_at": LATER}]},
    ),
    Case(
        before=(HANDED,),
        effect=HandOver(reason="human", person="priya", number=PRIYA, note=f"Q{QUESTION_NUMBER}: more", again=1),
        writes={
            "questions": [{"number": 1, "inbox_id": 3, "asker": KIM, "person": "priya", "told": "jonas priya"}],
            "outbox": [a_text_out(PRIYA, "Q1: more", "question:1:3", asks_consent=0)],
        },
    ),
    Case(
        before=(HANDED,),
        effect=PassQuestion(number=1, person="priya", phone=PRIYA, note="Q1: a question", next_at=LATER),
        writes={
            "questions": [
                {"number": 1, "person": "priya", "told": "jonas priya", "next_at": LATER, "answered_at": None}
            ],
            "outbox": [
                a_text_out(PRIYA, "Q1: a question", f"question:1:priya:{int(LATER.timestamp())}", asks_consent=0)
            ],
        },
    ),
    Case(
        before=(HANDED,),
        sender=PRIYA,
        effect=SettleQuestion(number=1, person="priya"),
        writes={"questions": [{"number": 1, "answered_at": LATER, "answered_by": "priya", "next_at": None}]},
    ),
    Case(
        effect=SwapDuty(swap=Swap(day=LEAGUE.day, instead_of="priya", taker="femi")),
        writes={"duty_swaps": [{"day": LEAGUE.day, "instead_of": "priya", "taker": "femi"}]},
    ),
    Case(effect=DRAFTED, writes={"drafts": [{"number": KIM, "code": "4821", "until": LATER}]}),
    Case(before=(DRAFTED,), effect=TryCode(), writes={"wrong_codes": [{"number": KIM, "at": LATER}]}),
    Case(effect=Suspend(person="jonas"), writes={"suspended": [{"number": KIM, "since": LATER}]}),
    Case(
        effect=Suspend(person="priya", number=PRIYA, by="jonas"),
        writes={"suspended": [{"number": PRIYA, "since": LATER, "by": "jonas"}]},
    ),
    Case(
        before=(Suspend(person="priya", number=PRIYA, by="jonas"),),
        effect=BringBack(number=PRIYA),
        writes={},
        takes_away=("suspended",),
    ),
    Case(
        effect=KeepPerson(person=Person(id="remy", name="Remy Test", number=PRIYA, roles=("helper",))),
        writes={"roster_changes": [{"id": "remy", "at": LATER}]},
    ),
    Case(
        effect=KeepRoles(person="jonas", roles=("course keeper", "treasurer")),
        writes={"role_changes": [{"id": "jonas", "roles": "course keeper,treasurer", "at": LATER}]},
    ),
    Case(
        before=(DRAFTED,),
        effect=RetirePerson(retired=Retired(id="kim", name="Kim Test", number=KIM)),
        writes={"retired": [{"id": "kim", "name": "Kim Test", "number": KIM, "at": LATER}]},
        takes_away=("drafts",),
    ),
    Case(
        before=(SwapDuty(swap=Swap(day=LEAGUE.day, instead_of="priya", taker="femi")),),
        effect=KeepDuty(on=DutyDay(day=LEAGUE.day, person="jonas")),
        writes={"duty_days": [{"day": LEAGUE.day, "person": "jonas"}]},
        takes_away=("duty_swaps",),
    ),
    Case(
        effect=AddEventDay(event=A_NIGHT),
        writes={"added_events": [{"id": "added-20270618-night-round", "at": LATER}]},
    ),
    Case(
        effect=MoveDay(
            on=LEAGUE, starts=time(19), ends=None, moved_to=date(2027, 6, 10), meet=Said(en="the pier", fr="le quai")
        ),
        writes={
            "event_changes": [
                {
                    "event": LEAGUE.event,
                    "day": LEAGUE.day,
                    "moved_to": date(2027, 6, 10),
                    "meet_en": "the pier",
                    "meet_fr": "le quai",
                }
            ]
        },
    ),
    Case(before=(Suspend(person="jonas"),), effect=BringBack(), writes={}, takes_away=("suspended",)),
    Case(
        sender=PRIYA,
        effect=WriteTo(number=KIM, language="en", person="priya", text="The desk opens at 5", due=LATER),
        writes={
            "questions": [
                {
                    "number": 1,
                    "asker": KIM,
                    "person": "priya",
                    "answered_by": "priya",
                    "reason": "written to",
                    "answer": None,
                }
            ],
            "outbox": [{"recipient": KIM, "text": "The desk opens at 5", "asks_consent": 1, "due_at": LATER}],
        },
    ),
    Case(
        before=(HANDED, AnswerQuestion(number=1, person="jonas", text="Jonas: a swindle", words="a swindle")),
        sender=PRIYA,
        effect=TakeBackAnswer(number=1, text="Disregard it", person="priya", phone=PRIYA, note="Q1", next_at=LATER),
        writes={
            "questions": [{"number": 1, "answered_at": None, "answered_by": None, "answer": None, "person": "priya"}],
            "outbox": [
                a_text_out(KIM, "Disregard it", "disregard:1:3"),
                {
                    **a_text_out(PRIYA, "Q1", f"question:1:priya:{int(LATER.timestamp())}", asks_consent=0),
                    "id": "msg_2",
                },
            ],
        },
    ),
    Case(before=(DRAFTED,), effect=CloseDraft(), writes={}, takes_away=("drafts",)),
    Case(before=(DRAFTED,), sender=PRIYA, effect=CloseDraft(), writes={}),
    Case(
        effect=Record(person="jonas", what="held play"),
        writes={"deeds": [{"id": 1, "person": "jonas", "at": LATER, "what": "held play", "inbox_id": 3}]},
    ),
    Case(effect=CLOSED, writes={"closures": [a_closure(CLOSED)]}),
    Case(before=(CLOSED,), effect=HELD, writes={"closures": [a_closure(HELD, id=2)]}),
    Case(
        before=(HELD, AskAboutClosure(closure=1, number=JONAS, text="Over?", key="closure:1:0")),
        effect=CloseCourse(
            closure=Closure(what="course", since=LATER, reason=Said(en="thunder", fr="orage"), kind="held"),
            person="femi",
        ),
        writes={"closures": [a_closure(HELD, since=LATER, made_by="femi")]},
    ),
    Case(
        before=(CLOSED, HELD),
        effect=ReopenCourse(closures=(1,)),
        writes={"closures": [a_closure(CLOSED, ended_at=LATER)]},
    ),
    Case(before=(CLOSED, ReopenCourse(closures=(1,))), effect=ReopenCourse(closures=(1,)), writes={}),
    Case(
        before=(CLOSED,),
        effect=AskAboutClosure(closure=1, number=JONAS, text="Is it over?", key="closure:1:7"),
        writes={
            "closures": [a_closure(CLOSED, asked_at=LATER)],
            "outbox": [a_text_out(JONAS, "Is it over?", "closure:1:7", asks_consent=0)],
        },
    ),
    Case(
        effect=CallOffDay(on=LEAGUE, reason=FLOODED),
        writes={
            "event_changes": [
                {
                    "event": LEAGUE.event,
                    "day": LEAGUE.day,
                    "called_off": 1,
                    "reason_en": "flooded",
                    "reason_fr": "inondé",
                    "at": LATER,
                }
            ]
        },
    ),
    Case(
        before=(CallOffDay(on=LEAGUE, reason=FLOODED),),
        effect=CallOnDay(on=LEAGUE),
        writes={
            "event_changes": [
                {
                    "event": LEAGUE.event,
                    "day": LEAGUE.day,
                    "called_off": 0,
                    "reason_en": "",
                    "reason_fr": "",
                    "at": LATER,
                }
            ]
        },
    ),
    Case(
        effect=MoveDay(on=LEAGUE, starts=time(19), ends=None),
        writes={
            "event_changes": [
                {
                    "event": LEAGUE.event,
                    "day": LEAGUE.day,
                    "called_off": 0,
                    "reason_en": "",
                    "reason_fr": "",
                    "at": LATER,
                    "starts": time(19),
                }
            ]
        },
    ),
    Case(
        before=(ON_THE_LIST,),
        sender=PRIYA,
        effect=TOLD,
        writes={"broadcasts": [a_broadcast(number=PRIYA, begun_at=LATER)], "outbox": [one_of_many()]},
    ),
    Case(
        before=(ON_THE_LIST, TOLD),
        effect=HoldBroadcasts(),
        writes={
            "broadcasts": [a_broadcast(state="held")],
            "outbox": [one_of_many(id="text-1_1", state="held", created_at=NOON, due_at=NOON)],
        },
    ),
    Case(
        before=(ON_THE_LIST, TOLD, HoldBroadcasts()),
        effect=GoOnWithBroadcasts(per_minute=60, quiet=NIGHT),
        writes={"broadcasts": [a_broadcast()], "outbox": [one_of_many(id="text-1_1")]},
    ),
    Case(before=(Reply(text="Yes, open."),), effect=HoldBroadcasts(), writes={}),
    Case(
        before=(ON_THE_LIST, TOLD),
        effect=EndBroadcast(broadcast=1, number=PRIYA, text="It's out."),
        writes={
            "broadcasts": [a_broadcast(state="ended")],
            "outbox": [a_text_out(PRIYA, "It's out.", "broadcast:1:ended", asks_consent=0)],
        },
    ),
    Case(
        effect=LOST,
        writes={
            "reports": [
                {
                    "number": 1,
                    "kind": "lost-disc",
                    "hole": 7,
                    "words": "lost a red disc",
                    "reporter": KIM,
                    "language": "en",
                    "at": LATER,
                    "fits": None,
                }
            ]
        },
    ),
    Case(
        before=(LOST, FOUND),
        effect=PutInTouch(
            lost=1, found=2, owner=KIM, finder=LEE, to_owner="It's found.", to_finder="It's Kim's.", until=LATER
        ),
        writes={
            "reports": [{"number": 1, "fits": 2}, {"number": 2, "fits": 1}],
            "relays": [{"owner": KIM, "finder": LEE, "until": LATER}],
            "outbox": [
                a_text_out(KIM, "It's found.", "touch:1:2:owner"),
                {**a_text_out(LEE, "It's Kim's.", "touch:1:2:finder"), "id": "msg_2"},
            ],
        },
    ),
    Case(
        before=(LOST,),
        effect=SettleReport(number=1, person="jonas", text="It's mended."),
        writes={
            "reports": [{"number": 1, "done_at": LATER, "done_by": "jonas"}],
            "outbox": [a_text_out(KIM, "It's mended.", "report:1:3:done")],
        },
    ),
    Case(
        before=(LOST, SettleReport(number=1, person="jonas", text=None)),
        effect=OpenReport(number=1, text="It isn't."),
        writes={"reports": [{"number": 1, "done_at": None, "done_by": None}]},
    ),
    Case(
        effect=Relay(number=LEE, text="The owner writes: thanks"),
        writes={"outbox": [a_text_out(LEE, "The owner writes: thanks", "relay:3")]},
    ),
    Case(
        effect=SendDigest(day=LEAGUE.day, number=JONAS, text="40 texts."),
        writes={
            "digests": [{"day": LEAGUE.day, "at": LATER}],
            "outbox": [a_text_out(JONAS, "40 texts.", f"digest:2027-06-09:{JONAS}", asks_consent=0)],
        },
    ),
    Case(
        before=(SendDigest(day=LEAGUE.day, number=JONAS, text="40 texts."),),
        effect=SendDigest(day=LEAGUE.day, number=JONAS, text="41 texts."),
        writes={},
    ),
    Case(
        effect=Propose(number=JONAS, draft=Draft(code="4821", deed=TAUGHT, until=LATER), text="Teach it?"),
        writes={
            "drafts": [{"number": f"{JONAS} proposed", "code": "4821", "until": LATER}],
            "outbox": [a_text_out(JONAS, "Teach it?", "proposed:3", asks_consent=0)],
        },
    ),
    Case(
        effect=KeepTaught(deed=TAUGHT),
        writes={
            "taught": [
                {
                    "number": 1,
                    "topic": None,
                    "asked": "can my cat come",
                    "language": "en",
                    "answer": "Yes, on a lead.",
                    "by": "jonas",
                    "at": LATER,
                    "forgotten_at": None,
                }
            ]
        },
    ),
    Case(
        before=(KeepTaught(deed=TAUGHT),),
        effect=ForgetTaught(number=1),
        writes={"taught": [{"number": 1, "asked": "can my cat come", "at": NOON, "forgotten_at": LATER}]},
    ),
    Case(
        effect=CRIED,
        writes={
            "questions": [{"number": 1, "state": "told", "told": "jonas", "held": 0, "cried_at": LATER}],
            "outbox": [a_text_out(JONAS, "Q1: a cry", "question:1", asks_consent=0)],
            "alarms_told": [{"person": "jonas", "at": LATER}],
        },
    ),
    Case(
        effect=replace(CRIED, kept=True),
        writes={"questions": [{"number": 1, "state": "kept", "told": "", "held": 1, "cried_at": LATER}]},
    ),
    Case(
        effect=replace(HANDED, kept=True),
        writes={"questions": [{"number": 1, "state": "kept", "told": "", "held": 0, "cried_at": None}]},
    ),
    Case(
        before=(HANDED,),
        effect=replace(HANDED, again=1, kept=True),
        writes={"questions": [{"number": 1, "state": "told", "told": "jonas", "so_far": "is it open / "}]},
    ),
    Case(
        before=(HANDED, SettleQuestion(number=1, person="jonas")),
        effect=replace(HANDED, again=1, kept=True),
        writes={"questions": [{"number": 1, "state": "kept", "told": "", "answered_at": None}]},
    ),
    Case(
        before=(CRIED,),
        effect=AddToAlarm(number=1),
        writes={"questions": [{"number": 1, "held": 1, "so_far": "is it open / ", "cried_at": LATER}]},
    ),
    Case(
        effect=LetThrough(kind="question of new", people=1, most=12),
        writes={"let_through": [{"kind": "question of new", "people": 1, "at": LATER}]},
    ),
    Case(
        before=(CRIED, AddToAlarm(number=1)),
        effect=TellAlarms(person="jonas", number=JONAS, text="1 more.", questions=(1,)),
        writes={
            "questions": [{"number": 1, "held": 0, "state": "told"}],
            "outbox": [{"recipient": JONAS, "text": "1 more.", "asks_consent": 0}],
            "alarms_told": [{"person": "jonas", "at": LATER}],
        },
    ),
    Case(
        before=(replace(HANDED, kept=True),),
        effect=TellKept(person="jonas", number=JONAS, text="1 is kept."),
        writes={
            "questions": [{"number": 1, "state": "kept", "noted_at": LATER}],
            "outbox": [{"recipient": JONAS, "text": "1 is kept.", "asks_consent": 0}],
        },
    ),
]


def everything(engine: Engine) -> dict[str, Sequence[Row]]:
    return {name: rows(engine, table) for name, table in metadata.tables.items()}


def test_every_effect_is_in_the_table_of_what_effects_write() -> None:
    assert set(get_args(Effect)) == {type(case.effect) for case in CASES}


@pytest.mark.parametrize("case", CASES, ids=lambda case: repr(case.effect)[:50])
def test_an_effect_writes_this_and_nothing_else(engine: Engine, case: Case) -> None:
    done(engine, *case.before, id="text-1", sender=KIM)
    done(engine, id="text-2", sender=PRIYA)
    before = everything(engine)
    done(engine, case.effect, id="text-3", sender=case.sender, text=case.texts, at=LATER, pen=a_pen())
    after = everything(engine)
    fresh = {name: [row for row in after[name] if row not in before[name]] for name in after}
    fewer = {name for name in after if len(after[name]) < len(before[name])}

    assert {"inbox", *case.writes} == {name for name, found in fresh.items() if found}
    assert set(case.takes_away) == fewer
    for name, expected in case.writes.items():
        assert list(expected) == [
            {column: found[column] for column in row} for found, row in zip(fresh[name], expected, strict=True)
        ]


# Once


def test_applied_a_second_time_nothing_happens(engine: Engine) -> None:
    message = a_text("stop")
    effects: tuple[Effect, ...] = (Reply(text="bye"), OptOut(words="stop"), HANDED)
    with engine.begin() as connection:
        inbox_id = kept(connection, message)
        assert apply(connection, decided(inbox_id, message, *effects), a_pen(), NOON)
    before = everything(engine)
    with engine.begin() as connection:
        again = decided(inbox_id, message, Reply(text="other"))
        assert apply(connection, again, a_pen(), LATER) == "answered already"

    assert before == everything(engine)


def test_a_decision_about_a_message_that_is_not_there_writes_nothing(engine: Engine) -> None:
    with engine.begin() as connection:
        assert apply(connection, decided(7, a_text(), Reply(text="open")), a_pen(), NOON) == "answered already"

    assert not any(everything(engine).values())


def test_a_decision_on_places_that_have_changed_meanwhile_writes_nothing_and_the_message_waits(engine: Engine) -> None:
    done(engine, COMING, id="text-1")
    message = a_text("me too", sender=LEE, id="text-2")
    late = KeepRsvp(on=LEAGUE, rsvp=Rsvp(number=LEE, state="coming", people=1), seen=0)
    with engine.begin() as connection:
        inbox_id = kept(connection, message)
    before = everything(engine)
    with engine.begin() as connection:
        assert apply(connection, decided(inbox_id, message, Reply(text="In."), late), a_pen(), LATER) == "stale"
        assert not carry_out(connection, [late], a_pen(), LATER)

    assert before == everything(engine)


def test_a_text_about_a_day_goes_out_once_by_its_key(engine: Engine) -> None:
    told = TellOf(on=LEAGUE, number=KIM, text="It's off.", key="change:7")
    for at in (NOON, LATER):
        with engine.begin() as connection:
            assert carry_out(connection, [told], a_pen(numbered(f"{at:%M}_")), at)

    assert the_row(engine, outbox)["created_at"] == NOON


def test_the_message_is_answered_with_what_was_decided(engine: Engine) -> None:
    message = a_text()
    with engine.begin() as connection:
        inbox_id = kept(connection, message)
        apply(connection, decided(inbox_id, message, served=("status",)), a_pen(), LATER)
    row = the_row(engine, inbox)

    assert (
        row["state"],
        row["answered_at"],
        row["outcome"],
        row["served"],
    ) == ("answered", LATER, "answered", "status")


# All or nothing


def a_pen_that_breaks(after: int) -> Any:
    """Ids for so many texts, then a fault."""
    left = iter([f"msg_{number}" for number in range(after)])

    def new_id() -> str:
        try:
            return next(left)
        except StopIteration:
            raise RuntimeError("the pen broke") from None

    return new_id


@pytest.mark.parametrize("texts_before", [0, 1, 2])
@pytest.mark.parametrize("own_thread", [True, False])
async def test_effects_replies_and_answered_are_written_together_or_not_at_all(
    engine: Engine, texts_before: int, own_thread: bool
) -> None:
    message = a_text("stop")
    effects: tuple[Effect, ...] = (
        KeepName(name="Kim"),
        OptOut(words="stop"),
        Reply(text="one"),
        HANDED,
        TellPerson(person="jonas", number=JONAS, text="three"),
    )
    with engine.begin() as connection:
        inbox_id = kept(connection, message)
    before = everything(engine)
    store, decision = Store(engine, own_thread=own_thread), decided(inbox_id, message, *effects)
    pen = a_pen(a_pen_that_breaks(texts_before))
    with pytest.raises(RuntimeError, match="the pen broke"):
        await store.write(lambda connection: apply(connection, decision, pen, NOON))

    assert before == everything(engine)
    assert the_row(engine, inbox)["state"] == "waiting"

    assert await store.write(lambda connection: apply(connection, decision, a_pen(), NOON))
    assert len(rows(engine, outbox)) == 3
    await store.close()


# People and consent


def test_the_first_text_of_a_number_is_kept_as_the_consent_to_be_answered(engine: Engine) -> None:
    inbox_id = done(engine, text="Is it open?", sender=KIM, at=NOON)

    assert {
        "id": 1,
        "number": KIM,
        "at": NOON,
        "what": "first text",
        "list_id": None,
        "channel": "test",
        "words": "Is it open?",
        "inbox_id": inbox_id,
    } == the_row(engine, consents)
    assert the_row(engine, people)["first_seen_at"] == NOON


def test_later_texts_are_no_new_consent_and_do_not_change_who_we_know(engine: Engine) -> None:
    done(engine, KeepName(name="Kim"), id="text-1")
    before = rows(engine, people), rows(engine, consents)
    done(engine, id="text-2", at=LATER)

    assert before == (rows(engine, people), rows(engine, consents))


def test_what_is_kept_of_one_person_is_not_kept_of_another(engine: Engine) -> None:
    done(engine, id="text-1", sender=LEE)
    done(engine, OptOut(words="stop"), KeepName(name="Kim"), id="text-2", sender=KIM)

    assert [(row["number"], row["opted_out"], row["name"]) for row in rows(engine, people)] == [
        (KIM, 1, "Kim"),
        (LEE, 0, None),
    ]


def test_every_opt_out_and_return_leaves_its_own_proof(engine: Engine) -> None:
    done(engine, OptOut(words="Stop."), id="text-1", text="Stop.")
    done(engine, OptIn(words="start"), id="text-2", text="start", at=LATER)
    done(engine, OptOut(words="ARRET"), id="text-3", text="ARRET", at=LATER)

    assert [(row["what"], row["words"]) for row in rows(engine, consents)] == [
        ("first text", "Stop."),
        ("stop", "Stop."),
        ("start", "start"),
        ("stop", "ARRET"),
    ]


def test_joining_a_list_twice_is_one_place_on_it_with_two_proofs(engine: Engine) -> None:
    done(engine, Subscribe(list_id="course-news", words="news"), id="text-1")
    done(engine, Subscribe(list_id="course-news", words="news please"), id="text-2", at=LATER)

    assert the_row(engine, subscriptions)["since"] == NOON
    assert [row["words"] for row in rows(engine, consents) if row["what"] == "list on"] == ["news", "news please"]


def test_a_new_question_of_ours_takes_the_place_of_the_open_one(engine: Engine) -> None:
    done(engine, ASKED, id="text-1")
    done(engine, OpenChoice(choices=any_of(("a", "b")), about="other", language="fr", until=LATER), id="text-2")

    with engine.connect() as connection:
        asked = read_dialogue(connection, KIM).asked
    assert asked is not None
    assert (asked.choices, asked.about, asked.language) == (any_of(("a", "b")), "other", "fr")


# Questions


def test_each_question_has_its_number_in_the_note(engine: Engine) -> None:
    done(engine, HANDED, id="text-1")
    done(engine, HANDED, id="text-2")

    assert [row["text"] for row in rows(engine, outbox)] == ["Q1: a question", "Q2: a question"]


def test_of_two_answers_to_a_question_the_first_goes_out(engine: Engine) -> None:
    done(engine, HANDED, id="text-1")
    done(engine, AnswerQuestion(number=1, person="priya", text="from Priya"), id="text-2", sender=PRIYA)
    done(engine, AnswerQuestion(number=1, person="jonas", text="from Jonas"), id="text-3", sender=JONAS, at=LATER)

    assert [row["text"] for row in rows(engine, outbox) if row["recipient"] == KIM] == ["from Priya"]
    assert tuple(the_row(engine, questions)[column] for column in ("answered_by", "answered_at")) == ("priya", NOON)


# What the club's people do


DEEDS: list[Deed] = [
    CloseDeed(what="marsh", since=NOON, until=None, reason=FLOODED, kind="danger"),
    CloseDeed(what="8", since=NOON, until=LATER, reason=FLOODED, kind="planned"),
    ReopenDeed(closures=(3, 5), what="the course"),
    CallOffDeed(event="dusk-league", day=LEAGUE.day, reason=FLOODED),
    TellDeed(
        audience=Audience("event", event="dusk-league"),
        event="dusk-league",
        day=LEAGUE.day,
        words=Said(en="Bring water: “a lot”", fr="Apportez de l'eau"),
        french_missing=False,
        safety=True,
    ),
    TAUGHT,
]


@pytest.mark.parametrize("deed", DEEDS, ids=lambda deed: deed.deed)
def test_what_waits_for_a_code_comes_back_as_it_was(engine: Engine, deed: Deed) -> None:
    draft = Draft(code="0042", deed=deed, until=LATER)
    done(engine, OpenDraft(draft=draft))

    with engine.connect() as connection:
        assert read_draft(connection, KIM) == draft
        assert read_draft(connection, LEE) is None


def test_a_new_draft_takes_the_place_of_the_one_that_waits(engine: Engine) -> None:
    done(engine, DRAFTED, id="text-1")
    draft = Draft(code="1234", deed=DEEDS[0], until=LATER)
    done(engine, OpenDraft(draft=draft), id="text-2")

    with engine.connect() as connection:
        assert read_draft(connection, KIM) == draft


def test_a_hold_that_is_over_is_not_begun_again_but_another_is_made(engine: Engine) -> None:
    done(engine, HELD, ReopenCourse(closures=(1,)), HELD)

    assert [(row["id"], row["ended_at"]) for row in rows(engine, closures)] == [(1, NOON), (2, None)]


def test_a_report_whose_number_was_taken_meanwhile_is_decided_again(engine: Engine) -> None:
    done(engine, LOST, id="text-1")
    done(engine, LOST, id="text-2", sender=LEE)  # its note would name the number of the first

    assert [(row["number"], row["reporter"]) for row in rows(engine, reports)] == [(1, KIM)]


def test_two_reports_in_one_text_have_two_numbers(engine: Engine) -> None:
    done(engine, LOST, replace(FOUND, number=1))

    assert [(row["number"], row["kind"]) for row in rows(engine, reports)] == [(1, "lost-disc"), (2, "found-disc")]


def test_what_was_to_be_told_of_a_report_does_not_go_once_it_is_open_again(engine: Engine) -> None:
    done(engine, LOST, id="text-1")
    done(engine, SettleReport(number=1, person="jonas", text="It's mended.", due=LATER), id="text-2", sender=JONAS)
    done(engine, OpenReport(number=1, text="It isn't."), id="text-3", sender=JONAS)

    assert "It's mended." not in [row["text"] for row in rows(engine, outbox)]
    assert "It isn't." not in [row["text"] for row in rows(engine, outbox)]
    assert [row["done_at"] for row in rows(engine, reports)] == [None]


def test_a_report_is_closed_once(engine: Engine) -> None:
    done(engine, LOST, id="text-1")
    for number, text in ((2, "Thanks."), (3, "Thanks again.")):
        settle = SettleReport(number=1, person="jonas", text=text)
        done(engine, settle, id=f"text-{number}", sender=JONAS)

    assert [row["text"] for row in rows(engine, outbox)] == ["Thanks."]


# Texts


def test_several_texts_of_one_message_go_out_in_their_order_with_ids_of_their_own(engine: Engine) -> None:
    done(engine, Reply(text="one"), Reply(text="two"), Reply(text="three"), pen=a_pen())

    assert [(row["id"], row["text"]) for row in rows(engine, outbox)] == [
        ("msg_1", "one"),
        ("msg_2", "two"),
        ("msg_3", "three"),
    ]


@pytest.mark.parametrize(("plain_letters", "first"), [(True, "fete"), (False, "fête")])
def test_letters_are_made_plain_where_the_club_wants_it_and_it_saves_a_part(
    engine: Engine, plain_letters: bool, first: str
) -> None:
    """3GPP TS 23.038: ê is not in the 7-bit alphabet, so that a part holds 70 letters in place of 160. READ"""
    done(engine, Reply(text="fête " * 20), pen=a_pen(plain_letters=plain_letters))

    assert first == the_row(engine, outbox)["text"].split()[0]
