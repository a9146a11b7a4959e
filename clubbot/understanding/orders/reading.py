"""What somebody of the club tells clubbot to do, English and French, in any order of words. A question, a report, a wish or a
reply to an asker is no order: an order is said in the imperative ("close hole 7") or as a bare status ("hole 7 shut").

Policy for "till": a day without an hour ends at 9:00 of that day, "tonight" at 18:00; an hour that is over is the next one.
Policy for the rest of a closure: "from" a day without an hour begins with that day. A day alone ("closed saturday") is closed
from its beginning to its end, "this morning" till noon. "till dark" and the like name no hour: they stay in the reason, and
the closure has no end. Two parts of the course in one text ("marsh and hill closed") are no order, since only one could be obeyed.
"""

from datetime import datetime

from clubbot.model.club import Knowledge
from clubbot.model.messages import Language
from clubbot.model.orders import (
    AddLanguage,
    Confirm,
    Done,
    Forget,
    GoOnSending,
    HoldSending,
    ListQuestions,
    Match,
    Order,
    PassOn,
    Teach,
)
from clubbot.texting import patterns
from clubbot.texting.keywords import bare
from clubbot.understanding.days import Days
from clubbot.understanding.mentions import Mentions
from clubbot.understanding.orders.course import CourseOrders
from clubbot.understanding.orders.duty import DutyOrders
from clubbot.understanding.orders.likeness import Likeness
from clubbot.understanding.orders.marked import marked, sentence
from clubbot.understanding.orders.people import PeopleOrders
from clubbot.understanding.orders.phrases import ASKS, COURTESY_AFTER, GREETS

# Letters of an order that is not itself a text to many: who writes more tells a story.
_LONGEST = 400
# A code by itself, as it is shown or in groups; behind a yes, or a STOP, any number is meant for one.
_CONFIRMS = patterns.compile(
    r"^(?:(?:yes|y|yep|yeah|oui|ouais|ok|okay|code|confirm|confirme|stop|arret)(?: ,)? ?(?P<said>\d{4,9}|\d{4} \d{4}|\d{2} \d{2} \d{2} \d{2}|\d{3} \d{3} \d{2})"
    r"|(?P<alone>\d{8}|\d{4} \d{4}))(?: (?:please|pls|svp|thanks|merci))?$"
)
_CODE_DIGITS = 8
_LANGUAGE = patterns.compile(r"^\s*(?:(?P<fr>fr|fran[cç]ais|french|en fran[cç]ais|in french)|en|english|anglais|en anglais|in english)\s*:\s*(?P<words>\S.*)$", patterns.IGNORECASE | patterns.DOTALL)  # fmt: skip
_HOLDS_SENDING = patterns.compile(
    r"(?:wait , )?(?:(?:hold|pause)(?: (?:all|the|that|up|off on|off))? (?:sending|send|texts|message|messages|text)|hold it|hold that|pause it|(?:don t|dont|do not) send(?: (?:it|that|them|this))?(?: yet)?"
    r"|(?:arrete[sz]?|suspen(?:ds|dez|dre)|retiens|retenez|pause|attends avec|mets? en pause) (?:l envoi|les envois|l envoi des textos)|(?:n )?envoie (?:pas|rien)(?: encore)?|pause envoi)"
)
_GOES_ON_SENDING = patterns.compile(
    r"(?:(?:go on|carry on|continue|keep|resume|keep on|restart)(?: with)?(?: the)? (?:sending|send)|(?:go on and )?send the rest|send it now|ok send it|continue[sz]? (?:l envoi|les envois|d envoyer|a envoyer|envoi)|(?:reprends|reprenez|reprendre|reprend|poursuis|poursuivez) (?:l envoi|les envois)|envoie le reste)"
)
_NUMBER = r"(?:(?:question )?q ?#? ?(?P<number>\d{1,6}))"
_PASSES = r"(?:pass|passe|passes|passez|passer|transfere|transferer)(?: (?:it on|this on|on|it|this|la|le|ca|the question|la question))?"
_SETTLED = patterns.compile(
    rf"(?:(?:all )?done|settled|sorted|fini|c est (?:regle|fait)|reglee?)(?: with| avec)?(?: {_NUMBER})?|closed {_NUMBER.replace('<number>', '<number3>')}|{_NUMBER.replace('<number>', '<number2>')} (?:is )?(?:done|settled|sorted|reglee?)"
)
_TEACHES = patterns.compile(
    rf"(?:teach|apprends|apprenez|apprendre)(?: (?:it|this|that|ca|cela|la|le))?(?: {_NUMBER})?"
)
_FORGETS = patterns.compile(r"(?:forget|unteach|oublie[sz]?|oublier) t ?#? ?(?P<number>\d{1,6})")
_SAME_DISC = patterns.compile(
    r"(?:match|same disc|meme disque) d ?(?P<one>\d+)(?: ,)?(?: and| with| et)? d ?(?P<other>\d+)"
)
# "list", "open questions 2", "liste des questions".
_LISTS = patterns.compile(
    r"(?:(?:list|show|read)(?: (?:me|all|the|open|waiting|kept|of|my))* questions|list|(?:the |all |open |waiting |kept )*questions(?: (?:waiting|left|open))?"
    r"|(?:which|what) questions (?:are )?(?:open|waiting|left)|(?:la )?liste(?: des questions)?|(?:les |toutes les )?questions(?: (?:en attente|ouvertes|qui attendent))?"
    r"|(?:montre|montrez|donne|donnez)(?: moi)?(?: la liste des| les) questions|quelles questions (?:attendent|sont ouvertes))(?: (?:page )?(?P<page>\d{1,3}))?"
)


