"""An order that was shown and waits for its code is had otherwise: the new one is shown with a new code, the old one does nothing more. What cannot be
had otherwise is said plainly, and what waits stays.
"""

from dataclasses import replace
from datetime import datetime, time, timedelta

from clubbot.conversation import announcing
from clubbot.conversation.ask import Ask, Served
from clubbot.conversation.changing import call_off as call_off_day
from clubbot.conversation.changing import move_hour, shown_off
from clubbot.conversation.closing import reopen, shown_closure, shown_note, with_unused
from clubbot.conversation.codes import amended, codes_of, waiting
from clubbot.conversation.elsewhere import add_event, move_elsewhere
from clubbot.course.reasons import understood
from clubbot.course.status import WHOLE
from clubbot.events.choosing import day_of
from clubbot.model.amending import Amend
from clubbot.model.deeds import AddEventDeed, CallOffDeed, CloseDeed, Deed, MoveDeed, ReopenDeed, TellDeed
from clubbot.model.effects import OpenDraft
from clubbot.model.intents import When
from clubbot.model.messages import Said
from clubbot.model.orders import AddEvent, CallOff, MoveElsewhere, MoveHour, Reopen
from clubbot.model.rsvps import DayId
from clubbot.understanding.once import Reading
from clubbot.understanding.orders.timing import nearer


def had_otherwise(ask: Ask, reading: Reading) -> Served | None:
    """The draft as the text would have it; None where nothing waits, or the text is about something else."""
    waits = waiting(ask)
    if not waits:
        return None
    draft = waits[0][0]
    change = reading.amendment(ask.now, _begins(draft.deed, ask.now))
    if change is None:
        return None
    if draft is not ask.known.draft:  # what somebody else has put to this phone
        return amended(ask)
    anew = replace(ask, known=replace(ask.known, draft=None))
    served = _otherwise(draft.deed, change, anew)
    opened = None if served is None else next((one for one in served.effects if isinstance(one, OpenDraft)), None)
    if served is None or (opened is not None and opened.draft.deed == draft.deed):
        return amended(ask)
    if opened is None:
        return served  # why it cannot be; what waits stays
    new = OpenDraft(draft=replace(opened.draft, earlier=codes_of(draft)))
    effects = tuple(new if one is opened else one for one in served.effects)
    said = with_unused(f"{ask.voice.say('order.changed')} {served.sentence}", change.unused, ask.voice)
    return replace(served, sentence=said, effects=effects)


def _begins(deed: Deed, now: datetime) -> datetime | None:
    return deed.since if isinstance(deed, CloseDeed) and deed.since > now else None


def _otherwise(deed: Deed, change: Amend, ask: Ask) -> Served | None:
    """The deed with the change, shown; None where it cannot be had so."""
    match deed:
        case CloseDeed(kind="note"):
            return _note(deed, change, ask)
        case CloseDeed():
            return _closure(deed, change, ask)
        case ReopenDeed(hold=False):
            return _reopening(deed, change, ask)
        case CallOffDeed():
            return _off(deed, change, ask)
        case MoveDeed():
            return _moved(deed, change, ask)
        case AddEventDeed():
            return _added(deed, change, ask)
        case TellDeed(safety=False):
            return _told(deed, change, ask)
        case _:
            return None


def _closure(deed: CloseDeed, change: Amend, ask: Ask) -> Served | None:
    parts = _parts((deed.what, *deed.also), change)
    if parts is None or change.with_words == "instead":
        return None
    new = replace(deed, what=parts[0], also=parts[1:])
    if change.since is not None:
        new = replace(new, since=max(change.since, ask.now), at_once=change.since <= ask.now)
    if change.until is not None or change.endless:
        new = replace(new, until=_until(new, change, ask))
    if change.words:
        reason, kind = understood(_with_more(deed.reason, change, ask))
        new = replace(new, reason=reason, kind=kind)
    if new == deed and (change.when is not None or change.starts is not None):
        return None
    if new.at_once:
        new = replace(new, since=ask.now)
    return shown_closure(new, ask)


def _until(deed: CloseDeed, change: Amend, ask: Ask) -> datetime | None:
    """The new end; an hour without a day is one of the day on which it was to end."""
    until, before = change.until, deed.until
    if until is None or before is None or change.when is not None or change.starts is None:
        return until
    zone = ask.voice.knowledge.club.zone
    hour = until.astimezone(zone).time()
    day = before.astimezone(zone).date() + timedelta(days=int(hour == time(0)))
    same_day = datetime.combine(day, hour, zone)
    return same_day if same_day > max(deed.since, ask.now) else until


