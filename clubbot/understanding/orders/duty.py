"""Orders about turns on duty: who takes whose."""

from datetime import datetime

from clubbot.model.club import WEEKDAYS, Knowledge
from clubbot.model.intents import When
from clubbot.model.orders_of_people import TakeDuty
from clubbot.understanding.days import Days
from clubbot.understanding.orders.heard import Heard, Span
from clubbot.understanding.orders.periods import Calendar
from clubbot.understanding.plain import words_of
from clubbot.understanding.rules import Match


class DutyOrders:
    """Reads who takes whose turn."""

    def __init__(self, knowledge: Knowledge, days: Days) -> None:
        self._days = days
        self._knowledge = knowledge
        self._zone = knowledge.club.zone
        self.names = _first_names(knowledge)

    def read(self, heard: Heard, now: datetime) -> TakeDuty | None:
        """The change of turns; None where a name is unknown or it does not show whose turn it is."""
        takes, goes = heard.first("takes"), heard.first("goes to")
        if takes is not None and _at_the_beginning(takes, heard):
            return self._takes(takes, heard, Calendar(now, self._zone, self._days))
        if goes is not None and _at_the_beginning(goes, heard):
            day = Calendar(now, self._zone, self._days).event_day(_days(goes.first, goes.end, heard))
            return self._taken(self.names.get(heard.words[goes.end - 1].form), None, True, day)
        return None

    def _takes(self, takes: Match, heard: Heard, calendar: Calendar) -> TakeDuty | None:
        end = self._object_end(takes.end, heard)
        if end is None:
            return None
        named = [one for at in range(takes.first, end) if (one := self._person(heard, at)) is not None]
        mine = heard.has("order_me", takes.first, end)
        day = calendar.event_day(_days(takes.first, end, heard))
        taker = named[0] if named and self._takes_himself(takes, heard) else None
        others = set(named[1:] if taker is not None else named)
        if len(others) > 1 or (day is None and not heard.has("order_turn", takes.end, end)):
            return None
        return self._taken(taker, others.pop() if others else None, mine or _lost(takes, heard), day)

    def _takes_himself(self, takes: Match, heard: Heard) -> bool:
        """Whether the one who takes is named: "Sam takes", not "I take"."""
        return any(self._person(heard, at) is not None for at in range(takes.first, takes.end))

    def _object_end(self, at: int, heard: Heard) -> int | None:
        """Where the words of the turn end; None where other words stand among them."""
        while at < len(heard.words):
            known = heard.end("order_day", at) or heard.end("order_turn_object", at)
            if known is None and self._person(heard, at) is not None:
                known = at + 1
            if known is None:
                return at if heard.breaks(at) or heard.end("order_courtesy_after", at) is not None else None
            at = known
            if heard.breaks(at):
                return at
        return at

    def _person(self, heard: Heard, at: int) -> str | None:
        form = heard.words[at].form
        return self.names.get(form) or self.names.get(form.removesuffix("s"))

    def _taken(self, taker: str | None, named: str | None, mine: bool, day: When | None) -> TakeDuty | None:
        if named is None and not mine:
            # "I take thursday": the turn of whoever is on duty then.
            named = self._on_duty(day)
            if named is None:
                return None
        return TakeDuty(taker, named, day)

    def _on_duty(self, day: When | None) -> str | None:
        if day is None or day.first != day.last:
            return None
        weekday = WEEKDAYS[day.first.weekday()]
        on = {duty.person for duty in self._knowledge.duty if weekday in duty.days}
        return on.pop() if len(on) == 1 else None


def _at_the_beginning(match: Match, heard: Heard) -> bool:
    return heard.without(0, match.first, ("order_lead",), "order_lead") == (match.first, match.first)


def _lost(takes: Match, heard: Heard) -> bool:
    """Whether the sender said before it that they cannot: "can't do thursday, Sam takes it"."""
    return heard.has("order_day", takes.first, takes.end)


def _days(first: int, end: int, heard: Heard) -> list[str]:
    spans: list[Span] = []
    for at in range(first, end):
        found = heard.end("order_day", at)
        if found is not None and found <= end and (not spans or at >= spans[-1][1]):
            spans.append((at, found))
    return [heard.plain(*one) for one in spans]


def _first_names(knowledge: Knowledge) -> dict[str, str]:
    """The ids by plain first names; a name that two people share stands for nobody."""
    names = [" ".join(words_of(person.first_name)) for person in knowledge.people]
    return {name: one.id for name, one in zip(names, knowledge.people, strict=True) if names.count(name) == 1}
