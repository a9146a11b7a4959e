"""Orders about single people by their names: who is put down for an event day, who is taken off its list, who is told something. A name is a
few words that are nobody's kin and no number; whether anybody has it is not known here.
"""

from collections.abc import Callable
from datetime import datetime

from clubbot.model.club import Knowledge
from clubbot.model.intents import When
from clubbot.model.orders import Unclear
from clubbot.model.orders_by_name import SignInOthers, SignUpOthers, TakeOff, TellOne
from clubbot.understanding.days import Days
from clubbot.understanding.orders.heard import Heard, Span
from clubbot.understanding.orders.left import hangs_on
from clubbot.understanding.orders.people import message_from
from clubbot.understanding.orders.periods import Calendar

Event = Callable[[int, int, Heard], str | None]
DaysNamed = Callable[[int, int, Heard], list[str]]

_LEADS = ("order_lead", "order_ask_lead")
# Words of one name, and of one whose end is not marked.
_LONGEST, _LONGEST_UNMARKED = 4, 3
_JOINS = frozenset(",&+/;")
_COLON = ":"


class NamedOrders:
    """Reads what is to be done about people by their names."""

    def __init__(self, knowledge: Knowledge, days: Days, event: Event, named: DaysNamed) -> None:
        """`event` and `named` tell the event and the days that stand between two words."""
        self._grammar, self._event, self._named = days, event, named
        self._zone = knowledge.club.zone

    def read(self, heard: Heard, now: datetime) -> SignUpOthers | TakeOff | SignInOthers | Unclear | None:
        """Who is put down, taken off or signed in; None where the text is neither."""
        here = _signed_in(heard)
        if here is not None:
            return here
        if heard.first("take off") is not None:
            return self._read(heard, now, TakeOff, "order_takes_off")
        if heard.first("sign up others") is not None:
            return self._read(heard, now, SignUpOthers, "order_signs_up")
        if heard.first("take off somebody") is not None:
            return _off_wherever(heard)
        if heard.first("sign up somebody") is not None:
            return _without_an_event(heard)
        told_out, told_in = heard.first("is out"), heard.first("is in")
        if told_out is None and told_in is None:
            return None
        read = self._read(heard, now, TakeOff if told_out is not None else SignUpOthers, "")
        return None if isinstance(read, Unclear) else read  # what is only told of somebody may be anything

    def tell_one(self, heard: Heard, *, marked: bool) -> TellOne | None:
        """Who is told what, by where the name may end; `marked` where a colon must say where. None where no name can stand there."""
        lead = heard.first("tell") or heard.first("let know")
        if lead is None or heard.without(0, lead.first, ("order_lead",), "order_lead") != (lead.first, lead.first):
            return None
        if heard.has("order_you_do", 0, lead.first):
            return None
        knows = lead.says == "order let know"
        ends = range(lead.end + 1, min(lead.end + _LONGEST, len(heard.words) - 1) + 1)
        colon = next((at for at in ends if _COLON in heard.gap(at)), None)
        if knows and colon is None:
            colon = next((at for at in ends if heard.end("order_join", at) is not None), None)
        if knows and any(heard.end("order_know", at) is not None for at in ends):
            colon = next(at for at in ends if heard.end("order_know", at) is not None)
        if colon is not None:
            ends = range(colon, colon + 1)
        elif marked or knows:
            return None
        readings = [
            (_said((lead.end, at), heard), words)
            for at in reversed(ends)
            if (colon is not None or at - lead.end <= _LONGEST_UNMARKED)
            and _is_name((lead.end, at), heard)
            and (words := message_from(heard, at, must_know=knows))
        ]
        return TellOne(tuple(readings)) if readings else None

    def _read(
        self, heard: Heard, now: datetime, kind: type[SignUpOthers] | type[TakeOff], verb: str
    ) -> SignUpOthers | TakeOff | Unclear | None:
        first, last = _behind_the_verb(heard, verb)
        begin = _of_the_event(first, last, heard)
        if begin is None and kind is TakeOff and (anywhere := _off_wherever(heard)) is not None:
            return anywhere
        if begin is None:
            return Unclear("names", heard.said(0, len(heard.words)))
        names, end = _names((first, _without_links(first, begin, heard)), heard), _to_its_end(begin, last, heard)
        if not names:
            return Unclear("names", heard.said(0, len(heard.words)))
        further = heard.end("order_and_day", end)
        if further is not None:
            return Unclear("two times", heard.said(end, further))
        unclear = hangs_on(heard, [(0, end)])
        if unclear is not None:
            return unclear
        event, day = self._event(begin, end, heard), self._day(begin, end, heard, now)
        if isinstance(day, Unclear):
            return day
        rest = heard.without(end, len(heard.words), (), "order_courtesy_after")
        unused = heard.said(*rest) if rest[0] < rest[1] else ""
        return kind(names, event, day, unused)

    def _day(self, first: int, end: int, heard: Heard, now: datetime) -> When | Unclear | None:
        named = self._named(first, end, heard)
        day = Calendar(now, self._zone, self._grammar).event_day(named)
        if named and (day is None or not day.dated):
            return Unclear("a time", ", ".join(named))  # never the next day instead
        return day


