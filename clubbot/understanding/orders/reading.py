"""What somebody of the club tells clubbot to do, English and French, in any order of words. A question, a report, a wish or a
reply to an asker is no order: an order is said in the imperative ("close hole 7") or as a bare status ("hole 7 shut"). What makes an order
certain stands in the rules (rules/*/orders_*.toml); here its values are made from the words that the rules found.

Policy for "till": a day without an hour ends at 9:00 of that day, "tonight" at 18:00; an hour that is over is the next one.
Policy for the rest of a closure: "from" a day without an hour begins with that day. A day alone ("closed saturday") is closed
from its beginning to its end, two days from the beginning of the first to the end of the second, "this morning" till noon. "till dark" and
the like name no hour: they stay in the reason, and the closure has no end. An hour said with a reopening is not guessed at. What a text tells
to do besides stays on the order as `unused`.
"""

from collections.abc import Iterator
from datetime import datetime
from typing import Literal

from clubbot.model.amending import Amend
from clubbot.model.club import Knowledge
from clubbot.model.messages import LANGUAGES
from clubbot.model.orders import AddLanguage, Order, Unclear
from clubbot.understanding.days import Days
from clubbot.understanding.mentions import Mentions
from clubbot.understanding.noticing import Noticed, Noticing
from clubbot.understanding.orders.amending import Amending
from clubbot.understanding.orders.claims import Claim, claimed
from clubbot.understanding.orders.club_people import ClubPeopleOrders
from clubbot.understanding.orders.course import CourseOrders
from clubbot.understanding.orders.dropping import ToADraft, said_to_a_draft
from clubbot.understanding.orders.duty import DutyOrders
from clubbot.understanding.orders.heard import Heard, Vocabulary, sentence
from clubbot.understanding.orders.likeness import Likeness
from clubbot.understanding.orders.named import NamedOrders
from clubbot.understanding.orders.occasions import OccasionOrders
from clubbot.understanding.orders.people import PeopleOrders
from clubbot.understanding.orders.questions import code, code_within, short_order
from clubbot.understanding.orders.reports import report_order
from clubbot.understanding.orders.roster import roster_order
from clubbot.understanding.orders.seeing import SeeingOrders, beyond
from clubbot.understanding.plain import words_of
from clubbot.understanding.rules import Match
from clubbot.understanding.splitting import more_than_anybody_types

# Letters of an order that is not itself a text to many: who writes more tells a story.
_LONGEST = 400


