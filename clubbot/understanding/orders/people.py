"""Orders about people: what many are to be told, and events that are called off."""

from datetime import datetime

from clubbot.model.club import Knowledge
from clubbot.model.orders import Audience, CallOff, Tell
from clubbot.model.wants import When
from clubbot.texting import patterns
from clubbot.understanding.dates import plain_for_dates
from clubbot.understanding.days import Days
from clubbot.understanding.mentions import Mentions
from clubbot.understanding.orders.course import words_left
from clubbot.understanding.orders.ground import Ground
from clubbot.understanding.orders.marked import MarkedText, sentence
from clubbot.understanding.orders.periods import Calendar, blanked, times_in
from clubbot.understanding.orders.phrases import GREETS, REPLIES, REPORTS, START, UNDOES, WHY, WHY_LED

_CALLS_OFF = (
    r"(?:(?:we re |we are |i m |on )?(?:call off|calling off|cancel|cancell?ing|scrub|annule[rz]?|annulons|annulation))"
)
_OFF = r"(?:called off|cancell?ed|scrubbed|off|annulee?s?|a l eau)"
_BETWEEN = r"(?:the|our|for|on|of|this|s|in|at|de|du|d|la|le|les|l|des|pour|prevue?|a|night|event)"
_OWN = patterns.compile(
    r"\b(?:me|my|mine|myself|us|our|i|im|moi|ma|mon|mes|je|j|nous|notre|spot|spots|place|places|rsvp|reservation|seats?|reminders?|rappels?|texts?|list|news|account|membership)\b"
)


class _Occasions:
    """Finds events and their days: written over, an event is "$", a time is "@"."""

    def __init__(self, knowledge: Knowledge, mentions: Mentions) -> None:
        self._mentions = mentions
        called = (name for event in knowledge.events for name in (event.name.en, event.name.fr, *event.also_called))
        names = "|".join(sorted({patterns.escape(plain_for_dates(name)) for name in called}, key=len, reverse=True))
        self._named = patterns.compile(rf"\b(?:{names})s?\b")

    def seen(self, plain: str) -> str:
        """The text with its events and bare days written over."""
        without = blanked(plain, (found.span() for found in self._named.finditer(plain)), "$")
        days = ((one.begin, one.end) for one in times_in(without) if one.kind == "day")
        return blanked(without, days, "@")

    def event(self, plain: str, seen: str) -> str | None:
        """The event that is named where `seen` shows one; `plain` is the same stretch."""
        found = patterns.search(r"\$+", seen)
        return self._mentions.event(plain[found.start() : found.end()]) if found else None

    def day(self, plain: str, seen: str, calendar: Calendar) -> When | None:
        """The day that is named where `seen` shows one."""
        return calendar.event_day(plain[found.start() : found.end()] for found in patterns.finditer(r"@+", seen))


_CALLED_OFF = (
    (patterns.compile(rf"{START}{_CALLS_OFF} (?P<what>(?:{_BETWEEN} ){{0,9}}(?:\$+|@+)(?: (?:{_BETWEEN} ){{0,9}}(?:\$+|@+)| s\b){{0,9}})"), False),
    (patterns.compile(rf"{START}call (?P<what>(?:{_BETWEEN} ){{0,9}}\$+(?: (?:{_BETWEEN} ){{0,9}}@+){{0,9}}) off(?: @+){{0,9}}"), False),
    (patterns.compile(rf"{START}{WHY_LED}(?P<what>(?:(?:{_BETWEEN}|@+) ){{0,9}}\$+(?:(?: {_BETWEEN}){{0,9}} @+){{0,9}})(?: ,)? (?:(?:is|s|are|has been|will be|est|sont|sera|a ete|now|all) ){{0,9}}{_OFF}(?P<more>(?: (?:{_BETWEEN} ){{0,9}}@+){{0,9}})(?= ,| due| because| for| pour| a cause| {WHY}|$)"), True),
    (patterns.compile(rf"{START}{WHY_LED}(?:no|pas de|pas d) (?P<what>(?:(?:{_BETWEEN}|@+) ){{0,9}}\$+(?: (?:{_BETWEEN} ){{0,9}}@+){{0,9}})(?= ,| due| because| {WHY}|$)"), True),
)  # fmt: skip

