"""What somebody of the club tells clubbot to do, English and French, in any order of words. A question, a report, a wish or a
reply to an asker is no order: an order is said in the imperative ("close hole 7") or as a bare status ("hole 7 shut").

Policy for "till": a day without an hour ends at 9:00 of that day, "tonight" at 18:00; an hour that is over is the next one.
Policy for the rest of a closure: "from" a day without an hour begins with that day. A day alone ("closed saturday") is closed
from its beginning to its end, "this morning" till noon. "till dark" and the like name no hour: they stay in the reason, and
the closure has no end. Two parts of the course in one text ("marsh and hill closed") are no order, since only one could be obeyed.
"""

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from clubbot.model.club import WEEKDAYS, Knowledge
from clubbot.model.messages import Language
from clubbot.model.orders import (
    AddLanguage,
    Audience,
    CallOff,
    Close,
    Confirm,
    Done,
    Forget,
    GoOnSending,
    HoldPlay,
    HoldSending,
    Match,
    NoteOn,
    Order,
    PassOn,
    Reopen,
    TakeDuty,
    Teach,
    Tell,
)
from clubbot.model.wants import When
from clubbot.understanding import numbers
from clubbot.understanding.dates import aware, plain_for_dates, when
from clubbot.understanding.mentions import Mentions

_TILL_HOUR = time(9)
_COURSE = "course"
# A night at most: "from 10pm till 6am" ends on the day after, "from 9 till 8" is a slip.
_LONGEST_NIGHT = timedelta(hours=12)

# --- the plain form, with the marks that divide a text -------------------------------------------------------------------

_BREAKS = frozenset(',;:!?.()[]\n–—…"«»“”')


@dataclass(frozen=True, slots=True)
class _Text:
    """A text beside its plain form, in which "," stands for every mark that divides. `at[i]` is where the plain letter i was
    written, so that what is left over can be told in the writer's own words.
    """

    written: str
    plain: str
    at: tuple[int, ...]

    def words(self, begin: int, end: int) -> str:
        """What was written from `begin` to `end` of the plain form."""
        said = self.written[self.at[begin] : self.at[end - 1] + 1] if begin < end else ""
        return f"{said})" if said.count("(") > said.count(")") else said

    def rest(self, end: int) -> str:
        """What was written after `end` of the plain form, as it stands."""
        return self.written[self.at[end - 1] + 1 :] if end else self.written


def _text(written: str) -> _Text:
    letters: list[str] = []
    at: list[int] = []
    for spot in range(len(written)):
        for letter in _plain_letter(written, spot):
            for one in _spaced(letter, letters):
                letters.append(one)
                at.append(spot)
    plain = "".join(letters)
    kept = len(plain.rstrip(" ,"))
    return _Text(written, plain[:kept], tuple(at[:kept]))


# "2-4pm", "9am-noon": said as "to".
_SPAN_DASH = re.compile(r"(?i).*\d ?(?:am|pm|h|a|p|m)?[-–](?:\d.?|no|mi)")


def _plain_letter(written: str, spot: int) -> str:
    """A letter's plain form: nothing for the point of "p.m.", ":" only within an hour, "," for what divides, "~" for "to"."""
    letter = written[spot]
    around = written[max(0, spot - 1) : spot + 2]
    if letter in ".:" and re.fullmatch(r"\d[.:]\d", around):
        return ":"
    if letter == "." and re.search(r"(?i)\b[ap]\.m", written[max(0, spot - 3) : spot + 2]):
        return ""
    if letter in "-–" and _SPAN_DASH.fullmatch(written[max(0, spot - 3) : spot + 3]):
        return "~"
    if letter in _BREAKS or (letter == "-" and around == " - "):
        return ","
    return plain_for_dates(letter) or " "


def _spaced(letter: str, before: Sequence[str]) -> str:
    """The letter with the space that parts it from what stands before; single spaces, single marks, none at the beginning."""
    last = before[-1] if before else ""
    if letter == "~":
        return " to "
    if letter == " ":
        return "" if last in {"", " ", ","} else " "
    if letter == ",":
        if not before or last == "," or before[-2:] == [",", " "]:
            return ""
        return "," if last == " " else " ,"
    return f" {letter}" if last == "," else letter


def _any(words: str) -> str:
    """A pattern for any of these words, the longest first; "_" stands for a space."""
    return "|".join(sorted((re.escape(word.replace("_", " ")) for word in words.split()), key=len, reverse=True))


# --- times -----------------------------------------------------------------------------------------------------------------

_WEEKDAY_NAMES = """
monday tuesday tues tue wednesday weds wed thursday thurs thur thu friday fri saturday sunday lundi mardi mercredi jeudi vendredi samedi
dimanche
"""
_MONTH_NAMES = """
january february march april may june july august september october november december janvier fevrier mars avril mai juin juillet aout
septembre octobre novembre decembre jan feb apr jun jul aug sept sep oct nov dec
"""
_SPOKEN_DAYS = """
day_after_tomorrow apres_demain tomorrow tmrw tmr tmw tomoz 2morrow demain today tonight tonite 2nite 2day aujourd_hui aujourdhui ajd
ce_soir ce_matin cet_apres_midi cet_aprem this_morning this_afternoon this_evening this_week_end this_weekend next_week_end next_weekend
the_weekend weekend fin_de_semaine next_week la_semaine_prochaine semaine_prochaine next_month
"""
_PARTS_OF_DAY = "morning matin afternoon aprem apres_midi evening soir night"
# Short forms that are common words stand only where their neighbours show a day: "the sun", "we sat", "mon jeudi", "le jeu".
_SHORT_DAY = (
    r"(?<!the )(?<!in )(?<!of )sun(?! (?:is|was|goes|sets|screen)\b)|(?<!i )(?<!we )sat(?! (?:on|down)\b)"
    r"|mon(?= \d| ,|$| (?:at|morning|noon|night|evening|afternoon|midday|till|until)\b)|(?:lun|mar|mer|jeu|ven|sam|dim)(?= \d{1,2} ?h| (?:matin|soir|midi|aprem)\b)"
)
_WEEKDAY = rf"(?:{_any(_WEEKDAY_NAMES)}|{_SHORT_DAY})"
_MONTH = rf"(?:{_any(_MONTH_NAMES)})"
_COUNTED = rf"(?! ?(?:{numbers.COUNTED}|{numbers.PERSONS})\b)"
_HOUR = r"(?:\d{1,2}(?::\d\d)? ?(?:am|pm|a m|p m)|\d{1,2} ?(?:h|heures?)(?: ?[0-5]\d)?|\d{1,2}:\d\d|\d{1,2} o ?clock|noon|midday|midi|midnight|minuit)(?![a-z0-9])"
_BARE = (
    rf"(?<!hole )(?<!trou )(?<!holes )(?<!trous )(?<!basket )(?<!panier )(?<!tee )(?<!#)\d{{1,2}}(?![\dh:])\b{_COUNTED}"
)
_DAY = (
    rf"(?:(?:next |this coming |the coming |this )?{_WEEKDAY}(?: s\b)?(?: prochain)?(?: (?:the |le )?\d{{1,2}}(?:st|nd|rd|th|er)?(?! ?(?:h|am|pm|:)\b)(?![\dh:]){_COUNTED})?(?: (?:of )?{_MONTH})?"
    rf"|\d{{1,2}}(?:st|nd|rd|th|er)? (?:of )?{_MONTH}|{_MONTH} \d{{1,2}}(?:st|nd|rd|th)?(?! ?(?:h|am|pm)\b)|(?:the )?\d{{1,2}}(?:st|nd|rd|th)(?! (?:hole|tee|basket|fairway)\b)|le \d{{1,2}}(?! ?h)"
    rf"|(?:{_any(_SPOKEN_DAYS)})(?: s\b)?)(?![a-z0-9])"
)
_JOIN = r"(?:(?:at|on|the|a|le|la|l|au|vers|around|about|in|de|du|of) ){0,4}"
_LATER = rf"(?:(?: ,)? {_JOIN}{_HOUR}| {_JOIN}(?:{_DAY}|(?:{_any(_PARTS_OF_DAY)})\b))*"
_MOMENT = rf"{_JOIN}(?:{_DAY}(?: {_JOIN}{_BARE})?|{_HOUR}|(?:{_any(_PARTS_OF_DAY)})\b|{_MONTH}|{_BARE}){_LATER}"
_TILL = r"(?:till|til|till the|until|untill|thru|through|jusqu ?(?:au|aux|a|en)?|jusque|jusqua|(?:will )?(?:re ?opens?|re ?opening|rouvre|reouverture)(?: at| on| a)?)"
_FROM = r"(?:from|starting(?: at| from| on)?|beginning|as of|des|a partir (?:de|du|d)|a compter (?:de|du|d))"
_TO = r"(?:to|till?|until|and|a|au|et|jusqu (?:a|au))"
_LENGTH = r"(?P<count>\d{1,3}|an?|une?|one|two|three|four|five|six|deux|trois|quatre|cinq|half an|une demi) ?(?P<unit>hours?|hrs?|h|heures?|minutes?|mins?|days?|jours?|weeks?|semaines?)"