class Orders:
    """Reads the texts of the club's own people as orders. Pure: a text and the hour in, an order out."""

    def __init__(self, knowledge: Knowledge, days: Days) -> None:
        mentions = Mentions(knowledge)
        self._languages = knowledge.club.languages
        self._course = CourseOrders(knowledge, mentions, days)
        self._people = PeopleOrders(knowledge, mentions, days)
        self._duty = DutyOrders(knowledge, days)
        self._likeness = Likeness(knowledge)
        names = "|".join(sorted(map(patterns.escape, self._duty.names), key=len, reverse=True)) or "$^"
        to = rf"(?: (?:to|a|au|for|pour) (?P<to>{names}))"
        self._passes = patterns.compile(
            rf"{_PASSES}(?: {_NUMBER})?{to}?|(?:give|hand|forward|donne|refile) {_NUMBER.replace('<number>', '<number2>')}{to.replace('<to>', '<to2>')}"
        )

    def read(self, text: str, now: datetime) -> Order | None:
        """The order that `text` is; None where it is none, and so an ordinary text."""
        said = marked(text)
        if not said.plain:
            return None
        # What is to be told may ask something; an order may not.
        told = self._language(text) or self._people.tell(said, now)
        if told is not None:
            return told
        if "?" in text or len(text) > _LONGEST or ASKS.match(said.plain):
            return None
        return (
            self._short(said.plain)
            or self._duty.read(said, now)
            or self._people.call_off(said, now)
            or self._course.read(said, now)
            or _code_within(text)
        )

    def like_an_order(self, text: str) -> bool:
        """Whether a text that is no order looks like one."""
        return self._likeness.like_an_order(text)

    def _language(self, text: str) -> AddLanguage | None:
        found = _LANGUAGE.match(text)
        language: Language = "fr" if found and found["fr"] else "en"
        return AddLanguage(language, sentence(found["words"])) if found and language in self._languages else None

    def _short(self, plain: str) -> Order | None:
        """The orders that are the whole text."""
        if (found := _CONFIRMS.match(plain)) is not None:
            return Confirm((found["said"] or found["alone"]).replace(" ", ""))
        greeted = patterns.match(GREETS, plain)
        bare = COURTESY_AFTER.sub("", plain[greeted.end() :] if greeted else plain)
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
        if (found := _LISTS.fullmatch(bare)) is not None:
            return ListQuestions(max(1, _number(found["page"]) or 1))
        return Forget(int(found["number"])) if (found := _FORGETS.fullmatch(bare)) is not None else None


def _code_within(text: str) -> Confirm | None:
    """The one code in a longer text: "sorry was driving. yes 48217730". Digits of a phone number are none."""
    words = bare(text).split()
    runs: list[list[str]] = []
    for before, word in zip(["", *words], words, strict=False):
        if not word.isdigit():
            continue
        if before.isdigit():
            runs[-1].append(word)
        else:
            runs.append([word])
    codes = ["".join(run) for run in runs if len("".join(run)) == _CODE_DIGITS and len(run) <= 2]
    return Confirm(codes[0], alone=False) if len(codes) == 1 else None


def _number(found: str | None) -> int | None:
    return int(found) if found else None
