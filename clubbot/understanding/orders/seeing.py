"""What the club's people want to see, and what they want done that is not done by text."""

from collections.abc import Sequence
from datetime import datetime
from typing import TypeVar, get_args

from clubbot.model.club import Knowledge
from clubbot.model.orders import Beyond, HoldSending, ListQuestions, NotByText, Order, ShowDuty, ShowStatus
from clubbot.model.seen import ListReports, Matter, ShowOrders, ShowPeople, ShowSent, Span
from clubbot.understanding.days import Days
from clubbot.understanding.orders.heard import Heard
from clubbot.understanding.orders.periods import Calendar
from clubbot.understanding.rules import Match

BEYOND: tuple[Beyond, ...] = get_args(Beyond)
MATTERS: tuple[Matter, ...] = get_args(Matter)
SPANS: tuple[Span, ...] = ("yesterday", "week", "today")
_Name = TypeVar("_Name", bound=str)


class SeeingOrders:
    """Reads what is to be shown; questions among them."""

    def __init__(self, knowledge: Knowledge, days: Days) -> None:
        self._days = days
        self._zone = knowledge.club.zone

    def read(self, heard: Heard, now: datetime) -> Order | None:
        """What is to be shown, where that is all that is said."""
        for says in ("status", "orders", "duty", "which questions", "reports", "sent", "club people"):
            found = heard.first(says)
            if found is None:
                continue
            match says:
                case "status":
                    return ShowStatus()
                case "orders":
                    return ShowOrders(_named("order_matter", MATTERS, found, heard))
                case "sent":
                    return ShowSent(_named("order_span", SPANS, found, heard) or "today")
                case "club people":
                    return ShowPeople()
                case "which questions":
                    return ListQuestions()
                case "reports":
                    return ListReports(_page(heard.forms(found.first, found.end)))
                case _:
                    named = [
                        heard.plain(at, end)
                        for at in range(found.first, found.end)
                        if (end := heard.end("order_day", at))
                    ]
                    day = Calendar(now, self._zone, self._days).event_day(named[:1]) if named else None
                    return ShowDuty(
                        day if day is not None and day.dated else None,
                        all=not named and heard.has("order_roster", found.first, found.end),
                    )
        return None


def _named(group: str, names: Sequence[_Name], found: Match, heard: Heard) -> _Name | None:
    """Which of these is named within the match, each by the words of a group of its own."""
    return next((name for name in names if heard.has(f"{group}_{name}", found.first, found.end)), None)


def _page(forms: tuple[str, ...]) -> int:
    return next((max(1, int(form)) for form in forms if form.isdigit()), 1)


def beyond(heard: Heard) -> NotByText | HoldSending | None:
    """What is to be done that is not done by text, and what stops a text to many; None where the text is neither."""
    held = heard.first("hold texts")
    if held is not None and "?" not in heard.noticed.text.written:
        return HoldSending()
    for what in BEYOND:
        found = heard.first(f"beyond {what}")
        if found is not None:
            return NotByText(what)
    return None