_TIMES = re.compile(
    rf"\b(?:(?P<endless>{_TILL} (?:further notice|nouvel (?:ordre|avis))|indefinitely|(?:for|pour) (?:now|the moment|the time being|le moment|l instant))"
    rf"|(?P<day_end>(?:{_TILL} )?(?:the |la )?(?:end of (?:the )?(?:day|today)|fin de (?:la )?journee)|for the (?:rest of the )?day|for today|(?:the )?rest of the day|all day|(?:pour )?(?:toute )?la journee)"
    rf"|(?P<length>(?:for|pour|pendant)(?: the)?(?: next| about| environ| les prochaine?s)? {_LENGTH})"
    rf"|(?P<span>(?:from|between|entre|de|du|des) (?P<since>{_MOMENT}) {_TO} (?P<until>{_MOMENT})"
    rf"|(?P<since2>(?:{_DAY} )?{_JOIN}(?:{_HOUR}|{_BARE})) {_TO} (?P<until2>{_HOUR}|{_BARE}))"
    rf"|{_TILL} (?P<till>{_MOMENT})|{_FROM} (?P<start>{_MOMENT})"
    rf"|(?P<now>(?:(?:effective|starting|as of|from|des) )?(?:right now|now|immediately|at once|asap|maintenant|tout de suite|immediatement))"
    rf"|(?P<day>{_JOIN}{_DAY}{_LATER}))(?![a-z0-9])"
)
_MIDNIGHT = re.compile(r"\b(?:midnight|minuit)\b")
_MORNING = re.compile(r"\b(?:morning|matin)\b")
_HOUR_AFTER_DAY = re.compile(r"\b(?P<day>tomorrow|tmrw|tmr|tmw|demain|today|tonight|morning|afternoon) (?P<n>\d{1,2})$")
_DAY_OF_MONTH = re.compile(rf"\d{{1,2}}(?:st|nd|rd|th|er)? (?:of )?{_MONTH}\b")


@dataclass(frozen=True, slots=True)
class _Time:
    """Words of time and where they stand; `first` and `second` are the moments that they name."""

    kind: str
    begin: int
    end: int
    first: str = ""
    second: str = ""


@dataclass(frozen=True, slots=True)
class _Period:
    since: datetime | None
    until: datetime | None


def _times(plain: str) -> list[_Time]:
    return [_time(found) for found in _TIMES.finditer(plain)]


def _time(found: re.Match[str]) -> _Time:
    begin, end = found.span()
    if found["span"]:
        return _Time("span", begin, end, found["since"] or found["since2"], found["until"] or found["until2"])
    if found["length"]:
        return _Time("length", begin, end, found["count"], found["unit"])
    kinds = ("endless", "day_end", "till", "start", "now", "day")
    kind = next(one for one in kinds if found[one])
    return _Time(kind, begin, end, found[kind])


def _blanked(plain: str, spans: Iterable[tuple[int, int]], mark: str) -> str:
    """The plain text with these stretches written over, so that patterns see that something stands there, and not what."""
    for begin, end in spans:
        plain = f"{plain[:begin]}{mark * (end - begin)}{plain[end:]}"
    return plain


class _Calendar:
    """Turns words of time to moments, by the policy of this module."""

    def __init__(self, now: datetime, zone: ZoneInfo) -> None:
        self._now, self._zone = now.astimezone(zone), zone

    def period(self, times: Sequence[_Time]) -> _Period | None:
        """From when until when; None where the words contradict each other."""
        named = {one.kind: one for one in reversed(times)}
        day = self._when(named["day"].first, "", None) if "day" in named else None
        begins = named.get("span") or named.get("start")
        since = self._since(begins.first, day.first if day else None) if begins else None
        if begins is None and day is not None and day.first > self._now.date():
            since = (None if _MORNING.search(day.words) else day.at) or self._midnight(day.first)
        elif begins is None and day is not None and day.at and day.at > self._now and not _MORNING.search(day.words):
            since = day.at
        ends = named.get("span") or named.get("till")
        if ends is not None:
            until = self._until(ends.second or ends.first, since, day)
            return _Period(since, until) if until is not None else None
        return _Period(since, self._other_end(named, since, day))

    def event_day(self, words: Iterable[str]) -> When | None:
        """The day of an event that these words name."""
        return when(" ".join(words), self._now, self._zone)

    def _other_end(self, named: dict[str, _Time], since: datetime | None, day: When | None) -> datetime | None:
        if "length" in named:
            return (since or self._now) + _length(named["length"])
        if "endless" in named:
            return None
        if "day_end" in named:
            return self._midnight((day.first if day else (since or self._now).date()) + timedelta(days=1))
        if day is None or "start" in named:
            return None
        if _MORNING.search(day.words) and aware(day.first, time(12), self._zone) > self._now:
            return aware(day.first, time(12), self._zone)
        return self._midnight(day.last + timedelta(days=1))

    def _since(self, words: str, on: date | None) -> datetime | None:
        """None where it has begun."""
        found = self._when(words, "from", on)
        if found is None:
            return None
        at = found.at or self._midnight(found.first)
        return at if at > self._now else None

    def _until(self, words: str, since: datetime | None, day: When | None) -> datetime | None:
        on = since.date() if since else day.first if day else None
        found = self._when(words, "till", on)
        if found is None:
            return None
        if _MIDNIGHT.search(words):
            return self._midnight((found.first if found.dated else on or self._now.date()) + timedelta(days=1))
        start = since or self._now
        at = found.at or aware(found.first, _TILL_HOUR, self._zone)
        return at if at > start else self._next(found, at, start, since)

    def _next(self, found: When, at: datetime, start: datetime, since: datetime | None) -> datetime | None:
        """An hour or a weekday that is over is the next one; a day that is under way ends at midnight."""
        if found.weekday:
            return aware(at.date() + timedelta(days=7), at.time(), self._zone)
        if found.at is None and found.first == start.date():
            return self._midnight(found.first + timedelta(days=1))
        tomorrow = aware(start.date() + timedelta(days=1), at.time(), self._zone)
        if found.dated and since is None:
            return at  # over: whoever wrote it is told so
        return tomorrow if since is None or tomorrow - since <= _LONGEST_NIGHT else None

    def _when(self, words: str, lead: str, on: date | None) -> When | None:
        """The moment; an hour without a day is of the day `on`."""
        said = _HOUR_AFTER_DAY.sub(r"\g<day> at \g<n>", _MIDNIGHT.sub("noon", words))
        lead = "" if said.startswith("at ") or _DAY_OF_MONTH.match(said) else lead
        found = when(f"{lead} {said}".strip(), self._now, self._zone)
        if found is None or found.dated or on is None:
            return found
        return when(f"{on:%Y %m %d} {lead} {said}", self._now, self._zone)

    def _midnight(self, day: date) -> datetime:
        return aware(day, time(0), self._zone)


