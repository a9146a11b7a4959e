"""Orders about where and on what day an event is held, and about events that no file has."""

from collections.abc import Callable
from datetime import datetime, time

from clubbot.model.club import Knowledge
from clubbot.model.intents import When
from clubbot.model.orders import AddEvent, MoveElsewhere, Unclear
from clubbot.understanding.days import Days
from clubbot.understanding.orders.heard import Heard, Span
from clubbot.understanding.orders.periods import Calendar
from clubbot.understanding.rules import Match

Event = Callable[[int, int, Heard], str | None]
DaysNamed = Callable[[int, int, Heard], list[str]]

_TO = frozenset({"to", "till", "until", "for", "a", "au", "pour"})
_ARTICLES = frozenset({"the", "le", "la"})
_AT_PLACE = frozenset({"at", "to", "in", "by", "near", "on", "au", "a", "dans", "pres", "devant"})
_OF_AN_HOUR = frozenset({"am", "pm", "h", "heures", "heure", "noon", "midi"})
# What follows a place and is no part of it.
_BEHIND_A_PLACE = frozenset(
    {
        "not",
        "instead",
        "this",
        "because",
        "since",
        "starting",
        "from",
        "for",
        "pas",
        "plutot",
        "cette",
        "ce",
        "car",
        "pour",
    }
)
_NOON = 12
# Words of a moment, of a place and of a name at most.
_LONGEST_MOMENT, _LONGEST_PLACE, _LONGEST_NAME = 8, 6, 8


class ElsewhereOrders:
    """Reads on what other day or at what other place an event is held, and what event is added."""

    def __init__(self, knowledge: Knowledge, days: Days, event: Event, named: DaysNamed) -> None:
        """`event` and `named` tell the event and the days that stand between two words."""
        self._grammar, self._event, self._named = days, event, named
        self._zone = knowledge.club.zone

    def other_day(self, core: Match, heard: Heard, now: datetime) -> MoveElsewhere | Unclear:
        """An event that is held on another day; "postpone league" does not say which."""
        begins = _behind_to(core, heard)
        if begins is None:
            return Unclear("which day", heard.said(core.first, len(heard.words)))
        calendar = Calendar(now, self._zone, self._grammar)
        span = _until_a_break(begins, _LONGEST_MOMENT, heard)
        to = calendar.moment(heard.plain(*span))
        if to is None or not to.dated or to.first != to.last:
            return Unclear("which day", heard.said(core.first, span[1]))
        event, day = self._about(core.first, begins, heard, calendar)
        if event is None and day is None:
            return Unclear("which event", heard.said(core.first, span[1]))
        starts = to.at.timetz().replace(tzinfo=None) if to.at is not None else None
        return MoveElsewhere(event, day, to=to, starts=starts, sure=starts is not None and _sure(span, heard, starts))

    def other_place(self, core: Match, heard: Heard, now: datetime) -> MoveElsewhere | None:
        """An event that is held at another place; None where the place is not said."""
        calendar = Calendar(now, self._zone, self._grammar)
        place = _place(core, heard)
        event, day = self._about(0, len(heard.words), heard, calendar)
        return MoveElsewhere(event, day, place=place) if place and (event is not None or day is not None) else None

    def added(self, heard: Heard, now: datetime) -> AddEvent | Unclear | None:
        """An event that is added: its name, day and hour, and what else is said of it."""
        core = heard.first("new event")
        if core is None:
            return None
        begin = core.first
        while (after := heard.end("order_lead", begin) or heard.end("order_new_lead", begin)) is not None:
            begin = after
        day_at = next((at for at in range(begin, len(heard.words)) if heard.end("order_day", at) is not None), None)
        if day_at is None:
            return None
        span = self._moment(day_at, heard)
        when = Calendar(now, self._zone, self._grammar).moment(heard.plain(*span))
        name = _name(begin, day_at, heard) or _name_behind(span[1], heard)
        if when is None or not when.dated or when.first != when.last or not name:
            return Unclear("new event", heard.said(core.first, len(heard.words)))
        if when.at is None:
            return Unclear("new event", heard.said(core.first, len(heard.words)))
        starts = when.at.timetz().replace(tzinfo=None)
        rest = (span[1], len(heard.words))
        return AddEvent(name, when, starts, _sure(span, heard, starts), _at(rest, heard), _seats(heard), _price(heard))

    def _moment(self, at: int, heard: Heard) -> Span:
        """The words of a day and the hour behind it: "sat 19 june 14:00"."""
        ends = [one for one in (heard.end("order_moment", at), heard.end("order_day", at)) if one is not None]
        end = max(ends)
        while end < len(heard.words) and heard.words[end].form in _OF_AN_HOUR:
            end += 1
        behind = heard.end("order_moment", end) if end < len(heard.words) and end - at < _LONGEST_MOMENT else None
        return at, behind or end

    def _about(self, first: int, end: int, heard: Heard, calendar: Calendar) -> tuple[str | None, When | None]:
        days = self._named(first, end, heard)
        day = calendar.event_day(days[:1]) if days else None
        return self._event(first, end, heard), day if day is not None and day.dated else None


