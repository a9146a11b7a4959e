"""The orders that are the whole text: codes, sending, the questions that wait, what was taught, discs that were found."""

from collections.abc import Mapping

from clubbot.model.orders import (
    Confirm,
    Done,
    Forget,
    GoOnSending,
    HoldSending,
    ListQuestions,
    Match,
    Order,
    PassOn,
    Teach,
    Unclear,
)
from clubbot.understanding import rules
from clubbot.understanding.orders.heard import Heard

_CODE_DIGITS = 8
# Behind a yes any number of so many figures is meant for a code.
_SHORTEST_CODE, _LONGEST_CODE = 4, 9
_MOST_PIECES = 4
_SAYS = ("hold sending", "go on", "pass", "done", "teach", "forget", "match", "list")


def short_order(heard: Heard, people: Mapping[str, str]) -> Order | None:
    """The order that is the whole text; `people` are the ids by first names."""
    for says in _SAYS:
        for match in heard.all(says):
            if heard.whole(match):
                return _order(says, match, heard, people)
    return None


def _order(says: str, match: rules.Match, heard: Heard, people: Mapping[str, str]) -> Order | None:
    forms = heard.forms(match.first, match.end)
    numbers = [int(form) for form in forms if form.isdigit()]
    number = numbers[0] if numbers else None
    match says:
        case "hold sending":
            return HoldSending()
        case "go on":
            return GoOnSending()
        case "pass":
            return PassOn(number, next((people[form] for form in forms if form in people), None))
        case "done":
            return Done(number)
        case "teach":
            return Teach(number)
        case "forget":
            return Forget(numbers[0])
        case "match":
            return Match(numbers[0], numbers[1])
        case _:
            return ListQuestions(max(1, number or 1))


def code(heard: Heard) -> Confirm | None:
    """A code with hardly more than a yes, wherever it stands: "yes 48217730", "48217730 yes go". Without a yes it is one of the length that
    codes have.
    """
    figures: list[str] = []
    said_yes = False
    at = 0
    while at < len(heard.words):
        form = heard.words[at].form
        yes, beside = heard.end("order_yes", at), heard.end("order_beside_code", at)
        if form.isdigit():
            if figures and not heard.words[at - 1].form.isdigit():
                return None  # two numbers
            figures.append(form)
            at += 1
        elif yes is not None:
            said_yes, at = True, yes
        elif beside is not None:
            at = beside
        else:
            return None
    digits = "".join(figures)
    fits = (
        _SHORTEST_CODE <= len(digits) <= _LONGEST_CODE
        if said_yes
        else len(digits) == _CODE_DIGITS and len(figures) <= 2
    )
    return Confirm(digits) if fits and len(figures) <= _MOST_PIECES else None


def code_within(heard: Heard) -> Confirm | Unclear | None:
    """The one code in a longer text: "sorry was driving. yes 48217730". Digits of a phone number are none: without a yes right before them
    they count only while an order waits. What changes the order, "yes 48217730 but only till 5", is asked about.
    """
    runs: list[list[str]] = []
    goes_on = False  # whether the word before was the end of a run
    for before, word in zip((None, *heard.words), heard.words, strict=False):
        if not word.form.isdigit() or (before is not None and before.start == word.start):
            goes_on = False  # "Q48217730" is a question
            continue
        if goes_on:
            runs[-1].append(word.form)
        else:
            runs.append([word.form])
        goes_on = True
    codes = ["".join(run) for run in runs if len("".join(run)) == _CODE_DIGITS and len(run) <= 2]
    if len(codes) != 1:
        return None
    last = max(at for at, word in enumerate(heard.words) if word.form.isdigit() and codes[0].endswith(word.form))
    other = next((at for at in range(last + 1, len(heard.words)) if heard.end("order_otherwise", at) is not None), None)
    if other is not None:
        return Unclear("otherwise", heard.said(other, len(heard.words)))
    first = next(at for at, word in enumerate(heard.words) if word.form.isdigit() and codes[0].startswith(word.form))
    said_yes = any(heard.end("order_yes", at) == first for at in range(first))
    return Confirm(codes[0], alone=said_yes)
