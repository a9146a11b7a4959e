"""What the clock brings about: changes of event days told to those who are in, places that came free offered on, reminders.

All of it is rows that say when they are due, looked at in the transaction that settles them: a kill, a machine that slept, a clock
change or a second process neither loses nor doubles one.
"""

import asyncio
import logging
from collections.abc import Callable, Iterable, Mapping, Sequence
from concurrent.futures import Executor
from dataclasses import replace
from datetime import date, datetime, timedelta
from functools import partial

from sqlalchemy import Connection, Engine

from clubbot.conversation.announcing import ended
from clubbot.conversation.closing import asked_reopening, thunder_wait
from clubbot.conversation.digest import summed_up
from clubbot.conversation.held import KEPT_AFTER, KEPT_EVERY, alarms_note, kept_note, unanswered_note, waits_until
from clubbot.conversation.helping import passed
from clubbot.conversation.occasions import hold, quiet_hours
from clubbot.conversation.phrasing import Voice
from clubbot.conversation.said_first import before_reminder
from clubbot.conversation.telling import can_wait, changed, lapsed, offered, reminder, told_start, worth_telling
from clubbot.events.days import EventDay, as_told, find
from clubbot.events.entries import revised
from clubbot.mailroom.answering import as_now
from clubbot.mailroom.loops import work_when_woken
from clubbot.model.club import Closure, EventChange, Knowledge, Person
from clubbot.model.effects import (
    AskAboutClosure,
    ClockEffect,
    EndBroadcast,
    SendDigest,
    SettleReminder,
    TellAlarms,
    TellKept,
    TellOf,
)
from clubbot.model.known import Question
from clubbot.model.quiet import instant
from clubbot.model.rsvps import Awaits, DayId
from clubbot.people.duty import next_after, on_duty, organiser
from clubbot.people.roles import Permit, may
from clubbot.reminders.due import Circumstances, why_not
from clubbot.rsvps.places import free, lapse, move_up
from clubbot.store.apply import Pen, carry_out
from clubbot.store.broadcasts import read_ended
from clubbot.store.course import read_to_ask
from clubbot.store.days import read_changes
from clubbot.store.dialogues import any_too_old, sweep_words
from clubbot.store.digest import had_digest, nothing_to_say, read_digest
from clubbot.store.doubts import any_old_doubts, sweep_doubts
from clubbot.store.erasing import any_gone, forget_gone
from clubbot.store.floods import (
    any_swept,
    note_alarms_told,
    read_held,
    read_kept,
    sweep_through,
    told_of_alarms,
)
from clubbot.store.known import read_closures
from clubbot.store.questions import goes_no_further, read_unanswered, wait_until
from clubbot.store.reminders import DueReminder, any_due, read_due
from clubbot.store.revisions import read_words
from clubbot.store.rsvps import Untold, read_count, read_counts, read_lapsed, read_line, read_untold
from clubbot.store.store import Store, read

log = logging.getLogger(__name__)

Clock = Callable[[], datetime]
# So many texts in one transaction: the rest follows in the next, and no reply waits long behind them.
_AT_ONCE = 100
# Days go by their date in the rule; one that was moved may be held weeks later.
_DAYS_BACK = timedelta(days=60)
# Nothing is told of a day this long after its start.
_OVER = timedelta(days=1)
_SUNDAY = 6
_DIGEST_GOOD_FOR = timedelta(hours=2)


def keep_revisions(connection: Connection, knowledge: Knowledge, pen: Pen, now: datetime) -> None:
    """Note which entries of the calendar have changed, with the knowledge files or by text."""
    knowledge = as_now(connection, knowledge)
    carry_out(connection, revised(knowledge.events, read_words(connection)), pen, now)


def anything_due(connection: Connection, knowledge: Knowledge, now: datetime) -> bool:
    """Whether there is anything to do now; only reads."""
    knowledge = as_now(connection, knowledge)
    if (
        any_due(connection, now)
        or any_too_old(connection, now)
        or any_old_doubts(connection, now)
        or any_swept(connection, now)
        or any_gone(connection)
        or bool(_held(connection, knowledge, now))
        or _kept(connection, knowledge, now) is not None
        or bool(read_ended(connection))
        or _digest_day(connection, knowledge, now) is not None
        or read_unanswered(connection, now, 1)
        or read_to_ask(connection, now, now - thunder_wait(knowledge))
    ):
        return True
    return any(
        _to_tell(connection, on, one, knowledge, now) or _to_move(connection, on, one, knowledge, now)
        for on, one in _days(connection, knowledge, now)
    )


