"""A text read once, in its conversation: whatever is asked of it is worked out when it is first looked at, and never again.

The turn has one `Reading` made and hands it on; nothing else reads. What is read anew by design, such as what was meant after "no i
meant ...", is words of their own and goes through `Reading.anew`.
"""

from collections.abc import Callable, Mapping, Sequence, Set
from dataclasses import dataclass, replace
from datetime import datetime
from functools import cached_property
from typing import Literal
from zoneinfo import ZoneInfo

from clubbot.model.amending import Amend
from clubbot.model.caution import Risk
from clubbot.model.dialogue import DialogueState
from clubbot.model.intent_kinds import SMALL_TALK
from clubbot.model.intents import Danger, Intent, Rsvp, Stop, When
from clubbot.model.messages import Language
from clubbot.model.orders import Order
from clubbot.understanding.caution import cautions, worst_of
from clubbot.understanding.corrections import Corrected
from clubbot.understanding.danger import sounds_like_danger
from clubbot.understanding.dates import plain_for_dates
from clubbot.understanding.days import Days
from clubbot.understanding.details import Details, Found
from clubbot.understanding.given_name import given_name
from clubbot.understanding.language import WordWeights, told
from clubbot.understanding.leaning import Leaning, Side, leaning
from clubbot.understanding.marks import marks_in
from clubbot.understanding.mentions import Mentions
from clubbot.understanding.name_beside import NameBeside, name_first, name_last, name_led_in
from clubbot.understanding.noticing import Notice, Noticed
from clubbot.understanding.orders.claims import Claim
from clubbot.understanding.orders.dropping import ToADraft
from clubbot.understanding.orders.reading import Orders
from clubbot.understanding.people import People
from clubbot.understanding.plain import words_of
from clubbot.understanding.refusing import said_after_no
from clubbot.understanding.slots import Slots
from clubbot.understanding.splitting import both_ends

