"""What somebody of the club tells clubbot to do, English and French, in any order of words. A question or a report is no order.

Policy for "till": a day without an hour ends at 9:00 of that day; "tonight" at 18:00.
"""

import re
from datetime import date, datetime, time, timedelta

from clubbot.model.club import Knowledge
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
from clubbot.understanding.dates import aware, plain_for_dates, when
from clubbot.understanding.mentions import Mentions

_TILL_HOUR = time(9)
_CONFIRM = re.compile(
    r"^\W*(?:yes|oui|ok|okay|code)?\W*(?P<code>\d{4})\W*(?:please|pls|thanks|svp|stp|merci)?\W*$", re.IGNORECASE
)
_LANGUAGE = re.compile(
    r"^\s*(?P<which>fr|fran[cç]ais|french|en|english|anglais)\s*:\s*(?P<words>.+)$", re.IGNORECASE | re.DOTALL
)
_HOLD_SENDING = re.compile(r"^(?:hold|pause) (?:the )?sending$|^arrete l envoi$|^suspends l envoi$")
_GO_ON = re.compile(r"^(?:go on|carry on|continue|resume)(?: with)? (?:the )?sending$|^(?:continue|reprends) l envoi$")
_HOLD_PLAY = re.compile(
    r"^(?:thunder|lightning|orage|tonnerre|foudre)(?: [a-z]+){0,4}$|^(?:(?:i |we )?(?:hear|heard|saw|see) )?(?:thunder|lightning|orage|tonnerre|eclairs?|foudre)(?: again| encore| now)?$|^(?:thunder |lightning |orage |tonnerre |eclairs? )?(?:again )?(?:hold play|play on hold|everybody off|suspendre le jeu|suspends le jeu|jeu suspendu)$"
    r"|^(?:(?:i |we )?(?:hear|heard) )?(?:thunder|lightning) hold play$"
)
_REOPEN = re.compile(
    r"^(?:re ?open(?:ed)?|open)(?: the)?(?: (?P<a>course|[a-z]+ loop|hole \d+|again))*(?: again| now| back up)?$|^(?P<b>course|the course|[a-z]+ loop|hole \d+) (?:is )?(?:open again|reopened|ok again|fine again|back open|open now)$"
    r"|^(?:rouvre[sz]?|rouvrir|reouverture|reouvre)(?: (?:le |la |du |de la )?[a-z0-9 ]+)?$|^(?:parcours|boucle [a-z ]+|trou \d+) (?:est )?(?:rouverte?|de nouveau ouverte?)$"
)
_CLOSE_VERB = re.compile(
    r"^(?:please |pls )?(?:close|shut|closing|shutting|ferme[zr]?|fermer|fermeture)\b|^(?:the )?(?:course|[a-z]+ loop|hole \d+|le parcours|parcours|la boucle [a-z]+(?: [a-z]+)?|boucle [a-z]+(?: [a-z]+)?|trou \d+)(?: is| est)? (?:closed|shut|closing|close|fermee?s?)\b"
)
_PLACE_WORDS = re.compile(
    r"\b(?:the|le|la|du|de la|course|parcours|loop|boucle|hole|trou|closed?|shut|closing|shutting|close|ferm[eé]\w*|is|est|please|pls|svp)\b\s*",
    re.IGNORECASE,
)
_UNTIL = re.compile(
    r"\b(?:till?|until|jusqu ?[’']? ?(?:a|à|au|en)?|jusqu'[aà])\s+(?P<when>[^,;(.\n]+?)(?=\s+(?:for|because|due|pour|cause|since|as)\b|[,;(.]|:\s|$)",
    re.IGNORECASE,
)
_SINCE = re.compile(
    r"\b(?:from|starting|d[eè]s|[aà] partir de)\s+(?P<when>[^,;:(]+?)(?=\b(?:till?|until|to|jusqu|for|pour)\b|[,;:(]|$)",
    re.IGNORECASE,
)
_FRENCH_HOURS = re.compile(
    r"\bde\s+(?P<since>\d{1,2}\s?h\s?\d{0,2})\s+[àa]\s+(?P<until>\d{1,2}\s?h\s?\d{0,2})", re.IGNORECASE
)
_TO = re.compile(r"\bfrom\s+\S+(?:\s+\S+)?\s+to\s+(?P<when>[^,;:(]+)", re.IGNORECASE)
_FURTHER = re.compile(r"\buntil further notice\b|\bjusqu.{0,3} nouvel ordre\b", re.IGNORECASE)
_REASON_LEADS = re.compile(r"^(?:for|because of|due to|pour|cause|[aà] cause d[eu’']?|,|:|;|\(|-)\s*", re.IGNORECASE)
_CALL_OFF = re.compile(
    r"^(?:please |pls )?(?:call off|cancel|annule[zr]?)\b(?! (?:my|me|our|ma|mon|notre|all|tout)\b) *(?P<rest>.*)$|^(?P<rest2>.+) (?:is off|is cancelled|is called off|est annulee?)\b(?P<after>.*)$"
)
_TELL = re.compile(
    r"^\s*(?:tell|text|let|message|dis|dites|avise[zr]?|pr[ée]viens)\s+(?P<who>[^:]+?)(?:\s*:\s*|\s+(?:that|to|know|que|qu'|d[e']|,)\s+|\s+(?=bring\b|the\b|we\b|park\b|meet\b))(?P<words>.+)$",
    re.IGNORECASE | re.DOTALL,
)
_NEWS = re.compile(
    r"^\s*(?P<who>(?:course |event )?news|nouvelles?(?: d[ue]s?(?: la)? \w+)?)\s*:\s*(?P<words>.+)$",
    re.IGNORECASE | re.DOTALL,
)
_EVERYONE = re.compile(r"^(?:(?:a |to )?(?:everyone|everybody|all|everyone on the lists?|tout le monde|tous))$")
_HELPERS = re.compile(r"\b(?:helpers?|volunteers?|crew|committee|benevoles?|comite)\b")
_LATELY = re.compile(r"\b(?:asked|wrote|texted|ecrit|demande)\b")
_PASS = re.compile(r"^(?:pass|passe|passez)(?: on)?(?: q ?(?P<number>\d+))?(?: (?:to|a|on to) (?P<to>[a-z]+))?$")
_DONE = re.compile(
    r"^(?:done|settled|closed|regle|reglee|fini)(?: q ?(?P<number>\d+))?$|^q ?(?P<number2>\d+) (?:done|settled|regle|reglee)$"
)
_TEACH = re.compile(r"^(?:teach|apprends)(?: q ?(?P<number>\d+))?$")
_FORGET = re.compile(r"^(?:forget|oublie) t ?(?P<number>\d+)$")
_MATCH = re.compile(r"^(?:match|same disc|meme disque) d ?(?P<one>\d+)(?: and| with| et)? d ?(?P<other>\d+)$")
_TAKE = re.compile(
    r"\b(?P<taker>i|je|[a-z]+)(?: will| ll| can)? (?:takes?|take|prends?|prend|covers?)\b (?P<whose>.+)$"
)
_ASKS = re.compile(
    r"\?|^(?:is|are|can|could|should|shall|do|does|why|what|when|who|how|est ce|faut|pourquoi|quand|qui)\b",
    re.IGNORECASE,
)


