"""What is left of a text when the order's own words are taken out of it: the reason, and what it tells clubbot to do besides."""

from collections.abc import Iterable
from dataclasses import dataclass

from clubbot.model.orders import Unclear
from clubbot.understanding.orders.heard import Heard, Span

# Words behind "till" in which an hour is looked for.
_NEAR = 5
# Words beside a figure that make no reason of it.
_FEW = 2
_LEADS = ("order_reason_lead", "order_lead", "order_ask_lead")


@dataclass(frozen=True, slots=True)
class Left:
    """The reason as it was written, and orders that were not taken up: "and tell everyone"."""

    reason: str
    orders: tuple[str, ...] = ()


def hangs_on(heard: Heard, taken: Iterable[Span]) -> Unclear | None:
    """What an order depends on that we cannot see, or what it leaves out: "when the rain starts", "but not the back nine"."""
    for first, end in heard.free(taken):
        for at in range(first, end):
            begins = at == first or heard.breaks(at)
            if begins and heard.end("order_condition", at) is not None:
                return Unclear("condition", heard.said(at, end))
            if (late := heard.end("order_time_left", at)) is not None and late <= end:
                return Unclear("a time", heard.said(at, late))
            if (late := _an_end_not_understood(heard, at, end)) is not None:
                return Unclear("a time", heard.said(at, late))
            if heard.end("order_except", at) is not None:
                return Unclear("exception", heard.said(at, end))
        if _figure_left(heard, first, end):
            return Unclear("a time", heard.said(first, end))
    return None


def left_over(heard: Heard, taken: Iterable[Span]) -> Left:
    """The words outside of these spans, as they were written."""
    reasons: list[str] = []
    orders: list[str] = []
    for first, end in heard.free(taken):
        tells = next((at for at in range(first, end) if heard.end("order_tells", at) is not None), end)
        begin, last = heard.without(first, tells, _LEADS, "order_reason_end")
        if begin < last:
            reasons.append(heard.said(begin, last))
        if tells < end:
            orders.append(heard.said(tells, end))
    return Left(", ".join(reasons), tuple(orders))


def _figure_left(heard: Heard, first: int, end: int) -> bool:
    """Whether hardly more than a figure is left right behind what was taken up: in "till tomorrow-ish 11" it may be the hour."""
    if first == 0 or heard.breaks(first):
        return False
    stop = next((at for at in range(first + 1, end) if heard.breaks(at)), end)
    return stop - first <= _FEW and heard.words[stop - 1].form.isdigit()


def _an_end_not_understood(heard: Heard, at: int, end: int) -> int | None:
    """Where an end that is said with figures and was not taken up stops: "till tmorow 10". It must not become part of the reason, since the
    closure would then have no end.
    """
    till = heard.end("order_till", at)
    if till is None:
        return None
    stop = next((one for one in range(till, end) if heard.breaks(one)), end)
    last = min(stop, till + _NEAR)
    return last if any(form[:1].isdigit() for form in heard.forms(till, last)) else None
