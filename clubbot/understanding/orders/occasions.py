"""Orders about a day of an event that stays: it is held after all, or begins at another hour."""

from collections.abc import Callable
from datetime import datetime

from clubbot.model.club import Knowledge
from clubbot.model.intents import When
from clubbot.model.orders import CallOn, MoveHour, Order, Unclear
from clubbot.understanding.days import Days
from clubbot.understanding.orders.elsewhere import ElsewhereOrders
from clubbot.understanding.orders.heard import Heard, Span
from clubbot.understanding.orders.periods import Calendar
from clubbot.understanding.orders.timing import hour_said
from clubbot.understanding.rules import Match

Event = Callable[[int, int, Heard], str | None]
DaysNamed = Callable[[int, int, Heard], list[str]]


class OccasionOrders:
    """Reads what takes place after all, and what begins at another hour."""

    def __init__(self, knowledge: Knowledge, days: Days, event: Event, named: DaysNamed) -> None:
        """`event` and `named` tell the event and the days that stand between two words."""
        self._grammar, self._event, self._named = days, event, named
        self._zone = knowledge.club.zone
        self._elsewhere = ElsewhereOrders(knowledge, days, event, named)

    def read(self, heard: Heard, now: datetime) -> Order | None:
        """The order, None where the text is none."""
        return self._on_again(heard, now) or self._moved(heard, now)

    def _on_again(self, heard: Heard, now: datetime) -> CallOn | None:
        if heard.first("undo bare") is not None:
            return CallOn(None, None)
        core = _first("call on", heard)
        if core is None:
            return None
        event, day = self._about(0, len(heard.words), heard, now)
        return CallOn(event, day) if event is not None or day is not None else None

    def _moved(self, heard: Heard, now: datetime) -> Order | None:
        core = _first("other hour", heard)
        said = hour_said(_hour_at(core, heard), heard) if core is not None else None
        day_too = _first("other day", heard)
        if core is None or said is None or (day_too is not None and day_too.end > core.end):
            return self._elsewhere_or_unsaid(heard, now)
        hour, sure, span = said
        event, day = self._about(0, len(heard.words), heard, now, but=span)
        if event is None:
            return None
        unused = "" if heard.first("instead of") is not None else _behind(span, heard)
        return MoveHour(event, day, hour, sure, unused)

    def _elsewhere_or_unsaid(self, heard: Heard, now: datetime) -> Order | None:
        """Another day or place; or an hour that is not said, as in "half an hour later"."""
        other_day, place = _first("other day", heard), _first("other place", heard)
        if other_day is not None:
            moved = self._elsewhere.other_day(other_day, heard, now)
            unsaid = isinstance(moved, Unclear) and _first("which hour", heard) is not None
            return Unclear("which hour") if unsaid else moved
        if place is not None:
            return self._elsewhere.other_place(place, heard, now)
        return Unclear("which hour") if _first("which hour", heard) is not None else None

    def added(self, heard: Heard, now: datetime) -> Order | None:
        """An event that no file has."""
        return self._elsewhere.added(heard, now)

    def _about(
        self, first: int, end: int, heard: Heard, now: datetime, but: Span | None = None
    ) -> tuple[str | None, When | None]:
        days = (
            self._named(first, but[0], heard) + self._named(but[1], end, heard)
            if but
            else self._named(first, end, heard)
        )
        day = Calendar(now, self._zone, self._grammar).event_day(days) if days else None
        return self._event(first, end, heard), day if day is not None and day.dated else None


def _hour_at(core: Match, heard: Heard) -> int:
    """Where the new hour stands: at the end, or before "instead of" and the old one."""
    instead = heard.first("instead of")
    before = core.end - 1
    if instead is not None and core.first < instead.first < core.end:
        before = instead.first - 1
    while before > core.first and not heard.words[before].form[:1].isdigit():
        before -= 1
    return before


def _first(says: str, heard: Heard) -> Match | None:
    return next((one for one in heard.all(says) if _stands(one, heard)), None)


def _stands(core: Match, heard: Heard) -> bool:
    """Whether it is said of the event itself, and not of one's own place or as a question."""
    clause = next(at for at in range(core.first, -1, -1) if heard.breaks(at))
    beside = heard.free([(core.first, core.end)])  # a "meeting spot" is nobody's own
    if "?" in heard.noticed.text.written or any(
        heard.has("order_own", max(first, clause), end) for first, end in beside
    ):
        return False
    begin, end = heard.without(0, core.first, ("order_lead", "order_ask_lead"), "order_lead")
    return begin == end or heard.breaks(core.first)


def _behind(span: Span, heard: Heard) -> str:
    """ "league at 7, bring lights": what is said besides is nothing that the hour takes up."""
    place = next((at for at in range(span[1], len(heard.words)) if heard.breaks(at)), len(heard.words))
    return heard.said(place, len(heard.words)) if place < len(heard.words) else ""