_TELLS = r"(?:tell|text|txt|message|msg|notify|inform|warn|remind|send|dis|dites|dire|avise[rz]?|previens|prevenez|prevenir|informe[rz]?|avertis|avertissez|texte[rz]?|rappelle[rz]?|ecris|ecrivez|envoie|envoyez)(?: (?:le |la )?(?:a|aux|au|to))?"
_LETS_KNOW = r"(?:let|fais savoir a|faites savoir a)"
_ALL = r"(?:every ?one|every ?body|all|tout le monde|tlm|tous)"
_PEOPLE = rf"(?:{_ALL}|anyone|anybody|those|people|the people|players|the players|folks|ceux|celles|les gens|les joueurs|tous ceux|whoever|who ?ever)"
_COMING = r"(?:coming|playing|going|attending|signed up|registered|down|booked|in|inscrits?|viennent|vient|y vont|joue|jouent|seront la|sera la|est la)"
_ASKED = r"(?:asked|asks|wrote|texted|messaged|inquired|demande|ecrit|texte|pose (?:la|une) question)"
_AUDIENCES: tuple[tuple[str, patterns.Pattern], ...] = tuple(
    (kind, patterns.compile(rf"(?:{pattern})(?![a-z0-9@$])"))
    for kind, pattern in (
        ("lately", rf"{_PEOPLE}(?: (?:who|that|qui))?(?: (?:has|have|ve|s|ont|a|ait|avait))? {_ASKED}(?: (?:about|us|me|nous|it|for|in|today|the course|le parcours|pour|sur)){{0,9}}(?: (?:@+|today|lately|recently|dernierement|recemment)){{0,9}}"),
        ("event", rf"{_PEOPLE}(?: (?:who|that|qui))?(?: (?:is|are|s|re|est|sont))? {_COMING}(?: (?:to|for|on|at|in|a|au|pour|de|the|la|le|l)){{0,9}}(?: (?:{_BETWEEN} ){{0,9}}(?:\$+|@+)){{1,9}}"),
        ("event", rf"{_PEOPLE}(?: (?:for|at|in|of|from|on|de|du|d|pour|a|au|la|l|le|the)){{1,9}} (?:(?:{_BETWEEN}|@+) ){{0,9}}\$+(?: (?:{_BETWEEN} ){{0,9}}@+){{0,9}}"),
        ("event", rf"(?:(?:{_BETWEEN}|@+) ){{0,9}}\$+(?: (?:(?:of|on|for|this|de|du|d) ){{0,9}}@+)?(?: (?:people|players|crowd|group|folks|regulars|joueurs|gens))?"),
        ("event", r"(?:(?:the|les) )?(?:(?:people|players|gens|joueurs) (?:of|for|from|de|du) )?@+ (?:people|players|crowd|group|folks|joueurs|gens)"),
        ("helpers", r"(?:all )?(?:the |our |les |nos |l )?(?:helpers|helper|volunteers|crew|team|committee|benevoles|equipe|comite)"),
        ("everyone", rf"{_ALL}(?: of you| people| folks| on the lists?)?(?! (?:members|membres|who|qui)\b)"),
    )
)  # fmt: skip
_TELL_LEAD = patterns.compile(rf"^{GREETS}(?:{_TELLS}|(?P<let>{_LETS_KNOW})) ")
_JOINS_WORDS = patterns.compile(r"^\s*(?:(?:to|that|que|de)\s+|(?:qu|d)['’]\s*)?(?P<words>.*)$", patterns.IGNORECASE | patterns.DOTALL)  # fmt: skip
_GIVES_BACK = patterns.compile(r"^(?:is|s|are|was|will|has|est|sera|sont|a ete)\b")
_NEWS = patterns.compile(
    r"^\s{0,9}(?:send\s{1,9}|to\s{1,9})?(?P<head>[^:]{4,40}?)\s{0,9}:\s*+(?P<words>.+)$", patterns.DOTALL
)
_NEWS_HEADS = frozenset({"news", "nouvelles", "nouvelle"})