def let_fall_due(connection: Connection, knowledge: Knowledge, pen: Pen, now: datetime) -> int:
    """Do what is due now, up to a handful; how many things were done."""
    knowledge = as_now(connection, knowledge)
    days = list(_days(connection, knowledge, now))
    done = _ask_about_closures(connection, knowledge, pen, now) + _pass_on(connection, knowledge, pen, now)
    done += _digest(connection, knowledge, pen, now)
    sweep_words(connection, now)
    sweep_doubts(connection, now)
    sweep_through(connection, now)
    forget_gone(connection)
    done += _tell_held_back(connection, knowledge, pen, now)
    done += _end_broadcasts(connection, knowledge, pen, now)
    done += _tell_changes(connection, days, knowledge, pen, now)
    done += sum(_offer_on(connection, on, one, knowledge, pen, now) for on, one in days)
    return done + _remind(connection, knowledge, pen, now)


def _ask_about_closures(connection: Connection, knowledge: Knowledge, pen: Pen, now: datetime) -> int:
    """A danger's time is over, or the wait after thunder is: a person says whether it reopens, never the clock."""
    asked = read_to_ask(connection, now, now - thunder_wait(knowledge))
    for closure, made_by in asked:
        # Who may hold play may release it.
        permit: Permit = "hold play" if closure.kind == "held" else "close and reopen"
        keepers = [person for person in knowledge.people if may(person, permit)]
        maker = [person for person in keepers if person.id == made_by]
        keeper = [person for person in keepers if "course keeper" in person.roles]
        person = (maker or keeper or keepers or [organiser(knowledge)])[0]
        effect = AskAboutClosure(
            closure=closure.number or 0,
            number=person.number,
            text=asked_reopening(closure, person, knowledge, now),
            key=f"closure:{closure.number}:{int((closure.until or closure.since).timestamp())}",
        )
        carry_out(connection, [effect], pen, now)
    return len(asked)


def _tell_held_back(connection: Connection, knowledge: Knowledge, pen: Pen, now: datetime) -> int:
    """What was held back of alarms, one text a person; how many questions are kept, one text an hour."""
    effects: list[ClockEffect] = list(_held(connection, knowledge, now))
    kept = _kept(connection, knowledge, now)
    carry_out(connection, [*effects, *([kept] if kept is not None else [])], pen, now)
    return len(effects) + (kept is not None)


def _held(connection: Connection, knowledge: Knowledge, now: datetime) -> list[TellAlarms]:
    told: list[TellAlarms] = []
    for id_, held in read_held(connection).items():
        if waits_until(told_of_alarms(connection, id_), now) is not None:
            continue
        person = _person(id_, knowledge)
        text = alarms_note(held, Voice(knowledge, person.language))
        numbers = tuple(one.number for one in held)
        told.append(TellAlarms(person=id_, number=person.number, text=text, questions=numbers))
    return told


def _kept(connection: Connection, knowledge: Knowledge, now: datetime) -> TellKept | None:
    """The number of kept questions, where it is time; at night it waits."""
    kept = read_kept(connection)
    if kept.waits_since is None or kept.waits_since <= now < kept.waits_since + KEPT_AFTER:
        return None
    if kept.noted_at is not None and kept.noted_at <= now < kept.noted_at + KEPT_EVERY:
        return None
    duty = on_duty(knowledge, now)
    if duty.resumes is not None:
        return None
    text = kept_note(kept.count, Voice(knowledge, duty.person.language))
    return TellKept(person=duty.person.id, number=duty.person.number, text=text)


def _person(id_: str, knowledge: Knowledge) -> Person:
    """The person of that id; the organiser in the place of one who has left."""
    return next((person for person in knowledge.people if person.id == id_), organiser(knowledge))


def _pass_on(connection: Connection, knowledge: Knowledge, pen: Pen, now: datetime) -> int:
    """What nobody has answered in time goes to the next on the roster as well, at last to the organiser; at night it waits. Alarms that
    come due together go in one text.
    """
    waiting = read_unanswered(connection, now, _AT_ONCE)
    within = timedelta(minutes=knowledge.club.answer_within_minutes)
    alarms: dict[str, list[Question]] = {}
    for question in waiting:
        resumes = on_duty(knowledge, now).resumes
        taker = next_after(knowledge, question.told, now)
        if taker is None:
            goes_no_further(connection, question.number)
        elif question.reason == "danger":
            alarms.setdefault(taker.id, []).append(question)
        elif resumes is not None:
            wait_until(connection, question.number, resumes)
        else:
            carry_out(connection, [passed(question, taker, knowledge, now + within)], pen, now)
    for id_, questions in alarms.items():
        _pass_alarms(connection, questions, knowledge.person(id_), knowledge, pen, now)
    return len(waiting)


