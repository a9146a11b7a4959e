"""The reader of a club: what it learnt and the words of the club, and how a text is heard as a whole; what is read of it else stands in `once`."""

from collections import Counter
from collections.abc import Callable, Iterable, Mapping, Sequence, Set
from dataclasses import dataclass, replace
from datetime import date, datetime
from functools import lru_cache

from clubbot.model.caution import Risk
from clubbot.model.club import Example, Knowledge
from clubbot.model.dialogue import DialogueState
from clubbot.model.intents import (
    AskHelp,
    Danger,
    ForAPerson,
    Intent,
    Rsvp,
)
from clubbot.model.messages import Language
from clubbot.texting.emoji import in_words
from clubbot.understanding import thresholds
from clubbot.understanding.corrections import Evidence, corrected
from clubbot.understanding.danger import denies, sounds_like_danger
from clubbot.understanding.dates import plain_for_dates
from clubbot.understanding.days import Days
from clubbot.understanding.deciding import Decision, decide, plainly_no_danger
from clubbot.understanding.details import Details
from clubbot.understanding.encoder import Encoder
from clubbot.understanding.given_name import COURTESIES
from clubbot.understanding.hearing import Chances, Hearing, weighed
from clubbot.understanding.hearing import Evidence as Weighed
from clubbot.understanding.holes import Holes
from clubbot.understanding.language import WordWeights, told
from clubbot.understanding.mentions import Mentions
from clubbot.understanding.mixed import MixedWords
from clubbot.understanding.names import without_signature
from clubbot.understanding.noticing import Notice, Noticed, Noticing
from clubbot.understanding.once import NOTHING_SAID, Means, Reading, Understood
from clubbot.understanding.orders.reading import Orders
from clubbot.understanding.pauses import marked
from clubbot.understanding.people import People, people_coming
from clubbot.understanding.people_words import people_words
from clubbot.understanding.plain import SHORTHAND, Speller, words_of
from clubbot.understanding.scoring import Concepts, Scorer, TrainingText, fit
from clubbot.understanding.slots import Slots
from clubbot.understanding.splitting import clauses, sentences
from clubbot.understanding.usual_days import UsualDays

# What a text sounds like that goes on about what was warned of.
_ABOUT_RISKS = frozenset({"safety", "lost-disc", "weather-policy"})
# Words of a text that is long, and how often each of them stands in a row of the same.
_A_ROW, _EACH_SO_OFTEN = 24, 4
# Texts of one turn and their pieces.
_KEPT = 64


@dataclass(frozen=True, slots=True)
class Learnt:
    """What is learnt from the ways of asking: the scorer, the words used more than twice in them, and those of these that only tell names."""

    scorer: Scorer
    words: frozenset[str]
    names: frozenset[str]


def learn(examples: Sequence[Example], concepts: Concepts, numbers: Set[str]) -> Learnt:
    """Learn from the ways of asking; takes seconds. Words that are used once or twice may be slips and are left out."""
    asked, told_names = Counter[str](), Counter[str]()
    for example in examples:
        (told_names if example.intent == "name" else asked).update(set(words_of(example.text)))
    names = {word for word, times in told_names.items() if times > 2}
    often = {word for word, times in (asked + told_names).items() if times > 2}
    # "Roy" stands in ways of telling a name; that makes it no word to ask with.
    only_names = names - {word for word, times in asked.items() if times > 2}
    return Learnt(fit(training_texts(examples), concepts, numbers), frozenset(often), frozenset(only_names))


