"""Whether a text looks like something to be done, though it could not be read as an order. It is asked about a text that would otherwise go
to whoever waits for an answer, so it is said yes to rather once too often: who meant an answer begins it with its number.
"""

from collections.abc import Iterable, Set
from itertools import pairwise

from clubbot.model.club import Knowledge
from clubbot.understanding.orders.heard import Heard
from clubbot.understanding.plain import words_of

_NEAR, _TOLD_NEAR = 8, 4
_LONGEST_CRY = 12


class Likeness:
    """Tells what looks like an order, with the club's own names of places, events and people."""

    def __init__(self, knowledge: Knowledge) -> None:
        self._course = _single(
            one for loop in knowledge.course.loops for one in (loop.name.en, loop.name.fr, *loop.also_called)
        )
        self._events = _single(
            one for event in knowledge.events for one in (event.name.en, event.name.fr, *event.also_called)
        )
        self._names = _single(one.first_name for one in knowledge.people)

    def like_an_order(self, heard: Heard) -> bool:
        """Whether any clause begins as an order does, or tells a state of the course or of an event as a bare fact; a hazard there too, which
        might be meant as a closure.
        """
        return self.plainly_one(heard) or self._tells_a_hazard(heard)

    def plainly_one(self, heard: Heard) -> bool:
        """The same without the hazards, which are also reported."""
        words = heard.forms()
        if not words:
            return False
        if any(self._begins(clause, heard) for clause in _clauses(heard)):
            return True
        replies = _has(heard, "replies", words)
        if words[0] in _of(heard, "none") and self._events_of(heard) & {*words[1:4]} and not replies:
            return True
        if "?" in heard.noticed.text.written or words[0] in _of(heard, "answers_with") or replies:
            return _said_aloud(heard)
        return self._tells_a_state(heard)

    def _events_of(self, heard: Heard) -> frozenset[str]:
        return self._events | _of(heard, "events")

    def _course_of(self, heard: Heard) -> frozenset[str]:
        return self._course | _of(heard, "course")

    def _begins(self, words: list[str], heard: Heard) -> bool:
        """A verb of the orders, first in its clause, with something that it is ordered of."""
        people = _of(heard, "people")
        while words and words[0] in _of(heard, "leads") and not (words[0] == "let" and people & {*words[1:3]}):
            words = words[1:]
        if not words or _has(heard, "no_part", words[1:4]):
            return False
        verb, rest = words[0], words[1 : 1 + _NEAR]
        return self._done_to(verb, {*rest}, {*rest[:_TOLD_NEAR]}, heard) or (
            (verb in _of(heard, "reopens") and not rest) or self._of_questions(verb, rest, heard)
        )

    def _done_to(self, verb: str, near: Set[str], very_near: Set[str], heard: Heard) -> bool:
        """Whether what the verb is done to stands near enough behind it, by kinds of verbs."""
        course, events = self._course_of(heard), self._events_of(heard)
        whole, people, away = _of(heard, "whole"), _of(heard, "people"), _of(heard, "away")
        kinds = (
            ("closes", course | whole, near),
            ("reopens", course | whole, near),
            ("opens", course, very_near),
            ("calls_off", events | _of(heard, "days"), near),
            ("moves", events | {"tee", "tees", "basket", "panier"}, very_near),
            ("holds", _of(heard, "play"), very_near),
            ("tells", people | events, very_near),
            ("notes", {"note"}, near),
        )
        if any(verb in _of(heard, kind) and done_to & where for kind, done_to, where in kinds):
            return True
        sends_away = verb in _of(heard, "sends_away") and bool(people & very_near) and bool((away | course) & near)
        return sends_away or (verb == "call" and "off" in near)

    def _of_questions(self, verb: str, rest: list[str], heard: Heard) -> bool:
        """ "pass it to sam instead", "forget t 4 now", "sam takes thursday maybe"."""
        first = rest[0] if rest else ""
        if verb in _of(heard, "passes"):
            return bool({*rest} & (_of(heard, "question") | self._names))
        if verb in _of(heard, "teaches"):
            return first in _of(heard, "it")
        if verb in _of(heard, "forgets"):
            return first in {"t", "d"}
        turns = _of(heard, "turns") | _of(heard, "days")
        return verb in self._names and first in _of(heard, "takes") and bool(turns & {*rest})

    def _barely_told(self, heard: Heard) -> bool:
        """ "open", "its closed now", "league is on": a state and nothing else, or a part of the course with how it is."""
        words = heard.forms()
        state = _of(heard, "shut") | _of(heard, "open")
        if not state.isdisjoint(words) and (state | _of(heard, "beside_state")).issuperset(words):
            return True
        if words[-1:] in {("on",), ("maintenue",)} and self._events_of(heard) & {*words}:
            return True
        part = not self._course_of(heard).isdisjoint(words[:_TOLD_NEAR]) and len(words) <= _LONGEST_CRY
        return part and heard.has("order_state")

    def _tells_a_hazard(self, heard: Heard) -> bool:
        """ "the back nine is under water", said to nobody."""
        words = heard.forms()
        if not words or words[0] in _of(heard, "answers_with") or _has(heard, "replies", words):
            return False
        short = len(words) <= _LONGEST_CRY and "?" not in heard.noticed.text.written
        return short and not self._course_of(heard).isdisjoint(words) and _hazard(heard)

    def _tells_a_state(self, heard: Heard) -> bool:
        """ "back loop shut till friday", "no league wednesday", "thunder again"."""
        words = heard.forms()
        if len(words) <= _LONGEST_CRY and _has(heard, "storm", words):
            return True
        if _said_aloud(heard) or self._barely_told(heard):
            return True
        shut, off, fine = _of(heard, "shut"), _of(heard, "off"), {"open", "ouvert", "ouverte"}
        again = _has(heard, "again", words)
        for at, word in enumerate(words):
            after = {*words[at + 1 : at + 7]}
            if word in self._course_of(heard) and (shut & after or (again and fine & after)):
                return True
            if word in self._events_of(heard) and off & after:
                return True
        return False


def _hazard(heard: Heard) -> bool:
    """ "the back nine is under water": a state that may be meant as an order, or for the asker."""
    return heard.has("order_why") or heard.has("order_closed_to_all")


def _of(heard: Heard, group: str) -> frozenset[str]:
    return heard.vocabulary.rows(f"like_{group}")


def _has(heard: Heard, group: str, words: Iterable[str]) -> bool:
    return not _of(heard, group).isdisjoint(words)


def _said_aloud(heard: Heard) -> bool:
    """ "hold everything", whatever stands beside it."""
    words = heard.forms()
    pairs = {" ".join(pair) for pair in (*pairwise(words), *zip(words, words[1:], words[2:], strict=False))}
    return not _of(heard, "said_aloud").isdisjoint(pairs)


def _single(names: Iterable[str]) -> frozenset[str]:
    """The names that are one word."""
    return frozenset(words[0] for words in map(words_of, names) if len(words) == 1)


def _clauses(heard: Heard) -> list[list[str]]:
    """The words between two marks or joints."""
    found: list[list[str]] = [[]]
    for at, form in enumerate(heard.forms()):
        if heard.breaks(at):
            found.append([])
        if form in _of(heard, "joints"):
            found.append([])
        else:
            found[-1].append(form)
    return [one for one in found if one]