def _pass_alarms(
    connection: Connection, alarms: Sequence[Question], taker: Person, knowledge: Knowledge, pen: Pen, now: datetime
) -> None:
    """Alarms that nobody has answered go to one more person, in one text, and not sooner after the last than others do."""
    until = waits_until(told_of_alarms(connection, taker.id), now)
    if until is not None:
        for alarm in alarms:
            wait_until(connection, alarm.number, until)
        return
    later = now + timedelta(minutes=knowledge.club.answer_within_minutes)
    told = [passed(alarm, taker, knowledge, later) for alarm in alarms]
    if len(alarms) > 1:
        note = unanswered_note(alarms, Voice(knowledge, taker.language))
        told = [replace(told[0], note=note), *(replace(one, note="") for one in told[1:])]
    carry_out(connection, told, pen, now)
    note_alarms_told(connection, taker.id, now)


def _digest(connection: Connection, knowledge: Knowledge, pen: Pen, now: datetime) -> int:
    """How it went, to those whose role it is, each in their language, where it is time."""
    day = _digest_day(connection, knowledge, now)
    if day is None:
        return 0
    span = timedelta(days=7 if knowledge.club.digest == "weekly" else 1)
    found = read_digest(connection, now - span, now)
    told = [
        SendDigest(day=day, number=person.number, text=summed_up(found, Voice(knowledge, person.language)))
        for person in _who_gets_the_digest(knowledge)
    ]
    carry_out(connection, told, pen, now)
    return 1


def _who_gets_the_digest(knowledge: Knowledge) -> list[Person]:
    return [person for person in knowledge.people if may(person, "get the digest")]


def _digest_day(connection: Connection, knowledge: Knowledge, now: datetime) -> date | None:
    """The day whose digest is due and has not gone; one that an outage held up for hours is left out."""
    club = knowledge.club
    local = now.astimezone(club.zone)
    due = instant(local.date(), club.digest_at, club.zone)
    if not _who_gets_the_digest(knowledge):
        return None
    if club.digest == "off" or (club.digest == "weekly" and local.weekday() != _SUNDAY):
        return None
    if not due <= now < due + _DIGEST_GOOD_FOR or had_digest(connection, local.date()):
        return None
    span = timedelta(days=7 if club.digest == "weekly" else 1)
    return None if nothing_to_say(connection, now - span) else local.date()


def _end_broadcasts(connection: Connection, knowledge: Knowledge, pen: Pen, now: datetime) -> int:
    """Whoever told many people hears what became of it, once nothing of it waits any more."""
    over = read_ended(connection)
    for one in over:
        person = next((person for person in knowledge.people if person.id == one.person), organiser(knowledge))
        text = ended(one.counts, one.left_out, Voice(knowledge, person.language))
        carry_out(connection, [EndBroadcast(broadcast=one.id, number=one.number, text=text)], pen, now)
    return len(over)


def _days(connection: Connection, knowledge: Knowledge, now: datetime) -> Iterable[tuple[DayId, EventDay]]:
    """The event days that somebody has answered to and that are not long over. One that its rule no longer has is called off."""
    rules = {event.id: event for event in knowledge.events}
    for on in read_counts(connection, (now - _DAYS_BACK).date()):
        rule = rules.get(on.event)
        if rule is None:
            continue  # nothing is known of it any more, not even a name
        one = find(rule, on.day, knowledge.club.zone)
        if one is None:
            told = read_untold(connection, on, "", 1)
            starts = told_start(told[0].told) if told else now
            one = EventDay(event=rule, day=on.day, starts=starts, ends=None, meet=rule.meet, called_off=True)
        if one.starts > now - _OVER:
            yield on, one


def _tell_changes(
    connection: Connection, days: Iterable[tuple[DayId, EventDay]], knowledge: Knowledge, pen: Pen, now: datetime
) -> int:
    """Everybody coming, waiting or undecided who was told something else of their day hears of it, once, and the reminders follow."""
    done = 0
    for on, one in days:
        for person in _to_tell(connection, on, one, knowledge, now):
            effects = changed(one, person.rsvp, person.language, person.told, knowledge, now)
            done += carry_out(connection, effects, pen, now)
    return done


def _to_tell(connection: Connection, on: DayId, one: EventDay, knowledge: Knowledge, now: datetime) -> list[Untold]:
    return [
        person
        for person in read_untold(connection, on, as_told(one), _AT_ONCE)
        if worth_telling(one, person.told, now) and not can_wait(one, person.told, knowledge, now)
    ]