class Reader:
    """Reads texts for one club. Holds what was learnt; the same text at the same instant is always read the same way."""

    def __init__(
        self,
        knowledge: Knowledge,
        learnt: Learnt,
        weights: WordWeights,
        event_between: Callable[[date, date], bool],
        noticing: Noticing,
        days: Days,
        mixed: MixedWords,
        encoder: Encoder | None = None,
        usual_days: UsualDays | None = None,
    ) -> None:
        self._knowledge, self._scorer, self._weights = knowledge, learnt.scorer, weights
        self.notice: Notice = noticing.notice
        self._hearing = Hearing(lambda text, language: self._scores(words_of(text), language), _pieces, encoder)
        self._mentions = Mentions(knowledge, Holes(days.marked).number, learnt.words)
        self._usual_days = usual_days or UsualDays({})
        self.orders = Orders(knowledge, self._mentions, days, noticing)
        # Asked several times while one text is read.
        self._people = lru_cache(maxsize=_KEPT)(self._people_in)
        self._mended = lru_cache(maxsize=_KEPT)(self._in_plain_words)
        club_words = learnt.words | _words_of_names(knowledge)
        self._no_names = _words_of_names(knowledge) | COURTESIES
        self._mixed, self._people_words = mixed, people_words(mixed.lexicons)
        self._speller = Speller(club_words, (*weights.words, *_shorthand()))
        self._slots = Slots(knowledge, self._mentions, days, self._mended, self._people, event_between, self.notice)
        self._means = Means(
            notice=self.notice,
            orders=self.orders,
            slots=self._slots,
            mentions=self._mentions,
            days=days,
            zone=knowledge.club.zone,
            weights=weights,
            ask_words=club_words - learnt.names,
            people=self._people,
            understood=self._read,
            topic_of={event.id: event.topic for event in knowledge.events}.get,
            details=Details(knowledge.answers, learnt.scorer, self._speller.mend),
        )

    def read(self, text: str, now: datetime, fallback: Language, dialogue: DialogueState = NOTHING_SAID) -> Reading:
        """`text` read at `now`, after what was said in its conversation; `fallback` is the language it is read in where it does not show its own."""
        return Reading(text, self._means, dialogue, fallback, now)

    def _read(
        self, text: str, now: datetime, fallback: Language, about_event: bool, marks: tuple[str, ...]
    ) -> Understood:
        words = words_of(text)
        if not any(word.isalpha() for word in words) and not _names_a_thing(text):
            # "2", "?!", a thumb: nothing that could be learnt from.
            return Understood(language=None, intents=(AskHelp(),) if words else ())
        language = told(text, words, self._weights)
        noticed = self.notice(text)
        text = in_words(text)
        speaks = language or fallback
        in_danger = sounds_like_danger(noticed)
        if not in_danger and _is_a_row(words):
            return Understood(language=language, intents=(ForAPerson(),))
        chances = self._chances(text, speaks, now, marks)
        if in_danger and not plainly_no_danger(text, chances):
            return Understood(language=language, intents=(Danger(),))
        chances = _as_denied(chances, noticed)
        evidence = Evidence(
            text=text,
            noticed=noticed,
            people=self._people(text),
            about_event=about_event,
            names_a_day_or_event=lambda: self._slots.names_a_day_or_event(text, now),
            topic=lambda: self._topic(text),
            chances=chances.intents,
        )
        decision, steps = corrected(decide(chances), evidence)
        counts = () if noticed.says("yes") else tuple(chances.counts.items())  # a bare yes says nothing of how many
        return Understood(
            language=language,
            intents=with_counts(self._filled(decision, text, speaks, now), counts),
            choices=decision.choices,
            scores=tuple(sorted(chances.intents.items(), key=lambda item: -item[1])[:5]),
            for_us=chances.for_us,
            risks=self._risks(chances, text, speaks, now, marks),
            steps=steps,
            counts=counts,
        )

    def _risks(
        self, chances: Chances, text: str, speaks: Language, now: datetime, marks: Sequence[str]
    ) -> tuple[Risk, ...]:
        """The cautions that it calls for by its sound. After one, a text that clearly asks something else is heard without that."""
        warned = [mark for mark in marks if mark.startswith("warned ")]
        others = (share for intent, share in chances.intents.items() if intent not in _ABOUT_RISKS)
        if warned and max(others, default=0.0) >= thresholds.ANSWERED:
            chances = self._chances(text, speaks, now, [mark for mark in marks if mark not in warned])
        return tuple(risk for risk, chance in chances.risks.items() if chance >= thresholds.CAUTIONED)

    def _topic(self, text: str) -> str | None:
        """The topic of the event that a text names."""
        event = self._mentions.event(plain_for_dates(text))
        return None if event is None else self._knowledge.event(event).topic

    def _chances(self, text: str, speaks: Language, now: datetime, marks: Sequence[str] = ()) -> Chances:
        """How likely each intent of the text is, after what was said before."""
        return weighed(self.evidence(without_signature(text, self._no_names), speaks, now, marks))

    def evidence(self, text: str, speaks: Language, now: datetime, marks: Sequence[str] = ()) -> Weighed:
        """What the chances of a text are weighed from."""
        learnt = self._mentions.in_learnt_words(text, speaks)
        common = self._usual_days.told(self._mentions.in_common_words(text, speaks), speaks)
        named = self._slots.names_something_ours(text, now)
        return self._hearing.evidence(learnt, common, speaks, marks, named=named)

    def _filled(self, decision: Decision, text: str, speaks: Language, now: datetime) -> tuple[Intent, ...]:
        if decision.outside:
            return (ForAPerson(),)
        return self._slots.filled(
            decision.served,
            text,
            lambda part: self._chances(part, speaks, now).intents,
            lambda part: self._scores(words_of(self._mentions.in_learnt_words(part, speaks)), speaks),
            now,
        )

    @property
    def intents(self) -> tuple[str, ...]:
        """All that a text can be read as."""
        return self._scorer.intents

    def reasons(self, text: str, intent: str, language: Language) -> list[str]:
        """The words of a text that speak most for an intent, strongest first."""
        return self._scorer.reasons([self._speller.mend(word) for word in words_of(in_words(text))], language, intent)

    def _in_plain_words(self, text: str) -> str:
        """The text in plain words with its slips mended."""
        return " ".join([self._speller.mend(word) for word in marked(text, self._mixed.numbers).split()])

    def _people_in(self, text: str) -> People:
        """How many come, and who in whose place, whatever the event that is named is called."""
        written = self._mentions.as_event(text)
        return people_coming(written, self._mixed.words(written), self._people_words)

    def _scores(self, words: Sequence[str], language: Language) -> Mapping[str, float]:
        mended = [self._speller.mend(word) for word in words]
        found = self._scorer.scores(mended, language)
        return dict(zip(self._scorer.intents, (float(one) for one in found), strict=True))