class Orders:
    """Reads orders for one club."""

    def __init__(self, knowledge: Knowledge) -> None:
        self._knowledge = knowledge
        self._mentions = Mentions(knowledge)
        self._names = {plain_for_dates(person.first_name): person.id for person in knowledge.people}
        self._zone = knowledge.club.zone

    def read(self, text: str, now: datetime) -> Order | None:
        """The order that `text` is; None where it is none."""
        plain = plain_for_dates(text)
        if not plain:
            return None
        found = self._about_texts(text, plain) or self._about_questions(plain, now)
        if found is not None:
            return found
        if _ASKS.search(text.strip()) or _ASKS.search(plain):
            return None
        return self._about_people(text, plain, now) or self._about_the_course(text, plain, now)

    def _about_texts(self, text: str, plain: str) -> Order | None:
        if (code := _CONFIRM.match(text)) is not None:
            return Confirm(code["code"])
        if (said := _LANGUAGE.match(text)) is not None:
            language: Language = "fr" if said["which"].casefold().startswith("f") else "en"
            return AddLanguage(language, _sentence(said["words"]))
        if _HOLD_SENDING.match(plain):
            return HoldSending()
        return GoOnSending() if _GO_ON.match(plain) else None

    def _about_questions(self, plain: str, now: datetime) -> Order | None:
        if (found := _PASS.match(plain)) is not None:
            to = found["to"]
            if to is not None and to not in self._names:
                return None
            return PassOn(_number(found["number"]), self._names[to] if to else None)
        if (found := _DONE.match(plain)) is not None:
            return Done(_number(found["number"] or found["number2"]))
        if (found := _TEACH.match(plain)) is not None:
            return Teach(_number(found["number"]))
        if (found := _MATCH.match(plain)) is not None:
            return Match(int(found["one"]), int(found["other"]))
        if (found := _FORGET.match(plain)) is not None:
            return Forget(int(found["number"]))
        return self._duty(plain, now)

    def _duty(self, plain: str, now: datetime) -> Order | None:
        found = _TAKE.search(plain)
        if found is None:
            return None
        day = when(plain, now, self._zone)
        if day is None or not day.dated:
            return None
        taker = None if found["taker"] in {"i", "je"} else self._names.get(found["taker"])
        owners = [name for name in self._names if re.search(rf"\b{name}\b", found["whose"])]
        mine = re.search(r"\b(?:my|mon|ma|it)\b", found["whose"]) is not None
        if found["taker"] not in {"i", "je"} and taker is None:
            return None
        if not mine and not owners:
            return None
        return TakeDuty(taker, self._names[owners[0]] if owners else None, day)

    def _about_people(self, text: str, plain: str, now: datetime) -> Order | None:
        told = _TELL.match(text) or _NEWS.match(text)
        if told is not None:
            audience = self._audience(plain_for_dates(told["who"]), now)
            return Tell(audience, _sentence(told["words"])) if audience is not None else None
        return self._call_off(text, plain, now)

    def _audience(self, who: str, now: datetime) -> Audience | None:
        if _EVERYONE.match(who):
            return Audience("everyone")
        if "news" in who or who.startswith("nouvelle"):
            return Audience("list", list_id=self._mentions.mailing_list(who) or self._knowledge.lists[0].id)
        if _HELPERS.search(who):
            return Audience("helpers")
        if _LATELY.search(who):
            return Audience("lately")
        event, day = self._mentions.event(who), when(self._mentions.without_event(who), now, self._zone)
        if event is not None or (day is not None and day.dated):
            return Audience("event", event=event, when=day)
        return None

    def _call_off(self, text: str, plain: str, now: datetime) -> CallOff | None:
        found = _CALL_OFF.match(plain)
        if found is None:
            return None
        event = self._mentions.event(plain)
        day = when(self._mentions.without_event(plain), now, self._zone)
        if event is None and (day is None or not day.dated):
            return None
        reason = re.split(r"[,:(]|\bbecause of\b|\bdue to\b|\bà cause d[eu’']?", text, maxsplit=1)
        return CallOff(event, day, reason[1].strip(" ).") if len(reason) > 1 else "")

    def _about_the_course(self, text: str, plain: str, now: datetime) -> Order | None:
        if _HOLD_PLAY.match(plain):
            return HoldPlay()
        if _REOPEN.match(plain):
            return Reopen(self._what(plain))
        if _CLOSE_VERB.match(plain):
            return self._close(text, plain, now)
        return self._note(text, plain)

    def _what(self, plain: str) -> str | None:
        named = self._mentions.place(plain)
        return named if named != "course" or re.search(r"\b(?:course|parcours|terrain)\b", plain) else None

    def _close(self, text: str, plain: str, now: datetime) -> Close:
        text = _FRENCH_HOURS.sub(r"à partir de \g<since>, jusqu'à \g<until>", text)
        until = _UNTIL.search(text) or _TO.search(text)
        since = _SINCE.search(text)
        rest = _FURTHER.sub(" ", text)
        for found in (until, since):
            rest = rest.replace(found.group(), " , ") if found is not None else rest
        # "Ice on the boardwalks" names a part as well, but as the reason.
        head = re.split(r"[,;:(]", rest, maxsplit=1)[0]
        day = when(plain_for_dates(head), now, self._zone)
        base = day.first if day is not None and day.dated else None
        begins = self._moment(since["when"], base, now) if since is not None else None
        ends = None
        if until is not None and not _FURTHER.search(text):
            ends = self._moment(until["when"], base, now)
        if base is not None and begins is None and base > now.astimezone(self._zone).date():
            begins = aware(base, time(0), self._zone)
            ends = ends or aware(base + timedelta(days=1), time(0), self._zone)
        starts = begins or now
        if ends is not None and until is not None and ends <= starts and not self._names_a_day(until["when"], now):
            ends = ends + timedelta(days=1)  # "till 6am", said at ten in the evening
        return Close(self._mentions.place(plain_for_dates(head)), begins, ends, self._reason(rest))

    def _names_a_day(self, words: str, now: datetime) -> bool:
        found = when(plain_for_dates(words), now, self._zone)
        return found is not None and found.dated

    def _moment(self, words: str, base: date | None, now: datetime) -> datetime | None:
        """The instant that words such as "sat 9am" or "6" mean, on the day `base` where they name none."""
        plain = plain_for_dates(words)
        found = when(plain, now, self._zone) or when(f"at {plain}", now, self._zone)
        if found is None:
            return None
        if found.at is None:
            return aware(found.first, _TILL_HOUR, self._zone)
        if base is not None and not found.dated:
            return aware(base, found.at.astimezone(self._zone).time(), self._zone)
        return found.at

    def _reason(self, rest: str) -> str:
        head, *tail = re.split(r"(?<=[,:;(])", rest, maxsplit=1)
        for loop in self._knowledge.course.loops:
            for name in (loop.name.en, loop.name.fr, *loop.also_called):
                head = re.sub(rf"\b{re.escape(name)}\b", " ", head, flags=re.IGNORECASE)
        rest = head + "".join(tail)
        rest = re.sub(r"\b(?:hole|trou)\s*\d+\b", " ", rest, flags=re.IGNORECASE)
        pieces = [piece.strip() for piece in re.split(r"[,:;()]", rest)]
        left = [
            _REASON_LEADS.sub("", (_PLACE_WORDS.sub("", piece) if not place else piece).strip()).strip(" .!-")
            for place, piece in enumerate(pieces)
        ]
        return ", ".join(piece for piece in left if len(piece) > 1)

    def _note(self, text: str, plain: str) -> NoteOn | None:
        said = re.match(r"^\s*note\s*:\s*(?P<words>.+)$", text, re.IGNORECASE | re.DOTALL)
        if said is not None:
            return NoteOn(self._mentions.place(plain), said["words"].strip())
        found = re.match(
            r"^\s*(?:hole|trou)\s*\d+\s*(?:has|is|:|a|est|-)\s+(?P<words>.+)$", text, re.IGNORECASE | re.DOTALL
        )
        if found is None or re.match(r"(?:open|ok|closed|fine|shut|ouvert|ferm)", found["words"], re.IGNORECASE):
            return None
        return NoteOn(self._mentions.place(plain), found["words"].strip(" ."))


def _number(found: str | None) -> int | None:
    return int(found) if found else None


def _sentence(words: str) -> str:
    words = words.strip()
    return words[:1].upper() + words[1:]