_SAYS_OFF = patterns.compile(r"\bcall(?:ing)? off\b")
_GIVES_WHY = patterns.compile(rf"\b{WHY}\b")
_ORDER_ITSELF = patterns.compile(rf"(?:{_CALLS_OFF}|call|no|pas de|pas d|(?: |^){_BETWEEN}){{1,9}} ?$")


def _only_why(before: str) -> bool:
    """Whether what stands before an order to call off leaves it one: "thunder, cancel league", not "kid is sick, no league"."""
    if UNDOES.search(_ORDER_ITSELF.sub("", before)):
        return False
    clauses = before.rpartition(",")[0]
    return bool(_SAYS_OFF.search(before) or _GIVES_WHY.search(clauses) or patterns.fullmatch(rf"{GREETS},? ?", clauses))


class PeopleOrders:
    """Reads what many people are to be told, and what is called off."""

    def __init__(self, knowledge: Knowledge, mentions: Mentions, days: Days) -> None:
        self._days = days
        self._mentions = mentions
        self._occasions = _Occasions(knowledge, mentions)
        self._ground = Ground(knowledge, mentions)
        self._zone = knowledge.club.zone
        self._lists = {
            plain_for_dates(name): one.id
            for one in knowledge.lists
            for name in (one.name.en, one.name.fr, *(f"{also} news" for also in one.also_called))
        }
        names = "|".join(sorted((patterns.escape(name) for name in self._lists), key=len, reverse=True)) or "$^"
        self._list_named = patterns.compile(
            rf"(?:(?:the|les|la|everyone on|everybody on|all on) ){{0,9}}(?P<name>{names})(?: (?:list|people|readers|liste))?(?![a-z0-9])"
        )

    def tell(self, text: MarkedText, now: datetime) -> Tell | None:
        """Who is to be told what; None where the text does not say both."""
        return self._news(text) or self._told(text, Calendar(now, self._zone, self._days))

    def call_off(self, text: MarkedText, now: datetime) -> CallOff | None:
        """Which event is called off. A bare "cancel" is how people stop texts, and "cancel my spot" is about one's own."""
        if REPORTS.search(text.plain):
            return None
        seen = self._occasions.seen(text.plain)
        for pattern, status in _CALLED_OFF:
            found = pattern.search(seen)
            if found is not None and _only_why(text.plain[: found.start("what")]):
                return self._called_off(text, seen, found, status, Calendar(now, self._zone, self._days))
        return None

    def _called_off(
        self, text: MarkedText, seen: str, found: patterns.Match, status: bool, calendar: Calendar
    ) -> CallOff | None:
        reason = words_left(text, [self._without_reason(found, seen)])
        if reason is None or _OWN.search(plain_for_dates(reason)) or (status and REPLIES.search(text.plain)):
            return None
        begin, end = found.span()
        event = self._occasions.event(text.plain[begin:end], seen[begin:end])
        day = self._occasions.day(text.plain[begin:end], seen[begin:end], calendar)
        # "Cancel wed" is also how a helper takes back a place; calling off is not.
        sure = _SAYS_OFF.search(text.plain[begin : found.start("what")]) or _GIVES_WHY.search(plain_for_dates(reason))
        if event is None and (day is None or not day.dated or not sure):
            return None
        return CallOff(event, day, reason)

    def _without_reason(self, found: patterns.Match, seen: str) -> tuple[int, int]:
        """The stretch of the order itself, the reason before it left out."""
        led = patterns.match(rf"{GREETS}{WHY_LED}", seen[found.start() :])
        lead = led.group() if led and patterns.search(rf"\b{WHY}\b", led.group()) else ""
        return found.start() + len(lead), found.end()

    def _news(self, text: MarkedText) -> Tell | None:
        found = _NEWS.match(text.written)
        head = patterns.sub(r"^(?:the|les|to the) ", "", plain_for_dates(found["head"])) if found else ""
        if found is None or (head not in _NEWS_HEADS and head not in self._lists):
            return None
        list_id = self._lists.get(head) or self._list_for(plain_for_dates(found["words"]))
        return Tell(Audience("list", list_id=list_id), sentence(found["words"])) if list_id else None

    def _list_for(self, plain: str) -> str | None:
        """The list that news is for: by what it is about, else the course's, else the first there is."""
        about_events = self._mentions.event(plain) is not None
        named = self._mentions.mailing_list("events" if about_events else plain)
        known = list(dict.fromkeys(self._lists.values()))
        return named or self._mentions.mailing_list("course") or next(iter(known), None)

    def _told(self, text: MarkedText, calendar: Calendar) -> Tell | None:
        lead = _TELL_LEAD.match(text.plain)
        if lead is None:
            return None
        listed = self._list_named.match(text.plain, lead.end())
        if listed is not None:
            words = _message(text, listed.end(), must_know=lead["let"] is not None)
            return Tell(Audience("list", list_id=self._lists[listed["name"]]), words) if words else None
        seen = self._occasions.seen(text.plain)
        for kind, pattern in _AUDIENCES:
            found = pattern.match(seen, lead.end())
            if found is not None:
                return self._to_those(kind, text, seen, found, lead["let"] is not None, calendar)
        return None

    def _to_those(
        self, kind: str, text: MarkedText, seen: str, found: patterns.Match, must_know: bool, calendar: Calendar
    ) -> Tell | None:
        begin, end = found.span()
        words_begin = self._words_begin(text.plain, seen, begin, end)
        words = _message(text, words_begin, must_know=must_know)
        if not words:
            return None
        match kind:
            case "event":
                cut = min(end, words_begin) if words_begin > begin else end
                event = self._occasions.event(text.plain[begin:cut], seen[begin:cut])
                day = self._occasions.day(text.plain[begin:cut], seen[begin:cut], calendar)
                return Tell(Audience("event", event=event, when=day), words)
            case "lately":
                return Tell(Audience("lately"), words)
            case "helpers":
                return Tell(Audience("helpers"), words)
            case _:
                return Tell(Audience("everyone"), words)

    def _words_begin(self, plain: str, seen: str, begin: int, end: int) -> int:
        """Where the message begins: in "tell league tonight is off", "tonight's round is off" the day belongs to the message."""
        owns_what_follows = plain[begin:end].endswith(" s") and seen[begin:end].endswith("@")
        if not owns_what_follows and _GIVES_BACK.match(plain[end:].lstrip()) is None:
            return end
        day = patterns.search(r" @+$", seen[begin:end])
        return begin + day.start() if day else max(begin - 1, 0)


def _message(text: MarkedText, begin: int, *, must_know: bool) -> str:
    """The words to be told, from `begin` on, without what joins them to whom they are told; "" where there are none."""
    rest = text.rest(begin)
    if must_know and not patterns.match(r"\s{0,9}(?:know\b|,|:|que\b|qu['’])", rest):
        return ""
    if must_know:
        rest = patterns.sub(r"^\s*know\b(?:\s+that\b)?", "", rest)
    if rest.lstrip()[:1] in {":", ",", "-", "–", "—"}:
        words = rest.lstrip(" :,–—-\n")
    else:
        joined = _JOINS_WORDS.match(rest)
        words = joined["words"].lstrip(" :,–—-\n") if joined else rest
    if patterns.match(
        r"(?:about|au sujet|when|if|why|how|who|quand|pourquoi|comment)\b(?=.{0,12}$)|(?:about|of|au sujet)\b", words
    ):
        return ""
    return sentence(words) if any(letter.isalpha() for letter in words) else ""