def _length(found: _Time) -> timedelta:
    half = found.first in {"half an", "une demi"}
    count = 0.5 if half else 1 if found.first in {"a", "an"} else numbers.number(found.first)
    unit = found.second[0]
    if found.second.startswith("min"):
        return timedelta(minutes=count)
    return timedelta(days=count * (7 if unit in "ws" else 1)) if unit in "djws" else timedelta(hours=count)


# --- words of the orders ---------------------------------------------------------------------------------------------------

_GREETS = r"(?:(?:ok|okay|hi|hey|hello|morning|please|pls|plz|bonjour|salut|allo|svp|stp|update|attention|heads up)(?: all| clubbot)?(?: ,)? )*"
_START = rf"(?:^|(?<=, )){_GREETS}"
_COURTESY_AFTER = re.compile(r"(?:(?: ,)? (?:please|pls|plz|thanks|thank you|thx|merci|svp|stp))+$")

# Why a course is closed: these may stand before the order without a mark between, "flooded marsh loop shut".
_WHY_WORDS = r"""
flood flooded flooding ice icy snow snowing storm stormy thunder lightning wind windy winds rain tree trees branch fallen down mud muddy
wet water underwater fog fire smoke mowing work works damage damaged unsafe dangerous inonde inondee inondes inondation inondations glace
verglas neige orage orages tempete vent vents arbre arbres branche tombe boue eau pluie tonte travaux brume feu fumee danger dangereux
"""
_WHY_BESIDE = "big heavy strong high tide gros grosse fort forte maree haute of de and et on the sur les la everywhere partout too much trop"
_WHY = rf"(?:{_any(_WHY_WORDS)})"
_WHY_LED = rf"(?:(?:(?:{_any(_WHY_BESIDE)}|@+) )*{_WHY} (?:(?:{_any(_WHY_BESIDE)}|{_WHY}|@+) )*|@+ )?"

# A report, a doubt or a past is no order.
_REPORTS = re.compile(
    r"\b(?:someone|somebody|heard|hear that|apparently|maybe|perhaps|i think|think|seems|seemed|looks like|wonder\w*|was|were|wasn t|yesterday"
    r"|quelqu un|parait|peut etre|semble|je crois|je pense|on dirait|etait|hier)\b"
)
# What stands before an order and makes it something else.
_UNDOES = re.compile(
    r"\b(?:if|unless|whether|should|shall|want|wants|wish|would|could|can|can t|don t|dont|do not|not|never|no need|si|devrait|faut|veux|voudrais|aimerais|pas|jamais"
    r"|yes|yeah|yep|yup|no|nope|sorry|thanks|oui|ouais|non|desole\w*|merci|when|quand|why|pourquoi|who|qui|what|quoi|how|comment|est ce)\b"
)
# A bare status that speaks to somebody, or of oneself, is a reply.
_REPLIES = re.compile(
    r"\b(?:sorry|apologies|you|u|your|yours|ya|i|im|my|mine|vous|votre|vos|tu|te|ton|ta|desole\w*|je|j|ma|mes)\b"
)
_ASKS = re.compile(
    r"^(?:(?:ok|okay|hi|hey|hello|so|and|bonjour|salut|et|alors) ,? ?)*(?:is|are|was|do|does|did|can(?! t\b)|could|should|shall|would|will|who|whos|what|when|where|why|which|how|any|anyone|anybody"
    r"|est ce|qui|quoi|quand|comment|pourquoi|combien|faut|peut on|peux tu|pouvez|pourrais|pourriez|devrait|y a t il|c est quand)\b"
)
_LEAD_WORDS = r"because of|because|cause of|cause|cuz|bc|due to|for|as|so|and|reason|it s|its|is|parce que|a cause (?:des|de|du|d)|en raison (?:des|de|du|d)|pour cause (?:de|d)|suite a|car|pour|et|down|again|encore|with|,"
_LEADS_REASON = re.compile(rf"^(?:(?:{_LEAD_WORDS}) )+")
_ENDS_REASON = re.compile(
    r"(?: (?:please|pls|plz|thanks|thx|merci|svp|stp|now|asap|ok|and|et|again|encore|the|is|for|to|,))+$"
)
_ONLY_LEADS = re.compile(
    rf"(?:(?:{_LEAD_WORDS}|please|pls|thanks|thx|merci|svp|stp|ok|okay|hi|hey|hello|morning|now|the|le|la|bonjour|salut|update)(?: |$))*"
)
_ALSO_TELLS = re.compile(r"\b(?:tell|notify|inform|text|dis|dites|avise[rz]?|previens|prevenez)\b")
_TELLS_ALL = re.compile(
    r"(?:(?:and|et|,) )*(?:tell|notify|inform|text|dis le a|dites le a|avise[rz]?|previens|prevenez) (?:everyone|everybody|all|people|them|the list|tout le monde|les gens)(?: please| pls| svp)?$"
)


# --- the course ------------------------------------------------------------------------------------------------------------

_CLOSES = r"(?:(?:we re |we are |i m |im |let s |lets )?(?:closing|shutting)|(?:let s |lets |on |je |go ahead and )?(?:close|shut|fermons|ferme[rz]?)|fermeture)(?: (?:down|off|up))?"
_CLOSED = r"(?:closed(?: down| off)?|shut(?: down)?|fermee?s?)"
_IS = r"(?:(?:is|s|are|will be|now|still|all|est|sont|sera|toujours|maintenant) )*"
_REOPENS = r"(?:(?:we re |we are |i m |on )?(?:re ?opening|reopen|re open|rouvr(?:e|ez|es|ir|ons)|reouvr(?:e|ez|es|ir|ons)|reouverture))"
_OPENS = r"(?:open(?: up)?|ouvre[szr]?|ouvrir)"
_AGAIN = r"(?:again|back|now|a nouveau|de nouveau|encore|maintenant)"
_FINE = r"(?:open|ok|okay|fine|good|good to go|clear|playable|safe|dry|ouverte?s?|beau|correcte?|praticables?|sure?s?)"
_MENDED = r"(?:reopened|re opened|rouverte?s?|reouverte?s?)"
_THE_SAME = r"(?:it|that|(?:the|that|la|le|cette|ce) (?:hole|loop|trou|boucle))"
_EVERYTHING = r"(?:everything|it all|all of it|it|tout|ca)"