def _with_more(reason: Said, change: Amend, ask: Ask) -> str:
    """The reason with the words that are added, or those alone where none was given or another is."""
    given = reason.to(ask.voice.language)
    none = understood("")[0]
    return change.words if change.with_words == "reason" or reason == none else f"{given}, {change.words}"


def _parts(now: tuple[str, ...], change: Amend) -> tuple[str, ...] | None:
    """The parts of the course, with those that the change names; None where none would be left, or they cannot be told apart."""
    match change.how:
        case None:
            return now
        case "only":
            return change.parts
        case "also":
            return (WHOLE,) if WHOLE in (*now, *change.parts) else tuple(dict.fromkeys((*now, *change.parts)))
        case "without":
            left = tuple(one for one in now if one not in change.parts)
            return left if left and len(left) < len(now) else None


def _note(deed: CloseDeed, change: Amend, ask: Ask) -> Served | None:
    parts = _parts((deed.what, *deed.also), change)
    if parts is None or len(parts) != 1 or not (change.how or change.words):
        return None
    words = deed.reason.to(ask.voice.language)
    if change.words:
        words = change.words if change.with_words != "add" else f"{words}, {change.words}"
    return shown_note(parts[0], words, ask)


def _reopening(deed: ReopenDeed, change: Amend, ask: Ask) -> Served | None:
    before = tuple(dict.fromkeys(one.what for one in ask.known.closures if one.number in deed.closures))
    parts = _parts(before, change) if before and change.how is not None else None
    return reopen(Reopen(parts[0], also=parts[1:]), ask) if parts is not None else None


def _off(deed: CallOffDeed, change: Amend, ask: Ask) -> Served | None:
    if change.when is not None and not change.words:
        order = CallOff(deed.event, change.when, deed.reason.to(ask.voice.language))
        return call_off_day(order, ask)
    one = day_of(DayId(deed.event, deed.day), ask.voice.knowledge)
    if one is None or not change.words or change.with_words == "instead":
        return None
    reason, _ = understood(_with_more(deed.reason, change, ask))
    return shown_off(replace(deed, reason=reason), one, ask)


def _moved(deed: MoveDeed, change: Amend, ask: Ask) -> Served | None:
    if change.when is None and change.starts is None:
        return None
    day = When(deed.day, deed.day)
    starts = change.starts or deed.starts
    if change.starts is not None and not change.sure:
        starts = nearer(change.starts, deed.starts)
    if change.when is None and deed.moved_to is None and deed.meet is None:
        return move_hour(MoveHour(deed.event, day, starts, sure=True), ask)
    moved_to = When(deed.moved_to, deed.moved_to) if deed.moved_to is not None else None
    place = deed.meet.to(ask.voice.language) if deed.meet is not None else ""
    return move_elsewhere(MoveElsewhere(deed.event, day, change.when or moved_to, place, starts, sure=True), ask)


def _added(deed: AddEventDeed, change: Amend, ask: Ask) -> Served | None:
    if change.when is None and change.starts is None:
        return None
    usual = any(one.meet == deed.meet for one in ask.voice.knowledge.events)
    order = AddEvent(
        name=deed.name,
        when=change.when or When(deed.day, deed.day),
        starts=change.starts or deed.starts,
        sure=change.sure or change.starts is None,
        place="" if usual else deed.meet.to(ask.voice.language),
        places=deed.places,
        price=deed.price,
    )
    return add_event(order, ask)


def _told(deed: TellDeed, change: Amend, ask: Ask) -> Served | None:
    """More words, or others; where the two languages have words of their own, only those of the language that the change is written in."""
    if not change.words or change.with_words == "reason":
        return None
    alike = deed.words.en == deed.words.fr
    words = deed.words
    for language in ("en", "fr"):
        if alike or language == ask.voice.language:
            before = deed.words.to(language)
            words = replace(words, **{language: _joined(before, change.words, instead=change.with_words == "instead")})
    return announcing.shown(replace(deed, words=words), ask)


def _joined(before: str, words: str, *, instead: bool) -> str:
    if instead:
        return words
    mark = "" if before.rstrip()[-1:] in {".", "!", "?", ":"} else "."
    return f"{before.rstrip()}{mark} {words[:1].upper()}{words[1:]}"