def _behind_to(core: Match, heard: Heard) -> int | None:
    """Where the new day begins: behind the last "to" that a day follows."""
    for at in range(min(core.end, len(heard.words)) - 1, core.first, -1):
        if heard.words[at].form not in _TO:
            continue
        begins = at + 1
        while (
            begins < len(heard.words)
            and heard.words[begins].form in _ARTICLES
            and heard.end("order_day", begins) is None
        ):
            begins += 1
        if heard.end("order_day", begins) is not None:
            return begins
    return None


def _until_a_break(begin: int, most: int, heard: Heard) -> Span:
    end = next((at for at in range(begin + 1, len(heard.words)) if heard.breaks(at)), len(heard.words))
    return begin, min(end, begin + most)


def _sure(span: Span, heard: Heard, starts: time) -> bool:
    """Whether morning or evening was said with the hour."""
    forms = heard.forms(*span)
    return starts.hour > _NOON or bool(_OF_AN_HOUR & {*forms}) or any(form[:1] == "0" for form in forms)


def _place(core: Match, heard: Heard) -> str:
    """The words of the place: behind the last "at" of the rule's words, or behind them all."""
    begin = core.end
    known = next((at for at in range(core.first, core.end) if heard.end("order_place", at) == core.end), None)
    if known is not None:
        begin = known
        while begin > core.first and heard.words[begin - 1].form not in _AT_PLACE:
            begin -= 1
        return _words_of_place(begin, heard)
    while begin < len(heard.words) and (day := heard.end("order_day", begin)) is not None:
        begin = day
    return _words_of_place(begin, heard)


def _words_of_place(begin: int, heard: Heard) -> str:
    end = begin
    while end < len(heard.words) and end - begin < _LONGEST_PLACE:
        stops = end > begin and (heard.breaks(end) or heard.words[end].form in _BEHIND_A_PLACE)
        if stops or heard.end("order_day", end) is not None or heard.words[end].form[:1].isdigit():
            break
        end += 1
    return heard.said(begin, end) if end > begin else ""


def _name(begin: int, end: int, heard: Heard) -> str:
    """What the event is called: what stands before its day, without what leads to the day."""
    while end > begin and heard.words[end - 1].form in {"on", "for", "le", "pour", "this", "ce"}:
        end -= 1
    return heard.said(begin, min(end, begin + _LONGEST_NAME)) if end > begin else ""


def _name_behind(begin: int, heard: Heard) -> str:
    """A name that stands behind the day and hour: "add event sat 14:00 putting evening at the pier"."""
    end = begin
    while end < len(heard.words) and heard.end("order_place_lead", end) is None:
        if end > begin and heard.breaks(end):
            break
        end += 1
    return _name(begin, end, heard)


def _at(span: Span, heard: Heard) -> str:
    """Where it is, as far as that is said behind its hour."""
    for at in range(*span):
        begins = heard.end("order_place_lead", at)
        if begins is not None and begins < len(heard.words) and not heard.words[begins].form[:1].isdigit():
            return _words_of_place(begins, heard)
    return ""


def _seats(heard: Heard) -> int | None:
    """How many places there are."""
    for at in range(1, len(heard.words)):
        if heard.end("order_seats", at) is not None and heard.words[at - 1].form.isdigit():
            return int(heard.words[at - 1].form)
    return None


def _price(heard: Heard) -> int | None:
    """What it costs; None where that is not said."""
    forms = heard.forms()
    for at, form in enumerate(forms):
        near = [one for one in (*forms[at + 1 : at + 2], *forms[max(0, at - 1) : at]) if one.isdigit()]
        if form in {"$", "dollars", "bucks"} and near:
            return int(near[0])
    return 0 if heard.has("order_free") else None