NOTHING_SAID = DialogueState()
# A text is clear by itself where it sounds so much like something, small talk and names aside.
CLEAR = 0.5
# Words of a text that is heard as a whole before it is looked at as an answer to something.
_SENTENCE = 2
# How common a word is that is nobody's name, though it has a capital (Zipf score).
A_COMMON_WORD = 4.5
# What a bare question asks for, as the lists of ideas have it.
_IDEAS: Mapping[Side, str] = {
    "cost": "money_cost",
    "until": "end_time",
    "time": "open_hours",
    "children": "small_child",
}
SAYS_NOTHING = SMALL_TALK | {"name", "outside", "danger"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Understood:
    """What a text sounds like as a whole. `language` is None where it does not show; `scores` are the likeliest intents, best first; `for_us` is
    the chance that it is for us at all; `risks` are the cautions that it calls for by its sound; `steps` are the corrections that changed
    what it sounded like; `counts` is how many people come by its sound.
    """

    language: Language | None
    intents: tuple[Intent, ...] = ()
    choices: tuple[str, ...] = ()
    scores: tuple[tuple[str, float], ...] = ()
    for_us: float = 1.0
    risks: tuple[Risk, ...] = ()
    steps: tuple[Corrected, ...] = ()
    counts: tuple[tuple[str, float], ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Means:
    """What the texts of one club are read with. `understood` hears a text as a whole, which costs most; `ask_words` are those that people
    ask with, and so nobody's name, `topic_of` tells what kind of event one of the club's is.
    """

    notice: Notice
    orders: Orders
    slots: Slots
    mentions: Mentions
    days: Days
    zone: ZoneInfo
    weights: WordWeights
    ask_words: Set[str]
    people: Callable[[str], People]
    understood: Callable[[str, datetime, Language, bool, tuple[str, ...]], Understood]
    topic_of: Callable[[str], str | None]
    details: Details


class Reading:
    """What is made of one text. Pure: it depends on the words, what was said before them, the language usual with the sender and the hour."""

    def __init__(self, text: str, means: Means, dialogue: DialogueState, usual: Language, now: datetime) -> None:
        """`usual` is the language that the text is read in where it does not show its own."""
        self.text = text
        self._means, self._dialogue, self._usual, self._now = means, dialogue, usual, now

    @cached_property
    def noticed(self) -> Noticed:
        """What is certain about its words."""
        return self._means.notice(self.text)

    @cached_property
    def language(self) -> Language | None:
        """The language that it shows."""
        return told(self.text, words_of(self.text), self._means.weights)

    @cached_property
    def understood(self) -> Understood:
        """What it sounds like as a whole, with what was said before."""
        about_event = self._dialogue.spoke_of_an_event(self._now)
        marks = marks_in(self._dialogue, self._means.topic_of, self._now)
        return self._means.understood(self.text, self._now, self._usual, about_event, marks)

    @property
    def intents(self) -> tuple[Intent, ...]:
        """What it wants, in the order it was said."""
        return self.understood.intents

    @property
    def choices(self) -> tuple[str, ...]:
        """The ids of what it may want, where no one thing is clear."""
        return self.understood.choices

    @property
    def scores(self) -> tuple[tuple[str, float], ...]:
        """The likeliest intents, best first."""
        return self.understood.scores

    @property
    def for_us(self) -> float:
        """The chance that it is for us at all."""
        return self.understood.for_us

    @cached_property
    def risks(self) -> tuple[Risk, ...]:
        """The cautions that it calls for, by its words or by its sound, the worst first."""
        heard = self.understood.risks if self._is_a_sentence else ()
        return worst_of({*cautions(self.noticed), *heard})

    @property
    def in_danger(self) -> bool:
        """Whether it says that somebody is hurt or in danger now, by its words or by its sound."""
        if sounds_like_danger(self.noticed):
            return any(isinstance(intent, Danger) for intent in self.intents)
        return self._sounds_like(Danger)

    @property
    def opts_out(self) -> bool:
        """Whether it wishes for no more texts at all, by its sound; `consent.opts_out` tells it by its words."""
        return self._sounds_like(Stop)

    def _sounds_like(self, kind: type[Danger | Stop]) -> bool:
        return self._is_a_sentence and any(isinstance(intent, kind) for intent in self.intents)

    @property
    def _is_a_sentence(self) -> bool:
        """Whether it has words enough to sound like something: "2", "here", "yes" mean what was asked."""
        return len(self.text.split()) >= _SENTENCE

    @property
    def steps(self) -> tuple[Corrected, ...]:
        """The corrections that changed what it sounded like."""
        return self.understood.steps

    @cached_property
    def lean(self) -> Leaning | None:
        """How it leans on what was said before it; None where it stands for itself."""
        means = self._means
        return leaning(self.noticed, means.mentions, means.days, means.people, self._now, means.zone)

    @cached_property
    def when(self) -> When | None:
        """The time that it names, an event's name aside."""
        means = self._means
        plain = means.mentions.without_event(plain_for_dates(self.text))
        return means.days.when(plain, self._now, means.zone)

    @cached_property
    def answer(self) -> Rsvp:
        """As an answer to an event: whatever event, day, number and stand-in it names."""
        return replace(self._means.slots.as_rsvp(self.text, self._now), heard=self.understood.counts)

    @cached_property
    def people(self) -> People:
        """How many come, and who in whose place, whatever the event that is named is called."""
        return self._means.people(self.text)

    @property
    def takes_back(self) -> bool:
        """Whether it says that somebody is not coming, or only perhaps: then it is no slip being mended."""
        rest = said_after_no(self.noticed)  # "no, thursday" takes nothing back, "no, i can't make thursday" does
        intents = self.anew(rest).intents if rest is not None else self.intents
        return any(isinstance(intent, Rsvp) and intent.kind in {"rsvp-no", "rsvp-maybe"} for intent in intents)

    def name_given(self, *, sure: bool) -> str | None:
        """The name that it gives, after it was asked for; `sure` where that was with our last words."""
        return given_name(self.noticed, sure, self._means.ask_words, self._asks_something)

    @cached_property
    def name_first(self) -> NameBeside | None:
        """The name that it begins with, where it was asked for, and what it says beside."""
        said = self.text, self._means.notice, self._is_word
        return name_first(*said) or name_led_in(*said)

    @cached_property
    def name_last(self) -> NameBeside | None:
        """The name that it is signed with, and what it says before."""
        return name_last(self.text, self._means.notice, self._is_word)

    def _is_word(self, word: str) -> bool:
        """Whether a word is one that people ask with or that is common, and so nobody's name; what is written like a name has to be common."""
        means, plain = self._means, word.casefold()
        common = max(means.weights.words.get(plain, (0.0,))) >= A_COMMON_WORD
        asked_with = plain in means.ask_words
        return (common and asked_with) if word[0].isupper() else (common or asked_with)

    def _asks_something(self) -> bool:
        """Whether it is clear by itself, as something else than small talk."""
        lean = self.lean
        if lean is not None and (lean.side or lean.event or lean.place):
            return True
        return any(score >= CLEAR for intent, score in self.scores if intent not in SAYS_NOTHING)

    def detail(self, topic: str, language: Language, *, going_on: bool) -> Found | None:
        """The detail of a topic that it asks about, among those written in that language; `going_on` after the general answer."""
        idea = _IDEAS.get(self.lean.side) if self.lean is not None and self.lean.side is not None else None
        return self._means.details.asked(self._core(language), topic, language, going_on=going_on, idea=idea)

    def says_more(self, topic: str, language: Language) -> bool:
        """Whether it says more than what the topic is called by."""
        return self._means.details.says_more(self._core(language), topic, language)

    def told_in(self, topic: str, written: Sequence[str], language: Language) -> int | None:
        """The place of the passage that has what it asks beyond the name of the topic; None where none has enough of it."""
        return self._means.details.told_in(self._core(language), topic, language, written)

    def _core(self, language: Language) -> str:
        """What it says without courtesy."""
        return self.noticed.text.said(self.noticed.core(language)) or self.text

    def taken_as(self, intent: str) -> Intent:
        """The intent of that id, with the days, places and numbers that the text names."""
        return self._means.slots.taken_as(intent, self.text, self._now)

    def order(self, texted: datetime) -> Order | None:
        """The order that it is from somebody of the club, at the hour when it was texted."""
        return self._means.orders.read(self.text, texted)

    @cached_property
    def to_a_draft(self) -> ToADraft:
        """What it says to an order that waits for its code."""
        return self._means.orders.to_a_draft(self.text)

    def amendment(self, texted: datetime, begins: datetime | None) -> Amend | None:
        """What it would have otherwise of an order that waits for its code and begins at `begins`."""
        return self._means.orders.amendment(self.text, texted, begins)

    @cached_property
    def like_an_order(self) -> bool:
        """Whether it looks like an order, being none."""
        return self._means.orders.like_an_order(self.text)

    @cached_property
    def plainly_an_order(self) -> bool:
        """Whether it is something to be done, though not understood."""
        return self._means.orders.plainly_an_order(self.text)

    @cached_property
    def tells_of_thunder(self) -> bool:
        """Whether it tells of thunder that is heard or seen now."""
        return self._means.orders.tells_of_thunder(self.text)

    @cached_property
    def claim(self) -> Claim | None:
        """Whom it says to come from."""
        return self._means.orders.claimed(self.text)

    def among_orders(self, what: str) -> bool:
        """Whether a rule that is looked for in texts of the club's people alone says so."""
        return self._means.orders.says(self.text, what)

    @cached_property
    def of_own_texts(self) -> bool:
        """Whether a wish for no more texts in it is about the sender's own."""
        return self._means.orders.of_own_texts(self.text)

    @cached_property
    def all_days(self) -> bool:
        """Whether it means all days of several."""
        return self._means.orders.all_days(self.text)

    @cached_property
    def which_day_of_several(self) -> int | None:
        """Which of several days it counts out, from 0: "the second day"."""
        return self._means.orders.which_day(self.text)

    @cached_property
    def of_a_stranger(self) -> Literal["a code", "a command"] | None:
        """What a phone without a role tries with it that only the club's people may."""
        return self._means.orders.of_a_stranger(self.text)

    @cached_property
    def both_ends(self) -> "Reading":
        """The reading of a text as far as it is read to be answered: of a very long one its two ends are another text, all others are themselves."""
        ends = both_ends(self.text)
        return self if ends == self.text else self.in_its_place(ends)

    def in_its_place(self, words: str) -> "Reading":
        """These words read as the text itself would be, after what was said before it."""
        return Reading(words, self._means, self._dialogue, self._usual, self._now)

    def anew(self, words: str, usual: Language | None = None) -> "Reading":
        """Other words read by themselves: what was meant after a no, a text before this one, this one joined to that."""
        return Reading(words, self._means, NOTHING_SAID, usual or self._usual, self._now)
