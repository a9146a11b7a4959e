"""Orders about the club's own people: who joins, retires, gets or loses a role, is on duty. Whoever joined by text is known to no rule, so that
a name is what is left of the words once the order's own are taken out; whose it is, is told where the people of now are known.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from itertools import pairwise
from typing import get_args

from clubbot.model.club import Knowledge, Role
from clubbot.model.intents import When
from clubbot.model.orders import Order, Unclear
from clubbot.model.orders_of_people import AskToTake, GiveRole, NewNumber, PutOnDuty, Retire, TakeRole
from clubbot.understanding.days import Days
from clubbot.understanding.orders.heard import Heard, Span, overlaps
from clubbot.understanding.orders.periods import Calendar
from clubbot.understanding.orders.roster import number_in
from clubbot.understanding.rules import Match

ROLES: tuple[Role, ...] = get_args(Role)
_LONGEST_NAME = 3
_WITH_FIGURES = 2
_OF_AN_HOUR = frozenset({"am", "pm", "h", "heures", "heure", "to", "till", "until"})


@dataclass(frozen=True, slots=True)
class _Told:
    """A text with where its roles and its number stand."""

    heard: Heard
    roles: tuple[tuple[Role, Span], ...]
    number: Span | None

    def left(self, *taken: Span) -> list[Span]:
        """The rows of words that are no word of such an order, as they stand between marks."""
        spans = [*taken, *(span for _, span in self.roles), *([self.number] if self.number else [])]
        return _whole(self.heard, _rows(self.heard, spans), spans)

    def said(self, *taken: Span) -> tuple[str, ...]:
        """The same as they were written."""
        return tuple(self.heard.said(*one) for one in self.left(*taken))


class ClubPeopleOrders:
    """Reads orders about who belongs to the club's people, and what they do."""

    def __init__(self, knowledge: Knowledge, days: Days) -> None:
        self._days = days
        self._zone = knowledge.club.zone

    def read(self, heard: Heard, now: datetime) -> Order | None:
        """The order, None where the text is none."""
        told = _Told(heard, tuple(_roles_in(heard)), number_in(heard))
        order = _joins(told) or _changes(told) or _retires(told) or self._duty(told, now)
        return order if order is None else _hangs(told) or order

    def _duty(self, told: _Told, now: datetime) -> PutOnDuty | None:
        heard = told.heard
        if heard.first("on duty") is None:
            return None
        spans, days = self._duty_days(heard, now)
        return PutOnDuty(told.said(*spans), days, heard.has("order_puts"))

    def _duty_days(self, heard: Heard, now: datetime) -> tuple[list[Span], tuple[When, ...] | None]:
        """Where days are named, and which; None for these where there are none, or one cannot be told."""
        spans = _day_spans(heard)
        named = Calendar(now, self._zone, self._days)
        days = [named.event_day([_plain(one, heard)]) for one in spans]
        whole = _joined([(span, day) for span, day in zip(spans, days, strict=True) if day is not None], heard)
        unknown = len(days) != sum(day is not None and day.dated for day in days)
        return spans, whole if spans and not unknown else None

    def asked_to_take(self, heard: Heard, now: datetime) -> AskToTake | None:
        """ "Sam, could you take my thursday?": who is asked stands before or behind it; None where neither a turn nor a day is named."""
        core = heard.first("asks to take") or heard.first("asks another to take")
        if core is None:
            return None
        spans, days = self._duty_days(heard, now)
        if not spans and not heard.has("order_turn", core.first):
            return None
        if core.says == "order asks another to take":
            return AskToTake((_who_is_to(core, heard),), days)
        taken = [(core.first, core.end), *spans]
        beside = ("order_lead", "order_turn_beside")
        said = [heard.said(*heard.without(*one, beside, "order_turn_beside")) for one in heard.free(taken)]
        return AskToTake(tuple(one for one in said if one), days)


def _roles_in(heard: Heard) -> list[tuple[Role, Span]]:
    """The roles that are named, the longest words at each place."""
    found: list[tuple[Role, Span]] = []
    at = 0
    while at < len(heard.words):
        here = [(end, role) for role in ROLES if (end := heard.end(f"order_role_{role.replace(' ', '_')}", at))]
        if here:
            end, role = max(here, key=lambda one: one[0])
            found.append((role, (at, end)))
            at = end
        else:
            at += 1
    return found


def _joins(told: _Told) -> NewNumber | Unclear | None:
    """Somebody new joins: a name, a number, and roles beside that of a helper."""
    core = told.heard.first("new helper")
    if core is None:
        return None
    rows = told.left()
    if told.number is None:
        offices = any(role != "helper" for role, _ in told.roles)
        return None if offices or not rows else Unclear("new helper", told.heard.said(0, len(told.heard.words)))
    if not rows:
        return Unclear("new helper", told.heard.said(0, len(told.heard.words)))
    first, end = rows[0]
    name_ends = min(end, first + _LONGEST_NAME)
    name = " ".join(_as_name(told.heard.said(at, at + 1)) for at in _pieces(told.heard, first, name_ends))
    rest = [(name_ends, end), *rows[1:]] if name_ends < end else rows[1:]
    roles = tuple(dict.fromkeys(role for role, _ in told.roles if role != "helper")) or ("helper",)
    unused = ", ".join(told.heard.said(*one) for one in rest)
    return NewNumber(None, name, written_number(told.heard, told.number), roles, unused)


