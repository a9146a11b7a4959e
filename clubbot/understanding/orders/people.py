"""Orders about people: what many are to be told, and events that are called off."""

from datetime import datetime

from clubbot.model.club import Knowledge
from clubbot.model.orders import Audience, CallOff, ShowReach, Tell, Unclear
from clubbot.understanding.days import Days
from clubbot.understanding.mentions import Mentions
from clubbot.understanding.orders.ground import Ground
from clubbot.understanding.orders.heard import Heard, Span, overlaps, sentence
from clubbot.understanding.orders.left import left_over
from clubbot.understanding.orders.periods import Calendar, times_in
from clubbot.understanding.plain import words_of
from clubbot.understanding.rules import Match

_DAYS = frozenset({"day"})
# What follows whom a text is about, not whom it is for: "tell league tonight is off".
_GIVES_BACK = frozenset({"is", "s", "are", "was", "will", "has", "est", "sera", "sont"})
_MARKS = frozenset(":,-–—")
_LAST_NIGHT = frozenset({"yesterday", "night", "hier"})
_LONGEST_NAME = 5
_SHORT = 12
# The longest reason that may stand behind a status without a mark.
_WHY_WORDS = 6


class PeopleOrders:
    """Reads what many people are to be told, and what is called off."""

    def __init__(self, knowledge: Knowledge, mentions: Mentions, days: Days, news: frozenset[str]) -> None:
        self._grammar = days
        self._mentions = mentions
        self._ground = Ground(knowledge, days)
        self._zone = knowledge.club.zone
        self._news_heads = news
        self._one_list = {event.id for event in knowledge.events if event.one_entry}
        self._lists = {
            " ".join(words_of(name)): one.id
            for one in knowledge.lists
            for name in (one.name.en, one.name.fr, *(f"{also} news" for also in one.also_called))
        }

    def tell(self, heard: Heard, now: datetime) -> Tell | None:
        """Who is to be told what; None where the text does not say both."""
        return self._news(heard) or self._told(heard, Calendar(now, self._zone, self._grammar))

    def counted(self, heard: Heard) -> ShowReach | None:
        """How many a list has: "how many get course news"."""
        asked = heard.first("how many on")
        listed = self._list_named(asked.end, heard) if asked is not None else None
        return ShowReach(Audience("list", list_id=listed[0])) if listed is not None else None

    def untold(self, heard: Heard) -> Unclear | None:
        """Somebody is to be told something, and it does not show who: "tell the board we meet at 7"."""
        lead = heard.first("tell") or heard.first("let know")
        if lead is None or not self._only_leads(lead, heard) or heard.has("order_to_us", lead.first):
            return None
        if lead.says == "order let know" and not heard.has("order_know", lead.end):
            return None  # "let them back out"
        kinds = ("lately", "came", "missed", "event", "helpers", "everyone")
        whom = any(one.first == lead.end for kind in kinds for one in heard.all(f"audience {kind}"))
        return Unclear("message" if whom else "audience", heard.said(lead.first, len(heard.words)))

    def call_off(self, heard: Heard, now: datetime) -> CallOff | Unclear | None:
        """Which event is called off. A bare "cancel" is how people stop texts, and "cancel my spot" is about one's own."""
        for says in ("call off", "is off", "it is off"):
            for core in heard.all(says):
                if self._only_why(core, heard) and (says == "call off" or self._ends(core, heard)):
                    return self._called_off(core, heard, Calendar(now, self._zone, self._grammar))
        return None

    def _ends(self, core: Match, heard: Heard) -> bool:
        """Whether a bare status ends there: "no league tonight", not "no league for me"."""
        near = ("order_because", "order_why")
        said_why = heard.breaks(core.end) or any(heard.end(one, core.end) is not None for one in near)
        return said_why or self._tells_why(core, heard)

    def _tells_why(self, core: Match, heard: Heard) -> bool:
        """Whether the words right behind an event and its day may be the reason: "league is off tonight not enough people"."""
        last = next(at for at in range(core.end, len(heard.words) + 1) if heard.breaks(at))
        few = last - core.end <= _WHY_WORDS and bool(self.days(core.first, core.end, heard))
        return few and heard.end("order_concerns", core.end) is None and not heard.has("order_own", core.end)

    def _only_why(self, core: Match, heard: Heard) -> bool:
        """Whether what stands before an order to call off leaves it one: "thunder, cancel league", not "kid is sick, no league"."""
        clause = next(one for one in range(core.first, -1, -1) if heard.breaks(one))
        if heard.has("order_undoes", 0, clause):
            return False
        if heard.has("order_says_off", core.first) or heard.has("order_why", 0, clause):
            return True
        begin, end = heard.without(0, clause, ("order_lead", "order_ask_lead"), "order_lead")
        return begin == end and heard.begins(core.first, [one.span for one in times_in(heard)])

    def _further_days(self, at: int, heard: Heard) -> int:
        """Where the further days end that are joined to the first: "saturday and sunday"."""
        end = at
        while (day := heard.end("order_and_day", end)) is not None:
            end = day
        return end

    def _called_off(self, core: Match, heard: Heard, calendar: Calendar) -> CallOff | Unclear | None:
        begin = core.first
        while core.says == "order is off" and begin < core.end and heard.end("order_why", begin) is not None:
            begin += 1
        more = self._further_days(core.end, heard)
        left = left_over(heard, [(begin, more)])
        if heard.language and any(heard.has("order_own", *one) for one in heard.free([(begin, core.end)])):
            return None
        event = self.event(begin, core.end, heard)
        named = self.days(begin, core.end, heard)
        day = calendar.event_day(named)
        if named and (day is None or not day.dated):
            return Unclear("a time", ", ".join(named))  # never the next day instead
        if more > core.end:
            if event not in self._one_list:
                return Unclear("two times", heard.said(core.end, more))
            day = None  # all its days
        # "Cancel wed" is also how a helper takes back a place; calling off is not.
        sure = heard.has("order_says_off", core.first, core.end) or any(
            heard.has("order_why", *one) for one in heard.free([(begin, core.end)])
        )
        told = core.says == "order it is off"  # "yes, it is off tonight" names its event by the day alone
        if event is None and (day is None or not day.dated or not (sure or told)):
            return None
        return CallOff(event, day, left.reason, unused=", ".join(left.orders), sure=not told)

    def event(self, first: int, end: int, heard: Heard) -> str | None:
        """The event that is named there."""
        return self._mentions.event(heard.plain(first, end))

    def days(self, first: int, end: int, heard: Heard) -> list[str]:
        """The days that are named there, each as its own words."""
        named = []
        events = [(at, found) for at in range(first, end) if (found := heard.end("event", at)) is not None]
        at = first
        while at < end:
            found = heard.end("order_day", at)
            if found is not None and found <= end and not any(overlaps((at, found), one) for one in events):
                words = heard.plain(at, found)
                named.append(f"le {words[3:]}" if words.startswith("du ") else words)
                at = found
            else:
                at += 1
        return named

    def _news(self, heard: Heard) -> Tell | None:
        head, mark, words = heard.noticed.text.written.partition(":")
        said = " ".join(words_of(head))
        for lead in sorted(heard.vocabulary.rows("order_news_lead"), key=len, reverse=True):
            said = said.removeprefix(f"{lead} ")
        if not mark or (said not in self._news_heads and said not in self._lists):
            return None
        list_id = self._lists.get(said) or self._list_for(" ".join(words_of(words)))
        return Tell(Audience("list", list_id=list_id), sentence(words)) if list_id and words.strip() else None

    def _list_for(self, plain: str) -> str | None:
        """The list that news is for: by what it is about, else the course's, else the first there is."""
        about_events = self._mentions.event(plain) is not None
        named = self._mentions.mailing_list("events" if about_events else plain)
        known = list(dict.fromkeys(self._lists.values()))
        return named or self._mentions.mailing_list("course") or next(iter(known), None)

    def _told(self, heard: Heard, calendar: Calendar) -> Tell | None:
        tells, lets = heard.first("tell"), heard.first("let know")
        lead = tells or lets
        if lead is None:
            return self._headed(heard, calendar)
        if not self._only_leads(lead, heard) or heard.has("order_you_do", 0, lead.first):
            return None
        listed = self._list_named(lead.end, heard)
        if listed is not None:
            words = message_from(heard, listed[1], must_know=tells is None)
            return Tell(Audience("list", list_id=listed[0]), words) if words else None
        for kind in ("lately", "came", "missed", "event", "helpers", "everyone"):
            found = next((one for one in heard.all(f"audience {kind}") if one.first == lead.end), None)
            if found is not None and kind == "everyone" and not heard.breaks(found.end):
                found = None if heard.end("order_not_all", found.end) is not None else found
            if found is not None:
                return self._to_those(kind, (found.first, found.end), heard, tells is None, calendar)
        return None

    def _headed(self, heard: Heard, calendar: Calendar) -> Tell | None:
        """ "Everyone in for league: bring a light": whom it is for, with a colon behind, and no verb."""
        for kind in ("came", "missed", "event", "helpers"):
            found = next((one for one in heard.all(f"audience {kind}") if one.first == 0), None)
            named = found is not None and (
                kind != "event" or heard.has("order_crowd", 0, found.end) or heard.has("order_those", 0, found.end)
            )
            if found is not None and named and ":" in heard.gap(found.end):
                return self._to_those(kind, (0, found.end), heard, False, calendar)
        return None

    def _only_leads(self, lead: Match, heard: Heard) -> bool:
        return heard.without(0, lead.first, ("order_lead",), "order_lead") == (lead.first, lead.first)

    def _list_named(self, at: int, heard: Heard) -> tuple[str, int] | None:
        """The list that is named there, and where its name ends."""
        while (after := heard.end("order_list_lead", at)) is not None:
            at = after
        for length in range(_LONGEST_NAME, 0, -1):
            list_id = self._lists.get(" ".join(heard.forms(at, at + length)))
            if list_id is not None and at + length <= len(heard.words):
                return list_id, heard.end("order_list_after", at + length) or at + length
        return None

    def _to_those(self, kind: str, span: Span, heard: Heard, must_know: bool, calendar: Calendar) -> Tell | None:
        begin = self._words_begin(span, heard) if kind == "event" else span[1]
        words = message_from(heard, begin, must_know=must_know)
        if not words:
            return None
        match kind:
            case "event":
                event = self.event(span[0], begin, heard)
                day = calendar.event_day(self.days(span[0], begin, heard))
                return Tell(Audience("event", event=event, when=day), words)
            case "came" | "missed":
                lately = not _LAST_NIGHT.isdisjoint(heard.forms(span[0], begin))
                day = calendar.event_day(["yesterday"] if lately else self.days(span[0], begin, heard))
                past = day if day is not None and day.dated else None
                return Tell(Audience(kind, event=self.event(span[0], begin, heard), when=past), words)
            case "lately":
                return Tell(Audience("lately"), words)
            case "helpers":
                return Tell(Audience("helpers"), words)
            case _:
                return Tell(Audience("everyone"), words)

    def _words_begin(self, span: Span, heard: Heard) -> int:
        """Where the message begins: in "tell league tonight is off", "tonight's round is off" the day belongs to the message."""
        first, end = span
        last = heard.words[end - 1].form
        follows = heard.words[end].form if end < len(heard.words) else ""
        if last != "s" and follows not in _GIVES_BACK:
            return end
        for at in range(first + 1, end):
            found = heard.end("order_day", at)
            if found == end and heard.end("event", first) != end and not heard.breaks(at):
                return at
        return end


def message_from(heard: Heard, at: int, *, must_know: bool) -> str:
    """The words to be told, from the word `at` on, without what joins them to whom they are told; "" where there are none."""
    knows = heard.end("order_know", at)
    if must_know and knows is None and not set(heard.gap(at)) & _MARKS and heard.end("order_join", at) is None:
        return ""
    at = knows or at
    if not set(heard.gap(at)) & _MARKS:
        at = heard.end("order_join", at) or at
    words = heard.rest(at).strip()
    asks_back = heard.end("order_asks_back", at) is not None and len(words) <= _SHORT
    if asks_back or heard.end("order_of_it", at) is not None:
        return ""
    return sentence(words) if any(letter.isalpha() for letter in words) else ""
