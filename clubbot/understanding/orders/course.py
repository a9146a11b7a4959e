"""Orders about the course: close, reopen, hold play, note."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from clubbot.model.club import Knowledge
from clubbot.model.orders import Close, HoldPlay, NoteOn, Order, Reopen
from clubbot.texting import patterns
from clubbot.understanding.dates import plain_for_dates
from clubbot.understanding.days import Days
from clubbot.understanding.mentions import Mentions
from clubbot.understanding.orders.ground import COURSE, Ground
from clubbot.understanding.orders.marked import MarkedText, any_of, marked
from clubbot.understanding.orders.periods import Calendar, TimeWords, blanked, times_in
from clubbot.understanding.orders.phrases import (
    ALSO_TELLS,
    ENDS_REASON,
    GREETS,
    LEADS_REASON,
    ONLY_LEADS,
    REPLIES,
    REPORTS,
    START,
    TELLS_ALL,
    UNDOES,
    WHY,
    WHY_LED,
)

_CLOSES = r"(?:(?:we re |we are |i m |im |let s |lets )?(?:closing|shutting)|(?:let s |lets |on |je |go ahead and )?(?:close|shut|fermons|ferme[rz]?)|fermeture)(?: (?:down|off|up))?"
_CLOSED = r"(?:closed(?: down| off)?|shut(?: down)?|fermee?s?)"
_IS = r"(?:(?:is|s|are|will be|now|still|all|est|sont|sera|toujours|maintenant) ){0,9}"
_REOPENS = r"(?:(?:we re |we are |i m |on )?(?:re ?opening|reopen|re open|rouvr(?:e|ez|es|ir|ons)|reouvr(?:e|ez|es|ir|ons)|reouverture))"
_OPENS = r"(?:open(?: up)?|ouvre[szr]?|ouvrir)"
_AGAIN = r"(?:again|back|now|a nouveau|de nouveau|encore|maintenant)"
_FINE = r"(?:open|ok|okay|fine|good|good to go|clear|playable|safe|dry|ouverte?s?|beau|correcte?|praticables?|sure?s?)"
_MENDED = r"(?:reopened|re opened|rouverte?s?|reouverte?s?)"
_THE_SAME = r"(?:it|that|(?:the|that|la|le|cette|ce) (?:hole|loop|trou|boucle))"
_EVERYTHING = r"(?:everything|it all|all of it|it|tout|ca)"


@dataclass(frozen=True, slots=True)
class _Core:
    """The words of an order themselves, without times and reason; `place` as plain words, None where none stands there."""

    begin: int
    end: int
    place: str | None
    status: bool


class CourseOrders:
    """Reads orders to the course: close, reopen, hold play, a note."""

    def __init__(self, knowledge: Knowledge, mentions: Mentions, days: Days) -> None:
        self._days = days
        self._ground = ground = Ground(knowledge, mentions)
        self._places = patterns.compile(rf"\b{ground.named}|,")
        self._zone = knowledge.club.zone
        place = ground.named
        lead = rf"{START}{WHY_LED}"
        self._closing = (
            (patterns.compile(rf"{lead}(?P<core>{_CLOSES} (?P<place>{place}))(?= |$)"), False),
            (patterns.compile(rf"{lead}(?P<core>(?:{_CLOSES}|{_CLOSED}) @+(?: ,)? (?P<place>{place}))(?= ,| @|$)"), False),
            (patterns.compile(rf"{lead}(?P<core>{_CLOSES}(?: {_EVERYTHING})?)(?= @| ,| (?:because|due|a cause|pour)\b)"), False),
            (patterns.compile(rf"{START}(?P<core>{_CLOSES} (?:{_EVERYTHING}|{_THE_SAME}))(?= again| @| ,|$)"), False),
            (patterns.compile(rf"{lead}(?P<core>(?P<place>{place})(?: ,)?(?: @+)? {_IS}(?:{_CLOSED}|closing(?= @)))(?= |$)"), True),
            (patterns.compile(rf"{lead}(?P<core>(?P<place>{place})(?: ,)? (?:close|to close|closing))(?= @|$)"), True),
            (patterns.compile(rf"{lead}(?P<core>{_CLOSED}(?: @+)?(?: ,)? (?P<place>{place}))(?= |$)"), True),
        )  # fmt: skip
        self._opening = (
            (patterns.compile(rf"{START}(?P<core>{_REOPENS} (?P<place>{place}))(?= |$)"), False),
            (patterns.compile(rf"{START}(?P<core>{_REOPENS}(?: {_EVERYTHING})?)(?= ,|$| {_AGAIN}| (?:because|as)\b)"), False),
            (patterns.compile(rf"{START}(?P<core>{_OPENS} (?:(?P<place>{place})|{_EVERYTHING})(?: up)?(?: {_AGAIN})?)(?= ,|$)"), False),
            (patterns.compile(rf"{START}(?P<core>(?:{_OPENS}) {_AGAIN}(?: (?P<place>{place}))?)(?= ,|$)"), False),
            (patterns.compile(rf"{START}(?P<core>(?:(?P<place>{place})|{_EVERYTHING})(?: ,)? {_IS}(?:{_FINE} (?:up )?{_AGAIN}|{_AGAIN} {_FINE}|back up|{_MENDED}))(?= ,|$)"), True),
            (patterns.compile(rf"^{GREETS}(?P<core>(?P<place>{place}) {_IS}(?:open|ouverte?|fixed|repaired|cleared|reparee?|degagee?)(?: now| maintenant)?)$"), True),
            (patterns.compile(rf"^{GREETS}(?P<core>{_AGAIN} {_FINE} (?P<place>{place})|{_FINE} {_AGAIN})$"), True),
        )  # fmt: skip
        self._notes = (
            patterns.compile(rf"^{GREETS}(?P<place>{ground.part})(?: ,)? (?:has|have|has got|got|now has|a|ont)(?= )"),
            patterns.compile(rf"^{GREETS}(?P<place>{ground.part})(?P<mark> ,)"),
            patterns.compile(rf"^{GREETS}(?P<place>{ground.part})(?: (?:is|s|are|est|sont))?(?= )"),
        )
        self._nothing_at = patterns.compile(
            rf"^{GREETS}(?:no|temporary|temp|pas de|pas d|plus de|plus d|(?:panier|depart) temporaire)(?: \w+){{0,3}} (?:(?:at|on|by|near|for|au|a|sur|pres du) )?(?P<place>{ground.part})$"
        )

    def read(self, text: MarkedText, now: datetime) -> Order | None:
        """The order, None where the text is none."""
        if _HOLDS_PLAY.search(text.plain):
            return None if _DONT.search(text.plain) else HoldPlay()
        opening, closing = self._reopen(text), self._close(text, now)
        if opening is not None and closing is not None:
            return None
        if opening is not None or closing is not None:
            return opening or closing
        if _hears_thunder(text.plain, self._places) or (_ALL_OFF.search(text.plain) and not _DONT.search(text.plain)):
            return HoldPlay()
        return self._note(text)

    def _close(self, text: MarkedText, now: datetime) -> Close | None:
        times = times_in(text.plain)
        seen = blanked(text.plain, ((one.begin, one.end) for one in times), "@")
        core = self._core(seen, text.plain, self._closing)
        if core is None or self._ground.goes_on(seen, core.end) or _AT_AN_HOUR.match(text.plain, core.end):
            return None
        if not core.place and not _WHY_OR_WHEN.search(seen):
            return None
        taken = _belonging(times, core, text.plain)
        period = Calendar(now, self._zone, self._days).period(taken)
        what = self._ground.id(core.place) if core.place else self._ground.elsewhere(text.plain)
        if what == COURSE and _ONE_PART.search(text.plain[core.begin : core.end]):
            return None
        reason = words_left(text, [(core.begin, core.end), *((one.begin, one.end) for one in taken)])
        if period is None or what is None or reason is None:
            return None
        return Close(what, period.since, period.until, reason)

    def _reopen(self, text: MarkedText) -> Reopen | None:
        times = [one for one in times_in(text.plain) if one.kind != "now"]
        seen = blanked(text.plain, ((one.begin, one.end) for one in times), "@")
        core = self._core(seen, text.plain, self._opening)
        # Opening at a later hour is a closure that ends then: it is not guessed at.
        if core is None or self._ground.goes_on(seen, core.end) or "@" in seen:
            return None
        if core.place is None:
            everything = patterns.search(r"\b(?:everything|tout|all)\b", text.plain[core.begin : core.end]) is not None
            named = self._ground.elsewhere(text.plain)
            return Reopen(None if everything or named == COURSE else named)
        what = self._ground.id(core.place)
        return Reopen(what) if what is not None else None

    def _core(self, seen: str, plain: str, tried: Sequence[tuple[patterns.Pattern, bool]]) -> _Core | None:
        """The first form that fits, where nothing in the text makes it a report, a reply or a doubt."""
        if REPORTS.search(plain):
            return None
        for pattern, status in tried:
            found = pattern.search(seen)
            if found is None or UNDOES.search(plain[: found.start("core")]):
                continue
            if status and REPLIES.search(plain):
                continue
            named = found.groupdict().get("place")
            return _Core(found.start("core"), found.end("core"), named, status)
        return None

    def _note(self, text: MarkedText) -> NoteOn | None:
        said = _SAYS_NOTE.match(text.written)
        if said is not None:
            words = said["words"].strip()
            what = self._ground.elsewhere(marked(words).plain)
            return NoteOn(what, words) if what is not None else None
        if REPORTS.search(text.plain) or REPLIES.search(text.plain) or _NO_NOTE.search(text.plain):
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


_AT_AN_HOUR = patterns.compile(
    r" (?:(?:at|a) \d{1,2}(?: |h|:|$)|at night|la nuit|le soir)"
)  # "le parcours ferme à 20h" tells the usual hours
_ONE_PART = patterns.compile(r"\b(?:the|that|la|le|cette|ce) (?:hole|loop|trou|boucle)$")  # which is not said anywhere
_WHY_OR_WHEN = patterns.compile(rf"@|\b{WHY}\b|\b(?:it|everything|tout|ca) again\b")
_SAYS_NOTE = patterns.compile(
    r"^\s*(?:please\s+)?(?:note|nota|à noter|a noter|remarque)(?:\s*:|\s+[–-])\s*(?P<words>\S.*)$",
    patterns.IGNORECASE | patterns.DOTALL,
)
# What somebody says of a hole without noting anything: how it plays, who was hurt, whose disc is there.
_NO_NOTE = patterns.compile(
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
_STATE = patterns.compile(rf"\b(?:{any_of(_STATES)})\b")

_HEARS = r"(?:(?:i |we |on |j )?(?:hear|heard|saw|see|entends?|entendu)? ?(?:thunder|lightning|orage|tonnerre|eclairs?)(?: again| encore| now)? )?"
_HOLDS_PLAY = patterns.compile(
    rf"{START}{_HEARS}(?:hold (?:all )?play|play (?:is )?on hold|pause play|suspend (?:all )?play|stop play|suspen(?:ds|dre|dez|dons) le jeu|arrete[rz]? le jeu|jeu suspendu|le jeu est suspendu)\b"
)
_ALL_OFF = patterns.compile(
    rf"{START}{_HEARS}(?:(?:every ?one|every ?body|all) off(?: the course)?|tout le monde (?:dehors|hors du (?:parcours|terrain)))\b"
)
_DONT = patterns.compile(r"\b(?:don t|dont|do not|no need|if|should|pas|si|faut il)\b|\bwhen\b|\bwho\b")
_THUNDER = patterns.compile(r"\b(?:thunder\w*|lightning|orages?|tonnerres?|eclairs?|foudre|il tonne|ca tonne)\b")
_BESIDE_THUNDER = """
thunder thundering thunderstorm lightning orage orages tonnerre tonnerres eclair eclairs foudre tonne i we hear heard hearing see saw seen
just again now here close near nearby coming in it s is there big loud more another first second bang please pls everyone everybody off get
people and et ok hey hi j je on entends entend entendu vois vu du de le la les un une des il y a ca c l est encore ici proche pres maintenant
attention gros grosse approche arrive vient au sur parcours course club clubhouse over the at storm tempete strike strikes flash rumbling
"""
_MOST_THUNDER_WORDS = 9


def _hears_thunder(plain: str, places: patterns.Pattern) -> bool:
    """Whether the text is hardly more than the word: "thunder!!", "big thunder over hole 7", not "thunder bay", "no thunder"."""
    words = places.sub(" ", plain).split()
    beside = frozenset(_BESIDE_THUNDER.split())
    return (
        _THUNDER.search(plain) is not None
        and len(words) <= _MOST_THUNDER_WORDS
        and all(word in beside for word in words)
        and words[0] not in {"is", "over"}
        and patterns.search(r"\bover(?! the\b| hole\b)|\bthe thunder is over\b", plain) is None
    )


def _belonging(times: Sequence[TimeWords], core: _Core, plain: str) -> list[TimeWords]:
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


def words_left(text: MarkedText, spans: Sequence[tuple[int, int]]) -> str | None:
    """The words that are left, as written; None where they tell clubbot to do something else as well."""
    pieces: list[str] = []
    begin = 0
    for start, end in [*sorted(spans), (len(text.plain), len(text.plain))]:
        if begin < start and (piece := _left(text, begin, start)) is not None:
            pieces.append(piece)
        begin = max(begin, end)
    reason = ", ".join(piece for piece in pieces if piece)
    if ALSO_TELLS.search(plain_for_dates(reason)):
        kept = TELLS_ALL.sub("", plain_for_dates(reason))
        return None if ALSO_TELLS.search(kept) else reason[: _written_length(reason, kept)].rstrip(" ,")
    return reason


def _written_length(reason: str, kept: str) -> int:
    """How much of the written reason the first words of its plain form are."""
    if not kept.strip():
        return 0
    text = marked(reason)
    words = len(kept.split())
    ends = [found.end() for found in patterns.finditer(r"[a-z0-9:#]+", text.plain)]
    return text.at[ends[words - 1] - 1] + 1


def _left(text: MarkedText, begin: int, end: int) -> str | None:
    """One stretch of what is left, without the words that only lead to it."""
    plain = text.plain
    while begin < end and plain[begin] in " ,":
        begin += 1
    while begin < end and plain[end - 1] in " ,":
        end -= 1
    piece = plain[begin:end]
    if ONLY_LEADS.fullmatch(piece):
        return None
    lead = LEADS_REASON.match(piece)
    begin += lead.end() if lead else 0
    tail = ENDS_REASON.search(plain[begin:end])
    end = begin + tail.start() if tail else end
    greeted = patterns.match(rf"{GREETS}(?:, )?", plain[begin:end])
    begin += greeted.end() if greeted else 0
    return text.words(begin, end) or None
