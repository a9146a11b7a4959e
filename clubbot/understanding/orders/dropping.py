"""What somebody texts who has been shown what would be done and does not want it: "cancel", "no wait", "non, laisse faire". And the bare
yes that forgot its code.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from clubbot.understanding.orders.heard import Heard

_LONGEST = 9


@dataclass(frozen=True, slots=True)
class ToADraft:
    """What a text says to what waits for its code. `drops`: it is nothing but a no to it, whatever code stands in it; `refuses`: there is a no
    in it; `only_yes`: a yes without a code; `stops`: one of the words that end texts stands in it; `rest`: what follows a no at the beginning,
    which is no more than "oops" or "sorry" where it is a `slip`; `but`: what follows a "but".
    """

    drops: bool
    refuses: bool
    only_yes: bool
    stops: bool
    rest: str = ""
    slip: bool = False
    but: str = ""


def said_to_a_draft(heard: Sequence[Heard]) -> ToADraft:
    """What the text says in any language."""
    return ToADraft(
        drops=any(map(_drops, heard)),
        refuses=any(not _rows(one, "order_drops").isdisjoint(one.forms()) for one in heard),
        only_yes=any(" ".join(one.forms()) in _rows(one, "order_only_yes") for one in heard),
        stops=any(not _rows(one, "order_stops").isdisjoint(one.forms()) for one in heard),
        rest=next((one.rest(at).strip() for one in heard if (at := _behind_a_no(one)) is not None), ""),
        slip=any(_only_a_slip(one) for one in heard),
        but=next((one.rest(at).strip() for one in heard if (at := _behind_a_but(one)) is not None), ""),
    )


def _behind_a_no(heard: Heard) -> int | None:
    """ "no, make it the hill": the word behind the no; None where the text begins with no such word."""
    at = 0
    while (after := heard.end("order_lead", at)) is not None:
        at = after
    first = at
    while (after := heard.end("order_thinks_again", at)) is not None:
        at = after
    return at if at > first else None


def _behind_a_but(heard: Heard) -> int | None:
    """ "yes 4821 but make it 7": the word behind the "but"; None where there is none, or nothing follows it."""
    buts = _rows(heard, "order_but")
    return next((at + 1 for at, form in enumerate(heard.forms()[:-1]) if at and form in buts), None)


def _only_a_slip(heard: Heard) -> bool:
    """Whether what the text begins with takes back a slip of the thumb and not the order."""
    behind = _behind_a_no(heard)
    return behind is not None and heard.without(0, behind, ("order_lead", "order_slip"), "order_slip") == (
        behind,
        behind,
    )


def _drops(heard: Heard) -> bool:
    words = [form for form in heard.forms() if not form.isdigit()]
    behind = _behind_a_no(heard)
    if (
        behind is not None
        and not heard.rest(behind).strip(" .!,")
        and " ".join(words) not in _rows(heard, "order_drops_not")
    ):
        return True
    if not words or len(words) > _LONGEST or " ".join(words) in _rows(heard, "order_drops_not"):
        return False
    no = _rows(heard, "order_drops")
    return not no.isdisjoint(words) and (no | _rows(heard, "order_drops_beside")).issuperset(words)


def _rows(heard: Heard, group: str) -> frozenset[str]:
    return heard.vocabulary.rows(group)