def _names(span: Span, heard: Heard) -> tuple[str, ...]:
    """The names that are joined there; none where one of them is no name."""
    parts = _parted(*span, heard)
    return tuple(_said(one, heard) for one in parts) if all(_is_name(one, heard) for one in parts) else ()


def _off_wherever(heard: Heard) -> TakeOff | None:
    """ "Take Bob off", of whatever list: who is named, and nothing else."""
    first, end = _behind_the_verb(heard, "order_takes_off")
    for tail in ("order_courtesy_after", "order_links"):
        end = heard.without(first, end, (), tail)[1]
    names = _names((first, end), heard)
    return TakeOff(names, None, None) if names else None


def _signed_in(heard: Heard) -> SignInOthers | None:
    """ "Sign in Bob", "Bob and Ana are here": who is named between what says that they are here."""
    sure = heard.first("sign in others") is not None
    if not sure and heard.first("are here") is None:
        return None
    leads = (*_LEADS, "order_signs_in") if sure else _LEADS
    names = _names(heard.without(0, len(heard.words), leads, "order_is_here"), heard)
    return SignInOthers(names, sure) if names else None


def _behind_the_verb(heard: Heard, verb: str) -> Span:
    """From the first word of the names on; in "ana is out for wed" they stand before what is said of them."""
    begin, _ = heard.without(0, len(heard.words), _LEADS, "order_courtesy_after")
    behind = heard.end(verb, begin) if verb else None
    return (begin if behind is None else behind), len(heard.words)


def _of_the_event(first: int, last: int, heard: Heard) -> int | None:
    """Where the event or its day is named."""
    found = (
        at for at in range(first, last) if heard.end("event", at) is not None or heard.end("order_day", at) is not None
    )
    return next(found, None)


def _without_links(first: int, end: int, heard: Heard) -> int:
    """Where the names end: before what links them to the event ("down for the")."""
    return heard.without(first, end, (), "order_links")[1]


def _to_its_end(begin: int, last: int, heard: Heard) -> int:
    """Where the event with its day ends."""
    ends = (heard.end(group, begin) for group in ("order_occasion", "event", "order_day"))
    end = max(one for one in ends if one is not None)
    return min(last, heard.end("order_list_after", end) or end)


def _without_an_event(heard: Heard) -> Unclear | None:
    """ "Sign up Bob Smith", and not for what: asked only where it is surely a name."""
    first, last = _behind_the_verb(heard, "order_signs_up")
    end = heard.without(first, last, (), "order_links")[1]
    capitals = all(heard.said(at, at + 1)[:1].isupper() for at in range(first, end))
    return Unclear("names", heard.said(0, len(heard.words))) if _is_name((first, end), heard) and capitals else None


def _parted(first: int, end: int, heard: Heard) -> list[Span]:
    """The words between two joints, as spans."""
    parts: list[Span] = []
    begin = first
    for at in range(first, end):
        joint = heard.end("order_and_name", at)
        if joint is not None:
            parts.append((begin, at))
            begin = joint
        elif at > begin and _JOINS & set(heard.gap(at)):
            parts.append((begin, at))
            begin = at
    return [one for one in (*parts, (begin, end)) if one[0] < one[1]]


def _said(span: Span, heard: Heard) -> str:
    """A name as it was written, without what makes it a possessive."""
    return heard.said(*span).removesuffix("'s").removesuffix("’s")


def _is_name(span: Span, heard: Heard) -> bool:
    """Whether a few words may be somebody's name."""
    first, end = span
    if not 0 < end - first <= _LONGEST or heard.has("order_no_name", first, end):
        return False
    broken = any(heard.breaks(at) for at in range(first + 1, end))
    return not broken and all(form.isalpha() for form in heard.forms(first, end))