class _Ground:
    """Finds the parts of the course in a plain text, and where they stand."""

    def __init__(self, knowledge: Knowledge, mentions: Mentions) -> None:
        self._mentions = mentions
        self._holes = len(knowledge.course.holes)
        self._loops = {(loop.first_hole, loop.last_hole): loop.id for loop in knowledge.course.loops}
        called = (name for loop in knowledge.course.loops for name in (loop.name.en, loop.name.fr, *loop.also_called))
        names = "|".join(sorted({re.escape(plain_for_dates(name)) for name in called}, key=len, reverse=True))
        loop = rf"(?:(?:loop|boucle) (?:(?:of|du|de la|de l|des|the) )?)?(?:{names})(?: loop| holes)?"
        hole = r"(?:hole|trou|basket|panier|tee|no|h) ?#? ?(?:\d{1,2}|one|two|three|four|five|six|seven|eight|nine|ten|eleven|twelve|un|deux|trois|quatre|cinq|sept|huit|neuf|dix|onze|douze)\b|#\d{1,2}|\d{1,2}(?:st|nd|rd|th|e|er|eme) (?:hole|tee|basket|trou|panier)"
        holes = r"(?:holes|trous) \d{1,2} ?(?:to |through |thru |a |et |and |- ?)?\d{1,2}"
        course = (
            r"(?:whole |entire |full )?(?:course|parcours|terrain)(?: au complet| entier)?|all (?:18|the holes|holes)"
        )
        articles = r"(?:(?:all of|all|the|our|le|la|les|l|du|de la|de l|des|de|on|sur) )*"
        self.named = rf"(?:{articles}(?:{holes}|{hole}|{loop}|{course}))(?![a-z0-9])"
        self.part = rf"(?:{articles}(?:{holes}|{hole}|{loop}))(?![a-z0-9])"
        # "Close hole 7 and 8": one order could only close one of them.
        self._several = re.compile(
            rf"(?: ,)?(?: and| et| or| ou| plus)? (?:(?:and|et|or|ou|plus) )?(?:{self.named}|\d{{1,2}}(?= (?:and|et|,|@|closed|shut|ferm))|\d{{1,2}}$)"
        )
        self._joined = re.compile(r"^ (?:,|and|et|plus) ")
        self._elsewhere = re.compile(rf"\b{self.part}")

    def id(self, words: str) -> str | None:
        """The hole's number, the loop's id or "course"; None for a hole that there is not, or holes that are no loop."""
        plural = re.search(r"\b(?:holes|trous) (\d+)\D+(\d+)", words)
        if plural is not None:
            return self._loops.get((int(plural[1]), int(plural[2])))
        hole = numbers.hole(words)
        if hole is not None and not 1 <= hole <= self._holes:
            return None
        return self._mentions.place(words)

    def elsewhere(self, plain: str) -> str | None:
        """The part that is named anywhere, else the course: "tree down on hole 7, close it"."""
        found = self._elsewhere.search(plain)
        return self.id(found.group()) if found else _COURSE

    def goes_on(self, plain: str, end: int) -> bool:
        """Whether a second part of the course follows at `end`, joined to the first."""
        found = self._several.match(plain, end)
        if found is None:
            return False
        if " ," not in found.group():
            return self._joined.match(plain[end:]) is not None
        return re.match(r" ?(?:@|,|$|and |et |closed|shut|ferm)", plain[found.end() :]) is not None


@dataclass(frozen=True, slots=True)
class _Core:
    """The words of an order themselves, without times and reason; `place` as plain words, None where none stands there."""

    begin: int
    end: int
    place: str | None
    status: bool


class _CourseOrders:
    """Reads orders to the course: close, reopen, hold play, a note."""

    def __init__(self, knowledge: Knowledge, mentions: Mentions) -> None:
        self._ground = ground = _Ground(knowledge, mentions)
        self._zone = knowledge.club.zone
        place = ground.named
        lead = rf"{_START}{_WHY_LED}"
        self._closing = (
            (re.compile(rf"{lead}(?P<core>{_CLOSES} (?P<place>{place}))(?= |$)"), False),
            (re.compile(rf"{lead}(?P<core>(?:{_CLOSES}|{_CLOSED}) @+(?: ,)? (?P<place>{place}))(?= ,| @|$)"), False),
            (re.compile(rf"{lead}(?P<core>{_CLOSES}(?: {_EVERYTHING})?)(?= @| ,| (?:because|due|a cause|pour)\b)"), False),
            (re.compile(rf"{_START}(?P<core>{_CLOSES} (?:{_EVERYTHING}|{_THE_SAME}))(?= again| @| ,|$)"), False),
            (re.compile(rf"{lead}(?P<core>(?P<place>{place})(?: ,)?(?: @+)? {_IS}(?:{_CLOSED}|closing(?= @)))(?= |$)"), True),
            (re.compile(rf"{lead}(?P<core>(?P<place>{place})(?: ,)? (?:close|to close|closing))(?= @|$)"), True),
            (re.compile(rf"{lead}(?P<core>{_CLOSED}(?: @+)?(?: ,)? (?P<place>{place}))(?= |$)"), True),
        )  # fmt: skip
        self._opening = (
            (re.compile(rf"{_START}(?P<core>{_REOPENS} (?P<place>{place}))(?= |$)"), False),
            (re.compile(rf"{_START}(?P<core>{_REOPENS}(?: {_EVERYTHING})?)(?= ,|$| {_AGAIN}| (?:because|as)\b)"), False),
            (re.compile(rf"{_START}(?P<core>{_OPENS} (?:(?P<place>{place})|{_EVERYTHING})(?: up)?(?: {_AGAIN})?)(?= ,|$)"), False),
            (re.compile(rf"{_START}(?P<core>(?:{_OPENS}) {_AGAIN}(?: (?P<place>{place}))?)(?= ,|$)"), False),
            (re.compile(rf"{_START}(?P<core>(?:(?P<place>{place})|{_EVERYTHING})(?: ,)? {_IS}(?:{_FINE} (?:up )?{_AGAIN}|{_AGAIN} {_FINE}|back up|{_MENDED}))(?= ,|$)"), True),
            (re.compile(rf"^{_GREETS}(?P<core>(?P<place>{place}) {_IS}(?:open|ouverte?|fixed|repaired|cleared|reparee?|degagee?)(?: now| maintenant)?)$"), True),
            (re.compile(rf"^{_GREETS}(?P<core>{_AGAIN} {_FINE} (?P<place>{place})|{_FINE} {_AGAIN})$"), True),
        )  # fmt: skip
        self._notes = (
            re.compile(rf"^{_GREETS}(?P<place>{ground.part})(?: ,)? (?:has|have|has got|got|now has|a|ont)(?= )"),
            re.compile(rf"^{_GREETS}(?P<place>{ground.part})(?P<mark> ,)"),
            re.compile(rf"^{_GREETS}(?P<place>{ground.part})(?: (?:is|s|are|est|sont))?(?= )"),
        )
        self._nothing_at = re.compile(
            rf"^{_GREETS}(?:no|temporary|temp|pas de|pas d|plus de|plus d|(?:panier|depart) temporaire)(?: \w+){{0,3}} (?:(?:at|on|by|near|for|au|a|sur|pres du) )?(?P<place>{ground.part})$"
        )

    def read(self, text: _Text, now: datetime) -> Order | None:
        """The order, None where the text is none."""
        if _HOLDS_PLAY.search(text.plain):
            return None if _DONT.search(text.plain) else HoldPlay()
        opening, closing = self._reopen(text), self._close(text, now)
        if opening is not None and closing is not None:
            return None
        if opening is not None or closing is not None:
            return opening or closing
        if _hears_thunder(text.plain, self._ground.named) or (
            _ALL_OFF.search(text.plain) and not _DONT.search(text.plain)
        ):
            return HoldPlay()
        return self._note(text)

    def _close(self, text: _Text, now: datetime) -> Close | None:
        times = _times(text.plain)
        seen = _blanked(text.plain, ((one.begin, one.end) for one in times), "@")
        core = self._core(seen, text.plain, self._closing)
        if core is None or self._ground.goes_on(seen, core.end) or _AT_AN_HOUR.match(text.plain, core.end):
            return None
        if not core.place and not _WHY_OR_WHEN.search(seen):
            return None
        taken = _belonging(times, core, text.plain)
        period = _Calendar(now, self._zone).period(taken)
        what = self._ground.id(core.place) if core.place else self._ground.elsewhere(text.plain)
        if what == _COURSE and _ONE_PART.search(text.plain[core.begin : core.end]):
            return None
        reason = _reason(text, [(core.begin, core.end), *((one.begin, one.end) for one in taken)])
        if period is None or what is None or reason is None:
            return None
        return Close(what, period.since, period.until, reason)

    def _reopen(self, text: _Text) -> Reopen | None:
        times = [one for one in _times(text.plain) if one.kind != "now"]
        seen = _blanked(text.plain, ((one.begin, one.end) for one in times), "@")
        core = self._core(seen, text.plain, self._opening)
        # Opening at a later hour is a closure that ends then: it is not guessed at.
        if core is None or self._ground.goes_on(seen, core.end) or "@" in seen:
            return None
        if core.place is None:
            everything = re.search(r"\b(?:everything|tout|all)\b", text.plain[core.begin : core.end]) is not None
            named = self._ground.elsewhere(text.plain)
            return Reopen(None if everything or named == _COURSE else named)
        what = self._ground.id(core.place)
        return Reopen(what) if what is not None else None

    def _core(self, seen: str, plain: str, patterns: Sequence[tuple[re.Pattern[str], bool]]) -> _Core | None:
        """The first form that fits, where nothing in the text makes it a report, a reply or a doubt."""
        if _REPORTS.search(plain):
            return None
        for pattern, status in patterns:
            found = pattern.search(seen)
            if found is None or _UNDOES.search(plain[: found.start("core")]):
                continue
            if status and _REPLIES.search(plain):
                continue
            named = found.groupdict().get("place")
            return _Core(found.start("core"), found.end("core"), named, status)
        return None

    def _note(self, text: _Text) -> NoteOn | None:
        said = _SAYS_NOTE.match(text.written)
        if said is not None:
            words = said["words"].strip()
            what = self._ground.elsewhere(_text(words).plain)
            return NoteOn(what, words) if what is not None else None
        if _REPORTS.search(text.plain) or _REPLIES.search(text.plain) or _NO_NOTE.search(text.plain):
            return None
        if (found := self._nothing_at.search(text.plain)) is not None:
            return self._noted(found["place"], text.written.strip())
        for pattern in self._notes:
            found = pattern.search(text.plain)
            if found is not None and found.end() < len(text.plain):
                words = text.words(found.end() + 1, len(text.plain)).strip(" ,:;-–—()")
                sure = pattern is self._notes[0] or found.groupdict().get("mark")
                return self._noted(found["place"], words) if words and (sure or _STATE.search(text.plain)) else None
        return None

    def _noted(self, place: str, words: str) -> NoteOn | None:
        what = self._ground.id(place)
        return NoteOn(what, words.strip(" .!")) if what is not None else None


