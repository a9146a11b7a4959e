"""Orders about the course: close, reopen, hold play, a note."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime

from clubbot.model.club import Knowledge
from clubbot.model.orders import Close, HoldPlay, NoteOn, Order, Reopen, Unclear
from clubbot.understanding.days import Days
from clubbot.understanding.orders.ground import COURSE, Ground
from clubbot.understanding.orders.heard import Heard, Span, overlaps
from clubbot.understanding.orders.left import hangs_on, left_over
from clubbot.understanding.orders.periods import Calendar, TimeWords, times_in
from clubbot.understanding.rules import Match

# Words of a text that cries thunder: who writes more tells a story.
_LONGEST_CRY = 14
# "Note on hole 9": more words between them are the note itself.
_NOTE_AND_PART = 4
_CLOSES = ("close range", "close", "close ends", "close all", "close it", "close bare")
_REOPENS = ("reopen", "reopen all", "reopen bare")


@dataclass(frozen=True, slots=True)
class _Told:
    """What is looked at together: the text as heard, where it names parts of the course, and its times."""

    heard: Heard
    parts: list[Span]
    times: list[TimeWords]

    @property
    def spans(self) -> list[Span]:
        return [one.span for one in self.times]


class CourseOrders:
    """Reads orders to the course: close, reopen, hold play, a note."""

    def __init__(self, knowledge: Knowledge, days: Days) -> None:
        self._days = days
        self._ground = Ground(knowledge, days)
        self._zone = knowledge.club.zone

    def cry(self, heard: Heard) -> HoldPlay | None:
        """Thunder that is told of in a sentence that asks nothing, whatever else is asked: "did you hear that? thunder!"."""
        if len(heard.words) > _LONGEST_CRY:
            return None
        cries = [*heard.all("thunder"), *(heard.all("hold") if heard.has("order_thunder") else ())]
        said = any(not heard.asked(one.first) for one in cries)
        return HoldPlay() if said and not self._closes(heard) else None

    def _closes(self, heard: Heard) -> bool:
        """Whether a closure, an opening or a release is spoken of, which the rest of the reading sorts out."""
        return any(heard.first(one) is not None for one in (*_CLOSES, *_REOPENS, "release") if one != "close bare") or (
            heard.first("close bare") is not None and not heard.has("order_thunder")
        )

    def read(self, heard: Heard, now: datetime) -> Order | None:
        """The order, None where the text is none."""
        parts = self._ground.spans(heard)
        rows = [(one.first, one.end) for one in heard.all("close range")]  # "7 thru 9" is no time
        told = _Told(heard, parts, times_in(heard, [*parts, *rows]))
        if self._holds(told):
            return HoldPlay()
        closing = self._close(told, now)
        opening = self._reopen(told, closing is not None)
        releases = heard.first("release") is not None
        if releases and closing is None and (opening is None or not heard.has("order_reopens")):
            return Reopen(None, hold=True)
        if opening is not None and closing is not None:
            return Unclear("not all")
        if opening is not None or closing is not None:
            return opening or closing
        if len(heard.words) <= _LONGEST_CRY and heard.first("thunder") is not None:
            return HoldPlay()
        return self._note(told) or self._unknown(told)

    def _unknown(self, told: _Told) -> Unclear | None:
        """A part of the course that is to be closed or opened and has no such name here."""
        unknown = told.heard.first("unknown part")
        if unknown is None or told.parts or not told.heard.begins(unknown.first, told.spans):
            return None
        return Unclear("unknown part", told.heard.said(unknown.first, unknown.end))

    def _holds(self, told: _Told) -> bool:
        thunder = told.heard.first("thunder") is not None
        return any(
            thunder or (self._of_the_course(one, told) and told.heard.begins(one.first, told.spans))
            for one in told.heard.all("hold")
        )

    def _of_the_course(self, hold: Match, told: _Told) -> bool:
        """Whether what is held is all play, and not that "on the back loop"."""
        heard = told.heard
        end = next((at for at in range(hold.end, len(heard.words)) if heard.breaks(at)), len(heard.words))
        return self._ground.parts(heard, hold.first, end, [*told.spans, *heard.free(told.parts)]) in {(), (COURSE,)}

    def _close(self, told: _Told, now: datetime) -> Close | Unclear | None:
        heard = told.heard
        figures = heard.first("close figures")
        if figures is not None:  # "close 2-4": hours or holes
            return Unclear("holes or hours", heard.said(figures.first, figures.end))
        core = next((one for says in _CLOSES for one in heard.all(says) if self._stands(one, says, told)), None)
        if core is None:
            return None
        core = next((one for one in heard.all("close it") if core.first < one.first < core.end <= one.end), core)
        what = self._what(core, told)
        if what == (COURSE,) and (rows := _figures_before(core, heard)) is not None:
            return Unclear("holes or hours", heard.said(*rows))
        if what is None:
            return Unclear("unknown part", heard.said(core.first, core.end))
        if what == (COURSE,) and (_the_same_at_the_end(core, heard) or self._some_hole(core, told)):
            return Unclear("which part", heard.said(core.first, core.end))
        taken = _belonging(told.times, core, heard)
        twice = _twice(taken, heard)
        period = Calendar(now, self._zone, self._days).period(taken)
        if period is None or twice:
            return Unclear("two times", ", ".join(twice))
        spans = [(core.first, core.end), *(one.span for one in taken)]
        hangs = hangs_on(heard, spans)
        if hangs is not None:
            return hangs
        left = left_over(heard, spans)
        return Close(what[0], period.since, period.until, left.reason, also=what[1:], unused=", ".join(left.orders))

    def _some_hole(self, core: Match, told: _Told) -> bool:
        """ "tree on 14, close it": some hole, and not the course."""
        return core.says == "order close it" and any(
            heard.form.isdigit() and not any(overlaps((at, at + 1), one) for one in told.spans)
            for at, heard in enumerate(told.heard.words)
        )

    def _stands(self, core: Match, says: str, told: _Told) -> bool:
        """Whether the words of a closure are an order where they stand."""
        heard = told.heard
        if not heard.begins(core.first, told.spans):
            return False
        status = heard.end("order_closes", core.first) is None
        if status and heard.has("order_replies"):
            return False
        if says in {"close", "close range", "close all"}:
            return True
        if not self._ends_well(core, told):
            return False
        said_why = bool(told.times) or heard.has("order_why") or self._again(core.end, heard)
        return said_why or (says == "close bare" and heard.whole(core))

    def _ends_well(self, core: Match, told: _Told) -> bool:
        """Whether nothing follows that "close" could be said of: "close till noon, ice", not "close the gate"."""
        heard, end = told.heard, core.end
        if heard.breaks(end) or self._again(end, heard):
            return True
        groups = ("order_because", "order_courtesy_after")
        return any(one.begin == end for one in told.times) or any(heard.end(one, end) is not None for one in groups)

    def _again(self, at: int, heard: Heard) -> bool:
        return heard.end("order_again", at) is not None

    def _what(self, core: Match, told: _Told) -> tuple[str, ...] | None:
        bare = core.says == "order close bare"
        inside = () if bare else self._ground.parts(told.heard, core.first, core.end, told.spans)
        if inside is None or inside:
            return inside
        return (COURSE,) if core.says == "order close all" else self._ground.anywhere(told.heard, told.spans)

    def _reopen(self, told: _Told, closes: bool) -> Reopen | Unclear | None:
        """What is opened again. An hour that is said with it is not guessed at: it stands in what was not used."""
        heard = told.heard
        ends = [one.span for one in told.times if one.kind in {"till", "span"}] if closes else []
        for says in _REOPENS:
            for core in heard.all(says):
                span = (core.first, core.end)
                if any(overlaps(span, one) for one in ends) or not heard.begins(core.first, told.spans):
                    continue
                status = heard.end("order_again", core.first) is None and any(
                    one[0] == core.first for one in told.parts
                )
                if status and heard.has("order_replies"):
                    continue
                return self._opened(core, told)
        return None

    def _opened(self, core: Match, told: _Told) -> Reopen | Unclear | None:
        heard = told.heard
        hours = [one for one in told.times if one.kind != "now" and not self._again(one.begin, heard)]
        left = left_over(heard, [(core.first, core.end), *(one.span for one in hours)])
        later = " ".join(
            heard.said(max(one.begin, core.end) if one.begin < core.end else one.begin, one.end) for one in hours
        )
        unused = ", ".join(filter(None, (later, *left.orders)))
        hangs = hangs_on(heard, [(core.first, core.end), *(one.span for one in hours)])
        if hangs is not None:
            return hangs
        inside = self._ground.parts(heard, core.first, core.end, told.spans)
        if inside is None:
            return Unclear("unknown part", heard.said(core.first, core.end))
        if not inside and core.says != "order reopen all":
            named = self._ground.anywhere(heard, told.spans)
            if named is None:
                return Unclear("unknown part", heard.said(core.first, core.end))
            inside = () if named == (COURSE,) else named
        first = inside[0] if inside else None
        return Reopen(first, also=inside[1:], later=bool(hours), unused=unused)

    def _note(self, told: _Told) -> NoteOn | None:
        heard = told.heard
        said = heard.first("note")
        if said is not None and _noted_behind(heard.gap(said.end)):
            what = self._ground.anywhere(heard, told.spans)
            return (
                NoteOn(what[0], _noted(heard.rest(said.end)))
                if what is not None and said.end < len(heard.words)
                else None
            )
        if (nothing := heard.first("note nothing")) is not None and heard.breaks(nothing.end):
            return self._on_part(told, heard.rest(0))
        on = heard.first("note for")
        if on is not None:
            what = self._ground.parts(heard, on.first, on.end, told.spans)
            words = _noted(heard.rest(_behind_the_note(on, heard)))
            return NoteOn(what[0], words) if what and what != (COURSE,) and len(what) == 1 else None
        owns = heard.first("note part")
        if owns is not None:
            return self._on_part(told, heard.rest(owns.end))
        marked = self._marked(told)
        if marked is None and heard.first("note state") is None:
            return None
        if not told.parts:
            return None
        begin = told.parts[0][1]
        while marked is None and begin < len(heard.words) and heard.words[begin].form in _IS:
            begin += 1
        return self._on_part(told, heard.rest(begin))

    def _marked(self, told: _Told) -> Span | None:
        """A part at the very beginning with a mark behind it: "hole 9: short tee only"."""
        heard = told.heard
        if heard.has("order_replies") or heard.has("order_no_note") or not told.parts:
            return None
        first, end = told.parts[0]
        stands = heard.begins(first, []) and all(not heard.breaks(at) for at in range(1, first + 1))
        return (first, end) if stands and heard.breaks(end) and end < len(heard.words) else None

    def _on_part(self, told: _Told, words: str) -> NoteOn | None:
        first = told.parts[0] if told.parts else None
        what = self._ground.parts(told.heard, *first, told.spans) if first else None
        return NoteOn(what[0], _noted(words)) if what and what != (COURSE,) and words else None


_IS = frozenset({"is", "s", "are", "est", "sont"})


def _behind_the_note(on: Match, heard: Heard) -> int:
    """Where the words of a note begin: behind the part, or, where they stand before it, behind "a note"."""
    note = next((at for at in range(on.first, on.end) if heard.words[at].form == "note"), on.first)
    loose = on.end - note > _NOTE_AND_PART and heard.breaks(note + 1)
    return note + 1 if loose else on.end


def _noted_behind(gap: str) -> bool:
    """Whether what follows "note" is the note: "note: ...", not "note-nous"."""
    return ":" in gap or gap.strip() in {"–", "—"} or " - " in gap


def _noted(words: str) -> str:
    return words.strip(" .!,:;-–—()\n")


def _figures_before(core: Match, heard: Heard) -> Span | None:
    """ "8-10 closed": hours or holes."""
    bare = core.says == "order close bare" and core.first == 2
    return (0, core.end) if bare and all(form.isdigit() for form in heard.forms(0, 2)) else None


def _the_same_at_the_end(core: Match, heard: Heard) -> bool:
    """ "that loop", which is not said anywhere."""
    return core.says == "order close it" and any(
        heard.end("order_the_same", at) == core.end and core.end - at > 1 for at in range(core.first, core.end)
    )


def _belonging(times: Sequence[TimeWords], core: Match, heard: Heard) -> list[TimeWords]:
    """The times that belong to the order: every "till" and "from", but a bare day only beside the order's own words or at the
    beginning, since "big storm tonight" is a reason.
    """
    loose = [one for one in times if one.kind in {"day", "days", "now", "hour"}]
    taken = [one for one in times if one not in loose]
    spans = [(core.first, core.end), *(one.span for one in taken)]
    for _ in loose:
        for one in loose:
            beside = any(one.end == first or one.begin == end for first, end in spans)
            within = core.first <= one.begin < core.end
            if one not in taken and (beside or within or one.begin == 0) and not _sentence_between(one, core, heard):
                taken.append(one)
                spans.append(one.span)
    return taken


def _sentence_between(one: TimeWords, core: Match, heard: Heard) -> bool:
    """ "Close the course now. Tonight is stormy"."""
    first, end = sorted((one.begin, core.first))
    return one.begin > core.end and any(heard.words[at].pause in {".", "?"} for at in range(first, end))


def _twice(taken: Iterable[TimeWords], heard: Heard) -> list[str]:
    """Times of a kind of which there is one already."""
    seen: set[str] = set()
    again: list[str] = []
    for one in taken:
        if one.kind in seen and one.kind != "now":
            again.append(heard.said(*one.span))
        seen.add(one.kind)
    return again
