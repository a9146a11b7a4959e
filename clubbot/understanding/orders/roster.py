"""Orders about the club's own people and their phones: a phone is suspended or gets its orders back, somebody has a new number."""

from collections.abc import Mapping

from clubbot.model.orders_of_people import NewNumber, RestorePhone, SuspendPhone
from clubbot.understanding.orders.heard import Heard, Span

_FEWEST_DIGITS = 7


def roster_order(heard: Heard, people: Mapping[str, str]) -> SuspendPhone | RestorePhone | NewNumber | None:
    """The order, None where the text is none; `people` are the ids by first names."""
    person = _named(heard, people)
    if heard.first("suspend") is not None:
        return SuspendPhone(person) if person is not None or heard.has("order_me") else None
    if heard.first("restore") is not None and person is not None:
        return RestorePhone(person)
    number = number_in(heard)
    if number is None:
        return None
    if heard.first("new number") is not None and person is not None:
        return NewNumber(person, "", heard.said(*number))
    return None


def _named(heard: Heard, people: Mapping[str, str]) -> str | None:
    """The one person of the club who is named; None where nobody or several are."""
    forms = heard.forms()
    found = {people.get(form) or people.get(form.removesuffix("s")) for form in forms} - {None}
    return found.pop() if len(found) == 1 else None


def number_in(heard: Heard) -> Span | None:
    """Where a phone number stands: neighbouring figures, enough of them."""
    runs: list[Span] = []
    for at, form in enumerate(heard.forms()):
        if not (form.isdigit() or form == "+"):
            continue
        if runs and runs[-1][1] == at:
            runs[-1] = (runs[-1][0], at + 1)
        else:
            runs.append((at, at + 1))
    long = [one for one in runs if sum(len(form) for form in heard.forms(*one) if form.isdigit()) >= _FEWEST_DIGITS]
    return long[0] if len(long) == 1 else None