_AT_AN_HOUR = re.compile(
    r" (?:(?:at|a) \d{1,2}(?: |h|:|$)|at night|la nuit|le soir)"
)  # "le parcours ferme à 20h" tells the usual hours
_ONE_PART = re.compile(r"\b(?:the|that|la|le|cette|ce) (?:hole|loop|trou|boucle)$")  # which is not said anywhere
_WHY_OR_WHEN = re.compile(rf"@|\b{_WHY}\b|\b(?:it|everything|tout|ca) again\b")
_SAYS_NOTE = re.compile(
    r"^\s*(?:please\s+)?(?:note|nota|à noter|a noter|remarque)(?:\s*:|\s+[–-])\s*(?P<words>\S.*)$",
    re.IGNORECASE | re.DOTALL,
)
# What somebody says of a hole without noting anything: how it plays, who was hurt, whose disc is there.
_NO_NOTE = re.compile(
    r"\b(?:par (?:of )?\d|discs?|disques?|ace|aced|birdie|bogey|eagle|fun|love|loved|favou?rite|great|beautiful|nice|hard|easy|hardest|easiest|longest|shortest|metres?|meters?|feet|ft|lost|found|hit|hurt|injured|bleeding|fell|me|us|we|his|her|hers"
    r"|my|they|he|she|perdue?|trouvee?|blessee?s?|nous|elle|il|ils|on|me|moi|difficile|facile|prefere|closed?|shut|open|ok|fine|ferme[rz]?|fermee?s?|ouverte?s?|reopen|rouvre|tell|dis)\b"
)
_STATES = r"""
temporary temp moved shorter short wet muddy mud slippery slick icy ice flooded flooding water puddle underwater branch branches tree trees
missing broken bent tap robinet loose damaged repair repairs mowing mowed unmowed long_grass wasps wasp bees nest ticks poison_ivy geese roadwork
construction taped roped careful caution relocated temporaire deplace deplacee raccourci mouille mouillee boueux boue glissant glissante
glace inonde inondee eau branche branches arbre arbres brise brisee casse cassee manquant reparation tonte guepes nid tiques travaux
prudence attention
"""
_STATE = re.compile(rf"\b(?:{_any(_STATES)})\b")

_HEARS = r"(?:(?:i |we |on |j )?(?:hear|heard|saw|see|entends?|entendu)? ?(?:thunder|lightning|orage|tonnerre|eclairs?)(?: again| encore| now)? )?"
_HOLDS_PLAY = re.compile(
    rf"{_START}{_HEARS}(?:hold (?:all )?play|play (?:is )?on hold|pause play|suspend (?:all )?play|stop play|suspen(?:ds|dre|dez|dons) le jeu|arrete[rz]? le jeu|jeu suspendu|le jeu est suspendu)\b"
)
_ALL_OFF = re.compile(
    rf"{_START}{_HEARS}(?:(?:every ?one|every ?body|all) off(?: the course)?|tout le monde (?:dehors|hors du (?:parcours|terrain)))\b"
)
_DONT = re.compile(r"\b(?:don t|dont|do not|no need|if|should|pas|si|faut il)\b|\bwhen\b|\bwho\b")
_THUNDER = re.compile(r"\b(?:thunder\w*|lightning|orages?|tonnerres?|eclairs?|foudre|il tonne|ca tonne)\b")
_BESIDE_THUNDER = """
thunder thundering thunderstorm lightning orage orages tonnerre tonnerres eclair eclairs foudre tonne i we hear heard hearing see saw seen
just again now here close near nearby coming in it s is there big loud more another first second bang please pls everyone everybody off get
people and et ok hey hi j je on entends entend entendu vois vu du de le la les un une des il y a ca c l est encore ici proche pres maintenant
attention gros grosse approche arrive vient au sur parcours course club boathouse over the at storm tempete strike strikes flash rumbling
"""
_MOST_THUNDER_WORDS = 9


def _hears_thunder(plain: str, places: str) -> bool:
    """Whether the text is hardly more than the word: "thunder!!", "big thunder over hole 7", not "thunder bay", "no thunder"."""
    words = re.sub(rf"\b{places}|,", " ", plain).split()
    beside = frozenset(_BESIDE_THUNDER.split())
    return (
        _THUNDER.search(plain) is not None
        and len(words) <= _MOST_THUNDER_WORDS
        and all(word in beside for word in words)
        and words[0] not in {"is", "over"}
        and re.search(r"\bover(?! the\b| hole\b)|\bthe thunder is over\b", plain) is None
    )


def _belonging(times: Sequence[_Time], core: _Core, plain: str) -> list[_Time]:
    """The times that belong to the order: every "till" and "from", but a bare day only beside the order's own words or at the
    beginning, since "big storm tonight" is a reason.
    """
    taken = [one for one in times if one.kind not in {"day", "now"}]
    loose = [one for one in times if one.kind in {"day", "now"}]
    spans = [(core.begin, core.end), *((one.begin, one.end) for one in taken)]
    for _ in loose:
        for one in loose:
            beside = any(
                plain[min(one.end, end) : max(one.begin, begin)].strip() == ""
                for begin, end in spans
            )  # fmt: skip
            if one not in taken and (beside or one.begin == 0 or core.begin <= one.begin < core.end):
                taken.append(one)
                spans.append((one.begin, one.end))
    return taken


def _reason(text: _Text, spans: Sequence[tuple[int, int]]) -> str | None:
    """The words that are left, as written; None where they tell clubbot to do something else as well."""
    pieces: list[str] = []
    begin = 0
    for start, end in [*sorted(spans), (len(text.plain), len(text.plain))]:
        if begin < start and (piece := _left(text, begin, start)) is not None:
            pieces.append(piece)
        begin = max(begin, end)
    reason = ", ".join(piece for piece in pieces if piece)
    if _ALSO_TELLS.search(plain_for_dates(reason)):
        kept = _TELLS_ALL.sub("", plain_for_dates(reason))
        return None if _ALSO_TELLS.search(kept) else reason[: _written_length(reason, kept)].rstrip(" ,")
    return reason