class Orders:
    """Reads the texts of the club's own people as orders. Pure: a text and the hour in, an order out."""

    def __init__(self, knowledge: Knowledge, mentions: Mentions, days: Days, noticing: Noticing) -> None:
        """PhraseFault where a group of words that orders are read with is missing."""
        self.notice = noticing.with_orders
        self._only_words = noticing.notice
        self._languages = knowledge.club.languages
        self._words = {language: Vocabulary(noticing.groups[language]) for language in LANGUAGES}
        news = frozenset(row for words in self._words.values() for row in words.rows("order_news"))
        self._course = CourseOrders(knowledge, days)
        self._people = PeopleOrders(knowledge, mentions, days, news)
        self._duty = DutyOrders(knowledge, days)
        self._club_people = ClubPeopleOrders(knowledge, days)
        self._named = NamedOrders(knowledge, days, self._people.event, self._people.days)
        self._occasions = OccasionOrders(knowledge, days, self._people.event, self._people.days)
        self._seeing = SeeingOrders(knowledge, days)
        self._likeness = Likeness(knowledge)
        self._amending = Amending(knowledge, days)
        self._latest: tuple[str, datetime, Order | None] | None = None

    def read(self, text: str, now: datetime) -> Order | None:
        """The order that `text` is; None where it is none, and so an ordinary text. The same asked again at once is read once."""
        if self._latest is None or self._latest[:2] != (text, now):
            self._latest = (text, now, self._read(text, now))
        return self._latest[2]

    def of_a_stranger(self, text: str) -> Literal["a code", "a command"] | None:
        """What a phone without a role tries that only the club's people may: a code with a yes, or a plain command."""
        noticed = self._only_words(text)
        for one in self._all_heard(noticed):
            found = code(one)
            if found is not None and any(not word.form.isdigit() for word in one.words):
                return "a code"
        return "a command" if noticed.says("stranger orders") and "?" not in text else None

    def claimed(self, text: str) -> Claim | None:
        """Whom a phone without a role says to be, where a text says so."""
        return next((one for heard in self._all_heard(self.notice(text)) if (one := claimed(heard)) is not None), None)

    def to_a_draft(self, text: str) -> ToADraft:
        """What a text says to an order that waits for its code."""
        return said_to_a_draft(self._all_heard(self._only_words(text)))

    def amendment(self, text: str, now: datetime, begins: datetime | None) -> Amend | None:
        """What a text would have otherwise of an order that waits for its code, which begins at `begins`."""
        if len(text) > _LONGEST:
            return None
        found = (self._amending.read(one, now, begins) for one in self._all_heard(self.notice(text)))
        return next((one for one in found if one is not None), None)

    def all_days(self, text: str) -> bool:
        """Whether all the days that were named are meant."""
        heard = self._all_heard(self._only_words(text))
        return any(one.has("order_all_days") or one.has("order_and_day", 1) for one in heard)

    def which_day(self, text: str) -> int | None:
        """Which of two days is meant where a text counts them: "just the second day"."""
        heard = self._all_heard(self._only_words(text))
        named = [
            place
            for place, group in enumerate(("order_day_one", "order_day_two"))
            if any(one.has(group) for one in heard)
        ]
        return named[0] if len(named) == 1 else None

    def like_an_order(self, text: str) -> bool:
        """Whether a text that is no order looks like one."""
        return any(self._likeness.like_an_order(one) for one in self._all_heard(self._only_words(text)))

    def plainly_an_order(self, text: str) -> bool:
        """Whether a text that could not be read as an order is plainly one, and not a question, a reply, or about the writer's own place."""
        heard = self._all_heard(self.notice(text))
        if "?" in text or len(text) > _LONGEST or any(map(_asks, heard)):
            return False
        return any(self._likeness.plainly_one(one) and not one.has("order_own") for one in heard)

    def tells_of_thunder(self, text: str) -> bool:
        """Whether a text, whoever texts it, tells of thunder now: in a clause that asks nothing, though the next one may."""
        return any(_told(match, one) for one in self._all_heard(self.notice(text)) for match in one.all("thunder"))

    def says(self, text: str, what: str) -> bool:
        """Whether a rule says "order WHAT"."""
        return any(one.first(what) is not None for one in self._all_heard(self.notice(text)))

    def of_own_texts(self, text: str) -> bool:
        """Whether a wish for no more texts is about the writer's own phone: it says so, or says nothing else."""
        noticed = self.notice(text)
        heard = self._all_heard(noticed)
        if any(one.has("order_own_texts") for one in heard):
            return True
        wish = noticed.first("stop")
        if wish is None or any(one.has("order_others_texts") for one in heard):
            return wish is None
        said = next(one for one in heard if one.language == wish.language)
        spans = said.free([(wish.first, wish.end)])
        left = [said.without(*one, ("order_lead",), "order_courtesy_after") for one in spans]
        return all(first == end for first, end in left)

    def _read(self, text: str, now: datetime) -> Order | None:
        if more_than_anybody_types(text):
            return None
        noticed = self.notice(text)
        heard = self._all_heard(noticed)
        # What is to be told may ask something; an order may not.
        told = self._language(text) or _first(self._people.tell(one, now) for one in heard)
        if told is not None:
            return told
        one_told = _first(self._named.tell_one(one, marked=True) for one in heard)
        if one_told is not None:
            return one_told
        if len(text) > _LONGEST:
            return None
        seen = _first(self._seeing.read(one, now) for one in heard) or _first(
            iter([self._people.counted(one) for one in heard])
        )
        if seen is not None:
            return seen
        cry = _first(self._course.cry(one) for one in heard)
        if cry is not None and not any(self._people.call_off(one, now) for one in heard):
            return cry
        given = _first(code(one) for one in heard)
        if given is not None:
            return Unclear("otherwise", text) if "?" in text else given
        asked = _first(self._club_people.asked_to_take(one, now) for one in heard)
        if asked is not None:
            return asked
        heard = [one for one in heard if not _asks(one)]
        if len(heard) < len(LANGUAGES) or ("?" in text and not any(map(_asks_us, heard))):
            return None
        return (
            _first(iter([report_order(one) for one in heard]))
            or _first(short_order(one, self._duty.names) for one in heard)
            or _first(self._duty.read(one, now) for one in heard)
            or _first(iter([roster_order(one, self._duty.names) for one in heard]))
            or _first(self._club_people.read(one, now) for one in heard)
            or _first(self._occasions.added(one, now) for one in heard)
            or _first(self._named.read(one, now) for one in heard)
            or _first(beyond(one) for one in heard)
            or _first(self._named.tell_one(one, marked=False) for one in heard)
            or _first(self._people.untold(one) for one in heard)
            or _first(self._occasions.read(one, now) for one in heard)
            or _first(self._people.call_off(one, now) for one in heard)
            or _first(self._course.read(one, now) for one in heard)
            or _first(code_within(one) for one in heard)
        )

    def _all_heard(self, noticed: Noticed) -> list[Heard]:
        return [
            Heard(noticed, language, words, self._words[language])
            for language in LANGUAGES
            if (words := noticed.text.words(language))
        ]

    def _language(self, text: str) -> AddLanguage | None:
        head, mark, words = text.partition(":")
        said = " ".join(words_of(head))
        for language in self._languages:
            if mark and words.strip() and said in self._words[language].rows("order_language"):
                return AddLanguage(language, sentence(words))
        return None


def _first(orders: Iterator[Order | None]) -> Order | None:
    return next((order for order in orders if order is not None), None)


def _told(thunder: Match, heard: Heard) -> bool:
    pause = next((word.pause for word in heard.words[thunder.end - 1 :] if word.pause), ".")
    return pause != "?" or heard.end("order_hears", 0) is not None


def _asks(heard: Heard) -> bool:
    """Whether a text begins as a question does, and not as "can you"."""
    at = 0
    while (after := heard.end("order_lead", at)) is not None and heard.end("order_you_do", at) is None:
        at = after
    return heard.end("order_asks", at) is not None and not any(
        heard.end(group, at) is not None for group in ("order_you_do", "order_no_question")
    )


def _asks_us(heard: Heard) -> bool:
    """Whether a text asks us to do something: "can you close hole 7?"."""
    at = 0
    while at < len(heard.words):
        if heard.end("order_you_do", at) is not None:
            return True
        after = heard.end("order_lead", at)
        if after is None:
            return False
        at = after
    return False