def _changes(told: _Told) -> GiveRole | TakeRole | None:
    """A role that somebody gets or loses; None where several are named, or none."""
    heard = told.heard
    roles = tuple(dict.fromkeys(role for role, _ in told.roles))
    loses = heard.first("loses role")
    if loses is not None and len(roles) == 1:
        return TakeRole(told.said(), roles[0], sure=_imperative(loses, heard))
    gives, has = heard.first("gives role"), heard.first("has role")
    if (gives is None and has is None) or len(roles) != 1:
        return None
    moves = not heard.has("order_beside") and (roles[0] != "organiser" or heard.has("order_takes_over"))
    return GiveRole(told.said(), roles[0], moves, sure=gives is not None)


def _retires(told: _Told) -> Retire | None:
    for says, sure in (("retires", True), ("has retired", False)):
        if told.heard.first(says) is not None:
            return Retire(told.said(), sure)
    return None


def _hangs(told: _Told) -> Unclear | None:
    """What it depends on that we cannot see: "if he agrees"."""
    heard = told.heard
    rows = told.left()
    looked = [at for first, end in rows[:1] for at in range(first, end)] + [first for first, _ in rows[1:]]
    at = next((one for one in looked if heard.end("order_condition", one) is not None), None)
    return None if at is None else Unclear("condition", heard.said(at, len(heard.words)))


def _who_is_to(core: Match, heard: Heard) -> str:
    """ "Can Sam take my thursday": the words before what Sam is asked to do, in which a name is looked for."""
    verb = next((at for at in range(core.first, core.end) if heard.end("order_to_take", at) is not None), core.end)
    return heard.said(
        *heard.without(core.first, verb, ("order_lead", "order_ask_lead", "order_can_they"), "order_can_they")
    )


def _imperative(core: Match, heard: Heard) -> bool:
    """Whether the order begins with its verb, and not with whom it is about."""
    at = core.first
    while (after := heard.end("order_lead", at)) is not None:
        at = after
    return heard.end("order_people_glue", at) is not None


def _rows(heard: Heard, taken: Sequence[Span]) -> list[Span]:
    """The rows of neighbouring words that no such order has, each between two marks."""
    rows: list[Span] = []
    at = 0
    while at < len(heard.words):
        span = next((one for one in taken if one[0] <= at < one[1]), None)
        end = span[1] if span is not None else heard.end("order_people_glue", at)
        if end is not None and not any(overlaps((at, end), one) for one in taken if one != span):
            at = end
            continue
        if end is not None and span is None:  # a longer word of the order that runs into a role or a day
            at += 1
            continue
        if rows and rows[-1][1] == at and not heard.breaks(at):
            rows[-1] = (rows[-1][0], at + 1)
        else:
            rows.append((at, at + 1))
        at += 1
    return rows


def _whole(heard: Heard, rows: list[Span], taken: Sequence[Span]) -> list[Span]:
    """The first row, where a name stands, and what is said in other clauses with all its words: "she has a truck"."""
    found = rows[:1]
    for first, end in rows[1:]:
        if first < found[-1][1]:
            continue  # within the clause before
        if any(heard.breaks(at) for at in range(found[0][1], first + 1)):
            while first > found[-1][1] and not heard.breaks(first) and not _within(first - 1, taken):
                first -= 1
            while end < len(heard.words) and not heard.breaks(end) and not _within(end, taken):
                end += 1
        found.append((first, end))
    return found


def _within(at: int, spans: Sequence[Span]) -> bool:
    return any(first <= at < end for first, end in spans)


def _pieces(heard: Heard, first: int, end: int) -> list[int]:
    """The words of a span, each written piece once: "o'neil" is one."""
    return [at for at in range(first, end) if at == first or heard.words[at - 1].start != heard.words[at].start]


def _as_name(word: str) -> str:
    """A name as it is written, with a capital."""
    return word if any(letter.isupper() for letter in word) else word.capitalize()


def written_number(heard: Heard, span: Span) -> str:
    """A phone number as it was written, with the plus before it."""
    said = heard.said(*span)
    before = heard.noticed.text.written[: heard.words[span[0]].start].rstrip()
    return f"+{said}" if before.endswith("+") else said


def _day_spans(heard: Heard) -> list[Span]:
    spans: list[Span] = []
    at = 0
    while at < len(heard.words):
        end = heard.end("order_duty_day", at)
        if end is None:
            at += 1
        else:
            end = _without_an_hour(at, end, heard)
            spans.append((at, end))
            at = end
    return spans


def _without_an_hour(first: int, end: int, heard: Heard) -> int:
    """Where the words of a day end whose last figure is an hour: "sat 9-12"."""
    last = heard.words[end - 1].form
    if end - first < _WITH_FIGURES or not last.isdigit() or end >= len(heard.words):
        return end
    dash = bool(set("-–—") & set(heard.gap(end))) and heard.words[end].form.isdigit()
    return end - 1 if dash or heard.words[end].form in _OF_AN_HOUR else end


def _plain(span: Span, heard: Heard) -> str:
    """The words of a day, without what says that all of it is meant."""
    first, end = span
    while first < end - 1 and heard.end("order_day", first) != end:
        first += 1
    return heard.plain(first, end)


def _joined(days: Sequence[tuple[Span, When]], heard: Heard) -> tuple[When, ...]:
    """The days, with those between two that a "to" joins: "thu to sun"."""
    found = [day for _, day in days]
    for (before, first), (after, last) in pairwise(days):
        between = heard.end("order_to_day", before[1]) == after[0] or (
            before[1] == after[0] and bool(set("-–—") & set(heard.gap(after[0])))
        )
        if between and first.last < last.first:
            found.append(When(first.last, last.first))
    return tuple(found)
