"""The parts of the course as the club's people name them: one, several joined, a row of holes."""

from clubbot.model.club import Knowledge
from clubbot.understanding.days import Days
from clubbot.understanding.holes import Holes
from clubbot.understanding.orders.heard import Heard, Span, overlaps
from clubbot.understanding.plain import words_of

COURSE = "course"
_DASHES = frozenset("-–—")
# Behind a figure these make it an hour and no hole.
_OF_AN_HOUR = frozenset({"am", "pm", "h", "heures", "heure", "o"})


class Ground:
    """Finds the parts of the course in a text, and where they stand."""

    def __init__(self, knowledge: Knowledge, days: Days) -> None:
        self._hole = Holes(days.marked).number
        self._holes = len(knowledge.course.holes)
        self._loops = {(loop.first_hole, loop.last_hole): loop.id for loop in knowledge.course.loops}
        self._names = {
            " ".join(words_of(name)): loop.id
            for loop in knowledge.course.loops
            for name in (loop.name.en, loop.name.fr, *loop.also_called)
        }

    def spans(self, heard: Heard) -> list[Span]:
        """Where parts of the course stand, the longest at each place, none within another."""
        found: list[Span] = []
        for match in heard.all("part"):
            if not found or match.first >= found[-1][1]:
                end = max(match.end, heard.end("order_part", match.first) or 0)
                found.append((match.first, self._before_an_hour(match.first, end, heard)))
        return found

    def _before_an_hour(self, first: int, end: int, heard: Heard) -> int:
        """Where a part ends whose last figure is an hour: "holes 4 until 3pm" ends behind the 4."""
        if (
            end >= len(heard.words)
            or heard.words[end].form not in _OF_AN_HOUR
            or not heard.words[end - 1].form.isdigit()
        ):
            return end
        figures = [at for at in range(first, end - 1) if heard.words[at].form.isdigit()]
        return figures[-1] + 1 if figures else end

    def parts(self, heard: Heard, first: int, end: int, but: list[Span]) -> tuple[str, ...] | None:
        """The parts that are named between two words, each once: holes by number, loops by id; None where one is unknown. Figures within
        the spans `but` are hours.
        """
        inside = [one for one in self.spans(heard) if first <= one[0] and one[1] <= end]
        found: list[str] = []
        for one in inside:
            meant = self._part(heard, one)
            if meant is None:
                return None
            found += meant
        loose = [
            at for at in range(first, end) if heard.words[at].form.isdigit() and not any(overlaps((at, at + 1), one) for one in (*inside, *but))
        ]  # fmt: skip
        if loose:
            figures = [int(heard.words[at].form) for at in loose]
            between = range(loose[0] + 1, loose[-1] + 1)
            in_a_row = not inside and len(figures) == 2 and self._joined(heard, between)  # "7 thru 9", not "7 and 9"
            more = self._known(range(figures[0], figures[1] + 1) if in_a_row else figures)
            if more is None:
                return None
            found += more
        return (COURSE,) if COURSE in found else tuple(dict.fromkeys(found))

    def anywhere(self, heard: Heard, but: list[Span]) -> tuple[str, ...] | None:
        """The parts that are named anywhere, else the course: "tree down on hole 7, close it"."""
        found = self.parts(heard, 0, len(heard.words), [*but, *self._no_part(heard)])
        return found if found != () else (COURSE,)

    def _no_part(self, heard: Heard) -> list[Span]:
        """All figures that stand outside of parts: how many trees, how high the water."""
        return heard.free(self.spans(heard))

    def _part(self, heard: Heard, span: Span) -> list[str] | None:
        plain = heard.plain(*span)
        named = max((name for name in self._names if f" {name} " in f" {plain} "), key=len, default=None)
        if named is not None:
            return [self._names[named]]
        figures = [int(form) for form in heard.forms(*span) if form.isdigit()]
        if len(figures) > 1:
            return self._row_of(figures, heard, span)
        hole = self._hole(plain) or (figures[0] if figures else None)
        if hole is None or (hole == self._holes and "hole" not in plain and "trou" not in plain):
            return [COURSE]
        return self._known([hole])

    def _row_of(self, figures: list[int], heard: Heard, span: Span) -> list[str] | None:
        """ "holes 7 to 9", "holes 7-9" is all between them, and a loop where it is just that; "holes 7 and 9" is two."""
        first, last = figures[0], figures[-1]
        if len(figures) == 2 and self._joined(heard, range(span[0] + 1, span[1])) and first < last:
            loop = self._loops.get((first, last))
            return [loop] if loop is not None else self._known(range(first, last + 1))
        return self._known(figures)

    def _joined(self, heard: Heard, between: range) -> bool:
        """Whether a "to" or a dash stands before one of these words."""
        return any(heard.end("order_row", at) is not None or bool(_DASHES & set(heard.gap(at))) for at in between)

    def _known(self, holes: "range | list[int]") -> list[str] | None:
        if isinstance(holes, range) and (holes.start, holes.stop - 1) in self._loops:
            return [self._loops[holes.start, holes.stop - 1]]
        return [str(hole) for hole in holes] if holes and all(1 <= hole <= self._holes for hole in holes) else None
