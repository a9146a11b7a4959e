"""Orders about turns on duty: who takes whose."""

from datetime import datetime

from clubbot.model.club import WEEKDAYS, Knowledge
from clubbot.model.orders import TakeDuty
from clubbot.model.wants import When
from clubbot.texting import patterns
from clubbot.understanding.dates import plain_for_dates
from clubbot.understanding.days import Days
from clubbot.understanding.orders.marked import MarkedText
from clubbot.understanding.orders.periods import Calendar, blanked, times_in
from clubbot.understanding.orders.phrases import COURTESY_AFTER, GREETS

_TURN = r"(?:turn|shift|duty|day|slot|tour|garde|quart)"
_TAKES = r"(?:(?:will|ll|can|gonna|m|is|s|va|vais|peux|peut|me|te|d) ){0,5}(?:takes?|taking|covers?|covering|replaces?|prends?|prendra|prendrai|prendre|couvre|couvrira|couvrirai|remplace|remplacerai?|remplacera)"
_CANNOT = r"(?:sorry |hey |hi |desole |salut )?(?:i |je |j )?(?:ne )?(?:can t|cant|cannot|can not|won t|wont|peux pas|peu pas|pourrai pas|suis pas la|pas dispo|suis pas dispo)(?: (?:do|make|cover|take|work|faire|prendre|assurer|couvrir|be there|be on))?(?: (?:my|mon|ma|on|le|la|the)){0,9} (?P<lost>@+)(?: (?:turn|shift|duty))?(?: ,)?(?: (?:so|and|but|et|mais|donc|alors))?"
_OBJECT_WORDS = """
s the for on of over from instead place at in my mine me mon ma moi le la l de du d a pour it ca turn shift duty day slot tour garde quart
his her son sa this ce cette
"""
_MINE = patterns.compile(r"\b(?:my|mine|me|mon|ma|moi|m)\b")


class DutyOrders:
    """Reads who takes whose turn."""

    def __init__(self, knowledge: Knowledge, days: Days) -> None:
        self._knowledge = knowledge
        self._days = days
        self._zone = knowledge.club.zone
        self.names = _first_names(knowledge)
        names = "|".join(sorted(map(patterns.escape, self.names), key=len, reverse=True)) or "$^"
        words = frozenset(_OBJECT_WORDS.split())
        object_word = "|".join(sorted(words, key=len, reverse=True))
        self._names = patterns.compile(rf"\b(?:{names})(?=s?\b)")
        whole = rf"(?P<taker>{names}|i|je|j|ill|im|i ll|i m|i d)(?P<verb>(?: {_TAKES}))(?P<what>(?: (?:{object_word}|(?:{names})s?|@+)){{0,9}})(?= ,|$)"
        self._takes = patterns.compile(rf"^{GREETS}(?:{_CANNOT} )?{whole}")
        self._goes_to = patterns.compile(
            rf"^{GREETS}(?:give )?(?P<what>(?:my|mon) @+(?: {_TURN})?)(?: (?:goes |is )?(?:to|for|with)| ,| a| pour| est a| c est)? (?P<taker>{names})$"
        )

    def read(self, text: MarkedText, now: datetime) -> TakeDuty | None:
        """The change of turns; None where a name is unknown or it does not show whose turn it is."""
        plain = COURTESY_AFTER.sub("", text.plain)
        days = [one for one in times_in(plain) if one.kind == "day" or one.kind == "now"]
        seen = blanked(plain, ((one.begin, one.end) for one in days), "@")
        found = self._takes.match(seen) or self._goes_to.match(seen)
        if found is None:
            return None
        day = Calendar(now, self._zone, self._days).event_day(
            plain[one.begin : one.end] for one in days if one.end <= found.end()
        )
        taker = self.names.get(found["taker"])
        lost = found.groupdict().get("lost") is not None
        verb = found.groupdict().get("verb") or ""
        named = [self.names[one] for one in self._names.findall(found["what"])]
        mine = lost or _MINE.search(f"{verb} {found['what']}") is not None
        if len(set(named)) > 1 or (day is None and not patterns.search(rf"\b{_TURN}\b", found["what"])):
            return None
        return self._taken(taker, named[0] if named else None, mine, day)

    def _taken(self, taker: str | None, named: str | None, mine: bool, day: When | None) -> TakeDuty | None:
        if named is None and not mine:
            # "I take thursday": the turn of whoever is on duty then.
            named = self._on_duty(day)
            if named is None:
                return None
        return TakeDuty(taker, named, day)

    def _on_duty(self, day: When | None) -> str | None:
        if day is None or day.first != day.last:
            return None
        weekday = WEEKDAYS[day.first.weekday()]
        on = {duty.person for duty in self._knowledge.duty if weekday in duty.days}
        return on.pop() if len(on) == 1 else None


def _first_names(knowledge: Knowledge) -> dict[str, str]:
    """The ids by plain first names; a name that two people share stands for nobody."""
    names = [plain_for_dates(person.first_name) for person in knowledge.people]
    return {name: one.id for name, one in zip(names, knowledge.people, strict=True) if names.count(name) == 1}