def with_counts(intents: tuple[Intent, ...], counts: tuple[tuple[str, float], ...]) -> tuple[Intent, ...]:
    """The only answer to an event with how many come by the sound of the whole text; of several days nobody knows which is meant."""
    if sum(isinstance(intent, Rsvp) for intent in intents) != 1:
        return intents
    return tuple(replace(intent, heard=counts) if isinstance(intent, Rsvp) else intent for intent in intents)


def _as_denied(chances: Chances, noticed: Noticed) -> Chances:
    """What a text sounds like whose words say that nobody is in danger: not that, unless it sounds plainly like it, and not like a wish
    for no more texts ("stopped crying, no need to send anyone").
    """
    if chances.intents.get("danger", 0.0) >= thresholds.PLAINLY_DANGER or not denies(noticed):
        return chances
    none = {intent: 0.0 for intent in ("danger", "stop") if intent in chances.intents}
    return replace(chances, intents={**chances.intents, **none})


def _is_a_row(words: Sequence[str]) -> bool:
    """Whether a long text is a few words over and over: nobody signs up by "the 4th the 5th the 4th the 5th ...", whatever it sounds like."""
    return len(words) > _A_ROW and len(set(words)) * _EACH_SO_OFTEN < len(words)


def _names_a_thing(text: str) -> bool:
    """Whether the emoji of a text stand for more than a yes or a no."""
    said = {word for word in words_of(in_words(text)) if word.isalpha()}
    return bool(said) and not said & {"yes", "no"}


def training_texts(examples: Iterable[Example]) -> list[TrainingText]:
    """The ways of asking as the scorer learns them."""
    return [TrainingText(tuple(words_of(one.text)), one.language, one.intent) for one in examples]


def _pieces(text: str) -> list[str]:
    """The sentences and clauses of a text, longest cuts first, without the text itself."""
    cut = [*sentences(text), *clauses(text)]
    return [piece for piece in dict.fromkeys(cut) if piece != text.strip() and len(piece.split()) > 1]


def _words_of_names(knowledge: Knowledge) -> frozenset[str]:
    """The words of the names of the club's events and loops."""
    names = [name for event in knowledge.events for name in (event.name.en, event.name.fr, *event.also_called)]
    names += [name for loop in knowledge.course.loops for name in (loop.name.en, loop.name.fr, *loop.also_called)]
    return frozenset(word for name in names for word in words_of(name))


def _shorthand() -> set[str]:
    return {short for table in SHORTHAND.values() for short in table}