def _written_length(reason: str, kept: str) -> int:
    """How much of the written reason the first words of its plain form are."""
    if not kept.strip():
        return 0
    text = _text(reason)
    words = len(kept.split())
    ends = [found.end() for found in re.finditer(r"[a-z0-9:#]+", text.plain)]
    return text.at[ends[words - 1] - 1] + 1


def _left(text: _Text, begin: int, end: int) -> str | None:
    """One stretch of what is left, without the words that only lead to it."""
    plain = text.plain
    while begin < end and plain[begin] in " ,":
        begin += 1
    while begin < end and plain[end - 1] in " ,":
        end -= 1
    piece = plain[begin:end]
    if _ONLY_LEADS.fullmatch(piece):
        return None
    lead = _LEADS_REASON.match(piece)
    begin += lead.end() if lead else 0
    tail = _ENDS_REASON.search(plain[begin:end])
    end = begin + tail.start() if tail else end
    greeted = re.match(rf"{_GREETS}(?:, )?", plain[begin:end])
    begin += greeted.end() if greeted else 0
    return text.words(begin, end) or None


# --- events and people -----------------------------------------------------------------------------------------------------

_CALLS_OFF = (
    r"(?:(?:we re |we are |i m |on )?(?:call off|calling off|cancel|cancell?ing|scrub|annule[rz]?|annulons|annulation))"
)
_OFF = r"(?:called off|cancell?ed|scrubbed|off|annulee?s?|a l eau)"
_BETWEEN = r"(?:the|our|for|on|of|this|s|in|at|de|du|d|la|le|les|l|des|pour|prevue?|a|night|event)"
_OWN = re.compile(
    r"\b(?:me|my|mine|myself|us|our|i|im|moi|ma|mon|mes|je|j|nous|notre|spot|spots|place|places|rsvp|reservation|seats?|reminders?|rappels?|texts?|list|news|account|membership)\b"
)


class _Occasions:
    """Finds events and their days: written over, an event is "$", a time is "@"."""

    def __init__(self, knowledge: Knowledge, mentions: Mentions) -> None:
        self._mentions = mentions
        called = (name for event in knowledge.events for name in (event.name.en, event.name.fr, *event.also_called))
        names = "|".join(sorted({re.escape(plain_for_dates(name)) for name in called}, key=len, reverse=True))
        self._named = re.compile(rf"\b(?:{names})s?\b")

    def seen(self, plain: str) -> str:
        """The text with its events and bare days written over."""
        without = _blanked(plain, (found.span() for found in self._named.finditer(plain)), "$")
        days = ((one.begin, one.end) for one in _times(without) if one.kind == "day")
        return _blanked(without, days, "@")

    def event(self, plain: str, seen: str) -> str | None:
        """The event that is named where `seen` shows one; `plain` is the same stretch."""
        found = re.search(r"\$+", seen)
        return self._mentions.event(plain[found.start() : found.end()]) if found else None

    def day(self, plain: str, seen: str, calendar: _Calendar) -> When | None:
        """The day that is named where `seen` shows one."""
        return calendar.event_day(plain[found.start() : found.end()] for found in re.finditer(r"@+", seen))


_SEQUENCE = rf"(?:{_BETWEEN} |\$+ ?|@+ ?)*"
_CALLED_OFF = (
    (re.compile(rf"{_START}{_CALLS_OFF} (?P<what>(?:{_BETWEEN} )*(?:\$+|@+)(?: (?:{_BETWEEN} )*(?:\$+|@+)| s\b)*)"), False),
    (re.compile(rf"{_START}call (?P<what>(?:{_BETWEEN} )*\$+(?: (?:{_BETWEEN} )*@+)*) off(?: @+)*"), False),
    (re.compile(rf"{_START}{_WHY_LED}(?P<what>(?:(?:{_BETWEEN}|@+) )*\$+(?:(?: {_BETWEEN})* @+)*)(?: ,)? (?:(?:is|s|are|has been|will be|est|sont|sera|a ete|now|all) )*{_OFF}(?P<more>(?: (?:{_BETWEEN} )*@+)*)(?= ,| due| because| for| pour| a cause| {_WHY}|$)"), True),
    (re.compile(rf"{_START}{_WHY_LED}(?:no|pas de|pas d) (?P<what>(?:(?:{_BETWEEN}|@+) )*\$+(?: (?:{_BETWEEN} )*@+)*)(?= ,| due| because| {_WHY}|$)"), True),
)  # fmt: skip

_TELLS = r"(?:tell|text|txt|message|msg|notify|inform|warn|remind|send|dis|dites|dire|avise[rz]?|previens|prevenez|prevenir|informe[rz]?|avertis|avertissez|texte[rz]?|rappelle[rz]?|ecris|ecrivez|envoie|envoyez)(?: (?:le |la )?(?:a|aux|au|to))?"
_LETS_KNOW = r"(?:let|fais savoir a|faites savoir a)"
_ALL = r"(?:every ?one|every ?body|all|tout le monde|tlm|tous)"
_PEOPLE = rf"(?:{_ALL}|anyone|anybody|those|people|the people|players|the players|folks|ceux|celles|les gens|les joueurs|tous ceux|whoever|who ?ever)"
_COMING = r"(?:coming|playing|going|attending|signed up|registered|down|booked|in|inscrits?|viennent|vient|y vont|joue|jouent|seront la|sera la|est la)"
_ASKED = r"(?:asked|asks|wrote|texted|messaged|inquired|demande|ecrit|texte|pose (?:la|une) question)"
_AUDIENCES: tuple[tuple[str, re.Pattern[str]], ...] = tuple(
    (kind, re.compile(rf"(?:{pattern})(?![a-z0-9@$])"))
    for kind, pattern in (
        ("lately", rf"{_PEOPLE}(?: (?:who|that|qui))?(?: (?:has|have|ve|s|ont|a|ait|avait))? {_ASKED}(?: (?:about|us|me|nous|it|for|in|today|the course|le parcours|pour|sur))*(?: (?:@+|today|lately|recently|dernierement|recemment))*"),
        ("event", rf"{_PEOPLE}(?: (?:who|that|qui))?(?: (?:is|are|s|re|est|sont))? {_COMING}(?: (?:to|for|on|at|in|a|au|pour|de|the|la|le|l))*(?: (?:{_BETWEEN} )*(?:\$+|@+))+"),
        ("event", rf"{_PEOPLE}(?: (?:for|at|in|of|from|on|de|du|d|pour|a|au|la|l|le|the))+ (?:(?:{_BETWEEN}|@+) )*\$+(?: (?:{_BETWEEN} )*@+)*"),
        ("event", rf"(?:(?:{_BETWEEN}|@+) )*\$+(?: (?:(?:of|on|for|this|de|du|d) )*@+)?(?: (?:people|players|crowd|group|folks|regulars|joueurs|gens))?"),
        ("event", r"(?:(?:the|les) )?(?:(?:people|players|gens|joueurs) (?:of|for|from|de|du) )?@+ (?:people|players|crowd|group|folks|joueurs|gens)"),
        ("helpers", r"(?:all )?(?:the |our |les |nos |l )?(?:helpers|helper|volunteers|crew|team|committee|benevoles|equipe|comite)"),
        ("everyone", rf"{_ALL}(?: of you| people| folks| on the lists?)?(?! (?:members|membres|who|qui)\b)"),
    )
)  # fmt: skip
_TELL_LEAD = re.compile(rf"^{_GREETS}(?:{_TELLS}|(?P<let>{_LETS_KNOW})) ")
_JOINS_WORDS = re.compile(r"^\s*(?:(?:to|that|que|de)\s+|(?:qu|d)['’]\s*)?(?P<words>.*)$", re.IGNORECASE | re.DOTALL)  # fmt: skip
_GIVES_BACK = re.compile(r"^(?:is|s|are|was|will|has|est|sera|sont|a ete)\b")
_NEWS = re.compile(r"^\s*(?:send\s+|to\s+)?(?P<head>[^:]{4,40}?)\s*:\s*(?P<words>\S.*)$", re.DOTALL)
_NEWS_HEADS = frozenset({"news", "nouvelles", "nouvelle"})


