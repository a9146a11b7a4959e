"""Holes of the course in a text: how many are to be played, and the number of the one that is spoken of."""

from collections.abc import Callable, Sequence

from clubbot.understanding.time_forms import Form, Worth, form
from clubbot.understanding.time_words import Marked

# So many make a round, and no other number does where "holes" is not said: "a quick nine".
_ROUNDS = frozenset({6, 9, 12, 18})
_MOST = 18
_Guard = Callable[[Marked, int, int, Worth], bool]


def _always(_: Marked, __: int, ___: int, ____: Worth) -> bool:
    return True


def _nothing_else(marked: Marked, _: int, end: int, __: Worth) -> bool:
    """Neither people, minutes nor an hour: "no 2 people alike", "tee 6 pm"."""
    return not marked.begins(end, "persons", "minutes", "h", "am", "pm", "problem")


def _a_round(marked: Marked, _: int, end: int, worth: Worth) -> bool:
    return worth["n"] in _ROUNDS and not marked.begins(end, "counted", "persons", "h", "am", "pm", "th", "of")


def _no_minutes(marked: Marked, begin: int, end: int, worth: Worth) -> bool:
    """ "h 7" is a hole, "18 h 15" is none."""
    return not marked.begins(begin - 1, "figures") and _nothing_else(marked, begin, end, worth)


def _no_round(marked: Marked, _: int, end: int, worth: Worth) -> bool:
    """ "can we play 17" is that hole, "play 12" so many."""
    number = worth["figures"]
    alone = not marked.begins(
        end, "counted", "persons", "h", "am", "pm", "o", "of", "to", "and", "range", "not_one_hole"
    )
    return 0 < number < _MOST and number not in _ROUNDS and alone


def _no_par(marked: Marked, begin: int, end: int, worth: Worth) -> bool:
    """A number by itself that counts nothing: "how far is 4 from the long tee", where "par 4" is none."""
    return not marked.begins(begin - 1, "not_a_hole") and _no_round(marked, begin, end, worth)


_TO_PLAY: Sequence[tuple[Form, _Guard]] = (
    (form("n|n1 hole_kind? holes"), _always),
    (form("round_lead n"), _a_round),
)
_ALONE: Sequence[tuple[Form, _Guard]] = ((form("figures"), _no_par),)
_OF_LIGHT: Sequence[tuple[Form, _Guard]] = ((form("round_for n"), _a_round),)
# The surest first, whatever comes first in a text.
_ONE_HOLE: Sequence[Sequence[tuple[Form, _Guard]]] = (
    (
        (form("hole hole_number? figures"), _nothing_else),
        (form("hole_lead|hole_number figures"), _no_minutes),
        (form("dth hole_of_number"), _always),
    ),
    ((form("hole n|n1"), _always),),
    (
        (form("play figures"), _no_round),
        (form("hole_is the? figures hole_state"), _always),
        (form("the|le figures hole_stands"), _always),
    ),
)
ROLES = frozenset(
    role
    for forms in (_TO_PLAY, _OF_LIGHT, _ALONE, *_ONE_HOLE)
    for one, _ in forms
    for role in one.roles() | {"problem", "not_one_hole", "not_a_hole", "whole_round"}
)


class Holes:
    """Finds them; `marked` tells the roles of the words of a text."""

    def __init__(self, marked: Callable[[str], Marked]) -> None:
        self._marked = marked

    def to_play(self, text: str, all_holes: int) -> int | None:
        """How many holes are to be played; `all_holes` for a full round; None where the text does not say."""
        marked = self._marked(text)
        found = _first(marked, _TO_PLAY)
        if found is not None:
            return found
        return all_holes if marked.says("whole_round") else None

    def of_light(self, text: str) -> int | None:
        """How many holes "enough light for 12" is about: what would be people elsewhere."""
        return _first(self._marked(text), _OF_LIGHT)

    def number(self, text: str) -> int | None:
        """The number of the one hole that is spoken of ("hole 7", "trou sept", "#7", "the 7th tee"); None where none is named."""
        marked = self._marked(text)
        return next((found for forms in _ONE_HOLE if (found := _first(marked, forms)) is not None), None)

    def alone(self, text: str) -> int | None:
        """The hole that a lone number is, where a text is about holes anyway: "how far is 4 from the long tee"."""
        return _first(self._marked(text), _ALONE)


def _first(marked: Marked, forms: Sequence[tuple[Form, _Guard]]) -> int | None:
    """The number in the first place where one of these forms stands."""
    able = [one for one in forms if not any(marked.said.isdisjoint(needed) for needed in one[0].needed)]
    for place in range(len(marked.at) if able else 0):
        for one, guard in able:
            for end, worth in one.ends(marked, place):
                if guard(marked, place, end, worth):
                    return int(next(worth[role] for role in ("figures", "n", "n1", "dth") if role in worth))
    return None