def _to_move(connection: Connection, on: DayId, one: EventDay, knowledge: Knowledge, now: datetime) -> bool:
    count = read_count(connection, on)
    if not count.waiting:
        return False
    if count.offered and read_lapsed(connection, on, now):
        return True
    room = free(one.event.places, count)
    return bool(room != 0 and move_up(room, read_line(connection, on), hold(one, knowledge, now)))


def _offer_on(connection: Connection, on: DayId, one: EventDay, knowledge: Knowledge, pen: Pen, now: datetime) -> int:
    """Offers whose time is over lapse; what is free is offered to the next in line."""
    count = read_count(connection, on)
    if not count.waiting:
        return 0
    over = [party for held in read_lapsed(connection, on, now) if (party := lapse(held, now)) is not None]
    carry_out(connection, [lapsed(on, party, count.version) for party in over], pen, now)
    count = read_count(connection, on)
    room = free(one.event.places, count)
    effects: list[ClockEffect] = []
    if room != 0:
        for next_one in move_up(room, read_line(connection, on), hold(one, knowledge, now)):
            effects += offered(one, next_one, count.version, knowledge, now)
    carry_out(connection, effects, pen, now)
    return len(over) + len(effects)


def _remind(connection: Connection, knowledge: Knowledge, pen: Pen, now: datetime) -> int:
    """One after the other, so that of two that are due at once the second sees that the first has just been told."""
    for done in range(_AT_ONCE):
        due = read_due(connection, now, 1)
        if not due:
            return done
        carry_out(connection, _reminded(due[0], read_closures(connection, now), knowledge, now), pen, now)
    return _AT_ONCE


def _reminded(due: DueReminder, closures: Sequence[Closure], knowledge: Knowledge, now: datetime) -> list[ClockEffect]:
    """A reminder is told, or dropped with the reason kept, looking at event, answer and consent as they are now."""
    rule = next((event for event in knowledge.events if event.id == due.on.event), None)
    one = find(rule, due.on.day, knowledge.club.zone) if rule is not None else None
    found = Circumstances(
        kind=due.kind,
        due=due.due,
        starts=one.starts if one is not None else None,
        called_off=one is not None and one.called_off,
        state=due.state,
        opted_out=due.opted_out,
        told_at=due.told_at,
        quiet=quiet_hours(knowledge).at(now),
    )
    reason = why_not(found, now)
    settled = SettleReminder(id=due.id, reason=reason)
    if reason is not None or one is None:
        return [settled]
    voice = Voice(knowledge, due.language)
    first = before_reminder(one, closures, voice, now)
    text = f"{first} {reminder(due.kind, one, due.people, due.state, voice, now)}".strip()
    key = f"reminder:{due.id}:{int(due.due.timestamp())}"
    awaits: Awaits = "maybe" if due.state == "maybe" else ""
    return [TellOf(on=due.on, number=due.number, text=text, key=key, awaits=awaits), settled]


class FallingDue:
    """The loop. It looks on a snapshot first, beside the event loop, and writes only where something is due."""

    def __init__(
        self,
        engine: Engine,
        store: Store,
        knowledge: Callable[[], Knowledge],
        pen: Callable[[], Pen],
        clock: Clock,
        beside: Executor | None,
        wake_sending: Callable[[], None],
    ) -> None:
        self._engine, self._store, self._knowledge, self._pen = engine, store, knowledge, pen
        self._clock, self._beside, self._wake_sending = clock, beside, wake_sending
        self._looked_at: tuple[Knowledge, Mapping[str, tuple[EventChange, ...]]] | None = None
        self._woken = asyncio.Event()
        self._woken.set()

    def wake(self) -> None:
        """Time has passed, or the knowledge files have changed."""
        self._woken.set()

    async def run(self) -> None:
        """Do what falls due until cancelled."""
        await work_when_woken(self._woken, self.do_some, "what falls due")

    async def do_some(self) -> int:
        """Do a handful of what is due; how many things."""
        now, knowledge, pen = self._clock(), self._knowledge(), self._pen()
        changes = read(self._engine, read_changes)
        if self._looked_at is None or self._looked_at[0] is not knowledge or self._looked_at[1] != changes:
            await self._store.write(partial(keep_revisions, knowledge=knowledge, pen=pen, now=now))
            self._looked_at = (knowledge, changes)
        if not await self._anything(knowledge, now):
            return 0
        done = await self._store.write(partial(let_fall_due, knowledge=knowledge, pen=pen, now=now))
        if done:
            log.info("%d thing(s) fell due", done)
            self._wake_sending()
        return done

    async def _anything(self, knowledge: Knowledge, now: datetime) -> bool:
        unit = partial(anything_due, knowledge=knowledge, now=now)
        if self._beside is None:
            return read(self._engine, unit)
        return await asyncio.get_running_loop().run_in_executor(self._beside, read, self._engine, unit)