_SAYS_OFF = re.compile(r"\bcall(?:ing)? off\b")
_GIVES_WHY = re.compile(rf"\b{_WHY}\b")
_ORDER_ITSELF = re.compile(rf"(?:{_CALLS_OFF}|call|no|pas de|pas d|(?: |^){_BETWEEN})+ ?$")


def _only_why(before: str) -> bool:
    """Whether what stands before an order to call off leaves it one: "thunder, cancel league", not "kid is sick, no league"."""
    if _UNDOES.search(_ORDER_ITSELF.sub("", before)):
        return False
    clauses = before.rpartition(",")[0]
    return bool(_SAYS_OFF.search(before) or _GIVES_WHY.search(clauses) or re.fullmatch(rf"{_GREETS},? ?", clauses))


class _PeopleOrders:
    """Reads what many people are to be told, and what is called off."""

    def __init__(self, knowledge: Knowledge, mentions: Mentions) -> None:
        self._mentions = mentions
        self._occasions = _Occasions(knowledge, mentions)
        self._ground = _Ground(knowledge, mentions)
        self._zone = knowledge.club.zone
        self._lists = {
            plain_for_dates(name): one.id
            for one in knowledge.lists
            for name in (one.name.en, one.name.fr, *(f"{also} news" for also in one.also_called))
        }
        names = "|".join(sorted((re.escape(name) for name in self._lists), key=len, reverse=True)) or "$^"
        self._list_named = re.compile(
            rf"(?:(?:the|les|la|everyone on|everybody on|all on) )*(?P<name>{names})(?: (?:list|people|readers|liste))?(?![a-z0-9])"
        )

    def tell(self, text: _Text, now: datetime) -> Tell | None:
        """Who is to be told what; None where the text does not say both."""
        return self._news(text) or self._told(text, _Calendar(now, self._zone))

    def call_off(self, text: _Text, now: datetime) -> CallOff | None:
        """Which event is called off. A bare "cancel" is how people stop texts, and "cancel my spot" is about one's own."""
        if _REPORTS.search(text.plain):
            return None
        seen = self._occasions.seen(text.plain)
        for pattern, status in _CALLED_OFF:
            found = pattern.search(seen)
            if found is not None and _only_why(text.plain[: found.start("what")]):
                return self._called_off(text, seen, found, status, _Calendar(now, self._zone))
        return None

    def _called_off(
        self, text: _Text, seen: str, found: re.Match[str], status: bool, calendar: _Calendar
    ) -> CallOff | None:
        reason = _reason(text, [self._without_reason(found, seen)])
        if reason is None or _OWN.search(plain_for_dates(reason)) or (status and _REPLIES.search(text.plain)):
            return None
        begin, end = found.span()
        event = self._occasions.event(text.plain[begin:end], seen[begin:end])
        day = self._occasions.day(text.plain[begin:end], seen[begin:end], calendar)
        # "Cancel wed" is also how a helper takes back a place; calling off is not.
        sure = _SAYS_OFF.search(text.plain[begin : found.start("what")]) or _GIVES_WHY.search(plain_for_dates(reason))
        if event is None and (day is None or not day.dated or not sure):
            return None
        return CallOff(event, day, reason)

    def _without_reason(self, found: re.Match[str], seen: str) -> tuple[int, int]:
        """The stretch of the order itself, the reason before it left out."""
        led = re.match(rf"{_GREETS}{_WHY_LED}", seen[found.start() :])
        lead = led.group() if led and re.search(rf"\b{_WHY}\b", led.group()) else ""
        return found.start() + len(lead), found.end()

    def _news(self, text: _Text) -> Tell | None:
        found = _NEWS.match(text.written)
        head = re.sub(r"^(?:the|les|to the) ", "", plain_for_dates(found["head"])) if found else ""
        if found is None or (head not in _NEWS_HEADS and head not in self._lists):
            return None
        list_id = self._lists.get(head) or self._list_for(plain_for_dates(found["words"]))
        return Tell(Audience("list", list_id=list_id), _sentence(found["words"])) if list_id else None

    def _list_for(self, plain: str) -> str | None:
        """The list that news is for: by what it is about, else the course's, else the first there is."""
        about_events = self._mentions.event(plain) is not None
        named = self._mentions.mailing_list("events" if about_events else plain)
        known = list(dict.fromkeys(self._lists.values()))
        return named or ("course-news" if "course-news" in known else next(iter(known), None))

    def _told(self, text: _Text, calendar: _Calendar) -> Tell | None:
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
        self, kind: str, text: _Text, seen: str, found: re.Match[str], must_know: bool, calendar: _Calendar
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
        day = re.search(r" @+$", seen[begin:end])
        return begin + day.start() if day else max(begin - 1, 0)


def _message(text: _Text, begin: int, *, must_know: bool) -> str:
    """The words to be told, from `begin` on, without what joins them to whom they are told; "" where there are none."""
    rest = text.rest(begin)
    if must_know and not re.match(r"\s*(?:know\b|,|:|que\b|qu['’])", rest):
        return ""
    if must_know:
        rest = re.sub(r"^\s*know\b(?:\s+that\b)?", "", rest)
    if rest.lstrip()[:1] in {":", ",", "-", "–", "—"}:
        words = rest.lstrip(" :,–—-\n")
    else:
        joined = _JOINS_WORDS.match(rest)
        words = joined["words"].lstrip(" :,–—-\n") if joined else rest
    if re.match(
        r"(?:about|au sujet|when|if|why|how|who|quand|pourquoi|comment)\b(?=.{0,12}$)|(?:about|of|au sujet)\b", words
    ):
        return ""
    return _sentence(words) if any(letter.isalpha() for letter in words) else ""


# --- turns on duty ---------------------------------------------------------------------------------------------------------

_TURN = r"(?:turn|shift|duty|day|slot|tour|garde|quart)"
_TAKES = r"(?:(?:will|ll|can|gonna|m|is|s|va|vais|peux|peut|me|m|te|d) )*(?:takes?|taking|covers?|covering|replaces?|prends?|prendra|prendrai|prendre|couvre|couvrira|couvrirai|remplace|remplacerai?|remplacera)"
_CANNOT = r"(?:sorry |hey |hi |desole |salut )?(?:i |je |j )?(?:ne )?(?:can t|cant|cannot|can not|won t|wont|peux pas|peu pas|pourrai pas|suis pas la|pas dispo|suis pas dispo)(?: (?:do|make|cover|take|work|faire|prendre|assurer|couvrir|be there|be on))?(?: (?:my|mon|ma|on|le|la|the))* (?P<lost>@+)(?: (?:turn|shift|duty))?(?: ,)?(?: (?:so|and|but|et|mais|donc|alors))?"
_OBJECT_WORDS = """
s the for on of over from instead place at in my mine me mon ma moi le la l de du d a pour it ca turn shift duty day slot tour garde quart
his her son sa this ce cette
"""
_MINE = re.compile(r"\b(?:my|mine|me|mon|ma|moi|m)\b")


class _DutyOrders:
    """Reads who takes whose turn."""

    def __init__(self, knowledge: Knowledge) -> None:
        self._knowledge = knowledge
        self._zone = knowledge.club.zone
        self.names = _first_names(knowledge)
        names = "|".join(sorted(map(re.escape, self.names), key=len, reverse=True)) or "$^"
        words = frozenset(_OBJECT_WORDS.split())
        object_word = "|".join(sorted(words, key=len, reverse=True))
        self._names = re.compile(rf"\b(?:{names})(?=s?\b)")
        whole = rf"(?P<taker>{names}|i|je|j|ill|im|i ll|i m|i d)(?P<verb>(?: {_TAKES}))(?P<what>(?: (?:{object_word}|(?:{names})s?|@+))*)(?= ,|$)"
        self._takes = re.compile(rf"^{_GREETS}(?:{_CANNOT} )?{whole}")
        self._goes_to = re.compile(
            rf"^{_GREETS}(?:give )?(?P<what>(?:my|mon) @+(?: {_TURN})?)(?: (?:goes |is )?(?:to|for|with)| ,| a| pour| est a| c est)? (?P<taker>{names})$"
        )

    def read(self, text: _Text, now: datetime) -> TakeDuty | None:
        """The change of turns; None where a name is unknown or it does not show whose turn it is."""
        plain = _COURTESY_AFTER.sub("", text.plain)
        days = [one for one in _times(plain) if one.kind == "day" or one.kind == "now"]
        seen = _blanked(plain, ((one.begin, one.end) for one in days), "@")
        found = self._takes.match(seen) or self._goes_to.match(seen)
        if found is None:
            return None
        day = _Calendar(now, self._zone).event_day(plain[one.begin : one.end] for one in days if one.end <= found.end())
        taker = self.names.get(found["taker"])
        lost = found.groupdict().get("lost") is not None
        verb = found.groupdict().get("verb") or ""
        named = [self.names[one] for one in self._names.findall(found["what"])]
        mine = lost or _MINE.search(f"{verb} {found['what']}") is not None
        if len(set(named)) > 1 or (day is None and not re.search(rf"\b{_TURN}\b", found["what"])):
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


# --- questions that wait, and what is being sent ------------------------------------------------------------------------------

_CONFIRMS = re.compile(
    r"^(?:yes|y|yep|yeah|oui|ouais|ok|okay|code|confirm|confirme)?(?: ,)? ?(?P<code>\d{4})(?: (?:please|pls|svp|thanks|merci))?$"
)
_LANGUAGE = re.compile(r"^\s*(?:(?P<fr>fr|fran[cç]ais|french|en fran[cç]ais|in french)|en|english|anglais|en anglais|in english)\s*:\s*(?P<words>\S.*)$", re.IGNORECASE | re.DOTALL)  # fmt: skip
_HOLDS_SENDING = re.compile(
    r"(?:wait , )?(?:(?:hold|pause)(?: (?:all|the|that|up|off on|off))? (?:sending|send|texts|message|messages|text)|hold it|hold that|pause it|(?:don t|dont|do not) send(?: (?:it|that|them|this))?(?: yet)?"
    r"|(?:arrete[sz]?|suspen(?:ds|dez|dre)|retiens|retenez|pause|attends avec|mets? en pause) (?:l envoi|les envois|l envoi des textos)|(?:n )?envoie (?:pas|rien)(?: encore)?|pause envoi)"
)
_GOES_ON_SENDING = re.compile(
    r"(?:(?:go on|carry on|continue|keep|resume|keep on|restart)(?: with)?(?: the)? (?:sending|send)|(?:go on and )?send the rest|send it now|ok send it|continue[sz]? (?:l envoi|les envois|d envoyer|a envoyer|envoi)|(?:reprends|reprenez|reprendre|reprend|poursuis|poursuivez) (?:l envoi|les envois)|envoie le reste)"
)
_NUMBER = r"(?:(?:question )?q ?#? ?(?P<number>\d{1,6}))"
_PASSES = r"(?:pass|passe|passes|passez|passer|transfere|transferer)(?: (?:it on|this on|on|it|this|la|le|ca|the question|la question))?"
_SETTLED = re.compile(
    rf"(?:(?:all )?done|settled|sorted|fini|c est (?:regle|fait)|reglee?)(?: with| avec)?(?: {_NUMBER})?|closed {_NUMBER.replace('<number>', '<number3>')}|{_NUMBER.replace('<number>', '<number2>')} (?:is )?(?:done|settled|sorted|reglee?)"
)
_TEACHES = re.compile(rf"(?:teach|apprends|apprenez|apprendre)(?: (?:it|this|that|ca|cela|la|le))?(?: {_NUMBER})?")
_FORGETS = re.compile(r"(?:forget|unteach|oublie[sz]?|oublier) t ?#? ?(?P<number>\d{1,6})")
_SAME_DISC = re.compile(r"(?:match|same disc|meme disque) d ?(?P<one>\d+)(?: ,)?(?: and| with| et)? d ?(?P<other>\d+)")


class Orders:
    """Reads the texts of the club's own people as orders. Pure: a text and the hour in, an order out."""

    def __init__(self, knowledge: Knowledge) -> None:
        mentions = Mentions(knowledge)
        self._languages = knowledge.club.languages
        self._course = _CourseOrders(knowledge, mentions)
        self._people = _PeopleOrders(knowledge, mentions)
        self._duty = _DutyOrders(knowledge)
        names = "|".join(sorted(map(re.escape, self._duty.names), key=len, reverse=True)) or "$^"
        to = rf"(?: (?:to|a|au|for|pour) (?P<to>{names}))"
        self._passes = re.compile(
            rf"{_PASSES}(?: {_NUMBER})?{to}?|(?:give|hand|forward|donne|refile) {_NUMBER.replace('<number>', '<number2>')}{to.replace('<to>', '<to2>')}"
        )

    def read(self, text: str, now: datetime) -> Order | None:
        """The order that `text` is; None where it is none, and so an ordinary text."""
        said = _text(text)
        if not said.plain:
            return None
        # What is to be told may ask something; an order may not.
        told = self._language(text) or self._people.tell(said, now)
        if told is not None:
            return told
        if "?" in text or _ASKS.match(said.plain):
            return None
        return (
            self._short(said.plain)
            or self._duty.read(said, now)
            or self._people.call_off(said, now)
            or self._course.read(said, now)
        )

    def _language(self, text: str) -> AddLanguage | None:
        found = _LANGUAGE.match(text)
        language: Language = "fr" if found and found["fr"] else "en"
        return AddLanguage(language, _sentence(found["words"])) if found and language in self._languages else None

    def _short(self, plain: str) -> Order | None:
        """The orders that are the whole text."""
        if (found := _CONFIRMS.match(plain)) is not None:
            return Confirm(found["code"])
        greeted = re.match(_GREETS, plain)
        bare = _COURTESY_AFTER.sub("", plain[greeted.end() :] if greeted else plain)
        if _HOLDS_SENDING.fullmatch(bare) or _HOLDS_SENDING.fullmatch(plain):
            return HoldSending()
        if _GOES_ON_SENDING.fullmatch(bare) or _GOES_ON_SENDING.fullmatch(plain):
            return GoOnSending()
        return self._about_questions(bare)

    def _about_questions(self, bare: str) -> Order | None:
        if (found := self._passes.fullmatch(bare)) is not None:
            to = found["to"] or found["to2"]
            return PassOn(_number(found["number"] or found["number2"]), self._duty.names[to] if to else None)
        if (found := _SETTLED.fullmatch(bare)) is not None:
            return Done(_number(found["number"] or found["number2"] or found["number3"]))
        if (found := _TEACHES.fullmatch(bare)) is not None:
            return Teach(_number(found["number"]))
        if (found := _SAME_DISC.fullmatch(bare)) is not None:
            return Match(int(found["one"]), int(found["other"]))
        return Forget(int(found["number"])) if (found := _FORGETS.fullmatch(bare)) is not None else None


def _number(found: str | None) -> int | None:
    return int(found) if found else None


def _sentence(words: str) -> str:
    """As written, the first letter a capital."""
    words = words.strip()
    return words[:1].upper() + words[1:]
